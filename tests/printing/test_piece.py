"""Print-test rings move as their socket; widening and compensating do what they say."""

from __future__ import annotations

import dataclasses
import math
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import bayonet
from bayonet.checks.motion.proof import motion_of
from bayonet.errors import DesignError
from bayonet.parts.design import changed
from bayonet.parts.socket import Socket, deepest_floor
from bayonet.printing import piece
from bayonet.printing.compensation import PrintedSize, as_printed, to_draw
from bayonet.printing.plate import GAP_MM, laid_out
from bayonet.tolerance.fitting import zones


def ring(design: bayonet.Design, *, with_seal: bool = False) -> Socket:
    return piece.ring(design.plug, design.socket, with_seal=with_seal, printer=design.spec.printer)


@pytest.mark.parametrize("with_seal", [False, True])
def test_a_ring_moves_as_the_socket(example: bayonet.Design, with_seal: bool) -> None:
    """Nominal, tightest and loosest: the same turn, seat, play, detent and way back.

    The eccentricity is the whole socket's in both: a ring without its sealing bore lets the plug
    move aside further, so by itself it is never the tighter of the two.
    """
    short = ring(example, with_seal=with_seal)
    for extreme in ("nominal", "tightest", "loosest"):
        one = motion_of(example.plug, example.socket, extreme)
        other = motion_of(example.plug, short, extreme, guides=example.socket)
        alone = motion_of(example.plug, short, extreme)
        assert alone.furthest_deg >= other.furthest_deg - 1e-9
        assert one.path
        assert other.path
        for name in ("furthest_deg", "seated_deg", "play_mm", "hold_mm", "back_deg"):
            assert getattr(other, name) == pytest.approx(getattr(one, name), abs=1e-9), name


def test_a_ring_is_short_and_needs_no_support(example: bayonet.Design) -> None:
    short = ring(example)
    assert short.flange is None
    assert short.weld is None
    assert short.boss_height_mm < example.socket.boss_height_mm
    assert short.boss_height_mm - deepest_floor(short.tracks) <= 3.0
    assert all(track.floor_slope >= 1.0 - 1e-12 for track in short.tracks)  # 45 deg
    assert [t.roof for t in short.tracks] == [t.roof for t in example.socket.tracks]


def test_without_the_seal_nothing_touches_the_o_ring(
    sensor: bayonet.Design, drain: bayonet.Design
) -> None:
    for design in (sensor, drain):
        bare, sealing = ring(design), ring(design, with_seal=True)
        free_ring = design.plug.groove.radius_mm + design.socket.ring.section_mm
        past = [r for r, _ in bare.bore] if design is sensor else [bare.bore[0][0]]
        assert min(past) > free_ring
        assert bare.seal_radius_mm is None
        assert sealing.seal_radius_mm == design.socket.seal_radius_mm
        assert sealing.seal_radius_mm < free_ring


@pytest.mark.parametrize("step", [-0.05, 0.0, 0.15])
def test_widening_is_what_larger_clearances_give(example: bayonet.Design, step: float) -> None:
    """Two ways to the same tracks: widen the socket, or derive it anew from larger gaps."""
    gaps = example.socket.clearance
    fields: list[tuple[str, Any]] = [
        ("socket.clearance.body", gaps.body_diametral_mm + 2 * step),
        ("socket.clearance.lug_radial", gaps.lug_radial_mm + step),
        ("socket.clearance.lug_side", gaps.lug_side_mm + step),
        ("socket.clearance.floor", gaps.floor_mm + step),
    ]
    if example.socket.seating == "stop":
        fields.append(("socket.clearance.axial", gaps.axial_mm + step))
    derived = changed(example, fields).socket
    wide = piece.widened(example.socket, step)
    assert wide.track_bore_radius_mm == pytest.approx(derived.track_bore_radius_mm, abs=1e-12)
    for one, other in zip(wide.tracks, derived.tracks, strict=True):
        assert one.outer_radius_mm == pytest.approx(other.outer_radius_mm, abs=1e-12)
        at = one.outer_radius_mm
        assert float(one.slot.at(at)) == pytest.approx(float(other.slot.at(at)), abs=0.01)
        assert one.roof[-1][1] == pytest.approx(other.roof[-1][1], abs=2e-3)
        assert one.floor[-1][1] == pytest.approx(other.floor[-1][1], abs=2e-3)


def test_a_step_that_closes_a_gap_is_below_the_least(sensor: bayonet.Design) -> None:
    """Body 0.2 on diameter is 0.1 a side, the least of the sensor's gaps."""
    assert piece.least_step(sensor.socket) == pytest.approx(-0.1)


