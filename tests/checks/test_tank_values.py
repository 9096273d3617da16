"""Findings of a graft and of what stands round it, from measured facts to values by hand.

The facts are given here, so that what is judged is the arithmetic alone; that they are measured
right is held in `tests/solids` and `tests/surroundings`.
"""

from __future__ import annotations

import dataclasses
import math
from typing import Any

import pytest

import bayonet
from bayonet.checks.tank import graft, surroundings
from bayonet.findings import Finding, Verdict
from bayonet.tank import Clearances, ClearMap, Drain, Facts, Hand, Place, Room, Surrounding, Wishes

ROOM = Room(
    seam_mm=math.inf, opening_mm=math.inf, joint_mm=math.inf, other_wall_mm=math.inf,
    other_solid_mm=math.inf, other_solid="", inside_mm=math.inf, within_mm=math.inf, blocked=0.0,
)  # fmt: skip
FACTS = Facts(
    solids_before=1, solids_after=1, valid=True, snapped_mm=0.0, tilt_deg=0.0, proud_mm=14.0,
    thickness_mm=3.0, within_mm=6.5, seat_mm=0.0, volume_change_mm3=1000.0,
    expected_change_mm3=1000.0, uncertainty_mm3=0.0, track_wall_mm=9.0, bore_wall_mm=9.0,
    room=ROOM, probes_clear=1.0, enclosed=1.0, in_hollow=True, handles=1,
    hollow_mm3=5.0e6, expected_hollow_mm3=5.0e6,
)  # fmt: skip


def grafted(
    design: bayonet.Design, *, room: dict[str, Any] | None = None, drain: Drain | None = None,
    gap_mm: float | None = None, **facts: Any,
) -> dict[str, Finding]:  # fmt: skip
    made = dataclasses.replace(FACTS, room=dataclasses.replace(ROOM, **(room or {})), **facts)
    wishes = Wishes(down=(0.0, 0.0, -1.0), least_gap_mm=gap_mm)
    return {f.code: f for f in graft.findings(made, design.socket, wishes, drain)}


def test_a_graft_says_where_it_stands(sensor: bayonet.Design) -> None:
    found = grafted(sensor, tilt_deg=2.5)["graft.place"]
    assert found.value == pytest.approx(14.0)
    assert found.message == (
        "mouth 14.00 mm above a wall of 3.00 mm, 2.5 deg off its normal;"
        " 6.50 mm of the socket stands in the tank"
    )


def test_the_bore_wall_leaves_its_own_limits_out(sensor: bayonet.Design) -> None:
    """Half the limits of the diameter on each side, taken whole: 3.2 less 0.05 of wall 4."""
    wall, limits = sensor.socket.wall_mm, sensor.socket.tolerance.diameter_mm
    least = grafted(sensor, bore_wall_mm=wall + limits + 0.01)["graft.bore_wall"]
    assert least.verdict is Verdict.PASS
    thin = grafted(sensor, bore_wall_mm=wall + limits - 0.05)["graft.bore_wall"]
    assert thin.verdict is not Verdict.PASS
    assert thin.value == pytest.approx(wall - 0.05)


@pytest.mark.parametrize(
    ("code", "field"),
    [("graft.other_wall", "other_wall_mm"), ("graft.joint", "joint_mm")],
)
def test_distances_within_the_tank_against_the_gap_asked_for(
    sensor: bayonet.Design, code: str, field: str
) -> None:
    near = grafted(sensor, gap_mm=5.0, room={field: 3.5})[code]
    assert (near.value, near.limit) == (3.5, 5.0)
    assert near.margin == pytest.approx(-1.5)
    assert near.verdict is (Verdict.LOOK if code == "graft.joint" else Verdict.FAIL)
    far = grafted(sensor, gap_mm=5.0, room={field: 5.5}).get(code)
    assert far is None or far.verdict is Verdict.PASS


def test_the_way_behind_the_passage_is_a_quarter_of_its_diameter(sensor: bayonet.Design) -> None:
    """Pi d h = pi d2 / 4: the curtain round the opening is as large as the opening."""
    quarter = sensor.socket.bore[-1][0] / 2.0
    tight = grafted(sensor, room={"inside_mm": quarter - 0.1})["graft.behind"]
    assert tight.limit == pytest.approx(quarter)
    assert tight.margin == pytest.approx(-0.1)
    assert tight.verdict is Verdict.FAIL
    assert grafted(sensor, room={"inside_mm": quarter})["graft.behind"].verdict is Verdict.PASS


def test_a_hollow_that_does_not_close_again_fails(sensor: bayonet.Design) -> None:
    """1000 of 5 000 000 mm3 are 2e-4 of it; with an uncertainty of 100 mm3, 10 u are 2e-4, too."""
    assert grafted(sensor)["graft.hollow"].verdict is Verdict.PASS
    open_ = grafted(sensor, hollow_mm3=5.0e6 - 1000.0)["graft.hollow"]
    assert open_.value == pytest.approx(2e-4)
    assert open_.verdict is Verdict.FAIL
    known = grafted(sensor, hollow_mm3=5.0e6 - 999.0, uncertainty_mm3=100.0)["graft.hollow"]
    assert known.verdict is Verdict.PASS
    assert grafted(sensor, hollow_mm3=None)["graft.hollow"].verdict is Verdict.OPEN


