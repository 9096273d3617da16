"""Printability findings, each way they can come out, with numbers by hand."""

from __future__ import annotations

import dataclasses
import math
from typing import Any

import pytest

import bayonet
from bayonet.checks.making import printing
from bayonet.errors import DesignError
from bayonet.findings import Finding, Verdict
from bayonet.parts.design import changed
from bayonet.printing import piece
from bayonet.printing.ladder import goes_for_sure, sample, usual_steps


def judged(design: bayonet.Design, *, whole: bool = False) -> dict[str, Finding]:
    shape = design.socket
    if not whole:
        shape = piece.ring(design.plug, shape, with_seal=False, printer=design.spec.printer)
    clamps = design.socket.seating == "clamp"
    play = 0.0 if clamps else design.socket.clearance.axial_mm
    rows = printing.findings(shape, design.spec.printer, least_play_mm=play / 2, play_mm=play)
    return {row.code: row for row in rows}


def with_printer(design: bayonet.Design, **fields: Any) -> bayonet.Design:
    return changed(design, [(f"printer.{name}", value) for name, value in fields.items()])


def test_the_ring_prints_without_support(sensor: bayonet.Design) -> None:
    found = judged(sensor)
    for code in ("roof_face_up", "floor", "bridge", "ledges", "least_wall", "first_layer_flare"):
        assert found[f"print.{code}"].verdict is Verdict.PASS, code
    assert found["print.floor"].value == pytest.approx(45.0)
    assert "support only what leans more than 46 deg" in found["print.floor"].message


def test_the_whole_socket_hangs_over(sensor: bayonet.Design, vent: bayonet.Design) -> None:
    """A sharp floor is a flat ceiling; the lead-in's step is 16.1 - 14.157 wide; a flange 20.

    Sizes as of a drawing: a groove by calliper widens the ring's lead-in by what is not known of it.
    """
    sensor = changed(sensor, [("plug.measured_with", "drawing")])
    found = judged(sensor, whole=True)
    assert found["print.floor"].verdict is Verdict.LOOK
    assert found["print.floor"].value == pytest.approx(90.0)
    track = sensor.socket.tracks[0]
    angle = math.radians(float(track.slot.at(16.1)) + float(track.end.at(16.1)))
    assert found["print.bridge"].value == pytest.approx(2 * 16.1 * math.sin(angle / 2))
    assert found["print.bridge"].verdict is Verdict.LOOK
    assert found["print.ledges"].verdict is Verdict.LOOK
    widths = {name: wide for name, wide, lean in printing.ledges(sensor.socket) if lean > 45}
    assert widths == {"bore at 13.4 mm depth": pytest.approx(16.1 - 14.15716, abs=1e-4)}
    assert ("flange", pytest.approx(20.0), 90.0) in list(printing.ledges(vent.socket))


@pytest.mark.parametrize(
    ("layer", "verdict"), [(0.1, Verdict.PASS), (0.101, Verdict.LOOK), (0.2, Verdict.LOOK)]
)
def test_stairs_of_a_ramp_take_at_most_half_the_play(
    sensor: bayonet.Design, layer: float, verdict: Verdict
) -> None:
    """Axial play 0.2; lead 6 mm/rev: a layer of 0.1 is a step each 6 deg."""
    row = judged(with_printer(sensor, layer_height=layer))["print.stair_step"]
    assert row.verdict is verdict
    assert row.limit == pytest.approx(0.1)
    if layer == 0.1:
        assert "each 6.0 deg" in row.message


def test_a_level_roof_is_off_by_half_a_layer(drain: bayonet.Design) -> None:
    assert judged(drain)["print.stair_step"].value == pytest.approx(0.1)


def test_a_clamping_ramp_is_held_against_its_climb(vent: bayonet.Design) -> None:
    """9 mm/rev over 22 deg: 0.55 mm, half of it 0.275."""
    assert judged(vent)["print.stair_step"].limit == pytest.approx(9 * 22 / 360 / 2)


def test_least_wall_against_lines(sensor: bayonet.Design) -> None:
    row = judged(with_printer(sensor, nozzle=1.4))["print.least_wall"]
    assert row.limit == pytest.approx(2.8)
    assert row.verdict is Verdict.FAIL
    assert judged(sensor)["print.least_wall"].value == pytest.approx(2.6)  # 2 + 3 layers of 0.2


@pytest.mark.parametrize(("flare", "verdict"), [(0.25, Verdict.PASS), (0.26, Verdict.LOOK)])
def test_first_layer_flare_at_the_mouth(
    sensor: bayonet.Design, flare: float, verdict: Verdict
) -> None:
    """The tracks' 0.25 is the least gap there: slot sides have 0.28, the bore 0.1 + 0.5 of chamfer."""
    row = judged(with_printer(sensor, first_layer_flare=flare))["print.first_layer_flare"]
    assert row.verdict is verdict
    assert row.limit == pytest.approx(0.25)


def test_a_printer_with_gentler_overhangs_gets_steeper_floors(sensor: bayonet.Design) -> None:
    gentle = with_printer(sensor, steepest_overhang_deg=35)
    assert judged(gentle)["print.floor"].value == pytest.approx(35.0)


