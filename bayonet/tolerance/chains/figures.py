"""All figures of a set of chains together: corners, first order, sampling, rare faults."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass

from bayonet.tolerance.chains.chain import Chain, ChainSet
from bayonet.tolerance.chains.corners import Extremes, worst_cases
from bayonet.tolerance.chains.credible import Credible, credible
from bayonet.tolerance.chains.first_order import FirstOrder, first_order
from bayonet.tolerance.chains.rare import Weighted, rare_rates
from bayonet.tolerance.chains.sampling import Rate, Sample, Sampled, sample

Progress = Callable[[float], None]

WEIGHTED_COUNT = 1 << 13
_COMMON = 0.02  # a rate from which plain sampling does as well

_NOISE = 1e-12
"""Spread below this share is the rounding of a sum: the quantity does not vary."""


@dataclass(frozen=True, kw_only=True)
class ChainFigures:
    """One chain, by every method.

    Parameters
    ----------
    chain : Chain
    nominal : float
        With every deviation zero [unit].
    worst : Extremes
        At true corners.
    first : FirstOrder
    sampled : Sampled
    out : Rate
        Share outside the limits, by the sharper of the two samplings.
    alone : float
        Share of pairs in which this chain is the only one outside [-].
    credible : Credible or None
        The rate apart from what is not known of the measured part; None where all is known.
    """

    chain: Chain
    nominal: float
    worst: Extremes
    first: FirstOrder
    sampled: Sampled
    out: Rate
    alone: float
    credible: Credible | None = None

    @property
    def worst_room(self) -> float:
        """Room inside the limits at the worst corner [unit]."""
        return min(self.worst.low - self.chain.low, self.chain.high - self.worst.high)

    @property
    def cpk(self) -> float:
        r"""Capability :math:`\min(\bar x - L, U - \bar x) / 3 s`, as sampled [-]; inf if no limit.

        References
        ----------
        .. [1] ISO 22514-2, capability of a process with a location and spread.
        """
        room = min(self.sampled.mean - self.chain.low, self.chain.high - self.sampled.mean)
        varies = self.sampled.sd > _NOISE * max(1.0, abs(self.sampled.mean))
        return room / (3.0 * self.sampled.sd) if varies else math.inf


@dataclass(frozen=True, kw_only=True)
class Study:
    """All chains of a design.

    Parameters
    ----------
    chains : ChainSet
    figures : tuple of ChainFigures
    fails : Rate
        Share of pairs outside at least one limit.
    sample : Sample
    weighted : Weighted
    credible : Credible or None
        Of all together, as in `ChainFigures`.
    """

    chains: ChainSet
    figures: tuple[ChainFigures, ...]
    fails: Rate
    sample: Sample
    weighted: Weighted
    credible: Credible | None = None

    @property
    def joint_yield(self) -> float:
        """Share of pairs that pass everything [-]."""
        return 1.0 - self.fails.value

    @property
    def worst(self) -> ChainFigures | None:
        """The requirement that most pairs fail; None where none fails any."""
        failing = [one for one in self.figures if one.out.value > 0.0]
        return max(failing, key=lambda one: one.out.value) if failing else None

    def of(self, key: str) -> ChainFigures:
        """Figures of a chain by its key; KeyError where there is none."""
        for one in self.figures:
            if one.chain.key == key:
                return one
        raise KeyError(key)


def study(
    chains: ChainSet,
    *,
    count: int,
    seed: int,
    progress: Progress = lambda _: None,
    worst: Mapping[str, Extremes] | None = None,
) -> Study:
    """Work out all figures of a set of chains.

    Parameters
    ----------
    chains : ChainSet
    count : int
        Sampled points.
    seed : int
        The same seed gives the same figures to the last digit.
    progress : callable
        Told the share of the sampling done.
    worst : mapping of Extremes by key, or None
        The chains' own worst cases, where they are known already.

    Returns
    -------
    Study

    Examples
    --------
    See `tests/tolerance/test_study.py`.
    """
    nominal = chains.values(chains.nominal())
    worst, first = worst or worst_cases(chains), first_order(chains)
    plain = sample(chains, count=count, seed=seed, progress=progress)
    weighted = rare_rates(chains, count=WEIGHTED_COUNT, seed=seed)
    apart = credible(chains, seed=seed)
    figures = tuple(
        ChainFigures(
            chain=chain,
            nominal=float(nominal[chain.key][0]),
            worst=worst[chain.key],
            first=first[chain.key],
            sampled=plain.chains[chain.key],
            out=sharper(plain.chains[chain.key].out, weighted.out[chain.key]),
            alone=plain.alone[chain.key],
            credible=apart.get(chain.key),
        )
        for chain in chains.chains
    )
    return Study(
        chains=chains,
        figures=figures,
        fails=sharper(plain.fails, weighted.fails),
        sample=plain,
        weighted=weighted,
        credible=apart.get(""),
    )


def sharper(plain: Rate, weighted: Rate) -> Rate:
    """The plain rate where faults are common, else the weighted; both where they disagree.

    Which is taken does not hang on which interval came out narrower: the narrower of two is the
    one that more often misses. Where plain sampling sees more than the weighted one allows, a way
    to fail has been missed by the search for the likeliest ones, and plain sampling is right.
    """
    if plain.value >= _COMMON or plain.low > weighted.high:
        return plain
    if weighted.low > plain.high:
        return Rate(value=weighted.value, low=plain.low, high=weighted.high, by=weighted.by)
    return weighted
