"""Lugs' first values again, in a frame and on a body that are already known well."""

from __future__ import annotations

import dataclasses

import numpy as np
from numpy.typing import NDArray

from bayonet.scan.find import end_slopes, flanks_of, lean_of, sharpest_slope
from bayonet.scan.fit.frame_points import spots
from bayonet.scan.fit.keys import body_key, lug_key
from bayonet.scan.fit.labels import State, zones_of
from bayonet.scan.fit.surface import Shape, lug_angle

Array = NDArray[np.float64]
Mask = NDArray[np.bool_]

_STANDS = 0.3  # of a lug's height, above which its points are taken
_OUTER_MM = 0.35  # three times a usual noise
_BESIDE_MM = 1.3  # what a first depth may be off
_LEAST = 40  # points, from which first values are taken anew
_STEEPEST = 25.0 / (2.0 * np.pi)  # mm a rad
_APART_MM = 0.15  # at a lug's end, from which two slopes are not one
_CLEAR = 0.85  # of the half-width: sides lie outside


@dataclasses.dataclass(frozen=True, kw_only=True)
class _Piece:
    """Points of one lug: angle from its middle, depth, distance below its outside."""

    lug: int
    angle: Array
    depth: Array
    height: Array
    outer: Mask


def reseeded(xyz: Array, state: State) -> State:
    """Middles and widths from quantiles, flanks and their slopes where points crowd."""
    c = spots(xyz, state.rotation, state.origin)
    v, shape = dict(state.values), state.shape
    root = v[body_key(shape.root, "r")]
    pieces = []
    for i, pool in enumerate(zones_of(c, v, shape, 0.4)):
        base = lug_key(i)
        own = c[pool]
        above = own.r > root + _STANDS * (v[base.of("r")] - root)
        near = np.abs(lug_angle(own, v, i)) < v[base.of("half")] * 1.3 + 2.0 / root
        top, low = v[base.of("bearing")], v[base.of("bearing")] + v[base.of("thickness")]
        slope = abs(v[base.of("slope")]) * v[base.of("half")]
        near &= (own.depth > top - _BESIDE_MM - slope) & (own.depth < low + _BESIDE_MM + slope)
        own = own[np.flatnonzero(above & near)]
        if len(own.r) < _LEAST:
            continue
        angle = lug_angle(own, v, i)
        outer = np.abs(own.r - v[base.of("r")]) < _OUTER_MM
        clear = (own.depth > top + 0.2) & (own.depth < low - 0.2)
        if clear.sum() < _LEAST:
            clear[:] = True
        first, last = np.quantile(angle[clear], [0.01, 0.99])
        v[base.of("centre")] += (first + last) / 2.0
        v[base.of("half")] = (last - first) / 2.0
        pieces.append(_Piece(lug=i, angle=angle - (first + last) / 2.0, depth=own.depth,
                             height=own.r - v[base.of("r")], outer=outer))  # fmt: skip
    if pieces:
        slope = sharpest_slope([(one.angle, one.depth) for one in pieces], steepest=_STEEPEST)
        for i in range(shape.lugs):
            v[lug_key(i, "slope")] = slope
        state = dataclasses.replace(state, shape=_flanked(pieces, v, state, slope))
    return dataclasses.replace(state, p=np.array([v[name] for name in state.names]))


def _flanked(pieces: list[_Piece], v: dict[str, float], state: State, slope: float) -> Shape:
    """Sets depths, slopes and leans of the flanks; the shape, with what of them is to be fitted."""
    shape = state.shape
    outers = [one.outer for one in pieces]
    ends = end_slopes([(one.angle, one.depth) for one in pieces], outers, slope)
    half = float(np.median([v[lug_key(one.lug, "half")] for one in pieces]))
    is_apart = abs(ends[1] - ends[0]) * half > _APART_MM
    slopes = ends if is_apart else (slope, slope)
    tall = v[lug_key(pieces[0].lug, "r")] - v[body_key(shape.root, "r")]
    leans = [_lean(pieces, one, v, tall, out) for one, out in zip(slopes, (-1, 1), strict=True)]
    found = []
    for end in (0, 1):
        levels = [one.depth - slopes[end] * one.angle - leans[end] * (one.height + tall / 2.0)
                  for one in pieces]  # fmt: skip
        found.append([pair[end] for pair in flanks_of(levels, outers)])
    for one, bearing, leading in zip(pieces, *found, strict=True):
        v[lug_key(one.lug, "bearing")] = bearing
        v[lug_key(one.lug, "thickness")] = max(leading - bearing, 0.4)
    for i in range(shape.lugs):
        base = lug_key(i)
        v[base.of("slope")] = slopes[0]
        v[base.of("twist")] = slopes[1] - slopes[0]
        v[base.of("bearing_lean")], v[base.of("leading_lean")] = leans
    names = (("twist", is_apart), ("bearing_lean", leans[0]), ("leading_lean", leans[1]))
    return dataclasses.replace(shape, flanks=tuple(name for name, is_there in names if is_there))


def _lean(pieces: list[_Piece], slope: float, v: dict[str, float], tall: float, out: int) -> float:
    levels, heights, outers = [], [], []
    for one in pieces:
        clear = np.abs(one.angle) < _CLEAR * v[lug_key(one.lug, "half")]
        levels.append((one.depth - slope * one.angle)[clear])
        heights.append(one.height[clear])
        outers.append(one.outer[clear])
    return lean_of(levels, heights, outers, tall=tall, out=out)
