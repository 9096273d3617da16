"""What each angle round a plug shows at its lugs' depths: a lug, the body under it, or nothing.

At each angle a scan sees either a lug or the body: how many points it has there says nothing,
which of the two they lie on does. So uneven density and hidden stretches make no lugs.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

CELLS = 720  # of half a degree: 0.2 mm on a lug of 40 mm diameter, a fifth of the sides asked for
CELL_DEG = 360.0 / CELLS  # follows
LUG, BODY, UNSEEN = 1, -1, 0  # opposite signs, so that changes can be counted by difference
WIDE_MM = 0.35  # noise of 0.1 mm at three and a half standard deviations
FOOT = 0.4  # of a lug's height: below it nothing is taken for the lug's
_FLANK_MM = 0.2  # broken edges of flanks lie within it
_CHANGE = 3.0  # points that must speak for a change from lug to body or back
_EMPTY_DEG = 4.0  # without a point, from which an arc was not seen
# times as many as chance scatters, and the square root of chance for small numbers
_OUTLIERS, _MORE = 2.0, 4.0
_CLOSE_DEG, _CLOSE = 3.0, 0.25  # or so much of the lug
_BESIDE = 0.25  # that the body counts, where it shows beside a lug
_HIDDEN = 0.9  # of the body's density, that a lug leaves at its angles
_MIXED = 0.15  # of the points, on the wrong one of two: lugs leave a twentieth


@dataclass(frozen=True, kw_only=True)
class Spread:
    """All points in a plug's frame."""

    r: Array
    theta: Array  # [deg], 0 to 360
    depth: Array

    def sunk(self, depth: float) -> Spread:
        """In a frame whose depths are smaller by so much."""
        return replace(self, depth=self.depth - depth)


@dataclass(frozen=True, kw_only=True)
class Band:
    """Radii of the lugs and of the body they stand on, depths between which both may be seen.

    Long lugs that run round like a thread are `is_helical`: at a lug's angle the body shows before
    and behind it.
    """

    lug_r: float
    root_r: float
    low: float
    high: float
    is_helical: bool = False

    def inner(self) -> tuple[float, float]:
        """Depths well inside."""
        trim = 0.1 * (self.high - self.low)
        return self.low + trim, self.high - trim


@dataclass(frozen=True, kw_only=True)
class LugRing:
    """The lugs' outside as one ring, and the radius under it."""

    r: float
    root_r: float
    low: float
    high: float
    count: int
    is_helical: bool = False

    @property
    def middle(self) -> float:
        """Depth half way."""
        return (self.low + self.high) / 2.0

    def band(self) -> Band:
        """For counting."""
        return Band(lug_r=self.r, root_r=self.root_r, low=self.low, high=self.high,
                    is_helical=self.is_helical)  # fmt: skip

    def sunk(self, depth: float) -> LugRing:
        """In a frame whose depths are smaller by so much."""
        return replace(self, low=self.low - depth, high=self.high - depth)


def spread_of(xyz: Array, rotation: Array, origin: Array) -> Spread:
    """Points in a frame."""
    x, y, z = ((xyz - origin) @ rotation).T
    return Spread(r=np.hypot(x, y), theta=np.degrees(np.arctan2(y, x)) % 360.0, depth=-z)


@dataclass(frozen=True, kw_only=True)
class Around:
    """What each cell of angle shows, and how many points there lie on a lug and on the body."""

    state: NDArray[np.int64]
    lug: Array
    body: Array

    def ends(self, first: int, cells: int) -> tuple[bool, bool]:
        """Whether body was seen close before and close after a run of lug."""
        close = np.arange(1, int(max(_CLOSE_DEG / CELL_DEG, _CLOSE * cells)) + 1)
        sides = [(first - close) % CELLS, (first + cells - 1 + close) % CELLS]
        before, after = (bool((self.body[side] > 0.0).any()) for side in sides)
        return before, after


def seen_as(points: Spread, band: Band, *, outside_only: bool = False) -> Around:
    """What each cell of angle shows.

    Lug and body change where the fewest points are then on the wrong one; a change must be worth
    a few of them. Arcs without points, or with no more than outliers leave, are not seen. With
    ``outside_only``, flanks and sides are not asked: a plane beside two cylinders is no lug.
    """
    lug, body, outlier = _counts(points, band, outside_only)
    found = _cheapest(np.column_stack([body * (_BESIDE if band.is_helical else 1.0), lug]))
    state = np.where(found == 0, LUG, BODY)
    own = np.where(state == LUG, lug, body)
    state[_empty(own)] = UNSEEN
    for first, cells in runs(state):
        which = (first + np.arange(cells)) % CELLS
        kind = 0 if state[which[0]] == LUG else 1
        if own[which].sum() <= _OUTLIERS * outlier[kind] * cells + _MORE:
            state[which] = UNSEEN
    return Around(state=state, lug=lug, body=body)


