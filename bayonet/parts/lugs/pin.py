"""A round radial pin: a cylinder whose axis is square to the fitting's and meets it."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

from bayonet.mechanics import side_angle_deg
from bayonet.parts.lugs.shape import FlankName, LugDimension, LugSizes, LugZone, RootSection
from bayonet.parts.lugs.sides import HalfAngle
from bayonet.shapes import Contour, Corner, Edge, Round

Array = NDArray[np.float64]

_ROUND_SHEAR = 9.0 * math.pi / 32.0
_ROUND_BENDING = 3.0 * math.pi / 16.0
"""Of the square of a pin's diameter, and of its cube: what a rectangle's area, and its width by
its thickness squared, must be for 3 V / 2 A and 6 M / w t2 to be the pin's 4 V / 3 A and
32 M / pi d3 (Budynas & Nisbett, Shigley's Mechanical Engineering Design, 9th ed., table 3-2 and
eq. 3-24, from memory)."""
_STEPS = 12
"""Of the fixed point in `Pin.touches_deg`; each step gains a digit or more."""


@dataclass(frozen=True, kw_only=True)
class Pin:
    """A round radial pin, its end on the diameter over the pins.

    Answers as `bayonet.parts.lugs.LugShape` says. Its flanks are the halves of its round towards
    the mouth and into the tank. The pin that holds a whole production is one swept over a small
    rectangle: an angle either way, a distance sideways, a depth up and down.

    Parameters
    ----------
    radius_mm : float
        Of the pin.
    middle_mm : float
        Depth of its axis.
    outer_radius_mm : float
        The greatest distance of its end from the fitting's axis.
    spare_deg, spare_aside_mm, spare_depth_mm : float
        How far it is swept, plus or minus.

    Examples
    --------
    A pin of 6 mm, its axis 10 mm deep, 1.5 mm from its middle at radius 15 mm, which is
    asin(0.1) = 5.739 deg: its side lies sqrt(9 - 2.25) = 2.598 mm above and below the axis.

    >>> pin = Pin(radius_mm=3.0, middle_mm=10.0, outer_radius_mm=20.0)
    >>> at = float(np.degrees(np.arcsin(0.1)))
    >>> round(float(pin.bearing_at(at, radius_mm=15.0)), 3)
    7.402
    >>> round(float(pin.leading_at(at, radius_mm=15.0)), 3)
    12.598
    """

    radius_mm: float
    middle_mm: float
    outer_radius_mm: float
    spare_deg: float = 0.0
    spare_aside_mm: float = 0.0
    spare_depth_mm: float = 0.0

    @classmethod
    def of_sizes(cls, sizes: LugSizes) -> Pin:
        """The pin of these sizes: as wide as it is thick."""
        radius = sizes.thickness_mm / 2.0
        return cls(
            radius_mm=radius,
            middle_mm=sizes.bearing_depth_mm + radius,
            outer_radius_mm=sizes.outer_radius_mm,
        )

    @property
    def half(self) -> HalfAngle:
        """Parallel sides at its radius."""
        return HalfAngle(deg=self.spare_deg, offset_mm=self.spare_aside_mm + self.radius_mm)

    @property
    def bearing_depth_mm(self) -> float:
        """Depth of its side towards the mouth [mm]."""
        return self.middle_mm - self.spare_depth_mm - self.radius_mm

    @property
    def thickness_mm(self) -> float:
        """Its diameter [mm]."""
        return 2.0 * (self.radius_mm + self.spare_depth_mm)

    @property
    def lead_mm_per_rev(self) -> float:
        """0: in its middle a round lies level."""
        return 0.0

    @property
    def floor_lead_mm_per_rev(self) -> float:
        """0, likewise."""
        return 0.0

    @property
    def round_mm(self) -> float:
        """Its radius: it bears along a line."""
        return self.radius_mm

    @property
    def dimensions(self) -> tuple[LugDimension, ...]:
        """Diameter, depth, diameter over the pins."""
        return (
            LugDimension(key="diameter", nominal=2.0 * self.radius_mm),
            LugDimension(key="bearing_depth", nominal=self.bearing_depth_mm),
            LugDimension(key="outer_diameter", nominal=2.0 * self.outer_radius_mm),
        )

    def moved(self, by: Mapping[str, ArrayLike]) -> Pin:
        """A thicker pin keeps the depth of its side towards the mouth."""

        def plus(nominal: float, *terms: tuple[str, float]) -> Any:
            moved: Any = nominal
            for key, part in terms:
                if key in by:
                    moved = moved + part * np.asarray(by[key])
            return moved

        return replace(
            self,
            radius_mm=plus(self.radius_mm, ("diameter", 0.5)),
            middle_mm=plus(self.middle_mm, ("bearing_depth", 1.0), ("diameter", 0.5)),
            outer_radius_mm=plus(self.outer_radius_mm, ("outer_diameter", 0.5)),
        )

    def at_zone(self, zone: LugZone, sign: float) -> Pin:
        """The largest is swept over the zone of its place; the smallest is round again.

        What all places of the thinnest pin share is a lens; the circle in it is taken.
        """
        outer = self.outer_radius_mm + sign * zone.outer_radius_mm
        radius = self.radius_mm + sign * zone.side_mm
        middle = self.bearing_depth_mm + radius
        if sign > 0.0:
            return replace(
                self, radius_mm=radius, middle_mm=middle, outer_radius_mm=outer,
                spare_deg=zone.position_deg, spare_depth_mm=zone.bearing_mm,
            )  # fmt: skip
        away = math.hypot(zone.bearing_mm, math.radians(zone.position_deg) * outer)
        return replace(
            self, radius_mm=radius - abs(sign) * away, middle_mm=middle, outer_radius_mm=outer
        )

    def anywhere(self, aside_mm: float, *, root_mm: float) -> Pin:
        """Aside it is the same cylinder, further out or further round."""
        return replace(
            self,
            spare_aside_mm=self.spare_aside_mm + aside_mm,
            outer_radius_mm=self.outer_radius_mm + aside_mm,
        )

    def _rise(self, from_centre_deg: ArrayLike, radius_mm: ArrayLike) -> Array:
        """Depth of its side above or below its axis at an angle [mm]; 0 beyond its reach."""
        turn = np.maximum(np.abs(np.asarray(from_centre_deg)) - self.spare_deg, 0.0)
        across = np.asarray(radius_mm) * np.sin(np.radians(turn)) - self.spare_aside_mm
        square = np.asarray(self.radius_mm) ** 2 - np.maximum(across, 0.0) ** 2
        return np.asarray(np.sqrt(np.maximum(square, 0.0)) + self.spare_depth_mm)

    def bearing_at(self, from_centre_deg: ArrayLike, *, radius_mm: ArrayLike) -> Array:
        """Its round towards the mouth."""
        return np.asarray(self.middle_mm - self._rise(from_centre_deg, radius_mm))

    def leading_at(self, from_centre_deg: ArrayLike, *, radius_mm: ArrayLike) -> Array:
        """Its round into the tank."""
        return np.asarray(self.middle_mm + self._rise(from_centre_deg, radius_mm))

    def touches_deg(
        self, flank: FlankName, lead_mm_per_rev: ArrayLike, *, radius_mm: float
    ) -> tuple[Array, ...]:
        r"""Where its round runs as steep as the line, on either side of its middle.

        With :math:`y = \rho \sin t` across the pin, its side falls by :math:`\tan t` per mm, which
        is :math:`r \cos\psi` per radian at :math:`\psi`, :math:`r \sin\psi = y`: as steep as a lead
        :math:`L` where :math:`\tan t = L / (2 \pi r \cos\psi)`.
        """
        steep = np.asarray(lead_mm_per_rev, dtype=float) / (2.0 * math.pi * radius_mm)
        towards = steep if flank == "bearing" else -steep
        return self._as_steep(np.maximum(towards, 0.0), radius_mm), -self._as_steep(
            np.maximum(-towards, 0.0), radius_mm
        )

    def _as_steep(self, steep: Array, radius_mm: float) -> Array:
        across = np.asarray(self.spare_aside_mm, dtype=float)
        for _ in range(_STEPS):
            sine = np.minimum(across / radius_mm, 1.0 - 1e-12)
            fall = steep / np.sqrt(1.0 - sine**2)
            across = self.spare_aside_mm + self.radius_mm * fall / np.sqrt(1.0 + fall**2)
        return np.asarray(self.spare_deg + side_angle_deg(across, radius_mm))

    def bearing_angle_deg(self, depth_mm: ArrayLike, *, radius_mm: float) -> Array:
        """On its side towards lock; infinite above it and below its axis."""
        rise = self.middle_mm - self.spare_depth_mm - np.asarray(depth_mm, dtype=float)
        square = np.asarray(self.radius_mm) ** 2 - rise**2
        across = self.spare_aside_mm + np.sqrt(np.maximum(square, 0.0))
        angle = self.spare_deg + side_angle_deg(across, radius_mm)
        above, below = rise > self.radius_mm, rise < 0.0
        return np.asarray(np.where(above, -np.inf, np.where(below, np.inf, angle)))

    def contour(self, inner_mm: float) -> Contour:
        """Four quarters of a round, and what is straight between them where it is swept."""
        corners: list[Corner] = []
        edges: list[Edge] = []
        # from the side away from lock over the leading one, towards lock, to the bearing one
        for index, (start, straight) in enumerate(
            ((180.0, "leading"), (90.0, "front"), (0.0, "bearing"), (-90.0, "back"))
        ):
            lock = -1.0 if index in (0, 3) else 1.0
            deep = 1.0 if index in (0, 1) else -1.0
            bow = Round(
                base_deg=lock * self.spare_deg,
                offset_mm=lock * self.spare_aside_mm,
                depth_mm=self.middle_mm + deep * self.spare_depth_mm,
                radius_mm=self.radius_mm,
                start_deg=start,
                end_deg=start - 90.0,
            )
            corners.append(bow.corner(start))
            edges.append(bow)
            wide = self.spare_deg or self.spare_aside_mm
            if wide if straight in ("leading", "bearing") else self.spare_depth_mm:
                end = bow.corner(start - 90.0)
                corners.append(end)
                edges.append(end.flank if straight in ("leading", "bearing") else end.side)
        return Contour(tuple(corners), tuple(edges), inner_mm, self.outer_radius_mm)

    def root(self, root_mm: float) -> RootSection:
        """The rectangle whose bending and shear stresses are the round's; all of it carries."""
        across = 2.0 * self.radius_mm
        thick = across * _ROUND_BENDING / _ROUND_SHEAR
        stiff = across * math.sqrt(3.0) / 2.0
        return RootSection(
            width_mm=across * _ROUND_SHEAR * across / thick,
            thickness_mm=thick,
            whole=True,
            spring_mm=(math.pi * across**2 / 4.0 / stiff, stiff),
        )

    def bearing_width_mm(self, radius_mm: float, *, share: float) -> float:
        """0: a round bears along a line."""
        return 0.0
