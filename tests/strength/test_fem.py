"""Closed forms of lug, ledge and boss against finite elements (scikit-fem, own meshes).

Bands are what a short cantilever and a strip allow; the formulas must lie on the safe side.
"""

from __future__ import annotations

import numpy as np
import pytest
from fem import Array, Revolved, block, linearised, revolved
from skfem import MeshHex, MeshQuad

from bayonet.mechanics import cylinder, lug

E_MPA, POISSON = 70_000.0, 0.33


def test_tube_under_pressure_is_lames() -> None:
    """Hoop stress and growth of the bore: a thick cylinder, 13.3 to 25 mm."""
    inner, outer = 13.3, 25.0
    tube = revolved(
        MeshQuad.init_tensor(np.geomspace(inner, outer, 17), np.linspace(0.0, 10.0, 4)),
        modulus=E_MPA, poisson=POISSON, loaded=lambda x: np.isclose(x[0], inner),
        traction=(1.0, 0.0), held_axially=lambda x: np.isclose(x[1], 0.0),
    )  # fmt: skip
    size = {"inner_radius_mm": inner, "outer_radius_mm": outer}
    hoop = float(tube.stress(np.array([inner + 1e-6]), np.array([5.1]))[2, 0])
    assert hoop == pytest.approx(cylinder.hoop_mpa(1.0, **size), rel=2e-3)
    grown = cylinder.bore_growth_mm(1.0, modulus_mpa=E_MPA, poisson=POISSON, **size)
    assert tube.at(inner, 5.0)[0] == pytest.approx(grown, rel=1e-4)


class Grooved:
    """A boss with a groove all round, its roof pressed by 1 MPa from bore to the lugs' tip."""

    def __init__(self, *, bore: float, tip: float, wall: float, out: float, roof: float) -> None:
        self.bore, self.tip, self.wall, self.out, self.roof = bore, tip, wall, out, roof
        self.top, self.z_roof = roof + 16.0, 16.0
        self.z_floor = 12.0
        radii = np.unique(np.r_[np.linspace(bore, tip, 7), wall, np.linspace(wall, out, 11)])
        heights = np.unique(
            np.r_[np.linspace(0, self.z_floor, 8), np.linspace(self.z_floor, self.z_roof, 9),
                  np.linspace(self.z_roof, self.top, 11)]
        )  # fmt: skip
        mesh = MeshQuad.init_tensor(radii, heights)
        hole = mesh.elements_satisfying(
            lambda x: (x[0] < wall) & (x[1] > self.z_floor) & (x[1] < self.z_roof)
        )
        self.solved: Revolved = revolved(
            mesh.remove_elements(hole), modulus=E_MPA, poisson=POISSON,
            loaded=lambda x: np.isclose(x[1], self.z_roof) & (x[0] < tip + 1e-6),
            traction=(0.0, 1.0), held_axially=lambda x: np.isclose(x[1], 0.0),
        )  # fmt: skip
        self.force = np.pi * (tip**2 - bore**2)
        self.middle = (bore + tip) / 2.0

    def ledge(self) -> float:
        """Linearised bending stress of the ledge where it meets the wall."""
        z = np.linspace(self.z_roof + 1e-6, self.top - 1e-6, 400)
        return linearised(self.solved.stress(np.full_like(z, self.wall + 1e-6), z)[0], z)[1]

    def behind(self) -> float:
        """Greatest linearised stress along the axis in the wall behind the groove."""
        r = np.linspace(self.wall + 1e-6, self.out - 1e-6, 400)
        heights = np.linspace(self.z_floor + 0.05, self.z_roof - 0.05, 12)
        parts = [linearised(self._axial(r, z), r) for z in heights]
        return max(abs(pull) + bent for pull, bent in parts)

    def _axial(self, r: Array, z: float) -> Array:
        return np.asarray(self.solved.stress(r, np.full_like(r, z))[1])


SHAPES = (
    {"bore": 16.1, "tip": 20.0, "wall": 20.25, "out": 25.0, "roof": 5.0},
    {"bore": 22.05, "tip": 27.0, "wall": 27.2, "out": 42.0, "roof": 7.0},
    {"bore": 16.1, "tip": 20.0, "wall": 20.25, "out": 23.0, "roof": 3.0},
)


