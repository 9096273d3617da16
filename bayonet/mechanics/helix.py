r"""Helices and parallel sides in the developed plane: one formula each."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import ArrayLike, NDArray

Array = NDArray[np.float64]


def advance_mm(lead_mm_per_rev: ArrayLike, angle_deg: ArrayLike) -> Array:
    r"""Axial advance of a helix over an angle: :math:`l\,\theta / 360` [mm].

    References
    ----------
    .. [1] ISO 5408:2009, screw threads, vocabulary: lead (from memory).

    Examples
    --------
    >>> float(advance_mm(6.0, 90.0))
    1.5
    """
    return np.asarray(np.asarray(lead_mm_per_rev, dtype=float) * np.asarray(angle_deg) / 360.0)


def side_angle_deg(offset_mm: ArrayLike, radius_mm: ArrayLike) -> Array:
    r"""Angle at which a plane parallel to a radial one meets a cylinder: asin(offset / r) [deg].

    NaN where the plane does not reach the cylinder.

    References
    ----------
    .. [1] ISO 5408:2009, screw threads, vocabulary: lead (from memory).

    Examples
    --------
    >>> round(float(side_angle_deg(10.0, 20.0)), 9)
    30.0
    """
    with np.errstate(invalid="ignore"):
        return np.asarray(
            np.degrees(np.arcsin(np.asarray(offset_mm) / np.asarray(radius_mm, dtype=float)))
        )


def lead_mm_per_rev(angle_deg: float, *, mean_diameter_mm: float) -> float:
    """Lead of a helix of a lead angle [deg] at a diameter [mm]: pi d tan(angle).

    References
    ----------
    .. [1] ISO 5408:2009, screw threads, vocabulary: lead (from memory).

    Examples
    --------
    M10 coarse thread: 3.03 deg at 9.026 mm is a lead of 1.50 mm (ISO 261, from memory).

    >>> round(lead_mm_per_rev(3.03, mean_diameter_mm=9.026), 2)
    1.5
    """
    return math.tan(math.radians(angle_deg)) * math.pi * mean_diameter_mm
