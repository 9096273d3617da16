r"""A flat ring held at its outer edge and lifted at its inner one: closed form of plate theory.

Deflection of an annulus without load on its face, :math:`w = c_1 + c_2 \ln r + c_3 r^2 + c_4 r^2
\ln r`; four edge conditions give the constants.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

_STEPS = 101


@dataclass(frozen=True, kw_only=True)
class Annulus:
    """An annular plate, simply supported at its outer edge, its inner edge free.

    Parameters
    ----------
    inner_mm, support_mm, thickness_mm : float
        Radii of the free edge and of the support; thickness [mm].
    modulus_mpa, poisson : float
    """

    inner_mm: float
    support_mm: float
    thickness_mm: float
    modulus_mpa: float
    poisson: float

    @property
    def stiffness_nmm(self) -> float:
        """Flexural rigidity D [N mm]."""
        return self.modulus_mpa * self.thickness_mm**3 / (12.0 * (1.0 - self.poisson**2))

    def _constants(self, force_n: float, arm_mm: float) -> Array:
        """Of the deflection times D, for a load on the inner edge and an arm further in."""
        a, b, nu = self.support_mm, self.inner_mm, self.poisson
        line = force_n / (2.0 * math.pi * b)

        def bends(r: float) -> list[float]:
            """Radial moment over -D for each constant."""
            log = math.log(r)
            return [
                0.0, (nu - 1.0) / r**2, 2.0 * (1.0 + nu),
                2.0 * log + 3.0 + nu * (2.0 * log + 1.0),
            ]  # fmt: skip

        rows = [
            [1.0, math.log(a), a**2, a**2 * math.log(a)],
            bends(a),
            bends(b),
            [0.0, 0.0, 0.0, 4.0 / b],  # d/dr of the Laplacian
        ]
        return np.linalg.solve(np.array(rows), np.array([0.0, 0.0, line * arm_mm, line]))

    def lift_mm(self, force_n: float, *, arm_mm: float = 0.0) -> float:
        """Lift of the inner edge under a load in all [mm].

        Parameters
        ----------
        force_n : float
            Along the axis, spread evenly over the inner edge [N].
        arm_mm : float
            How much further in it acts, on arms that give it to the edge [mm].

        Returns
        -------
        float

        References
        ----------
        .. [1] Roark's Formulas for Stress and Strain, 7th ed., table 11.2 case 1a (from memory).

        Examples
        --------
        Table of [1], b / a = 0.7, Poisson 0.3: K = 0.1927 of w a^3 / D.

        >>> ring = Annulus(
        ...     inner_mm=70.0, support_mm=100.0, thickness_mm=1.0, modulus_mpa=10.92, poisson=0.3
        ... )
        >>> round(ring.lift_mm(2 * math.pi * 70.0) / (100.0**3 / ring.stiffness_nmm), 4)
        0.1927
        """
        b = self.inner_mm
        constants = self._constants(force_n, arm_mm)
        at = np.array([1.0, math.log(b), b**2, b**2 * math.log(b)])
        return abs(float(constants @ at)) / self.stiffness_nmm

    def moments_n(self, force_n: float, *, arm_mm: float = 0.0) -> tuple[Array, Array]:
        """Radial and tangential bending moment per width from inner edge to support [N]."""
        r = np.linspace(self.inner_mm, self.support_mm, _STEPS)
        _, c2, c3, c4 = self._constants(force_n, arm_mm)
        first = c2 / r + 2.0 * c3 * r + c4 * (2.0 * r * np.log(r) + r)
        second = -c2 / r**2 + 2.0 * c3 + c4 * (2.0 * np.log(r) + 3.0)
        return second + self.poisson * first / r, first / r + self.poisson * second

    def stress_mpa(self, force_n: float, *, arm_mm: float = 0.0) -> float:
        r"""Greatest bending stress, :math:`6 M / t^2` [MPa].

        Parameters
        ----------
        force_n, arm_mm : float
            As `lift_mm`.

        Returns
        -------
        float

        References
        ----------
        .. [1] Roark's Formulas for Stress and Strain, 7th ed., table 11.2 case 1a (from memory).

        Examples
        --------
        Table of [1], b / a = 0.7: the tangential moment at the inner edge is 0.8814 w a.

        >>> ring = Annulus(
        ...     inner_mm=70.0, support_mm=100.0, thickness_mm=1.0, modulus_mpa=10.92, poisson=0.3
        ... )
        >>> round(ring.stress_mpa(2 * math.pi * 70.0) / 6.0 / 100.0, 4)
        0.8814
        """
        most = max(float(np.abs(one).max()) for one in self.moments_n(force_n, arm_mm=arm_mm))
        return 6.0 * most / self.thickness_mm**2