def test_check_judges_printing_where_the_socket_is_printed(sensor: bayonet.Design) -> None:
    codes = {f.code for f in bayonet.check(sensor).findings}
    assert not any(code.startswith("print.") for code in codes)
    printed = bayonet.check(changed(sensor, [("socket.process", "printed")]))
    assert {"print.floor", "print.stair_step"} <= {f.code for f in printed.findings}


# ---- the ladder --------------------------------------------------------------------------


def test_steps_start_where_a_gap_is_left(sensor: bayonet.Design) -> None:
    assert usual_steps(sensor.socket, count=3, step_mm=0.1) == (0.0, 0.1, 0.2)
    assert usual_steps(sensor.socket, count=3, step_mm=0.05) == (-0.05, 0.0, 0.05)
    assert usual_steps(sensor.socket, count=2, step_mm=0.1, first_mm=0.15) == (0.15, 0.25)


@pytest.mark.parametrize(
    "steps", [(-0.1, 0.0), (0.1, 0.1), (0.1, 0.102), (), (math.nan,), (math.inf,), (2.1,)]
)
def test_steps_that_cannot_be_are_refused(sensor: bayonet.Design, steps: tuple[float, ...]) -> None:
    with pytest.raises(DesignError, match="step"):
        sample(sensor, steps_mm=steps)


def test_ladder_findings(sensor: bayonet.Design) -> None:
    made = sample(sensor, steps_mm=(0.0, 0.1, 0.2))
    found = {row.code: row for row in made.findings}
    assert found["print.same_motion"].verdict is Verdict.PASS
    assert found["print.steps"].value == 2.0  # body 0.2 on diameter does not cover 0.15 + spread
    assert not goes_for_sure(sensor.plug, made.ladder[0].socket)
    assert goes_for_sure(sensor.plug, made.ladder[1].socket)
    assert {row.code for row in made.findings if row.verdict is Verdict.FAIL} == set()
    assert [one.mark for one in made.ladder] == ["+0.00", "+0.10", "+0.20"]
    assert {one.socket.boss_radius_mm for one in made.ladder} == {24.5}  # 20.45 + 4, rounded up


def test_a_ring_without_the_sealing_bore_guides_less(sensor: bayonet.Design) -> None:
    """By hand: what the track bore leaves the body beyond what the sealing bore leaves the nose."""
    found = {row.code: row for row in sample(sensor, steps_mm=(0.0,)).findings}
    body, nose = (
        bore + socket_mm / 2.0 - step.radius_mm + step.radius_zone_mm
        for bore, socket_mm, step in (
            (
                sensor.socket.track_bore_radius_mm,
                sensor.socket.limits.track_bore_mm,
                sensor.plug.body[0],
            ),
            (
                sensor.socket.seal_radius_mm,
                sensor.socket.limits.sealing_bore_mm,
                sensor.plug.body[1],
            ),
        )
    )
    assert found["print.guided"].verdict is Verdict.LOOK
    assert found["print.guided"].value == pytest.approx(body - nose, abs=1e-6)
    whole = {r.code: r for r in sample(sensor, steps_mm=(0.0,), with_seal=True).findings}
    assert whole["print.guided"].verdict is Verdict.PASS
    assert whole["print.guided"].value == pytest.approx(0.0, abs=1e-9)


def test_a_design_that_does_not_turn_gives_no_good_pieces(sensor: bayonet.Design) -> None:
    """A detent of 0.5 under an axial play of 0.2 stops the plug."""
    stuck = changed(sensor, [("socket.track.detent", {"height": 0.5})])
    found = {row.code: row for row in sample(stuck, steps_mm=(0.0,)).findings}
    assert found["print.turns"].verdict is Verdict.FAIL
    fine = {row.code: row for row in sample(sensor, steps_mm=(0.0,)).findings}
    assert fine["print.turns"].value == pytest.approx(80.0)


def test_ladder_warnings(sensor: bayonet.Design) -> None:
    small = with_printer(sensor, bed_width=60, repeatability=0.15, nozzle=0.8)
    found = {row.code: row for row in sample(small, steps_mm=(0.0, 0.1, 0.2, 0.3)).findings}
    for code in ("plate_deep", "step_size", "mark"):
        assert found[f"print.{code}"].verdict is Verdict.LOOK, code
    assert found["print.plate_deep"].value == pytest.approx(14 + 4 * (6 + 50.0))
    assert found["print.plate_wide"].value == pytest.approx(60.0)  # the bar; a ring is 50 wide


def test_a_ring_that_does_not_move_as_the_socket_is_found(sensor: bayonet.Design) -> None:
    from bayonet.printing.ladder import _same_motion

    short = piece.ring(sensor.plug, sensor.socket, with_seal=False, printer=sensor.spec.printer)
    tracks = tuple(
        dataclasses.replace(t, roof=tuple((a, d + 0.01) for a, d in t.roof)) for t in short.tracks
    )
    bad = dataclasses.replace(short, tracks=tracks)
    assert _same_motion(sensor.plug, sensor.socket, bad).verdict is Verdict.FAIL
