"""Stated uncertainties and what they rest on, each part against a truth from outside the fit."""

from __future__ import annotations

import dataclasses
import math

import evaluate
import generator as g
import generator_scan as s
import numpy as np
import pytest
from test_fit import _sensor

from bayonet.scan.find import second_parts
from bayonet.scan.find.axis import Axis
from bayonet.scan.fit import joint
from bayonet.scan.fit.all_points import _without_outliers
from bayonet.scan.fit.correlation import Smooth, smooth
from bayonet.scan.fit.frame_points import Spots
from bayonet.scan.fit.labels import Labelled, State
from bayonet.scan.fit.residual_cells import Cells, cells_of, together
from bayonet.scan.fit.surface import Face, Shape, faces
from bayonet.scan.measure import fit

NOISE = 0.02


def _cylinder(seed: int, points: int = 8_000) -> tuple[np.ndarray, Spots]:
    """Points all over a cylinder of radius 16 and length 20: local, and as spots."""
    rng = np.random.default_rng(seed)
    theta, depth = rng.uniform(-math.pi, math.pi, points), rng.uniform(0.0, 20.0, points)
    local = np.column_stack([16.0 * np.cos(theta), 16.0 * np.sin(theta), -depth])
    return local, Spots(r=np.full(points, 16.0), theta=theta, depth=depth)


def _mean_fit(c: Spots, off: np.ndarray) -> tuple[Cells, np.ndarray]:
    """Cells after a fit of one number, the mean, and its inverse information."""
    jac = np.ones((1, len(off)))
    one = cells_of([0], jac, off - off.mean(), c, face=0, size=1)
    return together([one]), np.array([[1.0 / len(off)]])


@pytest.mark.parametrize("length", [2.0, 4.0, 7.0])
def test_a_smooth_field_is_found_with_what_it_does_to_a_mean(length: float) -> None:
    """Variance of a mean over points: s^2 times the mean of exp(-d^2 / 2 l^2) over pairs.

    The generator's field, whose s and l are given; six draws, for one says little of itself.
    """
    local, c = _cylinder(0)
    some = local[::8]
    apart = np.square(some[:, None] - some[None]).sum(axis=2)
    own = 0.6 * NOISE
    total, count = float(np.exp(-apart / (2.0 * length**2)).sum()), len(some)
    true = own**2 * (total - count) / (count**2 - count)
    variances, lengths = [], []
    for seed in range(6):
        rng = np.random.default_rng(seed)
        off = rng.normal(0.0, NOISE, len(local)) + own * s._field(local, length, rng)
        found = smooth(*_mean_fit(c, off), float((off - off.mean()).std()))
        variances.append(found.squares[0, 0] / len(local) ** 2)
        lengths.append(found.length_mm)
    assert math.sqrt(np.mean(variances)) == pytest.approx(math.sqrt(true), rel=0.3)
    assert float(np.median(lengths)) == pytest.approx(length, rel=0.35)


def test_white_noise_has_no_smooth_part() -> None:
    local, c = _cylinder(1)
    for seed in range(20):
        off = np.random.default_rng(seed).normal(0.0, NOISE, len(local))
        found = smooth(*_mean_fit(c, off), NOISE)
        assert found == Smooth(squares=found.squares, length_mm=0.0, sd_mm=0.0)
        assert not found.squares.any()


def _body() -> tuple[State, Face]:
    shape = Shape(steps=1, lugs=0, root=0, groove="none", holder=0, parallel=False,
                  has_rim=False, has_top=False)  # fmt: skip
    names = shape.all_names()
    p = np.array([16.0 if name == "body.0.r" else 20.0 if name == "body.0.end" else 0.0
                  for name in names])  # fmt: skip
    state = State(shape=shape, names=names, p=p, rotation=np.eye(3), origin=np.zeros(3))
    face = next(one for one in faces(shape) if one.name == "body.0")
    return state, face


def test_far_points_count_by_the_biweight() -> None:
    """At half the scale (1 - 1/4)^2 = 0.5625 of a point on the face; at the scale, nothing."""
    state, face = _body()
    off = np.array([0.0, 0.05, 0.1])
    c = Spots(r=16.0 + off, theta=np.zeros(3), depth=np.full(3, 10.0))
    rows = [Labelled(face=face, off=off, spots=c)]
    at = state.names.index("body.0.r")
    weighed = joint.normal(rows, state, 0.1)
    assert weighed.information[at, at] == pytest.approx(1.0 + 0.5625)
    assert weighed.right[at] == pytest.approx(-0.5625 * 0.05)
    even = joint.normal(rows, state, None)
    assert even.information[at, at] == pytest.approx(3.0)
    assert even.right[at] == pytest.approx(-0.15)


