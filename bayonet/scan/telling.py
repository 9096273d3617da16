"""What a finished fit may claim: values, uncertainties, what was seen, what follows by symmetry."""

from __future__ import annotations

import dataclasses
import math
from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bayonet.errors import ScanError
from bayonet.scan.correlation import inflation, scattered
from bayonet.scan.faces import Shape
from bayonet.scan.refine import POSE, Refined, inverse, prior
from bayonet.scan.result import FeatureValue, ScanResult
from bayonet.scan.unseen import Completed

Array = NDArray[np.float64]

_TELLS = {"mm": 0.25, "deg": 1.0, "mm/rev": 4.0}
_SAME = {"mm": 0.12, "deg": 0.6}
_LEAST_EXPLAINED = 0.35
_SHARED = ("width", "width_deg", "outer_diameter", "bearing_depth", "thickness")
_STRUCTURAL = ("width", "width_deg", "centre_deg")
_WORDS = {
    "shoulder_diameter": "shoulder diameter", "groove.diameter": "groove: diameter",
    "groove.width": "groove: width", "groove.at_depth": "groove: depth of its nearer wall",
    "groove.depth": "groove: depth", "centre_deg": "middle", "width": "width",
    "width_deg": "width", "outer_diameter": "diameter over it", "thickness": "thickness",
    "bearing_depth": "depth of bearing flank", "lead": "lead", "diameter": "diameter",
    "to_depth": "depth of its end",
}  # fmt: skip


@dataclass(frozen=True, kw_only=True)
class _Doubt:
    """Standard uncertainty by key, and which keys the scan tells."""

    u: dict[str, float]
    told: dict[str, bool]


def told(
    end: Refined,
    shape: Shape,
    set_: Completed,
    *,
    name: str,
    lost: Mapping[int, float],
    facet_mm: float = 0.0,
) -> ScanResult:
    """The result of a fit.

    Raises
    ------
    ScanError
        If fewer than two lugs are there.
    """
    form, rest = _form(end)
    inflate, length = inflation(end, rest)
    doubt = _doubt(end, inflate)
    flags, odd = _odd(end, shape, set_, doubt, lost)
    is_equal = set_.total is not None and not any(key in _STRUCTURAL for _, key in odd)
    total = set_.total if is_equal and set_.total is not None else shape.lugs
    if total < 2:
        raise ScanError(f"{name}: one lug seen and nothing tells where others are; 2 to 8 are read")
    _refuse_doubtful(end, shape, set_, is_equal=is_equal, name=name)
    if is_equal:
        values, doubt = _shared(end, set_, doubt, odd, inflate)
    else:
        values = dict(end.values)
    lead_u = doubt.u["lead"]
    sign = shape.sign if values["lead"] >= 0 else -shape.sign
    is_flat = not abs(values["lead"]) > max(4.0 * lead_u, 0.1)
    features = _features(values, doubt, end, shape, set_, is_equal, total)
    features = tuple(_with_facets(one, facet_mm) for one in features)
    on = end.labelled.face >= 0
    return ScanResult(
        rotation=end.pose.rotation, origin_mm=end.pose.origin, features=features, lugs=total,
        hand=None if is_flat else ("left" if sign > 0 else "right"), is_equal=is_equal,
        sides="parallel" if shape.parallel else "radial", groove=shape.groove, flags=flags,
        form=form, residual_mm=end.labelled.residual[on], theta_deg=end.labelled.theta[on],
        depth_mm=end.labelled.depth[on], radius_mm=end.labelled.r[on], noise_mm=end.noise,
        correlation_mm=length, warnings=_warnings(features, set_, inflate, is_flat, is_equal),
    )  # fmt: skip


def _with_facets(one: FeatureValue, facet_mm: float) -> FeatureValue:
    """A model's flat facets lie inside its round faces by up to the sagitta: part of the doubt."""
    if not (facet_mm > 0.0 and one.unit == "mm"):
        return one
    return dataclasses.replace(one, u=math.hypot(one.u, facet_mm))


def _refuse_doubtful(
    end: Refined, shape: Shape, set_: Completed, *, is_equal: bool, name: str
) -> None:
    """Refuse what would be a guess: a plug that explains little, or uneven lugs half hidden."""
    seen = end.labelled
    rim = max(end.values.get("shoulder_diameter", 0.0), end.values["body.0.diameter"]) / 2.0
    nose = end.values[f"body.{shape.bodies - 1}.to_depth"]
    within = (seen.r < rim - 0.3) & (seen.depth > 0.3) & (seen.depth < nose - 0.3)
    share = float((seen.face[within] >= 0).mean()) if within.any() else 0.0
    if not share > _LEAST_EXPLAINED:
        rule = f"the plug found explains only {share:.0%} of the points between shoulder and nose"
        raise ScanError(f"{name}: {rule}: more parts than one, a wrong axis, or no such plug")
    narrow = min(_half_deg(end, i) * 2.0 for i in range(shape.lugs))
    if not is_equal and set_.gap_deg > 0.8 * narrow:
        rule = (
            f"lugs are uneven and {set_.gap_deg:.0f} deg of the way round was not seen, room for"
            " another: scan all round"
        )
        raise ScanError(f"{name}: {rule}")


