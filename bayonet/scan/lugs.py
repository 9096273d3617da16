"""Lugs on the developed plane: where they stand instead of the body under them, and their flanks.

At each angle a scan sees either a lug's outside or the body: how many points it has there says
nothing, which of the two they lie on does. So uneven density and hidden stretches make no lugs.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bayonet.mechanics.angles import signed_deg
from bayonet.scan.flanks import flanks_of, sharpest_slope

Array = NDArray[np.float64]
Mask = NDArray[np.bool_]

CELLS = 240
LUG, BODY, UNSEEN = 1, -1, 0
_WIDE_MM = 0.35
_MIXED = 0.35
_LEAST_DEG = 2.5
_BRIDGE_DEG = 6.0
_LEAST_POINTS = 8
_REACHES = (1, 2, 3, 5)  # cells either way
_STEEPEST = 25.0 / 360.0  # mm a degree
_WIDER = 1.15
_SHARP = 2  # cells either way


@dataclass(frozen=True, kw_only=True)
class Spread:
    """All points in a plug's frame."""

    r: Array
    theta: Array  # [deg], 0 to 360
    depth: Array


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


@dataclass(frozen=True, kw_only=True)
class Band:
    """Radii of the lugs and of the body they stand on, depths between which both may be seen."""

    lug_r: float
    root_r: float
    low: float
    high: float

    def inner(self) -> tuple[float, float]:
        """Depths well inside."""
        trim = 0.2 * (self.high - self.low)
        return self.low + trim, self.high - trim


def spread_of(xyz: Array, rotation: Array, origin: Array) -> Spread:
    """Points in a frame."""
    x, y, z = ((xyz - origin) @ rotation).T
    return Spread(r=np.hypot(x, y), theta=np.degrees(np.arctan2(y, x)) % 360.0, depth=-z)


@dataclass(frozen=True, kw_only=True)
class Around:
    """What each cell of angle shows, how many cells either way were asked, and points there."""

    state: NDArray[np.int64]
    reach: NDArray[np.int64]
    lug: Array
    body: Array

    def ends(self, first: int, cells: int) -> tuple[bool, bool]:
        """Whether body was seen, sharply, just before and just after a run of lug."""
        sides = ((first, -1), (first + cells - 1, 1))
        found = []
        for edge, way in sides:
            near = [(edge + way * k) % CELLS for k in (1, 2)]
            is_body = any(self.state[k] == BODY for k in near)
            sharp = self.reach[[edge % CELLS, *near]].max() <= _SHARP
            found.append(bool(is_body and sharp))
        return found[0], found[1]


def seen_as(points: Spread, band: Band) -> Around:
    """What each cell of angle shows: lug, body or nothing.

    Cells with too few points ask their neighbours, the nearest first.
    """
    low, high = band.inner()
    level = (points.depth > low) & (points.depth < high)
    counts = []
    for r in (band.lug_r, band.root_r, band.lug_r + 3.0 * _WIDE_MM):
        on = level & (np.abs(points.r - r) < _WIDE_MM)
        cell = (points.theta[on] * CELLS / 360.0).astype(int) % CELLS
        counts.append(np.bincount(cell, minlength=CELLS).astype(float))
    lug, body, nothing = counts
    state, asked = np.zeros(CELLS, dtype=np.int64), np.zeros(CELLS, dtype=np.int64)
    ratio = band.lug_r / band.root_r
    for reach in _REACHES:
        ways = range(-reach, reach + 1)
        one, other = (np.sum([np.roll(count, k) for k in ways], axis=0) for count in (lug, body))
        stray = 2.0 * float(np.mean(nothing)) * len(ways)
        told = (state == UNSEEN) & (one + other > 2.0 * stray + 4.0)
        state[told & (one > ratio * other) & (one > stray + 2.0)] = LUG
        state[told & (other > stray + 2.0) & (ratio * other >= one)] = BODY
        asked[told] = reach
        if reach == _REACHES[0]:
            fine = one, other
    return Around(state=state, reach=asked, lug=fine[0], body=fine[1])


