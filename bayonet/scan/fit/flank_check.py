"""Flanks held against the outer face, which the fit places them without: it must end at them."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from bayonet.scan.fit.frame_points import Spots
from bayonet.scan.fit.keys import lug_key
from bayonet.scan.fit.labels import State, zones_of
from bayonet.scan.fit.surface import flank_depth, lug_angle

Array = NDArray[np.float64]

_INNER = 0.8  # of the half-width
_EDGE_MM = 0.6  # broken edges end within
_PAST_MM = 0.35  # three times a usual noise
_STRIP_MM = 0.6  # wide enough to hold _LEAST points at 40 a square mm on the smallest lug
_LEAST = 12.0  # points expected in a strip, for it to say anything
_EMPTY, _FULL = 0.08, 0.4  # share of the expected points: an edge's strip has all or none
_WIDE_MM = 0.15  # at least; four times the noise else


def contradicted(c: Spots, state: State, noise: float) -> dict[int, tuple[str, ...]]:
    """Flanks, by lug, that the lug's own outer face speaks against.

    The outer face is full of points up to a broken edge before each flank and has none past it.
    A flank with an empty strip inside it, or a full one past it, is another surface: the shoulder,
    a step, an outlier plane.
    """
    v = state.values
    found: dict[int, tuple[str, ...]] = {}
    for i, pool in enumerate(zones_of(c, v, state.shape, _EDGE_MM + _STRIP_MM)):
        half = v[lug_key(i, "half")]
        if state.shape.parallel:
            half = float(np.arcsin(min(half / v[lug_key(i, "r")], 1.0)))
        wide = max(_WIDE_MM, 4.0 * noise)
        level, below = _outer_levels(c[pool], state, i, _INNER * half, wide)
        thick = v[lug_key(i, "thickness")]
        middle = np.count_nonzero((level > 0.3 * thick) & (level < 0.7 * thick))
        expected = middle / (0.4 * thick) * _STRIP_MM
        if not expected > _LEAST:
            continue
        wrong = []
        for name, depth in (("bearing", level), ("leading", below)):
            inside = ((depth > _EDGE_MM) & (depth < _EDGE_MM + _STRIP_MM)).sum()
            past = ((depth < -_PAST_MM) & (depth > -_PAST_MM - _STRIP_MM)).sum()
            is_empty = thick > 2.0 * (_EDGE_MM + _STRIP_MM) and inside < _EMPTY * expected
            if is_empty or past > _FULL * expected:
                wrong.append(name)
        if wrong:
            found[i] = tuple(wrong)
    return found


def _outer_levels(c: Spots, state: State, i: int, reach: float, wide: float
                  ) -> tuple[Array, Array]:  # fmt: skip
    """Outer face points: how far below the bearing flank, and how far above the leading one."""
    v = state.values
    own = (np.abs(c.r - v[lug_key(i, "r")]) < wide) & (np.abs(lug_angle(c, v, i)) < reach)
    on = c[np.flatnonzero(own)]
    top, low = (flank_depth(state.shape, on, v, i, leading=one) for one in (False, True))
    return on.depth - top, low - on.depth
