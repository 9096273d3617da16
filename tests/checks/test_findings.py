"""Single findings: values by hand, and each can fail."""

from __future__ import annotations

import math
from pathlib import Path

import pytest
from scipy.optimize import brentq

import bayonet
from bayonet.checks.motion.proof import prove
from bayonet.checks.run import before_chains, bench_of, of_strength
from bayonet.findings import Finding, Verdict, at_least, worst
from bayonet.strength.study import strength_of

EXAMPLES = Path(__file__).parents[2] / "examples"


def changed(name: str, *pairs: tuple[str, str]) -> bayonet.Design:
    text = (EXAMPLES / f"{name}.toml").read_text("utf-8")
    for old, new in pairs:
        assert old in text
        text = text.replace(old, new, 1)
    return bayonet.loads(text)


def finding(design: bayonet.Design, code: str) -> Finding:
    return next(f for f in quick(design) if f.code == code)


def quick(design: bayonet.Design) -> tuple[Finding, ...]:
    """All findings but those of the chains."""
    proof = prove(design.plug, design.socket)
    strength = strength_of(design, None, bench_of(design, proof))
    return (*before_chains(design, proof), *of_strength(design, None, strength))


def test_not_a_number_never_passes() -> None:
    got = at_least(math.nan, 0.0, code="x", message="", unit="", source="", change="mend")
    assert (got.verdict, got.value, got.change) == (Verdict.FAIL, None, "mend")


def test_worst_of_several() -> None:
    def one(verdict: Verdict) -> Finding:
        return Finding(code="x", verdict=verdict, message="")

    assert worst(()) is Verdict.PASS
    assert worst((one(Verdict.OPEN), one(Verdict.PASS))) is Verdict.OPEN
    assert worst((one(Verdict.LOOK), one(Verdict.PASS))) is Verdict.LOOK
    assert worst((one(Verdict.LOOK), one(Verdict.FAIL))) is Verdict.FAIL


def test_lug_radial_clearance_by_hand(sensor: bayonet.Design) -> None:
    """0.25 less half of 0.05 (bore), half of 0.08 + 2 x 0.02 (lug): 0.165 mm."""
    got = finding(sensor, "clearance.lug_radial")
    assert got.value == pytest.approx(0.165)


def test_body_clearance_by_hand(sensor: bayonet.Design) -> None:
    """Body 32.0 in 32.2: 0.1 on radius less 0.025 (bore), 0.04 (spread), 0.0201 (readings)."""
    assert finding(sensor, "clearance.body").value == pytest.approx(0.0149, abs=5e-5)


def test_a_body_that_meets_a_ledge_is_told_so() -> None:
    ledge = finding(
        changed("level_sensor", ("to_depth = 13.0", "to_depth = 13.8")), "clearance.body"
    )
    tight = finding(changed("level_sensor", ("value = 26.4,", "value = 26.53,")), "clearance.body")
    assert (ledge.verdict, tight.verdict) == (Verdict.FAIL, Verdict.FAIL)
    assert "ledge" in ledge.message
    assert "ledge" not in tight.message


def test_sealing_bore_by_hand(sensor: bayonet.Design) -> None:
    """Groove 22.4 and ring -118 (21.8948 x 2.6162) at 20 %: 22.4 + 2 x 0.8 x section in place.

    That solves s^2 (22.4 + s) = 2.6162^2 (21.8948 + 2.6162) (torus volume).
    """
    volume = 2.6162**2 * (21.8948 + 2.6162)
    placed = brentq(lambda s: s * s * (22.4 + s) - volume, 2.0, 3.0)
    assert finding(sensor, "seal.bore").value == pytest.approx(22.4 + 1.6 * placed)


def test_axial_play_by_hand(drain: bayonet.Design) -> None:
    """0.45 less 0.05 (roof), 0.03 (flank) and the uncertainty of four readings.

    s = 0.008165, s / 2 = 0.004082; resolution 0.002887; together 0.0050 with 6.75 degrees of
    freedom, Student's factor 2.383: 0.0119 mm (JCGM 100). A lead 0.05 mm/rev off lifts an end of
    the widest lug, half of 14 mm and 0.015 mm more on a body of 44: 18.59 deg, by 0.0026 mm.
    """
    ends = 0.05 * 18.59 / 360
    assert finding(drain, "motion.axial_play").value == pytest.approx(0.3581 - ends, abs=5e-5)


def test_shoulder_seat_by_hand(sensor: bayonet.Design) -> None:
    """Shoulder 25 less track wall 20.25 less 0.025."""
    assert finding(sensor, "clearance.shoulder_seat").value == pytest.approx(4.725)


