"""Roof and floor worked by hand."""

from __future__ import annotations

import dataclasses

import pytest

from bayonet.mechanics.helix import lead_mm_per_rev
from bayonet.parts import Block, HalfAngle, Lug, LugZone
from bayonet.parts.track_shape import DetentShape, TrackPlan, floor, roof

NO_ZONE = LugZone(
    side_mm=0,
    position_deg=0,
    bearing_mm=0,
    leading_mm=0,
    ends_mm=0,
    leading_ends_mm=0,
    outer_radius_mm=0,
)
FLAT = Lug(
    centre_deg=0.0,
    shape=Block(
        half=HalfAngle(deg=10.0, offset_mm=0.0),
        outer_radius_mm=20.0,
        thickness_mm=4.0,
        bearing_depth_mm=6.0,
        lead_mm_per_rev=0.0,
    ),
    zone=NO_ZONE,
)
PLAN = TrackPlan(
    lug=FLAT,
    lug_half_deg=10.0,
    slot_half_deg=11.0,
    lock_deg=90.0,
    end_deg=90.0,
    lead_mm_per_rev=7.2,  # 0.02 mm per degree
    dwell_deg=0.0,
    axial_mm=0.3,
    floor_mm=0.5,
    detent=None,
    bore_radius_mm=16.0,
    mean_radius_mm=18.0,
)


def test_a_ramp_is_set_by_the_flat_lugs_leading_corner() -> None:
    """At lock the corner at 100 deg keeps 0.3 mm: roof 5.7 there, 0.02 mm less per degree back."""
    start, end = roof(PLAN)
    assert end == pytest.approx((100.0, 5.7))
    assert start == pytest.approx((11.0, 5.7 - 0.02 * 89))


def test_a_lug_with_the_ramps_own_lead_keeps_the_clearance_all_along() -> None:
    lug = FLAT.reshaped(lead_mm_per_rev=7.2)
    start, end = roof(dataclasses.replace(PLAN, lug=lug))
    assert end == pytest.approx((100.0, 6.0 + 0.02 * 10 - 0.3))
    assert start == pytest.approx((11.0, 6.0 - 0.02 * 79 - 0.3))


def test_a_dwell_is_level_over_the_last_part_of_the_turn() -> None:
    """30 deg of dwell: level from 90 + 10 - 30 = 70 deg on; the whole lug bears on it."""
    points = roof(dataclasses.replace(PLAN, dwell_deg=30.0))
    assert points[1] == pytest.approx((70.0, 5.7))
    assert points[2] == pytest.approx((100.0, 5.7))
    assert points[0] == pytest.approx((11.0, 5.7 - 0.02 * 59))


def test_a_detent_stands_behind_the_locked_lug() -> None:
    """Height 0.2 at 45 deg: flanks 0.2 mm = 0.6366 deg at radius 18; pocket 1 deg, crest 2 deg."""
    shape = DetentShape(height_mm=0.2, flank_angle_deg=45.0, crest_deg=2.0, pocket_deg=1.0)
    points = roof(dataclasses.replace(PLAN, lead_mm_per_rev=0.0, detent=shape))
    angles = [angle for angle, _ in points]
    flank = 0.636619772
    assert angles[1:5] == pytest.approx([79 - 2 * flank - 2, 79 - flank - 2, 79 - flank, 79])
    assert [depth for _, depth in points] == pytest.approx([5.7, 5.7, 5.9, 5.9, 5.7, 5.7])


def test_a_level_floor_clears_the_lug_and_no_more() -> None:
    assert floor(PLAN, parallel=False) == (pytest.approx((-11.0, 10.5)), pytest.approx((100, 10.5)))


def test_a_parallel_floor_makes_room_for_a_flat_lug_on_a_ramp() -> None:
    """Height = thickness + clearances + lead x width / 360 = 4 + 0.8 + 0.02 x 20 = 5.2 mm."""
    (_, top), (_, bottom) = roof(PLAN)[-1], floor(PLAN, parallel=True)[-1]
    assert bottom - top == pytest.approx(5.2)


def test_lead_of_m10_from_its_lead_angle() -> None:
    """ISO-M10-LEAD: 3.03 deg at pitch diameter 9.026 mm is a lead of 1.5 mm (from memory)."""
    assert lead_mm_per_rev(3.03, mean_diameter_mm=9.026) == pytest.approx(1.5, abs=0.005)