def _half_deg(end: Refined, number: int) -> float:
    wide = end.values.get(f"lug.{number}.width_deg")
    if wide is not None:
        return wide / 2.0
    outer = end.values[f"lug.{number}.outer_diameter"]
    return math.degrees(math.asin(min(end.values[f"lug.{number}.width"] / outer, 1.0)))


def unit_of(key: str) -> str:
    """Unit of a dimension's key."""
    return "mm/rev" if key.endswith("lead") else "deg" if key.endswith("_deg") else "mm"


def _form(end: Refined) -> tuple[tuple[FeatureValue, ...], Array]:
    """Ovality and taper of the bodies, and the residuals without them."""
    seen = end.labelled
    body = np.array([name.startswith("body") for name in seen.names])
    own = (seen.face >= 0) & body[seen.face]
    turn = np.radians(2.0 * seen.theta[own])
    depth = seen.depth[own] - seen.depth[own].mean() if own.any() else np.zeros(0)
    rows = np.column_stack([np.cos(turn), np.sin(turn), depth, np.ones(int(own.sum()))])
    rest = seen.residual.copy()
    if own.sum() < 50:
        return (), rest
    square = rows.T @ rows
    found = np.linalg.lstsq(rows, seen.residual[own], rcond=None)[0]
    rest[own] -= rows[:, :3] @ found[:3]
    spread = end.noise * np.sqrt(np.diag(inverse(square)))
    oval = math.hypot(found[0], found[1])
    values = (
        (
            "ovality",
            "bodies: ovality, largest less smallest diameter",
            4 * oval,
            4 * spread[0],
            "mm",
        ),
        (
            "taper",
            "bodies: growth of diameter per mm of depth",
            2 * found[2],
            2 * spread[2],
            "mm/mm",
        ),
    )
    return tuple(
        FeatureValue(key=key, meaning=words, value=float(value), u=float(u), unit=unit,
                     coverage=1.0, found="measured")
        for key, words, value, u, unit in values
    ), rest  # fmt: skip


def _doubt(end: Refined, inflate: float) -> _Doubt:
    spread = inverse(end.information / (end.noise * inflate) ** 2 + np.diag(prior(end.keys)))
    u = dict(zip(end.keys, np.sqrt(np.maximum(np.diag(spread), 0.0)).tolist(), strict=True))
    u |= {key: max(u[key], one) for key, one in scattered(end).items()}
    own = dict(zip(end.keys, np.diag(end.information).tolist(), strict=True))
    tells = {key: own[key] > 0.0 and 0.0 < u[key] < _TELLS[unit_of(key)] for key in end.keys}
    for key in end.keys:
        faces = _faces_of(key)
        if faces is not None:
            tells[key] = tells[key] and all(_count(end, face) >= 12 for face in faces)
            tells[key] = tells[key] and not any(_is_against(end, face) for face in faces)
    return _Doubt(u=u, told=tells)


def _faces_of(key: str) -> tuple[str, ...] | None:
    """Faces without which a dimension is not seen."""
    parts = key.split(".")
    if parts[0] == "lug":
        base = f"lug.{parts[1]}"
        sides = (f"{base}.side-1", f"{base}.side+1")
        return {"outer_diameter": (f"{base}.outer",), "bearing_depth": (f"{base}.bearing",),
                "thickness": (f"{base}.bearing", f"{base}.leading"),
                }.get(parts[2], sides)  # fmt: skip
    if parts[0] == "body":
        return (f"body.{parts[1]}",) if parts[2] == "diameter" else (f"step.{parts[1]}",)
    return {"shoulder_diameter": ("rim",), "groove.depth": ("groove.bottom",)}.get(key)


def _is_against(end: Refined, face: str) -> bool:
    """Whether a lug's own outer face speaks against a flank."""
    parts = face.split(".")
    return parts[0] == "lug" and parts[2] in end.against.get(int(parts[1]), ())


def _count(end: Refined, name: str) -> int:
    own = [i for i, other in enumerate(end.labelled.names) if other == name]
    return int(np.isin(end.labelled.face, own).sum())


