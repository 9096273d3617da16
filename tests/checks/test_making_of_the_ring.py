"""Findings of a socket of ring and body: values by hand, each verdict shown, mends applied."""

from __future__ import annotations

import math
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from test_findings import finding, quick
from test_machining import named

import bayonet
from bayonet.checks.making import ways_to_make
from bayonet.checks.motion.proof import prove
from bayonet.checks.run import before_chains
from bayonet.developed import cutting
from bayonet.findings import Finding, Verdict
from bayonet.parts.design import changed

EXAMPLES = Path(__file__).parents[2] / "examples"
RING: tuple[tuple[str, Any], ...] = (
    ("socket.construction", "ring_and_body"), ("socket.track.made_by", None),
    ("socket.boss_diameter", None), ("socket.mount", None),
)  # fmt: skip


@cache
def ring(name: str = "level_sensor", *more: tuple[str, Any]) -> bayonet.Design:
    return changed(bayonet.load(EXAMPLES / f"{name}.toml"), [*RING, *more])


def found(code: str, *more: tuple[str, Any], name: str = "level_sensor") -> Finding:
    return finding(ring(name, *more), code)


def test_the_sensors_ring_has_nothing_to_look_at_under_machining() -> None:
    """The same plug of which no disc cutter makes a socket."""
    rows = [one for one in quick(ring()) if one.code.startswith("machining.")]
    assert len(rows) == 6
    assert {one.verdict for one in rows} == {Verdict.PASS}


def test_values_of_milling_by_hand() -> None:
    """Ring 9.1 thick, mill 2, wall 20.26, lead 6; screws on 26.5, ring 32, boss 34.25 and 24.5.

    Limits of 0.05 come off webs and rim; M4 holes are 8 + 3 x 0.7 deep.
    """
    assert found("machining.mill_reach").value == pytest.approx(9.1 / 2.0)
    over = 6.0 * math.degrees(math.asin(1.0 / 19.26)) / 360.0
    assert found("machining.ramp").value == pytest.approx(over)
    assert found("machining.webs").value == pytest.approx(32.0 - 26.5 - 4.0 - 0.05)
    assert found("machining.blind_holes").value == pytest.approx(24.5 - 9.1 - 10.1)
    assert found("machining.register").value == pytest.approx(34.25 - 32.0 - 0.05)


@pytest.mark.parametrize(
    ("code", "field", "value", "verdict"),
    [
        ("machining.mill_reach", "socket.joint.end_mill", 1.5, Verdict.LOOK),
        ("machining.ramp", "socket.joint.end_mill", 3.0, Verdict.LOOK),
        ("machining.webs", "socket.joint.ring_diameter", 63.0, Verdict.LOOK),
        ("machining.webs", "socket.joint.ring_diameter", 62.0, Verdict.FAIL),
        ("machining.blind_holes", "socket.joint.engagement", 13.0, Verdict.PASS),
        ("machining.register", "socket.joint.register_height", 0.5, Verdict.FAIL),
        ("machining.ring_bearing", "socket.track.least_bearing", 1.0, Verdict.PASS),
        ("load.thread", "socket.joint.engagement", 3.0, Verdict.FAIL),
        ("load.screws", "socket.joint.preload_share", 0.85, Verdict.FAIL),
    ],
)
def test_each_finding_can_come_out_otherwise(
    code: str, field: str, value: float, verdict: Verdict
) -> None:
    one = found(code, (field, value))
    assert one.verdict is verdict
    if one.mends:
        assert finding(changed(ring(), one.mends), code).verdict is Verdict.PASS


def test_the_torque_by_hand() -> None:
    """0.2 x 0.75 x 450 MPa x 8.78 mm2 x 4 mm."""
    assert found("load.screw_torque").value == pytest.approx(0.2 * 0.75 * 450 * 8.78 * 4e-3)
    assert found("load.joint_opens").verdict is Verdict.PASS


