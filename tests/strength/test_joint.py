"""Screws and ring: Shigley's worked example, Roark's table, a finite element ring, hand sums."""

from __future__ import annotations

import math

import numpy as np
import pytest
from fem import linearised, revolved
from skfem import MeshQuad

import bayonet
from bayonet.checks.run import of_strength
from bayonet.findings import Finding, Verdict
from bayonet.mechanics import bolted_joint as formula
from bayonet.mechanics.annular_plate import Annulus
from bayonet.parts.design import changed
from bayonet.standards.bolts import bolt, bolt_class, bolt_classes, bolt_names
from bayonet.strength.joint import JointLoad
from bayonet.strength.study import strength_of

RING = (("socket.construction", "ring_and_body"), ("socket.track.made_by", None))

STRESS_AREAS = {"M3": 5.03, "M4": 8.78, "M5": 14.2, "M6": 20.1, "M8": 36.6, "M10": 58.0,
                "M12": 84.3}  # fmt: skip
"""ISO 898-1:2013, table 4, nominal stress areas [mm2] (from memory)."""
HEADS = {"M3": 5.5, "M4": 7.0, "M5": 8.5, "M6": 10.0, "M8": 13.0, "M10": 16.0, "M12": 18.0}
"""ISO 4762:2004, table 1, greatest head diameter [mm], plain heads (from memory)."""
PROOF = {"4.6": 225, "4.8": 310, "5.6": 280, "5.8": 380, "8.8": 580, "10.9": 830, "12.9": 970}
"""ISO 898-1:2013, table 3, stress under proof load [MPa], d up to 16 mm (from memory)."""


@pytest.mark.parametrize("name", bolt_names())
def test_screws_by_their_thread(name: str) -> None:
    """Second copies, and the formula of ISO 898-1: A = pi / 4 (d - 0.9382 P)^2."""
    one = bolt(name)
    assert one.stress_area_mm2 == STRESS_AREAS[name]
    assert one.head_diameter_mm == HEADS[name]
    by_formula = math.pi / 4.0 * (one.diameter_mm - 0.9382 * one.pitch_mm) ** 2
    assert one.stress_area_mm2 == pytest.approx(by_formula, rel=4e-3)
    assert one.head_height_mm == one.diameter_mm
    assert one.diameter_mm < one.clearance_hole_mm < one.head_diameter_mm < one.counterbore_mm


def test_property_classes_by_their_own_name() -> None:
    """The first figure is a hundredth of the tensile strength, the second ten times the ratio.

    ISO 898-1, clause 5. Least strengths are rounded up from it by up to 7 %, but for 10.9 and 12.9.
    """
    for name in bolt_classes():
        one = bolt_class(name, 10.0)
        assert one.proof_mpa <= one.yield_mpa <= one.ultimate_mpa
        if name.startswith("A"):
            assert one.ultimate_mpa == 10.0 * float(name.partition("-")[2])
            continue
        assert one.proof_mpa == PROOF[name]
        first, _, second = name.partition(".")
        assert one.ultimate_mpa == pytest.approx(100.0 * float(first), rel=0.051)
        assert one.yield_mpa == pytest.approx(10.0 * float(first) * float(second), rel=0.07)


def test_shigleys_pressure_vessel() -> None:
    """Example 8-4 (9th ed., from memory): kb 5.21, km 8.95 Mlbf/in, C 0.368, 5.52 screws, so 6.

    Six carry a load factor of 2.18; inch, kip and Mpsi throughout.
    """
    screw = formula.screw_stiffness_n_per_mm(
        grip_mm=1.5, unthreaded_mm=0.75, diameter_mm=0.625, stress_area_mm2=0.226, modulus_mpa=30.0
    )
    members = formula.members_stiffness_n_per_mm(grip_mm=1.5, diameter_mm=0.625, modulus_mpa=14.0)
    share = screw / (screw + members)
    assert screw == pytest.approx(5.21, abs=0.005)
    assert members == pytest.approx(8.95, abs=0.005)
    assert share == pytest.approx(0.368, abs=0.0005)
    proof, preload = 85.0 * 0.226, 14.4
    needed = share * 2.0 * 36.0 / (proof - preload)
    assert needed == pytest.approx(5.52, abs=0.02)
    six = formula.load_factor(proof_n=proof, preload_n=preload, share=share, load_n=6.0)
    assert six == pytest.approx(2.18, abs=0.005)


