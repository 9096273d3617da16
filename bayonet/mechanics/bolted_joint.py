"""A preloaded screw in a tapped hole: stiffness, shares of the load, torque, thread. No judgement.

Symbols and equations of Budynas & Nisbett, Shigley's Mechanical Engineering Design, chapter 8.
"""

from __future__ import annotations

import math

_FRUSTUM = 0.5774  # tangent of 30 deg, as printed
_STRIP = 0.875
"""Sheared share of the cylinder of an internal thread's major diameter, basic profile of ISO 68-1:
half the pitch and 0.57735 of the gap between major and pitch diameter on both sides of the crest,
0.5 + 0.57735 x 0.6495 (form of FED-STD-H28/2, from memory)."""


def screw_stiffness_n_per_mm(
    *, grip_mm: float, unthreaded_mm: float, diameter_mm: float, stress_area_mm2: float,
    modulus_mpa: float,
) -> float:  # fmt: skip
    r"""Stiffness of a screw within its grip.

    .. math:: k_b = \frac{A_d A_t E}{A_d l_t + A_t l_d}

    Parameters
    ----------
    grip_mm, unthreaded_mm : float
        Effective grip, and the part :math:`l_d` of it without thread [mm].
    diameter_mm, stress_area_mm2 : float
        Shank [mm]; :math:`A_t` [mm2].
    modulus_mpa : float

    Returns
    -------
    float
        [N/mm].

    References
    ----------
    .. [1] Shigley, eq. 8-17; numbers of example 8-4 (9th ed.), from memory.

    Examples
    --------
    Example 8-4 of [1] in inches and kpsi: 5/8 in screw, grip 1.5, half of it threaded: 5.21.

    >>> round(
    ...     screw_stiffness_n_per_mm(
    ...         grip_mm=1.5,
    ...         unthreaded_mm=0.75,
    ...         diameter_mm=0.625,
    ...         stress_area_mm2=0.226,
    ...         modulus_mpa=30.0,
    ...     ),
    ...     2,
    ... )
    5.21
    """
    shank = math.pi * diameter_mm**2 / 4.0
    threaded = grip_mm - unthreaded_mm
    flexible = shank * threaded + stress_area_mm2 * unthreaded_mm
    return shank * stress_area_mm2 * modulus_mpa / flexible


def members_stiffness_n_per_mm(*, grip_mm: float, diameter_mm: float, modulus_mpa: float) -> float:
    r"""Stiffness of clamped parts of one material, as two frusta of 30 deg under a washer face.

    .. math:: k_m = \frac{0.5774 \pi E d}{2 \ln\left(5\,\frac{0.5774 l + 0.5 d}{0.5774 l + 2.5 d}
        \right)}

    Parameters
    ----------
    grip_mm, diameter_mm, modulus_mpa : float

    Returns
    -------
    float
        [N/mm].

    References
    ----------
    .. [1] Shigley, eq. 8-22; numbers of example 8-4 (9th ed.), from memory.

    Examples
    --------
    Example 8-4 of [1]: 5/8 in screw, grip 1.5 in, cast iron of 14 Mpsi: 8.95.

    >>> round(members_stiffness_n_per_mm(grip_mm=1.5, diameter_mm=0.625, modulus_mpa=14.0), 2)
    8.95
    """
    length, d = _FRUSTUM * grip_mm, diameter_mm
    ratio = 5.0 * (length + 0.5 * d) / (length + 2.5 * d)
    return _FRUSTUM * math.pi * modulus_mpa * d / (2.0 * math.log(ratio))


def tapped_grip_mm(clamped_mm: float, diameter_mm: float) -> float:
    """Effective grip of a screw in a tapped hole at least a diameter deep: h + d / 2 [mm].

    References
    ----------
    .. [1] Shigley, table 8-7.

    Examples
    --------
    >>> tapped_grip_mm(5.0, 4.0)
    7.0
    """
    return clamped_mm + diameter_mm / 2.0


def load_factor(*, proof_n: float, preload_n: float, share: float, load_n: float) -> float:
    r"""How many times the load takes a screw to its proof load.

    .. math:: n_L = \frac{S_p A_t - F_i}{C P}

    Parameters
    ----------
    proof_n, preload_n : float
        [N].
    share : float
        :math:`C`, the screw's share of what is added [-].
    load_n : float
        On this screw [N].

    Returns
    -------
    float
        Infinite without a load; 0 or less where the preload alone is too much.

    References
    ----------
    .. [1] Shigley, eq. 8-29 (9th ed.).

    Examples
    --------
    Example 8-4: Sp At 19.2 kip, preload 14.4, C 0.368; 6 screws share 36 kip: 2.18.

    >>> round(load_factor(proof_n=85 * 0.226, preload_n=14.4, share=0.368, load_n=6.0), 2)
    2.18
    """
    spare = proof_n - preload_n
    if load_n == 0.0:
        return math.inf if spare > 0.0 else 0.0
    return spare / (share * load_n)


def separation_factor(*, preload_n: float, share: float, load_n: float) -> float:
    r"""How many times the load opens the joint: :math:`F_i / (P (1 - C))`.

    References
    ----------
    .. [1] Shigley, eq. 8-30 (9th ed.).

    Examples
    --------
    >>> round(separation_factor(preload_n=14.4, share=0.368, load_n=6.0), 2)
    3.8
    """
    return math.inf if load_n == 0.0 else preload_n / (load_n * (1.0 - share))


def torque_nmm(preload_n: float, *, diameter_mm: float, nut_factor: float) -> float:
    """Tightening torque: K F d [N mm].

    References
    ----------
    .. [1] Shigley, eq. 8-27; K 0.2 where nothing better is known, table 8-15: 0.3 dry, 0.2 zinc
       plated, 0.18 lubricated (from memory).

    Examples
    --------
    >>> torque_nmm(5000.0, diameter_mm=6.0, nut_factor=0.2)
    6000.0
    """
    return nut_factor * preload_n * diameter_mm


def strip_area_mm2(engagement_mm: float, *, diameter_mm: float) -> float:
    """Area that shears where an internal thread strips: 0.875 pi d L [mm2].

    Examples
    --------
    >>> round(strip_area_mm2(8.0, diameter_mm=4.0), 1)
    88.0
    """
    return _STRIP * math.pi * diameter_mm * engagement_mm
