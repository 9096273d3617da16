"""Distances against brute force, closed forms and a second library."""

from __future__ import annotations

import manifold3d
import numpy as np
import pytest
import trimesh
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.spatial import cKDTree

from bayonet.surroundings import boxes, closest, convex, envelope, triangles
from bayonet.tank.placement import frame_at

HERE = frame_at((0, 0, 0), (0, 0, 1))


def soup(seed: int, count: int, size: float = 4.0) -> np.ndarray:
    rng = np.random.default_rng(seed)
    return rng.uniform(-20, 20, (count, 1, 3)) + rng.normal(0, size, (count, 3, 3))


def points_on(corners: np.ndarray, count: int) -> np.ndarray:
    """A regular grid on each triangle."""
    i, j = np.meshgrid(np.arange(count + 1), np.arange(count + 1))
    keep = i + j <= count
    w = np.stack([i[keep], j[keep], count - i[keep] - j[keep]], axis=1) / count
    return np.einsum("kw,nwd->nkd", w, corners).reshape(-1, 3)


def turned(seed: int) -> np.ndarray:
    q, _ = np.linalg.qr(np.random.default_rng(seed).normal(size=(3, 3)))
    return q * np.sign(np.linalg.det(q))


def brute(one: np.ndarray, other: np.ndarray, count: int) -> tuple[float, float]:
    """Least distance of points on triangles, and how far below it the true one may be."""
    a, b = points_on(one, count), points_on(other, count)
    side = max(np.linalg.norm(s - np.roll(s, 1, axis=1), axis=2).max() for s in (one, other))
    return float(cKDTree(a).query(b)[0].min()), 2.0 * side / count


@pytest.mark.parametrize("seed", range(4))
def test_two_heaps_of_triangles_against_points_on_them(seed: int) -> None:
    one, other = soup(seed, 25), soup(seed + 50, 25) + np.array([38.0, 9.0, -5.0])
    found = closest.between(boxes.tree(one), boxes.tree(other), tolerance_mm=0.0)
    points, coarse = brute(one, other, 40)
    assert points - coarse <= found.distance_mm <= points + 1e-12
    assert np.linalg.norm(found.theirs - found.ours) == pytest.approx(found.distance_mm)


@pytest.mark.parametrize("seed", range(3))
def test_two_bodies_against_manifold(seed: int) -> None:
    """`manifold3d`'s own least gap between two bodies."""
    ball = trimesh.creation.icosphere(subdivisions=2, radius=9.0)
    block = trimesh.creation.box(extents=(30.0, 7.0, 12.0)).subdivide()
    ball.vertices = ball.vertices @ turned(seed).T
    block.vertices = block.vertices @ turned(seed + 9).T + np.array([23.0, 8.0, -6.0])
    solids = [
        manifold3d.Manifold(manifold3d.Mesh64(np.array(m.vertices), np.array(m.faces, np.uint64)))
        for m in (ball, block)
    ]
    gap = solids[0].min_gap(solids[1], 100.0)
    found = closest.between(boxes.tree(ball.triangles.copy()), boxes.tree(block.triangles.copy()))
    assert found.distance_mm == pytest.approx(gap, abs=1.1e-3)


@pytest.mark.parametrize("seed", range(3))
def test_points_to_a_mesh_against_trimesh(seed: int) -> None:
    """Bare points are triangles without extent; `trimesh` measures point by point."""
    ball = trimesh.creation.icosphere(subdivisions=2, radius=9.0)
    cloud = np.random.default_rng(seed).normal(0, 3, (200, 3)) + np.array([22.0, 0.0, 4.0])
    _, apart, _ = trimesh.proximity.closest_point_naive(ball, cloud)
    bare = boxes.tree(np.repeat(cloud[:, None], 3, axis=1))
    found = closest.between(bare, boxes.tree(ball.triangles.copy()), tolerance_mm=0.0)
    assert found.distance_mm == pytest.approx(apart.min(), abs=1e-9)