def test_outliers_on_one_side_hardly_move_a_radius() -> None:
    """A tenth of the points 0.15 outside: their mean, 15 um, without weights; next to none with."""
    state, face = _body()
    local, c = _cylinder(2, 5_000)
    off = np.random.default_rng(3).normal(0.0, 0.01, len(local))
    off[::10] += 0.15
    rows = [Labelled(face=face, off=off, spots=dataclasses.replace(c, r=16.0 + off))]
    fixed = np.array([name != "body.0.r" for name in state.names])
    free, at = joint.columns_of(state.names, fixed), state.names.index("body.0.r")
    steps = [joint.solved(joint.normal(rows, state, scale), free)[at] for scale in (0.05, None)]
    assert abs(steps[0]) < 0.001
    assert steps[1] == pytest.approx(0.015, abs=0.001)


def _box(rng: np.random.Generator, count: int) -> tuple[np.ndarray, np.ndarray]:
    """Points and normals of a box of 24 x 18 x 30 without ends."""
    which, spot = rng.integers(0, 4, count), rng.uniform(-1.0, 1.0, (count, 2))
    normal = np.array([[1.0, 0, 0], [-1.0, 0, 0], [0, 1.0, 0], [0, -1.0, 0]])[which]
    along_x = np.abs(normal[:, 0]) > 0.5
    xyz = np.column_stack([np.where(along_x, 12.0 * normal[:, 0], 12.0 * spot[:, 0]),
                           np.where(along_x, 9.0 * spot[:, 0], 9.0 * normal[:, 1]),
                           15.0 * spot[:, 1]])  # fmt: skip
    return xyz, normal


def test_facings_tell_a_turned_part_from_a_box() -> None:
    """Both senses of a normal count: a turned part faces all 18 ways of 20 deg, a box four."""
    up = Axis(point=np.zeros(3), way=np.array([0.0, 0.0, 1.0]))
    rng = np.random.default_rng(0)
    theta = rng.uniform(0.0, 2.0 * math.pi, 3_000)
    round_ = np.column_stack([np.cos(theta), np.sin(theta), np.zeros(3_000)])
    assert second_parts._facings(round_, up) == 18
    assert second_parts._facings(_box(rng, 3_000)[1], up) == 4


def test_a_box_beside_the_part_is_no_second_part() -> None:
    """Its faces meet its own middle line, as a turned part's do; but they face four ways only."""
    scan = s.scan(_sensor(), s.Nuisance(noise=0.02), points=8_000, seed=1)
    xyz, normal = (scan.xyz - scan.origin) @ scan.rotation, scan.normals @ scan.rotation
    rng = np.random.default_rng(4)
    narrow = rng.uniform(-1.2, 1.2, (4_000, 1)), rng.uniform(-15.0, 15.0, (4_000, 1))
    which = rng.integers(0, 4, 4_000)
    facing = np.array([[1.0, 0, 0], [-1.0, 0, 0], [0, 1.0, 0], [0, -1.0, 0]])[which]
    across = np.roll(facing, 1, axis=1) * [1, 1, 0]
    jaw = 12.0 * facing + narrow[0] * across + narrow[1] * [0.0, 0.0, 1.0] + [70.0, 0.0, 0.0]
    up = Axis(point=np.zeros(3), way=np.array([0.0, 0.0, 1.0]))
    both = np.vstack([xyz, jaw]), np.vstack([normal, facing])
    second_parts.refuse_second(*both, up, name="part")


def test_sides_are_told_parallel_on_narrow_chamfered_lugs() -> None:
    """Six lugs 3.9 wide and 2.3 high with a chamfer of 0.4, noise 0.03: the taper is 0.3 mm."""
    plug = g.random_plug(np.random.default_rng(12))
    result = fit(evaluate.as_points(s.scan(plug, s.Nuisance(noise=0.03), points=40_000, seed=12)))
    assert plug.parallel
    assert result.sides == "parallel"


def test_half_a_lug_is_not_called_worn_and_stray_points_move_no_width() -> None:
    """A lug whose other side is in the dark, with outliers there: depth and width are the others'.

    The lead is 12.5 mm a turn: half a lug's middle is off by degrees, its depth by tenths.
    """
    plug = g.random_plug(np.random.default_rng(36))
    nuisance = s.Nuisance(noise=0.02, sector=(30.7, 310.6), outliers=0.05)
    scan = s.scan(plug, nuisance, points=40_000, seed=36)
    result = fit(evaluate.as_points(scan))
    assert result.flags == ()
    told = evaluate.by_true_key(scan, result)
    assert told["lug.0.width_deg"].found == "by symmetry"
    for key, one in told.items():
        if key.startswith("lug.") and one.unit != "mm/rev":
            away = (one.value - scan.truth[key] + 180.0) % 360.0 - 180.0
            assert abs(away) < 4.0 * one.u, key


