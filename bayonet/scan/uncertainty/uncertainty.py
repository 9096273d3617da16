"""Uncertainty of each dimension, and what lugs of an even set tell together."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from bayonet.mechanics import signed_deg
from bayonet.scan.fit import (
    LEAD,
    LEADING_LEAD,
    POSE,
    Key,
    Refined,
    Shape,
    inverse,
    lug_key,
    prior,
)
from bayonet.scan.uncertainty.coverage import faces_of, width_deg
from bayonet.scan.uncertainty.hidden_lugs import Completed

Array = NDArray[np.float64]

SHARED = ("width", "width_deg", "outer_diameter", "bearing_depth", "thickness")
# worse than that, a value is no value: no calliper is so bad
_TELLS = {"mm": 0.25, "deg": 1.0, "mm/rev": 4.0}
_LEAST, _TOGETHER = 12, 24  # points of one face, of the same face of all lugs
_MISFIT_MM = 0.05  # from which a face has no value; less widens its uncertainty
_STEEP = 45.0  # deg a mm, on a lug of 1.3 mm height
_FACES = {
    "bearing_depth": ("lug.bearing",), "thickness": ("lug.bearing", "lug.leading"),
    "lead": ("lug.bearing", "lug.leading"), "leading_lead": ("lug.leading",),
    "bearing_flank_deg": ("lug.bearing",), "leading_flank_deg": ("lug.leading",),
    "width": ("lug.side",), "width_deg": ("lug.side",), "outer_diameter": ("lug.outer",),
}  # fmt: skip
_APART = 4.5  # of a lug's own uncertainty, from the mean of all: they are not alike


@dataclass(frozen=True, kw_only=True)
class Uncertainty:
    """Standard uncertainty by key, and which keys the scan tells."""

    u: dict[str, float]
    told: dict[str, bool]
    covariance: Array  # over the fit's keys
    pooled: dict[str, int] = field(default_factory=dict)  # a lug whose value all lugs together tell
    unlike: dict[str, dict[int, float]] = field(
        default_factory=dict
    )  # by name: lugs' own values; middles off the pitch
    why: dict[str, str] = field(default_factory=dict)  # by name: why no lug tells it


def uncertainty_of(end: Refined) -> tuple[Uncertainty, float]:
    """Uncertainty by the fit's covariance, and how many times white noise's it is in the median.

    White noise gives the inverse of the information; what is smooth in the residuals, and form
    errors too small to be kept, come on top by their covariance of the right sides.
    """
    white = inverse(end.information / end.noise**2 + np.diag(prior(end.keys)))
    spread = white + white @ end.scatter @ white / end.noise**4
    squares = np.maximum(np.diag(spread), 0.0)
    u = dict(zip(end.keys, np.sqrt(squares).tolist(), strict=True))
    times = squares / np.maximum(np.diag(white), 1e-300)
    inflate = math.sqrt(float(np.median(times[times > 0.0])))
    own = dict(zip(end.keys, np.diag(end.information).tolist(), strict=True))
    tells = {key: own[key] > 0.0 and 0.0 < u[key] < _TELLS[Key(key).unit] for key in end.keys}
    for key in end.keys:
        faces = faces_of(key)
        if faces is not None:
            tells[key] = tells[key] and all(end.labelled.count(face) >= _LEAST for face in faces)
            tells[key] = tells[key] and not any(_is_against(end, face) for face in faces)
    why = {}
    for key in map(Key, end.keys):
        bad = end.misfit.get(_rests_on(key, end))
        if bad is None:
            continue
        more = bad.mm * _per_mm(key, end)
        u[key] = math.hypot(u[key], more)
        spread[end.keys.index(key), end.keys.index(key)] += more**2
        if bad.mm > _MISFIT_MM:
            tells[key], why[key.name] = False, bad.what
    return Uncertainty(u=u, told=tells, covariance=spread, why=why), inflate


def _rests_on(key: Key, end: Refined) -> str:
    """The kind of face whose misfit a dimension of the lugs suffers from most."""
    kinds = _FACES.get(key.name, ()) if key.is_lug or key.part == key else ()
    if key == LEAD and LEADING_LEAD in end.keys:
        kinds = kinds[:1]
    return max(kinds, key=lambda kind: end.misfit[kind].mm if kind in end.misfit else 0.0,
               default="")  # fmt: skip


def _per_mm(key: Key, end: Refined) -> float:
    """How far a dimension may be off by a misfit of 1 mm between a face's middle and its edge."""
    if key.unit == "mm":
        return 1.0
    r = end.values[lug_key(0, "outer_diameter")] / 2.0
    if key.unit == "mm/rev":
        return 360.0 / width_deg(end.values, lug_key(0))
    return math.degrees(1.0 / r) if key.name == "width_deg" else _STEEP


def _is_against(end: Refined, face: str) -> bool:
    """Whether a lug's own outer face speaks against a flank."""
    key = Key(face)
    return key.is_lug and key.name in end.against.get(key.number or 0, ())


def hidden_middle(
    i: int, end: Refined, shape: Shape, uncertainty: Uncertainty, set_: Completed
) -> float:
    """What moves a lug's depth to where its middle must be, if its own sides do not show it."""
    sure = [k for k in range(shape.lugs) if uncertainty.told[lug_key(k, "centre_deg")]]
    if set_.total is None or i in sure or not sure:
        return 0.0
    turn = 360.0 * (set_.place[i] - set_.place[sure[0]]) / set_.total
    away = end.values[lug_key(sure[0], "centre_deg")] + turn - end.values[lug_key(i, "centre_deg")]
    return shape.sign * end.values["lead"] * signed_deg(away) / 360.0


