"""Round radial pins: closed forms, bounds of the polygons, chains, strength, a sweep with faults.

The cap is the example of a vegetable washer; every size of it is invented.
"""

from __future__ import annotations

import dataclasses
import itertools
import math
from pathlib import Path

import numpy as np
import pytest
from second_engine import Pair, manifold_of
from shapely.geometry import Point, Polygon

import bayonet
from bayonet import solids
from bayonet.checks.motion.proof import end_of, motion_of
from bayonet.developed import contour, fitting
from bayonet.developed.motion import poses_along
from bayonet.errors import DesignError
from bayonet.mechanics import lug as formula
from bayonet.parts import Pin, changed
from bayonet.shapes import Round
from bayonet.strength.contact import contact_of
from bayonet.tolerance.fitting import zones
from bayonet.tolerance.fitting.requirements import chains_of

CAP = Path(__file__).parents[2] / "examples" / "strainer_cap.toml"
COLD = [("service.lowest_c", None), ("service.highest_c", None)]
LEVEL = [*COLD, ("socket.track.detent", None)]
RAMP = [
    *LEVEL,
    ("socket.track.lead", 8.0),
    ("socket.track.floor", "parallel"),
    ("socket.track.dwell_deg", 0),
    ("plug.lugs.bearing_depth", 9.0),
]


@pytest.fixture(scope="module")
def cap() -> bayonet.Design:
    return bayonet.load(CAP)


def test_volume_and_solids(cap: bayonet.Design) -> None:
    """Slices of a pin across its axis: y = p sin t, so that the sum is exact to rounding."""
    lug, root = cap.plug.lugs[0], cap.plug.lug_body.radius_mm
    t = (np.arange(4000) + 0.5) / 4000 * math.pi - math.pi / 2
    y, high = 3.0 * np.sin(t), 2.0 * 3.0 * np.cos(t)
    long = np.sqrt(27.0**2 - y**2) - np.sqrt(root**2 - y**2)
    by_hand = float(np.sum(high * long * 3.0 * np.cos(t)) * math.pi / 4000)
    assert lug.volume_mm3(inner_mm=root) == pytest.approx(by_hand, rel=1e-12)
    pins = solids.plug(cap.plug)  # its gate holds the volume to the closed form within 1e-9
    rounds = [face for face in pins.Faces() if face.geomType() == "CYLINDER"]
    radii = [face._geomAdaptor().Cylinder().Radius() for face in rounds]
    assert radii.count(3.0) == 4 * len(cap.plug.lugs)
    track = cap.socket.tracks[0]
    assert track.end_radius_mm == 2.95
    assert solids.socket(cap.socket).isValid()
    # as a print-test ring has it: a sloped floor takes the round of its own corner, no more
    sloped = contour.of_track(dataclasses.replace(track, floor_slope=1.0))
    assert [len([e for e in c.edges if isinstance(e, Round)])
            for c in (contour.of_track(track), sloped)] == [2, 1]  # fmt: skip
    ring = dataclasses.replace(cap.socket, tracks=(dataclasses.replace(track, floor_slope=1.0),))
    assert solids.socket(ring).isValid()


@pytest.mark.parametrize("extreme", ["nominal", "tightest"])
def test_polygons_hold_the_pin_within_the_bound(cap: bayonet.Design, extreme: str) -> None:
    """Every point of the round lies in the polygon, and no corner 1e-4 mm beyond it."""
    lug = zones.lugs(cap.plug, extreme, aside_mm=0.05 if extreme == "tightest" else 0.0)[0]  # type: ignore[arg-type]
    shape = lug.shape
    assert isinstance(shape, Pin)
    outline = shape.contour(21.0)
    for radius in (21.0, 24.0, lug.outer_radius_mm):
        polygon = Polygon(outline.polygon(radius))
        angle = np.linspace(-1.0, 1.0, 101) * float(lug.half.at(radius)) * (1.0 - 1e-9)
        for depth in (
            lug.bearing_at(angle, radius_mm=radius),
            lug.leading_at(angle, radius_mm=radius),
        ):
            assert all(polygon.distance(Point(*p)) < 1e-9
                       for p in zip(angle, depth, strict=True))  # fmt: skip
        corners = outline.polygon(radius)
        turn = np.maximum(np.abs(corners[:, 0]) - shape.spare_deg, 0.0)
        beside = np.maximum(radius * np.sin(np.radians(turn)) - shape.spare_aside_mm, 0.0)
        deep = np.maximum(np.abs(corners[:, 1] - shape.middle_mm) - shape.spare_depth_mm, 0.0)
        over = np.hypot(beside, deep) - shape.radius_mm
        assert over.min() > -1e-9
        assert over.max() < 1e-4


