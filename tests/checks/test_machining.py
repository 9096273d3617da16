"""Findings for machinist and founder: values by hand, each verdict shown, every proposal mends."""

from __future__ import annotations

import math

import pytest
from test_findings import changed, finding, quick

import bayonet
from bayonet.checks.motion.proof import prove
from bayonet.developed import cutting
from bayonet.errors import DesignError
from bayonet.parts import cutter as cutters
from bayonet.tolerance.fitting import sideways

CUTTER = """[socket.cutter]
diameter = 12.5
thickness = 3.0
neck_diameter = 3.0
reach = 14
end_mill = 8

[socket.seal]"""
ERODED = ('made_by = "erosion"             # no disc cutter leaves this ramp and stop', "")
NAMED = [ERODED, ("turn_deg = 80", "turn_deg = 50"), ("[socket.seal]", CUTTER)]


def named(*pairs: tuple[str, str]) -> bayonet.Design:
    return changed("level_sensor", *NAMED, *pairs)


def test_the_proposed_cutter_by_hand(sensor: bayonet.Design) -> None:
    """Bore 32.2, wall 40.5: 4.15 deep, 0.5 clear, neck 0.35 of it: 4.65 / 0.65 x 2 = 14.3.

    So 14.5; its neck 2 x (7.25 - 4.65) = 5.2, so 5. Least height 4.0 less 0.1: 3.5 thick.
    """
    one = cutters.proposed(sensor.socket)
    assert (2 * one.radius_mm, 2 * one.neck_radius_mm, one.thickness_mm) == (14.5, 5.0, 3.5)


def test_overcut_and_travel_by_hand() -> None:
    """Disc 6.25 at 14.0, bore 16.1, lug 20, lead 6: swings from the triangle's cosines."""

    def swing(r: float) -> float:
        return math.degrees(math.acos((r**2 + 14.0**2 - 6.25**2) / (2 * r * 14.0)))

    travel = swing(16.1) - swing(20.0)
    assert finding(named(), "machining.stop").value == pytest.approx(travel)
    assert finding(named(), "machining.overcut").value == pytest.approx(6.0 * travel / 360.0)


def test_the_earliest_stop_by_hand() -> None:
    """Largest lug, cutter turned back early by the angle's limits, wall smaller by its limits.

    Eccentricity left over moves the lug's side and its tip.
    """
    design = named()
    socket, lug = design.socket, design.plug.lugs[0]
    cut = socket.tracks[0].cut
    assert cut is not None
    rho = cut.centre_mm - socket.tolerance.diameter_mm / 2.0
    # axes of lugs and tracks 0.04 + 0.02 apart; the body's least float makes up for as much
    left = sideways(design.plug, socket, play_mm=0.0).left_mm
    assert left == pytest.approx(0.06, abs=0.02)
    radius = lug.outer_radius_mm + lug.zone.outer_radius_mm + left
    cosine = (radius**2 + rho**2 - 6.25**2) / (2 * radius * rho)
    arc = cut.stop_deg - socket.tolerance.angle_deg + math.degrees(math.acos(cosine))
    half = lug.half.deg + math.degrees(lug.zone.side_mm / lug.outer_radius_mm)
    half += math.degrees(math.asin(left / radius))
    by_hand = arc - half - lug.zone.position_deg
    assert prove(design.plug, design.socket).tightest.furthest_deg == pytest.approx(
        by_hand, abs=1e-6
    )


def test_bearing_by_hand() -> None:
    """A lug wholly on a dwell bears wholly; on the ramp, outside the radius where 0.05 is cut."""
    level = named(("dwell_deg = 0", "lead = 0.0"), ("lead = 6.0", ""))
    assert finding(level, "machining.bearing").value == pytest.approx(1.0)
    assert finding(level, "motion.bearing_area").verdict == "pass"
    ramp = named()
    lug, track = ramp.plug.lugs[0], ramp.socket.tracks[0]
    inner = cutting.bearing_from_mm(lug, track, lead_mm_per_rev=6.0, within_mm=0.05)
    half = lug.half.deg
    area = 3 * math.radians(2 * half) * (20.0**2 - inner**2) / 2
    whole = 3 * math.radians(2 * half) * (20.0**2 - 16.1**2) / 2
    assert finding(ramp, "machining.bearing").value == pytest.approx(area / whole, abs=0.01)
    assert "outer edge only" in finding(ramp, "motion.bearing_area").message