def test_a_sealing_ring_whose_tracks_run_into_the_lead_in_is_refused(
    sensor: bayonet.Design,
) -> None:
    with pytest.raises(DesignError, match="lead-in"):
        piece.ladder(
            sensor.plug, sensor.socket, steps_mm=(4.5,), with_seal=True,
            printer=sensor.spec.printer,
        )  # fmt: skip


@settings(max_examples=40, deadline=None)
@given(
    st.sampled_from(["level_sensor", "irrigation_drain", "brewery_vent"]),
    st.floats(-0.6, 0.4),
    st.floats(-0.3, 0.3),
    st.floats(0.98, 1.02),
)
def test_what_is_drawn_for_a_printer_prints_as_intended(
    name: str, hole: float, boss: float, scale: float
) -> None:
    design = bayonet.load(f"examples/{name}.toml")
    printer = PrintedSize(hole_mm=hole, boss_mm=boss, scale=scale)
    assert _flat(as_printed(to_draw(design.socket, printer), printer)) == pytest.approx(
        _flat(design.socket), abs=1e-9
    )


def _flat(record: object) -> list[float]:
    """Every number of a nested record."""
    if isinstance(record, float):
        return [record]
    if dataclasses.is_dataclass(record):
        return [x for f in dataclasses.fields(record) for x in _flat(getattr(record, f.name))]
    if isinstance(record, tuple):
        return [x for item in record for x in _flat(item)]
    return []


def test_printed_sizes_by_hand(drain: bayonet.Design) -> None:
    """Scale 0.99, holes -0.2: each wall 0.1 into the hole; parallel slot 12.4 wide: 12.076.

    Lugs as drawn, 12 wide, and 0.2 of clearance a side; what a calliper leaves unknown would add.
    """
    drain = changed(drain, [("plug.measured_with", "drawing")])
    printed = as_printed(drain.socket, PrintedSize(hole_mm=-0.2, boss_mm=0.1, scale=0.99))
    assert 2 * printed.track_bore_radius_mm == pytest.approx(0.99 * 44.2 - 0.2)
    assert 2 * printed.boss_radius_mm == pytest.approx(0.99 * 84.0 + 0.1)
    assert printed.boss_height_mm == pytest.approx(0.99 * drain.socket.boss_height_mm)
    assert 2 * printed.tracks[0].slot.offset_mm == pytest.approx(0.99 * 12.4 - 0.2)


def test_radial_sides_move_by_half_the_offset(sensor: bayonet.Design) -> None:
    printed = as_printed(sensor.socket, PrintedSize(hole_mm=-0.2))
    for was, now in zip(sensor.socket.tracks, printed.tracks, strict=True):
        radius = was.outer_radius_mm - 0.05  # between the drawn and the printed wall
        for side in ("slot", "end"):
            moved = float(getattr(was, side).at(radius) - getattr(now, side).at(radius))
            assert math.radians(moved) * radius == pytest.approx(0.1, rel=1e-9)


@given(st.integers(1, 25), st.floats(20.0, 90.0), st.floats(100.0, 400.0))
def test_pieces_on_a_plate_do_not_touch(count: int, diameter: float, bed: float) -> None:
    plate = laid_out(count, diameter, bed_width_mm=bed, bar_mm=(60.0, 14.0))
    places = np.array(plate.places_mm)
    assert len(places) == count
    apart = np.linalg.norm(places[:, None] - places[None], axis=2)[~np.eye(count, dtype=bool)]
    assert count == 1 or apart.min() >= diameter + GAP_MM - 1e-9
    assert places.min() >= diameter / 2 - 1e-9
    covered = np.array([plate.width_mm, plate.depth_mm])
    assert (places.max(axis=0) + diameter / 2 <= covered + 1e-9).all()
    assert places[:, 1].min() - diameter / 2 >= plate.bar_mm[1] + 7.0 + GAP_MM - 1e-9
    assert plate.width_mm <= max(bed, diameter, 60.0) + 1e-9


def test_the_sloped_floor_takes_nothing_from_the_tightest_socket(example: bayonet.Design) -> None:
    """A wall further in lifts a sloped floor; the ring's floor lies deeper by that much."""
    short = ring(example)
    for one, other in zip(
        zones.tracks(short, "tightest"), zones.tracks(example.socket, "tightest"), strict=True
    ):
        assert [d for _, d in one.floor] == pytest.approx([d for _, d in other.floor], abs=1e-12)
