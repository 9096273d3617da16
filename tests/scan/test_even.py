"""Sparse and partial scans: the axis of a flat part, lands and floors, arcs, even sets.

Clouds are made by hand here, so that each rule is asked by itself.
"""

from __future__ import annotations

from types import SimpleNamespace

import evaluate
import numpy as np
import pytest
from tellable import untellable

from bayonet.errors import ScanError
from bayonet.scan.find import axis, structure
from bayonet.scan.find.arcs import (
    BODY,
    LUG,
    UNSEEN,
    Band,
    Spread,
    runs,
    seen_as,
    stands_in_pieces,
)
from bayonet.scan.find.common_axis import coaxial
from bayonet.scan.find.cylinders import Local, rings
from bayonet.scan.fit.refined import Labelled
from bayonet.scan.measure import fit
from bayonet.scan.uncertainty.evenness import is_uneven
from bayonet.scan.uncertainty.hidden_lugs import Completed, completed

BAND = Band(lug_r=20.0, root_r=16.0, low=4.0, high=8.0)
SHAPE = SimpleNamespace(lugs=3, root=0, parallel=False)


def test_the_axis_of_a_flat_part_among_strays() -> None:
    """Planes square to the axis hold seven of ten points, its cylinder one."""
    rng = np.random.default_rng(0)
    turn = rng.uniform(0.0, 2.0 * np.pi, 900)
    way = np.column_stack([np.cos(turn), np.sin(turn), 0.0 * turn])
    drum = 20.0 * way + rng.uniform(-8.0, 8.0, 900)[:, None] * [0.0, 0.0, 1.0]
    flat = np.column_stack([rng.uniform(-18.0, 18.0, (6_300, 2)), rng.choice([-8, 8], 6_300)])
    outlier = rng.uniform(-30.0, 30.0, (1_800, 3))
    any_way = rng.normal(size=(1_800, 3))
    any_way /= np.linalg.norm(any_way, axis=1)[:, None]
    xyz = np.vstack([drum, flat, outlier]) + np.array([5.0, -7.0, 2.0])
    normal = np.vstack([way, np.tile([0.0, 0.0, 1.0], (6_300, 1)), any_way])
    found = coaxial(xyz, normal, axis.seed(xyz, normal, name="lid"))
    assert abs(found.way[2]) == pytest.approx(1.0, abs=1e-4)
    assert found.point[:2] == pytest.approx([5.0, -7.0], abs=0.2)


def test_noisy_normals_do_not_tilt_a_short_part() -> None:
    """Normals 20 deg off, as a dense noisy mesh has them; planes hold half the points."""
    rng = np.random.default_rng(12)
    turn = rng.uniform(0.0, 2.0 * np.pi, 3_000)
    way = np.column_stack([np.cos(turn), np.sin(turn), 0.0 * turn])
    drum = 20.0 * way + rng.uniform(-3.0, 3.0, 3_000)[:, None] * [0.0, 0.0, 1.0]
    flat = np.column_stack([rng.uniform(-14.0, 14.0, (3_000, 2)), rng.choice([-3, 3], 3_000)])
    normal = np.vstack([way, np.tile([0.0, 0.0, 1.0], (3_000, 1))])
    normal += rng.normal(0.0, 0.25, normal.shape)
    normal /= np.linalg.norm(normal, axis=1)[:, None]
    xyz = np.vstack([drum, flat])
    seed = axis.seed(xyz, normal, name="lid")
    assert np.degrees(np.arccos(abs(seed.way[2]))) < 2.0
    assert np.hypot(*seed.point[:2]) < 0.3
    found = coaxial(xyz, normal, seed)
    assert np.degrees(np.arccos(abs(found.way[2]))) < 0.05


def test_a_cloud_has_no_axis() -> None:
    """Points and normals anywhere: one in eleven meets the best line."""
    rng = np.random.default_rng(13)
    normal = rng.normal(size=(8_000, 3))
    normal /= np.linalg.norm(normal, axis=1)[:, None]
    with pytest.raises(ScanError, match="no turned body"):
        axis.seed(rng.uniform(-20.0, 20.0, (8_000, 3)), normal, name="cloud")