@pytest.mark.parametrize(
    ("code", "verdict", "pairs"),
    [
        ("machining.pass_bore", "pass", []),
        ("machining.neck", "fail", [("neck_diameter = 3.0", "neck_diameter = 4.0")]),
        ("machining.reach", "fail", [("reach = 14", "reach = 8")]),
        ("machining.slender", "look", [("reach = 14", "reach = 20")]),
        ("machining.thickness", "fail", [("thickness = 3.0", "thickness = 4.5")]),
        ("machining.tooth_corner", "fail", [("end_mill = 8", "end_mill = 8\ncorner_radius = 1.0")]),
        ("machining.end_mill", "fail", [("end_mill = 8", "end_mill = 9")]),
        ("machining.end_mill", "open", [("end_mill = 8\n", "")]),
        ("machining.slot_corner", "fail", [("wall = 4.0", "wall = 4.0\nboss_diameter = 44.0")]),
        ("machining.overcut", "look", []),
        ("machining.plunge", "pass", []),
        ("machining.overcut", "pass", [("dwell_deg = 0", "lead = 0.0")]),
        ("machining.bearing", "fail", []),
        ("machining.stop", "look", []),
    ],
)
def test_each_can_come_out(code: str, verdict: str, pairs: list[tuple[str, str]]) -> None:
    design = named(*pairs)
    found = finding(design, code)
    assert found.verdict == verdict
    if found.mends:
        after = [f for f in quick(bayonet.mended(design, found)) if f.code == code]
        assert all(f.verdict == "pass" for f in after), "an eroded track has no such finding"


DETENT = ('made_by = "erosion"             # a disc cutter would cut the detent away', "")
DRAWN = ('made_by = "', 'measured_with = "drawing"\nmade_by = "')
# without the chains one lug of the drain's four is taken not to bear: 4/3 of its stress, too much for 10 bar
MILD = ('"10 bar"', '"5 bar"')
SLOPED = ('process = "cast"  ', 'process = "machined"  ')


@pytest.mark.parametrize(
    ("name", "pairs", "codes"),
    [
        ("level_sensor", [ERODED], {"between_tracks", "bearing"}),
        ("irrigation_drain", [DETENT, MILD], {"between_tracks", "detent"}),
        ("brewery_vent", [DRAWN, SLOPED], {"bearing", "floor_slope"}),
        ("brewery_vent", [DRAWN, SLOPED, ("floor_slope_deg = 30", "")], {"bearing", "floor"}),
        ("level_sensor", [ERODED, ("lead = 6.0", ""), ("dwell_deg = 0", "lead = 0.0")],
         {"between_tracks"}),
    ],
)  # fmt: skip
def test_what_cannot_be_cut_fails_with_ways_out_that_work(
    name: str, pairs: list[tuple[str, str]], codes: set[str]
) -> None:
    """No cutter is named and none leaves the track right; each way out, applied, lets it be made."""
    design = changed(name, *pairs)
    failing = [f for f in quick(design) if f.verdict == "fail"]
    assert {f.code for f in failing} - {"motion.bearing_area"} == {f"machining.{c}" for c in codes}
    for one in failing:
        assert "tried" in one.change
        mended = quick(bayonet.mended(design, one))
        assert not [f.code for f in mended if f.verdict == "fail"], one.change


def test_the_bearing_area_is_what_the_cutter_leaves() -> None:
    """Drawn 106.7 mm²; a disc leaves 8.2: no finding may claim the larger one."""
    design = changed("level_sensor", ERODED)
    said = finding(design, "motion.bearing_area")
    share = finding(design, "machining.bearing").value
    assert share is not None
    assert said.verdict == "fail"
    assert said.value == pytest.approx(share * 106.7, abs=0.05)
    assert said.value == pytest.approx(8.2, abs=0.05)
    eroded = finding(changed("level_sensor"), "motion.bearing_area")
    assert (eroded.verdict, eroded.value) == ("pass", pytest.approx(106.7, abs=0.05))