def test_too_little_under_the_holes() -> None:
    one = found("machining.blind_holes", ("socket.boss_height", 21.3))
    assert one.value == pytest.approx(21.3 - 19.2)
    with pytest.raises(bayonet.DesignError, match="boss_height"):
        ring("level_sensor", ("socket.boss_height", 20.9))


def test_the_last_pass_by_single_positions_of_the_mill() -> None:
    """Brute force over places of a flat mill of 6 mm: passes 0.05 mm apart, steps of 0.02 deg.

    Inner passes go so deep that their foremost point just touches the helicoid; the last one, on
    the wall, is true where it touches the wall. What is left is the highest place over a point.
    """
    wall, mill, lead = 20.0, 3.0, 6.0
    centres = np.append(np.arange(13.0, wall - mill, 0.05), wall - mill)
    steps = np.arange(-25.0, 1.0, 0.02)
    for radius in (13.7, 15.0, 16.0, 17.5, 18.5, 19.5):
        depths = []
        for centre in centres:
            foremost = math.degrees(math.asin(mill / centre)) if centre < wall - mill else 0.0
            away = np.sqrt(
                1e-12 + radius**2 + centre**2 - 2 * radius * centre * np.cos(np.radians(steps))
            )
            over = steps[away <= mill]
            if len(over):
                depths.append(lead * (over.min() + foremost) / 360.0)
        lag = -360.0 * min(depths) / lead
        rule = cutting.last_pass_lag_deg(np.array(radius), wall_mm=wall, mill_mm=mill)
        assert lag == pytest.approx(float(rule), abs=0.12), radius


def test_a_larger_mill_leaves_less_that_bears() -> None:
    """And a share that is asked for fails where it is not reached."""
    big = ("socket.joint.end_mill", 5.0)
    one = found("machining.ring_bearing", big)
    assert one.value is not None
    assert (one.verdict, one.mends) == (Verdict.FAIL, (("socket.joint.end_mill", 2.0),))
    assert one.value < 0.3
    big = ("socket.joint.end_mill", 3.0)
    asked = found("machining.ring_bearing", big, ("socket.track.least_bearing", 0.9))
    assert asked.verdict is Verdict.FAIL
    assert asked.limit == 0.9


def test_a_share_asked_for_fails_a_disc_that_leaves_an_edge() -> None:
    """As the cutter leaves it: a named disc on a ramp, a thin edge bears."""
    usual = named()
    assert finding(usual, "motion.bearing_area").verdict is Verdict.LOOK
    asked = changed(usual, [("socket.track.least_bearing", 0.6)])
    assert finding(asked, "motion.bearing_area").verdict is Verdict.FAIL
    cut = finding(asked, "machining.bearing")
    assert (cut.verdict, cut.limit) == (Verdict.FAIL, 0.6)


def test_a_ring_is_offered_where_no_disc_makes_it(sensor: bayonet.Design) -> None:
    """Tried before it is named: with it, machining passes."""
    bare = changed(sensor, [("socket.track.made_by", None)])
    fails = [one for one in before_chains(bare, prove(bare.plug, bare.socket))
             if one.code.startswith("machining.") and one.verdict is Verdict.FAIL]  # fmt: skip
    assert fails
    assert all('construction = "ring_and_body"' in one.change for one in fails)
    assert fails[0].mends == (("socket.construction", "ring_and_body"),)
    mended = changed(bare, fails[0].mends)
    assert not [one for one in quick(mended)
                if one.code.startswith("machining.") and one.verdict is not Verdict.PASS]  # fmt: skip
    assert ways_to_make.__doc__


def test_a_detents_steps_are_to_be_looked_at() -> None:
    drain = ring("irrigation_drain")
    assert finding(drain, "machining.detent_steps").verdict is Verdict.LOOK
    assert finding(drain, "machining.ring_bearing").verdict is Verdict.OPEN


