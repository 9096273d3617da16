"""A closed contour in the developed plane, at any radius: what a lug or a track tool is.

Edges are *sides* (axial), *flanks* (swept) or *rounds* (about a radial axis). No shapely here and
no geometry kernel: only where the corners are.
"""

from __future__ import annotations

import dataclasses
import math
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from bayonet.mechanics import advance_mm, side_angle_deg, swing_deg

Array = NDArray[np.float64]

_GAUSS_POINTS = 48
_NODES, _WEIGHTS = np.polynomial.legendre.leggauss(_GAUSS_POINTS)


@dataclass(frozen=True)
class Arc:
    """The edge of a disc cutter, ahead of its axis (``sense`` 1) or behind it (-1)."""

    centre_mm: float
    radius_mm: float
    sense: int = 1

    def swing_deg(self, radius_mm: float | Array) -> Array:
        """Angle from the cutter's axis to its edge at a radius [deg]."""
        return self.sense * swing_deg(
            radius_mm, centre_mm=self.centre_mm, cutter_radius_mm=self.radius_mm
        )


@dataclass(frozen=True)
class Side:
    """An axial plane: radial at ``base_deg``, or parallel to that at ``offset_mm`` from it.

    With an ``arc``, the edge of a disc cutter whose axis stands at ``base_deg``.
    """

    base_deg: float
    offset_mm: float = 0.0
    arc: Arc | None = None

    def angle_at(self, radius_mm: float | Array) -> Array:
        """Angle of its trace on a cylinder [deg]."""
        radius = np.asarray(radius_mm, dtype=float)
        if self.arc is not None:
            return self.base_deg + self.arc.swing_deg(radius)
        if self.offset_mm == 0.0:
            return np.full_like(radius, self.base_deg)
        return self.base_deg + side_angle_deg(self.offset_mm, radius)


@dataclass(frozen=True)
class Flank:
    """A swept face: depth = depth_mm + lead (angle - from_deg) / 360 + slope (outer - radius).

    ``lead_mm_per_rev`` 0 and ``slope`` 0 is a plane, 0 and a slope a cone, else a helicoid. With
    an ``arc`` it is what a disc cutter on that helix leaves: the angle counts from its edge.
    """

    depth_mm: float
    from_deg: float = 0.0
    lead_mm_per_rev: float = 0.0
    slope: float = 0.0
    outer_mm: float = 0.0
    arc: Arc | None = None

    def depth_at(self, angle_deg: float | Array, radius_mm: float | Array) -> Array:
        """Depth of the face at an angle [deg] and radius [mm]."""
        start = self.from_deg + (self.arc.swing_deg(radius_mm) if self.arc else 0.0)
        swept = advance_mm(self.lead_mm_per_rev, np.asarray(angle_deg) - start)
        rise = self.slope * (self.outer_mm - np.asarray(radius_mm)) if self.slope else 0.0
        return np.asarray(self.depth_mm + swept + rise, dtype=float)


@dataclass(frozen=True)
class Corner:
    """Where two edges meet: on the trace of ``side``, at the depth of ``flank``."""

    side: Side
    flank: Flank


ROUND_WITHIN_MM = 1e-4
"""Greatest distance of a facet from a round that is met [mm]."""


