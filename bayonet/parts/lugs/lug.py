"""One lug: its form, and where it stands on the plug."""

from __future__ import annotations

import dataclasses
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

from bayonet.parts.lugs.shape import LugShape, LugZone
from bayonet.parts.lugs.sides import HalfAngle

Array = NDArray[np.float64]


@dataclass(frozen=True, kw_only=True)
class Lug:
    """A lug on its plug. What its form answers it answers too, see `LugShape`.

    Parameters
    ----------
    centre_deg : float
        Theta of its middle [deg].
    shape : LugShape
    zone : LugZone
        How far the production may lie outside that shape.
    """

    centre_deg: float
    shape: LugShape
    zone: LugZone

    @property
    def half(self) -> HalfAngle:
        """The narrowest two sides that hold it."""
        return self.shape.half

    @property
    def outer_radius_mm(self) -> float:
        """Radius over the lug [mm]."""
        return self.shape.outer_radius_mm

    @property
    def bearing_depth_mm(self) -> float:
        """Depth of the bearing flank at its middle [mm]."""
        return self.shape.bearing_depth_mm

    @property
    def thickness_mm(self) -> float:
        """Bearing to leading flank at its middle [mm]."""
        return self.shape.thickness_mm

    @property
    def lead_mm_per_rev(self) -> float:
        """Lead of its bearing flank, positive where turning to lock pulls in [mm/rev]."""
        return self.shape.lead_mm_per_rev

    @property
    def floor_lead_mm_per_rev(self) -> float:
        """Lead of its leading flank, the one that faces the floor [mm/rev]."""
        return self.shape.floor_lead_mm_per_rev

    @property
    def round_mm(self) -> float | None:
        """Radius of its flanks where they are round [mm]."""
        return self.shape.round_mm

    def bearing_at(self, from_centre_deg: ArrayLike, *, radius_mm: ArrayLike) -> Array:
        """Depth of the bearing flank [mm] at an angle from the middle, towards lock [deg]."""
        return self.shape.bearing_at(from_centre_deg, radius_mm=radius_mm)

    def leading_at(self, from_centre_deg: ArrayLike, *, radius_mm: ArrayLike) -> Array:
        """Depth of the leading flank [mm] at an angle from the middle, towards lock [deg]."""
        return self.shape.leading_at(from_centre_deg, radius_mm=radius_mm)

    def volume_mm3(self, *, inner_mm: float) -> float:
        """Its volume outside a radius [mm3]."""
        return self.shape.contour(inner_mm).volume()

    def reshaped(self, **changes: Any) -> Lug:
        """The same with some fields of its shape set anew."""
        shape: Any = self.shape
        return dataclasses.replace(self, shape=dataclasses.replace(shape, **changes))
