"""How much a fit's parameters scatter by its own residuals, neighbours taken together."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence

import numpy as np
from numpy.typing import NDArray

from bayonet.scan.labels import Labelled, State
from bayonet.scan.surface import Rates, Spots

Array = NDArray[np.float64]
Rows = Callable[[Rates, Spots, Mapping[str, int]], tuple[list[int], Array]]

_CELL_MM = 10.0


def scatter(blocks: Sequence[Sequence[Labelled]], state: State, rows_of: Rows) -> Array:
    """Sum over cells of the surface of the squares of the right sides that each adds.

    Between two information matrices' inverses it is the covariance of the parameters whatever the
    correlation of residuals within a cell; with white residuals it is noise^2 times information.

    References
    ----------
    .. [1] White, A heteroskedasticity-consistent covariance matrix estimator, Econometrica 48
       (1980); by clusters: Liang & Zeger, Biometrika 73 (1986).
    """
    size, v = len(state.names), state.values
    place = {name: i for i, name in enumerate(state.names)}
    total = np.zeros((size, size))
    for one in (row for block in blocks for row in block):
        if not len(one.which):
            continue
        columns, jac = rows_of(one.face.rates(one.spots, v), one.spots, place)
        cell = cells(one.spots)
        sums = np.array([np.bincount(cell, weights=row * one.off) for row in jac])
        total[np.ix_(columns, columns)] += sums @ sums.T
    return total


def cells(c: Spots) -> NDArray[np.int64]:
    """Cell of each point on its face: by arc and by whichever of depth and radius spreads more."""
    across = c.depth if np.ptp(c.depth) > np.ptp(c.r) else c.r
    along = c.theta * float(c.r.mean())
    pair = [np.floor((one - one.min()) / _CELL_MM).astype(np.int64) for one in (along, across)]
    return np.asarray(pair[0] * (int(pair[1].max()) + 1) + pair[1])
