"""The real plug.step through the real socket.step by a second engine, pose by pose."""

from __future__ import annotations

import dataclasses

import pytest
from second_engine import CHORD_MM, Pair, from_files, manifold_of

from bayonet import solids
from bayonet.developed.motion import poses_along
from bayonet.jobs.design import Made
from bayonet.tolerance.fitting import zones

POSES = 200


@pytest.mark.parametrize("name", ["level_sensor", "irrigation_drain", "brewery_vent"])
def test_no_overlap_on_the_whole_way(made: dict[str, Made], name: str) -> None:
    one = made[name]
    motion = one.result.proof.nominal
    sign = one.result.design.socket.sign
    pair = from_files(one.folder, plug_turn_deg=motion.furthest_deg, sign=sign)
    poses = poses_along(motion.path, POSES)
    assert len(poses) >= POSES
    touching_mm2 = 150.0  # lug flanks of the clamped example, in contact at its last pose
    overlaps = pair.overlaps(poses)
    assert max(overlaps) <= CHORD_MM * touching_mm2 / 10
    assert max(overlaps[:-2]) == pytest.approx(0.0, abs=1e-6)


@pytest.mark.parametrize("name", ["level_sensor", "irrigation_drain", "brewery_vent"])
def test_the_stop_stops_and_the_roof_holds(made: dict[str, Made], name: str) -> None:
    """Just past each limit of the locked pose the meshes overlap; just inside they do not."""
    one = made[name]
    motion, design = one.result.proof.nominal, one.result.design
    pair = from_files(one.folder, plug_turn_deg=motion.furthest_deg, sign=design.socket.sign)
    lock, play = motion.furthest_deg, motion.play_mm
    beyond = 1.0 if design.socket.seating == "stop" else 8.0
    assert pair.overlap_mm3((lock + beyond, play / 2)) > 0.1
    assert pair.overlap_mm3((lock - 0.05, play + 0.1)) > 0.1
    assert pair.overlap_mm3((lock / 2, 12.0 if design.socket.layout == "B" else 4.0)) > 1.0
    assert pair.overlap_mm3((lock, -0.1)) > 1.0
    assert pair.overlap_mm3((lock - 0.05, max(play - 0.02, 0.0))) < 0.005


@pytest.mark.parametrize("name", ["level_sensor", "irrigation_drain", "brewery_vent"])
def test_the_largest_plug_goes_through_the_smallest_socket(
    made: dict[str, Made], name: str
) -> None:
    """The zone's proof on real solids: grown lugs, shrunk tracks, the path found for them."""
    one = made[name]
    design, motion = one.result.design, one.result.proof.tightest
    plug = dataclasses.replace(design.plug, lugs=zones.lugs(design.plug, "tightest"))
    tracks = zones.tracks(design.socket, "tightest")
    socket = dataclasses.replace(design.socket, tracks=tracks)
    pair = Pair(
        manifold_of(solids.socket(socket)), manifold_of(solids.plug(plug)), 0.0, socket.sign
    )
    overlaps = pair.overlaps(poses_along(motion.path, 60))
    assert max(overlaps[:-2]) == pytest.approx(0.0, abs=1e-3)
    assert max(overlaps) <= CHORD_MM * 15.0
