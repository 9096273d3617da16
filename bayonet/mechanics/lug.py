r"""A lug, or the ledge it bears on, as a short cantilever. Vectorised; no judgement."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import ArrayLike, NDArray

Array = NDArray[np.float64]

SHORT_ARM = 1.0  # arm over thickness below which shear, not bending, decides
SHEAR_SHARE = 1.0 / math.sqrt(3.0)  # shear over tensile strength, von Mises
_TIMOSHENKO = 6.0 / 5.0  # shear correction of a rectangle


def bending_mpa(
    force_n: ArrayLike, *, arm_mm: ArrayLike, width_mm: ArrayLike, thickness_mm: ArrayLike
) -> Array:
    r"""Bending stress at the root of a rectangular cantilever.

    .. math:: \sigma_b = \frac{6 F a}{w t^2}

    Parameters
    ----------
    force_n : float or array
        :math:`F` [N].
    arm_mm : float or array
        :math:`a`, from the root to where the force acts [mm].
    width_mm, thickness_mm : float or array
        :math:`w`, :math:`t` of the root; the force acts along the thickness [mm].

    Returns
    -------
    array
        :math:`\sigma_b` [MPa]. Beam theory: a few per cent from an arm of two thicknesses on; for
        an arm below one thickness the fibre stress is only an estimate and shear decides.

    References
    ----------
    .. [1] Budynas & Nisbett, Shigley's Mechanical Engineering Design, eq. 8-11 (root of a thread).

    Examples
    --------
    Example 8-1 of [1]: 0.38 x 6400 N on a thread pi 28 wide, 2 thick, arm 1 mm: 41.5 MPa.

    >>> round(float(bending_mpa(2432, arm_mm=1.0, width_mm=math.pi * 28, thickness_mm=2.0)), 1)
    41.5
    """
    moment = np.asarray(force_n, dtype=float) * np.asarray(arm_mm)
    return np.asarray(6.0 * moment / (np.asarray(width_mm) * np.asarray(thickness_mm) ** 2))


def shear_mpa(force_n: ArrayLike, *, width_mm: ArrayLike, thickness_mm: ArrayLike) -> Array:
    r"""Greatest shear stress over a rectangular root: :math:`\tau = 3 F / 2 w t` [MPa].

    References
    ----------
    .. [1] Budynas & Nisbett, Shigley's Mechanical Engineering Design, eq. 8-12.

    Examples
    --------
    >>> float(shear_mpa(100.0, width_mm=10.0, thickness_mm=3.0))
    5.0
    """
    area = np.asarray(width_mm, dtype=float) * np.asarray(thickness_mm)
    return np.asarray(1.5 * np.asarray(force_n, dtype=float) / area)


def bearing_mpa(force_n: ArrayLike, *, width_mm: ArrayLike, height_mm: ArrayLike) -> Array:
    r"""Mean pressure on a flank: :math:`F / w h` [MPa].

    References
    ----------
    .. [1] Budynas & Nisbett, Shigley's Mechanical Engineering Design, 9th ed., eq. 8-10
       (from memory).

    Examples
    --------
    Example 8-1 of Shigley, without its sign: 2432 N on pi 30 by 2 mm: 12.9 MPa.

    >>> round(float(bearing_mpa(2432, width_mm=math.pi * 30, height_mm=2.0)), 1)
    12.9
    """
    return np.asarray(
        np.asarray(force_n, dtype=float) / (np.asarray(width_mm) * np.asarray(height_mm))
    )


def line_pressure_mpa(
    force_n: ArrayLike,
    *,
    radius_mm: ArrayLike,
    length_mm: ArrayLike,
    modulus_mpa: tuple[float, float],
    poisson: tuple[float, float],
) -> Array:
    r"""Greatest pressure of a cylinder pressed on a plane along a line.

    .. math:: b = \sqrt{\frac{2 F}{\pi l}\,\frac{(1-\nu_1^2)/E_1 + (1-\nu_2^2)/E_2}{1/d}},
              \qquad p_{max} = \frac{2 F}{\pi b l}

    Parameters
    ----------
    force_n : float or array
        :math:`F` [N].
    radius_mm, length_mm : float or array
        :math:`d/2` of the cylinder, :math:`l` of the line [mm].
    modulus_mpa, poisson : (float, float)
        Of the two bodies.

    Returns
    -------
    array
        [MPa]; grows as the root of the force.

    References
    ----------
    .. [1] Hertz; Budynas & Nisbett, Shigley's Mechanical Engineering Design, 9th ed., eq. 3-73,
       3-74 with a plane for the second body (from memory).

    Examples
    --------
    Steel on steel, 207 GPa and 0.3: 1000 N on a pin of 10 mm along 10 mm. The half-width is
    sqrt(2000 / (10 pi) x 8.792e-6 x 10) = 0.0748 mm, the pressure 2000 / (pi 0.0748 10).

    >>> steel = {"modulus_mpa": (207e3, 207e3), "poisson": (0.3, 0.3)}
    >>> round(float(line_pressure_mpa(1000.0, radius_mm=5.0, length_mm=10.0, **steel)))
    851
    """
    give = sum((1.0 - nu**2) / e for e, nu in zip(modulus_mpa, poisson, strict=True))
    force, long = np.asarray(force_n, dtype=float), np.asarray(length_mm, dtype=float)
    half = np.sqrt(2.0 * force / (math.pi * long) * give * 2.0 * np.asarray(radius_mm))
    return np.asarray(2.0 * force / (math.pi * half * long))


def line_equivalent(poisson: float) -> float:
    r"""Greatest equivalent stress below a line of contact, over the greatest pressure [-].

    On the axis of symmetry at a depth :math:`z = \zeta b` the principal stresses are
    :math:`-2\nu p (s - \zeta)`, :math:`-p ((1 + 2\zeta^2)/s - 2\zeta)` and :math:`-p / s`, with
    :math:`s = \sqrt{1 + \zeta^2}`; von Mises of the three, greatest over the depth.

    References
    ----------
    .. [1] Budynas & Nisbett, Shigley's Mechanical Engineering Design, 9th ed., eq. 3-75 to 3-77;
       K. L. Johnson, Contact Mechanics, 1985, section 6.2: yield begins at 1.79 of the yield
       strength, which is 1 / 0.558 (both from memory).

    Examples
    --------
    >>> round(line_equivalent(0.3), 3)
    0.558
    """
    deep = np.linspace(0.0, 3.0, 3001)
    root = np.sqrt(1.0 + deep**2)
    along = -2.0 * poisson * (root - deep)
    across = -((1.0 + 2.0 * deep**2) / root - 2.0 * deep)
    return float(np.max(equivalent_mpa(along, across, -1.0 / root, shear_mpa=0.0)))


def compliance_mm_per_n(
    *,
    arm_mm: ArrayLike,
    width_mm: ArrayLike,
    thickness_mm: ArrayLike,
    modulus_mpa: ArrayLike,
    poisson: ArrayLike,
) -> Array:
    r"""Deflection per force where it acts, bending and shear.

    .. math:: \frac{\delta}{F} = \frac{4 a^3}{E w t^3} + \frac{6}{5}\,\frac{2 (1 + \nu) a}{E w t}

    Parameters
    ----------
    arm_mm, width_mm, thickness_mm
        As `bending_mpa`.
    modulus_mpa, poisson : float or array
        :math:`E` [MPa], :math:`\nu` [-].

    Returns
    -------
    array
        [mm/N]. The body the root stands on is taken as rigid.

    References
    ----------
    .. [1] Timoshenko's beam; shear correction 5/6 of a rectangle.

    Examples
    --------
    A long one is F a^3 / 3 E I: 100 mm, 10 x 10, steel: 0.002 mm/N.

    >>> round(
    ...     float(
    ...         compliance_mm_per_n(
    ...             arm_mm=100.0, width_mm=10.0, thickness_mm=10.0, modulus_mpa=2e5, poisson=0.3
    ...         )
    ...     ),
    ...     4,
    ... )
    0.002
    """
    arm, width = np.asarray(arm_mm, dtype=float), np.asarray(width_mm, dtype=float)
    thick, stiff = np.asarray(thickness_mm, dtype=float), np.asarray(modulus_mpa, dtype=float)
    bending = 4.0 * arm**3 / (stiff * width * thick**3)
    shear = _TIMOSHENKO * 2.0 * (1.0 + np.asarray(poisson)) * arm / (stiff * width * thick)
    return np.asarray(bending + shear)


def equivalent_mpa(
    one_mpa: ArrayLike, other_mpa: ArrayLike, third_mpa: ArrayLike = 0.0, *, shear_mpa: ArrayLike
) -> Array:
    r"""Von Mises stress of three normal stresses and one shear stress in their plane [MPa].

    References
    ----------
    .. [1] Budynas & Nisbett, Shigley's Mechanical Engineering Design, eq. 5-14.

    Examples
    --------
    Example 8-1 of Shigley: 41.5, 0 and -10.39 MPa with a shear of 6.07: 48.7 MPa.

    >>> round(float(equivalent_mpa(41.5, 0.0, -10.39, shear_mpa=6.07)), 1)
    48.7
    """
    a, b, c = (np.asarray(value, dtype=float) for value in (one_mpa, other_mpa, third_mpa))
    normal = ((a - b) ** 2 + (b - c) ** 2 + (c - a) ** 2) / 2.0
    return np.asarray(np.sqrt(normal + 3.0 * np.asarray(shear_mpa, dtype=float) ** 2))
