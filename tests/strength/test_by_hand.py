"""Sections, shares and torques of the examples worked out by hand, term by term."""

from __future__ import annotations

import math

import pytest
from test_study import by_key, found, study

import bayonet
from bayonet.findings import Verdict
from bayonet.parts.design import changed


def test_ledge_of_a_ramp_is_thinnest_at_one_end(sensor: bayonet.Design) -> None:
    """Lead 6: under a lug 28.96 deg wide the roof's depth changes by 0.48 mm; the least counts."""
    got = study(sensor)
    track = sensor.socket.tracks[0]
    half = float(sensor.plug.lugs[0].half.at(20.0))
    slope = 6.0 / 360.0
    at_middle = track.roof[-1][1] - slope * (track.roof[-1][0] - 80.0)
    least = at_middle - slope * half
    assert got.nominal.ledge_thickness_mm[0] == pytest.approx(least, abs=1e-9)
    smaller = half - math.degrees(0.06 / 20.0) - 0.15  # sides and position at their limits
    back = track.roof[-1][0] - (80.0 - smaller)
    worst = at_middle - slope * smaller - sensor.socket.limits.roof_mm
    worst -= sensor.socket.limits.lead_mm_per_rev * back / 360.0
    assert got.worst.ledge_thickness_mm[0] == pytest.approx(worst, abs=2e-3)


def test_ledge_below_a_sealing_bore_starts_at_the_slots_top(drain: bayonet.Design) -> None:
    """Layout B: the roof less the depth at which the slot opens."""
    track = drain.socket.tracks[0]
    deep = min(depth for angle, depth in track.roof if angle > 30.0)
    assert track.top_mm > 10.0
    thick = study(drain).nominal.ledge_thickness_mm[0]
    assert thick == pytest.approx(track.roof[-1][1] - track.top_mm, abs=0.3)
    assert thick < deep


def test_wall_behind_the_tracks_by_hand(sensor: bayonet.Design) -> None:
    """Pull on pi (Ro^2 - Rw^2), and each lug's moment on its strip, all at their limits."""
    got = study(sensor)
    limits, socket = sensor.socket.limits, sensor.socket
    wall = socket.tracks[0].outer_radius_mm + limits.track_wall_mm / 2
    out = socket.boss_radius_mm - socket.tolerance.diameter_mm / 2
    thick = out - wall
    strip = got.worst.ledge_width_mm[0] + 2 * thick
    arm = wall + thick / 2 - got.worst.radius_mm[0]
    share = got.shares.most.max() if got.shares else 0.0
    per_newton = 1 / (math.pi * (out**2 - wall**2)) + 6 * share * arm / (strip * thick**2)
    force = math.pi * got.sealed_radius_mm**2
    assert by_key(got, "boss_wall").per_mpa == pytest.approx(force * per_newton, rel=1e-6)


def test_proof_decides_where_it_is_high(drain: bayonet.Design) -> None:
    """Cold, proof 3 times: 205 / 1.05 at three times the pressure is less than 205 / 1.5."""
    cold = changed(drain, [("service.highest_c", 20), ("service.proof_factor", 3.0)])
    mode = by_key(study(cold), "lug_shear")
    assert mode.allowed_mpa == pytest.approx(205 / 1.05 / 3.0 / mode.per_mpa)
    assert "at proof pressure" in found(cold)["load.lug_shear"].message


def test_layers_count_at_proof_too(sensor: bayonet.Design) -> None:
    printed = changed(
        sensor,
        [("socket.process", "printed"), ("service.socket_material", "PLA"),
         ("service.highest_c", 25)],
    )  # fmt: skip
    body = study(printed).socket
    assert not isinstance(body, str)
    assert body.proof_mpa == pytest.approx(23.2 / 2.0 * 0.5)
    assert body.working_mpa == pytest.approx(23.2 / 3.0 * 0.5)


def test_clamp_by_hand(vent: bayonet.Design) -> None:
    """Shigley's ramp and collar: collar between the tracks' wall and the shoulder's rim."""
    got = study(vent)
    assert not isinstance(got.turning, str)
    assert not isinstance(got.ring, str)
    assert got.turning.clamp_n is not None
    across = 2 * float(got.nominal.radius_mm.mean())
    lead = vent.socket.lead_mm_per_rev
    rim = min(vent.plug.shoulder_radius_mm, vent.socket.boss_radius_mm)
    collar = rim + vent.socket.track_radius_mm
    for index, (mu, torque) in enumerate(((0.25, 11.0), (0.12, got.hand.strong_nm))):
        ramp = across / 2 * (lead + math.pi * mu * across) / (math.pi * across - mu * lead)
        left = 1000 * torque - 1000 * got.ring.drag_nm[1 - index]
        force = left / (ramp + mu * collar / 2)
        assert got.turning.clamp_n[index] == pytest.approx(force, rel=1e-9)