ROARK = [(0.1, 0.0364, 0.3374), (0.3, 0.1266, 0.6210), (0.5, 0.1934, 0.7757),
         (0.7, 0.1927, 0.8814), (0.9, 0.0938, 0.9638)]  # fmt: skip
"""Roark's Formulas, 7th ed., table 11.2 case 1a, load at the free inner edge, Poisson 0.3: b / a,
K of the edge's deflection, K of the tangential moment there (from memory)."""


@pytest.mark.parametrize(("ratio", "lift", "moment"), ROARK)
def test_the_plate_is_roarks(ratio: float, lift: float, moment: float) -> None:
    ring = Annulus(inner_mm=100 * ratio, support_mm=100.0, thickness_mm=1.0, modulus_mpa=10.92,
                   poisson=0.3)  # fmt: skip
    force = 2.0 * math.pi * 100.0 * ratio  # one newton per millimetre
    assert ring.lift_mm(force) * ring.stiffness_nmm / 1e6 == pytest.approx(lift, abs=1e-4)
    assert ring.stress_mpa(force) / 600.0 == pytest.approx(moment, abs=1e-4)


@pytest.mark.parametrize(("thickness", "band"), [(3.0, 0.03), (9.0, 0.12)])
def test_the_plate_against_finite_elements(thickness: float, band: float) -> None:
    """A ring 22 to 42 mm lifted at its inner edge, its outer one held from moving along.

    Thin, the hoop stress at the inner edge agrees; as thick as half its width, within a tenth.
    """
    inner, outer = 22.0, 42.0
    mesh = MeshQuad.init_tensor(np.linspace(inner, outer, 41), np.linspace(0.0, thickness, 13))
    solved = revolved(
        mesh, modulus=70_000.0, poisson=0.33, loaded=lambda x: np.isclose(x[0], inner),
        traction=(0.0, 1.0), held_axially=lambda x: np.isclose(x[0], outer),
    )  # fmt: skip
    force = 2.0 * math.pi * inner * thickness
    z = np.linspace(1e-6, thickness - 1e-6, 200)
    hoop = linearised(solved.stress(np.full_like(z, inner + 1e-6), z)[2], z)[1]
    plate = Annulus(inner_mm=inner, support_mm=outer, thickness_mm=thickness,
                    modulus_mpa=70_000.0, poisson=0.33)  # fmt: skip
    assert plate.stress_mpa(force) == pytest.approx(hoop, rel=band)


def test_an_arm_adds_its_moment() -> None:
    """Equilibrium: at the inner edge the radial moment is the arm's, F a / 2 pi b."""
    ring = Annulus(inner_mm=50.0, support_mm=80.0, thickness_mm=4.0, modulus_mpa=7e4, poisson=0.33)
    radial, _ = ring.moments_n(100.0, arm_mm=7.0)
    assert abs(radial[0]) == pytest.approx(100.0 * 7.0 / (2.0 * math.pi * 50.0))
    assert abs(radial[-1]) < 1e-9
    assert ring.lift_mm(100.0, arm_mm=7.0) > ring.lift_mm(100.0)


@pytest.fixture(scope="module")
def load() -> JointLoad:
    from pathlib import Path

    sensor = bayonet.load(Path(__file__).parents[2] / "examples" / "level_sensor.toml")
    found = strength_of(changed(sensor, RING), None, None).joint
    assert isinstance(found, JointLoad)
    return found


