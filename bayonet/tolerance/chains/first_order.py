"""First order about the means: slopes, root-sum-square, and who contributes."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bayonet.tolerance.chains.chain import Chain, ChainSet

Array = NDArray[np.float64]

_STEP = 0.05  # of a standard deviation


@dataclass(frozen=True, kw_only=True)
class Contributor:
    """What one variable adds to a chain.

    Parameters
    ----------
    key, meaning, owner, group : str
        Of the variable.
    slope : float
        Change of the chain per change of the variable.
    variance_share : float
        Of the chain's variance, correlations included [-]; may be negative.
    worst_case_share : float
        Of the sum of slope times half-width [-].
    measured : bool
        Whether it is the uncertainty of a measured value, not the spread of a production.
    """

    key: str
    meaning: str
    owner: str
    group: str
    slope: float
    variance_share: float
    worst_case_share: float
    measured: bool = False


@dataclass(frozen=True, kw_only=True)
class FirstOrder:
    """A chain to first order.

    Parameters
    ----------
    mean, sd : float
        Of the governing piece [unit].
    piece : int
        The piece with the least room at three standard deviations.
    contributors : tuple of Contributor
        Greatest share of variance first.
    """

    mean: float
    sd: float
    piece: int
    contributors: tuple[Contributor, ...]

    @property
    def rss(self) -> tuple[float, float]:
        """Mean minus and plus three standard deviations [unit]."""
        return self.mean - 3.0 * self.sd, self.mean + 3.0 * self.sd


def first_order(chains: ChainSet) -> dict[str, FirstOrder]:
    r"""Mean and standard deviation of every chain to first order.

    .. math:: s^2 = \sum_{ij} c_i s_i r_{ij} s_j c_j

    Parameters
    ----------
    chains : ChainSet

    Returns
    -------
    dict of FirstOrder by key

    References
    ----------
    .. [1] JCGM 100:2008, 5.2.2. Root-sum-square of a stack is its case of independent parts.

    Examples
    --------
    Ten parts of 0.1: 0.316; see `tests/tolerance/test_textbook_stacks.py`.
    """
    sds = np.array([variable.sd for variable in chains.variables])
    middle, slopes = slopes_at(chains, chains.means())
    return {
        chain.key: _of_chain(chains, chain, middle[chain.key], slopes[chain.key], sds)
        for chain in chains.chains
    }


def slopes_at(chains: ChainSet, point: Array) -> tuple[dict[str, Array], dict[str, Array]]:
    """Value and slopes of every piece at a point, by central differences.

    Parameters
    ----------
    chains : ChainSet
    point : array, shape (variables, 1)

    Returns
    -------
    tuple of dict
        Values (pieces,) and slopes (pieces, variables) by key.
    """
    count = len(chains.variables)
    steps = np.array([_STEP * variable.sd for variable in chains.variables])
    points = np.repeat(point, 2 * count + 1, axis=1)
    index = np.arange(count)
    points[index, index] += steps
    points[index, count + index] -= steps
    values = chains.pieces(points, chains.keys)
    safe = np.where(steps > 0.0, 2.0 * steps, 1.0)
    slopes = {
        key: np.where(steps > 0.0, (v[:, :count] - v[:, count : 2 * count]) / safe, 0.0)
        for key, v in values.items()
    }
    return {key: v[:, -1] for key, v in values.items()}, slopes


def _of_chain(
    chains: ChainSet, chain: Chain, middle: Array, slopes: Array, sds: Array
) -> FirstOrder:
    parts = slopes * sds
    mixed = parts if chains.correlation is None else parts @ chains.correlation
    variances = np.sum(parts * mixed, axis=1)
    spread = np.sqrt(variances)
    room = np.minimum(middle - 3.0 * spread - chain.low, chain.high - middle - 3.0 * spread)
    # among pieces that are alike but for rounding, the first
    piece = int(np.flatnonzero(room <= room.min() + 1e-9)[0]) if chain.has_limits else 0
    halves = np.array([v.half_width for v in chains.variables])
    reach = np.abs(slopes[piece]) * halves
    total, widest = float(variances[piece]), float(reach.sum())
    found = [
        Contributor(
            key=variable.key,
            meaning=variable.meaning,
            owner=variable.owner,
            group=variable.group,
            slope=float(slopes[piece, row]),
            variance_share=float(parts[piece, row] * mixed[piece, row]) / total if total else 0.0,
            worst_case_share=float(reach[row]) / widest if widest else 0.0,
            measured=variable.spread == "uncertainty",
        )
        for row, variable in enumerate(chains.variables)
        if reach[row] > 0.0
    ]
    found.sort(key=lambda one: (-round(one.variance_share, 9), one.key))
    return FirstOrder(
        mean=float(middle[piece]),
        sd=float(spread[piece]),
        piece=piece,
        contributors=tuple(found),
    )
