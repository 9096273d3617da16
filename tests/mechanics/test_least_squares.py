"""Plane, circle and cylinder against answers known by construction, and against other solvers."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import numpy as np
import pytest
import trimesh
from scipy.optimize import least_squares
from scipy.spatial.transform import Rotation

from bayonet.mechanics.least_squares import circle_through, cylinder_through, plane_through

DATA = Path(__file__).parents[1] / "scan" / "data"
CASES = {one["name"]: one for one in json.loads((DATA / "geomfit.json").read_text("utf-8"))}
AGREE = 1e-8


def _case(name: str) -> tuple[np.ndarray, dict[str, Any]]:
    """Points and answer; where they come from is in data/PROVENANCE.md."""
    case = CASES[name]
    return np.loadtxt(DATA / case["file"], delimiter=",", skiprows=1), case["exact"]


@pytest.mark.parametrize("name", ["cyl_full_R23", "cyl_arc60_R23"])
@pytest.mark.parametrize("given", [False, True], ids=["no start", "rough start"])
def test_cylinder_by_construction(name: str, given: bool) -> None:
    points, exact = _case(name)
    axis = np.array(exact["axis"])
    found = cylinder_through(points, axis=axis + np.array([0.1, -0.2, 0.05]) if given else None)
    assert found.radius_mm == pytest.approx(exact["radius"], abs=AGREE)
    assert np.abs(found.axis - axis).max() < AGREE
    assert np.linalg.norm(np.cross(found.point_mm - exact["point_on_axis"], axis)) < AGREE
    assert found.rms_mm == pytest.approx(exact["rms_residual"], abs=AGREE)


def test_plane_by_construction() -> None:
    points, exact = _case("plane_tilted")
    found = plane_through(points)
    assert np.abs(found.normal - exact["normal"]).max() < AGREE
    assert abs((found.point_mm - exact["point"]) @ exact["normal"]) < AGREE
    assert found.rms_mm == pytest.approx(exact["rms_residual"], abs=AGREE)


def test_circle_by_construction_in_the_plane_and_in_space() -> None:
    """The same circle laid into space keeps centre and radius (its points stay in one plane)."""
    points, exact = _case("circle_full_R23")
    flat = circle_through(points)
    turn = Rotation.from_euler("xyz", [20.0, -35.0, 70.0], degrees=True).as_matrix()
    space = circle_through(np.column_stack([points, np.zeros(len(points))]) @ turn.T + [9, -4, 2])
    for found in (flat, space):
        assert found.radius_mm == pytest.approx(exact["radius"], abs=AGREE)
        assert found.rms_mm == pytest.approx(exact["rms_residual"], abs=AGREE)
    assert np.abs(flat.centre_mm - exact["centre"]).max() < AGREE
    centre = turn @ [*exact["centre"], 0.0] + [9, -4, 2]
    assert np.abs(space.centre_mm - centre).max() < AGREE
    assert space.normal is not None
    assert abs(space.normal @ turn[:, 2]) == pytest.approx(1.0, abs=AGREE)


def test_circle_as_published() -> None:
    """Gander, Golub & Strebel, BIT 34 (1994): the geometric circle, not the algebraic one."""
    case = CASES["gander_circle"]
    found, printed = circle_through(case["points"]), case["published"]["geometric"]
    assert found.radius_mm == pytest.approx(printed["radius"], abs=5e-5)
    assert found.centre_mm == pytest.approx(printed["centre"], abs=5e-5)


def _arc(rng: np.random.Generator) -> np.ndarray:
    """100 degrees of a cylinder, noisy, anywhere."""
    theta, z = rng.uniform(0, 1.75, 400), rng.uniform(-8, 8, 400)
    r = 14.0 + rng.normal(0, 0.05, 400)
    turn = Rotation.random(random_state=int(rng.integers(1000))).as_matrix()
    return np.column_stack([r * np.cos(theta), r * np.sin(theta), z]) @ turn.T + [100, -50, 30]


def _other_cylinder(points: np.ndarray, start: np.ndarray) -> float:
    """Radius by scipy, axis by two angles, derivatives by differences."""
    middle = points.mean(axis=0)

    def off(p: np.ndarray) -> np.ndarray:
        way = np.array([np.cos(p[0]) * np.sin(p[1]), np.sin(p[0]) * np.sin(p[1]), np.cos(p[1])])
        return np.linalg.norm(np.cross(points - middle - p[2:5], way), axis=1) - p[5]

    angles = [np.arctan2(start[1], start[0]), np.arccos(start[2])]
    first = [*angles, 0.0, 0.0, 0.0, 12.0]
    return float(least_squares(off, first, xtol=1e-15, ftol=1e-15, gtol=1e-12).x[5])


@pytest.mark.parametrize("seed", range(4))
def test_cylinder_as_scipy_finds_it(seed: int) -> None:
    points = _arc(np.random.default_rng(seed))
    found = cylinder_through(points)
    assert found.radius_mm == pytest.approx(_other_cylinder(points, found.axis), abs=1e-6)


def test_circle_in_space_as_scipy_finds_it() -> None:
    """Noise off the plane too: all six numbers by scipy, normal by two angles."""
    rng = np.random.default_rng(3)
    theta = rng.uniform(0, 4.0, 200)
    flat = np.column_stack([9 * np.cos(theta), 9 * np.sin(theta), np.zeros(200)])
    points = flat @ Rotation.from_euler("xy", [0.5, 0.3]).as_matrix().T
    points += rng.normal([3, 2, 1], 0.1, (200, 3))
    found = circle_through(points)

    def off(p: np.ndarray) -> np.ndarray:
        way = np.array([np.cos(p[0]) * np.sin(p[1]), np.sin(p[0]) * np.sin(p[1]), np.cos(p[1])])
        away = points - p[2:5]
        h = away @ way
        r = np.linalg.norm(away - h[:, None] * way, axis=1)
        return np.concatenate([r - p[5], h])

    assert found.normal is not None
    x, y, z = found.normal
    start = [np.arctan2(y, x) + 0.05, np.arccos(z) - 0.05, 3.1, 2.1, 0.9, 8.0]
    end = least_squares(off, start, xtol=1e-15, ftol=1e-15, gtol=1e-12)
    assert found.radius_mm == pytest.approx(end.x[5], abs=1e-6)
    assert found.centre_mm == pytest.approx(end.x[2:5], abs=1e-6)
    assert float(found.residual_mm @ found.residual_mm) == pytest.approx(2 * end.cost, rel=1e-10)


def test_plane_as_trimesh_finds_it() -> None:
    """Its circle is no reference: it takes the least sum of fourth powers."""
    points = np.random.default_rng(5).normal(size=(300, 3)) * [9, 7, 0.1] + [5, 6, 7]
    centre, normal = trimesh.points.plane_fit(points)
    found = plane_through(points)
    assert abs(found.normal @ normal) == pytest.approx(1.0, abs=1e-12)
    assert found.point_mm == pytest.approx(centre, abs=1e-9)


def test_cofactor_is_the_scatter_of_repeated_fits() -> None:
    """200 draws of noise 0.05: scatter of the radius within 15 % of what one fit says."""
    rng = np.random.default_rng(0)
    theta, z = rng.uniform(0, 2.5, 150), rng.uniform(-5, 5, 150)
    ends = []
    for _ in range(200):
        r = 14.0 + rng.normal(0, 0.05, 150)
        xyz = np.column_stack([r * np.cos(theta), r * np.sin(theta), z])
        ends.append(cylinder_through(xyz, axis=[0, 0, 1]))
    told = 0.05 * np.sqrt(ends[0].cofactor[4, 4])
    assert np.std([end.radius_mm for end in ends]) == pytest.approx(told, rel=0.15)
    lean = 0.05 * np.sqrt(ends[0].cofactor[2, 2])
    side = ends[0].across[:, 0]
    assert np.std([end.axis @ side for end in ends]) == pytest.approx(lean, rel=0.15)


@pytest.mark.parametrize(
    ("fit", "points"),
    [
        (plane_through, [[0, 0, 0], [1, 1, 1], [2, 2, 2]]),
        (plane_through, [[0, 0, 0], [1, 1, 1]]),
        (circle_through, [[0, 0], [1, 1], [2, 2]]),
        (circle_through, [[0, 0, 1], [1, 1, 1], [2, 2, 1]]),
        (circle_through, [[0, 0], [1, np.nan], [2, 1]]),
        (cylinder_through, np.column_stack([np.arange(8), np.arange(8) ** 2, np.zeros(8)])),
        (cylinder_through, np.eye(3)),
        (cylinder_through, [[1, 2]] * 6),
    ],
)
def test_what_determines_no_feature_is_refused(fit: Any, points: Any) -> None:
    with pytest.raises(ValueError, match=r"points"):
        fit(points)


def test_size_and_place_change_nothing() -> None:
    """Scaled by 1e-3 and by 1e4, and moved: the same cylinder, scaled and moved."""
    points, _ = _case("cyl_arc60_R23")
    one = cylinder_through(points)
    for size in (1e-3, 1e4):
        other = cylinder_through(points * size + 50.0 * size)
        assert other.radius_mm == pytest.approx(size * one.radius_mm, rel=1e-9)
        assert other.axis == pytest.approx(one.axis, abs=1e-9)
