"""Convex bodies about the fitting's axis: turned ones, and bars that swing through a sector.

Each tells the distance of points, negative inside, and its slope there. Distance to a convex body
is a convex function, so the slope at one point bounds it from below everywhere: that is what
makes the search in `bayonet.surroundings.envelope` exact on flat walls and fast on all others.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Protocol

import numpy as np
from numpy.typing import NDArray
from shapely import MultiPoint, Polygon, box

Array = NDArray[np.float64]
Pair = tuple[float, float]


class Body(Protocol):
    """A convex body in the fitting's coordinates."""

    @property
    def name(self) -> str: ...  # noqa: D102

    def signed(self, points_mm: Array) -> tuple[Array, Array]:
        """Distance of points of shape (n, 3), negative inside [mm], and its slope (n, 3)."""
        ...


@dataclass(frozen=True, kw_only=True)
class Turned:
    """A convex body of revolution about z.

    Parameters
    ----------
    name : str
    outline : tuple of (rho, z)
        Corners of half its section in order, counter-clockwise, the first and last on the axis
        [mm].
    """

    name: str
    outline: tuple[Pair, ...]

    def signed(self, points_mm: Array) -> tuple[Array, Array]:
        """Distance, negative inside [mm], and its slope.

        Examples
        --------
        A cylinder of radius 10 and height 20: 5 mm beside it, 3 mm above it, 2 mm within, and
        diagonally off its rim by 3 and 4 mm.

        >>> body = cylinder("c", 10.0, 0.0, 20.0)
        >>> body.signed(np.array([[15.0, 0, 10], [0, 0, 23], [0, 8, 10], [13, 0, 24]]))[0].tolist()
        [5.0, 3.0, -2.0, 5.0]
        """
        rho = np.hypot(points_mm[:, 0], points_mm[:, 1])
        z = points_mm[:, 2]
        outside = np.full(len(rho), np.inf)
        inside = np.full(len(rho), -np.inf)
        slope_out, slope_in = np.zeros((len(rho), 2)), np.zeros((len(rho), 2))
        for (r0, z0), (r1, z1) in zip(self.outline, self.outline[1:], strict=False):
            dr, dz = r1 - r0, z1 - z0
            length = math.hypot(dr, dz)
            if not length > 0.0:
                continue
            along = np.clip(((rho - r0) * dr + (z - z0) * dz) / length**2, 0.0, 1.0)
            off_r, off_z = rho - r0 - along * dr, z - z0 - along * dz
            off = np.hypot(off_r, off_z)
            nearer = off < outside
            outside[nearer] = off[nearer]
            slope_out[nearer, 0], slope_out[nearer, 1] = off_r[nearer], off_z[nearer]
            plane = ((rho - r0) * dz - (z - z0) * dr) / length
            higher = plane > inside
            inside[higher] = plane[higher]
            slope_in[higher] = dz / length, -dr / length
        out = (inside > 0.0) & (outside > 0.0)
        value = np.where(out, outside, np.minimum(inside, 0.0))
        slope = np.where(out[:, None], slope_out / np.where(out, outside, 1.0)[:, None], slope_in)
        unit = points_mm[:, :2] / np.maximum(rho, 1e-300)[:, None]
        return value, np.column_stack([slope[:, :1] * unit, slope[:, 1]])


def cylinder(name: str, radius_mm: float, from_mm: float, to_mm: float) -> Turned:
    """A cylinder about z [mm]."""
    return cone(name, (radius_mm, from_mm), (radius_mm, to_mm))


def cone(name: str, low: Pair, high: Pair, *, lift_mm: Pair = (0.0, 0.0)) -> Turned:
    """A cone or cylinder between (radius, height) pairs, swept over a range of lifts [mm].

    Sweeping a convex body along a line leaves it convex: its hull at both ends of the way.

    Examples
    --------
    >>> cone("cap", (20.0, 0.0), (10.0, 5.0), lift_mm=(0.0, 30.0)).outline
    ((0.0, 0.0), (20.0, 0.0), (20.0, 30.0), (10.0, 35.0), (0.0, 35.0))
    """
    points = [
        (radius, height + lift)
        for radius, height in ((0.0, low[1]), low, high, (0.0, high[1]))
        for lift in lift_mm
    ]
    return Turned(name=name, outline=_half_outline(points))


def outside(body: Turned) -> Turned | None:
    """What of a body stands over the mouth face; None where nothing does.

    Examples
    --------
    >>> outside(cylinder("nose", 8.0, -20.0, 5.0)).outline
    ((0.0, 0.0), (8.0, 0.0), (8.0, 5.0), (0.0, 5.0))
    """
    if min(z for _, z in body.outline) >= 0.0:
        return body
    far = max(max(r, abs(z)) for r, z in body.outline) + 1.0
    rest = Polygon(body.outline).intersection(box(0.0, 0.0, far, far))
    if rest.geom_type != "Polygon" or not rest.area > 0.0:
        return None
    return Turned(name=body.name, outline=_half_outline(list(rest.exterior.coords)[:-1]))


def without_hidden(bodies: Sequence[Body]) -> tuple[Body, ...]:
    """Bodies that no other turned body holds wholly within it.

    Examples
    --------
    >>> rim, pin = cylinder("rim", 20.0, 0.0, 10.0), cylinder("pin", 5.0, 2.0, 8.0)
    >>> [body.name for body in without_hidden([pin, rim])]
    ['rim']
    """
    kept: list[Body] = []
    for i, body in enumerate(bodies):
        shape = _section(body)
        others = [_section(o) for o in (*kept, *bodies[i + 1 :])]
        if shape is None or not any(o is not None and o.covers(shape) for o in others):
            kept.append(body)
    return tuple(kept)