def test_loss_of_the_passage_by_its_length(drain: bayonet.Design) -> None:
    """White: 0.5 at a sharp entrance and 1.0 at the exit; as a free jet 1 / 0.61 squared.

    The drain's passage is 38.1 mm wide. Its length is what is left of boss or wall under the
    depth at which the bore has narrowed to it.
    """
    narrow = min(d for r, d in drain.socket.bore if r == pytest.approx(19.05))

    def loss(length: float) -> Finding:
        end = narrow + length
        made = grafted(drain, proud_mm=end - 3.0, thickness_mm=3.0)
        return made["flow.loss"]

    least = drain.socket.boss_height_mm - narrow
    assert loss(76.3).value == pytest.approx(1.5), "over two diameters: it fills the bore"
    assert "K = 1.5 (water at 1 m/s: 748 Pa)" in loss(76.3).message  # 1.5 x 998 / 2
    assert max(least, 0.5 * 38.1) < 1.5 * 38.1
    assert loss(1.5 * 38.1).value == pytest.approx(1.0 / 0.61**2)
    assert "K = 1.5 to 2.7" in loss(1.5 * 38.1).message


@pytest.mark.parametrize(("slope", "verdict"), [(0.0, "look"), (60.0, "look"), (90.0, "pass")])
def test_the_bore_holds_liquid_by_the_slope_of_its_axis(
    drain: bayonet.Design, slope: float, verdict: str
) -> None:
    """Layout B: tracks are wetted, to their walls. Lying down, all of the step is a pocket."""
    below = Drain(below_mm=0.0, above_mm=0.0, below_mm3=0.0, above_mm3=0.0, slope_deg=slope)
    found = grafted(drain, drain=below)["flow.bore_pocket"]
    step = drain.socket.track_radius_mm - 19.05
    assert step > 7.0
    assert found.value == pytest.approx(step * math.cos(math.radians(slope)), abs=1e-9)
    assert found.verdict == verdict


def place(body: str, distance_mm: float, error_mm: float = 0.01) -> Place:
    zero = (0.0, 0.0, 0.0)
    return Place(
        body=body, part="", file="pump.stl", distance_mm=distance_mm, error_mm=error_mm,
        theirs=(10.0, 20.0, 30.0), ours=zero, theirs_fitting=zero, ours_fitting=zero,
    )  # fmt: skip


def cleared(**given: Any) -> dict[str, Finding]:
    round_it = Surrounding(
        file="pump.stl", note="mm", triangles=12, points=False, error_mm=0.0,
        low=(0.0, 0.0, 0.0), high=(9.0, 9.0, 9.0),
    )  # fmt: skip
    found: dict[str, Any] = {
        "surroundings": (round_it,), "clear_mm": 5.0, "places": (place("tank", 8.0),), "own": (),
        "steps": (), "valve_source": "--valve", "valve_known": True, "hand": None,
        "start_deg": None, "travel_mm": 25.0, "chord_mm": 0.02, "valve_error_mm": 0.03,
        "looked_mm": 50.0,
    }  # fmt: skip
    return {f.code: f for f in surroundings.findings(Clearances(**{**found, **given}))}


@pytest.mark.parametrize(
    "code",
    [
        "clearance.surroundings.insertion", "clearance.own_tank.insertion",
        "clearance.surroundings.turn", "clearance.own_tank.turn",
        "clearance.surroundings.seated", "clearance.own_tank.seated",
    ],
)  # fmt: skip
def test_distances_of_the_valve_less_what_they_are_known_to(code: str) -> None:
    """5.03 mm, known to 0.01 by the search and 0.03 by the valve's mesh: 4.99, short of 5."""
    _, where, body = code.split(".")
    key = "places" if where == "surroundings" else "own"
    near = cleared(**{key: (place("tank", 8.0), place(body, 5.03), place(body, 6.0))})[code]
    assert near.value == pytest.approx(4.99)
    assert (near.verdict, near.limit) == (Verdict.FAIL, 5.0)
    assert cleared(**{key: (place("tank", 8.0), place(body, 5.05))})[code].verdict is Verdict.PASS
    meets = cleared(**{key: (place("tank", 8.0), place(body, -0.4))})[code]
    assert meets.value == pytest.approx(-0.4)
    assert "stands at least 0.40 mm inside" in meets.message


def test_a_hand_on_the_tank_itself_has_no_mesh_error() -> None:
    hand = Hand(name="gloved hand", parts=(), source="as given")
    found = cleared(own=(place("hand", 5.03),), hand=hand)["clearance.own_tank.hand"]
    assert found.value == pytest.approx(5.02)
    assert found.verdict is Verdict.PASS
    assert "clearance.own_tank.hand" not in cleared(own=(place("hand", 5.03),))


def test_the_map_counts_its_cells() -> None:
    """Of 2 x 3 clockings and tilts three stand 5 mm or more apart."""
    drawn = ClearMap(
        clocks_deg=(0.0, 10.0, 20.0), tilts=((0.0, 0.0), (5.0, 0.0)), cap_mm=10.0, error_mm=0.1,
        distance_mm=((4.9, 5.0, 7.0), (0.0, 5.1, -1.0)), depends_on_clock=True,
    )  # fmt: skip
    found = cleared(map=drawn)["clearance.map"]
    assert found.verdict is Verdict.PASS
    assert found.message == "3 of 6 clockings and tilts clear 5 mm"
    none = dataclasses.replace(drawn, distance_mm=((4.9, 4.0, 3.0), (0.0, 1.0, -1.0)))
    assert cleared(map=none)["clearance.map"].verdict is Verdict.LOOK
