"""What a lug and the stop it turns against bear of a torque, were it to meet the stop alone."""

from __future__ import annotations

from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

Number = TypeVar("Number", float, NDArray[np.float64])

SHEAR_SHARE = 0.577
"""Yield in shear over yield in tension by distortion energy: Shigley section 5-5 [-]."""


def stop_torque_nmm(
    allowed_mpa: float, *, radius_mm: Number, height_mm: Number, thickness_mm: Number,
    root_width_mm: Number, arm_mm: Number, notch: float = 1.0,
) -> NDArray[np.float64]:  # fmt: skip
    r"""Torque one lug stands against a stop, least of bearing, shear and bending.

    .. math:: T = r \min\left(\sigma h t,\; 0.577 \sigma w t,\; \frac{\sigma t w^2}{6 a k}\right)

    Parameters
    ----------
    allowed_mpa : float
        :math:`\sigma`, allowed stress [MPa].
    radius_mm : float or array
        :math:`r`, middle of the face that meets the stop [mm].
    height_mm : float or array
        :math:`h`, radial height of that face [mm].
    thickness_mm : float or array
        :math:`t`, of the lug along the axis [mm].
    root_width_mm : float or array
        :math:`w`, of the lug along the circle at its root [mm].
    arm_mm : float or array
        :math:`a`, root to the middle of the face [mm].
    notch : float
        :math:`k`, stress concentration at the root in bending [-].

    Returns
    -------
    array
        [N mm]. No friction at the stop, and no other lug helps: the first to arrive takes it all.

    References
    ----------
    .. [1] Budynas & Nisbett, Shigley's Mechanical Engineering Design, eq. 3-24 (bending), section
       5-5 (shear yield), eq. 8-10 (mean bearing stress).

    Examples
    --------
    100 MPa on a face 4 x 3 mm at radius 20 with a root 10 wide, arm 2: bearing 1200 N, shear
    1731 N, bending 100 x 3 x 100 / 12 = 2500 N; so 1200 x 20.

    >>> float(
    ...     stop_torque_nmm(
    ...         100.0,
    ...         radius_mm=20.0,
    ...         height_mm=4.0,
    ...         thickness_mm=3.0,
    ...         root_width_mm=10.0,
    ...         arm_mm=2.0,
    ...     )
    ... )
    24000.0
    """
    bearing = np.multiply(allowed_mpa * np.asarray(height_mm), thickness_mm)
    shear = SHEAR_SHARE * allowed_mpa * np.multiply(root_width_mm, thickness_mm)
    bending = allowed_mpa * np.multiply(thickness_mm, np.square(root_width_mm)) / (6.0 * notch)
    return np.asarray(
        np.multiply(radius_mm, np.minimum(np.minimum(bearing, shear), bending / arm_mm))
    )