@pytest.mark.parametrize("shape", SHAPES, ids=["sensor", "drain", "thin"])
def test_ledge_and_wall_err_on_the_safe_side(shape: dict[str, float]) -> None:
    """The ring helps both: 0.6 to 1 of the strip formulas, never more."""
    boss = Grooved(**shape)
    round_it, thick = 2.0 * np.pi * boss.wall, boss.out - boss.wall
    ledge = lug.bending_mpa(
        boss.force, arm_mm=boss.wall - boss.middle, width_mm=round_it, thickness_mm=boss.roof
    )
    area = np.pi * (boss.out**2 - boss.wall**2)
    wall = boss.force / area + lug.bending_mpa(
        boss.force, arm_mm=boss.wall + thick / 2 - boss.middle, width_mm=round_it,
        thickness_mm=thick,
    )  # fmt: skip
    assert 0.6 < boss.ledge() / ledge < 1.0
    assert 0.7 < boss.behind() / wall < 1.0


def test_root_of_a_lug_on_its_body() -> None:
    """A tooth 3.5 thick on a body of 16 mm radius, 1 MPa from 16.1 to 20: within 10 %."""
    root, tip, low, high = 16.0, 20.0, 8.0, 11.5
    radii = np.unique(np.r_[np.linspace(2.0, root, 12), 16.1, np.linspace(16.1, tip, 9)])
    heights = np.unique(
        np.r_[np.linspace(0, low, 8), np.linspace(low, high, 13), np.linspace(high, 20, 8)]
    )
    mesh = MeshQuad.init_tensor(radii, heights)
    mesh = mesh.remove_elements(
        mesh.elements_satisfying(lambda x: (x[0] > root) & ((x[1] < low) | (x[1] > high)))
    )
    tooth = revolved(
        mesh, modulus=E_MPA, poisson=POISSON,
        loaded=lambda x: np.isclose(x[1], high) & (x[0] > 16.05), traction=(0.0, -1.0),
        held_axially=lambda x: np.isclose(x[1], 0.0),
    )  # fmt: skip
    z = np.linspace(low + 1e-6, high - 1e-6, 400)
    _, bent = linearised(tooth.stress(np.full_like(z, root + 1e-6), z)[0], z)
    formula = lug.bending_mpa(
        np.pi * (tip**2 - 16.1**2), arm_mm=(tip + 16.1) / 2 - root, width_mm=2 * np.pi * root,
        thickness_mm=high - low,
    )  # fmt: skip
    assert 0.9 < bent / formula < 1.05


@pytest.mark.parametrize(
    ("height", "width", "thick", "from_x", "share"),
    [(4.0, 10.0, 3.5, 0.1, 1.0), (12.0, 6.0, 3.5, 8.0, 1.0), (5.0, 18.0, 6.0, 0.1, 0.8)],
)
def test_deflection_of_a_lug(
    height: float, width: float, thick: float, from_x: float, share: float
) -> None:
    """Timoshenko's beam against a solid block on a rigid body: within 15 %."""
    engaged = share * width
    mesh = MeshHex.init_tensor(
        np.unique(np.r_[np.linspace(0, from_x, 3), np.linspace(from_x, height, 5)]),
        np.unique(np.r_[np.linspace(0, engaged, 6), np.linspace(engaged, width, 3)]),
        np.linspace(0, thick, 5),
    )
    _, _, moved = block(
        mesh, modulus=E_MPA, poisson=POISSON, pressure=-1.0,
        loaded=lambda x: (
            np.isclose(x[2], thick) & (x[0] > from_x - 1e-6) & (x[1] < engaged + 1e-6)
        ),
        held=lambda x: np.isclose(x[0], 0.0),
    )  # fmt: skip
    force = (height - from_x) * engaged
    beam = force * lug.compliance_mm_per_n(
        arm_mm=(height + from_x) / 2.0, width_mm=width, thickness_mm=thick, modulus_mpa=E_MPA,
        poisson=POISSON,
    )  # fmt: skip
    assert -moved == pytest.approx(float(beam), rel=0.15)
