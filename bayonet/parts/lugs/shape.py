"""What any form of lug answers, so that no other module knows its corners.

One lug stands at angle 0 in the developed plane: angle from its middle towards lock [deg] and
depth below the shoulder [mm], at a radius [mm]. Where it stands on the plug is in `lug`.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal, Protocol, Self

import numpy as np
from numpy.typing import ArrayLike, NDArray

from bayonet.parts.lugs.sides import HalfAngle
from bayonet.shapes import Contour

Array = NDArray[np.float64]

FlankName = Literal["bearing", "leading"]


@dataclass(frozen=True, kw_only=True)
class LugZone:
    """How far a lug of the production may lie outside its nominal shape, plus or minus.

    ``bearing_mm`` and ``leading_mm`` are the flanks' at the lug's middle; ``ends_mm`` and
    ``leading_ends_mm`` are what an error of each one's lead adds at the lug's ends.
    """

    side_mm: float
    position_deg: float
    bearing_mm: float
    leading_mm: float
    ends_mm: float
    leading_ends_mm: float
    outer_radius_mm: float


@dataclass(frozen=True, kw_only=True)
class LugSizes:
    """What the design file says of one lug, in mm and degrees: all a form may be made from."""

    half: HalfAngle
    outer_radius_mm: float
    thickness_mm: float
    bearing_depth_mm: float
    lead_mm_per_rev: float
    leading_lead_mm_per_rev: float | None = None
    """Of the leading flank alone; None: as the bearing flank."""


@dataclass(frozen=True, kw_only=True)
class LugDimension:
    """One dimension of a form, by the name its deviation has.

    Parameters
    ----------
    key : str
        As in the tolerance chains: lug 2's ``width`` is ``lug_2_width``.
    nominal : float
        [mm], a lead [mm/rev].
    of_all_lugs : bool
        One deviation for all lugs of a plug: ``plug_lead``.
    """

    key: str
    nominal: float
    of_all_lugs: bool = False

    def variable(self, number: int) -> str:
        """Name of its deviation for a lug, counted from 1.

        Examples
        --------
        >>> LugDimension(key="width", nominal=9.0).variable(2)
        'lug_2_width'
        """
        return f"plug_{self.key}" if self.of_all_lugs else f"lug_{number}_{self.key}"


@dataclass(frozen=True, kw_only=True)
class RootSection:
    """The section in which a lug stands on the body.

    Where it is no rectangle: one with no more area and no larger section modulus, so that shear
    and bending come out no smaller than they are.

    Parameters
    ----------
    width_mm, thickness_mm : float
    whole : bool
        All of it carries, wherever the lug is touched; else as much as is under the roof.
    spring_mm : (float, float) or None
        Width and thickness of a rectangle of the same area and second moment; None: the same one.
    """

    width_mm: float
    thickness_mm: float
    whole: bool = False
    spring_mm: tuple[float, float] | None = None


class LugShape(Protocol):
    """A form of lug. A new one is a module with such a class, and a row in `forms.FORMS`.

    A shape moved by arrays of deviations has arrays for dimensions, and its answers have one
    entry a part made; chains, corners and samples are those same answers.
    """

    @classmethod
    def of_sizes(cls, sizes: LugSizes) -> Self:
        """The form of these sizes."""
        ...

    @property
    def half(self) -> HalfAngle:
        """The narrowest two sides, radial or parallel, that hold it: its reach either way."""
        ...

    @property
    def outer_radius_mm(self) -> float:
        """Radius over the lug [mm]."""
        ...

    @property
    def bearing_depth_mm(self) -> float:
        """Depth of the bearing flank at its middle [mm]."""
        ...

    @property
    def thickness_mm(self) -> float:
        """Bearing to leading flank at its middle [mm]."""
        ...

    @property
    def lead_mm_per_rev(self) -> float:
        """Lead of the bearing flank at its middle, positive where locking pulls in [mm/rev]."""
        ...

    @property
    def floor_lead_mm_per_rev(self) -> float:
        """Lead of the leading flank at its middle, likewise [mm/rev]."""
        ...

    @property
    def round_mm(self) -> float | None:
        """Radius of flanks that are round and bear along a line [mm]; None: on their faces."""
        ...

    @property
    def dimensions(self) -> tuple[LugDimension, ...]:
        """All dimensions that may deviate."""
        ...

    def moved(self, by: Mapping[str, ArrayLike]) -> Self:
        """The same, its dimensions plus deviations by key [mm, mm/rev]; 0 where not named."""
        ...

    def at_zone(self, zone: LugZone, sign: float) -> Self:
        """The largest of a production (``sign`` 1), the smallest (-1).

        Every lug of the production lies within the first and holds the second, position included.
        """
        ...

    def anywhere(self, aside_mm: float, *, root_mm: float) -> Self:
        """A shape that holds this one wherever it stands within a distance of its place, sideways.

        ``root_mm`` is the radius of the body it stands on [mm].
        """
        ...

    def bearing_at(self, from_centre_deg: ArrayLike, *, radius_mm: ArrayLike) -> Array:
        """Depth of the bearing flank at an angle from the middle [deg] and radius [mm]."""
        ...

    def leading_at(self, from_centre_deg: ArrayLike, *, radius_mm: ArrayLike) -> Array:
        """Depth of the leading flank, likewise [mm]."""
        ...

    def touches_deg(
        self, flank: FlankName, lead_mm_per_rev: ArrayLike, *, radius_mm: float
    ) -> tuple[Array, ...]:
        """Where, between its ends, a flank may touch a straight roof or floor of a lead [deg].

        The support in the direction square to that line, and every other place at which the
        flank runs parallel to it; nothing where the flank is straight, for it touches at an end.
        """
        ...

    def bearing_angle_deg(self, depth_mm: ArrayLike, *, radius_mm: float) -> Array:
        """Angle from the middle at which the bearing flank reaches a depth, rising to lock [deg].

        Infinite either way where it does not.
        """
        ...

    def contour(self, inner_mm: float) -> Contour:
        """Its outline at every radius from the body's to its own, with exact edges.

        Side away from lock first, then leading flank, side towards lock, bearing flank.
        """
        ...

    def root(self, root_mm: float) -> RootSection:
        """The section at the body's radius [mm]."""
        ...

    def bearing_width_mm(self, radius_mm: float, *, share: float) -> float:
        """Width that bears on a roof it lies flat on, a share of it under the roof [mm of arc]."""
        ...