@pytest.mark.parametrize(
    ("code", "verdict", "name", "pairs"),
    [
        ("motion.enters", "fail", "irrigation_drain", [("axial = 0.45", "axial = 0.45\nlug_side = 0.05")]),
        ("motion.turns", "fail", "irrigation_drain", [("height = 0.22", "height = 0.40")]),
        ("motion.axial_play", "fail", "level_sensor", [("[socket.track]", "[socket.clearance]\naxial = 0.05\n[socket.track]")]),
        ("motion.seats", "fail", "level_sensor", [("to_depth = 13.0", "to_depth = 12.0"), ("[socket.track]", "[socket.clearance]\nfloor = 0.02\naxial = 0.6\n[socket.track]")]),
        ("motion.tight_window", "fail", "brewery_vent", [("overtravel_deg = 22", "overtravel_deg = 3")]),
        ("motion.orientation", "pass", "irrigation_drain", []),
        ("motion.orientation", "look", "level_sensor", []),
        ("motion.angular_play", "look", "level_sensor", []),
        ("motion.angular_play", "pass", "irrigation_drain", []),
        ("motion.engagement", "fail", "level_sensor", [("turn_deg = 80", "turn_deg = 20")]),
        ("motion.bearing_area", "look", "level_sensor", [("lead = 6.0", ""), ("dwell_deg = 0", "lead = 6.0")]),
        ("clearance.lug_radial", "fail", "level_sensor", [("[socket.track]", "[socket.clearance]\nlug_radial = 0.05\n[socket.track]")]),
        ("clearance.body", "fail", "level_sensor", [("value = 26.4,", "value = 26.53,")]),
        ("clearance.radial_overlap", "look", "level_sensor", [("[socket.track]", "[socket.clearance]\nbody = 5\n[socket.track]")]),
        ("clearance.shoulder_seat", "look", "level_sensor", [("shoulder_diameter = 50.0", "shoulder_diameter = 41.5")]),
        ("clearance.shoulder_seat", "fail", "level_sensor", [("shoulder_diameter = 50.0", "shoulder_diameter = 40.4")]),
        ("clearance.nose", "fail", "irrigation_drain", [("axial = 0.45", "axial = 0.45\nnose = 0.05")]),
        ("clearance.lugs_pass_seal", "pass", "irrigation_drain", []),
        ("clearance.lugs_pass_seal", "fail", "irrigation_drain", [("outer_diameter = 54.0", "outer_diameter = 57.58"), ("axial = 0.45", "axial = 0.45\nlug_radial = 0.02")]),
        ("shape.roof", "fail", "level_sensor", [("wall = 4.0", "wall = 18.0")]),
        ("shape.under_nose", "look", "irrigation_drain", [("passage_diameter", "boss_height = 37.0\npassage_diameter")]),
        ("shape.under_nose", "fail", "irrigation_drain", [("passage_diameter", "boss_height = 34.6\npassage_diameter"), ("bevel_width = 5.0", "bevel_width = 1.0"), ("land = 1.5", "land = 0.5")]),
        ("shape.weld_root", "look", "irrigation_drain", [('passage_diameter = "1.5 in"\n', ""), ("bevel_width = 5.0", "bevel_width = 18"), ("bevel_angle_deg = 45", "bevel_angle_deg = 70")]),
        ("shape.flange_webs", "pass", "brewery_vent", []),
        ("shape.flange_webs", "fail", "brewery_vent", [("bolts = 6", "bolts = 36"), ("bolt_hole = 6.6", "bolt_hole = 7.5")]),
        ("shape.weld_root", "pass", "irrigation_drain", []),
        ("shape.between_tracks", "fail", "level_sensor", [("turn_deg = 80", "turn_deg = 89.9")]),
        ("motion.angular_play", "look", "irrigation_drain", [("height = 0.22", "height = 0.09")]),
        ("motion.comes_out", "pass", "irrigation_drain", []),
        ("motion.comes_out", "open", "irrigation_drain", [("height = 0.22", "height = 0.40")]),
        ("shape.wall", "fail", "level_sensor", [("wall = 4.0", "wall = 4.0\nboss_diameter = 46")]),
        ("shape.roof", "look", "level_sensor", [("wall = 4.0", "wall = 9.0")]),
        ("shape.below_floor", "fail", "brewery_vent", [("wall = 5.0", "wall = 5.0\nboss_height = 18")]),
        ("shape.between_tracks", "look", "level_sensor", [("turn_deg = 80", "turn_deg = 88")]),
        ("shape.mouth", "look", "level_sensor", [("turn_deg = 80", "turn_deg = 22"), ('"10.0 mm"', '"28.5 mm"')]),
        ("seal.position", "fail", "level_sensor", [("lead_in_angle_deg = 20", "lead_in_angle_deg = 20\nmargin = 0.02")]),
        ("seal.position", "pass", "brewery_vent", []),
        ("seal.position", "fail", "brewery_vent", [("wall = 5.0", "wall = 5.0\nboss_diameter = 57.5"), ("bolt_circle = 92", "bolt_circle = 80")]),
    ],
)  # fmt: skip
def test_every_finding_comes_out_each_way(
    code: str, verdict: str, name: str, pairs: list[tuple[str, str]]
) -> None:
    got = finding(changed(name, *pairs), code)
    assert got.verdict.value == verdict
    assert bool(got.change) == (verdict in ("look", "fail"))
    assert verdict == "open" or got.source


def test_the_lug_side_change_asked_for_mends_it() -> None:
    """The proposal, applied, passes."""
    bad = changed("irrigation_drain", ("axial = 0.45", "axial = 0.45\nlug_side = 0.05"))
    asked = float(finding(bad, "motion.enters").change.split()[2])
    mended = changed(
        "irrigation_drain", ("axial = 0.45", f"axial = 0.45\nlug_side = {0.05 + asked}")
    )
    assert finding(mended, "motion.enters").verdict is Verdict.PASS
