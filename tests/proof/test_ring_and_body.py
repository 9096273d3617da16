"""A socket of ring and body: volumes by hand, the second engine on the assembly, faults."""

from __future__ import annotations

import dataclasses
import math
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from designs import designs
from hypothesis import HealthCheck, given, settings
from manifold3d import Manifold
from second_engine import manifold_of
from shapely.geometry import Point, Polygon
from shapely.ops import unary_union

import bayonet
from bayonet import solids
from bayonet.developed import volume
from bayonet.developed.motion import poses_along
from bayonet.parts import Socket, places_of, reliefs
from bayonet.parts.design import changed
from bayonet.solids.fitting import build

EXAMPLES = Path(__file__).parents[2] / "examples"
RING = (("socket.construction", "ring_and_body"), ("socket.track.made_by", None))
CHORD_MM = 0.02
SENSED_MM3 = 0.02  # facets in contact, as of the sweep that `make` does


@cache
def ring_design() -> bayonet.Design:
    return changed(bayonet.load(EXAMPLES / "level_sensor.toml"), RING)


@cache
def meshes() -> tuple[Manifold, Manifold, Manifold]:
    design = ring_design()
    parts = solids.parts(design)
    ring, body, plug = (
        manifold_of(one, chord_mm=CHORD_MM)
        for one in (parts["ring"], parts["body"], solids.plug(design.plug))
    )
    return ring, body, plug


def overlap(socket: list[Manifold], plug: Manifold, pose: tuple[float, float]) -> float:
    sign = ring_design().socket.sign
    moved = plug.rotate((0.0, 0.0, sign * pose[0])).translate((0.0, 0.0, pose[1]))
    return sum(float((moved ^ one).volume()) for one in socket)


def way() -> list[tuple[float, float]]:
    from bayonet.checks.motion.proof import motion_of

    design = ring_design()
    return poses_along(motion_of(design.plug, design.socket).path, 24)


# ---- volumes and places by hand ------------------------------------------------------------


def plan_area_of_run_outs(socket: Socket, wall: float, mill: float) -> float:
    """Area of one slot's two run-outs beyond slot and wall, by polygons of shapely."""
    track = socket.tracks[0]
    half = math.radians(float(track.slot.at(wall)))
    arc = np.linspace(-half, half, 4001)
    slot = Polygon([(0.0, 0.0), *zip(wall * np.cos(arc), wall * np.sin(arc), strict=True)])
    discs = []
    for one in reliefs(track, mill)[:2]:
        angle = math.radians(one.angle_deg)
        discs.append(
            Point(one.radius_mm * math.cos(angle), one.radius_mm * math.sin(angle)).buffer(
                mill, quad_segs=20000
            )
        )
    return float(unary_union(discs).difference(slot).area)


def test_the_run_outs_by_polygons_of_another_library() -> None:
    """A dwell at one depth: every run-out is a plan area times a height, the bite near lock less.

    Polygons of 4000 and 80 000 corners are within 1e-6 of the circles.
    """
    design = changed(ring_design(), [("socket.track.lead", 0.0), ("plug.lugs.lead", None)])
    socket, joint = design.socket, design.socket.joint
    assert joint is not None
    track, mill = socket.tracks[0], joint.mill_radius_mm
    far, near, _ = reliefs(track, mill)
    roof = track.roof[0][1]
    whole = plan_area_of_run_outs(socket, track.outer_radius_mm, mill) * joint.seat_mm
    nodes = np.linspace(near.bites_from_mm, near.wall_mm, 20001)
    first, last = near.bite_deg(nodes)
    bite = float(np.trapezoid(np.radians(last - first) * nodes, nodes))
    by_hand = whole - bite * (joint.seat_mm - roof)
    by_rule = sum(volume.of_relief(one, track, joint.seat_mm) for one in (far, near))
    assert by_rule == pytest.approx(by_hand, rel=2e-6)


def test_ring_and_body_make_up_the_one_piece() -> None:
    """What two parts weigh is the one piece of their outside, less run-outs, holes and rim.

    The one piece's closed form is the reference; the rest is cylinders.
    """
    design = ring_design()
    socket, joint = design.socket, design.socket.joint
    assert joint is not None
    bolts, dowel = joint.bolts, joint.dowel
    assert dowel is not None
    one = volume.of_socket(dataclasses.replace(socket, joint=None))
    boss, ring = socket.boss_radius_mm, joint.ring_radius_mm
    rim = math.pi * (boss**2 - ring**2) * joint.rim_mm
    hole = 4.5**2 * (joint.seat_mm - 4.3) + 8.0**2 * 4.3
    cut = bolts.count * math.pi / 4.0 * (hole + 3.3**2 * bolts.hole_depth_mm)
    cut += math.pi / 4.0 * 4.0**2 * (dowel.ring_depth_mm + dowel.body_depth_mm)
    cut += sum(
        volume.of_relief(relief, track, joint.seat_mm)
        for track in socket.tracks for relief in reliefs(track, joint.mill_radius_mm)
    )  # fmt: skip
    both = volume.of_ring(socket) + volume.of_body(socket)
    assert both == pytest.approx(one - rim - cut, rel=1e-12)


