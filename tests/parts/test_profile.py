"""Volumes of turned profiles against Pappus-Guldin and handbook solids."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bayonet.parts.profile import Segment, polygon, turned_volume


def test_cone() -> None:
    """V = pi r^2 h / 3."""
    cone = polygon([(0, 0), (3, 0), (0, 5)])
    assert turned_volume(cone) == pytest.approx(math.pi * 9 * 5 / 3, rel=1e-14)


def test_sphere_from_arcs() -> None:
    """V = 4 pi r^3 / 3, from two quarter circles and the axis."""
    arcs = (
        Segment((0, -2), (2, 0), (0, 0)),
        Segment((2, 0), (0, 2), (0, 0)),
        Segment((0, 2), (0, -2)),
    )
    assert turned_volume(arcs) == pytest.approx(4 / 3 * math.pi * 8, rel=1e-14)


@given(st.floats(1, 50), st.floats(0.01, 0.9))
def test_torus_by_pappus(centre: float, share: float) -> None:
    """V = 2 pi^2 R r^2 (Pappus-Guldin)."""
    r = centre * share
    points = [(centre + r, 0.0), (centre, r), (centre - r, 0.0), (centre, -r)]
    ring = tuple(Segment(points[i], points[(i + 1) % 4], (centre, 0.0)) for i in range(4))
    assert turned_volume(ring) == pytest.approx(2 * math.pi**2 * centre * r * r, rel=1e-12)


def test_a_hollow_corner_takes_away() -> None:
    """An arc run clockwise: a square tube less a quarter-round bead in one corner."""
    bead = (
        Segment((10, 0), (14, 0)),
        Segment((14, 0), (14, 3)),
        Segment((14, 3), (13, 4), (14, 4)),  # clockwise, bulging inwards
        Segment((13, 4), (10, 4)),
        Segment((10, 4), (10, 0)),
    )
    # quarter disc of radius 1 about (14, 4): area pi/4, centroid at 14 - 4/(3 pi)
    removed = math.pi / 4 * 2 * math.pi * (14 - 4 / (3 * math.pi))
    full = math.pi * (14**2 - 10**2) * 4
    assert turned_volume(bead) == pytest.approx(full - removed, rel=1e-13)
