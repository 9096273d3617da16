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
from bayonet.parts import FlankName, LugShape, Polyline, facing_angles_deg

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


def away_mm(x_mm: ArrayLike, y_mm: ArrayLike) -> Array:
    """Length of an offset, whatever its direction [mm].

    Examples
    --------
    >>> float(away_mm(0.3, 0.4))
    0.5
    """
    return np.asarray(np.hypot(np.asarray(x_mm, dtype=float), np.asarray(y_mm)))


def tilt_mm(tilt_deg: ArrayLike, radius_mm: float) -> Array:
    """Axial shift at a radius by a small tilt in its direction, the arc for the tangent [mm].

    Within 1e-4 of the shift to 1 deg.

    Examples
    --------
    >>> round(float(tilt_mm(0.1, 20.0)), 5)
    0.03491
    """
    return np.asarray(np.asarray(tilt_deg, dtype=float) * (np.radians(1.0) * radius_mm))


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
    shape: LugShape,
    flank: FlankName,
    line: Polyline,
    *,
    turn_deg: ArrayLike,
    low_deg: ArrayLike,
    high_deg: ArrayLike,
    radius_mm: float,
    line_shift_mm: ArrayLike,
    line_lead_mm_per_rev: ArrayLike,
) -> tuple[tuple[Array, Array], ...]:
    r"""Depths of a lug's flank and of the roof (or floor) it faces, at every candidate angle.

    Flank :math:`b(\alpha - \varphi)`, roof :math:`d(\alpha) + \Delta`. The roof is straight
    between its corners, so their gap is least, and greatest, at an end of the stretch, at a
    corner inside it, or where the flank runs parallel to the roof.

    Parameters
    ----------
    shape : LugShape
    flank : {"bearing", "leading"}
    line : tuple of (deg, mm)
        The roof.
    turn_deg : float or array
        Angle of the lug's middle.
    low_deg, high_deg : float or array
        Ends of the stretch.
    radius_mm : float
    line_shift_mm, line_lead_mm_per_rev : float or array
        Error of the roof's depth at its last corner, and of its lead.

    Returns
    -------
    tuple of (array, array)
        Flank and roof [mm], at one candidate after the other.

    Examples
    --------
    A flat lug of half-width 2 deg at 5.2 mm under a level roof at 5 mm.

    >>> from bayonet.parts import Block, HalfAngle
    >>> block = Block(
    ...     half=HalfAngle(deg=2.0, offset_mm=0.0),
    ...     outer_radius_mm=20.0,
    ...     thickness_mm=3.0,
    ...     bearing_depth_mm=5.2,
    ...     lead_mm_per_rev=0.0,
    ... )
    >>> faces = facing_depths_mm(
    ...     block,
    ...     "bearing",
    ...     ((0, 5), (90, 5)),
    ...     turn_deg=50,
    ...     low_deg=48,
    ...     high_deg=52,
    ...     radius_mm=20.0,
    ...     line_shift_mm=0,
    ...     line_lead_mm_per_rev=0,
    ... )
    >>> [(float(f), float(r)) for f, r in faces]
    [(5.2, 5.0), (5.2, 5.0)]
    """
    end, turn = line[-1][0], np.asarray(turn_deg)
    depth = shape.bearing_at if flank == "bearing" else shape.leading_at
    angles = facing_angles_deg(
        shape, flank, line, turn_deg=turn, low_deg=low_deg, high_deg=high_deg,
        radius_mm=radius_mm, line_lead_mm_per_rev=line_lead_mm_per_rev,
    )  # fmt: skip
    faces = []
    for angle in angles:
        roof = line_depth_mm(line, angle) + np.asarray(line_shift_mm)
        if np.ndim(line_lead_mm_per_rev):
            roof = roof + advance_mm(line_lead_mm_per_rev, angle - end)
        faces.append((depth(angle - turn, radius_mm=radius_mm), np.asarray(roof)))
    return tuple(faces)


def tight_turn_deg(
    shape: LugShape,
    *,
    slot_deg: ArrayLike,
    lug_position_deg: ArrayLike,
    radius_mm: float,
    ramp_mm_at_zero: ArrayLike,
    ramp_lead_mm_per_rev: ArrayLike,
    grows: float = 1.0,
) -> Array:
    r"""Turn at which a lug becomes tight under a plain ramp, the shoulder seated [deg].

    The place :math:`a` of the flank that meets the ramp first is its support in the direction
    square to the ramp: :math:`b(a) = \rho_0 + L (\varphi + e + a) / 360` with the least
    :math:`\varphi`. Where that place is still in the slot, the slot's edge meets the flank.

    Parameters
    ----------
    shape : LugShape
    slot_deg : float or array
        Edge of the slot.
    lug_position_deg : float or array
        :math:`e`.
    radius_mm : float
    ramp_mm_at_zero, ramp_lead_mm_per_rev : float or array
        :math:`\rho_0` at angle 0, :math:`L`, more than 0.
    grows : float
        Factor on the lug's depths.

    Returns
    -------
    array [deg]

    Examples
    --------
    A flat lug of half-width 20 deg at 7 mm under a ramp of 9 mm/rev that is 4 mm deep at 0: tight
    where 4 + 9 (phi + 20) / 360 = 7, at 100 deg.

    >>> from bayonet.parts import Block, HalfAngle
    >>> block = Block(
    ...     half=HalfAngle(deg=20.0, offset_mm=0.0),
    ...     outer_radius_mm=20.0,
    ...     thickness_mm=3.0,
    ...     bearing_depth_mm=7.0,
    ...     lead_mm_per_rev=0.0,
    ... )
    >>> float(
    ...     tight_turn_deg(
    ...         block,
    ...         slot_deg=21,
    ...         lug_position_deg=0,
    ...         radius_mm=20.0,
    ...         ramp_mm_at_zero=4,
    ...         ramp_lead_mm_per_rev=9,
    ...     )
    ... )
    100.0
    """
    half, place = np.asarray(shape.half.at(radius_mm)), np.asarray(lug_position_deg)
    zero, ramp = np.asarray(ramp_mm_at_zero), np.asarray(ramp_lead_mm_per_rev)
    slot = np.asarray(slot_deg)

    def meets(where: Array) -> Array:
        rise = grows * shape.bearing_at(where, radius_mm=radius_mm) - zero
        return np.asarray(rise * 360.0 / ramp - place - where)

    edge = zero + ramp * slot / 360.0
    at_edge = slot - place - shape.bearing_angle_deg(edge / grows, radius_mm=radius_mm)
    front = meets(half)
    first, at = front, half
    for where in (*shape.touches_deg("bearing", ramp / grows, radius_mm=radius_mm), -half):
        turn = meets(where)
        at, first = np.where(turn < first, where, at), np.minimum(turn, first)
    in_slot = (first + place + at < slot) & (at < half)
    return np.where(in_slot, at_edge, first)


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
