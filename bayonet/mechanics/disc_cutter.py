r"""A disc cutter on a line to its wall: how much angle it covers at each radius. Plan view only.

The cutter's axis is parallel to the fitting's and stands at the distance :math:`\rho` from it; the
cutter's radius is :math:`c`, so it touches the wall at :math:`\rho + c`.
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import ArrayLike, NDArray

from bayonet.mechanics.helix import advance_mm

Array = NDArray[np.float64]

_AT_WALL_MM = 1e-12  # the swing grows as a root from the wall: rounding there would show


def swing_deg(radius_mm: ArrayLike, *, centre_mm: float, cutter_radius_mm: float) -> Array:
    r"""Half the angle a disc covers on a circle about the fitting's axis [deg].

    .. math:: \cos\alpha = \frac{r^2 + \rho^2 - c^2}{2 r \rho}

    Parameters
    ----------
    radius_mm : float or array
        :math:`r`, circle about the fitting's axis [mm].
    centre_mm, cutter_radius_mm : float
        :math:`\rho` and :math:`c` [mm].

    Returns
    -------
    array
        :math:`\alpha` [deg]; 0 at the wall and beyond, 180 where the disc holds the whole circle.

    References
    ----------
    .. [1] Law of cosines in the triangle of both axes and the point: Euclid II.12 and 13. Any
       radius greater than 0, axes apart.

    Examples
    --------
    By hand: a disc of radius 6 at 10 covers asin(6 / 10) to each side where its edge is square to
    the radius, at sqrt(10**2 - 6**2) = 8.

    >>> round(float(swing_deg(8.0, centre_mm=10.0, cutter_radius_mm=6.0)), 9)
    36.869897646
    >>> round(math.degrees(math.asin(0.6)), 9)
    36.869897646
    """
    r = np.asarray(radius_mm, dtype=float)
    # half-angle formula of a triangle of sides r, rho, c: keeps its digits near the wall
    inside = cutter_radius_mm + centre_mm - r
    inside = np.where(inside < _AT_WALL_MM, 0.0, inside)
    short = inside * (cutter_radius_mm + r - centre_mm)
    sine = np.clip(short / (4.0 * r * centre_mm), 0.0, 1.0)
    return np.asarray(np.degrees(2.0 * np.arcsin(np.sqrt(sine))))


def overcut_mm(
    lead_mm_per_rev: ArrayLike,
    radius_mm: ArrayLike,
    *,
    centre_mm: float,
    cutter_radius_mm: float,
    true_radius_mm: float,
) -> Array:
    r"""How far a flat disc on a helix cuts beyond the true helicoid [mm].

    .. math:: e = l\,\frac{\alpha(r) - \alpha(r_t)}{360}

    Every point of the cutter's edge stands at another angle than its middle, and so at another
    depth of the helix than the one it would need. The envelope of all positions is the helicoid
    moved on by the swing; the path is set so that it is true at one radius.

    Parameters
    ----------
    lead_mm_per_rev : float or array
        :math:`l` [mm/rev].
    radius_mm : float or array
        :math:`r` [mm].
    centre_mm, cutter_radius_mm : float
    true_radius_mm : float
        :math:`r_t`, where the roof is to be true: the lug's outer edge [mm].

    Returns
    -------
    array
        [mm], positive where too much is cut away, negative where metal is left.

    Examples
    --------
    By hand: 36.87 deg of swing on a lead of 10 is 1.024 mm, seen from the wall at 16.

    >>> cutter = {"centre_mm": 10.0, "cutter_radius_mm": 6.0}
    >>> round(float(overcut_mm(10.0, 8.0, **cutter, true_radius_mm=16.0)), 3)
    1.024
    """
    disc = {"centre_mm": centre_mm, "cutter_radius_mm": cutter_radius_mm}
    return advance_mm(
        lead_mm_per_rev, swing_deg(radius_mm, **disc) - swing_deg(true_radius_mm, **disc)
    )


def steepest_swing_deg(*, wall_mm: float, mill_radius_mm: float) -> float:
    r"""Greatest half angle an end mill covers as it runs along a wall [deg].

    .. math:: \sin\alpha = \frac{c}{R - c}

    A ramp milled from below with a flat end mill in close passes is true but for the last pass
    along the wall, which cuts up to lead times this over 360 too much.

    Parameters
    ----------
    wall_mm, mill_radius_mm : float
        :math:`R` and :math:`c` [mm].

    Returns
    -------
    float

    Examples
    --------
    A mill of radius 6 on a wall of 16: asin(6 / 10), as `swing_deg` has at radius 8.

    >>> round(steepest_swing_deg(wall_mm=16.0, mill_radius_mm=6.0), 9)
    36.869897646
    """
    return math.degrees(math.asin(min(mill_radius_mm / (wall_mm - mill_radius_mm), 1.0)))


def largest_mill_mm(limit_mm: float, *, lead_mm_per_rev: float, wall_mm: float) -> float:
    """Radius of the largest mill whose last pass keeps within a limit, see `steepest_swing_deg`.

    Examples
    --------
    The inverse of its example: 36.87 deg on a lead of 10 is 1.024 mm, and takes 6 of a wall of 16.

    >>> round(largest_mill_mm(10 * 36.869897646 / 360, lead_mm_per_rev=10.0, wall_mm=16.0), 6)
    6.0
    """
    if not lead_mm_per_rev > 0.0:
        return wall_mm / 2.0
    sine = math.sin(math.radians(min(360.0 * limit_mm / lead_mm_per_rev, 90.0)))
    return wall_mm * sine / (1.0 + sine)


def largest_radius_mm(
    limit_mm: float, *, lead_mm_per_rev: float, bore_mm: float, wall_mm: float, true_mm: float
) -> float:
    """Radius of the largest disc whose overcut at the bore stays under a limit [mm].

    Parameters
    ----------
    limit_mm : float
        Overcut allowed [mm].
    lead_mm_per_rev : float
    bore_mm, wall_mm, true_mm : float
        Radii of bore, track wall, and where the roof is to be true [mm].

    Returns
    -------
    float
        At most the bore's radius; NaN where even a disc that just spans the track is too large.

    References
    ----------
    .. [1] `overcut_mm` solved for the radius by bisection: it grows with the radius, the wall
       touched.

    Examples
    --------
    No lead, no overcut: any disc that passes the bore.

    >>> largest_radius_mm(0.1, lead_mm_per_rev=0.0, bore_mm=16.0, wall_mm=20.25, true_mm=20.0)
    16.0
    """
    low, high = 0.5 * (wall_mm - bore_mm) * (1.0 + 1e-9), bore_mm

    def over(radius: float) -> bool:
        cut = overcut_mm(
            lead_mm_per_rev, bore_mm, centre_mm=wall_mm - radius, cutter_radius_mm=radius,
            true_radius_mm=true_mm,
        )  # fmt: skip
        return not float(cut) <= limit_mm

    if not over(high):
        return high
    if over(low):
        return math.nan
    for _ in range(60):
        middle = (low + high) / 2.0
        low, high = (low, middle) if over(middle) else (middle, high)
    return low


def corner_extra_mm(corner_radius_mm: float, *, side_gap_mm: float, radial_gap_mm: float) -> float:
    r"""How far a rounded inner corner must be moved out for a sharp corner to clear it [mm].

    .. math:: e = R - t - \sqrt{R^2 - (R - s)^2}, \quad s < R

    Parameters
    ----------
    corner_radius_mm : float
        :math:`R`, of the corner left by a round tool [mm].
    side_gap_mm, radial_gap_mm : float
        :math:`s, t`, gaps of the sharp corner to the two sides [mm].

    Returns
    -------
    float
        [mm]; 0 where it clears as it is.

    References
    ----------
    .. [1] Circle touching two lines at a right angle: :math:`(R - s)^2 + (R - t - e)^2 = R^2`.

    Examples
    --------
    By hand: R 5, side gap 1, radial gap 0.5: 5 - 0.5 - sqrt(25 - 16) = 1.5.

    >>> corner_extra_mm(5.0, side_gap_mm=1.0, radial_gap_mm=0.5)
    1.5
    """
    if side_gap_mm >= corner_radius_mm:
        return 0.0
    reach = math.sqrt(corner_radius_mm**2 - (corner_radius_mm - side_gap_mm) ** 2)
    return max(0.0, corner_radius_mm - radial_gap_mm - reach)


def largest_corner_mm(*, side_gap_mm: float, radial_gap_mm: float) -> float:
    r"""Largest rounded corner that a sharp one clears as it is: s + t + sqrt(2 s t) [mm].

    The greater root of :math:`(R - s)^2 + (R - t)^2 = R^2`, the sharp corner on the circle.

    Examples
    --------
    It is where `corner_extra_mm` becomes 0: gaps 1 and 2 clear a corner of 5.

    >>> largest_corner_mm(side_gap_mm=1.0, radial_gap_mm=2.0)
    5.0
    >>> largest_corner_mm(side_gap_mm=0.5, radial_gap_mm=4.0)  # 0.5 + 4 + sqrt(4)
    6.5
    """
    return side_gap_mm + radial_gap_mm + math.sqrt(2.0 * side_gap_mm * radial_gap_mm)