@dataclass(frozen=True)
class Round:
    """Part of a cylinder about an axis in the plane of depth ``depth_mm``, along ``base_deg``.

    The axis is radial, or parallel to that at ``offset_mm``. A point of it at an angle t lies
    ``offset_mm + radius_mm cos t`` beside the radial plane, at the depth ``depth_mm + radius_mm
    sin t``. As a polygon it is facets: tangents, which hold the round (``held``), or chords,
    which the round holds; no further off than ``within_mm``.
    """

    base_deg: float
    offset_mm: float
    depth_mm: float
    radius_mm: float
    start_deg: float
    end_deg: float
    held: bool = True
    within_mm: float = ROUND_WITHIN_MM

    def beside(self, turn_deg: float | Array) -> Array:
        """Distance of a point from the radial plane at ``base_deg`` [mm]."""
        return np.asarray(self.offset_mm + self.radius_mm * np.cos(np.radians(turn_deg)))

    def depth(self, turn_deg: float | Array) -> Array:
        """Depth of a point [mm]."""
        return np.asarray(self.depth_mm + self.radius_mm * np.sin(np.radians(turn_deg)))

    def angle_at(self, turn_deg: Array, radius_mm: Array) -> Array:
        """Theta of points at angles about its axis and radii about the fitting's [deg]."""
        return np.asarray(self.base_deg + side_angle_deg(self.beside(turn_deg), radius_mm))

    def corner(self, turn_deg: float) -> Corner:
        """One of its ends, or a point between them, as a corner."""
        cosine = 0.0 if turn_deg % 180.0 == 90.0 else math.cos(math.radians(turn_deg))
        sine = 0.0 if turn_deg % 180.0 == 0.0 else math.sin(math.radians(turn_deg))
        side = Side(self.base_deg, self.offset_mm + self.radius_mm * cosine)
        return Corner(side, Flank(self.depth_mm + self.radius_mm * sine))

    def between(self) -> tuple[Corner, ...]:
        """Corners of the facets between its ends.

        Tangents meet halfway between the points they touch at, further out than the round by 1 over
        the cosine of half a step. In the developed plane, where theta is the arc sine of what lies
        beside, a tangent bows outwards and still holds the round; a chord stays within it as long
        as the round bends more than the arc sine does: its radius by the greatest distance beside
        is less than the square of the fitting's radius. Either bow is a hundredth of the bound.
        """
        within = 0.95 * self.within_mm / self.radius_mm
        turn = abs(self.end_deg - self.start_deg)
        count = max(1, math.ceil(math.radians(turn) / math.sqrt(8.0 * within / (1.0 + within))))
        step = (self.end_deg - self.start_deg) / count
        if self.held:
            out = dataclasses.replace(
                self, radius_mm=self.radius_mm / math.cos(math.radians(step / 2.0))
            )
            return tuple(out.corner(self.start_deg + (k + 0.5) * step) for k in range(count))
        return tuple(self.corner(self.start_deg + k * step) for k in range(1, count))


Edge = Side | Flank | Round


@dataclass(frozen=True)
class Contour:
    """Corners, and the edge from each to the next; between two radii.

    Parameters
    ----------
    corners : tuple of Corner
    edges : tuple of Side, Flank or Round
        ``edges[i]`` runs from corner i to corner i + 1; the last one closes.
    inner_mm, outer_mm : float
        Radii between which the contour is extruded [mm].
    """

    corners: tuple[Corner, ...]
    edges: tuple[Edge, ...]
    inner_mm: float
    outer_mm: float

    @cached_property
    def depends_on_radius(self) -> bool:
        """Whether the polygon differs from radius to radius."""
        return self.is_cut or any(
            c.side.offset_mm != 0.0 or c.flank.slope != 0.0 for c in self.corners
        )

    @cached_property
    def is_round(self) -> bool:
        """Whether any of its edges is round."""
        return any(isinstance(edge, Round) for edge in self.edges)

    @cached_property
    def facets(self) -> tuple[Corner, ...]:
        """Its corners, and between them those of the facets of its rounds."""
        if not self.is_round:
            return self.corners
        each = (
            (corner, *(edge.between() if isinstance(edge, Round) else ()))
            for corner, edge in zip(self.corners, self.edges, strict=True)
        )
        return tuple(corner for run in each for corner in run)

    @property
    def is_cut(self) -> bool:
        """Whether a disc cutter left it."""
        return any(corner.side.arc is not None for corner in self.corners)

    def corners_at(self, radius_mm: float) -> Array:
        """Corners between its edges at one radius, shape (n, 2): angle [deg], depth [mm]."""
        return np.asarray(_points(self.corners, np.array([radius_mm]))[0])

    def polygon(self, radius_mm: float) -> Array:
        """Corners, facets' included, at one radius, shape (n, 2): angle [deg], depth [mm]."""
        return np.asarray(self.polygons(np.array([radius_mm]))[0])

    def polygons(self, radii_mm: Array) -> Array:
        """Corners at several radii, shape (radii, n, 2): angle [deg], depth [mm]."""
        return _points(self.facets, radii_mm)

    def volume(self) -> float:
        r"""Volume of the contour extruded from inner to outer radius [mm3].

        .. math:: V = \int_{r_i}^{r_o} A(r)\, r\, \mathrm{d}r

        By Gauss-Legendre quadrature: exact where the area is a polynomial in the radius, and to
        the last digits for parallel sides, whose angle is smooth.

        Examples
        --------
        A quarter turn, 2 mm high, between radii 10 and 12: pi / 4 * (12**2 - 10**2) * 2.

        >>> square = rectangle(0.0, 90.0, 0.0, 2.0, inner_mm=10.0, outer_mm=12.0)
        >>> round(square.volume(), 9), round(3.141592653589793 / 4 * 44 * 2, 9)
        (69.115038379, 69.115038379)
        """
        nodes, weights = np.polynomial.legendre.leggauss(_GAUSS_POINTS)
        half, share = (self.outer_mm - self.inner_mm) / 2.0, (nodes + 1.0) / 2.0
        if self.is_cut:  # a disc's edge meets the wall like a root: quadratic steps make it smooth
            radii, weights = self.outer_mm - 2.0 * half * share**2, weights * 2.0 * share
        else:
            radii = self.inner_mm + 2.0 * half * share
        if self.is_round:
            areas = np.array([self._area_at(float(radius)) for radius in radii])
        else:
            areas = np.array([_area(polygon) for polygon in self.polygons(radii)])
        return float(half * np.sum(weights * areas * radii))

    def _area_at(self, radius_mm: float) -> float:
        r"""Area at one radius [rad mm], rounds as rounds: the sum of :math:`\int\theta dz`."""
        corners = self.corners_at(radius_mm)
        total = 0.0
        for edge, (a, y), (b, z) in zip(self.edges, corners, np.roll(corners, -1, 0), strict=True):
            if isinstance(edge, Round):
                half = (edge.end_deg - edge.start_deg) / 2.0
                turns = edge.start_deg + half * (_NODES + 1.0)
                rise = edge.radius_mm * np.cos(np.radians(turns)) * math.radians(half)
                angles = edge.angle_at(turns, np.full_like(turns, radius_mm))
                total += float(np.sum(_WEIGHTS * angles * rise))
            else:
                total += float((a + b) / 2.0 * (z - y))
        return abs(math.radians(total))


