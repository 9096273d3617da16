"""Sampling of all chains at once, in blocks of fixed memory, each figure with its uncertainty.

Scrambled Sobol points in a few independent scrambles: their scatter is each one's uncertainty.
"""

from __future__ import annotations

import math
import os
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from bayonet.mechanics import coverage_factor
from bayonet.tolerance.chains import sobol
from bayonet.tolerance.chains.chain import Chain, ChainSet
from bayonet.tolerance.chains.variable import Spread, standard_quantile

Array = NDArray[np.float64]
Progress = Callable[[float], None]

SCRAMBLES = 8
KEPT_BLOCKS = 32  # whose values are kept for quantiles and pictures
_CONFIDENCE = 0.95
_RUN = 16  # blocks worked on together


@dataclass(frozen=True, kw_only=True)
class Rate:
    """A share of all parts, with its 95 % confidence interval [-].

    ``by`` names how it was found.
    """

    value: float
    low: float
    high: float
    by: str

    @property
    def ppm(self) -> tuple[float, float, float]:
        """Value and interval in parts per million."""
        return 1e6 * self.value, 1e6 * self.low, 1e6 * self.high


@dataclass(frozen=True, kw_only=True)
class Sampled:
    """One chain as sampled.

    Parameters
    ----------
    mean, sd : float
        [unit]
    out : Rate
        Share outside the limits.
    kept : array
        Values kept for quantiles and pictures, sorted [unit].
    """

    mean: float
    sd: float
    out: Rate
    kept: Array

    def interval(self, share: float) -> tuple[float, float]:
        """Interval that holds a share of the values, as much left out below as above [unit].

        Parameters
        ----------
        share : float
            For instance 0.9973.

        Returns
        -------
        tuple of float
        """
        tail = (1.0 - share) / 2.0
        low, high = np.quantile(self.kept, (tail, 1.0 - tail))
        return float(low), float(high)


@dataclass(frozen=True, kw_only=True)
class Sample:
    """All chains as sampled, and the share of pairs that pass every one.

    Parameters
    ----------
    count : int
        Points.
    chains : dict of Sampled by key
    fails : Rate
        Share that is outside the limits of at least one chain.
    alone : dict of float by key
        Share of the points at which this chain is the only one outside [-].
    """

    count: int
    chains: dict[str, Sampled]
    fails: Rate
    alone: dict[str, float]


