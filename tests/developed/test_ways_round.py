"""Wrong ways round: what enters and locks wherever the plug may stand, and what cannot."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely

import bayonet
from bayonet.developed.slabs import way_between
from bayonet.developed.ways_round import WayRound, shifted, ways_round
from bayonet.tolerance.fitting import zones


def ways(design: bayonet.Design, reach_mm: float, rocking_mm: float = 0.0) -> dict[float, WayRound]:
    found = ways_round(
        zones.lugs(design.plug, "nominal"), zones.tracks(design.socket, "nominal"),
        sign=design.socket.sign, reach_mm=reach_mm, rocking_mm=rocking_mm, held_share=0.25,
    )  # fmt: skip
    assert found is not None
    return {way.at_deg: way for way in found}


def one_lug_larger(by_mm: float, *, lug_side: float = 0.5) -> bayonet.Design:
    each = [
        {"centre_deg": 0, "outer_diameter": 40 + 2 * by_mm}, {"centre_deg": 120},
        {"centre_deg": 240},
    ]  # fmt: skip
    return bayonet.loads(bayonet.starting_file()).with_(
        {
            "plug.lugs.count": None, "plug.lugs.each": each,
            "socket.clearance": {"lug_side": lug_side, "lug_radial": 0.25},
        }
    )  # fmt: skip


def test_equal_lugs_lock_every_way_round(sensor: bayonet.Design) -> None:
    found = ways(sensor, 0.0)
    assert sorted(found) == [120.0, 240.0]
    assert {way.locks for way in found.values()} == {"yes"}
    assert {way.aside_mm for way in found.values()} == {0.0}


def test_uneven_spacing_locks_one_way_round(drain: bayonet.Design) -> None:
    assert ways(drain, 0.2) == {}


def test_a_larger_lug_enters_a_smaller_slot_where_the_plug_stands_aside() -> None:
    """By hand: a lug larger by 0.6 overlaps a wall that stands 0.25 off by 0.35 mm at its middle.

    Towards its own ends, 14.05 deg off, the shift helps by the cosine of that only:
    (20.6^2 - 20.25^2) / (2 x 20.6) / cos(14.05 deg) = 0.3577. The other lugs stand 0.866 of that
    askew in their slots, one each way, which no turn evens out: 0.31 mm, more than a side clearance
    of 0.2 leaves.
    """
    design = one_lug_larger(0.6)
    assert design.socket.clearance.lug_radial_mm == pytest.approx(0.25)
    assert ways(design, 0.33) == {}
    found = ways(design, 0.40)
    assert sorted(found) == [120.0, 240.0]
    expected = (20.6**2 - 20.25**2) / (2 * 20.6) / math.sqrt(1.0 - (5.0 / 20.6) ** 2)
    assert {way.locks for way in found.values()} == {"yes"}
    for way in found.values():
        assert expected - 1e-3 <= way.aside_mm <= expected + 0.015
    assert ways(one_lug_larger(0.6, lug_side=0.2), 0.40) == {}


def test_what_cannot_be_told_is_not_told() -> None:
    design = one_lug_larger(1.5)
    assert ways(design, 0.1) == {}
    lugs, tracks = design.plug.lugs, design.socket.tracks
    found = ways_round(
        lugs, tracks, sign=design.socket.sign, reach_mm=0.1, rocking_mm=20.0, held_share=0.25
    )
    assert found is None, "lugs that rock by more than ledge and lug may enter one by one"


def test_a_shifted_lug_is_where_hand_reckoning_puts_it(sensor: bayonet.Design) -> None:
    """Lug at 30 deg, shifted 0.2 mm along its own middle and 0.1 square to it."""
    lug = sensor.plug.lugs[0]
    at = math.radians(lug.centre_deg)
    out, round_ = np.array([math.cos(at), math.sin(at)]), np.array([-math.sin(at), math.cos(at)])
    fitting = shifted(
        sensor.plug.lugs, sensor.socket.tracks, 0.2 * out + 0.1 * round_, sign=sensor.socket.sign
    )
    moved = fitting.lugs[0]
    # the edge furthest out lies where the shift points: 26.6 deg off, held to the half width 14.5
    edge = math.radians(lug.half.deg)
    x = lug.outer_radius_mm * math.cos(edge) + 0.2
    y = lug.outer_radius_mm * math.sin(edge) + 0.1
    assert moved.outer_mm == pytest.approx(math.hypot(x, y))
    # both sides swing back by 0.1 mm; moving out leaves both 0.2 sin(half) nearer the middle
    half = lug.half.deg
    tip = moved.points[-1, :, 0] - (sensor.socket.sign * lug.centre_deg) % 360.0
    near = [-half, half]
    turned = [
        sensor.socket.sign * 0.1 * math.cos(math.radians(half))
        - math.copysign(0.2 * math.sin(math.radians(half)), edge)
        for edge in near
    ]
    expected = [e + math.degrees(t / moved.outer_mm) for e, t in zip(near, turned, strict=True)]
    assert [tip.min(), tip.max()] == pytest.approx(expected, abs=1e-9)


def test_the_way_goes_round_a_closed_middle() -> None:
    """A slot passable only beside turn 0: a pillar under its middle, a way past it."""
    piece = shapely.Polygon([(-2, 0), (10, 0), (10, 2), (2, 2), (2, 6), (-2, 6)])
    piece = piece.difference(shapely.box(-0.5, 1.0, 2.5, 5.0))
    path = way_between(piece, (0.0, 6.0), (10.0, 1.0))
    assert path[0] == (0.0, 6.0)
    assert path[-1] == (10.0, 1.0)
    assert piece.buffer(1e-9).covers(shapely.LineString(path))
    assert way_between(piece, (0.0, 3.0), (10.0, 1.0)) == ()
    island = shapely.MultiPolygon([piece, shapely.box(20, 0, 21, 1)])
    assert way_between(shapely.convex_hull(island), (0.0, 3.0), (20.5, 0.5)) != ()
