r"""An O-ring in its gland: stretch, section, squeeze, fill, forces. Vectorised; no judgement."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

Array = NDArray[np.float64]

_NEWTON_STEPS = 3  # from within 1e-3: quadratic, exact to the last digits
_EMPIRICAL_MOST_PCT = 25.0
_EMPIRICAL_CHANGE_PCT = 3.0


def stretch(groove_diameter_mm: ArrayLike, ring_inside_diameter_mm: ArrayLike) -> Array:
    r"""Stretch of the inside diameter.

    .. math:: e = d_g / d_1 - 1

    Parameters
    ----------
    groove_diameter_mm, ring_inside_diameter_mm : float or array
        Bottom of the groove and free ring [mm].

    Returns
    -------
    array
        Stretch [-]; negative where the ring is loose.

    References
    ----------
    .. [1] Definition, as in Apple Rubber Products, Seal Design Guide, "Dimensional
       Considerations".

    Examples
    --------
    >>> round(float(stretch(25.5, 25.0)), 6)
    0.02
    """
    groove = np.asarray(groove_diameter_mm, dtype=float)
    return np.asarray(groove / np.asarray(ring_inside_diameter_mm) - 1.0)


def section_by_volume(
    section_mm: ArrayLike, ring_inside_diameter_mm: ArrayLike, groove_diameter_mm: ArrayLike
) -> Array:
    r"""Section of a ring stretched onto a groove, its volume unchanged and its section round.

    .. math:: s'^2 (d_g + s') = s^2 (d_1 + s)

    Parameters
    ----------
    section_mm, ring_inside_diameter_mm : float or array
        Free ring [mm].
    groove_diameter_mm : float or array
        Bottom of the groove [mm].

    Returns
    -------
    array
        Section in place [mm].

    References
    ----------
    .. [1] Volume of a torus, Pappus-Guldin; rubber is taken as incompressible.

    Examples
    --------
    For a thin ring the section falls by 1 - 1 / sqrt(1 + e): 2 % of stretch is 0.985 %.

    >>> round(float(section_by_volume(0.001, 100.0, 102.0)) / 0.001, 5)
    0.99015
    """
    free = np.asarray(section_mm, dtype=float)
    groove = np.asarray(groove_diameter_mm, dtype=float)
    volume = free**2 * (np.asarray(ring_inside_diameter_mm) + free)
    inside = np.asarray(np.sqrt(volume / (groove + free)))
    for _ in range(_NEWTON_STEPS):
        excess = inside**2 * (groove + inside) - volume
        inside = inside - excess / (2.0 * inside * groove + 3.0 * inside**2)
    return np.asarray(inside)


def section_loss_empirical_pct(stretch_pct: ArrayLike) -> Array:
    r"""Loss of section by the fit to measured rings of the O-ring handbook ORD 5700 [%].

    0 to 3 %: :math:`-0.005 + 1.19 X - 0.19 X^2 - 0.001 X^3 + 0.008 X^4`;
    3 to 25 %: :math:`0.56 + 0.59 X - 0.0046 X^2`.

    Parameters
    ----------
    stretch_pct : float or array
        Stretch of the inside diameter [%].

    Returns
    -------
    array
        Loss [%]; NaN outside 0 to 25 %.

    References
    ----------
    .. [1] O-ring handbook ORD 5700, section on inside diameter stretch; from memory, unconfirmed.

    Examples
    --------
    >>> round(float(section_loss_empirical_pct(5.0)), 3)
    3.395
    """
    x = np.asarray(stretch_pct, dtype=float)
    low = -0.005 + 1.19 * x - 0.19 * x**2 - 0.001 * x**3 + 0.008 * x**4
    high = 0.56 + 0.59 * x - 0.0046 * x**2
    loss = np.where(x <= _EMPIRICAL_CHANGE_PCT, np.maximum(low, 0.0), high)
    return np.where((x >= 0.0) & (x <= _EMPIRICAL_MOST_PCT), loss, np.nan)


def squeeze(section_mm: ArrayLike, gland_depth_mm: ArrayLike) -> Array:
    r"""Share of the section taken by the gland: :math:`q = (s - t) / s` [-].

    References
    ----------
    .. [1] Definition, as the gland chart of Apple Rubber Products, Seal Design Guide, illustration
       4.11, prints it row by row.

    Examples
    --------
    Section 0.100 in in a gland 0.083 in deep: 17 %, as the chart prints.

    >>> round(float(squeeze(0.100, 0.083)), 2)
    0.17
    """
    section = np.asarray(section_mm, dtype=float)
    return np.asarray((section - np.asarray(gland_depth_mm)) / section)


def fill(
    section_mm: ArrayLike,
    *,
    gland_depth_mm: ArrayLike,
    gland_width_mm: ArrayLike,
    corner_radius_mm: ArrayLike = 0.0,
    swell: ArrayLike = 0.0,
) -> Array:
    r"""Ring volume over gland volume, by sections.

    .. math:: \phi = \frac{\pi s^2 (1 + v) / 4}{t b - 2 (1 - \pi / 4) r^2}

    Parameters
    ----------
    section_mm : float or array
        Section in place [mm].
    gland_depth_mm, gland_width_mm : float or array
        :math:`t`, :math:`b` [mm].
    corner_radius_mm : float or array
        :math:`r` of the two corners at the bottom [mm].
    swell : float or array
        :math:`v`, increase of volume in the fluid [-].

    Returns
    -------
    array
        Fill [-].

    References
    ----------
    .. [1] Definition: section of the ring over section of the gland; All Seals, "Dynamic I.D./O.D.
       Seal with a Rectangular Gland", Gland Volume Fill.

    Examples
    --------
    Metric chart, section 3.53: depth 2.7 and width 4.8 give 75.5 %.

    >>> round(float(fill(3.53, gland_depth_mm=2.7, gland_width_mm=4.8)), 3)
    0.755
    """
    ring = np.pi / 4.0 * np.asarray(section_mm, dtype=float) ** 2 * (1.0 + np.asarray(swell))
    corners = 2.0 * (1.0 - np.pi / 4.0) * np.asarray(corner_radius_mm, dtype=float) ** 2
    return np.asarray(ring / (np.asarray(gland_depth_mm) * np.asarray(gland_width_mm) - corners))


def modulus_mpa(shore_a: ArrayLike) -> Array:
    r"""Young's modulus of rubber from its hardness [MPa].

    .. math:: E = \frac{0.0981 (56 + 7.62336 S)}{0.137505 (254 - 2.54 S)}

    References
    ----------
    .. [1] A. N. Gent, Rubber Chem. Technol. 31 (1958) 896; from memory.

    Examples
    --------
    >>> round(float(modulus_mpa(70)), 2)
    5.52
    """
    shore = np.asarray(shore_a, dtype=float)
    return np.asarray(0.0981 * (56.0 + 7.62336 * shore) / (0.137505 * (254.0 - 2.54 * shore)))


def line_load_n_per_mm(
    section_mm: ArrayLike, squeeze_share: ArrayLike, shore_a: ArrayLike
) -> Array:
    r"""Force with which a squeezed ring presses, per length of ring [N/mm].

    .. math:: F / l = s E (1.25 q^{1.5} + 50 q^6)

    References
    ----------
    .. [1] P. B. Lindley, J. Inst. Rubber Ind. 1 (1967) 209; from memory.

    Examples
    --------
    >>> round(float(line_load_n_per_mm(3.53, 0.20, 70)), 2)
    2.24
    """
    q = np.maximum(np.asarray(squeeze_share, dtype=float), 0.0)
    return np.asarray(np.asarray(section_mm) * modulus_mpa(shore_a) * (1.25 * q**1.5 + 50.0 * q**6))