def test_a_face_seal_loads_the_lugs_while_turning(vent: bayonet.Design) -> None:
    """The ring's load goes up the ramp, and the ring rubs at its mean radius.

    Friction of the ring: 0.1 to 0.3, the least taken 1.5 times less.
    """
    got = study(vent)
    assert not isinstance(got.turning, str)
    assert not isinstance(got.ring, str)
    across, lead = 2 * float(got.nominal.radius_mm.mean()), vent.socket.lead_mm_per_rev
    groove = vent.plug.groove
    radius = (groove.start_mm + groove.end_mm) / 2
    for index, (mu, rub) in enumerate(((0.12, 0.1 / 1.5), (0.25, 0.3))):
        load = got.ring.normal_n[index]
        ramp = load * across / 2 * (lead + math.pi * mu * across) / (math.pi * across - mu * lead)
        assert got.turning.lock[index] == pytest.approx((ramp + rub * load * radius) / 1000)


def test_clamp_load_must_hold_ring_and_pressure(vent: bayonet.Design) -> None:
    got = study(vent)
    assert not isinstance(got.ring, str)
    told = found(vent)["handling.clamp_load"]
    assert told.limit == pytest.approx(got.ring.normal_n[1] + got.working_n)


def test_tilt_is_free_only_beyond_limits_of_bore_and_body(sensor: bayonet.Design) -> None:
    """0.14 mm at 18 mm asks for 0.44 deg; over 13 mm of body that is 0.10 mm of gap left.

    Body clearance 0.23: less 0.05 (bore) and 2 x 0.06 (body) 0.06 is left, too little;
    0.28 leaves 0.11.
    """
    free_below = ("plug.body.1.diameter", 25.9)  # so that the upper land governs
    step, limits = sensor.plug.lug_body, sensor.socket.limits
    ahead = sensor.plug.lugs[0].zone.bearing_mm + limits.roof_mm
    radius = float(study(sensor).worst.radius_mm.mean())
    lost = limits.track_bore_mm + 2 * step.radius_zone_mm
    guided = step.to_depth_mm - sensor.socket.mouth_chamfer_mm
    edge = ahead / radius * guided + lost
    for body, tilts in ((edge - 0.002, False), (edge + 0.002, True)):
        got = study(changed(sensor, [free_below, ("socket.clearance.body", body)])).shares
        assert got is not None
        assert got.may_tilt is tilts


def test_the_clamp_counts_in_the_share(vent: bayonet.Design) -> None:
    """The more load, the more even: clamp and pressure press together."""
    weak, strong = (
        study(changed(vent, [("service.hand_torque_nm", torque)])).shares for torque in (9.0, 200.0)
    )
    assert weak is not None
    assert strong is not None
    assert strong.most.max() < weak.most.max()


def test_wall_and_ledge_of_an_overloaded_socket_fail(sensor: bayonet.Design) -> None:
    soft = changed(
        sensor,
        [("service.pressure", "30 bar"), ("service.socket_strength", "20 MPa"),
         ("service.plug_strength", "900 MPa")],
    )  # fmt: skip
    got = found(soft)
    for code in ("load.roof_shear", "load.roof_bending", "load.boss_wall", "load.flank"):
        assert got[code].verdict is Verdict.FAIL, code
    assert "yields at" in got["load.roof_shear"].change


def test_the_proposed_grip_is_enough(sensor: bayonet.Design) -> None:
    small = changed(sensor, [("service.grip_diameter", 15.0)])
    told = found(small)["handling.lock"]
    assert told.verdict is not Verdict.PASS
    assert found(changed(small, told.mends))["handling.lock"].verdict is Verdict.PASS


def test_a_thin_boss_under_clamp_is_mended_with_the_clamp_counted(vent: bayonet.Design) -> None:
    """The proposal holds for the whole load, clamp included."""
    thin = changed(
        vent,
        [("socket.wall", 1.5), ("service.socket_strength", "60 MPa"), ("socket.mount", None),
         ("service.plug_strength", "900 MPa"), ("service.hand_torque_nm", 20.0)],
    )  # fmt: skip
    told = found(thin)["load.boss_wall"]
    assert told.verdict is Verdict.FAIL
    assert told.mends
    assert found(changed(thin, told.mends))["load.boss_wall"].verdict is Verdict.PASS