def _odd(
    end: Refined, shape: Shape, set_: Completed, doubt: _Doubt, lost: Mapping[int, float]
) -> tuple[tuple[tuple[int, str], ...], set[tuple[int, str]]]:
    """Lugs that differ from the others by more than their doubt, in words and by key."""
    flags, odd = [], set()
    names = ["width" if shape.parallel else "width_deg", "outer_diameter", "bearing_depth",
             "thickness"]  # fmt: skip
    for name in names:
        keys = [f"lug.{i}.{name}" for i in range(shape.lugs)]
        seen = [i for i, key in enumerate(keys) if doubt.told[key]]
        if len(seen) < 2:
            continue
        middle = float(np.median([end.values[keys[i]] for i in seen]))
        for i in seen:
            away = end.values[keys[i]] - middle
            limit = max(4.5 * doubt.u[keys[i]], _SAME[unit_of(keys[i])])
            if name == "width_deg":
                limit = max(limit, 0.04 * middle)
            if name == "width":
                limit = max(limit, 0.03 * middle)
            if abs(away) > limit:
                odd.add((i, name))
                if name not in _STRUCTURAL:
                    words = f"its {_WORDS[name]} differs by {away:+.3f} mm from the others: worn?"
                    flags.append((i if set_.total is None else set_.place[i], words))
    for i, flanks in end.against.items():
        odd |= {(i, "bearing_depth"), (i, "thickness")}
        words = f"its outer face does not end at the {' and '.join(flanks)} flank found: no value"
        flags.append((i if set_.total is None else set_.place[i], words))
    for i, middle in lost.items():
        odd |= {(i, "bearing_depth"), (i, "thickness")}
        words = f"a flank lies {middle:+.3f} mm off on a third of its width: worn?"
        flags.append((i if set_.total is None else set_.place[i], words))
    return tuple(flags), odd


def _shared(
    end: Refined, set_: Completed, doubt: _Doubt, odd: set[tuple[int, str]],
    inflate: float,
) -> tuple[dict[str, float], _Doubt]:  # fmt: skip
    """Values of an even set: one width, depth, diameter and thickness, one spacing."""
    assert set_.total is not None
    columns: dict[str, int] = {}
    rows, start = [], np.zeros(len(end.keys))
    values = np.array([end.values.get(key, 0.0) for key in end.keys])
    for row, key in enumerate(end.keys):
        parts = key.split(".")
        label = key
        if parts[0] == "lug" and (int(parts[1]), parts[2]) not in odd:
            if parts[2] == "centre_deg":
                label, turn = "centre", 360.0 * set_.place[int(parts[1])] / set_.total
                base = end.values["lug.0.centre_deg"] - 360.0 * set_.place[0] / set_.total
                away = (values[row] - base - turn + 180.0) % 360.0 - 180.0
                start[row], values[row] = base + turn, base + turn + away
            elif parts[2] in _SHARED:
                label = parts[2]
        rows.append(columns.setdefault(label, len(columns)))
    maker = np.zeros((len(end.keys), len(columns)))
    maker[np.arange(len(end.keys)), rows] = 1.0
    weight = end.information / (end.noise * inflate) ** 2
    cold = weight + np.diag(prior(end.keys)) * 1e-6
    spread = inverse(maker.T @ cold @ maker)
    fitted = start + maker @ (spread @ (maker.T @ (cold @ (values - start))))
    u = np.sqrt(np.maximum(np.diag(maker @ spread @ maker.T), 0.0))
    keys = end.keys
    new = {key: float(fitted[i]) for i, key in enumerate(keys) if key not in POSE}
    by_u = dict(zip(keys, u.tolist(), strict=True))
    by_u |= {key: doubt.u[key] for key in keys if not key.startswith("lug.")}
    return new, _Doubt(u=by_u, told=doubt.told)


def _features(
    values: dict[str, float], doubt: _Doubt, end: Refined, shape: Shape, set_: Completed,
    is_equal: bool, total: int,
) -> tuple[FeatureValue, ...]:  # fmt: skip
    found = [
        _feature(key, values[key], doubt, end)
        for key in values
        if not key.startswith("lug.") and key != "lead"
    ]
    if "shoulder_diameter" not in values:
        found.insert(0, _missing("shoulder_diameter", "the rim was not seen"))
    names = ("centre_deg", "width" if shape.parallel else "width_deg", *_SHARED[2:])
    where = {set_.place[i] if is_equal else i: i for i in range(shape.lugs)}
    flat = _lead(values, doubt)
    for number in range(total):
        found += [
            _lug_value(number, name, where, values, doubt, end, is_equal, total) for name in names
        ]
        found.append(
            FeatureValue(key=f"lug.{number}.lead", meaning=f"lug {number + 1}: lead",
                         value=flat[0], u=flat[1], unit="mm/rev",
                         coverage=1.0 if number in where else 0.0,
                         found=("measured" if number in where else "by symmetry") if flat[2]
                         else "not seen", note="one lead fitted to all lugs")
        )  # fmt: skip
    return tuple(found)


