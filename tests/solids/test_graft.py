"""Grafts against hand volumes, quadrature by another library, and a second mesh engine."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, replace

import cadquery as cq
import numpy as np
import pytest
import tanks
from scipy.integrate import dblquad

import bayonet
from bayonet.checks.tank import graft as judge
from bayonet.errors import TankError
from bayonet.findings import Finding, Verdict
from bayonet.solids.graft import (
    drain,
    join,
    measures,
    search,
)
from bayonet.solids.graft import (
    room as graft_room,
)
from bayonet.solids.graft import (
    spot as snap,
)
from bayonet.solids.graft.join import Grafted
from bayonet.solids.graft.tank import Tank, volume_of
from bayonet.tank.graft import Facts, Land, Wishes

BOSS, HEIGHT, PASSAGE = 25.0, 24.5, 13.272764725468546
"""The level sensor's boss radius, boss height and passage radius [mm]."""


@dataclass(frozen=True)
class Done:
    grafted: Grafted
    facts: Facts
    findings: dict[str, Finding]


Run = Callable[..., Done]


@pytest.fixture
def run(sensor: bayonet.Design) -> Run:
    def do(tank: cq.Solid | Tank, **wished: object) -> Done:
        whole = tank if isinstance(tank, Tank) else tanks.tank(tank)
        wishes = Wishes(**wished)  # type: ignore[arg-type]
        spot = snap.spot(whole, at=wishes.at, face=wishes.face, toward=wishes.toward)
        shoulder = sensor.plug.shoulder_radius_mm, sensor.plug.shoulder_thickness_mm
        made = join.graft(whole, spot, sensor.socket, wishes, shoulder_mm=shoulder[0])
        reach = snap.reach_of(whole)
        others = [(f"solid {i}", one) for i, one in enumerate(made.others)]
        room = graft_room.room(made.before, others, made.socket, made.stand, shoulder_mm=shoulder,
                               reach_mm=reach)  # fmt: skip
        facts = measures.facts(made, spot, land=wishes.land, fillet_mm=wishes.fillet_mm,
                                    room=room, reach_mm=reach)  # fmt: skip
        flows = None if wishes.down is None else drain.drain(made, down=wishes.down)
        found = judge.findings(facts, made.socket, wishes, flows)
        return Done(made, facts, {one.code: one for one in found})

    return do


def failing(done: Done) -> set[str]:
    return {code for code, one in done.findings.items() if one.verdict is Verdict.FAIL}


def bored(design: bayonet.Design) -> float:
    """What the socket's bore and tracks take out of a full boss: from the socket as built."""
    from bayonet import solids

    plain = join.plain(design.socket)
    return math.pi * BOSS**2 * HEIGHT - solids.socket(plain).Volume()


def test_box_gains_what_a_ruler_says(run: Run, sensor: bayonet.Design) -> None:
    """Flat wall of 5 mm: the boss stands 22, the passage goes on 2.5 mm: two cylinders."""
    done = run(tanks.box(), at=(10.0, 5.0, 110.0))
    by_hand = math.pi * BOSS**2 * 22.0 - bored(sensor) - math.pi * PASSAGE**2 * 2.5
    assert done.facts.volume_change_mm3 == pytest.approx(by_hand, rel=1e-9)
    assert not failing(done)
    assert done.facts.handles == 1
    assert done.facts.track_wall_mm == pytest.approx(25.0 - 20.25)
    assert done.facts.room.seam_mm == pytest.approx(125.0 - 5.0 - 25.0)


def test_saddle_on_a_cylinder_against_quadrature(run: Run, sensor: bayonet.Design) -> None:
    """A small pipe: boss material over its skin by scipy's double integral in x, y."""
    pipe = tanks.vessel(radius=60.0, wall=3.0)
    done = run(pipe, at=(60.0, 0.0, 100.0))
    mouth = 60.0 + done.facts.proud_mm

    def over(radius: float, skin: float) -> float:
        half = lambda y: math.sqrt(radius**2 - y**2)  # noqa: E731
        height = lambda _, y: mouth - math.sqrt(skin**2 - y**2)  # noqa: E731
        return float(dblquad(height, -radius, radius, lambda y: -half(y), half, epsabs=1e-7)[0])

    extended = over(PASSAGE, 57.0) - math.pi * PASSAGE**2 * HEIGHT
    by_hand = over(BOSS, 60.0) - bored(sensor) - extended
    assert done.facts.volume_change_mm3 == pytest.approx(by_hand, rel=1e-6)
    assert not failing(done)
    assert done.facts.in_hollow


