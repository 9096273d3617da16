"""Lugs on the developed plane: arcs of lug put together, and their flanks.

What an angle shows is told by `arcs`.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bayonet.mechanics import signed_deg
from bayonet.scan.find.arcs import (
    BODY,
    CELL_DEG,
    CELLS,
    LUG,
    WIDE_MM,
    Around,
    Band,
    Spread,
    runs,
    seen_as,
)
from bayonet.scan.find.flanks import flanks_of, sharpest_slope

Array = NDArray[np.float64]
Mask = NDArray[np.bool_]

_LEAST_DEG = 2.0  # 1 mm on a lug of 57 mm diameter: narrower than any lug
_BRIDGE_DEG = 6.0  # a lug shadowed in its middle is one lug; no two lugs stand so close
_LEAST_POINTS = 6  # of a lug in one scan; chance leaves fewer together (see _OUTLIERS in arcs)
_STEEPEST = 25.0 / 360.0  # mm a degree
_WIDER = 1.15  # of the widest whole lug: wider are two that run into one


@dataclass(frozen=True, kw_only=True)
class LugSeed:
    """A lug as first seen: middle, half-width [deg], depths of its flanks at the middle, slope."""

    centre: float
    half: float
    bearing: float
    leading: float
    slope: float  # depth a degree of theta
    count: int
    starts: bool  # body seen close by, and sharply, before it
    stops: bool  # and after it

    @property
    def is_whole(self) -> bool:
        """Whether both its sides are placed by what was seen."""
        return self.starts and self.stops


def lugs(points: Spread, band: Band) -> tuple[LugSeed, ...]:
    """Every lug of a band, by angle."""
    around = seen_as(points, band)
    found = []
    for first, cells in _one_lug_each(around, _pieces(around.state)):
        on = _on_piece(points, band, first, cells)
        if on.sum() >= _LEAST_POINTS and cells * CELL_DEG >= _LEAST_DEG:
            found.append((first, cells, on))
    if not found:
        return ()
    middles = [(first + cells / 2.0) * CELL_DEG for first, cells, _ in found]
    angles = [signed_deg(points.theta[on] - middle)
              for (*_, on), middle in zip(found, middles, strict=True)]  # fmt: skip
    depths = [points.depth[on] for *_, on in found]
    outers = [np.abs(points.r[on] - band.lug_r) < WIDE_MM for *_, on in found]
    slope = sharpest_slope(list(zip(angles, depths, strict=True)), steepest=_STEEPEST)
    levels = [depth - slope * angle for angle, depth in zip(angles, depths, strict=True)]
    flanks = flanks_of(levels, outers)
    ends = [around.ends(first, cells) for first, cells, _ in found]
    seeds = [
        LugSeed(centre=middle % 360.0, half=cells * CELL_DEG / 2.0, bearing=top, leading=low,
                slope=slope, count=int(on.sum()), starts=end[0], stops=end[1])
        for (_, cells, on), middle, (top, low), end in zip(
            found, middles, flanks, ends, strict=True
        )
    ]  # fmt: skip
    return tuple(sorted(seeds, key=lambda one: one.centre))


def _one_lug_each(around: Around, arcs: list[tuple[int, int]]) -> list[tuple[int, int]]:
    """Runs with nothing but unseen cells between them are one lug if together no wider than one."""
    whole = [cells for first, cells in arcs if all(around.ends(first, cells))]
    if not whole or len(arcs) < 2:
        return arcs
    most = _WIDER * max(whole) + 2
    joined = True
    while joined and len(arcs) > 1:
        joined = False
        for k, (first, cells) in enumerate(arcs):
            after = arcs[(k + 1) % len(arcs)]
            start = after[0] + (CELLS if k == len(arcs) - 1 else 0)
            between = [around.state[c % CELLS] for c in range(first + cells, start)]
            if BODY not in between and start + after[1] - first <= most:
                arcs = [one for one in arcs if one not in ((first, cells), after)]
                arcs = sorted([*arcs, (first, start + after[1] - first)])
                joined = True
                break
    return arcs


def _pieces(state: NDArray[np.int64]) -> list[tuple[int, int]]:
    """First cell and number of cells of each run of lug; short unseen gaps do not part it."""
    if (state == LUG).all():
        return []
    merged: list[tuple[int, int]] = []
    for first, cells in runs(np.where(state == LUG, LUG, 0)):
        if merged and _bridged(state, sum(merged[-1]), first):
            merged[-1] = (merged[-1][0], first + cells - merged[-1][0])
        else:
            merged.append((first, cells))
    if len(merged) > 1 and _bridged(state, sum(merged[-1]), merged[0][0] + CELLS):
        first, cells = merged.pop()
        merged[0] = (first, merged[0][0] + CELLS + merged[0][1] - first)
    return merged


def _bridged(state: NDArray[np.int64], stop: int, start: int) -> bool:
    """Whether between two runs hardly anything was seen, and no room for a gap."""
    between = [state[k % CELLS] for k in range(stop, start)]
    return len(between) * CELL_DEG <= _BRIDGE_DEG and BODY not in between


def _on_piece(points: Spread, band: Band, first: int, cells: int) -> Mask:
    low = first * CELL_DEG
    wide = cells * CELL_DEG
    return np.asarray(
        ((points.theta - low) % 360.0 < wide)
        & (points.r > band.root_r + 0.3 * (band.lug_r - band.root_r))
        & (points.r < band.lug_r + WIDE_MM)
        & (points.depth > band.low - 2.0)
        & (points.depth < band.high + 2.0)
    )
