"""A flat rubber gasket pressed between two faces: how far, and how hard it presses back."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

Array = NDArray[np.float64]


def squeeze(thickness_mm: ArrayLike, height_mm: ArrayLike) -> Array:
    r"""Share of its thickness a gasket is pressed by [-]: :math:`s = 1 - h / t`.

    Examples
    --------
    3 mm between faces 2.25 mm apart: a quarter.

    >>> float(squeeze(3.0, 2.25))
    0.25
    """
    return np.asarray(1.0 - np.asarray(height_mm, dtype=float) / np.asarray(thickness_mm))


def shape_factor(width_mm: ArrayLike, thickness_mm: ArrayLike) -> Array:
    r"""Loaded area over the area free to bulge, of a long strip [-]: :math:`S = w / 2t`.

    References
    ----------
    .. [1] A. N. Gent and P. B. Lindley, Proc. Inst. Mech. Eng. 173 (1959) 111; from memory.

    Examples
    --------
    6 mm wide and 3 mm thick: one.

    >>> float(shape_factor(6.0, 3.0))
    1.0
    """
    return np.asarray(np.asarray(width_mm, dtype=float) / (2.0 * np.asarray(thickness_mm)))


def contact_mpa(
    squeeze_share: ArrayLike, *, modulus_mpa: ArrayLike, shape: ArrayLike, sticks: bool
) -> Array:
    r"""Mean pressure of a squeezed gasket on its faces [MPa].

    .. math:: \sigma = \frac{E_c}{3}\left(\lambda^{-2} - \lambda\right), \quad \lambda = 1 - s

    with :math:`E_c = E` where the faces let the rubber slide, and
    :math:`E_c = \frac{4}{3} E (1 + S^2)` for a long strip that sticks to them. A real gasket lies
    between the two.

    Parameters
    ----------
    squeeze_share : float or array
        :math:`s`; nothing presses where it is 0 or less [-].
    modulus_mpa : float or array
        :math:`E` of small strain [MPa].
    shape : float or array
        :math:`S`, see `shape_factor` [-].
    sticks : bool

    Returns
    -------
    array [MPa]

    References
    ----------
    .. [1] L. R. G. Treloar, The Physics of Rubber Elasticity, 3rd ed. 1975 (uniaxial stress of the
       statistical theory); Gent and Lindley 1959 as above (bonded strip); both from memory. Good
       to a fifth or so up to a squeeze of 0.4.

    Examples
    --------
    By hand, a quarter: lambda 0.75, (1.7778 - 0.75) / 3 = 0.3426 of E; stuck with S = 1, 8/3 times.

    >>> one = {"modulus_mpa": 1.0, "shape": 1.0}
    >>> round(float(contact_mpa(0.25, **one, sticks=False)), 4)
    0.3426
    >>> round(float(contact_mpa(0.25, **one, sticks=True)), 4)
    0.9136
    """
    left = 1.0 - np.maximum(np.asarray(squeeze_share, dtype=float), 0.0)
    modulus = np.asarray(modulus_mpa, dtype=float)
    if sticks:
        modulus = 4.0 / 3.0 * modulus * (1.0 + np.asarray(shape, dtype=float) ** 2)
    return np.asarray(modulus / 3.0 * (left**-2 - left))