@pytest.mark.parametrize(
    ("make", "wished"),
    [
        (tanks.sheet, {"at": (0.0, -125.0, 0.0)}),
        (tanks.vessel, {"at": (106.0, 0.0, 306.0)}),  # on the dome
        (tanks.vessel, {"at": (150.0, 0.0, 100.0), "toward": (1.0, 0.1, 0.2)}),  # tilted
        (tanks.box, {"at": (150.0, 5.0, 10.0), "land": Land(width_mm=5.0, height_mm=3.0)}),
        (tanks.box, {"face": 2, "fillet_mm": 4.0}),
    ],
)
def test_walls_that_work(run: Run, make: Callable[[], cq.Solid], wished: dict) -> None:
    done = run(make(), **wished)
    assert not failing(done), [f.message for f in done.findings.values()]
    off = abs(done.facts.volume_change_mm3 - done.facts.expected_change_mm3)
    assert off < 1e-6 * done.facts.volume_change_mm3


def test_free_form_wall_and_its_volume(run: Run) -> None:
    """The kernel's usual volume is off by 1 % here; `volume_of` agrees with the columns."""
    done = run(tanks.free_form(), at=(0.0, 140.0, 150.0))
    assert not failing(done)
    off = abs(done.facts.volume_change_mm3 - done.facts.expected_change_mm3)
    assert off < 1e-6 * done.facts.volume_change_mm3


def test_far_from_the_origin(run: Run) -> None:
    """A thousand metres off and turned: the same graft."""
    away = cq.Location(cq.Vector(1e6, -2e6, 5e5), cq.Vector(1, 2, 3), 37)
    point = cq.Vertex.makeVertex(10.0, 5.0, 110.0).moved(away)
    done = run(tanks.box().moved(away), at=(point.X, point.Y, point.Z))
    assert not failing(done)
    middle = done.grafted.frame.to_tank([0.0, 0.0, 0.0])
    expected = cq.Vertex.makeVertex(10.0, 5.0, 132.0).moved(away)
    assert middle == pytest.approx([expected.X, expected.Y, expected.Z], abs=1e-6)


def test_sunk_in_a_thick_wall_cuts_a_seat(run: Run) -> None:
    block = tanks.one(cq.Workplane().box(200, 200, 100).cut(cq.Workplane().box(100, 100, 40)))
    done = run(block, at=(0.0, 0.0, 50.0), proud_mm=-3.0)
    assert not failing(done)
    assert done.findings["graft.seat"].value == pytest.approx(3.0)


def test_a_socket_standing_in_the_tank_is_told(run: Run) -> None:
    """Mouth 10 above a 5 mm wall: 24.5 - 10 - 5 = 9.5 mm stand inside."""
    done = run(tanks.box(), at=(40.0, 5.0, 110.0), proud_mm=10.0)
    assert done.facts.within_mm == pytest.approx(9.5)
    assert not failing(done)


@pytest.mark.parametrize(
    ("make", "wished", "codes"),
    [
        (tanks.box, {"at": (0.0, 97.0, 110.0)}, {"graft.seam"}),  # 3 mm from the edge
        (tanks.vessel, {"at": (150.0, 0.0, 190.0)}, {"graft.seam"}),  # across the dome's seam
        (tanks.baffled, {"at": (0.0, 5.0, 110.0)}, {"graft.blocked"}),
        (tanks.baffled, {"at": (-20.0, 5.0, 110.0), "proud_mm": 8.0}, {"graft.inside_wall"}),
        (lambda: tanks.one(cq.Workplane().box(200, 200, 60)), {"face": 6}, {"graft.inside"}),
    ],
)
def test_places_that_fail_say_why(
    run: Run, make: Callable[[], cq.Solid], wished: dict, codes: set[str]
) -> None:
    assert codes <= failing(run(make(), **wished))


def test_a_baffle_beside_the_boss_is_no_harm(run: Run) -> None:
    assert not failing(run(tanks.baffled(), at=(60.0, 5.0, 110.0)))


def test_an_opening_near_by_is_measured(run: Run) -> None:
    """A hole of 20 mm, 50 mm off: 50 - 10 - 25 = 15 mm to its rim; open there, two ways in all."""
    holed = cq.Workplane(obj=tanks.box()).cut(
        cq.Workplane().center(60, 5).circle(10).extrude(200)
    )  # fmt: skip
    done = run(tanks.one(holed), at=(10.0, 5.0, 110.0))
    assert done.facts.room.opening_mm == pytest.approx(15.0, abs=1e-6)
    assert done.facts.handles == 1
    near = run(tanks.one(holed), at=(22.0, 5.0, 110.0))
    assert "graft.opening" in failing(near)


def test_over_an_edge_it_is_refused_and_a_place_found(run: Run, sensor: bayonet.Design) -> None:
    """The nearest place must lie 25 + 4 mm from the flat's end, y = 125."""
    whole = tanks.tank(tanks.box())
    with pytest.raises(TankError, match="over an edge"):
        run(whole, at=(0.0, 115.0, 110.0))
    spot = snap.spot(whole, at=(0.0, 115.0, 110.0), face=None)
    found = search.nearest(
        whole, spot, sensor.socket, Wishes(), shoulder_mm=(25.0, 4.0), gap_mm=4.0,
        progress=lambda _: None,
    )  # fmt: skip
    assert found is not None
    point, away = found
    assert point[1] <= 125.0 - 29.0 + 1e-6
    assert away < 19.0 + BOSS / 3.0 + 0.2
    assert not failing(run(whole, at=point))