def test_crossing_triangles_meet_and_walls_side_by_side_keep_their_gap() -> None:
    flat = np.array([[[-9.0, -9, 0], [9, -9, 0], [0, 9, 0]]])
    upright = np.array([[[0.0, -1, -3], [0, 1, -3], [0, 0, 5]]])
    assert triangles.distance(flat, upright)[0][0] == 0.0
    grid = trimesh.creation.box(extents=(80, 80, 2)).subdivide_to_size(4.0).triangles
    lean = turned(5)
    one, other = grid @ lean.T, (grid + np.array([0, 0, 9.0])) @ lean.T
    found = closest.between(boxes.tree(one), boxes.tree(other))
    assert found.distance_mm == pytest.approx(7.0, abs=1e-3)
    assert found.distance_mm >= 7.0 - 1e-9


def test_sphere_beside_a_cylinder_and_a_plane_over_a_disc() -> None:
    """Closed form: centre distance less both radii; a flat sheet over a flat face."""
    ball = trimesh.creation.icosphere(subdivisions=4, radius=10.0)
    body = [convex.cylinder("c", 20.0, 0.0, 50.0)]
    at = ball.triangles + np.array([45.0, 0.0, 25.0])
    found, name = envelope.to_bodies(boxes.tree(at), body, HERE)
    assert name == "c"
    assert found.distance_mm == pytest.approx(15.0, abs=2e-2)  # facets lie within the sphere
    assert found.distance_mm >= 15.0 - 1e-3
    sheet = np.array([[[-500.0, -500, 57], [500, -500, 57], [0, 900, 57]]])
    found, _ = envelope.to_bodies(boxes.tree(sheet), body, HERE)
    assert found.distance_mm == pytest.approx(7.0, abs=1e-9)
    assert found.distance_mm - found.error_mm <= 7.0


@pytest.mark.parametrize("seed", range(3))
def test_convex_bodies_against_points(seed: int) -> None:
    """Cone and swept bar as point clouds made without their distance functions."""
    heap = soup(seed, 40) + np.array([70.0, 10.0, 30.0])
    frame = frame_at((3.0, -5.0, 2.0), (0.3, 0.1, 1.0), clock_deg=33.0)
    cone = convex.cone("cone", (30.0, 5.0), (12.0, 40.0))
    (bar,) = convex.swings("bar", reach_mm=44.0, width_mm=12.0, heights_mm=(20.0, 30.0),
                           from_deg=-70.0, to_deg=20.0)  # fmt: skip
    rim = np.radians(np.arange(0, 360, 2.0))
    z = np.linspace(5.0, 40.0, 61)
    r = np.interp(z, [5.0, 40.0], [30.0, 12.0])
    on_cone = np.stack([np.outer(r, np.cos(rim)), np.outer(r, np.sin(rim)),
                        np.outer(z, np.ones_like(rim))], axis=-1).reshape(-1, 3)  # fmt: skip
    turn, round_ = np.radians(np.arange(-70, 20.1, 3.0)), np.radians(np.arange(0, 360, 10.0))
    end = np.multiply.outer(np.arange(0.0, 38.1, 2.0), np.stack([np.cos(turn), np.sin(turn)], -1))
    circle = 6.0 * np.stack([np.cos(round_), np.sin(round_)], axis=-1)
    flat = (end[..., None, :] + circle).reshape(-1, 2)
    on_bar = np.concatenate(
        [np.column_stack([flat, np.full(len(flat), h)]) for h in np.linspace(20, 30, 6)]
    )
    for body, cloud in ((cone, on_cone), (bar, on_bar)):
        found, _ = envelope.to_bodies(boxes.tree(heap), [body], frame)
        points = cKDTree(frame.to_tank(cloud)).query(points_on(heap, 20))[0].min()
        assert points - 1.2 <= found.distance_mm <= points + 1e-3


def test_what_stands_inside_is_negative_by_its_depth() -> None:
    pin = np.array([[[0.0, 0, 9], [1, 0, 40], [0, 1, 40]]])
    found, _ = envelope.to_bodies(boxes.tree(pin), [convex.cylinder("c", 8.0, 0.0, 12.0)], HERE)
    assert found.distance_mm == pytest.approx(-3.0, abs=1e-3)