def test_finer_changes_nothing(cap: bayonet.Design, monkeypatch: pytest.MonkeyPatch) -> None:
    """Three times the radii: the free region moves by no more than 1e-4 deg or mm."""
    design = changed(cap, RAMP)
    coarse = motion_of(design.plug, design.socket).entered
    monkeypatch.setattr(fitting, "_MISSED_DEG", fitting._MISSED_DEG / 9.0)
    fine = motion_of(design.plug, design.socket).entered
    assert coarse is not None
    assert fine is not None
    assert fine.buffer(1e-4).covers(coarse)
    assert coarse.buffer(1e-4).covers(fine)


def test_the_zone_holds_every_pin(cap: bayonet.Design) -> None:
    """All pins at the ends of their sizes and places lie in the largest, and hold the smallest."""
    lug = cap.plug.lugs[1]
    zone, radius = lug.zone, 24.0
    large, small = (
        Polygon(zones.lugs(cap.plug, e)[1].shape.contour(21.0).polygon(radius))  # type: ignore[arg-type]
        for e in ("tightest", "loosest")
    )
    for thick, deep, turn in itertools.product((-1, 1), repeat=3):
        moved = lug.shape.moved(
            {"diameter": thick * 2 * zone.side_mm, "bearing_depth": deep * zone.bearing_mm}
        )
        points = moved.contour(21.0).polygon(radius)
        points[:, 0] += turn * zone.position_deg
        one = Polygon(points)
        assert large.buffer(2e-4).covers(one)
        assert one.buffer(2e-4).covers(small)


def one(values: dict[str, np.ndarray], key: str) -> float:
    return float(values[key][0])


@pytest.mark.parametrize("changes", [LEVEL, RAMP], ids=["level", "ramp"])
@pytest.mark.parametrize("key", [None, "diameter", "bearing_depth"])
def test_chains_as_the_polygons_have_them(
    cap: bayonet.Design, changes: list[tuple[str, object]], key: str | None
) -> None:
    """Play, stop and floor, with one pin 0.04 mm off, too."""
    design = changed(cap, changes)
    chains, plug = chains_of(design), design.plug
    point = chains.nominal().copy()
    lugs = list(plug.lugs)
    if key is not None:
        point[[v.key for v in chains.variables].index(f"lug_1_{key}")] = 0.04
        lugs[0] = dataclasses.replace(lugs[0], shape=lugs[0].shape.moved({key: 0.04}))
    motion = motion_of(dataclasses.replace(plug, lugs=tuple(lugs)), design.socket)
    values = chains.values(point)
    assert one(values, "axial_play") == pytest.approx(motion.play_mm, abs=2e-4)
    assert end_of(design.socket) + one(values, "clocking") == pytest.approx(
        motion.furthest_deg, abs=3e-4
    )
    assert motion.narrowest_mm > 0.3


def test_a_pin_under_a_ramp_by_hand(cap: bayonet.Design) -> None:
    r"""It touches where its round is as steep as the ramp, at :math:`\rho (\sqrt{1 + m^2} - 1)`.

    Level, the roof is the axial clearance above its top. A ramp of 8 mm/rev at the bore's radius
    r falls by m = 8 / (2 pi r) a mm: it touches a circle that much nearer, to second order.
    """
    design = changed(cap, RAMP)
    track, socket = design.socket.tracks[0], design.socket
    end = end_of(socket)
    over = float(np.interp(end, *np.array(track.roof).T))
    m = 8.0 / (2.0 * math.pi * socket.track_bore_radius_mm)
    wanted = 9.0 + 3.0 - socket.clearance.axial_mm - 3.0 * math.hypot(1.0, m)
    assert over == pytest.approx(wanted, abs=1e-5)


def test_line_contact_by_another_source() -> None:
    """EN 1993-1-8:2005, eq. 3.15 (from memory): 0.591 sqrt(E F (d0 - d) / (d^2 t)), d0 infinite.

    The same Hertz contact, for two bodies of steel with 0.3, written by d d0 / (d0 - d) for d.
    """
    steel = {"modulus_mpa": (210e3, 210e3), "poisson": (0.3, 0.3)}
    got = formula.line_pressure_mpa(500.0, radius_mm=4.0, length_mm=6.0, **steel)  # type: ignore[arg-type]
    assert float(got) == pytest.approx(0.591 * math.sqrt(210e3 * 500.0 / (8.0 * 6.0)), rel=1e-3)