def _counts(
    points: Spread, band: Band, outside_only: bool
) -> tuple[Array, Array, tuple[float, float]]:
    """Points a cell on the lugs and on the body; outliers a cell in the room of each."""
    height = band.lug_r - band.root_r
    foot = band.root_r + max(FOOT * height, WIDE_MM)
    r, depth = points.r, points.depth
    level = (depth > band.low - _FLANK_MM) & (depth < band.high + _FLANK_MM)
    near = np.flatnonzero(level & (r > band.root_r - WIDE_MM) & (r < band.lug_r + 4.0 * WIDE_MM))
    r, depth = r[near], depth[near]
    cell = (points.theta[near] / CELL_DEG).astype(np.int64) % CELLS
    low, high = band.inner()
    inner = (depth > low) & (depth < high)
    is_lug = (r > foot) & (r < band.lug_r + WIDE_MM)
    if outside_only:
        foot = band.lug_r - WIDE_MM
        is_lug = inner & (np.abs(r - band.lug_r) < WIDE_MM)
    is_body = (r < band.root_r + WIDE_MM) & inner
    is_outlier = r > band.lug_r + 2.0 * WIDE_MM
    lug, body = (np.bincount(cell[on], minlength=CELLS).astype(float) for on in (is_lug, is_body))
    each = float(is_outlier.sum()) / CELLS / (2.0 * WIDE_MM)
    rooms = band.lug_r + WIDE_MM - foot, 2.0 * WIDE_MM * (high - low) / (band.high - band.low)
    return lug, body, (each * rooms[0], each * rooms[1])


def _cheapest(cost: Array) -> NDArray[np.int64]:
    """Least cost round a circle: one of two states a cell, ``cost`` (n, 2) of each.

    Examples
    --------
    Two cells that speak against their neighbours are not worth two changes, eight are:

    >>> cost = np.tile([0.0, 1.0], (40, 1))
    >>> cost[5:7] = cost[20:28] = [1.0, 0.0]
    >>> np.flatnonzero(_cheapest(cost)).tolist()
    [20, 21, 22, 23, 24, 25, 26, 27]
    """
    start = int(np.argmax(np.abs(cost[:, 0] - cost[:, 1])))
    own = int(np.argmin(cost[start]))
    turned = np.roll(cost, -start, axis=0)
    changed = np.zeros((len(cost), 2), dtype=bool)
    total = [_CHANGE, _CHANGE]
    total[own] = 0.0
    for k, pair in enumerate(turned.tolist()):
        for one in (0, 1):
            changed[k, one] = total[1 - one] + _CHANGE < total[one]
        best = min(total[0], total[1] + _CHANGE), min(total[1], total[0] + _CHANGE)
        total = [best[0] + pair[0], best[1] + pair[1]]
    state = own if total[own] <= total[1 - own] + _CHANGE else 1 - own
    found = np.zeros(len(cost), dtype=np.int64)
    for k in range(len(cost) - 1, -1, -1):
        found[k] = state
        state = 1 - state if changed[k, state] else state
    return np.roll(found, start)


def _empty(own: Array) -> NDArray[np.bool_]:
    """Cells in stretches without a point that are too long to be chance."""
    empty = np.zeros(CELLS, dtype=np.int64)
    empty[own == 0.0] = 1
    found = np.zeros(CELLS, dtype=bool)
    for first, cells in runs(empty):
        if cells * CELL_DEG > _EMPTY_DEG:
            found[(first + np.arange(cells)) % CELLS] = True
    return found


def runs(state: NDArray[np.int64]) -> list[tuple[int, int]]:
    """First cell and number of cells of every run of one state other than 0, round the circle.

    Examples
    --------
    >>> runs(np.array([1, 0, 0, -1, -1, 1]))
    [(3, 2), (5, 2)]
    """
    count = len(state)
    starts = np.flatnonzero(state != np.roll(state, 1))
    if not len(starts):
        return [(0, count)] if state[0] else []
    cells = np.diff(np.append(starts, starts[0] + count))
    return [(int(a), int(n)) for a, n in zip(starts, cells, strict=True) if state[a]]


def stands_in_pieces(points: Spread, band: Band) -> bool:
    """Whether two radii share the circle between them, each at angles of its own."""
    around = seen_as(points, band, outside_only=True)
    state, lug, body = around.state, around.lug, around.body
    if not ((state == LUG).any() and (state == BODY).any()):
        return False
    if band.is_helical:
        hides = body[state == LUG].mean() < _HIDDEN * body[state == BODY].mean()
        return bool(hides and lug[state == BODY].sum() < _MIXED * lug[state == LUG].sum())
    right = lug[state == LUG].sum() + body[state == BODY].sum()
    wrong = lug[state == BODY].sum() + body[state == LUG].sum()
    return bool(wrong < _MIXED * right)
