"""A scan's result as a design file: the plug's tables with uncertainties, and a socket to start."""

from __future__ import annotations

import json
import math
from dataclasses import replace
from pathlib import Path

import numpy as np

from bayonet import rounding
from bayonet.scan.fit import FeatureValue, Key, ScanResult, body_key, groove_key, lug_key
from bayonet.scan.read import ScanPoints

_LONGEST_TURN_DEG = 90.0  # a quarter turn; no scan shows how far a plug turns
_TURN_SHARE = 0.7  # of what two neighbours leave free, so that a roof stays between slot and stop
_ENDS = ("shoulder_thickness", "nose_chamfer")
_SLOPED = (
    "the flanks lean, depth and thickness are those half way up a lug; the tables above are"
    " of square flanks"
)
_CORRELATED = 0.2  # smaller coefficients change no chain to speak of


def described(result: ScanResult, points: ScanPoints) -> str:
    """The text of a design file that `bayonet make` takes.

    What the scan does not show is written as a comment line, so that reading the file names it.
    What no scan can tell (the turn to lock, the process) is set and marked as to be checked.

    Parameters
    ----------
    result : ScanResult
    points : ScanPoints
        Names the scan and its unit.

    Returns
    -------
    str
        TOML.
    """
    by_key = {one.key: one for one in result.features}
    lines = [
        "[design]",
        f"name = {json.dumps('Plug from ' + Path(points.name).name, ensure_ascii=False)}",
        f"note = {json.dumps(_note(result, points), ensure_ascii=False)}",
        "",
        "# u is a standard uncertainty; 'seen' is the share of the feature that the scan shows.",
        *(f"# look: {text}" for text in result.warnings),
        *(f"# look: lug {lug + 1}: {what}" for lug, what in result.flags),
        "",
        "[plug]",
        *_hand(result),
        *_turn(result, by_key),
        'made_by = "moulded"  # CHECK: how plugs are made; it sets how far others may differ',
        _line("shoulder_diameter", by_key["shoulder_diameter"]),
        *(_line(name, by_key[name]) for name in _ENDS if name in by_key),
        *_body(by_key),
        *_correlation(result, by_key),
        "",
        *_lugs(result, by_key),
        "",
        *_groove(result, by_key),
        "# ---- the socket to make: yours to decide ----",
        "[socket]",
        'process = "machined"  # machined, printed, cast',
        *_track(result),
        "",
        "[socket.seal]",
        "squeeze = 0.20  # the ring is found from the groove",
    ]
    return "\n".join([*lines, ""])


def _track(result: ScanResult) -> list[str]:
    """How a ramp is made: hardly any disc cutter leaves one right."""
    if result.hand is None:  # flat lugs
        return []
    return ["", "[socket.track]", 'made_by = "erosion"  # CHECK: or "cutter", with a dwell']


def _note(result: ScanResult, points: ScanPoints) -> str:
    count = len(result.residual_mm)
    return f"{points.unit_note}; noise {1000 * result.noise_mm:.0f} um on {count} points used"


def _hand(result: ScanResult) -> list[str]:
    if result.hand is not None:
        return [f'hand = "{result.hand}"  # from the slope of the flanks: turning to lock pulls in']
    return ['hand = "right"  # CHECK: flat lugs do not tell it; right: clockwise locks']


def _turn(result: ScanResult, by_key: dict[str, FeatureValue]) -> list[str]:
    centres = sorted(
        value for i in range(result.lugs)
        if math.isfinite(value := by_key[lug_key(i, "centre_deg")].value)
    )  # fmt: skip
    gaps = [(b - a) % 360.0 for a, b in zip(centres, [*centres[1:], *centres[:1]], strict=True)]
    widest = max((_width_deg(by_key, i) for i in range(result.lugs)), default=20.0)
    free = min([gap for gap in gaps if gap > 1.0] or [360.0 / result.lugs]) - widest
    turn = min(_TURN_SHARE * (free - 0.4 * widest), _LONGEST_TURN_DEG)
    told = "CHECK: no scan tells the turn from entry to lock; this is what the lugs leave room for"
    return [f"turn_deg = {max(round(turn), 5)}  # {told}"]


