"""What a finished fit may claim: values, uncertainties, what was seen, what follows by symmetry."""

from __future__ import annotations

import dataclasses
import math
from collections.abc import Mapping

import numpy as np
from numpy.typing import NDArray

from bayonet.errors import ScanError
from bayonet.mechanics import signed_deg
from bayonet.scan.fit import (
    LEAD,
    LEADING_LEAD,
    POSE,
    FeatureValue,
    Key,
    Refined,
    ScanResult,
    Shape,
    body_key,
    lug_key,
)
from bayonet.scan.uncertainty.coverage import coverage, width_deg
from bayonet.scan.uncertainty.ends_and_leads import Beside, Leads
from bayonet.scan.uncertainty.evenness import room_deg
from bayonet.scan.uncertainty.form import form_of, notable
from bayonet.scan.uncertainty.hidden_lugs import Completed
from bayonet.scan.uncertainty.overlooked_lugs import refuse_missed
from bayonet.scan.uncertainty.round_lugs import refuse_round
from bayonet.scan.uncertainty.uncertainty import (
    SHARED,
    Uncertainty,
    hidden_middle,
    shared_by,
    uncertainty_of,
)
from bayonet.scan.uncertainty.words import WORDS, differences, warnings_of

Array = NDArray[np.float64]

_SAME = {"mm": 0.12, "deg": 0.6}  # lugs of a moulded part differ by less
# of the points between shoulder and nose; the rest of a plug is ribs and marks
_LEAST_EXPLAINED = 0.5
_ROOM = 0.9  # of a lug's width, that one more needs; the arc counted may hold one point
_OF_FLANKS = (LEAD, LEADING_LEAD, "bearing_flank_deg", "leading_flank_deg")
_STRUCTURAL = ("width", "width_deg", "centre_deg")


def told(
    end: Refined,
    shape: Shape,
    set_: Completed,
    *,
    name: str,
    lost: Mapping[int, float],
    beside: Beside,
    facet_mm: float = 0.0,
    mm: float = 1.0,
) -> ScanResult:
    """The result of a fit.

    Parameters
    ----------
    end : Refined
    shape : Shape
    set_ : Completed
    name : str
        Of the scan, for errors.
    lost : mapping
        Lugs with a flank off on a part of its width [mm].
    beside : Beside
        What was measured apart from the joint fit.
    facet_mm : float
        Sagitta of a model's facets.
    mm : float
        Length of the working unit [mm], for words; see `bayonet.scan.measure`.

    Raises
    ------
    ScanError
        If fewer than two lugs are there, one was missed, or the plug explains too little.
    """
    refuse_round(beside.cloud, end, shape, name=name, mm=mm)
    form = form_of(end)
    uncertainty, inflate = uncertainty_of(end)
    for i in (i for i in range(shape.lugs) if not set_.sure[i]):  # a part of a lug has no middle
        uncertainty.told.update({lug_key(i, own): False for own in _STRUCTURAL})
    flags, odd = _odd(end, shape, uncertainty, lost, set_, mm)
    widths = {i: width_deg(end.values, lug_key(i)) for i in range(shape.lugs)}
    leads = beside.leads(widths, inflate, mm)
    is_equal = set_.total is not None and not any(key in _STRUCTURAL for _, key in odd)
    total = set_.total if is_equal and set_.total is not None else shape.lugs
    if total < 2:
        raise ScanError(f"{name}: one lug seen and nothing tells where others are; 2 to 8 are read")
    refuse_missed(beside.cloud, end, shape, name=name)
    _refuse_uncertain(end, shape, set_, beside.cloud, is_equal=is_equal, name=name)
    if is_equal:
        values, uncertainty = shared_by(end, set_, uncertainty, odd)
    else:
        values = dict(end.values)
    if leads.common is not None:
        values["lead"], uncertainty.u["lead"] = leads.common
    turning = LEAD if uncertainty.told[LEAD] or not uncertainty.told.get(LEADING_LEAD) \
        else LEADING_LEAD  # fmt: skip
    sign = shape.sign if values[turning] >= 0 else -shape.sign
    is_flat = not abs(values[turning]) > max(4.0 * uncertainty.u[turning], 0.1)
    place = set_.place if is_equal else tuple(range(shape.lugs))
    features = _features(values, uncertainty, end, place, leads, is_equal=is_equal, total=total)
    nose = body_key(shape.bodies - 1)
    features += beside.ends(uncertainty.u["pose.z"], math.hypot(uncertainty.u[nose.of("to_depth")],
                            uncertainty.u[nose.of("diameter")] / 2.0), inflate)  # fmt: skip
    facets = _by_facets(facet_mm, end)
    features = tuple(
        dataclasses.replace(one, u=math.hypot(one.u, facets.get(one.unit, 0.0))) for one in features
    )
    form += beside.rows(place, inflate)
    parameters, covariance = _covariance(end, uncertainty, place, facets, leads)
    on = end.labelled
    return ScanResult(
        rotation=end.pose.rotation, origin_mm=end.pose.origin, features=features, lugs=total,
        hand=None if is_flat else ("left" if sign > 0 else "right"), is_equal=is_equal,
        sides="parallel" if shape.parallel else "radial", groove=shape.groove,
        form=form,
        flags=tuple((place[i], words) for i, words in (*flags, *leads.flags)),
        residual_mm=on.residual, cloud=beside.cloud, theta_deg=on.theta,
        depth_mm=on.depth, radius_mm=on.r, noise_mm=end.noise,
        correlation_mm=end.correlation_mm, parameters=parameters, covariance=covariance,
        warnings=(*warnings_of(features, set_, inflate, is_flat and uncertainty.told[LEAD],
                              is_equal),
                  *differences(uncertainty, place, mm), *notable(form, mm)),
    )  # fmt: skip


