"""A socket of two parts: the retaining ring, the body it stands in, and what joins them.

Frozen records and their plan-view geometry; `joint_plan` decides the numbers.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bayonet.parts.lugs import HalfAngle
from bayonet.standards import Bolt

Array = NDArray[np.float64]

BITE_MM = 0.05
"""How far the mill goes into a side at its corner, so that nothing of it is left [mm]."""


@dataclass(frozen=True, kw_only=True)
class Bolts:
    """Cap screws on one circle, through the ring into threads of the body.

    Parameters
    ----------
    bolt : Bolt
    property_class : str
    count : int
    circle_radius_mm, first_deg : float
        Circle [mm] and theta of the first one [deg].
    sink_mm : float
        Depth of the counterbores below the mouth face; 0 with heads that stand on it [mm].
    engagement_mm, hole_depth_mm : float
        Thread that bears, and depth of the tapped hole, below the seat [mm].
    preload_share, nut_factor : float
        Preload over proof load; torque over preload and diameter [-].
    """

    bolt: Bolt
    property_class: str
    count: int
    circle_radius_mm: float
    first_deg: float
    sink_mm: float
    engagement_mm: float
    hole_depth_mm: float
    preload_share: float
    nut_factor: float

    @property
    def hole_radius_mm(self) -> float:
        """Radius of the clearance hole [mm]."""
        return self.bolt.clearance_hole_mm / 2.0

    @property
    def head_radius_mm(self) -> float:
        """Room the head takes on the ring: counterbore, or the head itself [mm]."""
        wide = self.bolt.counterbore_mm if self.sink_mm > 0.0 else self.bolt.head_diameter_mm
        return wide / 2.0

    def places(self) -> Array:
        """Middles of the holes, shape (count, 2) [mm]."""
        angles = np.radians(self.first_deg + 360.0 / self.count * np.arange(self.count))
        return self.circle_radius_mm * np.column_stack([np.cos(angles), np.sin(angles)])


@dataclass(frozen=True, kw_only=True)
class Dowel:
    """A parallel pin that clocks the ring; blind holes in ring and body, as deep [mm]."""

    radius_mm: float
    at_deg: float
    circle_radius_mm: float
    ring_depth_mm: float
    body_depth_mm: float
    position_mm: float

    def place(self) -> Array:
        """Middle of the pin, shape (2,) [mm]."""
        angle = math.radians(self.at_deg)
        return self.circle_radius_mm * np.array([math.cos(angle), math.sin(angle)])


@dataclass(frozen=True, kw_only=True)
class JointSeal:
    """An O-ring in a groove of the counterbore's floor; radii and depth [mm]."""

    name: str
    inside_diameter_mm: float
    section_mm: float
    inner_radius_mm: float
    outer_radius_mm: float
    depth_mm: float
    source: str


