"""The plug as the rest of the package sees it: resolved, frozen, in mm and degrees.

Depths count from the shoulder into the tank. What the file said is in `bayonet.designfile`.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike, NDArray

from bayonet.mechanics import advance_mm, side_angle_deg

Array = NDArray[np.float64]

Hand = Literal["right", "left"]
Layout = Literal["A", "B", "C"]
GrooveKind = Literal["radial", "shoulder_face", "nose_face"]


@dataclass(frozen=True, kw_only=True)
class HalfAngle:
    """Half-width of a lug or slot, as an angle that may depend on the radius.

    Radial sides have a fixed angle; parallel sides stand at a fixed distance from the middle
    plane. One of the two parts is zero.

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

    def at(self, radius_mm: float | np.ndarray) -> float | np.ndarray:
        """Half-width [deg] at a radius [mm]; NaN where the side does not reach it."""
        if self.offset_mm == 0.0:
            return self.deg + 0.0 * np.asarray(radius_mm)
        return self.deg + side_angle_deg(self.offset_mm, radius_mm)

    def grown(self, by_mm: float, *, at_radius_mm: float) -> HalfAngle:
        """The same, each side moved out by a length [mm], for radial sides taken at a radius."""
        if self.offset_mm == 0.0:
            return HalfAngle(deg=self.deg + math.degrees(by_mm / at_radius_mm), offset_mm=0.0)
        return HalfAngle(deg=self.deg, offset_mm=self.offset_mm + by_mm)

    def turned(self, by_deg: float) -> HalfAngle:
        """The same with an angle [deg] added."""
        return HalfAngle(deg=self.deg + by_deg, offset_mm=self.offset_mm)


@dataclass(frozen=True, kw_only=True)
class LugZone:
    """How far a lug of the production may lie outside its nominal shape, plus or minus."""

    side_mm: float
    position_deg: float
    bearing_mm: float
    leading_mm: float
    outer_radius_mm: float


@dataclass(frozen=True, kw_only=True)
class Lug:
    """One lug. ``lead_mm_per_rev`` is positive where turning to lock pulls the plug in."""

    centre_deg: float
    half: HalfAngle
    outer_radius_mm: float
    thickness_mm: float
    bearing_depth_mm: float
    lead_mm_per_rev: float
    zone: LugZone

    def bearing_at(self, from_centre_deg: ArrayLike) -> Array:
        """Depth [mm] of the bearing flank at an angle from the middle, towards lock [deg]."""
        return self.bearing_depth_mm + advance_mm(self.lead_mm_per_rev, from_centre_deg)

    def leading_at(self, from_centre_deg: ArrayLike) -> Array:
        """Depth [mm] of the leading flank at an angle from the middle, towards lock [deg]."""
        return self.bearing_at(from_centre_deg) + self.thickness_mm


@dataclass(frozen=True, kw_only=True)
class BodyStepMm:
    """A stretch of the plug's body of one radius."""

    radius_mm: float
    from_depth_mm: float
    to_depth_mm: float
    radius_zone_mm: float
    depth_zone_mm: float


@dataclass(frozen=True, kw_only=True)
class GrooveMm:
    """The O-ring groove.

    Radial: ``radius_mm`` is the bottom's, ``start_mm`` and ``end_mm`` are depths.
    Face: ``start_mm`` and ``end_mm`` are the inner and outer wall's radii, ``cut_mm`` its depth.
    """

    kind: GrooveKind
    radius_mm: float
    start_mm: float
    end_mm: float
    cut_mm: float
    corner_radius_mm: float
    radius_zone_mm: float
    depth_zone_mm: float
    width_zone_mm: float


@dataclass(frozen=True, kw_only=True)
class Plug:
    """The measured male part.

    ``lug_axis_zone_mm`` is how far the axis of the lugs may stand off the body's, in any direction.
    """

    hand: Hand
    turn_deg: float
    shoulder_radius_mm: float
    shoulder_thickness_mm: float
    nose_chamfer_mm: float
    body: tuple[BodyStepMm, ...]
    lugs: tuple[Lug, ...]
    groove: GrooveMm
    lug_axis_zone_mm: float

    @property
    def sign(self) -> int:
        """+1 where turning to lock increases theta (left hand), else -1."""
        return 1 if self.hand == "left" else -1

    @property
    def nose_depth_mm(self) -> float:
        """Depth of the plug's end [mm]."""
        return self.body[-1].to_depth_mm

    @property
    def lug_span_mm(self) -> tuple[float, float]:
        """Least and greatest depth any lug reaches [mm]."""
        extents = [
            (float(lug.bearing_at(end)), float(lug.leading_at(-end)))
            for lug in self.lugs
            for end in (self._reach(lug), -self._reach(lug))
        ]
        return min(low for low, _ in extents), max(high for _, high in extents)

    @property
    def lug_body(self) -> BodyStepMm:
        """The stretch of body the lugs stand on."""
        middle = sum(self.lug_span_mm) / 2.0
        for step in self.body:
            if middle <= step.to_depth_mm:
                return step
        return self.body[-1]

    @property
    def groove_body(self) -> BodyStepMm:
        """The stretch of body a radial groove is cut into; the widest where it meets several."""
        groove = self.groove
        beside = [
            step
            for step in self.body
            if step.to_depth_mm > groove.start_mm and step.from_depth_mm < groove.end_mm
        ]
        return max(beside, key=lambda step: step.radius_mm)

    def _reach(self, lug: Lug) -> float:
        inner = min(step.radius_mm for step in self.body)
        reach = float(lug.half.at(max(inner, lug.half.offset_mm)))
        return reach if math.isfinite(reach) else 90.0
