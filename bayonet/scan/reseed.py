"""Lugs' first values again, in a frame and on a body that are already known well."""

from __future__ import annotations

import dataclasses

import numpy as np
from numpy.typing import NDArray

from bayonet.scan.labels import State, zones_of
from bayonet.scan.surface import lug_angle, spots

Array = NDArray[np.float64]

_STRIPS = 14
_INNER = 0.72  # of the half-width, where flanks are looked at
_STANDS = 0.3  # of a lug's height, above which its points are taken
_BESIDE_MM = 1.3
_LEAST = 4


def reseeded(xyz: Array, state: State) -> State:
    """Middles, widths, flanks and the common slope from quantiles in strips of angle."""
    c = spots(xyz, state.rotation, state.origin)
    v, shape = dict(state.values), state.shape
    root = v[f"body.{shape.root}.r"]
    slopes, weights = [], []
    for i, pool in enumerate(zones_of(c, v, shape, 0.4)):
        base = f"lug.{i}"
        own = c[pool]
        outer = own.r > root + _STANDS * (v[f"{base}.r"] - root)
        near = np.abs(lug_angle(own, v, i)) < v[f"{base}.half"] * 1.3 + 2.0 / root
        top, low = v[f"{base}.bearing"], v[f"{base}.bearing"] + v[f"{base}.thickness"]
        near &= (own.depth > top - _BESIDE_MM) & (own.depth < low + _BESIDE_MM)
        angle, depth = lug_angle(own, v, i)[outer & near], own.depth[outer & near]
        if len(angle) < 40:
            continue
        first, last = np.quantile(angle, [0.01, 0.99])
        found = _flanks(angle, depth, (first + last) / 2.0, (last - first) / 2.0)
        if found is None:
            continue
        bearing, leading, slope, weight = found
        v[f"{base}.centre"] += (first + last) / 2.0
        v[f"{base}.half"] = (last - first) / 2.0
        v[f"{base}.bearing"], v[f"{base}.thickness"] = bearing, max(leading - bearing, 0.4)
        slopes.append(slope)
        weights.append(weight)
    if slopes:
        order = np.argsort(slopes)
        total = np.cumsum(np.array(weights)[order])
        slope = float(np.array(slopes)[order][np.searchsorted(total, total[-1] / 2.0)])
        for i in range(shape.lugs):
            v[f"lug.{i}.slope"] = slope
    return dataclasses.replace(state, p=np.array([v[name] for name in state.names]))


def _flanks(
    angle: Array, depth: Array, middle: float, half: float
) -> tuple[float, float, float, float] | None:
    """Depths of both flanks at the middle, their slope, and its weight."""
    away = angle - middle
    strip = np.floor((away / (_INNER * half) + 1.0) / 2.0 * _STRIPS).astype(int)
    at, tops, lows = [], [], []
    for k in range(_STRIPS):
        own = depth[strip == k]
        if len(own) >= _LEAST:
            at.append(((k + 0.5) / _STRIPS * 2.0 - 1.0) * _INNER * half)
            top, low = np.quantile(own, [0.06, 0.94])
            tops.append(top)
            lows.append(low)
    if len(at) < 4:
        return None
    x = np.array(at)
    pairs = np.triu_indices(len(x), 2)
    rises = [((np.array(y)[pairs[1]] - np.array(y)[pairs[0]]) / (x[pairs[1]] - x[pairs[0]]))
             for y in (tops, lows)]  # fmt: skip
    slope = float(np.median(np.concatenate(rises)))
    top = float(np.median(np.array(tops) - slope * x))
    low = float(np.median(np.array(lows) - slope * x))
    return top, low, slope, half**3 * len(angle)
