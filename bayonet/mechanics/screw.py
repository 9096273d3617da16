r"""Lugs on a ramp as a square thread: torque up, torque down, friction angle. Vectorised."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

Array = NDArray[np.float64]


def ramp_torque_nmm(
    axial_load_n: ArrayLike,
    *,
    mean_diameter_mm: ArrayLike,
    lead_mm_per_rev: ArrayLike,
    friction: ArrayLike,
) -> Array:
    r"""Torque to turn lugs up a helical ramp against an axial load.

    .. math:: T = \frac{F d_m}{2}\,\frac{l + \pi \mu d_m}{\pi d_m - \mu l}

    Parameters
    ----------
    axial_load_n : float or array
        :math:`F`, on all lugs together [N].
    mean_diameter_mm : float or array
        :math:`d_m`, mid-height diameter of the contact [mm].
    lead_mm_per_rev : float or array
        :math:`l` [mm/rev]; 0 gives plain friction. Negative: down the ramp, see
        `release_torque_nmm`.
    friction : float or array
        :math:`\mu` of lug on ramp [-].

    Returns
    -------
    array
        :math:`T` [N mm]; inf where the ramp binds (:math:`\mu l \ge \pi d_m`).

    References
    ----------
    .. [1] Budynas & Nisbett, Shigley's Mechanical Engineering Design, eq. 8-1 (square thread).

    Examples
    --------
    Example 8-1 of [1] without the collar: 15.94 N m.

    >>> torque = ramp_torque_nmm(6400, mean_diameter_mm=30, lead_mm_per_rev=8, friction=0.08)
    >>> round(float(torque) / 1000, 2)
    15.94
    """
    force, across = np.asarray(axial_load_n, dtype=float), np.asarray(mean_diameter_mm, dtype=float)
    lead, mu = np.asarray(lead_mm_per_rev, dtype=float), np.asarray(friction, dtype=float)
    left = np.pi * across - mu * lead
    with np.errstate(divide="ignore", invalid="ignore"):
        torque = force * across / 2.0 * (lead + np.pi * mu * across) / left
    return np.asarray(np.where(left > 0.0, torque, np.inf))


def release_torque_nmm(
    axial_load_n: ArrayLike,
    *,
    mean_diameter_mm: ArrayLike,
    lead_mm_per_rev: ArrayLike,
    friction: ArrayLike,
) -> Array:
    r"""Torque to turn lugs down a ramp that an axial load presses them on.

    .. math:: T = \frac{F d_m}{2}\,\frac{\pi \mu d_m - l}{\pi d_m + \mu l}

    Parameters
    ----------
    axial_load_n, mean_diameter_mm, lead_mm_per_rev, friction
        As `ramp_torque_nmm`.

    Returns
    -------
    array
        :math:`T` [N mm]; negative where the ramp lets go by itself and must be held.

    References
    ----------
    .. [1] Budynas & Nisbett, Shigley's Mechanical Engineering Design, eq. 8-2.

    Examples
    --------
    Example 8-1 of [1] without the collar: 9.77 less 10.24 N m.

    >>> torque = release_torque_nmm(6400, mean_diameter_mm=30, lead_mm_per_rev=8, friction=0.08)
    >>> round(float(torque) / 1000, 2)
    -0.47
    """
    return ramp_torque_nmm(
        axial_load_n,
        mean_diameter_mm=mean_diameter_mm,
        lead_mm_per_rev=-np.asarray(lead_mm_per_rev, dtype=float),
        friction=friction,
    )


def face_torque_nmm(
    axial_load_n: ArrayLike, *, mean_diameter_mm: ArrayLike, friction: ArrayLike
) -> Array:
    r"""Torque to turn a face or collar under an axial load: :math:`F \mu_c d_c / 2` [N mm].

    References
    ----------
    .. [1] Budynas & Nisbett, Shigley's Mechanical Engineering Design, eq. 8-6.

    Examples
    --------
    The collar of example 8-1 of [1]: 10.24 N m.

    >>> float(face_torque_nmm(6400, mean_diameter_mm=40, friction=0.08)) / 1000
    10.24
    """
    half = np.asarray(mean_diameter_mm, dtype=float) / 2.0
    return np.asarray(np.asarray(axial_load_n, dtype=float) * np.asarray(friction) * half)


def clamp_load_n(
    torque_nmm: ArrayLike,
    *,
    mean_diameter_mm: ArrayLike,
    lead_mm_per_rev: ArrayLike,
    friction: ArrayLike,
    face_diameter_mm: ArrayLike,
    face_friction: ArrayLike,
) -> Array:
    """Axial load that a torque on ramp and shoulder together reaches [N]; 0 where it binds.

    Parameters
    ----------
    torque_nmm : float or array
        What is left for ramp and shoulder, drag of rings taken off [N mm].
    mean_diameter_mm, lead_mm_per_rev, friction
        Of the ramp, as `ramp_torque_nmm`.
    face_diameter_mm, face_friction
        Of the shoulder, as `face_torque_nmm`.

    References
    ----------
    .. [1] Budynas & Nisbett, Shigley's Mechanical Engineering Design, 9th ed., eq. 8-1 and 8-6,
       solved for the load.

    Examples
    --------
    Example 8-1 of Shigley the other way round: 26.18 N m lift 6400 N.

    >>> round(
    ...     float(
    ...         clamp_load_n(
    ...             26180,
    ...             mean_diameter_mm=30,
    ...             lead_mm_per_rev=8,
    ...             friction=0.08,
    ...             face_diameter_mm=40,
    ...             face_friction=0.08,
    ...         )
    ...     ),
    ...     -1,
    ... )
    6400.0
    """
    one = ramp_torque_nmm(
        1.0,
        mean_diameter_mm=mean_diameter_mm,
        lead_mm_per_rev=lead_mm_per_rev,
        friction=friction,
    ) + face_torque_nmm(1.0, mean_diameter_mm=face_diameter_mm, friction=face_friction)
    return np.asarray(np.maximum(np.asarray(torque_nmm, dtype=float), 0.0) / one)


def lead_angle_deg(lead_mm_per_rev: ArrayLike, *, mean_diameter_mm: ArrayLike) -> Array:
    r"""Lead angle at a diameter: :math:`\arctan(l / \pi d_m)` [deg].

    References
    ----------
    .. [1] Budynas & Nisbett, Shigley's Mechanical Engineering Design, 9th ed., section 8-1.

    Examples
    --------
    M10 coarse thread at 9.026 mm: 3.03 deg (common tables, from memory).

    >>> round(float(lead_angle_deg(1.5, mean_diameter_mm=9.026)), 2)
    3.03
    """
    run = np.pi * np.asarray(mean_diameter_mm, dtype=float)
    return np.asarray(np.degrees(np.arctan2(np.asarray(lead_mm_per_rev, dtype=float), run)))


def friction_angle_deg(friction: ArrayLike) -> Array:
    r"""Friction angle :math:`\arctan \mu` [deg]; a ramp less steep holds by itself.

    References
    ----------
    .. [1] Budynas & Nisbett, Shigley's Mechanical Engineering Design, eq. 8-3 (self-locking).

    Examples
    --------
    >>> round(float(friction_angle_deg(0.1)), 2)
    5.71
    """
    return np.asarray(np.degrees(np.arctan(np.asarray(friction, dtype=float))))


def flank_torque_nmm(
    axial_load_n: ArrayLike,
    *,
    mean_diameter_mm: ArrayLike,
    flank_angle_deg: ArrayLike,
    friction: ArrayLike,
) -> Array:
    r"""Torque to ride up a flank, as that of a detent, against an axial load.

    .. math:: T = \frac{F d_m}{2} \tan(\alpha + \arctan \mu)

    Parameters
    ----------
    axial_load_n : float or array
        :math:`F`, on all lugs together [N].
    mean_diameter_mm : float or array
        :math:`d_m` [mm].
    flank_angle_deg : float or array
        :math:`\alpha`, flank against the plane of turning [deg].
    friction : float or array
        :math:`\mu` [-].

    Returns
    -------
    array
        :math:`T` [N mm]; inf where it binds.

    References
    ----------
    .. [1] Budynas & Nisbett, Shigley's Mechanical Engineering Design, 9th ed., section 8-1: the
       same wedge as eq. 8-1, its angle the flank's.

    Examples
    --------
    The same as a ramp of that angle: eq. 8-1 of Shigley is :math:`\tan(\lambda + \phi)`.

    >>> lead = 30 * np.pi * np.tan(np.radians(20))
    >>> a = ramp_torque_nmm(100, mean_diameter_mm=30, lead_mm_per_rev=lead, friction=0.2)
    >>> b = flank_torque_nmm(100, mean_diameter_mm=30, flank_angle_deg=20, friction=0.2)
    >>> bool(abs(a - b) < 1e-9)
    True
    """
    across = np.asarray(mean_diameter_mm, dtype=float)
    lead = np.pi * across * np.tan(np.radians(np.asarray(flank_angle_deg, dtype=float)))
    return ramp_torque_nmm(
        axial_load_n, mean_diameter_mm=across, lead_mm_per_rev=lead, friction=friction
    )