def test_shorter_turn_is_offered_where_that_is_enough() -> None:
    """Flat lugs in a level track: 4.53 mm short at a bore of 16.1 is 16.1 deg; so 63, not 80."""
    pairs = [ERODED, ("lead = 6.0", ""), ("dwell_deg = 0", "lead = 0.0")]
    found = finding(changed("level_sensor", *pairs), "machining.between_tracks")
    assert found.mends == (("plug.turn_deg", 63.0),)


@pytest.mark.parametrize(
    ("material", "verdict"),
    [('"6061-T6"', "look"), ('"POM-C"', "fail"), ('"PEEK"', "open")],
)
def test_erosion_needs_a_metal(material: str, verdict: str) -> None:
    design = changed(
        "level_sensor", ('socket_material = "6061-T6"', f"socket_material = {material}")
    )
    assert finding(design, "machining.erosion").verdict == verdict
    assert [f.code for f in quick(design) if f.code.startswith("machining.")] == [
        "machining.erosion"
    ]


def test_the_starting_file_can_be_cut_by_the_cutter_that_is_proposed() -> None:
    design = bayonet.loads(bayonet.starting_file())
    rows = quick(design)
    assert not [f.code for f in rows if f.verdict == "fail"]
    assert finding(design, "machining.bearing").value == pytest.approx(1.0)
    assert any("No cutter is named" in line for line in bayonet.check(design).assumptions)


@pytest.mark.parametrize(
    ("pairs", "field", "words"),
    [
        ([("turn_deg = 50", "turn_deg = 80")], "plug.turn_deg", "runs into the slot"),
        ([("diameter = 12.5", "diameter = 8.0")], "socket.cutter.diameter", "more than twice"),
        ([("diameter = 12.5", "diameter = 26")], "socket.cutter.diameter", "far side"),
        ([('process = "machined"', 'process = "cast"')], "socket.process", "cutter is named"),
        ([("dwell_deg = 0", 'made_by = "erosion"')], "socket.track.made_by", "no cutter"),
        ([("dwell_deg = 0", 'floor = "parallel"')], "socket.track.floor", "flat floor"),
        ([("dwell_deg = 0", "floor_slope_deg = 30")], "socket.track.floor_slope_deg", "flat floor"),
        ([("dwell_deg = 0", "detent = { height = 0.2 }")], "socket.track.detent", "cut the detent"),
        ([("neck_diameter = 3.0", "neck_diameter = 13")], "socket.cutter", "less than diameter"),
    ],
)
def test_what_no_cutter_can_leave_is_refused(
    pairs: list[tuple[str, str]], field: str, words: str
) -> None:
    with pytest.raises(DesignError) as caught:
        named(*pairs)
    assert [(p.field, words in p.rule) for p in caught.value.problems] == [(field, True)]


def test_casting_by_hand() -> None:
    """1 deg over the slot's depth; the track spans slot side to stop; walls from the radii."""
    design = changed("level_sensor", ERODED, ('process = "machined"', 'process = "cast"'))
    socket = design.socket
    floor = socket.tracks[0].floor[-1][1]
    draft = finding(design, "casting.draft")
    assert draft.value == pytest.approx(floor * math.tan(math.radians(1.0)))
    span = finding(design, "casting.undercut")
    assert span.verdict == "look"
    assert span.value == pytest.approx(
        float(socket.tracks[0].end.at(20.0)) + float(socket.tracks[0].slot.at(20.0))
    )
    walls = finding(design, "casting.walls")
    boss, bore = socket.boss_radius_mm, min(radius for radius, _ in socket.bore)
    assert walls.value == pytest.approx((boss - bore) / (boss - socket.track_radius_mm))
    tight = changed(
        "level_sensor",
        ERODED,
        ('process = "machined"', 'process = "cast"'),
        ("[socket.track]", "[socket.clearance]\nlug_side = 0.1\n[socket.track]"),
    )
    bad = finding(tight, "casting.draft")
    assert bad.verdict == "look"
    assert finding(bayonet.mended(tight, bad), "casting.draft").verdict == "pass"
