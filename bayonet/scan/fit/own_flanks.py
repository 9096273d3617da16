"""Whether flanks are what the plainest lug's are: of one lead, and square to the axis.

Bearing and leading flanks are asked each for themselves, lug by lug; what hangs on one lug alone is
wear, and no form of the set.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Mapping

import numpy as np
from numpy.typing import NDArray

from bayonet.scan.fit.frame_points import Spots, spots
from bayonet.scan.fit.keys import Key, body_key, lug_key
from bayonet.scan.fit.labels import State, zones_of
from bayonet.scan.fit.surface import FLANKS, Face, faces, lug_angle

Array = NDArray[np.float64]

_REACH_MM, _PART = 1.2, 0.35  # from where a flank was thought, or so much of a thickness
_EDGE_MM, _EDGE_PART = 0.5, 0.22  # left out beside edges: mm, or a part of a small lug
_LEAST = 20  # points: a slope to a quarter of the noise over the width
_ROUNDS, _WIDE = 8, 5.0  # of a robust plane; standard deviations
_SURE = 3.5  # standard deviations, with any lug left out
_LEAST_MM = 0.005  # over a half-width or half a height: below any scan's form errors

Told = Mapping[str, list[tuple[float, float]]]  # by name of `FLANKS`: lug by lug, value and u


def told_apart(xyz: Array, state: State, noise: float) -> tuple[str, ...]:
    """Names of `FLANKS` that the lugs show, each with any one lug left out.

    Parameters
    ----------
    xyz : array (n, 3)
    state : State
        Close to the fit's end.
    noise : float
        [mm]
    """
    found = _each(spots(xyz, state.rotation, state.origin), state, noise)
    v, shape = state.values, state.shape
    half = float(np.median([v[lug_key(i, "half")] for i in range(shape.lugs)]))
    if shape.parallel:
        half /= v[lug_key(0, "r")]
    tall = v[lug_key(0, "r")] - v[body_key(shape.root, "r")]
    arm = {"twist": half, "bearing_lean": tall / 2.0, "leading_lean": tall / 2.0}
    return tuple(name for name in FLANKS if _hangs_on_all(found[name], _LEAST_MM / arm[name]))


def with_flanks(state: State, flanks: tuple[str, ...]) -> State:
    """The state with just these of `FLANKS` fitted, the others as the plainest lug has them."""
    v = state.values
    kept = [0.0 if Key(name).name in FLANKS and Key(name).name not in flanks else v[name]
            for name in state.names]  # fmt: skip
    shape = dataclasses.replace(state.shape, flanks=flanks)
    return dataclasses.replace(state, shape=shape, p=np.array(kept))


def _hangs_on_all(values: list[tuple[float, float]], least: float) -> bool:
    """Whether the weighted mean is away from zero, the same way, whichever value is left out."""
    if not values:
        return False
    lots = [values] if len(values) == 1 else [values[:i] + values[i + 1 :]
                                              for i in range(len(values))]  # fmt: skip
    means = []
    for lot in lots:
        weight = np.array([u**-2 for _, u in lot])
        mean = float(np.average([value for value, _ in lot], weights=weight))
        if abs(mean) < max(_SURE / np.sqrt(weight.sum()), least):
            return False
        means.append(mean)
    return len({mean > 0.0 for mean in means}) == 1


def _each(c: Spots, state: State, noise: float) -> dict[str, list[tuple[float, float]]]:
    """Twist and leans lug by lug, with their standard uncertainties by white noise."""
    found: dict[str, list[tuple[float, float]]] = {name: [] for name in FLANKS}
    v = state.values
    slopes: dict[tuple[int, str], tuple[float, float]] = {}
    zones = zones_of(c, v, state.shape, _REACH_MM)
    for face in faces(state.shape):
        if face.lug is None or face.group not in ("lug.bearing", "lug.leading"):
            continue
        kind = face.group.removeprefix("lug.")
        plane = _plane(c[zones[face.lug]], face, state, noise)
        if plane is None:
            continue
        (slope, lean), (slope_u, lean_u) = plane
        slopes[face.lug, kind] = slope, slope_u
        own = f"{kind}_lean"
        found[own].append((v[lug_key(face.lug, own)] + lean, lean_u))
    for i in range(state.shape.lugs):
        if (i, "bearing") in slopes and (i, "leading") in slopes:
            (one, one_u), (other, other_u) = slopes[i, "bearing"], slopes[i, "leading"]
            value = v[lug_key(i, "twist")] + other - one
            found["twist"].append((value, float(np.hypot(one_u, other_u))))
    return found


def _plane(c: Spots, face: Face, state: State, noise: float
           ) -> tuple[tuple[float, float], tuple[float, float]] | None:  # fmt: skip
    """Slope and lean of a flank beyond the state's, robustly (biweight), and uncertainties."""
    v, shape = state.values, state.shape
    i = face.lug or 0
    root, outer = v[body_key(shape.root, "r")], v[lug_key(i, "r")]
    edge = min(_EDGE_MM, _EDGE_PART * (outer - root))
    off = face.off(c, v) * (1.0 if face.group == "lug.leading" else -1.0)
    near = np.abs(off) < min(_REACH_MM, _PART * v[lug_key(i, "thickness")])
    insets = face.insets(c, v)
    near &= (insets["side"] > _EDGE_MM) & (c.r > root + edge) & (c.r < outer - edge)
    off, angle, r = off[near], lug_angle(c, v, i)[near], c.r[near]
    if len(off) < _LEAST:
        return None
    rows = np.column_stack([np.ones(len(off)), angle, r - (root + outer) / 2.0])
    step = np.array([float(np.median(off)), 0.0, 0.0])
    weight, square = np.ones(len(off)), np.eye(3)
    for turn in range(_ROUNDS):
        away = off - rows @ step
        scale = max(_WIDE * noise, 3.0 * float(np.median(np.abs(away))) * 0.5**turn)
        weight = np.maximum(1.0 - (away / scale) ** 2, 0.0) ** 2
        square = (rows * weight[:, None]).T @ rows
        if not np.linalg.cond(square) < 1e9:
            return None
        step = np.linalg.solve(square, (rows * weight[:, None]).T @ off)
    if (weight > 0.3).sum() < max(_LEAST, 0.5 * len(off)):
        return None
    u = noise * np.sqrt(np.diag(np.linalg.inv(square)))
    return (float(step[1]), float(step[2])), (float(u[1]), float(u[2]))