def test_a_long_box_has_no_axis() -> None:
    """Four long sides, whose normals meet a line well here and there."""
    rng = np.random.default_rng(1)
    side = rng.integers(0, 4, 8_000)
    out = np.array([[1, 0, 0], [0, 1, 0], [-1, 0, 0], [0, -1, 0]], dtype=float)[side]
    along = np.cross(out, [0.0, 0.0, 1.0])
    xyz = 10.0 * out + rng.uniform(-10, 10, (8_000, 1)) * along
    xyz[:, 2] = rng.uniform(-60.0, 60.0, 8_000)
    with pytest.raises(ScanError, match="no turned body"):
        axis.seed(xyz, out, name="box")


def _cylinder(rng: np.random.Generator, r: float, low: float, high: float, radial: float) -> Local:
    count = int(60 * (high - low))
    axial = np.sqrt(1.0 - radial**2)
    return Local(r=np.full(count, r), theta=rng.uniform(0, 360, count),
                 depth=rng.uniform(low, high, count), radial=np.full(count, radial),
                 axial=np.full(count, axial))  # fmt: skip


def _joined(*parts: Local) -> Local:
    names = ("r", "theta", "depth", "radial", "axial")
    return Local(**{name: np.concatenate([getattr(p, name) for p in parts]) for name in names})


@pytest.mark.parametrize("narrow", ["near", "far"])
def test_a_land_too_narrow_to_face_is_a_land(narrow: str) -> None:
    """A groove 11 to 15 mm down; one of its lands is 1.3 mm long and faces askew by smearing."""
    rng = np.random.default_rng(2)
    ends = (9.7, 11.0, 15.0, 18.0) if narrow == "near" else (7.0, 11.0, 15.0, 16.3)
    skew = (0.6, 1.0) if narrow == "near" else (1.0, 0.6)
    local = _joined(_cylinder(rng, 16.0, *ends[:2], skew[0]), _cylinder(rng, 13.0, 11.0, 15.0, 1.0),
                    _cylinder(rng, 16.0, *ends[2:], skew[1]))  # fmt: skip
    outer = sorted(rings(local), key=lambda one: one.middle)
    assert len(outer) == 2
    whole = structure._with_lands(local, outer)
    assert [round(one.r) for one in whole] == [16, 13, 16]
    assert (whole[0].low, whole[2].high) == pytest.approx((ends[0], ends[3]), abs=0.35)
    assert structure._with_lands(local, whole) == whole


def test_no_land_is_made_where_no_points_are() -> None:
    rng = np.random.default_rng(3)
    local = _joined(_cylinder(rng, 13.0, 9.0, 15.0, 1.0), _cylinder(rng, 16.0, 15.0, 18.0, 1.0))
    outer = sorted(rings(local), key=lambda one: one.middle)
    assert structure._with_lands(local, outer) == outer


def _face(rng: np.random.Generator, r0: float, r1: float, depth: float, axial: float) -> Local:
    count = int(6 * (r1**2 - r0**2))
    return Local(r=np.sqrt(rng.uniform(r0**2, r1**2, count)), theta=rng.uniform(0, 360, count),
                 depth=depth + rng.normal(0, 0.02, count), axial=np.full(count, axial),
                 radial=np.full(count, np.sqrt(1.0 - axial**2)))  # fmt: skip


def test_a_face_groove_whose_floor_faces_askew() -> None:
    """2.5 mm wide, 1.6 mm deep at a radius of 8 mm; outliers alone are none."""
    rng = np.random.default_rng(4)
    face = _joined(_face(rng, 1.0, 8.0, 12.0, 1.0), _face(rng, 10.5, 15.0, 12.0, 1.0))
    floor = _face(rng, 8.0, 10.5, 10.4, 0.6)
    found = structure._face_groove(_joined(face, floor), 1.0, 15.0, 12.0)
    assert found == pytest.approx((8.0, 8.0, 10.5, 1.6), abs=0.15)
    outlier = Local(r=rng.uniform(8.0, 10.5, 400), theta=rng.uniform(0, 360, 400),
                  depth=rng.uniform(8.6, 11.5, 400), axial=np.zeros(400),
                  radial=np.ones(400))  # fmt: skip
    dense = _joined(*[face] * 5)
    assert structure._face_groove(_joined(dense, outlier), 1.0, 15.0, 12.0) is None


def test_the_nose_is_the_deepest_face_not_the_fullest() -> None:
    """A groove's floor 1 mm up in the nose, with twice the nose's points."""
    rng = np.random.default_rng(5)
    nose = _joined(_face(rng, 0.5, 4.0, 9.2, 1.0), _face(rng, 4.0, 9.0, 8.2, 1.0))
    last = structure.Body(r=10.0, low=0.5, high=8.6)
    assert structure._nose_depth(nose, last) == pytest.approx(9.2, abs=0.02)


