"""Largest and smallest parts by hand."""

from __future__ import annotations

import math

import pytest
from designs import as_drawn
from shapely.geometry import Polygon

import bayonet
from bayonet.developed import contour
from bayonet.parts.design import changed
from bayonet.tolerance.fitting import zones


def test_the_largest_lug_by_hand(sensor: bayonet.Design) -> None:
    """Flank at 5 mm: spread 0.06 and 2 u = 0.03; leading flank 0.06 more for the thickness.

    Lead 0.1 mm/rev off over half the widest lug, 14.4775 + 0.0859 deg: 0.00405 mm at its ends. A
    place 0.15 deg off along a lead of 6: 0.0025 mm.
    """
    (lug, *_) = zones.lugs(as_drawn(sensor).plug, "tightest")
    ends = 0.1 * (14.4775 + 0.0859) / 360 + 6 * 0.15 / 360
    assert lug.bearing_depth_mm == pytest.approx(5.0 - 0.09 - ends, abs=1e-6)
    assert lug.bearing_depth_mm + lug.thickness_mm == pytest.approx(8.65 + ends, abs=1e-6)
    assert lug.outer_radius_mm == pytest.approx(20.0 + (0.08 + 0.04) / 2)


def test_the_smallest_track_by_hand(sensor: bayonet.Design) -> None:
    """Machined: lengths 0.05 mm, angles 0.1 deg."""
    nominal, small = sensor.socket.tracks[0], zones.tracks(sensor.socket, "tightest")[0]
    assert small.roof[-1][1] - nominal.roof[-1][1] == pytest.approx(0.05)
    far = nominal.roof[-1][0] - nominal.roof[0][0]  # a lead 0.05 mm/rev off, true at the stop
    assert small.roof[0][1] - nominal.roof[0][1] == pytest.approx(0.05 + 0.05 * far / 360)
    assert small.floor[-1][1] - nominal.floor[-1][1] == pytest.approx(-0.05)
    assert small.end.deg - nominal.end.deg == pytest.approx(-0.1)
    assert float(nominal.slot.at(20.25) - small.slot.at(20.25)) == pytest.approx(
        0.1 + 0.025 / 20.25 * 57.29577951308232
    )


def test_a_lugs_sides_by_hand(sensor: bayonet.Design) -> None:
    """Width spread 0.06 moves each side 0.03 mm at radius 20; position spread 0.15 deg."""
    sensor = as_drawn(sensor)
    nominal, grown = sensor.plug.lugs[0], zones.lugs(sensor.plug, "tightest")[0]
    moved = float(grown.half.at(20.0)) - float(nominal.half.at(20.0))
    assert moved == pytest.approx(math.degrees(0.03 / 20.0) + 0.15)
    shrunk = zones.lugs(sensor.plug, "loosest")[0]
    assert float(nominal.half.at(20.0)) - float(shrunk.half.at(20.0)) == pytest.approx(moved)


def test_declared_uncertainty_of_a_lead_moves_the_flanks_ends(sensor: bayonet.Design) -> None:
    """Lead +- 3.6 mm/rev for 0.1 over half the widest lug, 14.5634 deg: 0.1416 mm a flank."""
    sensor = as_drawn(sensor)
    wide = changed(sensor, [("plug.lugs.lead", {"value": 6.0, "tol": 3.6})])
    one, other = (zones.lugs(d.plug, "tightest")[0] for d in (sensor, wide))
    moved = one.bearing_depth_mm - other.bearing_depth_mm
    assert moved == pytest.approx(3.5 * 14.5634 / 360, abs=1e-5)


def test_readings_that_scatter_widen_the_zone(sensor: bayonet.Design) -> None:
    """31.98, 32.02, 32.00 read to 0.02: s / sqrt 3 = 0.011547, resolution 0.005774 (JCGM 100).

    Together 0.01291 with 2 (0.01291 / 0.011547)^4 = 3.125 degrees of freedom; Student's factor
    for 95 % there is 3.112: 0.0402 on the diameter, besides the spread of 0.08.
    """
    assert sensor.plug.body[0].radius_zone_mm == pytest.approx((0.08 + 0.0402) / 2, abs=1e-4)


def test_a_sloped_floor_rises_where_the_wall_comes_in(sensor: bayonet.Design) -> None:
    """Slope 1: the wall 0.025 mm further in lifts the floor by 0.025 mm, besides 0.05 mm."""
    sloped = changed(sensor, [("socket.track.floor_slope_deg", 45)])
    nominal, small = sloped.socket.tracks[0], zones.tracks(sloped.socket, "tightest")[0]
    assert small.floor[0][1] - nominal.floor[0][1] == pytest.approx(-0.075)


@pytest.mark.parametrize("radius_share", [0.0, 0.5, 1.0])
def test_extremes_enclose_the_nominal(example: bayonet.Design, radius_share: float) -> None:
    """Smallest lug in nominal in largest; the tracks the other way round, as polygons."""
    inner = example.socket.track_bore_radius_mm
    radius = inner + radius_share * (min(x.outer_radius_mm for x in example.plug.lugs) - inner)

    def polygons(extreme: zones.Extreme) -> tuple[list[Polygon], list[Polygon]]:
        lugs = [contour.of_lug(x, inner_mm=inner) for x in zones.lugs(example.plug, extreme)]
        tracks = [contour.of_track(x) for x in zones.tracks(example.socket, extreme)]
        return [Polygon(x.polygon(radius)) for x in lugs], [
            Polygon(x.polygon(radius)) for x in tracks
        ]

    (small, wide), (lugs, tracks), (large, narrow) = (
        polygons(extreme) for extreme in ("loosest", "nominal", "tightest")
    )
    for inside, outside in (*zip(small, lugs, strict=True), *zip(lugs, large, strict=True)):
        assert outside.contains_properly(inside)
    for inside, outside in (*zip(narrow, tracks, strict=True), *zip(tracks, wide, strict=True)):
        assert outside.buffer(1e-9).contains(inside)
        assert outside.area > inside.area
    assert zones.tracks(example.socket, "nominal") == example.socket.tracks
