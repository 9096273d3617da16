"""A block: two sides, radial or parallel, between two flanks, each of its own lead."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

from bayonet.mechanics import advance_mm
from bayonet.parts.lugs.shape import FlankName, LugDimension, LugSizes, LugZone, RootSection
from bayonet.parts.lugs.sides import HalfAngle
from bayonet.shapes import Contour, Corner, Flank, Side

Array = NDArray[np.float64]


@dataclass(frozen=True, kw_only=True)
class Block:
    """A block between two flanks; answers as `bayonet.parts.lugs.LugShape` says.

    Parameters
    ----------
    half : HalfAngle
        Half its width.
    outer_radius_mm, thickness_mm, bearing_depth_mm : float
    lead_mm_per_rev : float
        Of the bearing flank.
    leading_lead_mm_per_rev : float or None
        Of the leading flank, where it has one of its own; None: as the bearing flank, and moved
        with it.

    Examples
    --------
    24 deg wide with a lead of 15 mm/rev, the flank rises 12 / 360 x 15 = 0.5 mm to its end.

    >>> block = Block(
    ...     half=HalfAngle(deg=12.0, offset_mm=0.0),
    ...     outer_radius_mm=20.0,
    ...     thickness_mm=4.0,
    ...     bearing_depth_mm=5.0,
    ...     lead_mm_per_rev=15.0,
    ... )
    >>> float(block.bearing_at(12.0, radius_mm=20.0)), float(block.leading_at(12.0, radius_mm=20.0))
    (5.5, 9.5)

    Its leading flank flat, the lug is 4 mm thick in the middle and 3.5 mm at its end.

    >>> wedge = replace(block, leading_lead_mm_per_rev=0.0)
    >>> float(wedge.leading_at(12.0, radius_mm=20.0)), wedge.root(18.0).thickness_mm
    (9.0, 3.5)
    """

    half: HalfAngle
    outer_radius_mm: float
    thickness_mm: float
    bearing_depth_mm: float
    lead_mm_per_rev: float
    leading_lead_mm_per_rev: float | None = None

    @classmethod
    def of_sizes(cls, sizes: LugSizes) -> Block:
        """The block of these sizes."""
        return cls(
            half=sizes.half,
            outer_radius_mm=sizes.outer_radius_mm,
            thickness_mm=sizes.thickness_mm,
            bearing_depth_mm=sizes.bearing_depth_mm,
            lead_mm_per_rev=sizes.lead_mm_per_rev,
            leading_lead_mm_per_rev=sizes.leading_lead_mm_per_rev,
        )

    @property
    def floor_lead_mm_per_rev(self) -> float:
        """Lead of the leading flank [mm/rev]."""
        own = self.leading_lead_mm_per_rev
        return self.lead_mm_per_rev if own is None else own

    @property
    def round_mm(self) -> None:
        """None: its flanks bear on their faces."""
        return None

    @property
    def dimensions(self) -> tuple[LugDimension, ...]:
        """Width at the outer radius, thickness, depth, diameter over the lugs, leads."""
        own, outer = self.leading_lead_mm_per_rev, self.outer_radius_mm
        leading = (
            ()
            if own is None
            else (LugDimension(key="leading_lead", nominal=own, of_all_lugs=True),)
        )
        width = 2.0 * outer * float(np.sin(np.radians(self.half.at(outer))))
        return (
            LugDimension(key="width", nominal=width),
            LugDimension(key="thickness", nominal=self.thickness_mm),
            LugDimension(key="bearing_depth", nominal=self.bearing_depth_mm),
            LugDimension(key="outer_diameter", nominal=2.0 * outer),
            LugDimension(key="lead", nominal=self.lead_mm_per_rev, of_all_lugs=True),
            *leading,
        )

    def moved(self, by: Mapping[str, ArrayLike]) -> Block:
        """Its dimensions plus deviations by key; a width is shared by both sides."""

        def plus(nominal: float, key: str, part: float = 1.0) -> Any:
            return nominal + part * np.asarray(by[key]) if key in by else nominal

        half, own = self.half, self.leading_lead_mm_per_rev
        if "width" in by:
            half = half.grown(np.asarray(by["width"]) / 2.0, at_radius_mm=self.outer_radius_mm)
        return Block(
            half=half,
            outer_radius_mm=plus(self.outer_radius_mm, "outer_diameter", 0.5),
            thickness_mm=plus(self.thickness_mm, "thickness"),
            bearing_depth_mm=plus(self.bearing_depth_mm, "bearing_depth"),
            lead_mm_per_rev=plus(self.lead_mm_per_rev, "lead"),
            leading_lead_mm_per_rev=None if own is None else plus(own, "leading_lead"),
        )

    def at_zone(self, zone: LugZone, sign: float) -> Block:
        """Sides, flanks, outer radius and position moved by their zones."""
        # a flank with a lead lies deeper or higher at an angle when its lug stands off its place
        climb, floor = (
            abs(float(advance_mm(lead, zone.position_deg)))
            for lead in (self.lead_mm_per_rev, self.floor_lead_mm_per_rev)
        )
        bearing = self.bearing_depth_mm - sign * (zone.bearing_mm + (zone.ends_mm + climb))
        leading = self.bearing_depth_mm + self.thickness_mm
        leading += sign * (zone.leading_mm + (zone.leading_ends_mm + floor))
        half = self.half.grown(sign * zone.side_mm, at_radius_mm=self.outer_radius_mm)
        return replace(
            self,
            half=half.turned(sign * zone.position_deg),
            bearing_depth_mm=bearing,
            thickness_mm=leading - bearing,
            outer_radius_mm=self.outer_radius_mm + sign * zone.outer_radius_mm,
        )

    def anywhere(self, aside_mm: float, *, root_mm: float) -> Block:
        """A side moves square to itself by no more than the shift.

        A flank with a lead is met where the shift turns it to, most at the root.
        """
        turned = np.degrees(aside_mm / root_mm)
        climb = abs(float(advance_mm(self.lead_mm_per_rev, turned)))
        floor = abs(float(advance_mm(self.floor_lead_mm_per_rev, turned)))
        return replace(
            self,
            half=HalfAngle(deg=self.half.deg, offset_mm=self.half.offset_mm + aside_mm),
            bearing_depth_mm=self.bearing_depth_mm - climb,
            thickness_mm=self.thickness_mm + (climb + floor),
            outer_radius_mm=self.outer_radius_mm + aside_mm,
        )

    def bearing_at(self, from_centre_deg: ArrayLike, *, radius_mm: ArrayLike) -> Array:
        """Straight over the angle, the same at every radius."""
        return self.bearing_depth_mm + advance_mm(self.lead_mm_per_rev, from_centre_deg)

    def leading_at(self, from_centre_deg: ArrayLike, *, radius_mm: ArrayLike) -> Array:
        """Straight over the angle, by its own lead."""
        depth = self.bearing_depth_mm + self.thickness_mm
        return depth + advance_mm(self.floor_lead_mm_per_rev, from_centre_deg)

    def touches_deg(
        self, flank: FlankName, lead_mm_per_rev: ArrayLike, *, radius_mm: float
    ) -> tuple[Array, ...]:
        """None: straight flanks touch a straight line at an end."""
        return ()

    def bearing_angle_deg(self, depth_mm: ArrayLike, *, radius_mm: float) -> Array:
        """Where the flank's helix has climbed to that depth."""
        lead = np.asarray(self.lead_mm_per_rev)
        slope = np.where(lead > 0.0, lead, np.inf)
        return np.asarray(360.0 * (np.asarray(depth_mm) - self.bearing_depth_mm) / slope)

    def contour(self, inner_mm: float) -> Contour:
        """Side away from lock, leading flank, side towards lock, bearing flank."""
        back = Side(-self.half.deg, -self.half.offset_mm)
        front = Side(self.half.deg, self.half.offset_mm)
        bearing = Flank(self.bearing_depth_mm, 0.0, self.lead_mm_per_rev)
        depth = self.bearing_depth_mm + self.thickness_mm
        leading = Flank(depth, 0.0, self.floor_lead_mm_per_rev)
        corners = (
            Corner(back, bearing),
            Corner(back, leading),
            Corner(front, leading),
            Corner(front, bearing),
        )
        return Contour(corners, (back, leading, front, bearing), inner_mm, self.outer_radius_mm)

    def root(self, root_mm: float) -> RootSection:
        """Chord between its sides, and its thickness; that of the thinner end of a wedge."""
        half = float(self.half.at(root_mm))
        chord = 2.0 * root_mm * float(np.sin(np.radians(half)))
        apart = abs(self.floor_lead_mm_per_rev - self.lead_mm_per_rev)
        lost = float(advance_mm(apart, half)) if apart else 0.0
        return RootSection(width_mm=chord, thickness_mm=self.thickness_mm - lost)

    def bearing_width_mm(self, radius_mm: float, *, share: float) -> float:
        """Arc of its width, as much of it as is under the roof."""
        return float(np.radians(2.0 * self.half.at(radius_mm)) * share * radius_mm)
