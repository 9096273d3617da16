"""Square thread, lugs as cantilevers and shares of a load against textbooks and scipy."""

from __future__ import annotations

import itertools
import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import linprog, minimize

from bayonet.mechanics import cylinder, lug, screw, sharing

THREAD = {"mean_diameter_mm": 30.0, "lead_mm_per_rev": 8.0, "friction": 0.08}


def test_shigley_8_1_torques_and_efficiency() -> None:
    """Shigley 9th/10th ed., example 8-1: 26.18 and 9.77 N m, efficiency 0.311."""
    collar = screw.face_torque_nmm(6400, mean_diameter_mm=40, friction=0.08)
    up = screw.ramp_torque_nmm(6400, **THREAD) + collar
    down = screw.release_torque_nmm(6400, **THREAD) + collar
    assert up / 1000 == pytest.approx(26.18, abs=0.005)
    assert down / 1000 == pytest.approx(9.77, abs=0.005)
    assert 6400 * 8 / (2 * math.pi * up) == pytest.approx(0.311, abs=0.0005)


def test_shigley_8_1_stresses() -> None:
    """The same example: bearing 12.9, bending 41.5, von Mises 48.7 MPa; 38 % on the first turn."""
    first = 0.38 * 6400
    bending = lug.bending_mpa(first, arm_mm=1.0, width_mm=math.pi * 28, thickness_mm=2.0)
    bearing = lug.bearing_mpa(first, width_mm=math.pi * 30, height_mm=2.0)
    assert bending == pytest.approx(41.5, abs=0.05)
    assert bearing == pytest.approx(12.9, abs=0.05)
    body = 16 * 26180 / (math.pi * 28**3)
    assert body == pytest.approx(6.07, abs=0.005)
    both = lug.equivalent_mpa(bending, 0.0, -10.39, shear_mpa=body)
    assert both == pytest.approx(48.7, abs=0.05)


def test_shigley_3_14_thick_against_thin() -> None:
    """Example 3-14: 774 psi by p = 2 t s / (d + t); Lame's hoop stress there is the mean of it."""
    pressure = 2 * 0.25 * 12000 / (7.5 + 0.25)
    assert pressure == pytest.approx(774, abs=0.5)
    hoop = cylinder.hoop_mpa(pressure, inner_radius_mm=3.75, outer_radius_mm=4.0)
    assert hoop == pytest.approx(12000, rel=2e-3)


def test_m10_lead_angle() -> None:
    """M10 coarse: 3.03 deg at 9.026 mm (common tables, from memory)."""
    assert screw.lead_angle_deg(1.5, mean_diameter_mm=9.026) == pytest.approx(3.03, abs=0.005)


@given(mu=st.floats(0.02, 0.6), across=st.floats(5.0, 100.0), over=st.floats(0.3, 3.0))
def test_a_ramp_holds_just_below_its_friction_angle(mu: float, across: float, over: float) -> None:
    """Shigley eq. 8-3: self-locking where pi mu d exceeds the lead."""
    lead = over * math.pi * mu * across
    torque = screw.release_torque_nmm(100.0, mean_diameter_mm=across, lead_mm_per_rev=lead,
                                      friction=mu)  # fmt: skip
    margin = screw.friction_angle_deg(mu) - screw.lead_angle_deg(lead, mean_diameter_mm=across)
    assert np.sign(torque) == np.sign(margin) == np.sign(1.0 - over) or abs(over - 1.0) < 1e-9


def test_a_steep_ramp_binds() -> None:
    steep = {"mean_diameter_mm": 10.0, "lead_mm_per_rev": 200.0, "friction": 0.2}
    assert math.isinf(screw.ramp_torque_nmm(1.0, **steep))
    assert screw.clamp_load_n(1e4, face_diameter_mm=20.0, face_friction=0.2, **steep) == 0.0


def test_clamp_load_is_the_inverse_of_the_torque() -> None:
    face = {"face_diameter_mm": 40.0, "face_friction": 0.08}
    assert screw.clamp_load_n(26180.0, **THREAD, **face) == pytest.approx(6400, rel=2e-4)
    assert screw.clamp_load_n(-5.0, **THREAD, **face) == 0.0


# ---- shares --------------------------------------------------------------------------------