def _by_facets(facet_mm: float, end: Refined) -> dict[str, float]:
    """Uncertainty by unit: a model's flat facets lie inside its round faces by up to the sagitta.

    As an angle at the lugs' outer radius; as a lead over a radian.
    """
    outer = end.values[lug_key(0, "outer_diameter")] / 2.0
    return {"mm": facet_mm, "deg": math.degrees(facet_mm / outer),
            "mm/rev": 2.0 * math.pi * facet_mm}  # fmt: skip


def _refuse_uncertain(
    end: Refined, shape: Shape, set_: Completed, cloud: Array, *, is_equal: bool, name: str
) -> None:
    """Refuse what would be a guess: a plug that explains little, or uneven lugs half hidden."""
    share = _explained(end, shape, cloud)
    if not share > _LEAST_EXPLAINED:
        rule = f"the plug found explains only {share:.0%} of the points between shoulder and nose"
        raise ScanError(f"{name}: {rule}: more parts than one, a wrong axis, or no such plug")
    wide = [width_deg(end.values, lug_key(i)) for i in range(shape.lugs)]
    _refuse_overlapping(end, wide, name=name)
    if is_equal or set_.fills:
        return
    sure = [one for one, is_sure in zip(wide, set_.sure, strict=True) if is_sure]
    narrow = min(sure) if sure else float(np.median(wide))  # a part of a lug is no narrow one
    gap = min(set_.gap_deg, room_deg(cloud, end, shape))
    if gap > _ROOM * narrow:
        rule = (
            f"lugs are uneven and {gap:.0f} deg of the way round was not seen, room for"
            " another: scan all round"
        )
        raise ScanError(f"{name}: {rule}")


def _refuse_overlapping(end: Refined, wide: list[float], *, name: str) -> None:
    """Refuse two lugs at one place: one of them, or both, is something else."""
    at = [end.values[lug_key(i, "centre_deg")] for i in range(len(wide))]
    for i in range(len(wide)):
        for k in range(i):
            if abs(signed_deg(at[i] - at[k])) < 0.25 * (wide[i] + wide[k]):
                rule = f"two lugs found at one place, at {at[i]:.0f} deg"
                raise ScanError(
                    f"{name}: {rule}: lugs that cannot be told from what is beside them"
                )


def _explained(end: Refined, shape: Shape, cloud: Array) -> float:
    """Share of the points between shoulder and nose that lie on a found face, clear of edges."""
    rim = max(end.values.get("shoulder_diameter", 0.0), end.values[body_key(0, "diameter")]) / 2.0
    nose = end.values[body_key(shape.bodies - 1, "to_depth")]

    def within(r: Array, depth: Array) -> int:
        return int(((r < rim - 0.3) & (depth > 0.3) & (depth < nose - 0.3)).sum())

    on = end.labelled
    return within(on.r, on.depth) / max(within(cloud[:, 0], cloud[:, 2]), 1)