def test_root_stresses_and_stiffness_of_a_round_by_hand(cap: bayonet.Design) -> None:
    """32 M / pi d3, 4 V / 3 A, and a long one bends by F a3 / 3 E I with I = pi d4 / 64."""
    found = contact_of(cap, None, "nominal")
    root = {"width_mm": found.lug_width_mm[0], "thickness_mm": found.lug_thickness_mm[0]}
    bent = float(formula.bending_mpa(100.0, arm_mm=5.0, **root))
    assert bent == pytest.approx(32.0 * 500.0 / (math.pi * 6.0**3), rel=1e-12)
    assert float(formula.shear_mpa(100.0, **root)) == pytest.approx(
        4.0 / 3.0 * 100.0 / (math.pi * 9.0), rel=1e-12
    )
    gives = formula.compliance_mm_per_n(
        arm_mm=600.0, width_mm=found.lug_spring_width_mm[0],
        thickness_mm=found.lug_spring_thickness_mm[0], modulus_mpa=200e3, poisson=0.3,
    )  # fmt: skip
    second = math.pi * 6.0**4 / 64.0
    assert float(gives) == pytest.approx(600.0**3 / (3.0 * 200e3 * second), rel=1e-3)


def test_findings_of_pins(cap: bayonet.Design) -> None:
    """The line contact is judged; with a plastic of no tabled stiffness it is said to be open."""
    found = {f.code: f for f in bayonet.check(cap).findings}
    assert not [f for f in found.values() if f.verdict is bayonet.Verdict.FAIL]
    assert "load.flank" not in found
    assert found["load.line_contact"].verdict is bayonet.Verdict.PASS
    pressed = found["load.line_contact"].value
    assert pressed is not None
    share = found["load.share"].value
    assert share is not None
    force = 0.04 * math.pi * (36.58 / 2 + 0.01) ** 2 * share / 100.0
    contact = contact_of(cap, None, "loosest")
    by_hand = 0.591 * math.sqrt(193e3 * force / (2 * contact.round_mm[0] * 5.85)) / 2.5
    assert pressed == pytest.approx(by_hand, rel=0.06)


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ([("plug.lugs.width", 5.0)], "no width"),
        ([("plug.lugs.lead", 3.0)], "no lead"),
        ([("plug.lugs.diameter", None)], "need a diameter"),
        ([("plug.lugs.form", "block"), ("plug.lugs.thickness", 6.0), ("plug.lugs.width", 6.0)],
         "diameter is for round pins"),
    ],
)  # fmt: skip
def test_what_a_pin_has_not(
    cap: bayonet.Design, change: list[tuple[str, object]], words: str
) -> None:
    with pytest.raises(DesignError, match=words):
        changed(cap, change)


def test_the_second_engine_agrees_and_sees_every_fault(cap: bayonet.Design) -> None:
    """200 poses free; pulled at lock it meets the roof within the play, every pin; six faults."""
    design = changed(cap, [*COLD, ("plug.groove.corner_radius", 0)])
    plug, socket = design.plug, design.socket
    motion = motion_of(plug, socket)
    drawn = manifold_of(solids.socket(socket), chord_mm=0.02)
    pair = Pair(drawn, manifold_of(solids.plug(plug), chord_mm=0.02), 0.0, socket.sign)
    poses = poses_along(motion.path, 200)
    assert len(poses) >= 200
    assert max(pair.overlaps(poses)[:-2]) == pytest.approx(0.0, abs=1e-6)
    lock, play = motion.furthest_deg, motion.play_mm
    for index in range(len(plug.lugs)):
        alone = dataclasses.replace(plug, lugs=(plug.lugs[index],))
        single = Pair(drawn, manifold_of(solids.plug(alone), chord_mm=0.02), 0.0, socket.sign)
        assert single.overlap_mm3((lock - 0.1, play - 0.03)) == pytest.approx(0.0, abs=1e-6)
        assert single.overlap_mm3((lock - 0.1, play + 0.05)) > 0.01
        assert single.overlap_mm3((lock + 1.0, play / 2)) > 0.05
    faults = (
        {"radius_mm": 3.4},
        {"middle_mm": 10.4},
        {"middle_mm": 11.8},
        {"outer_radius_mm": 27.5},
        {"radius_mm": 3.25, "middle_mm": 11.25},
    )
    for fault in faults:
        wrong = dataclasses.replace(plug, lugs=tuple(lug.reshaped(**fault) for lug in plug.lugs))
        swept = Pair(drawn, manifold_of(solids.plug(wrong), chord_mm=0.02), 0.0, socket.sign)
        assert max(swept.overlaps(poses[::25])) > 0.02, fault
    early = dataclasses.replace(
        socket,
        tracks=tuple(dataclasses.replace(t, end=t.end.turned(-5.0)) for t in socket.tracks),
    )
    stopped = Pair(manifold_of(solids.socket(early), chord_mm=0.02), pair.plug, 0.0, socket.sign)
    assert max(stopped.overlaps(poses[-20:])) > 0.02
    assert motion_of(plug, early).furthest_deg == pytest.approx(lock - 5.0, abs=1e-3)