def shared_by(
    end: Refined, set_: Completed, uncertainty: Uncertainty, odd: set[tuple[int, str]]
) -> tuple[dict[str, float], Uncertainty]:
    """Values of an even set: one width, depth, diameter and thickness, one spacing.

    Lugs are weighed by white noise; the uncertainty is that of such a mean by the whole covariance.
    Where lugs differ by more than their own uncertainties, it covers the farthest of them.
    """
    assert set_.total is not None
    columns: dict[str, int] = {}
    rows, start = [], np.zeros(len(end.keys))
    values = np.array([end.values.get(key, 0.0) for key in end.keys])
    alone = {key.name for key in map(Key, end.keys) if key.is_lug and uncertainty.told[key]}
    for row, key in enumerate(map(Key, end.keys)):
        label: str = key
        # a part of a lug that tells nothing itself is not asked where others do
        asked = uncertainty.told[key] or key.name not in alone
        if key.is_lug and key.number is not None and asked and (key.number, key.name) not in odd:
            if key.name == "centre_deg":
                label, turn = "centre", 360.0 * set_.place[key.number] / set_.total
                base = end.values[lug_key(0, "centre_deg")] - 360.0 * set_.place[0] / set_.total
                away = signed_deg(values[row] - base - turn)
                start[row], values[row] = base + turn, base + turn + away
            elif key.name in SHARED:
                label = key.name
        rows.append(columns.setdefault(label, len(columns)))
    maker = np.zeros((len(end.keys), len(columns)))
    maker[np.arange(len(end.keys)), rows] = 1.0
    cold = end.information / end.noise**2 + np.diag(prior(end.keys)) * 1e-6
    spread = inverse(maker.T @ cold @ maker)
    fitted = start + maker @ (spread @ (maker.T @ (cold @ (values - start))))
    mean = maker @ inverse(maker.T @ (cold + np.diag(prior(end.keys))) @ maker) @ maker.T
    whole = mean + mean @ end.scatter @ mean / end.noise**4
    unlike = {}
    for name in ("centre_deg", *SHARED):
        own, away = _own(name, end, uncertainty, odd, values - fitted)
        if any(abs(one) > _APART * uncertainty.u[lug_key(i, name)] for i, one in away.items()):
            is_place = name == "centre_deg"
            unlike[name] = away if is_place else {i: float(values[row]) for i, row in own.items()}
            for row in _alike(name, end, odd).values():
                whole[row, row] += (max(map(abs, away.values())) / 2.0) ** 2
    for row, key in enumerate(map(Key, end.keys)):
        bad = end.misfit.get(_rests_on(key, end))
        if bad is not None:
            whole[row, row] += (bad.mm * _per_mm(key, end)) ** 2
    u = np.sqrt(np.maximum(np.diag(whole), 0.0))
    keys = end.keys
    new = {key: float(fitted[i]) for i, key in enumerate(keys) if key not in POSE}
    by_u = dict(zip(keys, u.tolist(), strict=True))
    pooled = _pooled(end, by_u, odd, uncertainty.why)
    told = {key: uncertainty.told[key] and u < _TELLS[Key(key).unit] for key, u in by_u.items()}
    return new, Uncertainty(u=by_u, told=told, covariance=whole, pooled=pooled, unlike=unlike,
                            why=uncertainty.why)  # fmt: skip


def _alike(name: str, end: Refined, odd: set[tuple[int, str]]) -> dict[int, int]:
    """By lug, the row of a value in the fit's keys; lugs that are odd in it left out."""
    rows = {key.number: row for row, key in enumerate(map(Key, end.keys))
            if key.is_lug and key.name == name}  # fmt: skip
    return {i: row for i, row in rows.items() if i is not None and (i, name) not in odd}


def _own(
    name: str, end: Refined, uncertainty: Uncertainty, odd: set[tuple[int, str]], away: Array
) -> tuple[dict[int, int], dict[int, float]]:
    """Rows of lugs that tell a value by themselves, and how far each is from the mean.

    A depth is one at the lug's middle: where its sides do not show that, it says nothing.
    """
    rows = {}
    for i, row in _alike(name, end, odd).items():
        placed = name != "bearing_depth" or uncertainty.told[lug_key(i, "centre_deg")]
        if uncertainty.told[end.keys[row]] and placed:
            rows[i] = row
    return rows, {i: float(away[row]) for i, row in rows.items()}


def _pooled(
    end: Refined, u: Mapping[str, float], odd: set[tuple[int, str]], why: Mapping[str, str]
) -> dict[str, int]:
    """What even lugs tell together, by a lug that has the value: enough points on all their faces.

    For lugs of which each shows too little to tell it alone.
    """
    found: dict[str, int] = {}
    for name in ("centre_deg", *SHARED):
        lugs = list(_alike(name, end, odd))
        if name in why or not lugs or not u[lug_key(lugs[0], name)] < 0.5 * _TELLS[Key(name).unit]:
            continue
        faces = [faces_of(lug_key(i, name)) or () for i in lugs]
        if all(
            sum(end.labelled.count(face) for face in same) >= _TOGETHER
            for same in zip(*faces, strict=True)
        ):
            found[name] = lugs[0]
    return found
