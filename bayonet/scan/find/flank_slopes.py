"""First slopes of the two kinds of flanks, each by itself: along the lug and along the radius."""

from __future__ import annotations

from itertools import combinations

import numpy as np
from numpy.typing import NDArray

from bayonet.scan.find.flanks import stretch_of

Array = NDArray[np.float64]
Mask = NDArray[np.bool_]

_BINS, _LEAST = 10, 8  # of a lug's width, and points of one, whose outer face then has two ends
_LEANS = np.tan(np.radians(np.arange(-60.0, 61.0, 2.5)))
_BROKEN_MM = np.arange(-0.1, 0.75, 0.1)  # what a broken edge takes of the outer face
_NEAR_MM = 0.12  # of a flank
_MORE = 1.25  # times the points of a square flank
_LEAST_POINTS = 40


def end_slopes(pieces: list[tuple[Array, Array]], outers: list[Mask], slope: float
               ) -> tuple[float, float]:  # fmt: skip
    """Depth per unit of angle of the outer faces' two ends; the common slope where they are bare.

    Parameters
    ----------
    pieces : list of (angle from the lug's middle, depth)
        One a lug.
    outers : list of array of bool
        Points on the outer face.
    slope : float
        Of both, as first seen.

    Examples
    --------
    An outer face between a flank that falls by 0.05 a degree and one that is level:

    >>> angle, share = np.meshgrid(np.linspace(-10.0, 10.0, 81), np.linspace(0.0, 1.0, 81))
    >>> top = 4.0 + 0.05 * angle
    >>> depth = top + share * (8.0 - top)
    >>> outer = np.ones(depth.size, dtype=bool)
    >>> top, low = end_slopes([(angle.ravel(), depth.ravel())], [outer], 0.02)
    >>> round(top, 2), round(low, 2) + 0.0
    (0.05, 0.0)
    """
    rises: tuple[list[float], list[float]] = ([], [])
    for (angle, depth), outer in zip(pieces, outers, strict=True):
        own, level = angle[outer], (depth - slope * angle)[outer]
        if len(own) < 3 * _LEAST:
            continue
        half = 0.9 * float(np.quantile(np.abs(own), 0.98))
        bins = np.floor((own / half + 1.0) / 2.0 * _BINS).astype(int)
        ends = [(float(own[bins == k].mean()), *stretch_of(level[bins == k]))
                for k in range(_BINS) if (bins == k).sum() >= _LEAST]  # fmt: skip
        for one, other in combinations(ends, 2):
            if other[0] - one[0] > 0.6 * half:
                for end in (0, 1):
                    rises[end].append((other[1 + end] - one[1 + end]) / (other[0] - one[0]))
    top, low = (slope + float(np.median(one)) if one else slope for one in rises)
    return top, low


def lean_of(levels: list[Array], heights: list[Array], outers: list[Mask], *, tall: float,
            out: int) -> float:  # fmt: skip
    """How much deeper a kind of flank lies per mm outwards.

    Nothing of a lug lies between its flanks but for its outside and its sides: at the right lean
    the flank's line holds most points. It starts at the outer face's end, or within a broken edge.

    Parameters
    ----------
    levels : list of array
        One a lug: depths with the slope taken out; sides left out.
    heights : list of array
        From the lugs' outside, inwards negative [mm].
    outers : list of array of bool
    tall : float
        A lug's height [mm].
    out : int
        -1 for bearing flanks, +1 for leading ones.
    """
    count = np.zeros((len(_LEANS), len(_BROKEN_MM)))
    for level, height, outer in zip(levels, heights, outers, strict=True):
        if outer.sum() < _LEAST_POINTS:
            continue
        end = stretch_of(level[outer])[0 if out < 0 else 1]
        inner = (height < -0.15 * tall) & (height > -0.8 * tall)
        up, off = height[inner], level[inner] - end
        for j, broken in enumerate(_BROKEN_MM):
            line = out * broken + _LEANS[:, None] * up[None, :]
            count[:, j] += (np.abs(off[None, :] - line) < _NEAR_MM).sum(axis=1)
    if count.max() < _LEAST_POINTS:
        return 0.0
    best = np.unravel_index(int(np.argmax(count)), count.shape)[0]
    square = float(count[int(np.argmin(np.abs(_LEANS)))].max())
    return float(_LEANS[best]) if count.max() > _MORE * square else 0.0