def test_a_wrong_solid_does_not_pass(run: Run) -> None:
    """A second hole, a shifted face, a missing land: each must show in the measures."""
    done = run(tanks.box(), at=(10.0, 5.0, 110.0))
    hole = cq.Solid.makeCylinder(2.0, 60.0, cq.Vector(60, 60, -50), cq.Vector(0, 0, 1))
    spoilt = replace(done.grafted, after=done.grafted.after.cut(hole).Solids()[0])
    assert (measures.euler(spoilt.before) - measures.euler(spoilt.after)) // 2 == 2
    change = volume_of(spoilt.after) - volume_of(spoilt.before)
    assert abs(change - done.facts.expected_change_mm3) > 1e-6 * change
    wrong = replace(done.facts, volume_change_mm3=change, handles=2, probes_clear=0.99)
    found = judge.findings(wrong, done.grafted.socket, Wishes(), None)
    bad = {one.code for one in found if one.verdict is Verdict.FAIL}
    assert bad == {"graft.volume", "graft.only_opening", "graft.passage"}


def test_what_stays_in_a_lying_box(run: Run) -> None:
    """Passage of radius r at mid height of a side: half the room less r stays below and above."""
    plain = tanks.one(cq.Workplane().box(210, 160, 110).cut(cq.Workplane().box(200, 150, 100)))
    done = run(plain, at=(105.0, 0.0, 0.0), down=(0.0, 0.0, -2.0))
    flows = drain.drain(done.grafted, down=(0.0, 0.0, -1.0))
    assert flows is not None
    height = 50.0 - PASSAGE
    assert flows.below_mm == pytest.approx(height, abs=PASSAGE * 2e-3)  # rim in 72 points
    assert flows.below_mm3 == pytest.approx(200.0 * 150.0 * flows.below_mm, rel=1e-9)
    assert flows.above_mm == pytest.approx(flows.below_mm, abs=0.05)
    assert done.findings["flow.drain"].verdict is Verdict.LOOK


def test_the_euler_number_agrees_with_the_mesh(run: Run) -> None:
    """Trimesh counts the same handles on the triangles."""
    import trimesh

    from bayonet.solids.kernel import mesh

    done = run(tanks.vessel(), at=(150.0, 0.0, 100.0))
    triangles = mesh.meshed(done.grafted.tank.solids[0].solid, chord_mm=0.1)
    other = trimesh.Trimesh(triangles.vertices, triangles.triangles, process=False)
    assert other.is_watertight
    assert other.euler_number == measures.euler(done.grafted.after)
    assert other.volume == pytest.approx(volume_of(done.grafted.after), rel=2e-3)


def test_clocking_turns_the_slots(run: Run) -> None:
    """Theta = 0 is up on a side wall; the sensor's first slot is at 30 deg from it."""
    turned = run(tanks.box(), at=(150.0, 5.0, 10.0), clock_deg=90.0).grafted.frame
    assert np.round(turned.x, 9).tolist() == [0.0, -1.0, 0.0]


def test_a_swept_wall_meshes_within_its_chord() -> None:
    """The kernel's own mesh of it is millimetres off; by volume, the mesh agrees with the solid."""
    from bayonet.solids.kernel import mesh

    solid = tanks.free_form()
    triangles = mesh.meshed(solid, chord_mm=0.05)
    assert triangles.volume() == pytest.approx(volume_of(solid), rel=2e-3)


# ---- fillets on walls that are not level ---------------------------------------------------


@pytest.mark.parametrize(
    ("make", "wished", "slack"),
    [
        (tanks.vessel, {"at": (150.0, 0.0, 100.0)}, 5e-6),
        (tanks.free_form, {"at": (0.0, 140.0, 150.0)}, 5e-6),
        (tanks.box, {"at": (10.0, 5.0, 110.0), "toward": (0.1, 0.0, 1.0)}, 1e-6),
    ],
    ids=["cylinder", "free form", "flat, tilted"],
)
def test_fillet_on_any_wall(
    run: Run, make: Callable[[], cq.Solid], wished: dict, slack: float
) -> None:
    """The kernel's fillet against the channel a rolling ball leaves, summed by columns."""
    done = run(make(), proud_mm=16.0, **wished, fillet_mm=3.0)
    change = done.facts.volume_change_mm3
    assert abs(change - done.facts.expected_change_mm3) < slack * change
    assert done.facts.valid
    assert not {code for code in failing(done) if "volume" in code}


def test_a_fillet_that_cannot_be_is_refused(run: Run) -> None:
    """Wider than the wall is curved, or over an edge: the reason, no crash."""
    with pytest.raises(TankError, match=r"fillet|ball|edge"):
        run(tanks.vessel(), at=(150.0, 0.0, 100.0), fillet_mm=60.0, proud_mm=16.0)
