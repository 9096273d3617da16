"""The generator itself: surfaces against a second way to them, and the bound against trials."""

from __future__ import annotations

import generator as g
import generator_bound as b
import generator_scan as s
import numpy as np
import pytest

SEEDS = range(12)


@pytest.mark.parametrize("seed", SEEDS)
def test_points_lie_on_their_faces_and_normals_point_outwards(seed: int) -> None:
    """Parametric and implicit forms were written apart; they must meet."""
    plug = g.random_plug(np.random.default_rng(seed))
    scan = s.scan(plug, s.Nuisance(noise=0.0), points=6000, seed=seed)
    for index, face in enumerate(scan.faces):
        here = scan.local[scan.face == index]
        if len(here):
            off = face.implicit(*s._cylindrical(here), plug.p)
            assert np.abs(off).max() < 1e-9, face.name
    assert np.linalg.norm(scan.normals, axis=1) == pytest.approx(1.0)
    back = (scan.xyz - scan.origin) @ scan.rotation
    assert np.allclose(back, scan.local, atol=1e-9)
    rim = scan.face == next(i for i, f in enumerate(scan.faces) if f.name == "rim")
    assert np.einsum("ij,ij->i", scan.normals @ scan.rotation, scan.local)[rim].min() > 0


@pytest.mark.parametrize("hand", ["right", "left"])
def test_a_lug_is_deeper_towards_lock(hand: str) -> None:
    """Right hand: clockwise seen from outside locks, theta falls, the lug goes deeper."""
    plug = g.random_plug(np.random.default_rng(4), flat=False, hand=hand)
    angle = np.array([-0.05, 0.05])
    first, last = g.bearing_at(plug, 0, angle, plug.p)
    assert (last > first) == (hand == "left")


def test_bound_is_what_least_squares_reaches() -> None:
    """200 noisy draws through the linear model: scatter within 15 % of the bound."""
    plug = g.random_plug(np.random.default_rng(8), count=3, equal=False, layout="A")
    scan = s.scan(plug, s.Nuisance(noise=0.02), points=4000, seed=1)
    limit = b.bound(scan)
    keys, information = b.information_of(scan)
    rng = np.random.default_rng(0)
    keep = [i for i, key in enumerate(keys) if np.isfinite(limit.u[key])]
    lead = [i for i in keep if keys[i].endswith("lead")]
    rest = [i for i in keep if i not in lead]
    maker = np.zeros((len(keys), len(rest) + 1))
    maker[rest, range(len(rest))] = 1.0
    maker[lead, -1] = 1.0
    reduced = maker.T @ information @ maker
    half = np.linalg.cholesky(reduced)
    draws = np.linalg.solve(reduced, half @ rng.normal(size=(len(reduced), 4000)))
    for row, i in enumerate(rest):
        assert draws[row].std() == pytest.approx(limit.u[keys[i]], rel=0.15)


def test_bound_of_a_plain_circle_by_hand() -> None:
    """The groove's bottom, seen all round: u(diameter) >= 2 noise / sqrt(points), and near it."""
    plug = g.random_plug(np.random.default_rng(3), layout="A")
    scan = s.scan(plug, s.Nuisance(noise=0.02), points=30000, seed=1)
    bottom = [i for i, face in enumerate(scan.faces) if face.name == "groove.bottom"]
    count = int(np.isin(scan.face, bottom).sum())
    alone = 2 * 0.02 / np.sqrt(count)
    assert alone <= b.bound(scan).u["groove.diameter"] < 1.1 * alone


def test_what_is_not_seen_has_no_bound() -> None:
    plug = g.random_plug(np.random.default_rng(6), count=4, equal=False)
    middle = plug.p["lug.2.centre_deg"]
    scan = s.scan(plug, s.Nuisance(sector=(middle + 45, middle + 315)), points=30000, seed=1)
    limit = b.bound(scan, share=False).u
    assert np.isinf(limit["lug.2.outer_diameter"])
    assert np.isfinite(limit["lug.0.outer_diameter"])


def test_line_of_sight_hides_what_faces_away() -> None:
    """Seen from the tank end only, bearing flanks give no points and leading flanks do."""
    plug = g.random_plug(np.random.default_rng(2), layout="A", flat=True)
    scan = s.scan(plug, s.Nuisance(line_of_sight=(20.0, 50.0), top=False), points=40000, seed=2)
    names = [scan.faces[i].name for i in np.unique(scan.face)]
    assert not [name for name in names if name.endswith("bearing")]
    assert [name for name in names if name.endswith("leading")]


def test_field_has_its_length_and_white_noise_its_size() -> None:
    rng = np.random.default_rng(1)
    local = rng.uniform(-30, 30, (4000, 3))
    near = local + rng.normal(size=(4000, 3)) * 3.0 / np.sqrt(3)
    both = s._field(np.vstack([local, near]), 3.0, np.random.default_rng(2))
    one, other = both[:4000], both[4000:]
    gap = np.linalg.norm(local - near, axis=1)
    assert one.std() == pytest.approx(1.0, rel=0.15)
    expected = np.exp(-(gap**2) / (2 * 3.0**2)).mean()
    assert np.mean(one * other) == pytest.approx(expected, abs=0.12)


def test_mesh_triangles_face_outwards() -> None:
    plug = g.random_plug(np.random.default_rng(7))
    scan = s.scan(plug, s.Nuisance(noise=0.0), points=5000, seed=1, mesh=True)
    triangles = s.outward(scan)
    assert triangles is not None
    a, b_, c = (scan.xyz[triangles[:, k]] for k in range(3))
    facing = np.einsum("ij,ij->i", np.cross(b_ - a, c - a), scan.normals[triangles[:, 0]])
    assert (facing >= 0).all()
