"""Worst cases: least and greatest value of each piece of each chain over its whole zone.

Every deviation lies between its two limits; the two of a round zone lie on its disc. Both ends of
a deviation and places between them are tried, so that an effect that is alike at both ends counts
too. Where few deviations matter, all combinations of places are tried. With more, the search
climbs from several starts, one knob, two knobs or all that help at a time, until nothing makes it
worse; where the worst lies between two places it is then closed in on.
"""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from bayonet.tolerance.chains.chain import Chain, ChainSet
from bayonet.tolerance.chains.climbing import Search
from bayonet.tolerance.chains.probes import Probes

Array = NDArray[np.float64]


@dataclass(frozen=True, kw_only=True)
class Extremes:
    """Least and greatest value of a chain over its whole zone [unit].

    ``at_low`` and ``at_high`` are the deviations there, shape (variables,).
    """

    low: float
    high: float
    at_low: Array = field(default_factory=lambda: np.empty(0), compare=False, repr=False)
    at_high: Array = field(default_factory=lambda: np.empty(0), compare=False, repr=False)


def worst_cases(chains: ChainSet) -> dict[str, Extremes]:
    """Least and greatest value of every chain.

    Parameters
    ----------
    chains : ChainSet

    Returns
    -------
    dict of Extremes by key

    Examples
    --------
    Shigley's stack 1-3: 0.005 with 0.010 of worst case; see
    `tests/tolerance/test_textbook_stacks.py`.
    """
    probes = Probes(chains)
    return {chain.key: _extremes(chains, chain, probes) for chain in chains.chains}


def _extremes(chains: ChainSet, chain: Chain, probes: Probes) -> Extremes:
    search = Search(chains, chain, probes)
    lows, highs = search.found()
    # with one limit the chain is its least, or its greatest, piece
    low = int(lows.argmax() if np.isinf(chain.low) else lows.argmin())
    high = int(highs.argmin() if np.isinf(chain.high) else highs.argmax())
    return Extremes(
        low=float(lows[low]),
        high=float(highs[high]),
        at_low=search.where(low, 0),
        at_high=search.where(high, 1),
    )
