"""Structure and its guards: plates, lugs by angle, flanks by crowding, the outer face as witness.

Truth is the generator's own; it shares no code with the package.
"""

from __future__ import annotations

import dataclasses

import evaluate
import generator as g
import generator_scan as s
import numpy as np
import pytest

from bayonet.errors import ScanError
from bayonet.scan.find.arcs import Band, Spread, stands_in_pieces
from bayonet.scan.find.axis import Axis
from bayonet.scan.find.fixtures import plates
from bayonet.scan.find.flanks import flanks_of, sharpest_slope
from bayonet.scan.find.lugs import lugs
from bayonet.scan.find.normals import principal
from bayonet.scan.fit import parameters
from bayonet.scan.fit.flank_check import contradicted
from bayonet.scan.fit.frame_points import Spots
from bayonet.scan.fit.labels import State
from bayonet.scan.measure import fit
from bayonet.scan.read.points import ScanPoints

BAND = Band(lug_r=20.0, root_r=16.0, low=4.0, high=8.0)


def _ring(rng: np.random.Generator, middles: list[float], half: float, thin: float) -> Spread:
    """Lugs on a body; density falls to `thin` of the most, once round."""
    theta = rng.uniform(0.0, 360.0, 12_000)
    theta = theta[rng.random(len(theta)) < thin + (1.0 - thin) * np.cos(np.radians(theta / 2)) ** 2]
    is_lug = np.any([np.abs((theta - at + 180.0) % 360.0 - 180.0) < half for at in middles], axis=0)
    r = np.where(is_lug, 20.0, 16.0) + rng.normal(0.0, 0.02, len(theta))
    return Spread(r=r, theta=theta, depth=rng.uniform(4.0, 8.0, len(theta)))


def test_lugs_are_counted_whatever_the_density() -> None:
    """Three lugs 24 deg wide, points twenty times denser on one side: none missed, none split."""
    points = _ring(np.random.default_rng(0), [20.0, 140.0, 260.0], 12.0, 0.05)
    found = lugs(points, BAND)
    assert [round(one.centre / 10.0) * 10 for one in found] == [20, 140, 260]
    assert all(abs(one.half - 12.0) < 2.0 for one in found)


def test_what_was_not_seen_makes_no_lug_and_no_gap() -> None:
    """Nothing seen from 145 to 200 deg, across the end of a lug: two lugs, one of them open."""
    points = _ring(np.random.default_rng(1), [20.0, 140.0, 260.0], 12.0, 1.0)
    keep = ~((points.theta > 145.0) & (points.theta < 200.0))
    cut = Spread(r=points.r[keep], theta=points.theta[keep], depth=points.depth[keep])
    found = lugs(cut, BAND)
    assert len(found) == 3
    assert [one.is_whole for one in found] == [True, False, True]


def test_two_walls_at_the_same_angles_are_no_lugs() -> None:
    rng = np.random.default_rng(2)
    theta = rng.uniform(0.0, 360.0, 6_000)
    r = np.where(rng.random(6_000) < 0.5, 20.0, 16.0)
    points = Spread(r=r, theta=theta, depth=rng.uniform(4.0, 8.0, 6_000))
    assert not stands_in_pieces(points, BAND)


