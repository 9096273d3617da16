"""What is measured after the joint fit, on points made by hand: values, and scatter against u."""

from __future__ import annotations

import math

import numpy as np
import pytest

from bayonet.errors import ScanError
from bayonet.scan.find.axis import Axis
from bayonet.scan.find.second_parts import refuse_second
from bayonet.scan.fit.faces import Shape
from bayonet.scan.fit.frame_points import Spots, spots
from bayonet.scan.fit.parameters import state_of
from bayonet.scan.fit.refined import Labelled, Pose, Refined
from bayonet.scan.fit.wear import worn
from bayonet.scan.uncertainty.ends import nose_chamfer, shoulder_thickness
from bayonet.scan.uncertainty.ends_and_leads import beside
from bayonet.scan.uncertainty.flank_lines import disagreeing, flank_lines
from bayonet.scan.uncertainty.form import form_of

SHAPE = Shape(lugs=3, bodies=1, root=0, groove="none", sign=-1, parallel=False)
NOISE, LEAD, THICK = 0.02, 6.0, 4.02
DRAWS = 60


def _values() -> dict[str, float]:
    found = {"shoulder_diameter": 50.0, "body.0.diameter": 32.0, "body.0.to_depth": 20.0,
             "lead": LEAD}  # fmt: skip
    for i in range(3):
        own = {"centre_deg": 30.0 + 120.0 * i, "width_deg": 28.0, "outer_diameter": 40.0,
               "bearing_depth": 5.0, "thickness": 3.5}  # fmt: skip
        found |= {f"lug.{i}.{name}": value for name, value in own.items()}
    return found


def _end(seen: Labelled | None = None) -> Refined:
    none = np.zeros(0)
    nothing = Labelled(r=none, theta=none, depth=none, face=none.astype(int), residual=none,
                       names=())  # fmt: skip
    return Refined(
        pose=Pose(rotation=np.eye(3), origin=np.zeros(3)), values=_values(), keys=(),
        information=np.zeros((0, 0)), scatter=np.zeros((0, 0)), noise=NOISE,
        labelled=seen or nothing,
    )  # fmt: skip


def _xyz(r: np.ndarray, theta: np.ndarray, depth: np.ndarray) -> np.ndarray:
    return np.column_stack([r * np.cos(theta), r * np.sin(theta), -depth])


def _seen(xyz: np.ndarray) -> Spots:
    return spots(xyz, np.eye(3), np.zeros(3))


def _flanks(rng: np.random.Generator, leads: dict[tuple[int, str], float]) -> np.ndarray:
    """Both flanks of every lug, right hand, with noise along their normals."""
    parts = []
    for i in range(3):
        for kind, level in (("bearing", 5.0), ("leading", 8.5)):
            lead = leads.get((i, kind), LEAD)
            r, away = rng.uniform(16.3, 19.7, 220), np.radians(rng.uniform(-13.5, 13.5, 220))
            steep = np.hypot(1.0, lead / (2 * math.pi * r))
            depth = level - lead * away / (2 * math.pi) + rng.normal(0, NOISE, 220) * steep
            parts.append(_xyz(r, away + math.radians(30.0 + 120.0 * i), depth))
    return np.vstack(parts)


def test_each_flank_has_its_own_lead_and_its_scatter_is_what_it_says() -> None:
    odd = {(1, "bearing"): 7.0}
    ends = [flank_lines(_seen(_flanks(np.random.default_rng(n), odd)), _end(), SHAPE)
            for n in range(DRAWS)]  # fmt: skip
    assert {len(lines) for lines in ends} == {6}
    values = np.array([[one.lead_mm_per_rev for one in lines] for lines in ends])
    said = np.array([[one.u for one in lines] for lines in ends]).mean(axis=0)
    truth = [odd.get((one.lug, one.kind), LEAD) for one in ends[0]]
    assert np.abs(values.mean(axis=0) - truth).max() < 5 * said.max() / math.sqrt(DRAWS)
    assert np.sqrt(np.mean(values.std(axis=0) ** 2)) == pytest.approx(said.mean(), rel=0.12)