@dataclass(frozen=True, kw_only=True)
class Relief:
    """Where the mill's own radius is run out beyond a corner of slot or track, in lock coordinates.

    A disc of the mill's radius that goes `BITE_MM` into the side, its middle as far out as the
    corner, from a depth down to the ring's underside.

    Parameters
    ----------
    what : {"far side", "near side", "stop"}
        Side of the slot away from lock, side towards lock, stop face.
    side : HalfAngle
        The face, mirrored where it is the far side.
    wall_mm, mill_mm : float
        Radius of the track's wall, and of the mill [mm].
    top_mm : float
        Depth it starts at [mm].
    """

    what: str
    side: HalfAngle
    wall_mm: float
    mill_mm: float
    top_mm: float

    def _local(self) -> tuple[float, float]:
        """Middle in the frame of the face: along it, and across it towards its metal [mm]."""
        offset = self.side.offset_mm
        return math.sqrt(self.wall_mm**2 - offset**2), offset - (self.mill_mm - BITE_MM)

    @property
    def radius_mm(self) -> float:
        """Distance of the disc's middle from the axis [mm]."""
        return math.hypot(*self._local())

    @property
    def mirrored_angle_deg(self) -> float:
        """Angle of the disc's middle as if the face were one towards lock [deg]."""
        along, across = self._local()
        return self.side.deg + math.degrees(math.atan2(across, along))

    @property
    def angle_deg(self) -> float:
        """Angle of the disc's middle from the slot's middle towards lock [deg]."""
        angle = self.mirrored_angle_deg
        return -angle if self.what == "far side" else angle

    @property
    def reach_mm(self) -> float:
        """Greatest radius it reaches [mm]."""
        return self.radius_mm + self.mill_mm

    @property
    def bites_from_mm(self) -> float:
        """Radius from which it goes into the face [mm]."""
        along, _ = self._local()
        chord = math.sqrt(2.0 * self.mill_mm * BITE_MM - BITE_MM**2)
        return math.hypot(along - chord, self.side.offset_mm)

    def bite_deg(self, radius_mm: Array) -> tuple[Array, Array]:
        """First and last angle of the bite at radii inside the wall, as towards lock [deg]."""
        middle, rho = self.radius_mm, self.mill_mm
        cos = (radius_mm**2 + middle**2 - rho**2) / (2.0 * radius_mm * middle)
        edge = self.mirrored_angle_deg + np.degrees(np.arccos(np.clip(cos, -1.0, 1.0)))
        return np.asarray(self.side.at(radius_mm)), edge

    def area_beyond_wall_mm2(self) -> float:
        """Area of the disc outside the wall: the disc less its lens with the wall's circle."""
        return math.pi * self.mill_mm**2 - lens_mm2(self.radius_mm, self.wall_mm, self.mill_mm)


def lens_mm2(apart: float, one: float, other: float) -> float:
    """Area two circles share [mm2], where they cross.

    References
    ----------
    .. [1] Two circular segments; closed form.

    Examples
    --------
    Unit circles one apart share 2 pi / 3 - sqrt(3) / 2.

    >>> round(lens_mm2(1.0, 1.0, 1.0) - (2 * math.pi / 3 - math.sqrt(3) / 2), 12)
    0.0
    """
    a = math.acos((apart**2 + one**2 - other**2) / (2.0 * apart * one))
    b = math.acos((apart**2 + other**2 - one**2) / (2.0 * apart * other))
    return one**2 * (a - math.sin(2.0 * a) / 2.0) + other**2 * (b - math.sin(2.0 * b) / 2.0)


@dataclass(frozen=True, kw_only=True)
class Joint:
    """Ring and body [mm]: the seat is the track's floor, the ring's underside stands on it.

    Parameters
    ----------
    seat_mm : float
        Depth of the seat below the mouth face: the ring's thickness.
    ring_radius_mm : float
        Outside of the ring, and the body's counterbore.
    register_mm : float
        How deep the ring stands in the counterbore.
    mill_radius_mm : float
        Of the end mill that cuts slots and ramps.
    mill_named : bool
        Whether the design file names it.
    bolts : Bolts
    dowel : Dowel or None
    seal : JointSeal or None
    wetted : bool
        Whether the joint lies in the space the fluid fills.
    centring_mm, flatness_mm : float
        Greatest clearance of the register on diameter; flatness of both seats together.
    """

    seat_mm: float
    ring_radius_mm: float
    register_mm: float
    mill_radius_mm: float
    mill_named: bool
    bolts: Bolts
    dowel: Dowel | None
    seal: JointSeal | None
    wetted: bool
    centring_mm: float
    flatness_mm: float

    @property
    def rim_mm(self) -> float:
        """Depth of the body's rim below the mouth face [mm]."""
        return self.seat_mm - self.register_mm

    @property
    def clocking_deg(self) -> float:
        """How far the ring may stand turned on the body, either way [deg].

        The dowel's holes, or without one the play of the bolts in their holes, over the radius.
        """
        if self.dowel is not None:
            return math.degrees(self.dowel.position_mm / self.dowel.circle_radius_mm)
        play = (self.bolts.bolt.clearance_hole_mm - self.bolts.bolt.diameter_mm) / 2.0
        return math.degrees(play / self.bolts.circle_radius_mm)
