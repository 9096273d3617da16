"""Lugs' first values again, in a frame and on a body that are already known well."""

from __future__ import annotations

import dataclasses

import numpy as np
from numpy.typing import NDArray

from bayonet.scan.find import flanks_of, sharpest_slope
from bayonet.scan.fit.frame_points import spots
from bayonet.scan.fit.keys import body_key, lug_key
from bayonet.scan.fit.labels import State, zones_of
from bayonet.scan.fit.surface import lug_angle

Array = NDArray[np.float64]

_STANDS = 0.3  # of a lug's height, above which its points are taken
_OUTER_MM = 0.35  # three times a usual noise
_BESIDE_MM = 1.3  # what a first depth may be off
_LEAST = 40  # points, from which first values are taken anew
_STEEPEST = 25.0 / (2.0 * np.pi)  # mm a rad


def reseeded(xyz: Array, state: State) -> State:
    """Middles and widths from quantiles, flanks and the common slope where points crowd."""
    c = spots(xyz, state.rotation, state.origin)
    v, shape = dict(state.values), state.shape
    root = v[body_key(shape.root, "r")]
    seen, pieces, outers = [], [], []
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
        seen.append(i)
        pieces.append((angle - (first + last) / 2.0, own.depth))
        outers.append(outer)
    if seen:
        slope = sharpest_slope(pieces, steepest=_STEEPEST)
        levels = [depth - slope * angle for angle, depth in pieces]
        for i, (bearing, leading) in zip(seen, flanks_of(levels, outers), strict=True):
            v[lug_key(i, "bearing")], v[lug_key(i, "thickness")] = bearing, leading - bearing
        for i in range(shape.lugs):
            v[lug_key(i, "slope")] = slope
    return dataclasses.replace(state, p=np.array([v[name] for name in state.names]))
