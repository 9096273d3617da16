"""Distances to what stands round a tank, judged; no geometry."""

from __future__ import annotations

import math
from collections.abc import Iterator

from bayonet.findings import PRACTICE, Finding, Verdict, at_least, left_open
from bayonet.tank import Clearances, Place, Proposal, nearest

SOURCE = "the least distance asked for, graft.around.clear"
THINGS = {
    "tank": "tank with socket",
    "insertion": "valve on its way along the axis",
    "turn": "valve in its turn",
    "seated": "seated valve",
    "hand": "hand or tool",
}
FAR = "nothing given is near the tank: is it in the tank's coordinates and unit?"
_FAR = 20.0  # times the reach looked at: a room's width for the usual 5 mm; common practice
MOVE_TANK = "another place for the tank, or cut its own mounts out of the scan"


def findings(found: Clearances) -> tuple[Finding, ...]:
    """Judge distances: one finding for each thing that must stay clear.

    Parameters
    ----------
    found : Clearances

    Returns
    -------
    tuple of Finding
    """
    rows = [*_read(found)]
    rows += [_surroundings(found, body) for body in THINGS]
    rows += _own(found)
    return (*rows, *_proposed(found))


def nothing_given() -> tuple[Finding, ...]:
    """The same where no surroundings, valve or hand is given."""
    why = "no surroundings given (--around FILE)"
    return (left_open("clearance.surroundings", why),)


def assumptions(found: Clearances) -> tuple[str, ...]:
    """What the distances rest on."""
    rows = [
        f"Valve: {found.valve_source}; brought in along the axis from {found.travel_mm:.1f} mm"
        " out.",
        f"Distances to triangles as given; the tank's own mesh is within {found.chord_mm:.3f} mm."
        f" Beyond {found.looked_mm:g} mm clearance is not told apart.",
    ]
    if found.valve_error_mm > 0.0:
        rows.append(
            "Of the valve's own mesh its skin is measured: what stands wholly within its sweep,"
            " meeting nothing, is not seen."
        )
    if found.hand is not None:
        bars = any(part.reach_mm is not None for part in found.hand.parts)
        start = f"; its bars start at theta {found.start_deg:g}" if bars else ""
        rows.append(f"Turned by: {found.hand.name}{start}. Sizes: {found.hand.source}.")
    return tuple(rows)


def _read(found: Clearances) -> Iterator[Finding]:
    far = _is_far(found)
    for one in found.surroundings:
        what = "points" if one.points else "triangles"
        size = " x ".join(f"{b - a:.0f}" for a, b in zip(one.low, one.high, strict=True))
        text = f"{one.file}: {one.triangles} {what}, {size} mm ({one.note})"
        verdict, change = Verdict.PASS, ""
        if far:
            verdict, change = Verdict.LOOK, FAR
        elif one.points:
            verdict = Verdict.LOOK
            change = "a mesh of the scan: nothing is known between bare points"
        yield Finding(code="clearance.surroundings", verdict=verdict, message=text, change=change)


def _is_far(found: Clearances) -> bool:
    """Whether all that was given lies so far off that it can hardly be what stands round it."""
    tank = found.least("tank")
    return found.has_files and (tank is None or tank.distance_mm > _FAR * found.looked_mm)


def _surroundings(found: Clearances, body: str) -> Finding:
    code = f"clearance.surroundings.{body}"
    if not found.has_files:
        return left_open(code, "no surroundings given (--around FILE)")
    if body == "hand" and found.hand is None:
        return left_open(code, "what turns the valve is not given (--hand NAME)")
    if _is_far(found):
        return left_open(code, FAR)
    return _judged(found, code, found.least(body), _change(found, body))


def _own(found: Clearances) -> Iterator[Finding]:
    for body in ("insertion", "turn", "seated", "hand"):
        code = f"clearance.own_tank.{body}"
        if body == "hand" and found.hand is None:
            continue
        if not found.valve_known and body != "hand":
            continue
        yield _judged(found, code, nearest(found.own, body), _change(found, body))


def _judged(found: Clearances, code: str, place: Place | None, change: str) -> Finding:
    body = code.rpartition(".")[2]
    thing = THINGS[body]
    source = SOURCE
    if body == "hand" and found.hand is not None:
        thing, source = f"{found.hand.name}", f"{SOURCE}; sizes: {found.hand.source}"
    elif body in ("insertion", "turn", "seated") and not found.valve_known:
        thing += ", the plug alone"
    if place is None:
        return Finding(code=code, verdict=Verdict.PASS, limit=found.clear_mm, unit="mm",
                       message=f"{thing}: nothing near", source=source)  # fmt: skip
    least = place.distance_mm - _error(found, place)
    made = at_least(
        least if place.distance_mm > 0.0 else place.distance_mm, found.clear_mm, code=code,
        message=f"{thing}: {_words(found, place)}", unit="mm", source=source, change=change,
    )  # fmt: skip
    if made.verdict is Verdict.PASS and "plug alone" in thing:
        return Finding(
            code=code, verdict=Verdict.LOOK, message=made.message, value=made.value,
            limit=made.limit, margin=made.margin, unit="mm", source=source,
            change="give the valve outside the mouth: --valve FILE, or --envelope DxH",
        )  # fmt: skip
    return made


def _words(found: Clearances, place: Place) -> str:
    at = ", ".join(f"{value:.1f}" for value in place.theirs)
    where = f"{place.file} at {at}"
    part = f" ({place.part})" if place.part and place.part not in ("valve", "tank") else ""
    if place.distance_mm < -1e-6:
        return f"{where} stands at least {-place.distance_mm:.2f} mm inside{part}"
    if place.distance_mm <= 1e-6:
        return f"meets {where}{part}"
    error = _error(found, place)
    return f"{place.distance_mm:.3f} mm (known to -{error:.3f}) to {where}{part}"


def _error(found: Clearances, place: Place) -> float:
    """By how much the true distance may be less: search, meshes of both [mm]."""
    more = {"tank": found.chord_mm, "hand": 0.0}.get(place.body, found.valve_error_mm)
    return place.error_mm + more


def _change(found: Clearances, body: str) -> str:
    if body == "tank":
        return MOVE_TANK
    if found.proposals:
        return "; or ".join(option(one) for one in found.proposals[:2])
    if found.map is not None:
        return "no clocking or tilt on the map clears: another place, see bayonet faces"
    return "another place, clocking or tilt"


def option(one: Proposal) -> str:
    """A proposal as options of the command line."""
    toward = ",".join(f"{value + 0.0:.4f}" for value in one.toward)
    far = f"{one.distance_mm:.1f} mm" if math.isfinite(one.distance_mm) else "nothing near"
    return f"--clock {one.clock_deg:g} --toward {toward} ({one.tilt_deg:g} deg tilt; {far})"


def _proposed(found: Clearances) -> Iterator[Finding]:
    if found.map is None:
        return
    cells = [value for row in found.map.distance_mm for value in row]
    good = sum(value >= found.clear_mm for value in cells)
    share = f"{good} of {len(cells)} clockings and tilts clear {found.clear_mm:g} mm"
    near = f"; nearest: {option(found.proposals[0])}" if found.proposals else ""
    yield Finding(
        code="clearance.map",
        verdict=Verdict.PASS if good else Verdict.LOOK,
        message=share + near,
        source=f"map known within {found.map.error_mm:.2g} mm; limit: {PRACTICE} unless given",
        change="" if good else "another place, see bayonet faces",
    )