def sample(
    chains: ChainSet, *, count: int, seed: int, progress: Progress = lambda _: None
) -> Sample:
    """Sample all chains.

    Parameters
    ----------
    chains : ChainSet
    count : int
        Points; rounded up to whole blocks.
    seed : int
        The same seed gives the same figures to the last digit.
    progress : callable
        Told the share done.

    Returns
    -------
    Sample

    References
    ----------
    .. [1] JCGM 101:2008, 7 (propagation of distributions) with randomised quasi-random points
       (A. B. Owen, J. Complexity 14 (1998) 466) in place of pseudo-random ones.

    Examples
    --------
    JCGM 101 clause 9.2; see `tests/tolerance/test_jcgm101.py`.
    """
    scrambles = min(SCRAMBLES, max(2, -(-count // sobol.BLOCK)))
    blocks = max(1, -(-count // (sobol.BLOCK * scrambles)))
    readers = [
        _Reader(chains, seed=seed + 7919 * index) for index in range(scrambles)
    ]  # fmt: skip
    kept = max(1, KEPT_BLOCKS // scrambles)
    runs = [range(start, min(start + _RUN, blocks)) for start in range(0, blocks, _RUN)]
    work = [(reader, run) for run in runs for reader in readers]
    tallies: list[list[_Tally]] = [[] for _ in readers]
    with ThreadPoolExecutor(max_workers=min(2, os.cpu_count() or 1)) as pool:
        for done, found in enumerate(pool.map(lambda w: w[0].tallies(w[1], kept), work)):
            tallies[done % scrambles] += found
            progress((done + 1) / len(work))
    return _summed(chains, tallies)


@dataclass(frozen=True)
class _Tally:
    """Sums of one block about the nominal values; ``kept`` holds its values if they are kept."""

    sums: Array
    squares: Array
    out: Array
    alone: Array
    fails: float
    kept: Array | None


@lru_cache(maxsize=16 * sobol.PLACES)
def quantile_table(spread: Spread, dof: float, place: int) -> Array:
    """Quantiles of a spread at one place in each stratum, shape (BLOCK,)."""
    at = (np.arange(sobol.BLOCK) + sobol.place_in(place)) / sobol.BLOCK
    return standard_quantile(spread, dof, at)


class _Reader:
    """Blocks of points of one scramble, as deviations."""

    def __init__(self, chains: ChainSet, *, seed: int) -> None:
        self._chains = chains
        self._net = sobol.net(len(chains.variables), seed=seed)
        self._kinds = [(v.spread, v.dof) for v in chains.variables]
        self._variables = chains.variables
        self._mixing = mixing(chains)
        self._middle = middle_of(chains)
        self._lows = np.array([[chain.low] for chain in chains.chains])
        self._highs = np.array([[chain.high] for chain in chains.chains])

    def tallies(self, numbers: range, kept: int) -> list[_Tally]:
        """Tallies of some blocks, in memory that is used again for each."""
        room = np.empty((len(self._kinds), sobol.BLOCK))
        return [self.tally(number, kept, room) for number in numbers]

    def deviations(self, number: int, out: Array) -> Array:
        """Deviations of one block, shape (variables, BLOCK), into ``out``."""
        change, place = self._net.block(number)
        tables = {kind: quantile_table(*kind, place) for kind in self._kinds}
        for row, (kind, one) in enumerate(zip(self._kinds, self._variables, strict=True)):
            strata = self._net.ranks[row] ^ change[row]
            np.take(one.within(tables[kind] * one.scale), strata, out=out[row], mode="clip")
        return mixed(out, self._mixing)

    def tally(self, number: int, kept: int, room: Array) -> _Tally:
        """Sums of one block."""
        values = self._chains.values(self.deviations(number, room))
        stack = np.array([values[chain.key] for chain in self._chains.chains])
        outside = ~((stack >= self._lows) & (stack <= self._highs))
        faults = outside.sum(axis=0, dtype=np.int16)
        away = stack - self._middle
        return _Tally(
            sums=away.sum(axis=1),
            squares=np.einsum("ij,ij->i", away, away),
            out=outside.sum(axis=1).astype(float),
            alone=outside[:, faults == 1].sum(axis=1).astype(float),
            fails=float((faults > 0).sum()),
            kept=stack if number < kept else None,
        )


def middle_of(chains: ChainSet) -> Array:
    """Nominal value of each chain, shape (chains, 1)."""
    values = chains.values(chains.nominal())
    return np.array([values[chain.key] for chain in chains.chains])


def inside(chain: Chain, values: Array) -> NDArray[np.bool_]:
    """Whether values keep the limits; NaN does not."""
    return np.asarray((values >= chain.low) & (values <= chain.high))


def mixing(chains: ChainSet) -> tuple[NDArray[np.int64], Array] | None:
    """Rows of correlated variables and what mixes their independent variates, or None."""
    if chains.correlation is None:
        return None
    away = np.abs(chains.correlation - np.eye(len(chains.correlation))).max(axis=1) > 0.0
    rows = np.flatnonzero(away)
    root = np.linalg.cholesky(chains.correlation[np.ix_(rows, rows)])
    scales = np.array([chains.variables[row].scale for row in rows])
    return rows, scales[:, None] * root / scales[None]


def mixed(deviations: Array, by: tuple[NDArray[np.int64], Array] | None) -> Array:
    """Deviations with their correlation put in."""
    if by is not None:
        rows, matrix = by
        deviations[rows] = matrix @ deviations[rows]
    return deviations


def _summed(chains: ChainSet, groups: list[list[_Tally]]) -> Sample:
    """Figures from the tallies of each scramble."""
    tallies = [tally for group in groups for tally in group]
    count = len(tallies) * sobol.BLOCK
    each = count / len(groups)
    out = np.array([sum(t.out for t in group) / each for group in groups])
    fails = np.array([sum(t.fails for t in group) / each for group in groups])
    away = np.sum([t.sums for t in tallies], axis=0) / count
    mean = middle_of(chains)[:, 0] + away
    spread = np.sqrt(
        np.maximum(np.sum([t.squares for t in tallies], axis=0) / count - away**2, 0.0)
    )
    kept = np.concatenate([t.kept for t in tallies if t.kept is not None], axis=1)
    rows = {
        chain.key: Sampled(
            mean=float(mean[row]),
            sd=float(spread[row]),
            out=rate_of(out[:, row], count),
            kept=np.sort(kept[row]),
        )
        for row, chain in enumerate(chains.chains)
    }
    alone = np.sum([t.alone for t in tallies], axis=0) / count
    return Sample(
        count=count,
        chains=rows,
        fails=rate_of(fails, count),
        alone={c.key: float(alone[row]) for row, c in enumerate(chains.chains)},
    )


def rate_of(shares: Array, count: int) -> Rate:
    """A rate from the shares of independent scrambles, with its 95 % interval.

    Student's interval of the scrambles' mean, widened by one point of a scramble: stratified
    points may hit a limit's side equally often in every scramble and still be off by part of a
    point. No narrower than counting allows where hits are few: the exact interval of Clopper and
    Pearson.

    Parameters
    ----------
    shares : array
        One a scramble.
    count : int
        Points of all together.

    Returns
    -------
    Rate

    Examples
    --------
    No hit in 1000: up to 1 - 0.025 ** (1 / 1000) = 0.37 %.

    >>> found = rate_of(np.zeros(4), 1000)
    >>> found.value, round(found.high, 4)
    (0.0, 0.0037)
    """
    from scipy.special import betaincinv

    value = float(shares.mean())
    hits, tail = round(value * count), (1.0 - _CONFIDENCE) / 2.0
    half = coverage_factor(len(shares) - 1) * float(shares.std(ddof=1)) / math.sqrt(len(shares))
    half = math.hypot(half, len(shares) / count)
    low, high = value - half, value + half
    if hits < _FEW_HITS:
        low = float(betaincinv(hits, count - hits + 1, tail)) if hits else 0.0
        high = float(betaincinv(hits + 1, count - hits, 1.0 - tail)) if hits < count else 1.0
    return Rate(value=value, low=max(low, 0.0), high=min(high, 1.0), by="sampling")


_FEW_HITS = 100
