"""How much a fit's parameters scatter by its own residuals, neighbours taken together."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from bayonet.scan.spots import Spots

Array = NDArray[np.float64]

_CELL_MM = 10.0


def scattered_squares(jac: Array, off: Array, c: Spots) -> Array:
    """Sum over cells of one face of the squares of the right sides that each adds.

    Between two information matrices' inverses it is the covariance of the parameters whatever the
    correlation of residuals within a cell; with white residuals it is noise^2 times information.

    Parameters
    ----------
    jac : array (k, n)
        Rates of the face's distances by its parameters.
    off : array (n,)
        Residuals [mm].
    c : Spots

    References
    ----------
    .. [1] White, A heteroskedasticity-consistent covariance matrix estimator, Econometrica 48
       (1980); by clusters: Liang & Zeger, Biometrika 73 (1986).
    """
    cell = cells(c)
    sums = np.array([np.bincount(cell, weights=row * off) for row in jac])
    return np.asarray(sums @ sums.T)


def cells(c: Spots) -> NDArray[np.int64]:
    """Cell of each point on its face: by arc and by whichever of depth and radius spreads more."""
    across = c.depth if np.ptp(c.depth) > np.ptp(c.r) else c.r
    along = c.theta * float(c.r.mean())
    pair = [np.floor((one - one.min()) / _CELL_MM).astype(np.int64) for one in (along, across)]
    return np.asarray(pair[0] * (int(pair[1].max()) + 1) + pair[1])
