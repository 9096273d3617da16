"""A plug that stands aside: designs that passed, or failed, wrongly while it stood in the middle.

The designs were found by an outside trial that swept meshes of the written files with offsets.
"""

from __future__ import annotations

import dataclasses
import math
from functools import cache
from pathlib import Path

import pytest

import bayonet
from bayonet.checks.motion import prove
from bayonet.checks.motion.way_in import findings as motion_findings
from bayonet.findings import Finding, Verdict
from bayonet.parts.design import changed

CASES = Path(__file__).parent / "cases"


@cache
def result(name: str, *changes: tuple[str, object]) -> bayonet.Result:
    design = bayonet.load(CASES / f"{name}.toml")
    return bayonet.check(changed(design, list(changes)) if changes else design)


def finding(found: bayonet.Result, code: str) -> Finding:
    return next(one for one in found.findings if one.code == code)


def test_eccentric_lugs_do_not_all_enter() -> None:
    """Axes up to 0.32 mm apart, slots 0.2 wider each side, the body free by 0.10.

    At the worst corner nothing enters (0 of 3 813 poses of the trial's sweep). By hand: 0.2 less
    half a slot's and lug's zones, positions, and the eccentricity the body's least float leaves,
    which the two sides it meets take by the cosine of 15.5 deg each.
    """
    found = result("coax")
    enters = finding(found, "motion.enters")
    assert enters.verdict == "fail"
    assert "all plugs but" in enters.message
    design = found.design
    zone, limits = design.plug.lugs[0].zone, design.socket.limits
    turned = math.radians(zone.position_deg + limits.slot_position_deg) * 20.0
    left = found.proof.sideways.left_mm
    assert 0.3 < left < 0.36
    by_hand = 0.2 - limits.slot_width_mm / 2 - zone.side_mm - turned - left * 0.964
    assert enters.value == pytest.approx(by_hand, abs=0.005)
    chain = finding(found, "tolerance.slot_side")
    assert chain.verdict == "fail"
    assert chain.margin == pytest.approx(enters.value)
    assert finding(found, "tolerance.joint_yield").verdict == "fail"
    # those that enter, turn: one statement for each thing
    assert finding(found, "motion.turns").verdict == "pass"


def test_a_clearance_left_out_holds_the_eccentricity() -> None:
    found = result("coax", ("socket.clearance.lug_side", None))
    assert found.design.socket.clearance.lug_side_mm == pytest.approx(0.55, abs=0.021)
    enters = finding(found, "motion.enters")
    assert enters.verdict == "pass"
    assert enters.value == finding(found, "tolerance.slot_side").margin


def test_overlap_is_what_is_left_where_the_plug_is_pushed_aside() -> None:
    """Body 1.8 mm loose on diameter: 1.1 mm under the roof in the middle, 0.2 pushed aside."""
    found = result("float_overlap")
    assert finding(found, "tolerance.lug_overlap").value == pytest.approx(0.2)
    assert finding(found, "tolerance.lug_overlap").verdict == "fail"
    overlap = finding(found, "clearance.radial_overlap")
    assert overlap.verdict == "look"
    assert "1.00 mm aside" in overlap.message
    assert "keeps 0.7 mm²" in finding(found, "motion.bearing_area").message
    assert finding(found, "motion.bearing_area").verdict == "look"
    assert finding(found, "load.flank").verdict == "fail"


@pytest.mark.parametrize("name", ["polar_radius", "polar_spurious"])
def test_polarised_by_diameter_within_reach_of_the_float(name: str) -> None:
    """0.18 mm of shift lets the larger lug into a smaller track at nominal size, 0.09 the loosest.

    Where the plug only pokes a corner into a slot, 106 and 226 deg round, it does not lock.
    """
    orientation = finding(result(name), "motion.orientation")
    assert orientation.verdict == "look"
    assert "120, 240 deg" in orientation.message
    assert "0.09 mm aside" in orientation.message


def test_polarised_by_diameter_beyond_reach_of_the_float() -> None:
    """The body 0.1 mm free and a lug larger by 0.8: nothing but the meant way round."""
    design = bayonet.load(CASES / "polar_radius.toml")
    larger = [{"centre_deg": 0, "outer_diameter": 41.6}, {"centre_deg": 120}, {"centre_deg": 240}]
    design = changed(design, [("socket.clearance.body", 0.2), ("plug.lugs.each", larger)])
    assert finding(bayonet.check(design), "motion.orientation").verdict == "pass"


@pytest.mark.parametrize(("name", "turn"), [("slope_unequal", 60.0), ("cut_unequal", 49.16 + 1.78)])
def test_a_smaller_lug_is_held_against_its_own_wall(name: str, turn: float) -> None:
    """Their solids pass 90 poses; they were blocked at 0.57 and 46.56 deg."""
    found = result(name)
    assert finding(found, "motion.turns").verdict == "pass"
    assert found.proof.nominal.furthest_deg == pytest.approx(turn, abs=1e-6)


def test_a_detent_holds_only_a_plug_pushed_outwards(drain: bayonet.Design) -> None:
    held = finding(bayonet.check(drain), "motion.angular_play")
    assert held.verdict == "pass"
    assert "while working pressure" in held.message
    assert "with its shoulder on the mouth it turns back" in held.message
    slack = changed(drain, [("service.pressure", None)])
    held = finding(bayonet.check(slack), "motion.angular_play")
    assert held.verdict == "look"
    assert "nothing here does" in held.message
    assert "spring" in held.change


def test_every_plug_is_said_only_where_the_chain_says_so(
    sensor: bayonet.Design, drain: bayonet.Design, vent: bayonet.Design
) -> None:
    for design in (sensor, drain, vent):
        found = bayonet.check(design)
        enters, chain = finding(found, "motion.enters"), finding(found, "tolerance.slot_side")
        assert enters.value == chain.margin
        assert enters.message.startswith("every plug") == (chain.margin >= 0.0)


def test_what_blocks_below_a_wide_slot_is_not_called_a_narrow_slot() -> None:
    """The tightest pair does not come down though its slots leave 0.07 mm each side."""
    design = bayonet.load(Path(__file__).parents[2] / "examples" / "level_sensor.toml")
    proof = prove(design.plug, design.socket)
    for blocked in (
        dataclasses.replace(proof, tightest=dataclasses.replace(proof.tightest, entered=None)),
        dataclasses.replace(
            proof,
            nominal=dataclasses.replace(proof.nominal, entered=None),
            tightest=dataclasses.replace(proof.tightest, entered=None),
        ),
    ):
        enters = motion_findings(design.plug, design.socket, blocked)[0]
        assert enters.verdict is Verdict.FAIL
        assert "wide enough" in enters.message
        assert "short" not in enters.message
        assert enters.margin is None, "no margin of the sides: they are not what blocks"
        assert "lug_side" not in enters.change