def _covariance(
    end: Refined,
    uncertainty: Uncertainty,
    place: tuple[int, ...],
    facets: Mapping[str, float],
    leads: Leads,
) -> tuple[tuple[str, ...], Array]:
    """Names and covariance of what the joint fit measures, lugs numbered as reported."""
    apart = {*POSE, "shoulder_thickness"} | ({"lead"} if leads.common is not None else set())
    kept = [i for i, key in enumerate(end.keys) if uncertainty.told[key] and key not in apart]
    names = []
    for i in kept:
        key = Key(end.keys[i])
        own = key.number if key.is_lug else None
        names.append(key if own is None else key.numbered(place[own]))
    flat = np.array([facets[Key(name).unit] for name in names])
    matrix = uncertainty.covariance[np.ix_(kept, kept)]
    return tuple(names), matrix + np.diag(flat**2)


def _odd(
    end: Refined, shape: Shape, uncertainty: Uncertainty, lost: Mapping[int, float],
    set_: Completed, mm: float,
) -> tuple[tuple[tuple[int, str], ...], set[tuple[int, str]]]:  # fmt: skip
    """Lugs that differ from the others by more than their uncertainty, in words and by key."""
    flags, odd = [], set()
    names = ["width" if shape.parallel else "width_deg", "outer_diameter", "bearing_depth",
             "thickness"]  # fmt: skip
    for name in names:
        keys = [lug_key(i, name) for i in range(shape.lugs)]
        seen = [i for i, key in enumerate(keys) if uncertainty.told[key]]
        if len(seen) < 2:
            continue
        values = [end.values[key] for key in keys]
        if name == "bearing_depth":
            values = [value + hidden_middle(i, end, shape, uncertainty, set_)
                      for i, value in enumerate(values)]  # fmt: skip
        middle = float(np.median([values[i] for i in seen]))
        for i in seen:
            away = values[i] - middle
            limit = max(4.5 * uncertainty.u[keys[i]], _SAME[keys[i].unit])
            if name == "width_deg":
                limit = max(limit, 0.04 * middle)
            if name == "width":
                limit = max(limit, 0.03 * middle)
            if abs(away) > limit:
                odd.add((i, name))
                if name not in _STRUCTURAL:
                    words = f"its {WORDS[name]} differs by {mm * away:+.3f} mm"
                    words += " from the others: worn?"
                    flags.append((i, words))
    for i, flanks in end.against.items():
        odd |= {(i, "bearing_depth"), (i, "thickness")}
        words = f"its outer face does not end at the {' and '.join(flanks)} flank found: no value"
        flags.append((i, words))
    for i, middle in lost.items():
        odd |= {(i, "bearing_depth"), (i, "thickness")}
        words = f"a flank lies {mm * middle:+.3f} mm off on a third of its width: worn?"
        flags.append((i, words))
    return tuple(flags), odd


def _features(
    values: dict[str, float],
    uncertainty: Uncertainty,
    end: Refined,
    place: tuple[int, ...],
    leads: Leads,
    *,
    is_equal: bool,
    total: int,
) -> tuple[FeatureValue, ...]:
    found = [
        _feature(key, values[key], uncertainty, end)
        for key in values
        if not Key(key).is_lug and key not in (*_OF_FLANKS, "shoulder_thickness")
    ]
    if "shoulder_diameter" not in values:
        found.insert(0, _missing("shoulder_diameter", "the rim was not seen"))
    width = "width" if lug_key(0, "width") in values else "width_deg"
    names = ("centre_deg", width, *SHARED[2:])
    where = {number: i for i, number in enumerate(place)}
    for number in range(total):
        found += [
            _lug_value(number, name, where, values, uncertainty, end, is_equal, total)
            for name in names
        ]
        found += _leads(number, where, values, uncertainty, leads)
    return tuple(found)