def _section(body: Body) -> Polygon | None:
    return Polygon(body.outline) if isinstance(body, Turned) else None


def _half_outline(points: Sequence[Pair]) -> tuple[Pair, ...]:
    """Hull of points, from its lowest to its highest on the axis, counter-clockwise."""
    hull = MultiPoint(points).convex_hull
    if hull.geom_type != "Polygon":
        raise ValueError(f"a turned body needs width and height: {points}")
    ring = np.array(hull.exterior.coords)[:-1]
    twice = float(
        np.sum(ring[:, 0] * np.roll(ring[:, 1], -1) - np.roll(ring[:, 0], -1) * ring[:, 1])
    )
    ring = ring if twice > 0 else ring[::-1]
    on_axis = ring[:, 0] <= 0.0
    start = int(np.flatnonzero(on_axis)[np.argmin(ring[on_axis, 1])])
    ring = np.roll(ring, -start, axis=0)
    stop = int(np.flatnonzero(ring[:, 0] <= 0.0)[np.argmax(ring[ring[:, 0] <= 0.0, 1])])
    return tuple((float(r), float(z)) for r, z in ring[: stop + 1])


@dataclass(frozen=True, kw_only=True)
class Swing:
    """A bar from the axis outwards, of a width and rounded end, swept through a sector.

    Parameters
    ----------
    name : str
    reach_mm : float
        Middle of the rounded end, from the axis [mm].
    round_mm : float
        Half the bar's width [mm].
    from_mm, to_mm : float
        Heights [mm].
    from_deg, span_deg : float
        Where the sector starts, theta, and its angle from 0 to 180 [deg].
    """

    name: str
    reach_mm: float
    round_mm: float
    from_mm: float
    to_mm: float
    from_deg: float
    span_deg: float

    def signed(self, points_mm: Array) -> tuple[Array, Array]:
        """Distance, negative inside [mm], and its slope.

        Examples
        --------
        A bar along +x, end at 50 mm, 20 mm wide, swept a quarter turn towards +y: 10 mm beyond
        its rounded end on either side, 5 mm above, and 10 mm behind its flat.

        >>> bar = Swing(
        ...     name="bar", reach_mm=50, round_mm=10, from_mm=0, to_mm=8, from_deg=0, span_deg=90
        ... )
        >>> at = np.array([[70.0, 0, 4], [0, 70, 4], [20, 20, 13], [25, -20, 4]])
        >>> bar.signed(at)[0].round(9).tolist()
        [10.0, 10.0, 5.0, 10.0]
        """
        flat, flat_slope = self._in_plane(points_mm[:, :2])
        flat = flat - self.round_mm
        middle, half = (self.from_mm + self.to_mm) / 2.0, (self.to_mm - self.from_mm) / 2.0
        high = np.abs(points_mm[:, 2] - middle) - half
        up = np.sign(points_mm[:, 2] - middle)
        a, b = np.maximum(flat, 0.0), np.maximum(high, 0.0)
        off = np.hypot(a, b)
        out = off > 0.0
        level = np.where(out, a / np.where(out, off, 1.0), flat >= high)
        upward = np.where(out, b / np.where(out, off, 1.0), flat < high)
        value = np.where(out, off, np.maximum(flat, high))
        return value, np.column_stack([flat_slope * level[:, None], up * upward])

    def _in_plane(self, xy: Array) -> tuple[Array, Array]:
        """Distance to the sector without its rounding, negative inside, and its slope."""
        rho = np.hypot(xy[:, 0], xy[:, 1])
        value, slope = rho - self.reach_mm, xy / np.maximum(rho, 1e-300)[:, None]
        sides = [math.radians(self.from_deg), math.radians(self.from_deg + self.span_deg)]
        off = np.full(len(xy), np.inf)
        off_slope = np.zeros_like(xy)
        beside = np.zeros(len(xy), dtype=bool)
        for angle, outward in zip(sides, (-1.0, 1.0), strict=True):
            u = np.array([math.cos(angle), math.sin(angle)])
            n = outward * np.array([-u[1], u[0]])
            plane = xy @ n
            beside |= plane > 0.0
            inner = plane > value
            value = np.where(inner & (plane <= 0.0), plane, value)
            slope = np.where((inner & (plane <= 0.0))[:, None], n, slope)
            foot = np.clip(xy @ u, 0.0, self.reach_mm)[:, None] * u
            gap = np.linalg.norm(xy - foot, axis=1)
            nearer = gap < off
            off = np.where(nearer, gap, off)
            away = np.where(gap[:, None] > 0.0, (xy - foot) / np.maximum(gap, 1e-300)[:, None], n)
            off_slope = np.where(nearer[:, None], away, off_slope)
        return np.where(beside, off, value), np.where(beside[:, None], off_slope, slope)


def swings(name: str, *, reach_mm: float, width_mm: float, heights_mm: Pair, from_deg: float,
           to_deg: float) -> tuple[Swing, ...]:  # fmt: skip
    """A bar swept between two angles, in sectors of at most 180 deg.

    Parameters
    ----------
    name : str
    reach_mm, width_mm : float
        End of the bar from the axis, rounding included, and its width [mm].
    heights_mm : (float, float)
    from_deg, to_deg : float
        In either order [deg].
    """
    low, high = min(from_deg, to_deg), max(from_deg, to_deg)
    count = max(1, math.ceil((high - low) / 180.0 - 1e-9))
    step = (high - low) / count
    half = width_mm / 2.0
    return tuple(
        Swing(name=name, reach_mm=max(reach_mm - half, 0.0), round_mm=half, from_mm=heights_mm[0],
              to_mm=heights_mm[1], from_deg=low + i * step, span_deg=step)
        for i in range(count)
    )  # fmt: skip