def _width_deg(by_key: dict[str, FeatureValue], number: int) -> float:
    angle = by_key.get(lug_key(number, "width_deg"))
    if angle is not None:
        return angle.value if math.isfinite(angle.value) else 0.0
    width, outer = (
        by_key[lug_key(number, "width")].value,
        by_key[lug_key(number, "outer_diameter")].value,
    )
    return 2.0 * math.degrees(math.asin(width / outer)) if width < outer else 0.0


def value_of(one: FeatureValue) -> str:
    """A measured value of the design file, digits by its uncertainty.

    Examples
    --------
    >>> from bayonet.scan.fit.result import FeatureValue
    >>> value_of(
    ...     FeatureValue(
    ...         key="a",
    ...         meaning="",
    ...         value=12.34567,
    ...         u=0.00123,
    ...         unit="mm",
    ...         coverage=1.0,
    ...         found="measured",
    ...     )
    ... )
    '{ value = 12.3457, u = 0.0013 }'
    """
    digits = 4
    if one.u > 0.0:
        digits = min(max(1 - math.floor(math.log10(one.u)), 0), 6)
    u = rounding.up(one.u, step=10.0**-digits)
    return f"{{ value = {one.value:.{digits}f}, u = {u:.{digits}f} }}"


def _how(one: FeatureValue) -> str:
    told = f"{one.found}, seen {one.coverage:.0%}"
    return f"{told}; {one.note}" if one.note else told


def _line(name: str, one: FeatureValue) -> str:
    if one.found == "not seen" or not math.isfinite(one.value):
        what = "left as drawn by default" if name in _ENDS else "measure it and fill it in"
        return f"# {name} = ?  # NOT SEEN ({one.note or 'no points'}): {what}"
    return f"{name} = {value_of(one)}  # {_how(one)}"


def _body(by_key: dict[str, FeatureValue]) -> list[str]:
    lines, number = ["body = ["], 0
    while body_key(number, "diameter") in by_key:
        own, end = by_key[body_key(number, "diameter")], by_key[body_key(number, "to_depth")]
        parts = [
            f"{name} = {value_of(one)}"
            for name, one in (("diameter", own), ("to_depth", end))
            if one.found != "not seen"
        ]
        lacking = [one.meaning for one in (own, end) if one.found == "not seen"]
        note = f"NOT SEEN: {', '.join(lacking)}; " if lacking else ""
        lines.append(f"    {{ {', '.join(parts)} }},  # {note}{_how(own)}")
        number += 1
    return [*lines, "]"]


def _correlation(result: ScanResult, by_key: dict[str, FeatureValue]) -> list[str]:
    """Uncertainties that go together, as the fit's covariance has them."""
    spread = np.sqrt(np.diag(result.covariance)) if len(result.parameters) else np.zeros(0)
    place = {key: i for i, key in enumerate(result.parameters)}
    written = [(path, place[key]) for key, path in _paths(result, by_key) if key in place]
    lines = []
    for number, (one, i) in enumerate(written):
        for other, j in written[number + 1 :]:
            r = float(result.covariance[i, j] / (spread[i] * spread[j]))
            if abs(r) >= _CORRELATED:
                lines.append(f'    {{ between = ["{one}", "{other}"], r = {r:.2f} }},')
    return ["correlation = [  # uncertainties that go together", *lines, "]"] if lines else []


def _paths(result: ScanResult, by_key: dict[str, FeatureValue]) -> list[tuple[str, str]]:
    """Keys of the scan, and where the file has them."""
    turned = [(key, key) for key in by_key
              if Key(key).part in ("body", "groove", "shoulder_diameter")]  # fmt: skip
    names = ("width", "width_deg", "outer_diameter", "thickness", "bearing_depth")
    if not result.is_equal:
        return turned + [
            (lug_key(i, name), f"lugs.each.{i}.{name}")
            for i in range(result.lugs)
            for name in names
        ]
    best = [(name, _best(result, by_key, name)) for name in names if lug_key(0, name) in by_key]
    return turned + [(one.key, f"lugs.{name}") for name, one in best]


