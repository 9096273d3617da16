"""Contours of the developed plane in closed form, and what must not change."""

from __future__ import annotations

import dataclasses
import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import dblquad

from bayonet.developed import contour
from bayonet.parts import HalfAngle
from bayonet.parts.socket import Track
from bayonet.shapes import mirrored

TRACK = Track(
    centre_deg=30.0,
    slot=HalfAngle(deg=15.0, offset_mm=0.0),
    end=HalfAngle(deg=95.0, offset_mm=0.0),
    roof=((15.0, 4.0), (95.0, 5.0)),
    floor=((-15.0, 9.0), (95.0, 9.0)),
    top_mm=0.0,
    inner_radius_mm=16.0,
    outer_radius_mm=20.0,
    floor_slope=0.0,
)
PARALLEL = dataclasses.replace(
    TRACK, slot=HalfAngle(deg=0.0, offset_mm=5.2), end=HalfAngle(deg=80.0, offset_mm=5.0)
)


def test_volume_of_a_plain_track_by_hand() -> None:
    """Slot 30 deg x 9 mm, and 80 deg with a height from 5 to 4 mm, between radii 16 and 20."""
    area = math.radians(30) * 9 + math.radians(80) * 4.5
    assert contour.of_track(TRACK).volume() == pytest.approx(area * (400 - 256) / 2, rel=1e-13)


def test_volume_with_a_sloped_floor_by_hand() -> None:
    """The slope adds (20 - r) of depth over all 110 deg: theta (20 r^2/2 - r^3/3) from 16 to 20."""
    sloped = dataclasses.replace(TRACK, floor_slope=1.0)
    extra = math.radians(110) * ((10 * 400 - 8000 / 3) - (10 * 256 - 4096 / 3))
    flat = contour.of_track(TRACK).volume()
    assert contour.of_track(sloped).volume() - flat == pytest.approx(extra, rel=1e-12)


def test_volume_of_parallel_sides_against_scipy() -> None:
    """Independent quadrature of the polygon's area, in the other order (over the radius last)."""
    shape = contour.of_track(PARALLEL)

    def height(angle: float, radius: float) -> float:
        half, end = math.degrees(math.asin(5.2 / radius)), 80 + math.degrees(math.asin(5 / radius))
        if not -half <= angle <= end:
            return 0.0
        return 9.0 - (0.0 if angle <= half else 4.0 + (angle - 15.0) / 80.0)

    def pieces(radius_low: float, radius_high: float) -> float:
        total = 0.0
        for low, high in ((-1.0, 1.0), (1.0, 2.0)):

            def start(r: float, low: float = low) -> float:
                half = math.degrees(math.asin(5.2 / r))
                return -half if low < 0 else half + 1e-12

            def stop(r: float, high: float = high) -> float:
                half = math.degrees(math.asin(5.2 / r))
                return half if high < 1.5 else 80 + math.degrees(math.asin(5 / r))

            total += dblquad(
                lambda a, r: math.radians(1) * height(a, r) * r,
                radius_low, radius_high, start, stop, epsabs=1e-9,
            )[0]  # fmt: skip
        return total

    assert shape.volume() == pytest.approx(pieces(16.0, 20.0), rel=1e-8)


@settings(deadline=None)  # a busy machine is no fault
@given(st.sampled_from([TRACK, PARALLEL]), st.floats(-180, 180))
def test_mirroring_and_moving_keep_area_and_orientation(track: Track, centre: float) -> None:
    shape = contour.of_track(track)
    for sign in (1, -1):
        moved = mirrored(shape, sign=sign, centre_deg=centre)
        assert moved.volume() == pytest.approx(shape.volume(), rel=1e-10)
        angle, depth = moved.polygon(18.0).T
        z = -depth
        twice = angle @ np.roll(z, -1) - z @ np.roll(angle, -1)
        assert twice > 0, "counter-clockwise seen from outside"
        lock = sign * (moved.polygon(18.0) - [centre, 0.0]) * [1.0, sign]
        assert np.sort(lock[:, 0]) == pytest.approx(np.sort(shape.polygon(18.0)[:, 0]), abs=1e-9)


@given(st.floats(10.0, 60.0), st.floats(0.5, 9.0))
def test_parallel_sides_stay_at_their_distance(radius: float, offset: float) -> None:
    half = HalfAngle(deg=0.0, offset_mm=offset)
    angle = math.radians(float(half.at(radius)))
    assert radius * math.sin(angle) == pytest.approx(offset, rel=1e-12)
