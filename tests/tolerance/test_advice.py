"""Grades, gauges and advice: printed limits, and advice that does what it says."""

from __future__ import annotations

import pytest

import bayonet
from bayonet.checks.making.measuring import kind_of, measurements
from bayonet.findings import Verdict
from bayonet.parts.design import changed
from bayonet.standards import gauges
from bayonet.standards.tables import rows
from bayonet.tolerance.advice.changes import centred, opened, tightened
from bayonet.tolerance.advice.grades import tolerances_of


def test_grades_of_a_printed_size(sensor: bayonet.Design) -> None:
    """ISO 286-1 table 1: over 18 to 30 mm IT9 is 52, IT10 84, IT11 130 um."""
    (bore,) = [t for t in tolerances_of(sensor) if t.group == "sealing_bore"]
    assert 18 < bore.size_mm <= 30
    assert bore.half_width_of("9") == pytest.approx(0.026)
    assert bore.half_width_of("11") == pytest.approx(0.065)
    assert bore.grade == "IT8", "±0.02 is 0.04 wide: IT8 (33 um), not IT9 (52 um)"


def test_grade_of_a_position_by_its_arc(sensor: bayonet.Design) -> None:
    """0.1 deg at radius 20.25 is 35.3 um: 70.7 um wide; IT9 over 30 to 50 mm is 62."""
    (slot,) = [t for t in tolerances_of(sensor) if t.group == "slot_position_deg"]
    assert slot.mm_per_unit * 0.1 == pytest.approx(0.035343, abs=1e-6)
    assert slot.grade == "IT9"


@pytest.mark.parametrize(
    ("field", "value", "key"),
    [
        ("socket.clearance.axial", 0.02, "axial_play"),
        ("socket.clearance.floor", 0.02, "floor_gap"),
        ("socket.clearance.lug_radial", 0.02, "lug_radial"),
        ("socket.clearance.lug_side", 0.02, "slot_side"),
        ("socket.seal.bore_diameter", 26.75, "squeeze"),
    ],
)
def test_a_failing_chain_proposes_what_mends_it(
    sensor: bayonet.Design, field: str, value: float, key: str
) -> None:
    """Applied, the proposal passes."""
    changes = [(field, value)]
    if key == "squeeze":
        changes.append(("socket.seal.squeeze", None))  # type: ignore[arg-type]
    result = bayonet.check(changed(sensor, changes))
    (finding,) = [f for f in result.findings if f.code == f"tolerance.{key}"]
    assert finding.verdict is Verdict.FAIL
    assert finding.mends
    after = bayonet.check(bayonet.mended(result.design, finding))
    (mended,) = [f for f in after.findings if f.code == f"tolerance.{key}"]
    assert mended.verdict is Verdict.PASS


def test_tightening_one_tolerance_brings_the_rate_down(sensor: bayonet.Design) -> None:
    weak = changed(sensor, [("socket.clearance.axial", 0.15), ("socket.tolerance.roof", 0.1)])
    allowed = 1e-3
    figures = bayonet.check(weak).study.of("axial_play")
    assert figures.out.value > allowed
    step = tightened(weak, figures, allowed=allowed)
    assert step is not None
    assert step.tolerance.group == "roof"
    again = changed(weak, [("socket.tolerance.roof", step.half_width)])
    assert bayonet.check(again).study.of("axial_play").out.value <= allowed


def test_opening_what_is_called_harmless_is_harmless(sensor: bayonet.Design) -> None:
    study = bayonet.check(sensor).study
    steps = opened(sensor, study, allowed=1 - 0.9973)
    assert {"floor", "stop_deg"} <= {step.tolerance.group for step in steps}
    for step in steps:
        wider = changed(sensor, [(f"socket.tolerance.{step.tolerance.group}", step.half_width)])
        assert bayonet.check(wider).study.joint_yield > 0.9973


def test_what_needs_no_moving_is_not_moved(sensor: bayonet.Design) -> None:
    assert centred(sensor, bayonet.check(sensor).study.of("lug_radial"), allowed=1e-3) is None


def test_gauges_resolve_four_to_one_or_say_so(sensor: bayonet.Design) -> None:
    """TUR as defined: half the tolerance over the expanded uncertainty."""
    for one in measurements(sensor.socket):
        assert one.advice is not None, one.dimension.key
        assert one.advice.ratio == pytest.approx(
            one.dimension.half_width / one.advice.gauge.expanded_u
        )
    fine = changed(sensor, [("socket.tolerance.sealing_bore", 0.008)])
    (finding,) = [f for f in bayonet.check(fine).findings if f.code == "tolerance.measurable"]
    assert finding.verdict is Verdict.LOOK
    assert "sealing bore" in finding.message
    assert finding.value == pytest.approx(0.008 / 0.005)


def test_kinds_of_measurement(drain: bayonet.Design) -> None:
    kinds = {row.key: kind_of(row) for row in drain.socket.dimensions()}
    assert kinds["sealing_bore_diameter"] == "inside"
    assert kinds["track_1_diameter"] == "undercut"
    assert kinds["track_1_roof_depth"] == "undercut depth"
    assert kinds["track_1_stop"] == "angle"
    assert kinds["boss_diameter"] == "outside"


def test_gauge_table_is_sane() -> None:
    for row in rows("gauges"):
        assert float(row["expanded_u"]) > 0
        assert float(row["over_mm"]) < float(row["upto_mm"])
    assert gauges.advice("inside", size_mm=5000.0, half_width=1.0) is None
