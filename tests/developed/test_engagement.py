"""Overlap of lug and roof in closed form."""

from __future__ import annotations

import dataclasses
import math

import pytest

import bayonet
from bayonet.developed.roof_overlap import engagement, least_engaged_turn, side_clearance_mm
from bayonet.parts import HalfAngle


def _pair(sensor: bayonet.Design, lead: float = 0.0):  # type: ignore[no-untyped-def]
    lug = sensor.plug.lugs[0].reshaped(
        half=HalfAngle(deg=45.0, offset_mm=0.0),
        outer_radius_mm=12.0,
        lead_mm_per_rev=lead,
        bearing_depth_mm=5.0,
    )
    track = dataclasses.replace(
        sensor.socket.tracks[0],
        slot=HalfAngle(deg=46.0, offset_mm=0.0),
        end=HalfAngle(deg=170.0, offset_mm=0.0),
        roof=((46.0, 4.8), (170.0, 4.8)),
        inner_radius_mm=10.0,
        outer_radius_mm=12.5,
    )
    return lug, track


def test_whole_lug_under_a_level_roof(sensor: bayonet.Design) -> None:
    """A 90 deg lug from radius 10 to 12: pi / 4 (144 - 100) mm2, all of it bearing."""
    got = engagement(*_pair(sensor), turn_deg=100.0)
    assert got.overlap_mm2 == pytest.approx(math.pi / 4 * 44, rel=1e-12)
    assert got.bearing_mm2 == pytest.approx(got.overlap_mm2)
    assert (got.share, got.radial_mm) == (pytest.approx(1.0), pytest.approx(2.0))


def test_half_the_lug_under_the_roof(sensor: bayonet.Design) -> None:
    got = engagement(*_pair(sensor), turn_deg=46.0)
    assert got.share == pytest.approx(0.5)
    assert got.overlap_deg == pytest.approx(45.0)


def test_a_helical_lug_under_a_level_roof_meets_it_along_an_edge(sensor: bayonet.Design) -> None:
    got = engagement(*_pair(sensor, lead=6.0), turn_deg=100.0)
    assert got.bearing_mm2 == 0.0


def test_least_engaged_turn(sensor: bayonet.Design) -> None:
    """Roof from 46 deg, lug 45 each side: 1 deg is no overlap, 46 half, 91 all."""
    lug, track = _pair(sensor)
    turns = [least_engaged_turn(lug, track, share=share) for share in (0.0, 0.5, 1.0)]
    assert turns == pytest.approx([1.0, 46.0, 91.0])


def test_side_clearance_is_least_where_the_slot_is_narrowest(sensor: bayonet.Design) -> None:
    """Radial sides 1 deg apart: 1 deg of arc at the bore, radius 10."""
    assert side_clearance_mm(*_pair(sensor)) == pytest.approx(math.radians(1.0) * 10.0)
