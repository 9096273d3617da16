"""The free region against brute force: lugs put at random poses, tested point by point."""

from __future__ import annotations

import dataclasses
import random

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.affinity import translate
from shapely.geometry import Point, Polygon

import bayonet
from bayonet.developed import contour
from bayonet.developed.fitting import Fitting, Outline, lay_out
from bayonet.developed.motion import analyse
from bayonet.developed.region import FreeRegion, Window, free_region
from bayonet.parts import HalfAngle
from bayonet.tolerance.fitting import zones


def fitting_of(design: bayonet.Design, extreme: str = "nominal") -> Fitting:
    lugs = zones.lugs(design.plug, extreme)  # type: ignore[arg-type]
    tracks = zones.tracks(design.socket, extreme)  # type: ignore[arg-type]
    return lay_out(lugs, tracks, sign=design.socket.sign)


def overlap_at(
    design: bayonet.Design, extreme: str, phi: float, delta: float, radius: float
) -> float:
    """Overlap of any lug with the material at a radius, the slow way: all less the tracks."""
    sign = design.socket.sign
    lugs = zones.lugs(design.plug, extreme)  # type: ignore[arg-type]
    tracks = zones.tracks(design.socket, extreme)  # type: ignore[arg-type]
    voids = [
        translate(Polygon(contour.of_track(track).polygon(radius)), sign * track.centre_deg + turn)
        for track in tracks
        for turn in range(-1440, 1441, 360)
    ]
    block = shapely.box(-1000.0, tracks[0].top_mm, 1000.0, 1000.0)
    material = block.difference(shapely.union_all(voids))
    worst = 0.0
    for lug in lugs:
        shape = Polygon(contour.of_lug(lug, inner_mm=radius * 0.9).polygon(radius))
        moved = translate(shape, sign * lug.centre_deg + phi, -delta)
        worst = max(worst, float(material.intersection(moved).area))
    return worst


def brute_force(design: bayonet.Design, extreme: str, phi: float, delta: float) -> float:
    """Greatest overlap over radii of its own choosing between bore and lug."""
    bore = design.socket.track_bore_radius_mm
    outer = max(lug.outer_radius_mm for lug in zones.lugs(design.plug, extreme))  # type: ignore[arg-type]
    return max(
        overlap_at(design, extreme, phi, delta, radius) for radius in np.linspace(bore, outer, 7)
    )


def in_region(region: FreeRegion, phi: float, delta: float) -> bool:
    return any(piece.distance(Point(phi, delta)) == 0.0 for piece in region.pieces)


def near_edge(region: FreeRegion, phi: float, delta: float, room: float = 1e-6) -> bool:
    return any(piece.boundary.distance(Point(phi, delta)) < room for piece in region.pieces)


@pytest.mark.parametrize("extreme", ["nominal", "tightest", "loosest"])
def test_against_brute_force(example: bayonet.Design, extreme: str) -> None:
    """Random poses, most of them near the edge of the free region, at other radii than its own."""
    fitting = fitting_of(example, extreme)
    window = Window(-20.0, 140.0, fitting.lowest_mm + 1.0)
    region = free_region(fitting, window)
    draw = random.Random(1)
    free = blocked = 0
    for _ in range(60):
        phi, delta = draw.uniform(-20, 140), draw.uniform(0, 1) ** 3 * window.lift_mm
        if draw.random() < 0.6:
            edge = region.pieces[0].boundary.interpolate(draw.random(), normalized=True)
            phi, delta = edge.x + draw.uniform(-0.4, 0.4), edge.y + draw.uniform(-0.1, 0.1)
        if delta < 0.0 or not -20.0 < phi < 140.0 or near_edge(region, phi, delta, room=2e-3):
            continue
        overlap = brute_force(example, extreme, phi, delta)
        if in_region(region, phi, delta):
            free += 1
            assert overlap < 1e-9
        elif delta < window.lift_mm:
            blocked += 1
            assert overlap > 0.0
    assert free > 5
    assert blocked > 5


def test_a_flat_lug_on_a_ramp_needs_lead_times_width(sensor: bayonet.Design) -> None:
    """Closed form: room between ramp and parallel floor = height - thickness - L w / 360."""
    lug = sensor.plug.lugs[0].reshaped(lead_mm_per_rev=0.0, half=HalfAngle(deg=12.0, offset_mm=0.0))
    for lead in (3.0, 9.0):
        track = dataclasses.replace(
            sensor.socket.tracks[0],
            roof=((15.0, 2.0), (95.0, 2.0 + lead * 80 / 360)),
            floor=((-15.0, 7.0 - lead * 30 / 360), (95.0, 7.0 + lead * 80 / 360)),
        )
        region = free_region(lay_out((lug,), (track,), sign=-1), Window(-2.0, 90.0, 4.0))
        column = shapely.LineString([(50.0, -1.0), (50.0, 5.0)])
        room = sum(piece.intersection(column).length for piece in region.pieces)
        assert room == pytest.approx(5.0 - lug.thickness_mm - lead * 24 / 360, abs=1e-9)


def test_mirroring_the_hand_changes_nothing_in_lock_coordinates(example: bayonet.Design) -> None:
    lugs = tuple(dataclasses.replace(lug, centre_deg=-lug.centre_deg) for lug in example.plug.lugs)
    tracks = tuple(
        dataclasses.replace(track, centre_deg=-track.centre_deg) for track in example.socket.tracks
    )
    window = Window(-5.0, 100.0, 8.0)
    one = free_region(fitting_of(example), window)
    other = free_region(lay_out(lugs, tracks, sign=-example.socket.sign), window)
    assert shapely.union_all(one.pieces).symmetric_difference(
        shapely.union_all(other.pieces)
    ).area == pytest.approx(0.0, abs=1e-7)


