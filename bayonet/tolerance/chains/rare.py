r"""Rates of rare faults, by sampling where they happen and weighting back.

Each way a chain can leave its limits has a most likely point. Points are drawn about all of these
and about the middle, in known shares, and weighted by the ratio of true to drawn density.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bayonet.mechanics import coverage_factor
from bayonet.tolerance.chains import sobol
from bayonet.tolerance.chains.chain import Chain, ChainSet
from bayonet.tolerance.chains.sampling import Rate, inside, mixed, mixing
from bayonet.tolerance.chains.variable import standard_quantile

Array = NDArray[np.float64]

SCRAMBLES = 8
_ROUNDS = 8
_SETTLED = 0.02  # a point that moves less is near enough to draw about
_FARTHEST = 7.0  # standard deviations; a rate of 1e-12
_CENTRE_SHARE = 0.1
_LEAST_SHARE = 0.01
_STEP = 1e-3
_CLIP = 8.2


@dataclass(frozen=True, kw_only=True)
class Weighted:
    """Rates found by weighted sampling.

    Parameters
    ----------
    count : int
        Points.
    out : dict of Rate by key
        Share outside the limits of each chain.
    fails : Rate
        Share outside the limits of at least one chain.
    gain : dict of float by key
        Plain random points needed for the same standard error, per point drawn here; of the
        chain named, and of ``""`` for all together. NaN where the rate is 0.
    """

    count: int
    out: dict[str, Rate]
    fails: Rate
    gain: dict[str, float]


def rare_rates(chains: ChainSet, *, count: int, seed: int) -> Weighted:
    r"""Rates outside limits by importance sampling about the most likely faults.

    With components of shares :math:`a_k` about points :math:`m_k` in the space of independent
    standard normal variates z, a point weighs
    :math:`1 / \sum_k a_k \exp(m_k z - m_k^2 / 2)`.

    Parameters
    ----------
    chains : ChainSet
    count : int
        Points, all scrambles together; rounded up to whole blocks.
    seed : int

    Returns
    -------
    Weighted

    References
    ----------
    .. [1] A. M. Hasofer and N. C. Lind, J. Eng. Mech. Div. ASCE 100 (1974) 111 (the most likely
       point); A. Owen and Y. Zhou, J. Am. Stat. Assoc. 95 (2000) 135 (mixtures with a safe part).

    Examples
    --------
    A normal tail of known rate; see `tests/tolerance/test_rare.py`.
    """
    space = _Space(chains)
    middles = most_likely_faults(space)
    shares = _shares(middles)
    per = max(1, count // SCRAMBLES)
    rows = np.array(
        [_one_scramble(space, middles, shares, per, seed + 104729 * i) for i in range(SCRAMBLES)]
    )
    keys = [chain.key for chain in chains.chains]
    total = per * SCRAMBLES
    rates = [_rate(rows[:, column]) for column in range(rows.shape[1])]
    gains = [_gain(rows[:, column], total) for column in range(rows.shape[1])]
    return Weighted(
        count=total,
        out=dict(zip(keys, rates[:-1], strict=True)),
        fails=rates[-1],
        gain=dict(zip([*keys, ""], gains, strict=True)),
    )


class _Space:
    """Independent standard normal variates in front of the deviations."""

    def __init__(self, chains: ChainSet) -> None:
        self.chains = chains
        self._mixing = mixing(chains)

    @property
    def dimensions(self) -> int:
        return len(self.chains.variables)

    def deviations(self, z: Array) -> Array:
        """Deviations at variates, shape (variables, n)."""
        from scipy.special import ndtr

        out = np.empty_like(z)
        for row, variable in enumerate(self.chains.variables):
            if variable.is_normal:
                out[row] = variable.scale * z[row]
                continue
            tail = ndtr(-np.abs(np.clip(z[row], -_CLIP, _CLIP)))
            below = variable.scale * standard_quantile(variable.spread, variable.dof, tail)
            above = variable.scale * standard_quantile(variable.spread, variable.dof, 1.0 - tail)
            out[row] = variable.within(np.where(z[row] < 0.0, below, above))
        return mixed(out, self._mixing)


def most_likely_faults(space: _Space) -> Array:
    """Most likely fault of each piece of each chain at each limit, shape (faults, variables).

    The search of Hasofer, Lind, Rackwitz and Fiessler, for all at once.
    """
    ways = _ways(space)
    if not ways:
        return np.zeros((0, space.dimensions))
    points = np.zeros((len(ways), space.dimensions))
    for _ in range(_ROUNDS):
        room, slope = _room_and_slope(space, ways, points)
        steep = np.maximum(np.einsum("ij,ij->i", slope, slope), 1e-30)
        along = (np.einsum("ij,ij->i", slope, points) - room) / steep
        before, points = points, along[:, None] * slope
        length = np.sqrt(np.einsum("ij,ij->i", points, points))
        near = length < 1.5 * _FARTHEST  # the rest is too far off to matter, or flat
        ways = [way for way, keep in zip(ways, near.tolist(), strict=True) if keep]
        moved = np.abs(points - before)[near].max(initial=0.0)
        points = points[near]
        if not ways or moved < _SETTLED:
            break
    length = np.sqrt(np.einsum("ij,ij->i", points, points))
    return np.unique(np.round(points[(length < _FARTHEST) & (length > 0.0)], 6), axis=0)


_Way = tuple[Chain, int, int]


def _ways(space: _Space) -> list[_Way]:
    """Chain, piece and side (-1 below, +1 above) of every limit."""
    rows = space.chains.pieces(space.chains.nominal(), space.chains.keys)
    return [
        (chain, piece, side)
        for chain in space.chains.chains
        for side, limit in ((-1, chain.low), (1, chain.high))
        if math.isfinite(limit)
        for piece in range(len(rows[chain.key]))
    ]


def _room_and_slope(space: _Space, ways: list[_Way], points: Array) -> tuple[Array, Array]:
    """Room inside its limit of each way at its own point, and the slope of that room."""
    count, many = space.dimensions, len(ways)
    stack = np.repeat(points[:, None, :], count + 1, axis=1)
    index = np.arange(count)
    stack[:, index, index] += _STEP
    keys = tuple(dict.fromkeys(chain.key for chain, _, _ in ways))
    values = space.chains.pieces(space.deviations(stack.reshape(-1, count).T.copy()), keys)
    room = np.empty((many, count + 1))
    for row, (chain, piece, side) in enumerate(ways):
        mine = values[chain.key][piece, row * (count + 1) : (row + 1) * (count + 1)]
        room[row] = mine - chain.low if side < 0 else chain.high - mine
    room = np.nan_to_num(room, nan=0.0)
    return room[:, -1], (room[:, :-1] - room[:, -1:]) / _STEP


def _shares(middles: Array) -> Array:
    """Share of points about the middle (first) and about each fault, the likelier the more."""
    from scipy.special import ndtr

    if not len(middles):
        return np.ones(1)
    likely = np.sqrt(ndtr(-np.sqrt(np.einsum("ij,ij->i", middles, middles))))
    shares = likely / likely.sum()
    shares = np.maximum(shares, min(_LEAST_SHARE, 0.5 / len(shares)))
    return np.concatenate([[_CENTRE_SHARE], (1.0 - _CENTRE_SHARE) * shares / shares.sum()])


def _one_scramble(space: _Space, middles: Array, shares: Array, count: int, seed: int) -> Array:
    """Weighted share outside each chain, and outside any, of one scramble."""
    from scipy.special import ndtri

    chains = space.chains
    net = sobol.net(space.dimensions + 1, seed=seed)
    centres = np.concatenate([np.zeros((1, space.dimensions)), middles])
    totals, points = np.zeros(len(chains.chains) + 1), 0
    for number in range(-(-count // sobol.BLOCK)):
        change, place = net.block(number)
        left = min(count - points, sobol.BLOCK)
        strata = (net.ranks ^ change[:, None])[:, :left]
        uniform = (strata + sobol.place_in(place)) / sobol.BLOCK
        which = np.searchsorted(np.cumsum(shares)[:-1], uniform[0], side="right")
        z = ndtri(uniform[1:]) + centres[which].T
        totals += _weighted_shares(chains, space.deviations(z), _weights(z, centres, shares))
        points += left
    return totals / points


def _weights(z: Array, centres: Array, shares: Array) -> Array:
    tilt = centres @ z - 0.5 * np.einsum("ij,ij->i", centres, centres)[:, None]
    return np.asarray(1.0 / (shares @ np.exp(np.minimum(tilt, 500.0))))


def _weighted_shares(chains: ChainSet, deviations: Array, weights: Array) -> Array:
    values = chains.values(deviations)
    outside = np.array([~inside(chain, values[chain.key]) for chain in chains.chains])
    return np.append(outside @ weights, weights[outside.any(axis=0)].sum())


def _rate(shares: Array) -> Rate:
    value = float(shares.mean())
    half = coverage_factor(SCRAMBLES - 1) * float(shares.std(ddof=1)) / math.sqrt(SCRAMBLES)
    return Rate(
        value=value,
        low=max(value - half, 0.0),
        high=min(value + half, 1.0),
        by="weighted sampling",
    )


def _gain(shares: Array, count: int) -> float:
    """Points of plain random sampling of the same standard error, per point drawn."""
    value, error = float(shares.mean()), float(shares.std(ddof=1)) / math.sqrt(SCRAMBLES)
    if not (0.0 < value < 1.0 and error > 0.0):
        return math.nan
    return value * (1.0 - value) / error**2 / count
