"""A grafted socket judged from what was measured on it; no CAD kernel."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import replace

from bayonet.checks.making import enough_wall
from bayonet.findings import Finding, Verdict, at_least, at_most, left_open
from bayonet.mechanics import SOURCE, circle_area_mm2, free_height_mm, loss_range, pressure_drop_mpa
from bayonet.part21 import named
from bayonet.parts import Socket
from bayonet.tank import Drain, Facts, Wishes

GAP_ASKED = "the gap asked for, graft.least_gap; left out: socket.wall"
PLACE = ("graft.seam", "graft.opening", "graft.other_wall", "graft.other_solid",
         "graft.inside_wall", "graft.behind", "graft.blocked", "graft.inside")  # fmt: skip
"""Findings another place on the tank can mend."""

_VOLUME_RELATIVE = 1e-6
_WATER_KG_PER_M3 = 998.0
_MOVE = "another place, a smaller boss, or a smaller gap"
_LEAST_ENCLOSED = 0.55


def findings(
    facts: Facts, socket: Socket, wishes: Wishes, drain: Drain | None
) -> tuple[Finding, ...]:
    """Judge a graft.

    Parameters
    ----------
    facts : Facts
    socket : Socket
        As grafted.
    wishes : Wishes
    drain : Drain or None
        None where gravity is not given, or the tank has no closed hollow.

    Returns
    -------
    tuple of Finding
    """
    return (
        _solids(facts),
        _volume(facts),
        *_placed(facts),
        *_walls(facts, socket),
        *_room(facts, socket, wishes),
        *_passage(facts, socket),
        _opened(facts),
        _hollow(facts),
        *_flow(facts, socket, wishes),
        *_drain(socket, wishes, drain),
    )


def _solids(facts: Facts) -> Finding:
    good = facts.valid and facts.solids_after == facts.solids_before
    count = "one solid" if facts.solids_after == 1 else f"{facts.solids_after} solids"
    return at_most(
        abs(facts.solids_after - facts.solids_before) if facts.valid else math.nan,
        0,
        code="graft.solids",
        message=f"{count}, {'all valid' if good else 'not as before or not valid'}",
        unit="",
        source="one valid solid for each there was",
        change="another place or another proud: the kernel could not close the shape",
    )


def _volume(facts: Facts) -> Finding:
    """Boss material minus openings, by booleans and by columns."""
    change, expected = facts.volume_change_mm3, facts.expected_change_mm3
    scale = max(abs(change), abs(expected), 1.0)
    off, uncertainty = abs(change - expected) / scale, facts.uncertainty_mm3 / scale
    text = f"the tank gains {change:.2f} mm3 by the solids, {expected:.2f} mm3 by columns"
    found = at_most(
        off, _VOLUME_RELATIVE, code="graft.volume", message=f"{text}: {off:.0e} apart", unit="",
        source="line by line down the axis, and the socket's closed form",
        change="another place: the solids do not hold what they should",
    )  # fmt: skip
    if found.verdict is Verdict.FAIL and off <= 3.0 * uncertainty:
        text += f": {off:.0e} apart; over this wall the two are known within {uncertainty:.0e} only"
        change_to = "compare the volumes in your CAD"
        return replace(found, verdict=Verdict.LOOK, message=text, change=change_to)
    return found


def _placed(facts: Facts) -> Iterator[Finding]:
    within = max(0.0, facts.within_mm)
    text = f"mouth {facts.proud_mm:.2f} mm above a wall of {facts.thickness_mm:.2f} mm"
    if facts.tilt_deg > 0.05:
        text += f", {facts.tilt_deg:.1f} deg off its normal"
    text += f"; {within:.2f} mm of the socket stands in the tank" if within else ""
    yield Finding(code="graft.place", verdict=Verdict.PASS, message=text, value=facts.proud_mm,
                  unit="mm")  # fmt: skip
    if facts.seat_mm > 0.0:
        yield Finding(
            code="graft.seat",
            verdict=Verdict.LOOK,
            message=f"the wall stands up to {facts.seat_mm:.2f} mm above the mouth face; a round"
            " seat is cut into it for the plug's shoulder",
            value=facts.seat_mm,
            unit="mm",
            change="a greater proud, unless the seat is wanted",
        )


def _walls(facts: Facts, socket: Socket) -> Iterator[Finding]:
    for code, value, what in (
        ("graft.track_wall", facts.track_wall_mm, "between track and outside"),
        ("graft.bore_wall", facts.bore_wall_mm, "round the bore"),
    ):
        change = "a larger boss_diameter, or less wall asked for"
        within = socket.tolerance.diameter_mm
        yield enough_wall(
            value, socket, within_mm=within, code=code, what=what, change=change
        )  # fmt: skip


def _room(facts: Facts, socket: Socket, wishes: Wishes) -> Iterator[Finding]:
    gap = socket.wall_mm if wishes.least_gap_mm is None else wishes.least_gap_mm
    room = facts.room
    for code, value, what in (
        ("graft.seam", room.seam_mm, "seam of the wall"),
        ("graft.opening", room.opening_mm, "rim of an opening"),
        ("graft.other_wall", room.other_wall_mm, "other wall outside"),
        ("graft.other_solid", room.other_solid_mm, f"other solid {room.other_solid!r}"),
        ("graft.inside_wall", room.within_mm, "baffle or wall inside"),
    ):
        yield _apart(code, value, gap, what)
    if room.joint_mm < gap:
        yield Finding(
            code="graft.joint", verdict=Verdict.LOOK, value=room.joint_mm, limit=gap,
            margin=room.joint_mm - gap, unit="mm", source=GAP_ASKED,
            message=f"a smooth joint of two free-form faces lies {room.joint_mm:.2f} mm from the"
            " boss" if room.joint_mm > 1e-6 else "the boss stands across a smooth joint of two"
            " free-form faces",
            change="nothing, unless plates are joined there",
        )  # fmt: skip


def _apart(code: str, value: float, gap: float, what: str) -> Finding:
    if math.isinf(value):
        what = what.partition(" '")[0]
        return Finding(code=code, verdict=Verdict.PASS, message=f"no {what} near the boss")
    where = f"{value:.2f} mm from the boss" if value > 1e-6 else "reached by the boss"
    return at_least(
        value, gap, code=code, message=f"nearest {what}: {where}", unit="mm", source=GAP_ASKED,
        change=_MOVE,
    )  # fmt: skip


def _passage(facts: Facts, socket: Socket) -> Iterator[Finding]:
    diameter, room = 2.0 * socket.bore[-1][0], facts.room
    yield at_least(
        facts.probes_clear, 1.0, code="graft.passage",
        message=f"{100 * facts.probes_clear:.0f} % of the probes from the mouth into the tank pass",
        unit="", source="probes over the passage, each a line from outside to inside",
        change="another place: something stands in the passage",
    )  # fmt: skip
    yield at_most(
        room.blocked, 0.0, code="graft.blocked",
        message="nothing stands on the wall under the passage" if not room.blocked else
        f"a baffle or rib stands under {100 * room.blocked:.0f} % of the passage",
        unit="", source="thickness of the wall, line by line", change=_MOVE,
    )  # fmt: skip
    if facts.in_hollow:
        yield Finding(code="graft.inside", verdict=Verdict.PASS,
                      message="the passage ends in the tank's closed hollow")  # fmt: skip
    else:
        yield at_least(
            facts.enclosed, _LEAST_ENCLOSED, code="graft.inside",
            message=f"the passage ends where {100 * facts.enclosed:.0f} % of all directions meet"
            " the tank",
            unit="", source="rays in 48 directions; a room is closed on most sides",
            change="a wall with the tank's inside behind it; see bayonet faces",
        )  # fmt: skip
    free, needed = room.inside_mm, free_height_mm(diameter)
    if math.isinf(free):
        yield Finding(code="graft.behind", verdict=Verdict.PASS, message="free behind the passage")
    else:
        yield at_least(
            free, needed, code="graft.behind", message=f"free way behind the passage {free:.2f} mm",
            unit="mm", source="a quarter of the diameter: the curtain is as large as the opening",
            change=_MOVE,
        )  # fmt: skip


def _opened(facts: Facts) -> Finding:
    return at_most(
        abs(facts.handles - 1), 0, code="graft.only_opening",
        message="one way through the skin was made, no other" if facts.handles == 1 else
        f"{facts.handles} ways through the skin were made, not one",
        unit="", source="Euler characteristic of the skin before and after",
        change=_MOVE,
    )  # fmt: skip


def _hollow(facts: Facts) -> Finding:
    if facts.hollow_mm3 is None or facts.expected_hollow_mm3 is None:
        why = "the tank has no closed hollow (it is open, or of several solids): see only_opening"
        return left_open("graft.hollow", why)
    expected = facts.expected_hollow_mm3
    off = abs(facts.hollow_mm3 - expected) / expected
    return at_most(
        off, max(_VOLUME_RELATIVE, 10.0 * facts.uncertainty_mm3 / expected), code="graft.hollow",
        message=f"with a lid on the mouth the hollow closes again: {facts.hollow_mm3:.1f} mm3,"
        f" {expected:.1f} mm3 expected",
        unit="", source="hollow before, with the bore and without what stands in it",
        change="another place: something else was opened",
    )  # fmt: skip


def _flow(facts: Facts, socket: Socket, wishes: Wishes) -> Iterator[Finding]:
    diameter = 2.0 * min(socket.passage_radius_mm, socket.bore[-1][0])
    area = circle_area_mm2(diameter)
    if wishes.valve_bore_mm is None:
        yield left_open(
            "flow.area", f"passage Ø{diameter:.2f} mm, {area:.0f} mm2; give the valve's own bore"
            " (valve_bore) to compare",
        )  # fmt: skip
    else:
        valve = circle_area_mm2(wishes.valve_bore_mm)
        yield at_least(
            area, valve, code="flow.area",
            message=f"passage {area:.0f} mm2, the valve's {valve:.0f} mm2", unit="mm2",
            source="the valve's bore, graft.valve_bore",
            change=f"passage_diameter {wishes.valve_bore_mm:g} mm or more",
            otherwise=Verdict.LOOK,
        )  # fmt: skip
    end = max(socket.boss_height_mm, facts.proud_mm + facts.thickness_mm)
    length = end - _depth_of_passage(socket)
    low, high = loss_range(length, diameter)
    drops = [
        1e6 * pressure_drop_mpa(k, speed_m_per_s=1.0, density_kg_per_m3=_WATER_KG_PER_M3)
        for k in (low, high)
    ]
    span = f"{low:.1f}" if low == high else f"{low:.1f} to {high:.1f}"
    pressure = f"{drops[0]:.0f}" if low == high else f"{drops[0]:.0f} to {drops[1]:.0f}"
    yield Finding(
        code="flow.loss",
        verdict=Verdict.PASS,
        message=f"as a sharp-edged opening, length {length / diameter:.1f} diameters: K = {span}"
        f" (water at 1 m/s: {pressure} Pa), for turbulent flow and without the valve itself",
        value=high,
        unit="-",
        source=SOURCE,
    )


def _depth_of_passage(socket: Socket) -> float:
    """Depth at which the bore has narrowed to the passage [mm]."""
    last = socket.bore[-1][0]
    return min(depth for radius, depth in socket.bore if abs(radius - last) < 1e-9)


def _drain(socket: Socket, wishes: Wishes, drain: Drain | None) -> Iterator[Finding]:
    if wishes.down is None:
        yield left_open("flow.drain", "the direction of gravity is not given (down)")
        return
    if drain is None:
        yield left_open("flow.drain", "the passage does not end in one closed hollow")
        return
    for code, height, volume, what, word in (
        ("flow.drain", drain.below_mm, drain.below_mm3, "liquid stays below", "drain"),
        ("flow.vent", drain.above_mm, drain.above_mm3, "gas stays above", "vent"),
    ):
        trapped = height > 0.01
        yield Finding(
            code=code,
            verdict=Verdict.LOOK if trapped else Verdict.PASS,
            message=f"{what} the passage: {height:.1f} mm, {volume / 1e6:.3f} l"
            if trapped
            else f"nothing {what.removesuffix(' below').removesuffix(' above')} beyond the passage",
            value=height,
            unit="mm",
            source="the hollow beyond the passage's edge along gravity; no other opening counted",
            change=f"if the tank must {word} here, move the socket or lower what stands inside"
            if trapped
            else "",
        )
    yield _bore_pocket(socket, drain)


def _bore_pocket(socket: Socket, drain: Drain) -> Finding:
    """Liquid held in the wetted part of the bore, wider than the passage, lying on its side."""
    wetted = socket.track_radius_mm
    if socket.layout == "A" and socket.seal_radius_mm is not None:
        wetted = socket.seal_radius_mm
    sideways = math.cos(math.radians(drain.slope_deg))
    depth = max(0.0, wetted - socket.bore[-1][0]) * sideways
    held = depth > 0.01 and drain.slope_deg < 89.0
    return Finding(
        code="flow.bore_pocket",
        verdict=Verdict.LOOK if held else Verdict.PASS,
        message=f"the bore holds liquid up to {depth:.1f} mm deep before the passage"
        if held
        else "no pocket in the wetted bore",
        value=depth,
        unit="mm",
        source="wetted radius less passage radius, by the slope of the axis",
        change="a larger passage_diameter, or a steeper axis" if held else "",
    )


def pointed(found: tuple[Finding, ...], where: str) -> tuple[Finding, ...]:
    """The findings with the place that works named where another place would mend them."""
    return tuple(
        replace(one, change=f"{one.change}; {where}")
        if one.verdict is Verdict.FAIL and one.code in PLACE
        else one
        for one in found
    )


def design_itself(verdict: Verdict) -> Finding:
    """The verdict of the socket on its own, which a good place does not mend."""
    words = {Verdict.FAIL: "fails", Verdict.LOOK: "does not fail; some findings want a look"}
    return Finding(
        code="graft.design",
        verdict=verdict if verdict is Verdict.FAIL else Verdict.PASS,
        message=f"the socket by itself {words.get(verdict, 'passes')}",
        source="bayonet check",
        change="see bayonet check" if verdict is Verdict.FAIL else "",
    )


def whole(damage: Sequence[str], surfaces: Sequence[str]) -> tuple[Finding, ...]:
    """What the tank's file declares and the tank lacks; nothing for a whole one of solids.

    Parameters
    ----------
    damage : sequence of str
        What is missing, as accepted by the user.
    surfaces : sequence of str
        Surface bodies left out, for they have no wall.
    """
    found = []
    if damage:
        found.append(Finding(
            code="graft.whole", verdict=Verdict.FAIL, value=len(damage), limit=0,
            margin=-len(damage), source="everything the file declares is there",
            message=f"the tank is not whole: {named(damage)}", change="get the tank's file anew",
        ))  # fmt: skip
    if surfaces:
        found.append(Finding(
            code="graft.surfaces", verdict=Verdict.LOOK, value=len(surfaces),
            message=f"surface bodies of the tank's file are left out: {named(surfaces)}",
            change="export them as solids if they are part of the tank",
        ))  # fmt: skip
    return tuple(found)