def test_flanks_that_disagree_are_named_and_the_others_speak() -> None:
    wide = dict.fromkeys(range(3), 28.0)
    rng = np.random.default_rng(1)
    lines = flank_lines(_seen(_flanks(rng, {})), _end(), SHAPE)
    assert disagreeing(lines, wide, 1.0) == ()
    one = beside(_seen(_flanks(rng, {(1, "bearing"): 8.0})), _end(), SHAPE).leads(wide, 1.0, 1.0)
    assert [lug for lug, _ in one.flags] == [1]
    assert "bearing" in one.flags[0][1]
    assert math.isnan(one.own[1][0])  # its two flanks disagree
    assert one.common is not None
    assert one.common[0] == pytest.approx(LEAD, abs=4 * one.common[1])
    both = {(2, "bearing"): 8.0, (2, "leading"): 8.0}
    other = beside(_seen(_flanks(rng, both)), _end(), SHAPE).leads(wide, 1.0, 1.0)
    assert other.own[2][0] == pytest.approx(8.0, abs=4 * other.own[2][1])
    assert (
        not beside(_seen(_flanks(rng, both)), _end(), SHAPE).leads(wide, 40.0, 1.0).flags
    )  # too much uncertainty


def _top(rng: np.random.Generator, *, table: bool = False) -> np.ndarray:
    """The rim and the flat face that ends it, or a table's."""
    theta = rng.uniform(0, 2 * math.pi, 3000)
    reach = 35.0 if table else 25.0
    flat = _xyz(reach * np.sqrt(rng.random(3000)), theta, rng.normal(-THICK, NOISE, 3000))
    rim = _xyz(rng.normal(25.0, NOISE, 800), theta[:800], -rng.uniform(0.0, THICK, 800))
    return np.vstack([flat, rim])


def test_shoulder_thickness_is_told_by_the_face_and_not_by_a_table() -> None:
    ends = [shoulder_thickness(_seen(_top(np.random.default_rng(n))), _end()) for n in range(DRAWS)]
    values, said = np.array([e.value_mm for e in ends]), ends[0].u_mm
    assert values.mean() == pytest.approx(THICK, abs=5 * said / math.sqrt(DRAWS))
    assert values.std() == pytest.approx(said, rel=0.35)
    assert ends[0].share == 1.0
    table = shoulder_thickness(_seen(_top(np.random.default_rng(0), table=True)), _end())
    assert math.isnan(table.value_mm)
    assert "table" in table.note


def _nose(rng: np.random.Generator, leg: float, *, rounded: bool = False) -> np.ndarray:
    count = 600
    theta, t = rng.uniform(0, 2 * math.pi, count), rng.random(count)
    if rounded:
        turn = t * math.pi / 2
        a, b = leg * (1 - np.cos(turn)), leg * (1 - np.sin(turn))
    else:
        a, b = leg * t, leg * (1 - t)
    off = rng.normal(0, NOISE / math.sqrt(2), count)
    return _xyz(16.0 - a + off, theta, 20.0 - b + off)


@pytest.mark.parametrize("leg", [0.5, 1.0, 2.0])
def test_nose_chamfer_and_its_scatter(leg: float) -> None:
    ends = [nose_chamfer(_seen(_nose(np.random.default_rng(n), leg)), _end(), SHAPE)
            for n in range(DRAWS)]  # fmt: skip
    values, said = np.array([e.value_mm for e in ends]), float(np.mean([e.u_mm for e in ends]))
    assert values.mean() == pytest.approx(leg, abs=5 * said / math.sqrt(DRAWS))
    assert values.std() == pytest.approx(said, rel=0.3)


def test_a_rounded_nose_has_no_chamfer() -> None:
    for n in range(5):
        found = nose_chamfer(
            _seen(_nose(np.random.default_rng(n), 1.5, rounded=True)), _end(), SHAPE
        )
        assert math.isnan(found.value_mm)
        assert "no chamfer" in found.note or "too few" in found.note


def test_form_of_a_body_by_hand() -> None:
    """With r = R + 0.03 cos 2 theta the largest less the smallest diameter is 4 x 0.03.

    r grows by 0.001 per mm: diameter by 0.002.
    """
    rng = np.random.default_rng(0)
    theta, depth = rng.uniform(-180, 180, 4000), rng.uniform(1, 12, 4000)
    noise = rng.normal(0, NOISE, 4000)
    off = 0.03 * np.cos(2 * np.radians(theta - 20)) + 0.001 * (depth - 6.5) + noise
    seen = Labelled(r=16.0 + off, theta=theta, depth=depth, face=np.zeros(4000, dtype=int),
                    residual=off, names=("body.0",))  # fmt: skip
    told = {one.key: one for one in form_of(_end(seen))}
    oval, taper = told["body.0.ovality"], told["body.0.taper"]
    assert oval.value == pytest.approx(0.12, abs=4 * oval.u)
    assert taper.value == pytest.approx(0.002, abs=4 * taper.u)
    assert oval.u == pytest.approx(4 * NOISE * math.sqrt(2 / 4000), rel=0.05)
    assert taper.u == pytest.approx(2 * NOISE / math.sqrt(4000) / (11 / math.sqrt(12)), rel=0.05)


