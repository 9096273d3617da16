"""Flow through a sharp-edged opening between a tank and a valve: areas and losses."""

from __future__ import annotations

import math

SOURCE = (
    "White, Fluid Mechanics, 6.9 (sharp-edged entrance 0.5, exit 1.0) and its orifice coefficient"
    " 0.61; from memory"
)
THIN_UPTO = 0.5
"""Length by diameter up to which the jet stays free of the wall [-]; from memory."""

ATTACHED_FROM = 2.0
"""Length by diameter from which it fills the bore again [-]; from memory."""

_ENTRANCE, _EXIT = 0.5, 1.0
_ORIFICE_COEFFICIENT = 0.61


def circle_area_mm2(diameter_mm: float) -> float:
    """Area of a circle [mm2].

    Examples
    --------
    >>> round(circle_area_mm2(20.0), 2)
    314.16
    """
    return math.pi * diameter_mm**2 / 4.0


def free_height_mm(diameter_mm: float) -> float:
    r"""Height above an opening at which the curtain round it is as large as the opening [mm].

    .. math:: \pi d h = \pi d^2 / 4 \Rightarrow h = d / 4

    Examples
    --------
    >>> free_height_mm(20.0)
    5.0
    """
    return diameter_mm / 4.0


def loss_range(length_mm: float, diameter_mm: float) -> tuple[float, float]:
    r"""Loss coefficient of a sharp-edged opening, from tank to a large room [-].

    .. math:: \Delta p = K \rho v^2 / 2

    with v the mean speed in the opening. A free jet gives :math:`K = 1 / C_d^2`; one that fills
    the bore again, entrance and exit loss: :math:`0.5 + 1`. Between the two lengths either may
    be: both ends are returned.

    Parameters
    ----------
    length_mm, diameter_mm : float
        Of the opening [mm].

    Returns
    -------
    (float, float)
        Least and greatest K for turbulent flow, Re over 10 000 [-].

    References
    ----------
    .. [1] F. M. White, Fluid Mechanics, 6.9 minor losses and 6.12 orifice meters; from memory.
    .. [2] G. Kirchhoff, 1869: contraction of a free jet from a slot, pi / (pi + 2) = 0.611.

    Examples
    --------
    >>> loss_range(50.0, 20.0)
    (1.5, 1.5)
    >>> [round(k, 2) for k in loss_range(20.0, 20.0)]
    [1.5, 2.69]
    """
    free, filled = 1.0 / _ORIFICE_COEFFICIENT**2, _ENTRANCE + _EXIT
    slenderness = length_mm / diameter_mm
    if slenderness < THIN_UPTO:
        return free, free
    if slenderness >= ATTACHED_FROM:
        return filled, filled
    return filled, free


def pressure_drop_mpa(loss: float, *, speed_m_per_s: float, density_kg_per_m3: float) -> float:
    r"""Pressure lost at a speed [MPa], :math:`K \rho v^2 / 2`.

    References
    ----------
    .. [1] Loss coefficient on the dynamic head; Idelchik, Handbook of Hydraulic Resistance
       (from memory).

    Examples
    --------
    Water at 1 m/s and K = 1.5: 750 Pa.

    >>> round(1e6 * pressure_drop_mpa(1.5, speed_m_per_s=1.0, density_kg_per_m3=1000.0), 6)
    750.0
    """
    return loss * density_kg_per_m3 * speed_m_per_s**2 / 2.0 * 1e-6