@settings(max_examples=25, deadline=None)
@given(turn=st.floats(-360.0, 360.0))
def test_turning_the_whole_fitting_changes_nothing(turn: float) -> None:
    design = bayonet.loads(bayonet.starting_file())
    lugs = tuple(dataclasses.replace(x, centre_deg=x.centre_deg + turn) for x in design.plug.lugs)
    tracks = tuple(
        dataclasses.replace(x, centre_deg=x.centre_deg + turn) for x in design.socket.tracks
    )
    window = Window(-5.0, 100.0, 8.0)
    one = shapely.union_all(free_region(fitting_of(design), window).pieces)
    other = shapely.union_all(
        free_region(lay_out(lugs, tracks, sign=design.socket.sign), window).pieces
    )
    assert one.symmetric_difference(other).area == pytest.approx(0.0, abs=1e-6)


@settings(max_examples=20, deadline=None)
@given(more=st.floats(0.001, 0.3))
def test_more_clearance_only_adds_poses(more: float) -> None:
    tight, wide = (
        bayonet.loads(
            bayonet.starting_file()
            + f"\n[socket.clearance]\naxial = {0.2 + x}\nfloor = {0.3 + x}\nlug_side = {0.2 + x}\n"
        )
        for x in (0.0, more)
    )
    window = Window(-5.0, 90.0, 8.0)
    small = shapely.union_all(free_region(fitting_of(tight), window).pieces)
    large = shapely.union_all(free_region(fitting_of(wide), window).pieces)
    assert small.difference(large).area < 1e-9
    assert large.area > small.area


def test_locking_pose_by_hand(sensor: bayonet.Design) -> None:
    """Play at the stop is the axial clearance asked for; the stop is the turn asked for."""
    motion = analyse(fitting_of(sensor), end_deg=80.0)
    assert motion.furthest_deg == pytest.approx(80.0, abs=1e-9)
    assert motion.seated_deg == pytest.approx(80.0, abs=1e-9)
    assert motion.play_mm == pytest.approx(0.2, abs=1e-9)
    assert motion.hold_mm == 0.0


def test_detent_by_hand(drain: bayonet.Design) -> None:
    """Play 0.45 at lock, 0.45 - 0.22 under the crest, 0.8 deg back to the crest's flank."""
    motion = analyse(fitting_of(drain), end_deg=45.0)
    assert motion.play_mm == pytest.approx(0.45, abs=1e-9)
    assert motion.hold_mm == pytest.approx(0.22, abs=1e-9)
    assert motion.narrowest_mm == pytest.approx(0.23, abs=1e-9)
    assert motion.back_deg == pytest.approx(0.8, abs=0.01)


def test_clamp_is_tight_at_the_turn_asked_for(vent: bayonet.Design) -> None:
    motion = analyse(fitting_of(vent), end_deg=95.0 + vent.socket.stop_overtravel_deg)
    assert motion.furthest_deg == pytest.approx(95.0, abs=1e-9)
    assert motion.play_mm == pytest.approx(0.0, abs=1e-9)


def _tight_range(design: bayonet.Design) -> tuple[float, float]:
    """How much sooner and later than nominal the tightest and loosest pairs become tight [deg]."""
    end = 95.0 + design.socket.stop_overtravel_deg
    early = analyse(fitting_of(design, "tightest"), end_deg=end).furthest_deg
    late = analyse(fitting_of(design, "loosest"), end_deg=end).furthest_deg
    return 95.0 - early, late - 95.0


def test_clamp_floats_by_zone_times_360_over_lead(vent: bayonet.Design) -> None:
    """Zones of flank and roof move the tight angle by their sum x 360 / 9 deg.

    Where leads and places are exact. Their errors only widen the range.
    """
    drawn = vent.with_({"plug.measured_with": "drawing"})
    exact = drawn.with_({
        "plug.spread.lead": 0.0, "socket.tolerance.lead": 0.0, "plug.spread.angle_deg": 0.0,
        "socket.tolerance.slot_position_deg": 0.0, "socket.tolerance.stop_deg": 0.0,
    })  # fmt: skip
    zone = exact.plug.lugs[0].zone.bearing_mm + exact.socket.limits.roof_mm
    early, late = _tight_range(exact)
    assert late == pytest.approx(zone * 360 / 9, abs=0.02)
    assert early == pytest.approx(zone * 360 / 9, abs=0.02)
    sooner, later = _tight_range(drawn)
    assert sooner > early
    assert later > late


@pytest.mark.parametrize("centre", [0.0, 1e-14, 359.9999999, 178.89])
def test_a_slot_across_the_seam_is_a_slot(centre: float) -> None:
    """A piece between no walls whose middle falls on 0 or 360 deg is inside the track there."""
    text = bayonet.starting_file().replace("first_at_deg = 0", f"first_at_deg = {centre}")
    for width, side in ((10.0, 0.2), (11.0, 0.23), (12.0, 0.27)):
        design = bayonet.loads(
            text.replace("width = 10.0", f"width = {width}").replace(
                "# [socket.clearance]            # left out: from the process",
                f"[socket.clearance]\nlug_side = {side}",
            )
        )
        turn = design.plug.turn_deg
        assert analyse(fitting_of(design), end_deg=turn).furthest_deg == pytest.approx(turn)


def test_an_outline_shifts() -> None:
    outline = Outline(np.zeros((1, 4, 2)))
    assert outline.shifted(3.0).points[0, 0].tolist() == [3.0, 0.0]