@pytest.mark.parametrize("sector", [360.0, 250.0])
def test_ovality_is_not_taken_for_a_body_that_stands_off(sector: float) -> None:
    """Two bodies, the second oval and partly seen: it is coaxial all the same."""
    rng = np.random.default_rng(2)
    theta = rng.uniform(0, sector, 6000)
    off = 0.04 * np.cos(2 * np.radians(theta)) + rng.normal(0, NOISE, 6000)
    face = np.sort((rng.random(6000) < 0.5).astype(int))
    off[face == 0] -= 0.04 * np.cos(2 * np.radians(theta[face == 0]))
    radius, low = np.where(face == 1, 13.0, 16.0), np.where(face == 1, 14.0, 1.0)
    seen = Labelled(r=radius + off, theta=theta, depth=low + rng.uniform(0, 9, 6000), face=face,
                    residual=off, names=("body.0", "body.1"))  # fmt: skip
    told = {one.key: one for one in form_of(_end(seen))}
    assert told["body.1.ovality"].value == pytest.approx(0.16, abs=4 * told["body.1.ovality"].u)
    for name in ("body.0", "body.1"):
        one = told[f"{name}.coaxiality"]
        assert one.value < 4 * one.u + 2 * told[f"{name}.ovality"].u


@pytest.mark.parametrize(("pocket", "found"), [(0.0, {}), (0.15, {1: -0.15})])
def test_a_pocket_in_a_flank_is_found_though_no_lead_changes(
    pocket: float, found: dict[int, float]
) -> None:
    """The middle third of one bearing flank lies deeper: material is lost, outwards is plus."""
    xyz = _flanks(np.random.default_rng(4), {})
    theta, depth = np.degrees(np.arctan2(xyz[:, 1], xyz[:, 0])), -xyz[:, 2]
    worn_here = (np.abs(theta - 150.0) < 4.7) & (np.abs(depth - 5.0) < 0.6)
    xyz[worn_here, 2] -= pocket
    pose = Pose(rotation=np.eye(3), origin=np.zeros(3))
    told = worn(_seen(xyz), state_of(SHAPE, _values(), pose), NOISE, 0.3)
    assert told.keys() == found.keys()
    for lug, off in found.items():
        assert told[lug] == pytest.approx(off, abs=0.03)


def test_jaws_beside_a_part_are_no_second_part() -> None:
    """Two long flat jaws have a line all their normals meet, and face two ways only."""
    rng = np.random.default_rng(6)
    theta = rng.uniform(0, 2 * math.pi, 4000)
    part = _xyz(np.full(4000, 16.0), theta, rng.uniform(0, 20, 4000))
    facing = _xyz(np.ones(4000), theta, np.zeros(4000))
    jaws, ways = [], []
    for way in (1.0, -1.0):
        spots = rng.uniform(-1, 1, (800, 2)) * [2.0, 30.0]
        jaws.append(np.column_stack([np.full(800, 60.0 + 8.0 * way), *spots.T]))
        ways.append(np.tile([way, 0.0, 0.0], (800, 1)) + rng.normal(0, 0.05, (800, 3)))
    xyz, normal = np.vstack([part, *jaws]), np.vstack([facing, *ways])
    normal /= np.linalg.norm(normal, axis=1, keepdims=True)
    own = Axis(point=np.zeros(3), way=np.array([0.0, 0.0, 1.0]))
    refuse_second(xyz, normal, own, name="part")
    other = _xyz(np.full(1600, 9.0), theta[:1600], rng.uniform(0, 20, 1600)) + np.array(
        [60.0, 0, 0]
    )
    with pytest.raises(ScanError, match="60 mm and"):
        refuse_second(np.vstack([part, other]), np.vstack([facing, facing[:1600]]), own,
                      name="part")  # fmt: skip
