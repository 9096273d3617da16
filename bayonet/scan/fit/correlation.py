"""Whether residuals are white; if not, over what length they agree, and what that does to the fit.

The error of the surface is taken as white noise and a smooth part of covariance
s^2 exp(-d^2 / 2 l^2), d [mm] through space. Residuals summed over cells of several sizes tell s and
l; the fit has taken a share of the smooth part into its parameters, so what is expected of the sums
is reckoned from residuals of the same fit to smooth fields drawn at random.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bayonet.scan.fit.residual_cells import Cells

Array = NDArray[np.float64]
Indices = NDArray[np.int64]

# by half an octave, from the cell to a third of a usual plug
_LENGTHS_MM = (1.5, 2.2, 3.2, 4.7, 6.8, 10.0)
_LEVELS = 5  # cells of 1.5, 3, 6, 12, 24 mm
_WAVES, _MANY_WAVES = 80, 200  # of a random field: its variance to 16 % and 10 %
_LEAST_SHARE = 0.02  # of the likelihood
_LEAST_GROUPS = 8.0  # cells, from which a variance is known to 50 %
_SUSPECT = 2.5  # standard deviations of one size's sum
_SURE = 6.0  # fall of chi squared
_WHITE_SHARE = 0.98  # of the variance, at most, smooth


@dataclass(frozen=True, kw_only=True)
class Smooth:
    """The smooth part of a surface's error.

    ``squares`` is the covariance it gives the right sides of the normal equations [mm^2]; zero, as
    ``length_mm``, where residuals are white.
    """

    squares: Array
    length_mm: float
    sd_mm: float


@dataclass(frozen=True, kw_only=True)
class _Sums:
    """Square sums over the groups of one size, and in how many groups' worth they scatter."""

    seen: Array
    white: Array  # by residuals of unit variance
    groups: Array


def smooth(cells: Cells, solve: Array, noise: float) -> Smooth:
    """Length and size of the smooth part, and its covariance.

    Parameters
    ----------
    cells : Cells
        Of all faces, with the residuals of the fit.
    solve : array (p, p)
        From right sides to parameters: the inverse of the information where free.
    noise : float
        Standard deviation of all residuals [mm].

    References
    ----------
    .. [1] Rahimi & Recht, Random features for large-scale kernel machines, NIPS 20 (2007): waves of
       normal random number drawn for a Gaussian covariance.
    """
    none = Smooth(squares=np.zeros_like(solve), length_mm=0.0, sd_mm=0.0)
    levels = list(_levels(cells.place))
    sums = _sums(cells, solve, levels)
    told = sums.groups > _LEAST_GROUPS
    excess = sums.seen / (noise**2 * sums.white) - 1.0
    if not (excess * np.sqrt(sums.groups / 2.0) > _SUSPECT)[told].any():
        return none
    found = []
    for number, length in enumerate(_LENGTHS_MM):
        expected, groups = _drawn(cells, solve, levels, length, number)
        found.append(_matched(sums, expected, groups, noise))
    chis = np.array([chi for _, chi in found])
    _, white_chi = _matched(sums, sums.white, sums.groups, noise)
    if not white_chi - chis.min() > _SURE:
        return none
    weight = np.exp(-0.5 * (chis - chis.min()))
    weight /= weight.sum()
    squares = sum(share * found[number][0] * _squares(cells, _LENGTHS_MM[number], number)
                  for number, share in enumerate(weight) if share > _LEAST_SHARE)  # fmt: skip
    best = int(np.argmin(chis))
    return Smooth(squares=np.asarray(squares), length_mm=_LENGTHS_MM[best],
                  sd_mm=math.sqrt(found[best][0]))  # fmt: skip


def _levels(place: Indices) -> Iterator[tuple[Indices, Indices]]:
    """From each size of cell to the next, twice as large: order, and where groups start."""
    own = place
    for level in range(_LEVELS):
        if level:
            own = own // np.array([1, 2, 2])
        order = np.lexsort((own[:, 2], own[:, 1], own[:, 0]))
        own = own[order]
        starts = np.flatnonzero(np.r_[True, (np.diff(own, axis=0) != 0).any(axis=1)])
        own = own[starts]
        yield order, starts