@given(
    st.lists(st.floats(0.0, 359.0), min_size=2, max_size=7, unique=True).filter(
        lambda a: min(abs(x - y) for x, y in itertools.combinations(a, 2)) > 1.0
    )
)
def test_rigid_share_is_that_of_linear_programming(angles: list[float]) -> None:
    """Greatest w_i with sum w = 1, sum w x = sum w y = 0, w >= 0, by scipy's solver."""
    turned = np.radians(angles)
    rows = np.array([np.ones(len(angles)), np.cos(turned), np.sin(turned)])
    solved = [
        linprog(-np.eye(len(angles))[i], A_eq=rows, b_eq=[1, 0, 0]) for i in range(len(angles))
    ]
    if not solved[0].success:
        return
    got = sharing.most_rigid_share(angles, may_tilt=True)
    assert got == pytest.approx([-one.fun for one in solved], abs=1e-6)


def test_rigid_shares_by_hand() -> None:
    """Five equal lugs: {0, 144, 216} carry cos 36 / (1 + cos 36) = 0.447 on the first."""
    five = sharing.most_rigid_share(np.arange(5) * 72.0, may_tilt=True)
    assert five == pytest.approx(math.cos(math.radians(36)) / (1 + math.cos(math.radians(36))))
    assert sharing.most_rigid_share([0, 120, 240], may_tilt=False).tolist() == [1.0, 1.0, 1.0]
    assert sharing.most_rigid_share([0, 20, 40], may_tilt=True).tolist() == [1.0, 1.0, 1.0]


@pytest.mark.parametrize("may_tilt", [True, False])
@pytest.mark.parametrize("count", [2, 3, 4, 5])
def test_elastic_share_is_that_of_least_energy(count: int, may_tilt: bool) -> None:
    """Least potential energy of unilateral springs, by scipy, over every corner of the gaps."""
    rng = np.random.default_rng(count)
    angles = np.arange(count) * 360.0 / count
    stiff, ahead = rng.uniform(2e4, 8e4, count), rng.uniform(0.01, 0.08, count)
    force, radius = 3000.0, 18.0
    x, y = radius * np.cos(np.radians(angles)), radius * np.sin(np.radians(angles))
    most = np.zeros(count)
    for signs in itertools.product((-1.0, 1.0), repeat=count):
        gaps = np.array(signs) * ahead

        def energy(q: np.ndarray, gaps: np.ndarray = gaps) -> tuple[float, np.ndarray]:
            moved = q[0] + (q[1] * x + q[2] * y if may_tilt else 0.0) - gaps
            press = stiff * np.maximum(moved, 0.0)
            soft = 1e-7 * stiff.sum() * radius**2 * q[1:]
            slope = np.array([press.sum() - force, press @ x + soft[0], press @ y + soft[1]])
            if not may_tilt:
                slope[1:] = 0.0
            stored = press @ np.maximum(moved, 0.0) / 2 + soft @ q[1:] / 2
            return float(stored - force * q[0]), slope

        found = minimize(energy, [ahead.max(), 0.0, 0.0], jac=True, method="BFGS",
                         options={"gtol": 1e-7, "maxiter": 2000})  # fmt: skip
        q = found.x
        moved = q[0] + (q[1] * x + q[2] * y if may_tilt else 0.0) - gaps
        most = np.maximum(most, stiff * np.maximum(moved, 0.0) / force)
    got = sharing.most_elastic_share(
        angles, stiffness_n_per_mm=stiff, ahead_mm=ahead, force_n=force, radius_mm=radius,
        may_tilt=may_tilt,
    )  # fmt: skip
    assert got == pytest.approx(most, abs=2e-3)


def test_elastic_share_between_even_and_rigid() -> None:
    """No errors: even. Hard springs or small loads: the rigid bound. Three lugs: always a third."""

    def share(count: int, force: float, ahead: float = 0.05) -> float:
        return float(
            sharing.most_elastic_share(
                np.arange(count) * 360.0 / count, stiffness_n_per_mm=np.full(count, 1e5),
                ahead_mm=np.full(count, ahead), force_n=force, radius_mm=20.0, may_tilt=True,
            ).max()
        )  # fmt: skip

    assert share(4, 1000.0, ahead=0.0) == pytest.approx(0.25, abs=1e-6)
    assert share(4, 1.0) == pytest.approx(0.5, abs=1e-3)
    assert share(4, 1e7) == pytest.approx(0.25, abs=1e-2)
    assert share(3, 10.0) == pytest.approx(1 / 3, abs=1e-3)
    assert share(6, 100.0) == pytest.approx(0.5, abs=2e-2)
    with pytest.raises(ValueError, match="at most 8"):
        share(9, 1.0)
    with pytest.raises(ValueError, match="positive"):
        share(3, 0.0)