def _lug(rng: np.random.Generator) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Angle, depth, whether outer: flanks at 3 and 7, outer face between, a plane at 1.5."""
    angle = rng.uniform(-12.0, 12.0, 1_500)
    depth = np.concatenate([np.full(400, 3.0), np.full(400, 7.0), rng.uniform(3.0, 7.0, 400),
                            np.full(300, 1.5)])  # fmt: skip
    outer = np.zeros(1_500, dtype=bool)
    outer[800:1_200] = True
    return angle, depth + 0.02 * angle + rng.normal(0.0, 0.02, 1_500), outer


def test_flanks_are_not_taken_from_a_plane_beyond_a_gap() -> None:
    """The shoulder 1.5 mm before the bearing flank crowds as much and is not it."""
    angle, depth, outer = _lug(np.random.default_rng(3))
    slope = sharpest_slope([(angle, depth)], steepest=0.07)
    assert slope == pytest.approx(0.02, abs=0.003)
    ((bearing, leading),) = flanks_of([depth - slope * angle], [outer])
    assert bearing == pytest.approx(3.0, abs=0.03)
    assert leading == pytest.approx(7.0, abs=0.03)


def test_a_plate_that_leans_on_the_rim_is_found_and_a_cylinder_is_none() -> None:
    rng = np.random.default_rng(4)
    turn, up = rng.uniform(0.0, 2.0 * np.pi, 4_000), rng.uniform(-4.0, 4.0, 4_000)
    way = np.column_stack([np.cos(turn), np.sin(turn), 0.0 * turn])
    drum = 25.0 * way + up[:, None] * [0.0, 0.0, 1.0]
    flat = np.column_stack(
        [np.full(600, 25.0), rng.uniform(-30, 30, 600), rng.uniform(-20, 9, 600)]
    )
    axis = Axis(point=np.zeros(3), way=np.array([0.0, 0.0, 1.0]))
    both = np.vstack([drum, flat]), np.vstack([way, np.tile([1.0, 0.0, 0.0], (600, 1))])
    (found,) = plates(*both, axis)
    assert found.out == pytest.approx([1.0, 0.0, 0.0], abs=1e-6)
    assert found.point[0] == pytest.approx(25.0, abs=1e-6)
    assert plates(drum, way, axis) == []


@pytest.fixture(scope="module")
def fitted() -> tuple[s.Scan, Spots, State, float]:
    """A scan and the state its fit ends in."""
    plug = g.random_plug(np.random.default_rng(12), count=4, equal=True, layout="A")
    scan = s.scan(plug, s.Nuisance(noise=0.02), points=50_000, seed=12)
    kept: list[tuple[Spots, State, float]] = []
    asked = parameters.contradicted

    def listening(c: Spots, state: State, noise: float) -> dict[int, tuple[str, ...]]:
        kept.append((c, state, noise))
        return asked(c, state, noise)

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(parameters, "contradicted", listening)
        fit(evaluate.as_points(scan))
    return scan, *kept[-1]


@pytest.mark.parametrize("away", [-1.5, 0.8])
def test_a_flank_put_elsewhere_is_contradicted(
    fitted: tuple[s.Scan, Spots, State, float], away: float
) -> None:
    """What the outer face says of the right flank, and of one moved by hand."""
    _, c, state, noise = fitted
    assert contradicted(c, state, noise) == {}
    p = state.p.copy()
    p[state.names.index("lug.1.bearing")] += away
    p[state.names.index("lug.1.thickness")] -= away
    moved = dataclasses.replace(state, p=p)
    assert contradicted(c, moved, noise) == {1: ("bearing",)}


@pytest.mark.parametrize("seed", [3, 16, 28])
def test_structure_under_outliers_plates_and_uneven_density(seed: int) -> None:
    """A plate on the rim, tenfold density, outliers, a hidden sector, noise that is not white."""
    scan = evaluate.made(seed, points=80_000, clean=False, correlated=False, mesh=False)
    outcome = evaluate.judged(scan)
    assert [outcome.refused, outcome.crashed, outcome.structure] == ["", "", []]


def test_one_lug_of_two_seen_is_refused() -> None:
    scan = evaluate.made(34, points=80_000, clean=False, correlated=False, mesh=False)
    assert "nothing tells where others are" in evaluate.judged(scan).refused


@pytest.mark.parametrize("seed", [8025, 8036])
def test_depths_start_at_the_shoulder_or_not_at_all(seed: int) -> None:
    """Few points, or much noise: a table, the shoulder's top, a lug's flank are not the shoulder.

    Taken for it, or for a step, they moved every depth by millimetres, with a u of micrometres.
    """
    rng = np.random.default_rng(seed)
    plug, nuisance = g.random_plug(rng), s.random_nuisance(rng)
    count = int(rng.choice([3_000, 8_000, 20_000]))
    scan = s.scan(plug, dataclasses.replace(nuisance, inch=False), points=count, seed=seed)
    try:
        result = fit(ScanPoints(xyz_mm=scan.xyz, name="scan"))
    except ScanError:
        return
    told = evaluate.by_true_key(scan, result)
    for key in (f"body.{i}.to_depth" for i in range(plug.steps)):
        assert told[key].value == pytest.approx(plug.p[key], abs=0.1), key


def test_points_named_many_times_count_once() -> None:
    """A table of triangles' corners names each six times; a scanner's 'no return' is one place."""
    scan = s.scan(g.random_plug(np.random.default_rng(3)), s.Nuisance(), points=20_000, seed=3)
    lost = np.full((30_000, 3), 500.0)
    many = np.vstack([np.repeat(scan.xyz, 6, axis=0), lost])
    once, repeated = (fit(ScanPoints(xyz_mm=xyz, name="scan")) for xyz in (scan.xyz, many))
    assert repeated.lugs == once.lugs
    u = [{one.key: one.u for one in result.features} for result in (once, repeated)]
    assert u[1]["body.0.diameter"] == pytest.approx(u[0]["body.0.diameter"], rel=0.3)


def test_two_lugs_at_one_place_are_refused() -> None:
    """Hidden flanks and a vice at its side: one of two lugs was found twice."""
    scan = evaluate.made(2211, points=80_000, clean=False, correlated=False, mesh=False)
    assert "two lugs found at one place" in evaluate.judged(scan).refused


def test_principal_axes_in_closed_form_are_those_of_lapack() -> None:
    """numpy.linalg.eigh (LAPACK) on 500 clouds as flat as neighbours in a scan, leaning anyhow."""
    rng = np.random.default_rng(6)
    cloud = rng.normal(size=(500, 20, 3)) * [1.0, 0.7, 0.05]
    turn = np.linalg.qr(rng.normal(size=(500, 3, 3)))[0]
    square = np.einsum("nki,nkj->nij", cloud @ turn, cloud @ turn)
    pairs = ((0, 0), (1, 1), (2, 2), (0, 1), (1, 2), (0, 2))
    values, ways = principal(np.stack([square[:, i, j] for i, j in pairs]))
    expected, vectors = np.linalg.eigh(square)
    assert values == pytest.approx(expected, rel=1e-9)
    assert np.abs(np.einsum("ni,ni->n", ways, vectors[:, :, 0])) == pytest.approx(1.0, abs=1e-12)
