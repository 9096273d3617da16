"""Largest and smallest parts by hand."""

from __future__ import annotations

import pytest

import bayonet
from bayonet.developed import contour
from bayonet.tolerance import zones


def test_the_largest_lug_by_hand(sensor: bayonet.Design) -> None:
    """Flank at 5 mm: spread 0.06 and 2 u = 0.03; leading flank 0.06 more for the thickness."""
    (lug, *_) = zones.lugs(sensor.plug, "tightest")
    assert lug.bearing_depth_mm == pytest.approx(5.0 - 0.09)
    assert lug.bearing_depth_mm + lug.thickness_mm == pytest.approx(8.5 + 0.15)
    assert lug.outer_radius_mm == pytest.approx(20.0 + (0.08 + 0.04) / 2)


def test_the_smallest_track_by_hand(sensor: bayonet.Design) -> None:
    """Machined: lengths 0.05 mm, angles 0.1 deg."""
    nominal, small = sensor.socket.tracks[0], zones.tracks(sensor.socket, "tightest")[0]
    assert small.roof[-1][1] - nominal.roof[-1][1] == pytest.approx(0.05)
    assert small.floor[-1][1] - nominal.floor[-1][1] == pytest.approx(-0.05)
    assert small.end.deg - nominal.end.deg == pytest.approx(-0.1)
    assert float(nominal.slot.at(20.25) - small.slot.at(20.25)) == pytest.approx(
        0.1 + 0.025 / 20.25 * 57.29577951308232
    )


def test_extremes_enclose_the_nominal(example: bayonet.Design) -> None:
    for extreme, sign in (("tightest", 1), ("loosest", -1)):
        for lug, grown in zip(
            example.plug.lugs,
            zones.lugs(example.plug, extreme),  # type: ignore[arg-type]
            strict=True,
        ):
            areas = [
                contour.of_lug(x, inner_mm=lug.outer_radius_mm * 0.9).area_at(
                    lug.outer_radius_mm * 0.95
                )
                for x in (lug, grown)
            ]
            assert sign * (areas[1] - areas[0]) > 0
    assert zones.tracks(example.socket, "nominal") == example.socket.tracks