def test_the_sensors_screws_by_hand(load: JointLoad) -> None:
    """M4 A2-70 in 6061-T6, 9.1 - 4.3 = 4.8 mm clamped, grip 6.8.

    Preload 0.75 x 450 x 8.78 = 2963 N, 2.37 N m. kb = 8.78 x 193 / 6.8 = 249.2 kN/mm. Heat: the
    body grows 7.6 millionths a kelvin more over 6.8 mm, 90 K hotter and 40 K colder.
    """
    assert load.preload_n == pytest.approx(2963.25)
    assert load.torque_nm == pytest.approx(0.2 * 2963.25 * 4.0 / 1000.0)
    screw = 8.78 * 193_000.0 / 6.8
    length = 0.5774 * 6.8
    modulus = 68_900.0
    members = 0.5774 * math.pi * modulus * 4.0 / (
        2.0 * math.log(5.0 * (length + 2.0) / (length + 10.0))
    )  # fmt: skip
    assert load.share == pytest.approx(screw / (screw + members), rel=2e-2)
    series = 1.0 / (1.0 / screw + 1.0 / members)
    assert load.hottest_n - load.preload_n == pytest.approx(series * 6.8 * 7.6e-6 * 90, rel=2e-2)
    assert load.preload_n - load.coldest_n == pytest.approx(series * 6.8 * 7.6e-6 * 40, rel=2e-2)


def test_prying_by_moments_about_the_edge(load: JointLoad) -> None:
    """Ring 32, screws on 26.5, lugs' contact inside 18.2: (32 - 18.15) / 5.5 = 2.5."""
    inner = 32.0 - load.lever * 5.5
    assert 17.5 < inner < 18.5
    assert load.per_newton >= load.lever / 6.0


def test_the_thread_by_its_sheared_cylinder(load: JointLoad) -> None:
    """0.875 pi 4 = 11.0 mm2 a millimetre, 230 / sqrt 3 = 132.6 MPa: 3951 N need 2.7 mm."""
    body_mpa = 241.0 / 1.05
    by_hand = 8.78 * 450.0 / (0.875 * math.pi * 4.0 * body_mpa / math.sqrt(3.0))
    assert load.strip_mm == pytest.approx(by_hand, rel=1e-2)


def test_what_fails_is_mended_by_what_is_proposed(drain: bayonet.Design) -> None:
    """10 bar pull four M4 off: the finding names screws that hold, and with them it holds."""
    ring = changed(
        drain,
        [*RING, ("socket.boss_diameter", None), ("socket.track.floor", "level"),
         ("socket.track.floor_slope_deg", 0.0), ("socket.mount", None)],
    )  # fmt: skip

    def quick(design: bayonet.Design) -> tuple[Finding, ...]:
        return of_strength(design, None, strength_of(design, None, None))

    for code in ("load.joint_opens", "load.screws"):
        weak = next(one for one in quick(ring) if one.code == code)
        assert weak.verdict is Verdict.FAIL
        assert [field for field, _ in weak.mends] == ["socket.joint.bolts", "socket.joint.thread"]
        mended = changed(ring, weak.mends)
        assert next(one for one in quick(mended) if one.code == code).verdict is Verdict.PASS


def test_the_ring_and_the_screws_are_ways_to_give_way(load: JointLoad) -> None:
    """As load.ring_plate and load.screws they stand in for the wall behind the tracks."""
    from pathlib import Path

    sensor = bayonet.load(Path(__file__).parents[2] / "examples" / "level_sensor.toml")
    found = strength_of(changed(sensor, RING), None, None)
    keys = {mode.key for mode in found.modes}
    assert {"ring_plate", "screws"} <= keys
    assert "boss_wall" not in keys
    stretch = next(mode for mode in found.modes if mode.key == "screws")
    by_hand = (load.hottest_n + load.share * load.per_newton * found.proof_n) / 8.78
    assert stretch.stress_mpa(found.proof_mpa or 0.0) == pytest.approx(by_hand, rel=1e-6)
