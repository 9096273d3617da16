r"""What is not known of one measured part, apart from how parts of a production differ.

The rate of faults is a number that nobody knows exactly: it depends on the true sizes of the part
that was measured. Here it is worked out for the sizes as measured, and for sizes so far off that
the rate lies no higher with a probability of 95 % and of 99 %.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bayonet.tolerance.chains import sobol
from bayonet.tolerance.chains.chain import Chain, ChainSet
from bayonet.tolerance.chains.first_order import slopes_at
from bayonet.tolerance.chains.sampling import inside, mixed, mixing
from bayonet.tolerance.chains.tails import tail

Array = NDArray[np.float64]
Slopes = Mapping[str, Array]

LEVELS = (0.95, 0.99)
_DRAWS = 1 << 12  # of the measured sizes, judged to first order
_PARTS = 1 << 11  # of the production, for each of three sets of sizes
_FEW_HITS = 50  # fewer are not counted but taken from the tail of a sum


@dataclass(frozen=True, kw_only=True)
class Credible:
    """Share of parts outside the limits [-].

    Parameters
    ----------
    measured : float
        If the measured sizes are true.
    upto : tuple of float
        Upper bounds that hold with the probabilities `LEVELS`.
    """

    measured: float
    upto: tuple[float, float]


def credible(chains: ChainSet, *, seed: int) -> Mapping[str, Credible]:
    r"""Rates of every chain, and of all together under ``""``, given what was measured.

    Nested: an outer sample of the measured sizes, from the distributions that state what is known
    of them (Student's where few readings tell their own scatter); for each, the rate over the
    production to first order,
    :math:`\sum \Phi(-(r_i + c_i \theta) / s_i)` over pieces and limits. That only ranks them: the
    rates given are those at the draws of rank 95 % and 99 %, worked out anew by an inner sample of
    the production through the chains themselves; where it holds few faults, by the tail of each
    piece about its mean in that sample, to first order in the deviations (`tails`), summed over
    the pieces.

    Parameters
    ----------
    chains : ChainSet
    seed : int

    Returns
    -------
    mapping of Credible by key
        Empty where nothing measured is uncertain.

    References
    ----------
    .. [1] JCGM 101:2008, 6.4.9.2 (scaled and shifted t-distribution), 7.7 (coverage intervals from
       ranks of a sample); the split of variability from uncertainty as in ISO/IEC Guide 98-4,
       JCGM 106:2012, 7 (conditional on what was measured).

    Examples
    --------
    A normal production of known mean and scatter; see `tests/tolerance/test_credible.py`.
    """
    rows = [i for i, v in enumerate(chains.variables) if v.spread == "uncertainty"]
    if not rows:
        return {}
    draws = _measured(chains, rows, seed)
    slopes = slopes_at(chains, chains.means())
    by_key, moved = _first_order(chains, rows, draws, *slopes)
    parts = _production(chains, rows, seed)
    limited = tuple(chain for chain in chains.chains if chain.has_limits)
    groups = {chain.key: (chain,) for chain in limited if chain.key in moved}
    asked = [
        _Asked(chains, some, size, slopes[1], parts)
        for key, some in {**groups, "": limited}.items()
        for size in (None, *_ranked(by_key[key], draws))
    ]
    rates = _rates(chains, asked)
    found = {}
    for number, key in enumerate((*groups, "")):
        measured, *upto = np.maximum.accumulate(rates[3 * number : 3 * number + 3]).tolist()
        found[key] = Credible(measured=measured, upto=(upto[0], upto[1]))
    return found


def _measured(chains: ChainSet, rows: list[int], seed: int) -> Array:
    """Draws of the measured sizes, all else at its mean, shape (variables, draws)."""
    spread = _points(chains, rows, _DRAWS, seed)
    out = np.repeat(chains.means(), _DRAWS, axis=1)
    out[rows] = spread[rows]
    return out


def _production(chains: ChainSet, rows: list[int], seed: int) -> Array:
    """Draws of the production, the measured sizes at 0, shape (variables, parts)."""
    others = [i for i in range(len(chains.variables)) if i not in set(rows)]
    out = _points(chains, others, _PARTS, seed + 1)
    out[rows] = 0.0
    return out


def _points(chains: ChainSet, rows: list[int], count: int, seed: int) -> Array:
    net = sobol.net(len(chains.variables), seed=seed)
    change, place = net.block(0)
    strata = (net.ranks ^ change[:, None])[:, :count]
    shares = (strata + sobol.place_in(place)) / sobol.BLOCK
    out = np.zeros((len(chains.variables), count))
    for row in rows:
        out[row] = chains.variables[row].quantile(shares[row])
    return mixed(out, mixing(chains))


def _first_order(
    chains: ChainSet, rows: list[int], draws: Array, middle: Slopes, slopes: Slopes
) -> tuple[dict[str, Array], set[str]]:
    """Rate of every chain, and under "" of all, at every draw, to first order.

    And the keys of the chains with limits that a measured size moves at all.
    """
    from scipy.special import ndtr

    sds = np.array([0.0 if i in set(rows) else v.sd for i, v in enumerate(chains.variables)])
    total, found = np.zeros(draws.shape[1]), {}
    moved = {
        chain.key
        for chain in chains.chains
        if chain.has_limits and np.abs(slopes[chain.key][:, rows]).max() > 0.0
    }
    for chain in chains.chains:
        rates = np.zeros(draws.shape[1])
        spread = np.maximum(np.sqrt(np.sum((slopes[chain.key] * sds) ** 2, axis=1)), 1e-12)
        at = middle[chain.key][:, None] + slopes[chain.key][:, rows] @ draws[rows]
        for limit, sign in ((chain.low, 1.0), (chain.high, -1.0)):
            if math.isfinite(limit):
                rates += ndtr(-sign * (at - limit) / spread[:, None]).sum(axis=0)
        found[chain.key] = rates
        total = total + rates
    return {**found, "": total}, moved


def _ranked(rates: Array, draws: Array) -> list[Array]:
    """The draws of measured sizes whose rates rank at `LEVELS`."""
    order = np.argsort(rates, kind="stable")
    return [draws[:, order[math.ceil(level * len(order)) - 1]] for level in LEVELS]


class _Asked:
    """A rate that is asked for: of some chains, at some measured sizes (None: as measured).

    ``hits`` are counted faults of the sample; ``ways`` and ``rooms`` every piece's slopes towards
    a limit and its mean's distance from it.
    """

    def __init__(
        self, chains: ChainSet, some: tuple[Chain, ...], size: Array | None, slopes: Slopes,
        parts: Array,
    ) -> None:  # fmt: skip
        points = parts.copy()
        if size is not None:
            rows = [i for i, v in enumerate(chains.variables) if v.spread == "uncertainty"]
            points[rows] = size[rows, None]
        values = chains.pieces(points, tuple(chain.key for chain in some))
        out = np.zeros(_PARTS, dtype=bool)
        ways, rooms = [], []
        for chain in some:
            out |= ~inside(chain, values[chain.key]).all(axis=0)
            for limit, sign in ((chain.low, -1.0), (chain.high, 1.0)):
                if math.isfinite(limit):
                    ways.append(sign * slopes[chain.key])
                    rooms.append(sign * (limit - values[chain.key].mean(axis=1)))
        self.hits = int(out.sum())
        self.ways, self.rooms = np.concatenate(ways), np.concatenate(rooms)


def _rates(chains: ChainSet, asked: list[_Asked]) -> list[float]:
    """Every rate: counted where faults are many, else the tails of the pieces together."""
    few = [one for one in asked if one.hits < _FEW_HITS]
    tails = np.zeros(0)
    if few:
        ways, rooms = (np.concatenate(x) for x in ([o.ways for o in few], [o.rooms for o in few]))
        tails = tail(chains.variables, ways, rooms)
    ends = np.cumsum([0, *(len(one.rooms) for one in few)])
    sums = {id(o): float(tails[a:b].sum()) for o, a, b in zip(few, ends, ends[1:], strict=False)}
    return [min(sums[id(one)], 1.0) if one.hits < _FEW_HITS else one.hits / _PARTS for one in asked]