def _points(corners: tuple[Corner, ...], radii_mm: Array) -> Array:
    angles = [corner.side.angle_at(radii_mm) for corner in corners]
    depths = [
        np.broadcast_to(corner.flank.depth_at(angle, radii_mm), radii_mm.shape)
        for corner, angle in zip(corners, angles, strict=True)
    ]
    return np.stack([np.stack(angles, axis=-1), np.stack(depths, axis=-1)], axis=-1)


def _area(polygon: Array) -> float:
    """Area of a polygon at one radius [rad mm]."""
    angle, depth = polygon.T
    twice = angle @ np.roll(depth, -1) - depth @ np.roll(angle, -1)
    return float(abs(np.radians(twice)) / 2.0)


def rectangle(
    from_deg: float,
    to_deg: float,
    from_mm: float,
    to_mm: float,
    *,
    inner_mm: float,
    outer_mm: float,
) -> Contour:
    """A plain window: between two radial planes and two depths."""
    left, right = Side(from_deg), Side(to_deg)
    top, bottom = Flank(from_mm), Flank(to_mm)
    corners = (Corner(left, top), Corner(left, bottom), Corner(right, bottom), Corner(right, top))
    return Contour(corners, (left, bottom, right, top), inner_mm, outer_mm)


def mirrored(contour: Contour, *, sign: int, centre_deg: float) -> Contour:
    """From lock coordinates to theta: mirrored for a right hand, and moved to its centre.

    Parameters
    ----------
    contour : Contour
    sign : {1, -1}
        +1 where lock lies towards greater theta.
    centre_deg : float
        Theta of the origin of the lock coordinates [deg].

    Returns
    -------
    Contour
        Angles are theta [deg]. Corners run counter-clockwise seen from outside, with z = -depth
        upwards.
    """

    def arc(old: Arc | None) -> Arc | None:
        return None if old is None else dataclasses.replace(old, sense=sign * old.sense)

    def side(old: Side) -> Side:
        return Side(centre_deg + sign * old.base_deg, sign * old.offset_mm, arc(old.arc))

    def flank(old: Flank) -> Flank:
        start = centre_deg + sign * old.from_deg
        lead = sign * old.lead_mm_per_rev
        return Flank(old.depth_mm, start, lead, old.slope, old.outer_mm, arc(old.arc))

    def bow(old: Round) -> Round:
        if sign > 0:
            return dataclasses.replace(old, base_deg=centre_deg + old.base_deg)
        return dataclasses.replace(
            old, base_deg=centre_deg - old.base_deg, offset_mm=-old.offset_mm,
            start_deg=180.0 - old.end_deg, end_deg=180.0 - old.start_deg,
        )  # fmt: skip

    def edge(old: Edge) -> Edge:
        if isinstance(old, Round):
            return bow(old)
        return side(old) if isinstance(old, Side) else flank(old)

    corners = tuple(Corner(side(c.side), flank(c.flank)) for c in contour.corners)
    edges: tuple[Edge, ...] = tuple(edge(old) for old in contour.edges)
    if sign < 0:
        corners = corners[::-1]
        edges = (*edges[-2::-1], edges[-1])
    return Contour(corners, edges, contour.inner_mm, contour.outer_mm)