@pytest.mark.parametrize("extreme", ["tightest", "loosest"])
def test_the_ends_of_the_zone_are_built_too(extreme: str) -> None:
    """What the sweep of `make` moves the tightest and the loosest pair through; none left out."""
    from bayonet.solids.fitting import sweep
    from bayonet.tolerance.fitting import zones

    socket = ring_design().socket
    tracks = zones.tracks(socket, extreme)  # type: ignore[arg-type]
    assert set(build.parts(sweep._with_tracks(socket, tracks))) == {"ring", "body"}
    assert set(build.parts(sweep._with_tracks(socket, sweep._widest(socket)))) == {"ring", "body"}


def test_no_corner_keeps_the_mills_radius() -> None:
    """Every corner of slot and stop at the wall lies inside its run-out: sharp lugs clear."""
    socket = ring_design().socket
    joint = socket.joint
    assert joint is not None
    for track in socket.tracks:
        wall = track.outer_radius_mm
        corners = {
            "far side": -float(track.slot.at(wall)),
            "near side": float(track.slot.at(wall)),
            "stop": float(track.end.at(wall)),
        }
        for relief, middle in places_of(track, joint.mill_radius_mm, socket.sign):
            angle = math.radians(track.centre_deg + socket.sign * corners[relief.what])
            corner = wall * np.array([math.cos(angle), math.sin(angle)])
            inside = joint.mill_radius_mm - float(np.linalg.norm(corner - middle))
            assert inside == pytest.approx(0.05, abs=1e-9), relief.what


# ---- the second engine ---------------------------------------------------------------------


def test_the_plug_goes_its_way_through_the_assembly() -> None:
    ring, body, plug = meshes()
    assert max(overlap([ring, body], plug, pose) for pose in way()[:-1]) <= SENSED_MM3


def test_ring_and_body_do_not_run_into_each_other() -> None:
    ring, body, _ = meshes()
    register = 2.0 * math.pi * 32.0 * 3.0  # one cylinder for both: facets may cross by a chord
    assert float((ring ^ body).volume()) <= CHORD_MM * register / 2.0
    assert float((ring.translate((0, 0, -0.1)) ^ body).volume()) > 100.0  # it stands on its seat


@pytest.mark.parametrize("turned", [5.0, -5.0, 40.0])
def test_a_ring_clocked_wrong_stops_the_plug(turned: float) -> None:
    """As meant for the valve's own orientation: the lugs strike the ring beside its slots."""
    ring, body, plug = meshes()
    wrong = [ring.rotate((0.0, 0.0, turned)), body]
    assert any(overlap(wrong, plug, pose) > 1.0 for pose in way()[:-1])


def test_a_ring_far_off_its_register_stops_the_plug() -> None:
    """Aside by a millimetre, as without a register: the body of the plug strikes the ring."""
    ring, body, plug = meshes()
    aside = [ring.translate((1.0, 0.0, 0.0)), body]
    assert any(overlap(aside, plug, pose) > 1.0 for pose in way())


def test_a_ring_lifted_off_its_seat_holds_no_play() -> None:
    """A joint open by 0.5 mm: at lock the plug, on the mouth, is 0.3 mm short of its roof no more.

    0.2 mm of play less 0.5: the lug runs into the ramp before its stop.
    """
    ring, body, plug = meshes()
    lock = way()[-2]
    assert overlap([ring, body], plug, lock) <= SENSED_MM3
    sunk = [ring.translate((0.0, 0.0, -0.5)), body]  # the mouth gives way under the shoulder
    assert overlap(sunk, plug, lock) > 1.0


@pytest.mark.parametrize(
    ("fields", "named"),
    [
        ([("socket.joint.bolt_circle", 46.0)], "bolts and slots"),
        ([("socket.joint.ring_diameter", 60.0)], "edge"),
        ([("socket.joint.bolts", 24)], "bolts"),
        ([("socket.joint.end_mill", 9.0)], "end_mill"),
        ([("socket.joint.register_height", 9.2)], "register_height"),
        ([("socket.boss_height", 15.0)], "boss_height"),
        ([("socket.joint.thread", "M7")], "M7"),
        ([("socket.joint.property_class", "9.9")], "9.9"),
        ([("socket.process", "printed")], "process"),
        ([("socket.track.floor", "parallel")], "floor"),
    ],
)
def test_what_runs_into_each_other_is_refused(fields: list[tuple[str, Any]], named: str) -> None:
    """Bolts in a slot among them: one clear error, nothing is drawn."""
    with pytest.raises(bayonet.DesignError, match=named):
        changed(ring_design(), fields)


@settings(
    max_examples=6, deadline=None, derandomize=True,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.filter_too_much],
)  # fmt: skip
@given(designs())
def test_whatever_can_be_drawn_is_built_exactly(raw: dict[str, Any]) -> None:
    """Every layout, seating and hand as ring and body, through the gate with its closed form."""
    socket = {**raw["socket"], "process": "machined", "construction": "ring_and_body"}
    socket["track"] = {
        key: value for key, value in socket["track"].items() if not key.startswith("floor")
    }
    socket.pop("mount", None)
    try:
        design = bayonet.from_mapping({**raw, "socket": socket})
    except bayonet.DesignError as error:
        assert error.problems
        return
    assert set(build.parts(design.socket)) == {"ring", "body"}
