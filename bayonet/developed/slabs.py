"""A way between two poses of one piece of the free region, by slabs between its corners.

Between the turns of two neighbouring corners a piece is trapezia; a way goes from the middle of
one to the middle of the next across what they share of the turn between them (de Berg et al.,
Computational Geometry, 3rd edition, section 13.2: trapezoidal map and road map).
"""

from __future__ import annotations

import itertools
from collections import deque
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from shapely.geometry import Polygon

Array = NDArray[np.float64]
Pose = tuple[float, float]

_WIDE = 1e-9  # two corners at one turn [deg]
_SHARED = 1e-9  # least the trapezia of two slabs share [mm], negative where they only touch


@dataclass(frozen=True)
class _Cell:
    """A trapezium: its lower and upper lift at both ends of its slab."""

    slab: int
    low: tuple[float, float]
    high: tuple[float, float]

    def middle(self, ends: Array) -> Pose:
        x = (ends[self.slab] + ends[self.slab + 1]) / 2.0
        return float(x), (sum(self.low) + sum(self.high)) / 4.0


def way_between(piece: Polygon, start: Pose, goal: Pose) -> tuple[Pose, ...]:
    """Poses from start to goal, the straight lines between them inside the piece.

    Parameters
    ----------
    piece : Polygon
        Connected, over (phi, delta); may have holes.
    start, goal : (float, float)
        In it or on its edge.

    Returns
    -------
    tuple of (phi, delta)
        Empty where start or goal is not in it.

    Examples
    --------
    Round the corner of an L of two strips 1 wide: through the middles of both.

    >>> ell = Polygon([(0, 0), (4, 0), (4, 1), (1, 1), (1, 4), (0, 4)])
    >>> way_between(ell, (0.5, 4.0), (4.0, 0.5))
    ((0.5, 4.0), (0.5, 2.0), (1.0, 0.5), (2.5, 0.5), (4.0, 0.5))
    """
    edges = _edges(piece)
    ends = np.unique(edges[:, :, 0])
    ends = ends[np.concatenate([[True], np.diff(ends) > _WIDE])]
    by_slab = [_cells(edges, ends, slab) for slab in range(len(ends) - 1)]
    first, last = _cell_at(by_slab, ends, start), _cell_at(by_slab, ends, goal)
    if first is None or last is None:
        return ()
    came = _search(by_slab, first, last)
    if last not in came:
        return ()
    chain, cell = [last], last
    while (before := came[cell]) is not None:
        chain.append(before)
        cell = before
    return (start, *_through(chain[::-1], ends), goal)


def _edges(piece: Polygon) -> Array:
    rings = [np.asarray(ring.coords)[:, :2] for ring in (piece.exterior, *piece.interiors)]
    return np.concatenate([np.stack([ring[:-1], ring[1:]], axis=1) for ring in rings])


def _cells(edges: Array, ends: Array, slab: int) -> list[_Cell]:
    left, right = ends[slab], ends[slab + 1]
    middle = (left + right) / 2.0
    low, high = edges[:, :, 0].min(axis=1), edges[:, :, 0].max(axis=1)
    (x0, y0), (x1, y1) = edges[(low < middle) & (high > middle)].transpose(1, 2, 0)
    slope = (y1 - y0) / (x1 - x0)
    order = np.argsort(y0 + slope * (middle - x0))
    at = [(y0 + slope * (x - x0))[order].tolist() for x in (left, right)]
    lows, highs = list(zip(*at, strict=True))[0::2], list(zip(*at, strict=True))[1::2]
    return [_Cell(slab, low, high) for low, high in zip(lows, highs, strict=True)]


def _cell_at(by_slab: list[list[_Cell]], ends: Array, pose: Pose) -> _Cell | None:
    """The trapezium a pose lies in, or on the edge of."""
    phi, delta = pose
    for slab, cells in enumerate(by_slab):
        if not ends[slab] - _WIDE <= phi <= ends[slab + 1] + _WIDE:
            continue
        share = (phi - ends[slab]) / (ends[slab + 1] - ends[slab])
        for cell in cells:
            low, high = (s[0] + share * (s[1] - s[0]) for s in (cell.low, cell.high))
            if low - 1e-6 <= delta <= high + 1e-6:
                return cell
    return None


def _shared(one: _Cell, other: _Cell) -> tuple[float, float] | None:
    """What two trapezia of neighbouring slabs share of the turn between them."""
    left, right = (one, other) if one.slab < other.slab else (other, one)
    low, high = max(left.low[1], right.low[0]), min(left.high[1], right.high[0])
    return (low, high) if high - low >= -_SHARED else None


def _search(by_slab: list[list[_Cell]], first: _Cell, last: _Cell) -> dict[_Cell, _Cell | None]:
    came: dict[_Cell, _Cell | None] = {first: None}
    queue = deque([first])
    while queue and last not in came:
        cell = queue.popleft()
        for slab in (cell.slab - 1, cell.slab + 1):
            for other in by_slab[slab] if 0 <= slab < len(by_slab) else ():
                if other not in came and _shared(cell, other) is not None:
                    came[other] = cell
                    queue.append(other)
    return came


def _through(chain: list[_Cell], ends: Array) -> list[Pose]:
    poses = [chain[0].middle(ends)]
    for one, other in itertools.pairwise(chain):
        shared = _shared(one, other)
        assert shared is not None
        poses += [(float(ends[max(one.slab, other.slab)]), sum(shared) / 2.0), other.middle(ends)]
    return poses