def stands_in_pieces(points: Spread, band: Band) -> bool:
    """Whether two radii share the circle between them, each at angles of its own."""
    around = seen_as(points, band)
    state, lug, body = around.state, around.lug, around.body
    if not ((state == LUG).any() and (state == BODY).any()):
        return False
    told = lug + body >= 6.0
    most = np.maximum(lug, body)[told].sum()
    return bool(np.minimum(lug, body)[told].sum() < _MIXED * max(most, 1.0))


def lugs(points: Spread, band: Band) -> tuple[LugSeed, ...]:
    """Every lug of a band, by angle."""
    around = seen_as(points, band)
    found = []
    for first, cells in _one_lug_each(around, _pieces(around.state)):
        on = _on_piece(points, band, first, cells)
        if on.sum() >= _LEAST_POINTS and cells * 360.0 / CELLS >= _LEAST_DEG:
            found.append((first, cells, on))
    if not found:
        return ()
    middles = [(first + cells / 2.0) * 360.0 / CELLS for first, cells, _ in found]
    angles = [signed_deg(points.theta[on] - middle)
              for (*_, on), middle in zip(found, middles, strict=True)]  # fmt: skip
    depths = [points.depth[on] for *_, on in found]
    outers = [np.abs(points.r[on] - band.lug_r) < _WIDE_MM for *_, on in found]
    slope = sharpest_slope(list(zip(angles, depths, strict=True)), steepest=_STEEPEST)
    levels = [depth - slope * angle for angle, depth in zip(angles, depths, strict=True)]
    flanks = flanks_of(levels, outers)
    ends = [around.ends(first, cells) for first, cells, _ in found]
    seeds = [
        LugSeed(centre=middle % 360.0, half=cells * 180.0 / CELLS, bearing=top, leading=low,
                slope=slope, count=int(on.sum()), starts=end[0], stops=end[1])
        for (_, cells, on), middle, (top, low), end in zip(
            found, middles, flanks, ends, strict=True
        )
    ]  # fmt: skip
    return tuple(sorted(seeds, key=lambda one: one.centre))


def _one_lug_each(around: Around, runs: list[tuple[int, int]]) -> list[tuple[int, int]]:
    """Runs with nothing but unseen cells between them are one lug if together no wider than one."""
    whole = [cells for first, cells in runs if all(around.ends(first, cells))]
    if not whole or len(runs) < 2:
        return runs
    most = _WIDER * max(whole) + 1
    joined = True
    while joined and len(runs) > 1:
        joined = False
        for k, (first, cells) in enumerate(runs):
            after = runs[(k + 1) % len(runs)]
            start = after[0] + (CELLS if k == len(runs) - 1 else 0)
            between = [around.state[c % CELLS] for c in range(first + cells, start)]
            if between.count(BODY) <= 1 and start + after[1] - first <= most:
                runs = [one for one in runs if one not in ((first, cells), after)]
                runs = sorted([*runs, (first, start + after[1] - first)])
                joined = True
                break
    return runs


def _pieces(state: NDArray[np.int64]) -> list[tuple[int, int]]:
    """First cell and number of cells of each run of lug; short unseen gaps do not part it."""
    if (state == LUG).all() or not (state == LUG).any():
        return []
    start = int(np.flatnonzero(state != LUG)[0])
    turned = np.roll(state, -start) == LUG
    firsts = np.flatnonzero(turned & ~np.roll(turned, 1))
    lasts = np.flatnonzero(turned & ~np.roll(turned, -1))
    runs = [(int(a) + start, int(b - a) + 1) for a, b in zip(firsts, lasts, strict=True)]
    merged: list[tuple[int, int]] = []
    for first, cells in runs:
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
    return len(between) * 360.0 / CELLS <= _BRIDGE_DEG and between.count(BODY) <= 1


def _on_piece(points: Spread, band: Band, first: int, cells: int) -> Mask:
    low = first * 360.0 / CELLS
    wide = cells * 360.0 / CELLS
    return np.asarray(
        ((points.theta - low) % 360.0 < wide)
        & (points.r > band.root_r + 0.3 * (band.lug_r - band.root_r))
        & (points.r < band.lug_r + _WIDE_MM)
        & (points.depth > band.low - 2.0)
        & (points.depth < band.high + 2.0)
    )
