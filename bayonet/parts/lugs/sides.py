"""Sides of a lug or slot: how far each stands from the middle, at any radius."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from bayonet.mechanics import side_angle_deg

Array = NDArray[np.float64]


@dataclass(frozen=True, kw_only=True)
class HalfAngle:
    """Half-width of a lug or slot, as an angle that may depend on the radius.

    Radial sides have a fixed angle; parallel sides stand at a fixed distance from the middle
    plane. One of the two parts is zero. Parts moved by arrays are arrays, one entry a part made.

    Parameters
    ----------
    deg : float
        Angular part [deg].
    offset_mm : float
        Distance of a parallel side from the middle plane [mm].

    Examples
    --------
    A parallel lug 20 mm wide, seen at radius 20 mm, spans asin(10 / 20) = 30 deg each side.

    >>> round(float(HalfAngle(deg=0.0, offset_mm=10.0).at(20.0)), 9)
    30.0
    """

    deg: float
    offset_mm: float

    @property
    def is_radial(self) -> bool:
        """Whether the sides point to the axis."""
        return np.ndim(self.offset_mm) == 0 and self.offset_mm == 0.0

    def at(self, radius_mm: float | np.ndarray) -> float | np.ndarray:
        """Half-width [deg] at a radius [mm]; NaN where the side does not reach it."""
        if self.is_radial:
            return self.deg + 0.0 * np.asarray(radius_mm)
        return self.deg + side_angle_deg(self.offset_mm, radius_mm)

    def grown(self, by_mm: ArrayLike, *, at_radius_mm: float) -> HalfAngle:
        r"""The same, each side moved out by a length [mm], for radial sides taken at a radius.

        Radial sides: :math:`\alpha + w / R`; parallel ones: :math:`o + w`.

        Examples
        --------
        >>> nine = HalfAngle(deg=0.0, offset_mm=9.0)
        >>> round(float(nine.grown(1.0, at_radius_mm=20.0).at(20.0)), 9)
        30.0
        """
        by = np.asarray(by_mm, dtype=float)
        if self.is_radial:
            return HalfAngle(deg=_plus(self.deg, np.degrees(by / at_radius_mm)), offset_mm=0.0)
        return HalfAngle(deg=self.deg, offset_mm=_plus(self.offset_mm, by))

    def turned(self, by_deg: float) -> HalfAngle:
        """The same with an angle [deg] added."""
        return HalfAngle(deg=self.deg + by_deg, offset_mm=self.offset_mm)


def _plus(nominal: float, by: Array) -> float:
    """A dimension with its deviations; a plain number where they are one."""
    moved = np.asarray(nominal + by)
    return float(moved) if moved.ndim == 0 else moved  # type: ignore[return-value]