def _grouped(values: Array, levels: list[tuple[Indices, Indices]]) -> Iterator[Array]:
    """Sums over ever larger cells, along the last axis."""
    for order, starts in levels:
        values = np.add.reduceat(values[..., order], starts, axis=-1)
        yield values


def _effective(variance: Array) -> float:
    """Of how many equal groups the sum of squares would scatter as much."""
    return float(variance.sum() ** 2 / max(float((variance**2).sum()), 1e-300))


def _sums(cells: Cells, solve: Array, levels: list[tuple[Indices, Indices]]) -> _Sums:
    seen, white, groups = [], [], []
    for off, rates, count in zip(_grouped(cells.off, levels), _grouped(cells.rates, levels),
                                 _grouped(cells.count, levels), strict=True):  # fmt: skip
        left = np.maximum(count - np.einsum("im,im->m", rates, solve @ rates), 1e-9)
        seen.append(float(off @ off))
        white.append(float(left.sum()))
        groups.append(_effective(left))
    return _Sums(seen=np.array(seen), white=np.array(white), groups=np.array(groups))


def _waves(cells: Cells, length: float, rng: np.random.Generator, count: int
           ) -> tuple[Array, Array]:  # fmt: skip
    """Phase of random waves in each cell, and what averaging over a cell leaves of each."""
    waves = rng.normal(0.0, 1.0 / length, (count, 3))
    # two of a wave's three directions lie in the surface
    blur = np.exp(-(waves**2).sum(axis=1) * cells.size_mm**2 / 36.0)
    return waves @ cells.middle.T, blur[:, None]


def _drawn(
    cells: Cells, solve: Array, levels: list[tuple[Indices, Indices]], length: float, number: int
) -> tuple[Array, Array]:
    """Square sums, by size, of residuals of a fit to unit smooth fields, and in how many groups."""
    rng = np.random.default_rng([11, number])
    phase, blur = _waves(cells, length, rng, _WAVES)
    shift = rng.uniform(0.0, 2.0 * math.pi, (_WAVES, 1))
    field = math.sqrt(2.0) * blur * np.cos(phase + shift)
    rest = field * cells.count - (field @ cells.rates.T @ solve) @ cells.rates
    expected, groups = [], []
    for own in _grouped(rest, levels):
        variance = (own**2).mean(axis=0)
        expected.append(float(variance.sum()))
        groups.append(_effective(variance))
    return np.array(expected), np.array(groups)


def _squares(cells: Cells, length: float, number: int) -> Array:
    """Covariance of right sides by a unit smooth field; many waves, for the long ones are few."""
    phase, blur = _waves(cells, length, np.random.default_rng([12, number]), _MANY_WAVES)
    sides = np.concatenate([(blur * turn(phase)) @ cells.rates.T for turn in (np.cos, np.sin)])
    return np.asarray(sides.T @ sides / _MANY_WAVES)


def _matched(sums: _Sums, expected: Array, groups: Array, noise: float) -> tuple[float, float]:
    """Variance of the smooth part that meets the sums best, and chi squared; noise^2 is the whole.

    Small sums scatter by what is expected of them, so the weights follow in rounds.
    """
    base, rise = noise**2 * sums.white, expected - sums.white
    told = np.minimum(groups, sums.groups) > _LEAST_GROUPS
    told[0] = True
    variance, chi = 0.0, 0.0
    for _ in range(4):
        model = base + variance * rise
        weight = np.where(told, np.minimum(groups, sums.groups) / 2.0 / model**2, 0.0)
        square = float((weight * rise**2).sum())
        if square > 0.0:
            variance = float((weight * rise * (sums.seen - base)).sum()) / square
        variance = min(max(variance, 0.0), _WHITE_SHARE * noise**2)
        model = base + variance * rise
        scale = np.log(np.maximum(sums.seen / model, 1e-12))
        chi = float((np.where(told, np.minimum(groups, sums.groups) / 2.0, 0.0) * scale**2).sum())
    return variance, chi