def _lugs(result: ScanResult, by_key: dict[str, FeatureValue]) -> list[str]:
    names = [name for name in ("width", "width_deg") if lug_key(0, name) in by_key]
    names += ["outer_diameter", "thickness", "bearing_depth"]
    lines = ["[plug.lugs]", f'sides = "{result.sides}"']
    best = {name: _best(result, by_key, name) for name in names}
    if result.is_equal:
        first = by_key[lug_key(0, "centre_deg")]
        lines += [f"count = {result.lugs}", _line("first_at_deg", first)]
        lines += [_line(name, best[name]) for name in names]
    else:
        lines += [_line(name, best[name]) for name in names if not name.startswith("width")]
        lines += ["each = [", *_each(result, by_key, names[0]), "]"]
    lead = _best(result, by_key, "lead")
    own = _flanks(result, by_key)
    if result.hand is None and math.isfinite(lead.value):
        u = f"{2.0 * lead.u:.2g}" if math.isfinite(lead.u) else "?"
        flanks = "bearing flanks" if own else "flanks"
        lines.append(f"# lead left out: the {flanks} are flat within {u} mm a turn (k = 2)")
        return [*lines, *own]
    return [*lines, _line("lead", lead), *own]


def _flanks(result: ScanResult, by_key: dict[str, FeatureValue]) -> list[str]:
    """What flanks have beside one common lead."""
    lines = []
    if lug_key(0, "leading_lead") in by_key:
        one = _best(result, by_key, "leading_lead")
        if one.found == "not seen":
            lines.append(f"# leading_lead = ?  # NOT SEEN ({one.note}): taken as the bearing one's")
        elif one.value < 0.0 and one.value < -2.0 * one.u:
            told = f"it falls against the bearing flank's, {value_of(one)}"
            lines.append(f"# leading_lead = ?  # {told}: no field takes that")
        else:
            shown = replace(one, value=max(one.value, 0.0))
            lines.append(_line("leading_lead", shown))
    for name in ("bearing_flank_deg", "leading_flank_deg"):
        if lug_key(0, name) in by_key:
            one = _best(result, by_key, name)
            lines.append(f"# look: {name} = {value_of(one)}: {_SLOPED}")
    return lines


def _best(result: ScanResult, by_key: dict[str, FeatureValue], name: str) -> FeatureValue:
    """The lug whose value is known best speaks for the set; one that is flagged only for itself."""
    flagged = {lug for lug, _ in result.flags}
    rows = [by_key[lug_key(i, name)] for i in range(result.lugs)]
    seen = [one for i, one in enumerate(rows) if one.found == "measured" and i not in flagged]
    seen = seen or [one for one in rows if one.found == "measured"]
    return min(seen, key=lambda one: one.u) if seen else rows[0]


def _each(result: ScanResult, by_key: dict[str, FeatureValue], width: str) -> list[str]:
    lines = []
    for number in range(result.lugs):
        rows = [("centre_deg", by_key[lug_key(number, "centre_deg")])]
        rows += [(name, by_key[lug_key(number, name)])
                 for name in (width, "outer_diameter", "thickness", "bearing_depth")]  # fmt: skip
        shown = [f"{name} = {value_of(one)}" for name, one in rows if one.found != "not seen"]
        lacking = [name for name, one in rows if one.found == "not seen"]
        note = f"  # NOT SEEN: {', '.join(lacking)}" if lacking else ""
        lines.append(f"    {{ {', '.join(shown)} }},{note}")
    return lines


def _groove(result: ScanResult, by_key: dict[str, FeatureValue]) -> list[str]:
    if result.groove == "none":
        return ["# no groove seen: add [plug.groove] by hand", ""]
    lines = ["[plug.groove]", f'kind = "{result.groove}"']
    names = [
        name for name in ("diameter", "width", "at_depth", "depth") if groove_key(name) in by_key
    ]
    return [*lines, *(_line(name, by_key[groove_key(name)]) for name in names), ""]