def _lead(values: dict[str, float], doubt: _Doubt) -> tuple[float, float, bool]:
    """Lead, its uncertainty, and whether the scan tells it."""
    return abs(values["lead"]), doubt.u["lead"], doubt.told["lead"]


def _lug_value(
    number: int, name: str, where: dict[int, int], values: dict[str, float], doubt: _Doubt,
    end: Refined, is_equal: bool, total: int,
) -> FeatureValue:  # fmt: skip
    key = f"lug.{number}.{name}"
    own = f"lug.{where[number]}.{name}" if number in where else None
    if own is not None and doubt.told[own]:
        one = _feature(own, values[own], doubt, end)
        return FeatureValue(key=key, meaning=_meaning(key), value=one.value, u=one.u,
                            unit=one.unit, coverage=one.coverage, found=one.found)  # fmt: skip
    sure = [i for i in where.values() if doubt.told[f"lug.{i}.{name}"]]
    if not is_equal or not sure:
        return _missing(key, "its faces were not seen")
    like = f"lug.{sure[0]}.{name}"
    value = values[like]
    if name == "centre_deg":
        there = next(k for k, i in where.items() if i == sure[0])
        value = (value + 360.0 * (number - there) / total) % 360.0
    return FeatureValue(key=key, meaning=_meaning(key), value=value, u=doubt.u[like],
                        unit=unit_of(key), coverage=0.0, found="by symmetry",
                        note="taken from the lugs that were seen")  # fmt: skip


def _feature(key: str, value: float, doubt: _Doubt, end: Refined) -> FeatureValue:
    if not doubt.told[key]:
        return _missing(key, "too few points show it")
    shown = value % 360.0 if key.endswith("centre_deg") else value
    return FeatureValue(key=key, meaning=_meaning(key), value=shown, u=doubt.u[key],
                        unit=unit_of(key), coverage=_coverage(key, end),
                        found="measured")  # fmt: skip


def _missing(key: str, note: str) -> FeatureValue:
    return FeatureValue(key=key, meaning=_meaning(key), value=math.nan, u=math.nan,
                        unit=unit_of(key), coverage=0.0, found="not seen", note=note)  # fmt: skip


def _meaning(key: str) -> str:
    parts = key.split(".")
    if parts[0] in ("lug", "body"):
        what = f"lug {int(parts[1]) + 1}" if parts[0] == "lug" else f"body step {int(parts[1]) + 1}"
        return f"{what}: {_WORDS[parts[2]]}"
    return _WORDS.get(key, key)


def _coverage(key: str, end: Refined) -> float:
    """Share of a face's cells (along its circle, or its angle or radius) that hold points."""
    names = _faces_of(key) or ("groove.bottom" if key == "groove.diameter" else "groove.wall",)
    seen, shares = end.labelled, []
    for name in names:
        own = np.isin(seen.face, [i for i, other in enumerate(seen.names) if other == name])
        if not own.any():
            return 0.0
        if not name.startswith("lug."):
            cells = np.unique((seen.theta[own] % 360.0 // 3.0).astype(int))
            shares.append(len(cells) / 120.0)
        else:
            shares.append(min(float(own.sum()) / 60.0, 1.0))
    return min(shares)


def _warnings(
    features: tuple[FeatureValue, ...], set_: Completed, inflate: float,
    is_flat: bool, is_equal: bool,
) -> tuple[str, ...]:  # fmt: skip
    found = []
    if set_.hidden_deg >= 9.0:
        found.append(f"nothing was seen on {set_.hidden_deg:.0f} deg of the way round")
        if not is_equal:
            found.append("lugs are uneven: one more may stand where nothing was seen")
    missing = [one.meaning for one in features if one.found == "not seen"]
    if missing:
        found.append("not seen, no value given: " + "; ".join(missing))
    guessed = sorted({one.meaning.split(":")[0] for one in features if one.found == "by symmetry"})
    if guessed:
        found.append("by symmetry, not measured: " + ", ".join(guessed))
    if inflate > 1.3:
        found.append(
            f"residuals of neighbours agree: uncertainties are {inflate:.1f} times what white noise"
            " would give"
        )
    if is_flat:
        found.append("the lugs are flat: their scan does not tell which way locks")
    return tuple(found)