@settings(deadline=None, max_examples=15)
@given(seed=st.integers(0, 10**6), away=st.floats(0.5, 200.0))
def test_moving_and_turning_everything_changes_nothing(seed: int, away: float) -> None:
    heap = soup(seed, 12) + np.array([60.0, 0.0, 20.0])
    body = [convex.cone("c", (18.0, 0.0), (9.0, 35.0))]
    first = envelope.to_bodies(boxes.tree(heap), body, HERE)[0]
    lean, step = turned(seed), np.array([away, -2 * away, 7.0])
    frame = frame_at(step, lean[:, 2])
    place = np.column_stack([frame.x, frame.y, frame.z])
    second = envelope.to_bodies(boxes.tree(heap @ place.T + step), body, frame)[0]
    assert second.distance_mm == pytest.approx(first.distance_mm, abs=2.1e-3)
    mesh = trimesh.creation.cylinder(radius=9.0, height=30.0, sections=24).triangles
    one = closest.between(boxes.tree(heap), boxes.tree(mesh.copy())).distance_mm
    other = closest.between(
        boxes.tree(heap @ lean.T + step), boxes.tree(mesh @ lean.T + step)
    ).distance_mm
    assert other == pytest.approx(one, abs=2.1e-3)


@settings(deadline=None, max_examples=15)
@given(gap=st.floats(0.01, 80.0), more=st.floats(0.01, 80.0))
def test_a_wall_moved_away_is_farther_by_as_much(gap: float, more: float) -> None:
    wall = trimesh.creation.box(extents=(4.0, 300.0, 300.0)).triangles
    body = [convex.cylinder("c", 25.0, 0.0, 40.0)]
    near, far = (
        envelope.to_bodies(boxes.tree(wall + np.array([27.0 + d, 0, 0])), body, HERE)[0].distance_mm
        for d in (gap, gap + more)
    )
    assert far - near == pytest.approx(more, abs=2.1e-3)
    assert near == pytest.approx(gap, abs=1.1e-3)


def test_a_place_known_is_left_out() -> None:
    row = np.array([[[d, 0.0, 5.0]] * 3 for d in (30.0, 34.0, 90.0)])
    body = [convex.cylinder("c", 10.0, 0.0, 20.0)]
    ball = closest.Ball(middle=np.array([30.0, 0.0, 5.0]), radius_mm=25.0)
    found, _ = envelope.to_bodies(boxes.tree(row), body, HERE, without=(ball,))
    assert found.distance_mm == pytest.approx(80.0)


@pytest.mark.parametrize("seed", range(3))
def test_many_points_against_a_closed_form_and_a_tree_of_points(seed: int) -> None:
    """Enough for boxes of boxes to be left out: a cylinder by hand, `scipy`'s nearest points."""
    rng = np.random.default_rng(seed)
    cloud = rng.normal(0, 60, (6000, 3))
    cloud = cloud[np.hypot(cloud[:, 0], cloud[:, 1]) > 14.0]
    bare = boxes.tree(np.repeat(cloud[:, None], 3, axis=1))
    rho, z = np.hypot(cloud[:, 0], cloud[:, 1]), cloud[:, 2]
    by_hand = np.hypot(np.maximum(rho - 12.0, 0), np.maximum(np.maximum(-z, z - 30.0), 0)).min()
    found, _ = envelope.to_bodies(
        bare, [convex.cylinder("c", 12.0, 0.0, 30.0)], HERE, tolerance_mm=0.0
    )
    assert found.distance_mm == pytest.approx(by_hand, abs=1e-9)
    other = rng.normal(0, 60, (4000, 3)) + np.array([150.0, 30.0, 0.0])
    pair = closest.between(bare, boxes.tree(np.repeat(other[:, None], 3, axis=1)), tolerance_mm=0.0)
    assert pair.distance_mm == pytest.approx(cKDTree(cloud).query(other)[0].min(), abs=1e-9)