def test_a_joint_the_fluid_reaches_must_be_sealed() -> None:
    """Layout A: dry. Layout B: a ring by the chart; without one it fails, and the mend mends.

    AS568 section 1.78 +- 0.08, face groove of 1.32 mid depth, 0.02 of flatness and 0.05 of limits.
    """
    assert found("seal.joint").verdict is Verdict.PASS
    wet = found("seal.joint", name="irrigation_drain")
    assert wet.verdict is Verdict.PASS
    section, tol = 0.070 * 25.4, 0.003 * 25.4
    groove = (0.050 + 0.054) / 2.0 * 25.4
    assert wet.value == pytest.approx(section - tol - groove - 0.07)
    bare = found("seal.joint", ("socket.joint.seal", "none"), name="irrigation_drain")
    assert bare.verdict is Verdict.FAIL
    mended = changed(ring("irrigation_drain", ("socket.joint.seal", "none")), bare.mends)
    assert finding(mended, "seal.joint").verdict is Verdict.PASS
    loose = found("seal.joint", ("socket.joint.seat_flatness", 0.3), name="irrigation_drain")
    assert loose.verdict is Verdict.FAIL


def test_the_joints_limits_are_in_zones_and_clearances() -> None:
    """Flatness 0.02 in the floor; play 0.05 of the register and twice that in the sealing bore."""
    one, two = bayonet.load(EXAMPLES / "level_sensor.toml").socket.limits, ring().socket.limits
    assert two.floor_mm == pytest.approx(one.floor_mm + 0.02)
    assert two.nose_floor_mm == pytest.approx(one.nose_floor_mm + one.floor_mm + 0.02)
    assert two.seal_coaxiality_mm == pytest.approx(one.seal_coaxiality_mm + 0.05 + 0.04)
    loose = ring("level_sensor", ("socket.joint.centring_clearance", 0.4))
    assert loose.socket.clearance.lug_side_mm > ring().socket.clearance.lug_side_mm


def test_a_joint_too_loose_fails() -> None:
    """A register with 0.6 mm of play: the plug may be pushed aside past its slots."""
    loose = ring("level_sensor", ("socket.joint.centring_clearance", 0.6))
    codes = {one.code for one in quick(loose) if one.verdict is Verdict.FAIL}
    assert "motion.enters" in codes, codes


def test_the_body_does_not_guide_above_its_seal() -> None:
    """Below the seat the bore is wider than in the ring by the register's play and flatness."""
    socket = ring().socket
    joint = socket.joint
    assert joint is not None
    below = [r for r, d in socket.bore if d == joint.seat_mm]
    assert below == pytest.approx([16.1, 16.1 + 0.025 + 0.02])


def test_clocking_is_the_dowels_or_the_screws() -> None:
    """Holes 0.05 apart on 26.5 mm; without a dowel (4.5 - 4) / 2 of play in the screws' holes."""
    joint = ring().socket.joint
    loose = ring("level_sensor", ("socket.joint.dowel_diameter", 0.0)).socket.joint
    assert joint is not None
    assert loose is not None
    assert joint.clocking_deg == pytest.approx(math.degrees(0.05 / 26.5))
    assert loose.clocking_deg == pytest.approx(math.degrees(0.25 / 26.5))


@pytest.mark.parametrize("command", ["graft", "tune"])
def test_what_knows_one_piece_only_says_so(command: str, tmp_path: Path) -> None:
    from bayonet.jobs.graft import graft
    from bayonet.tank import Wishes
    from bayonet.tune import tune

    def asked() -> object:
        if command == "graft":
            return graft(ring(), tmp_path / "none.step", tmp_path / "out", wishes=Wishes())
        return tune(ring(), None, yield_share=0.99)  # type: ignore[arg-type]

    with pytest.raises(bayonet.DesignError, match=f"bayonet {command} works on a socket of one"):
        asked()
    assert not (tmp_path / "out").exists()
