r"""Functional quantities of a plug in its socket, one vectorised function each.

Lock coordinates: angles [deg] counted towards lock from a slot's nominal middle, depths [mm] from
the mouth face. Every argument may be a number or an array; they broadcast.
"""

from __future__ import annotations

import itertools
import math

import numpy as np
from numpy.typing import ArrayLike, NDArray

from bayonet.mechanics import advance_mm
from bayonet.parts import Polyline

Array = NDArray[np.float64]


def radial_gap_mm(
    outer_radius_mm: ArrayLike, inner_radius_mm: ArrayLike, *, offset_mm: ArrayLike = 0.0
) -> Array:
    """Gap between two round surfaces whose axes lie apart in the direction looked at [mm].

    Examples
    --------
    >>> round(float(radial_gap_mm(20.25, 20.0, offset_mm=0.05)), 9)
    0.2
    """
    outer = np.asarray(outer_radius_mm, dtype=float)
    return np.asarray(outer - np.asarray(inner_radius_mm) - np.asarray(offset_mm))


def along_mm(x_mm: ArrayLike, y_mm: ArrayLike, direction_deg: float) -> Array:
    """Part of an offset in the direction of a theta [mm].

    Examples
    --------
    >>> round(float(along_mm(0.1, 0.0, 60.0)), 9)
    0.05
    """
    angle = math.radians(direction_deg)
    return np.asarray(np.asarray(x_mm) * math.cos(angle) + np.asarray(y_mm) * math.sin(angle))


def tilt_mm(tilt_deg: ArrayLike, radius_mm: float) -> Array:
    """Axial shift at a radius by a small tilt in its direction, the arc for the tangent [mm].

    Within 1e-4 of the shift to 1 deg.

    Examples
    --------
    >>> round(float(tilt_mm(0.1, 20.0)), 5)
    0.03491
    """
    return np.asarray(np.asarray(tilt_deg, dtype=float) * (np.radians(1.0) * radius_mm))


def half_angle_deg(
    deg: float, offset_mm: float, grown_mm: ArrayLike, *, grown_at_mm: float, radius_mm: ArrayLike
) -> Array:
    r"""Half-width of a lug or slot at a radius, each side moved out by a length [deg].

    Radial sides: :math:`\alpha + w / R`; parallel ones: :math:`\alpha + \arcsin((o + w) / r)`.

    Examples
    --------
    >>> float(half_angle_deg(10.0, 0.0, 0.0, grown_at_mm=20.0, radius_mm=15.0))
    10.0
    >>> round(float(half_angle_deg(0.0, 9.0, 1.0, grown_at_mm=20.0, radius_mm=20.0)), 9)
    30.0
    """
    grown = np.asarray(grown_mm, dtype=float)
    if offset_mm == 0.0:
        return np.asarray(deg + np.degrees(grown / grown_at_mm))
    return np.asarray(deg + np.degrees(np.arcsin((offset_mm + grown) / np.asarray(radius_mm))))


def line_depth_mm(line: Polyline, angle_deg: ArrayLike) -> Array:
    """Depth of a polyline that runs on straight beyond its ends [mm].

    Written as a sum of bends, which is quicker than a search on long arrays.

    Examples
    --------
    >>> [float(line_depth_mm(((0, 5), (10, 6), (20, 6)), a)) for a in (-10, 5, 10, 30)]
    [4.0, 5.5, 6.0, 6.0]
    """
    angle = np.asarray(angle_deg, dtype=float)
    slopes = [(d1 - d0) / (a1 - a0) for (a0, d0), (a1, d1) in itertools.pairwise(line)]
    start, top = line[0]
    depth = np.asarray(top + slopes[0] * (angle - start)) if slopes[0] else np.asarray(top)
    for (corner, _), before, after in zip(line[1:-1], slopes, slopes[1:], strict=False):
        depth = depth + (after - before) * np.maximum(angle - corner, 0.0)
    return np.asarray(depth, dtype=float)


def stop_turn_deg(
    stop_deg: ArrayLike, lug_half_deg: ArrayLike, lug_position_deg: ArrayLike
) -> Array:
    """Turn at which a lug meets its stop face [deg].

    Examples
    --------
    >>> float(stop_turn_deg(94.0, 14.0, 0.1))
    79.9
    """
    stop = np.asarray(stop_deg, dtype=float)
    return np.asarray(stop - np.asarray(lug_half_deg) - np.asarray(lug_position_deg))


