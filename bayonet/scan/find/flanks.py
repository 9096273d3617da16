"""A lug's flanks by where its points lie thickest: their slope, and their depths."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
Mask = NDArray[np.bool_]

_BIN_MM = 0.05  # half the noise
_STEPS = 50  # of a slope, then four of them again: to a hundredth of the range
_LEAST, _ENOUGH = 40, 1_000  # points for a stretch of its own; more do not move its middle
_REACH_MM = (0.75, 0.35)  # outside and inside the end of the outer face
_THICK = 2.5  # times the usual count of a strip, from which it is a flank
_CELL_MM = 0.1  # about the noise
_EMPTY = 0.15  # of the usual count
# cells in a row without points; or times the usual step where points are few
_EMPTY_CELLS, _SPARSE = 4, 8.0
_OTHER_MM = 0.6  # from the others of the set: then it is not the same flank


def sharpest_slope(pieces: list[tuple[Array, Array]], *, steepest: float) -> float:
    """Depth per unit of angle at which lugs' points crowd most into few levels.

    Parameters
    ----------
    pieces : list of (angle from the lug's middle, depth)
        One a lug.
    steepest : float
        Largest slope tried, either way.

    Examples
    --------
    Two flanks that fall by 0.02 a degree:

    >>> angle = np.tile(np.linspace(-15.0, 15.0, 61), 2)
    >>> depth = np.repeat([5.0, 9.0], 61) + 0.02 * angle
    >>> round(sharpest_slope([(angle, depth)], steepest=0.07), 2)
    0.02
    """
    told = [
        (angle[:: max(len(angle) // _ENOUGH, 1)], depth[:: max(len(angle) // _ENOUGH, 1)])
        for angle, depth in pieces
        if len(angle) >= _LEAST
    ]
    if not told:
        return 0.0
    best, width = 0.0, steepest
    for _ in range(3):
        tried = best + width * np.linspace(-1.0, 1.0, _STEPS + 1)
        best = float(tried[int(np.argmax([_crowding(told, slope) for slope in tried]))])
        width *= 4.0 / _STEPS
    return best


def _crowding(pieces: list[tuple[Array, Array]], slope: float) -> float:
    total = 0.0
    for angle, depth in pieces:
        level = depth - slope * angle
        cell = np.floor((level - level.min()) / _BIN_MM).astype(np.int64)
        count = np.bincount(cell).astype(float)
        count[1:] += 0.5 * np.bincount(cell)[:-1]
        total += float((count**2).sum()) / len(level)
    return total


def flanks_of(levels: list[Array], outers: list[Mask]) -> list[tuple[float, float]]:
    """Depths of every lug's two flanks at its middle, from points above its foot.

    The outer face ends at the flanks, or a broken edge before them: the flank is the strip near
    that end that holds many more points than the outer face. Planes farther off (the shoulder, a
    step) are beyond a gap in the outer face and are not asked. A lug that does not show a flank
    of its own, or whose outer face has gaps, is given the depths of all lugs together.

    Parameters
    ----------
    levels : list of array
        One a lug: depths with the slope taken out.
    outers : list of array of bool
        Points on the outer face.
    """
    shares = [1.0 / max(len(level), 1) for level in levels]
    every = np.concatenate(levels)
    weight = np.concatenate([np.full(len(level), share)
                             for level, share in zip(levels, shares, strict=True)])  # fmt: skip
    outer = np.concatenate(outers)
    common = stretch_of(every[outer] if outer.sum() >= 8 else every)
    pooled = [_strip(every, end, common, weight)[0] for end in (0, 1)]
    found = []
    for level, face in zip(levels, outers, strict=True):
        own = stretch_of(level[face]) if face.sum() >= _LEAST else common
        ends = []
        for end in (0, 1):
            at, is_flank = _strip(level, end, own, np.ones(len(level)))
            if abs(at - pooled[end]) > _OTHER_MM:
                there, is_there = _strip(level, end, (pooled[0], pooled[1]), np.ones(len(level)))
                at = there if is_there or not is_flank else at
            ends.append(at)
        found.append((ends[0], max(ends[1], ends[0] + 0.4)))
    return found


def _strip(
    level: Array, end: int, stretch: tuple[float, float], weight: Array
) -> tuple[float, bool]:
    """Depth of the fullest strip near one end of the outer face, and whether it is a flank."""
    top, low = stretch
    out, into = _REACH_MM
    at = stretch[end]
    span = (at - out, at + into) if end == 0 else (at - into, at + out)
    within = (level > top) & (level < low)
    usual = 0.5 * float(weight[within].sum()) * _BIN_MM / max(low - top, 0.2)
    edges = np.arange(span[0], span[1] + _BIN_MM, _BIN_MM)
    count = np.histogram(level, edges)[0]
    heavy = np.histogram(level, edges, weights=weight)[0]
    pair, points = heavy[1:] + heavy[:-1], count[1:] + count[:-1]
    best = int(np.argmax(pair))
    if points[best] < 6 or pair[best] < 2.0 * _THICK * usual:
        return at, False
    near = level[np.abs(level - edges[best + 1]) < 2.0 * _BIN_MM]
    return float(np.median(near)), True


def stretch_of(level: Array) -> tuple[float, float]:
    """From the middle of the points both ways to where there are hardly any more: two levels."""
    start = float(level.min())
    cell = np.floor((level - start) / _CELL_MM).astype(np.int64)
    count = np.bincount(cell).astype(float)
    seen = count > _EMPTY * float(np.median(count[count > 0]))
    middle = int(np.median(cell))
    gap = max(_EMPTY_CELLS, _SPARSE * float(np.median(np.diff(np.sort(level)))) / _CELL_MM)
    ends = []
    for way in (-1, 1):
        last = at = middle
        while 0 <= at < len(seen) and abs(at - last) <= gap:
            last = at if seen[at] else last
            at += way
        ends.append(last)
    low, high = start + ends[0] * _CELL_MM, start + (ends[1] + 1) * _CELL_MM
    inside = level[(level >= low) & (level <= high)]
    if len(inside) < 5:
        return low, high
    top, bottom = np.quantile(inside, [0.01, 0.99])
    return float(top), float(bottom)
