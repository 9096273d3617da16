"""What a valve sweeps: against points of it moved along its way, and lift by lift."""

from __future__ import annotations

import numpy as np
import pytest
import trimesh
from scipy.spatial import cKDTree

from bayonet.surroundings import boxes, closest, hands, measure, sweep, way
from bayonet.tank.placement import frame_at
from bayonet.tank.surroundings import Arm, RoundPart

HERE = frame_at((0, 0, 0), (0, 0, 1))
VALVE = way.Valve(
    parts=(
        RoundPart(from_mm=-20.0, to_mm=0.0, from_radius_mm=12.0, to_radius_mm=15.0),
        RoundPart(from_mm=0.0, to_mm=30.0, from_radius_mm=22.0, to_radius_mm=14.0),
    ),
    arms=(Arm(from_mm=10.0, to_mm=20.0, reach_mm=60.0, width_mm=12.0, at_deg=90.0),),
    turn_deg=100.0, sign=-1, ramp_mm=1.5, travel_mm=24.0,
)  # fmt: skip


def pegs(seed: int) -> np.ndarray:
    """Small triangles in a ring round the valve."""
    rng = np.random.default_rng(seed)
    angle, radius = rng.uniform(0, 2 * np.pi, 60), rng.uniform(75, 110, 60)
    middle = np.column_stack([radius * np.cos(angle), radius * np.sin(angle),
                              rng.uniform(0, 70, 60)])  # fmt: skip
    return middle[:, None] + rng.normal(0, 2, (60, 3, 3))


@pytest.mark.parametrize("seed", range(3))
def test_the_way_is_as_near_as_its_nearest_step(seed: int) -> None:
    tree = boxes.tree(pegs(seed))
    whole = measure.Thing(
        body="way", bodies=(*way.insertion(VALVE), *way.turn(VALVE), *way.seated(VALVE))
    )
    steps = measure.steps(
        [tree], VALVE,
        lambda lift, turned: measure.Thing(
            body="v", bodies=way.at(VALVE, lift_mm=lift, turned_deg=turned)),
        HERE, within_mm=200.0,
    )  # fmt: skip
    least = measure.least([tree], whole, HERE, within_mm=200.0)
    along = min(step.distance_mm for step in steps)
    assert least <= along + 0.021
    assert along - least <= 60.0 * np.radians(100.0 / 12) / 2 + 0.7  # half a step of the arm


def test_the_arm_enters_where_it_turns_from() -> None:
    """Right hand: clockwise to lock, so it enters 100 deg counter-clockwise of its seat."""

    def peg(at_deg: float, height: float) -> float:
        x, y = 70.0 * np.cos(np.radians(at_deg)), 70.0 * np.sin(np.radians(at_deg))
        spot = boxes.tree(np.full((1, 3, 3), [x, y, height]))
        return measure.least([spot], measure.Thing(body="i", bodies=way.insertion(VALVE)), HERE,
                             within_mm=500.0)  # fmt: skip

    assert peg(190.0, 35.0) == pytest.approx(10.0, abs=1e-3)
    assert peg(90.0, 35.0) > 45.0


@pytest.mark.parametrize("straight", [True, False])
def test_a_swept_mesh_against_points_moved_with_it(straight: bool) -> None:
    """A head with a connector to one side; brute force moves its points in small steps."""
    head = trimesh.creation.cylinder(radius=12.0, height=30.0, sections=32)
    head.apply_translation([0, 0, 15])
    plug = trimesh.creation.box(extents=(30.0, 8.0, 9.0))
    plug.apply_translation([25.0, 0, 18.0])
    corners = np.concatenate([head.triangles, plug.triangles])
    motion = (sweep.Motion(lift_mm=(40.0, 2.0), theta_deg=(80.0, 80.0)) if straight else
              sweep.Motion(lift_mm=(2.0, 0.0), theta_deg=(80.0, 0.0)))  # fmt: skip
    swept, error = sweep.swept(corners, motion)
    assert error <= sweep.CHORD_MM
    rng = np.random.default_rng(3)
    spots = rng.normal(size=(120, 3))
    spots = spots / np.linalg.norm(spots, axis=1, keepdims=True) * 62.0 + np.array([0, 0, 20.0])
    dense = np.concatenate([trimesh.sample.sample_surface_even(m, 4000, seed=1)[0]
                            for m in (head, plug)] + [corners.reshape(-1, 3)])  # fmt: skip
    moved = np.concatenate([motion.at(dense, s) for s in np.linspace(0, 1, 81)])
    points = cKDTree(moved[moved[:, 2] >= 0.0]).query(spots)[0]
    for spot, brute in zip(spots[::6], points[::6], strict=True):
        found = closest.between(boxes.tree(np.full((1, 3, 3), spot)), boxes.tree(swept))
        assert brute - 1.0 <= found.distance_mm <= brute + 0.03


def test_hands_keep_their_source_and_a_free_bar_starts_where_there_is_room() -> None:
    for name in hands.names():
        found = hands.hand(name)
        assert found.parts
        assert "DIN 33402-2" in found.source or "no source" in found.source
        assert way.hand(VALVE, found, start_deg=0.0)
    spanner = hands.hand("spanner")
    post = trimesh.creation.box(extents=(8, 8, 200))
    ring = [post.triangles + 120.0 * np.array([np.cos(a), np.sin(a), 0.0])
            for a in np.radians(np.arange(0, 360, 20.0)) if not 3.4 < a < 5.8]  # fmt: skip
    tree = boxes.tree(np.concatenate(ring))
    start = measure.best_start([tree], VALVE, spanner, HERE, within_mm=50.0)
    middle = (start + VALVE.sign * 30.0) % 360.0
    assert 230.0 < middle < 300.0