def _points(theta: np.ndarray, r: np.ndarray, rng: np.random.Generator) -> Spread:
    return Spread(r=r, theta=theta % 360.0, depth=rng.uniform(4.5, 7.5, len(theta)))


def test_ten_points_in_a_sparse_part_are_a_lug() -> None:
    """One body point a degree, a lug of ten points at 200 deg, nothing from 300 to 340 deg."""
    rng = np.random.default_rng(6)
    body = np.concatenate([np.arange(0.0, 194.0), np.arange(207.0, 300.0), np.arange(340.0, 360.0)])
    lug = np.linspace(195.0, 205.0, 10)
    theta, r = np.append(body, lug), np.append(np.full(len(body), 16.0), np.full(10, 20.0))
    state = seen_as(_points(theta, r, rng), BAND).state
    (first, cells) = next(run for run in runs(state) if state[run[0]] == LUG)
    assert first / 2 == pytest.approx(195.0, abs=1.5)
    assert cells / 2 == pytest.approx(10.5, abs=2.5)
    assert (state[610:670] == UNSEEN).all()
    assert (state[:380] == BODY).all()


def test_outliers_where_nothing_was_seen_are_no_lug() -> None:
    """Evenly through the room: as many a volume above the lugs as at their radius."""
    rng = np.random.default_rng(7)
    body = rng.uniform(0.0, 200.0, 2_000)
    outlier = rng.uniform(0.0, 360.0, 200)
    theta = np.append(body, outlier)
    r = np.append(np.full(2_000, 16.0), rng.uniform(15.0, 21.4, 200))
    state = seen_as(_points(theta, r, rng), BAND).state
    assert not (state == LUG).any()
    assert (state[420:700] == UNSEEN).mean() > 0.9


def test_two_cylinders_with_a_plane_between_are_no_lugs() -> None:
    """A rim seen here and there, a groove's outer wall, and the shoulder they stand at."""
    rng = np.random.default_rng(11)
    theta = rng.uniform(0.0, 360.0, 6_000)
    kind = rng.choice(3, 6_000, p=[0.05, 0.05, 0.9])
    keep = (theta < 270.0) | (kind < 2)
    r = np.select([kind == 0, kind == 1], [20.0, 16.0], rng.uniform(16.5, 19.9, 6_000))
    depth = np.where(kind == 2, 3.9, rng.uniform(4.5, 7.5, 6_000))
    points = Spread(r=r[keep], theta=theta[keep], depth=depth[keep])
    assert not stands_in_pieces(points, BAND)


def test_two_cylinders_thinly_seen_are_no_lugs() -> None:
    """A face groove's walls: by chance an arc shows more of one than of the other."""
    rng = np.random.default_rng(39)
    r = np.concatenate([rng.normal(10.27, 0.02, 200), rng.normal(7.27, 0.02, 60)])
    points = Spread(r=r, theta=rng.uniform(0.0, 360.0, 260), depth=rng.uniform(12.3, 14.0, 260))
    assert not stands_in_pieces(points, Band(lug_r=10.27, root_r=7.27, low=12.29, high=14.0))


def _cloud(rng: np.random.Generator, sides: list[tuple[float, float]], count: int) -> np.ndarray:
    theta = rng.uniform(0.0, 360.0, count)
    on = np.any([(theta > low) & (theta < high) for low, high in sides], axis=0)
    return np.column_stack([np.where(on, 20.0, 16.0), theta, rng.uniform(4.8, 7.2, count)])


def test_outliers_where_body_was_not_seen_do_not_widen_a_lug() -> None:
    """Nothing was seen from 315 deg on but outliers, half of them above the lugs."""
    rng = np.random.default_rng(10)
    cloud = _cloud(rng, [(48, 72), (168, 192), (288, 312)], 900)
    cloud = cloud[cloud[:, 1] < 315.0]
    count = 500
    outlier = np.column_stack([rng.uniform(17.8, 22.2, count), rng.uniform(0.0, 360.0, count),
                             rng.uniform(4.8, 7.2, count)])  # fmt: skip
    assert not is_uneven(np.vstack([cloud, outlier]), _end(), SHAPE, _even())