def test_a_hidden_sides_few_outliers_are_left_out() -> None:
    """Of sides with 100, 80 and 5 points the last goes; a turned face with as few stays."""
    shape = Shape(steps=1, lugs=2, root=0, groove="none", holder=0, parallel=False,
                  has_rim=False, has_top=False)  # fmt: skip
    by_name = {face.name: face for face in faces(shape)}
    counts = {"lug.0.side+1": 100, "lug.0.side-1": 80, "lug.1.side+1": 5, "body.0": 5}
    rows = [
        Labelled(face=by_name[name], off=np.zeros(count),
                 spots=Spots(r=np.ones(count), theta=np.zeros(count), depth=np.zeros(count)))
        for name, count in counts.items()
    ]  # fmt: skip
    left = {one.face.name: len(one.off) for one in _without_outliers(rows)}
    assert left == counts | {"lug.1.side+1": 0}
    assert all(len(one.off) == len(one.spots.r) for one in _without_outliers(rows))


def test_correlated_noise_is_not_called_wear() -> None:
    """Neighbours err together by 0.06 mm: a third of a flank lies off by as much, and is sound."""
    nuisance = s.Nuisance(noise=0.06, field=0.06, field_length=3.0)
    for seed in (1, 2):
        result = fit(evaluate.as_points(s.scan(_sensor(), nuisance, points=30_000, seed=seed)))
        assert result.flags == ()


def test_even_lugs_tell_together_what_none_tells_alone() -> None:
    """Eleven points a side: no lug shows its width, all three do; so it is by symmetry."""
    scan = s.scan(_sensor(), s.Nuisance(noise=0.02), points=25_000, seed=5)
    keep = np.ones(len(scan.xyz), dtype=bool)
    for number, face in enumerate(scan.faces):
        if ".side" in face.name:
            middle = np.abs(scan.local[:, 2] + 6.75) < 1.0  # clear of edges
            own = np.flatnonzero((scan.face == number) & middle)
            keep &= (scan.face != number) | np.isin(np.arange(len(keep)), own[:11])
    bare = dataclasses.replace(
        scan, xyz=scan.xyz[keep], local=scan.local[keep], face=scan.face[keep],
        normals=scan.normals[keep],
    )  # fmt: skip
    told = evaluate.by_true_key(bare, fit(evaluate.as_points(bare)))
    for i in range(3):
        one = told[f"lug.{i}.width_deg"]
        assert one.found == "by symmetry"
        assert one.value == pytest.approx(scan.truth[one.key], abs=3.0 * one.u)


def test_a_tapered_bodys_truth_is_half_way_along_it() -> None:
    """Taper 0.01 about half the nose's depth: each body off by 0.02 a mm of its middle from there.

    The mean over the points of a whole scan, by themselves, agrees.
    """
    plug = _sensor()
    scan = s.scan(plug, s.Nuisance(noise=0.0, taper=0.01), points=40_000, seed=1)
    local = (scan.xyz - scan.origin) @ scan.rotation
    r, _, depth = s._cylindrical(local)
    names = np.array([face.name for face in scan.faces])[scan.face]
    start = 0.0
    for i in range(plug.steps):
        end = plug.p[f"body.{i}.to_depth"]
        own = names == f"body.{i}"
        slope, level = np.polyfit(depth[own] - (start + end) / 2.0, 2.0 * r[own], 1)
        assert slope == pytest.approx(0.02)
        assert scan.truth[f"body.{i}.diameter"] == pytest.approx(level, abs=1e-9)
        start = end


def test_lugs_alike_but_not_quite_are_told_and_covered() -> None:
    """One flank 0.05 mm deeper, one lug 0.1 deg off its place: too little for another design."""
    plug = g.random_plug(np.random.default_rng(12), count=4, equal=True, layout="A")
    p = dict(plug.p)
    p["lug.1.bearing_depth"] += 0.05
    p["lug.2.centre_deg"] += 0.1
    for own, names in ((plug.p, ()), (p, ("middle", "depth of bearing flank"))):
        scan = s.scan(dataclasses.replace(plug, p=own), s.Nuisance(), points=40_000, seed=3)
        result = fit(evaluate.as_points(scan))
        said = [text for text in result.warnings if text.startswith("lugs differ in ")]
        assert [text.split(" by more")[0].removeprefix("lugs differ in ") for text in said] == [
            *names
        ]
        told = evaluate.by_true_key(scan, result)
        for i in range(4):
            for name in ("bearing_depth", "centre_deg"):
                one = told[f"lug.{i}.{name}"]
                away = (one.value - own[f"lug.{i}.{name}"] + 180.0) % 360.0 - 180.0
                assert abs(away) < 2.5 * one.u, one
                assert bool(names) == (one.u > 0.01)
    assert result.is_equal
    deeper = f"{p['lug.1.bearing_depth']:.2f}"
    assert deeper in said[1], said
    assert "+0.07" in said[0], said  # off the mean place of four by three quarters of 0.1 deg