def _leads(
    number: int,
    where: dict[int, int],
    values: dict[str, float],
    uncertainty: Uncertainty,
    leads: Leads,
) -> list[FeatureValue]:
    """A lug's lead; those of its leading flank and the flanks' slopes where it has them."""
    found = [_lead(number, where, values, uncertainty, leads)]
    hand = -1.0 if values[LEAD] < 0.0 else 1.0
    for name in _OF_FLANKS[1:]:
        if name not in values:
            continue
        key = lug_key(number, name)
        if not uncertainty.told[name]:
            reason = "flanks too short or too few points to tell it"
            found.append(_missing(key, uncertainty.why.get(name, reason)))
            continue
        value = values[name] * (hand if name == LEADING_LEAD else 1.0)
        found.append(FeatureValue(
            key=key, meaning=_meaning(key), value=value, u=uncertainty.u[name],
            unit=Key(key).unit, coverage=1.0 if number in where else 0.0,
            found="measured" if number in where else "by symmetry",
            note="one for all lugs",
        ))  # fmt: skip
    return found


def _lead(
    number: int,
    where: dict[int, int],
    values: dict[str, float],
    uncertainty: Uncertainty,
    leads: Leads,
) -> FeatureValue:
    """A lug's lead: one for all, but for lugs that disagree."""
    key, own = lug_key(number, "lead"), leads.own.get(where.get(number, -1))
    if not uncertainty.told["lead"]:
        reason = "flanks too short or too few points to tell it"
        return _missing(key, uncertainty.why.get("lead", reason))
    value, u = own or (values["lead"], uncertainty.u["lead"])
    if not math.isfinite(value):
        return _missing(key, "its two flanks disagree")
    which = "bearing flanks" if LEADING_LEAD in values else "flanks"
    note = "this lug's own: it disagrees with the others" if own else f"one fitted to all {which}"
    return FeatureValue(
        key=key, meaning=_meaning(key), value=abs(value), u=u, unit="mm/rev", note=note,
        coverage=1.0 if number in where else 0.0,
        found="measured" if number in where else "by symmetry",
    )  # fmt: skip


def _lug_value(
    number: int,
    name: str,
    where: dict[int, int],
    values: dict[str, float],
    uncertainty: Uncertainty,
    end: Refined,
    is_equal: bool,
    total: int,
) -> FeatureValue:
    key = lug_key(number, name)
    own = lug_key(where[number], name) if number in where else None
    if own is not None and uncertainty.told[own]:
        one = _feature(own, values[own], uncertainty, end)
        return FeatureValue(key=key, meaning=_meaning(key), value=one.value, u=one.u,
                            unit=one.unit, coverage=one.coverage, found=one.found)  # fmt: skip
    sure = [i for i in where.values() if uncertainty.told[lug_key(i, name)]]
    if not sure and name in uncertainty.pooled:
        sure = [uncertainty.pooled[name]]
    if not is_equal or not sure:
        return _missing(key, uncertainty.why.get(name, "its faces were not seen"))
    like = lug_key(sure[0], name)
    value = values[like]
    if name == "centre_deg":
        there = next(k for k, i in where.items() if i == sure[0])
        value = (value + 360.0 * (number - there) / total) % 360.0
    note = "if alike and evenly spaced: taken from the lugs that were seen"
    return FeatureValue(key=key, meaning=_meaning(key), value=value, u=uncertainty.u[like],
                        unit=Key(key).unit, coverage=0.0, found="by symmetry",
                        note=note)  # fmt: skip


def _feature(key: str, value: float, uncertainty: Uncertainty, end: Refined) -> FeatureValue:
    if not uncertainty.told[key]:
        return _missing(key, uncertainty.why.get(Key(key).name, "too few points show it"))
    shown = value % 360.0 if Key(key).name == "centre_deg" else value
    return FeatureValue(key=key, meaning=_meaning(key), value=shown, u=uncertainty.u[key],
                        unit=Key(key).unit, coverage=coverage(key, end),
                        found="measured")  # fmt: skip


def _missing(key: str, note: str) -> FeatureValue:
    return FeatureValue(key=key, meaning=_meaning(key), value=math.nan, u=math.nan,
                        unit=Key(key).unit, coverage=0.0, found="not seen", note=note)  # fmt: skip


def _meaning(key: str) -> str:
    one = Key(key)
    if one.number is None:
        return WORDS.get(key, key)
    what = "lug" if one.is_lug else "body step"
    return f"{what} {one.number + 1}: {WORDS[one.name]}"