def _end() -> SimpleNamespace:
    values = {"body.0.diameter": 32.0}
    for i in range(3):
        values |= {f"lug.{i}.outer_diameter": 40.0, f"lug.{i}.bearing_depth": 4.0,
                   f"lug.{i}.thickness": 4.0, f"lug.{i}.centre_deg": 60.0 + 120.0 * i,
                   f"lug.{i}.width_deg": 24.0}  # fmt: skip
    return SimpleNamespace(values=values, noise=0.02)


def _even(place: tuple[int, ...] = (0, 1, 2), total: int = 3) -> Completed:
    return Completed(total=total, place=place, first_deg=60.0, sure=(False,) * 3, fills=True,
                     hidden=np.zeros(120, dtype=bool))  # fmt: skip


@pytest.mark.parametrize(
    ("last", "uneven"), [((288.0, 312.0), False), ((288.0, 317.0), True), ((292.5, 312.0), True)]
)
def test_a_lug_wider_or_narrower_than_the_others_speaks(
    last: tuple[float, float], uneven: bool
) -> None:
    """Two points a degree; the third lug's side is 5 deg off where the set's would be."""
    cloud = _cloud(np.random.default_rng(8), [(48, 72), (168, 192), last], 700)
    assert is_uneven(cloud, _end(), SHAPE, _even()) is uneven


def test_body_where_a_hidden_lug_is_supposed_speaks() -> None:
    """Three lugs seen 60 deg apart, of six supposed; the others' places show body."""
    rng = np.random.default_rng(9)
    cloud = _cloud(rng, [(48, 72), (108, 132), (168, 192)], 900)
    six = _even((0, 1, 2), 6)
    assert is_uneven(cloud, _end(), SHAPE, six)
    hidden = cloud[(cloud[:, 1] > 20.0) & (cloud[:, 1] < 215.0)]
    assert not is_uneven(hidden, _end(), SHAPE, six)


def test_a_part_of_a_lug_does_not_make_a_set_uneven() -> None:
    """The third of three shows 3 of its 40 deg; its fitted width says nothing."""
    end = _end()
    end.values |= {"lug.0.width_deg": 40.0, "lug.1.width_deg": 40.0}
    end.values |= {"lug.2.centre_deg": 281.5, "lug.2.width_deg": 3.0}
    names = ("body.0", *(f"lug.{i}.side{way:+d}" for i in range(3) for way in (-1, 1)))
    face = np.repeat(np.arange(7), [400, 20, 20, 20, 20, 20, 15])
    theta = np.concatenate([np.linspace(0.0, 283.0, 400), np.zeros(115)])
    end.labelled = Labelled(names=names, face=face, theta=theta, r=theta, depth=theta,
                            residual=theta)  # fmt: skip
    unseen = np.arange(720) > 566
    found = completed(end, SHAPE, unseen, (True, True, False))
    assert found.total == 3
    assert found.sure == (True, True, False)
    assert not found.fills


@pytest.mark.parametrize(
    ("seed", "why"),
    [(34, "1 lug with both"), (37, "deg not in view"), (613, "not in view"), (16, "")],
)
def test_the_harness_tells_what_a_scan_does_not_show(seed: int, why: str) -> None:
    """Two lugs and one hidden; uneven with a wide gap; the odd lug hidden; all in view."""
    scan = evaluate.made(seed, points=80_000, clean=False, correlated=False, mesh=False)
    told = untellable(scan)
    assert why in told
    assert bool(why) == bool(told)


@pytest.mark.parametrize("seed", [424, 649, 2108])
def test_structure_of_sparse_scans(seed: int) -> None:
    """Mostly planes and outliers, where no axis was found; an odd width seen by a few points.

    And uneven lugs with too few points of the body for a cell each, but no room for another lug.
    """
    scan = evaluate.made(seed, points=80_000, clean=False, correlated=False, mesh=False)
    assert evaluate.structure_errors(scan, fit(evaluate.as_points(scan))) == []


def test_a_part_of_a_lug_has_no_width_of_its_own() -> None:
    """One side of a lug and hardly more shows: no width of a millimetre is told of it."""
    scan = evaluate.made(830, points=80_000, clean=False, correlated=False, mesh=False)
    result = fit(evaluate.as_points(scan))
    assert evaluate.structure_errors(scan, result) == []
    told = evaluate.by_true_key(scan, result)
    width = next(one for key, one in told.items() if key.startswith("lug.0.width"))
    assert width.found != "measured"
