"""Which measured size is worth measuring again: what its uncertainty costs in parts that fail."""

from __future__ import annotations

import math
from dataclasses import dataclass

from bayonet.tolerance.chains import ChainFigures, Study

MOST = 3
"""Sizes named."""

_LEAST = 1e-7  # a tenth of a part in a million is worth no trip to the shop


@dataclass(frozen=True, kw_only=True)
class Worth:
    """A measured size and the share of pairs that its uncertainty alone makes fail [-].

    ``key`` is that of the variable, ``uncertainty:`` and the field of the plug.
    """

    key: str
    meaning: str
    share: float

    @property
    def field(self) -> str:
        """Field of the design file, without ``plug``."""
        return self.key.partition(":")[2]


def worth_measuring(study: Study) -> tuple[Worth, ...]:
    r"""The sizes that are worth most if they were known exactly, at most three.

    Of each chain's rate R the part :math:`R (1 - \Phi(-r / s') / \Phi(-r / s))`, with r the room
    of its mean, s its standard deviation and s' that without the size's uncertainty; summed over
    chains. To first order: it ranks, and tells the order of magnitude.

    Parameters
    ----------
    study : Study

    Returns
    -------
    tuple of Worth
        Greatest first.
    """
    shares: dict[str, float] = {}
    words: dict[str, str] = {}
    for figures in study.figures:
        for one in figures.first.contributors:
            if one.measured:
                worth = _worth(figures, one.variance_share)
                shares[one.key] = shares.get(one.key, 0.0) + worth
                words[one.key] = one.meaning.removeprefix("uncertainty of the measured ")
    order = sorted(shares, key=lambda key: (-shares[key], key))
    return tuple(
        Worth(key=key, meaning=words[key], share=shares[key])
        for key in order[:MOST]
        if shares[key] >= _LEAST
    )


def _worth(figures: ChainFigures, variance_share: float) -> float:
    from scipy.special import log_ndtr

    chain, first = figures.chain, figures.first
    room = min(first.mean - chain.low, chain.high - first.mean)
    if not (chain.has_limits and first.sd > 0.0 and variance_share > 0.0):
        return 0.0
    left = max(1.0 - variance_share, 1e-6) ** 0.5
    at = room / first.sd
    fewer = min(float(log_ndtr(-at / left) - log_ndtr(-at)), 0.0)
    return -figures.out.value * math.expm1(fewer)


@dataclass(frozen=True, kw_only=True)
class Reading:
    """A size to measure next.

    Parameters
    ----------
    field : str
        Of the design file, without ``plug``.
    meaning : str
    chain : str
        Title of the chain it narrows most.
    narrows : float
        Share of that chain's variance that would go if the size were known exactly [-].
    fewer : float
        Share of pairs that fails only because it is not [-], to first order.
    """

    field: str
    meaning: str
    chain: str
    narrows: float
    fewer: float


def measure_next(study: Study) -> tuple[Reading, ...]:
    """The readings that would narrow the result most, at most three.

    First those whose uncertainty costs pairs, by how many (`worth_measuring`); then those with the
    greatest share in the variance of a chain that has limits.

    Parameters
    ----------
    study : Study

    Returns
    -------
    tuple of Reading
        Those that would narrow no chain by a hundredth are left out.
    """
    found: dict[str, Reading] = {}
    costs = {one.key: one.share for one in worth_measuring(study)}
    for figures in study.figures:
        if not figures.chain.has_limits:
            continue
        for one in figures.first.contributors:
            known = found.get(one.key)
            if not one.measured or (known is not None and known.narrows >= one.variance_share):
                continue
            found[one.key] = Reading(
                field=one.key.partition(":")[2],
                meaning=one.meaning.removeprefix("uncertainty of the measured "),
                chain=figures.chain.title,
                narrows=one.variance_share,
                fewer=costs.get(one.key, 0.0),
            )
    telling = [one for one in found.values() if one.narrows >= _TELLING]
    return tuple(sorted(telling, key=lambda one: (-one.fewer, -one.narrows, one.field))[:MOST])


_TELLING = 0.01  # of a chain's variance; below it a reading would not be seen in the result