def facing_depths_mm(
    line: Polyline,
    *,
    turn_deg: ArrayLike,
    low_deg: ArrayLike,
    high_deg: ArrayLike,
    depth_mm: ArrayLike,
    lead_mm_per_rev: ArrayLike,
    line_shift_mm: ArrayLike,
    line_lead_mm_per_rev: ArrayLike,
) -> tuple[tuple[Array, Array], ...]:
    r"""Depths of a lug's flank and of the roof (or floor) it faces, at every candidate angle.

    Flank :math:`b + l (\alpha - \varphi) / 360`, roof :math:`d(\alpha) + \Delta`. Both are
    straight between the roof's corners, so their gap is least, and greatest, at an end of the
    stretch or at a corner inside it.

    Parameters
    ----------
    line : tuple of (deg, mm)
        The roof.
    turn_deg : float or array
        Angle of the lug's middle.
    low_deg, high_deg : float or array
        Ends of the stretch.
    depth_mm, lead_mm_per_rev : float or array
        Of the flank, at the lug's middle.
    line_shift_mm, line_lead_mm_per_rev : float or array
        Error of the roof's depth at its last corner, and of its lead.

    Returns
    -------
    tuple of (array, array)
        Flank and roof [mm], at one candidate after the other.

    Examples
    --------
    A flat lug of half-width 2 deg at 5.2 mm under a level roof at 5 mm.

    >>> [
    ...     (float(f), float(r))
    ...     for f, r in facing_depths_mm(
    ...         ((0, 5), (90, 5)),
    ...         turn_deg=50,
    ...         low_deg=48,
    ...         high_deg=52,
    ...         depth_mm=5.2,
    ...         lead_mm_per_rev=0,
    ...         line_shift_mm=0,
    ...         line_lead_mm_per_rev=0,
    ...     )
    ... ]
    [(5.2, 5.0), (5.2, 5.0)]
    """
    end, turn = line[-1][0], np.asarray(turn_deg)
    inside: list[ArrayLike] = [np.clip(a, low_deg, high_deg) for a, _ in line[1:-1]]
    faces = []
    for where in (low_deg, *inside, high_deg):
        angle = np.asarray(where, dtype=float)
        flank = np.asarray(depth_mm) + advance_mm(lead_mm_per_rev, angle - turn)
        roof = line_depth_mm(line, angle) + np.asarray(line_shift_mm)
        if np.ndim(line_lead_mm_per_rev):
            roof = roof + advance_mm(line_lead_mm_per_rev, angle - end)
        faces.append((np.asarray(flank), np.asarray(roof)))
    return tuple(faces)


def tight_turn_deg(
    *,
    slot_deg: ArrayLike,
    lug_half_deg: ArrayLike,
    lug_position_deg: ArrayLike,
    depth_mm: ArrayLike,
    lug_lead_mm_per_rev: ArrayLike,
    ramp_mm_at_zero: ArrayLike,
    ramp_lead_mm_per_rev: ArrayLike,
) -> Array:
    r"""Turn at which a lug becomes tight under a plain ramp, the shoulder seated [deg].

    The flank meets the ramp with its front end where it is flatter than the ramp:
    :math:`b + l h / 360 = \rho_0 + L (\varphi + e + h) / 360`; else with its rear end, or, while
    that is still in the slot, with the slot's edge.

    Parameters
    ----------
    slot_deg : float or array
        Edge of the slot.
    lug_half_deg, lug_position_deg : float or array
        :math:`h`, :math:`e`.
    depth_mm, lug_lead_mm_per_rev : float or array
        :math:`b` at the lug's middle, :math:`l`.
    ramp_mm_at_zero, ramp_lead_mm_per_rev : float or array
        :math:`\rho_0` at angle 0, :math:`L`, more than 0.

    Returns
    -------
    array [deg]

    Examples
    --------
    A flat lug of half-width 20 deg at 7 mm under a ramp of 9 mm/rev that is 4 mm deep at 0: tight
    where 4 + 9 (phi + 20) / 360 = 7, at 100 deg.

    >>> float(
    ...     tight_turn_deg(
    ...         slot_deg=21,
    ...         lug_half_deg=20,
    ...         lug_position_deg=0,
    ...         depth_mm=7,
    ...         lug_lead_mm_per_rev=0,
    ...         ramp_mm_at_zero=4,
    ...         ramp_lead_mm_per_rev=9,
    ...     )
    ... )
    100.0
    """
    half, place = np.asarray(lug_half_deg, dtype=float), np.asarray(lug_position_deg)
    own, ramp = np.asarray(lug_lead_mm_per_rev), np.asarray(ramp_lead_mm_per_rev)
    rise = np.asarray(depth_mm) - np.asarray(ramp_mm_at_zero)

    def at_end(end: Array) -> Array:
        return np.asarray((rise + own * end / 360.0) * 360.0 / ramp - place - end)

    front, rear = at_end(half), at_end(-half)
    edge = np.asarray(slot_deg) - place
    slope = np.where(own > 0.0, own, np.inf)
    at_edge = edge + 360.0 * (rise - ramp * np.asarray(slot_deg) / 360.0) / slope
    steep = np.where(rear - half >= edge, rear, at_edge)
    return np.where(own <= ramp, front, steep)


def engaged_share(
    *,
    turn_deg: ArrayLike,
    lug_half_deg: ArrayLike,
    slot_deg: ArrayLike,
    stop_deg: ArrayLike,
) -> Array:
    """Share of a lug's width under the roof, its middle at a turn [-].

    Examples
    --------
    >>> float(engaged_share(turn_deg=30.0, lug_half_deg=10.0, slot_deg=22.0, stop_deg=90.0))
    0.9
    """
    half = np.asarray(lug_half_deg, dtype=float)
    high = np.minimum(turn_deg + half, stop_deg)
    low = np.maximum(turn_deg - half, slot_deg)
    return np.asarray((high - low) / (2.0 * half))
