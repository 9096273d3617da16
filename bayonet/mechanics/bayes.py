"""Bayesian updates of a few parameters: linear measurements, and ordered felt results.

Plain arrays; what the parameters mean is the caller's affair.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

_GRID = 4001
_REACH = 8.0


@dataclass(frozen=True, kw_only=True, eq=False)
class Belief:
    """A normal distribution over parameters.

    Parameters
    ----------
    mean : array, shape (n,)
    covariance : array, shape (n, n)
    """

    mean: Array
    covariance: Array

    @property
    def u(self) -> Array:
        """Standard uncertainty of each parameter."""
        return np.sqrt(np.diag(self.covariance))

    def along(self, direction: Array) -> tuple[float, float]:
        """Mean and standard uncertainty of a linear combination."""
        return (
            float(direction @ self.mean),
            math.sqrt(float(direction @ self.covariance @ direction)),
        )


@dataclass(frozen=True, kw_only=True, eq=False)
class LinearFit:
    """A belief after linear measurements.

    Parameters
    ----------
    belief : Belief
    chi_square : float
        Of all rows against the prior's prediction; as many degrees of freedom as rows.
    rows : int
    standardised : array, shape (m,)
        Each row's residual against the fit, over its own noise.
    """

    belief: Belief
    chi_square: float
    rows: int
    standardised: Array

    @property
    def chance(self) -> float:
        """Chance of a chi-square at least this large where prior and noise hold."""
        from scipy.special import chdtrc

        return float(chdtrc(self.rows, self.chi_square)) if self.rows else 1.0


def linear_update(prior: Belief, design: Array, observed: Array, noise: Array) -> LinearFit:
    r"""Update a belief by measurements that are linear in the parameters.

    .. math::

        S = H P H^T + R,\quad K = P H^T S^{-1},\quad
        \theta = \theta_0 + K (y - H \theta_0),\quad P' = P - K S K^T

    Parameters
    ----------
    prior : Belief
    design : array, shape (m, n)
        :math:`H`, a row a measurement.
    observed : array, shape (m,)
        :math:`y`.
    noise : array, shape (m,)
        Standard deviation of each measurement.

    Returns
    -------
    LinearFit

    References
    ----------
    .. [1] Gelman et al., Bayesian Data Analysis, 3rd ed. 2013, sec. 14.8 (normal prior on
       regression coefficients); from memory.

    Examples
    --------
    A prior 0 ± 1 and a reading 2 ± 1 meet half way, with u = sqrt(1/2).

    >>> one = Belief(mean=np.zeros(1), covariance=np.eye(1))
    >>> fit = linear_update(one, np.eye(1), np.array([2.0]), np.array([1.0]))
    >>> round(float(fit.belief.mean[0]), 9), round(float(fit.belief.u[0]), 6)
    (1.0, 0.707107)
    >>> fit.chi_square
    2.0
    """
    if not len(observed):
        return LinearFit(belief=prior, chi_square=0.0, rows=0, standardised=np.empty(0))
    innovation = observed - design @ prior.mean
    spread = design @ prior.covariance @ design.T + np.diag(noise**2)
    gain = np.linalg.solve(spread, design @ prior.covariance).T
    mean = prior.mean + gain @ innovation
    keep = np.eye(len(prior.mean)) - gain @ design
    covariance = keep @ prior.covariance @ keep.T + gain @ np.diag(noise**2) @ gain.T
    return LinearFit(
        belief=Belief(mean=mean, covariance=(covariance + covariance.T) / 2.0),
        chi_square=float(innovation @ np.linalg.solve(spread, innovation)),
        rows=len(observed),
        standardised=(observed - design @ mean) / noise,
    )


def log_ordered(value: Array, low: float, high: float, noise: float) -> Array:
    r"""Log chance that a value seen through normal noise falls between two thresholds.

    .. math:: \log\left[\Phi\frac{h - x}{\sigma} - \Phi\frac{l - x}{\sigma}\right]

    (an ordered probit). Stable far outside the thresholds.

    References
    ----------
    .. [1] P. McCullagh, Regression Models for Ordinal Data, J. R. Statist. Soc. B 42 (1980),
       109-142: thresholds on a latent variable; from memory.

    Examples
    --------
    In the middle of ± one sigma: 68.3 %.

    >>> round(math.exp(float(log_ordered(np.zeros(1), -1.0, 1.0, 1.0)[0])), 3)
    0.683
    """
    from scipy.special import log_ndtr

    upper, lower = (high - value) / noise, (low - value) / noise
    mirrored = lower > 0.0  # take the difference in the tail where it keeps its digits
    a = np.where(mirrored, -lower, upper)
    b = np.where(mirrored, -upper, lower)
    larger, smaller = log_ndtr(a), log_ndtr(b)
    with np.errstate(divide="ignore"):
        return np.asarray(larger + np.log1p(-np.exp(np.minimum(smaller - larger, -1e-15))))


@dataclass(frozen=True, kw_only=True, eq=False)
class Shifted:
    """A belief after results that depend on one linear combination of its parameters.

    ``misfit`` is twice the log likelihood lost by holding to the belief it came from: about a
    chi-square of one degree of freedom where the two agree.
    """

    belief: Belief
    misfit: float


def scalar_update(belief: Belief, direction: Array, log_likelihood: Array, at: Array) -> Shifted:
    r"""Update a belief by results that depend on :math:`\delta = d^T \theta` alone.

    The posterior of :math:`\delta` is integrated on a grid, whatever its shape. What the other
    parameters learn follows from their regression on it, which is exact for a normal belief:
    :math:`\theta' = \theta + g (E\delta' - E\delta)`,
    :math:`P' = P - g g^T (\mathrm{Var}\,\delta - \mathrm{Var}\,\delta')`,
    :math:`g = P d / d^T P d`.

    Parameters
    ----------
    belief : Belief
    direction : array, shape (n,)
        :math:`d`.
    log_likelihood : array, shape (k,)
        Of the results at each value.
    at : array, shape (k,)
        Values of :math:`\delta`, evenly spaced; see `grid_of`.

    Returns
    -------
    Shifted

    References
    ----------
    .. [1] Laws of total expectation and total covariance, the rest of a normal vector given one
       combination of it (JCGM 102:2011 writes the same for a covariance matrix); closed form.

    Examples
    --------
    A normal likelihood gives what `linear_update` gives.

    >>> one = Belief(mean=np.zeros(1), covariance=np.eye(1))
    >>> at = grid_of(one, np.ones(1))
    >>> done = scalar_update(one, np.ones(1), -((at - 2.0) ** 2) / 2.0, at).belief
    >>> round(float(done.mean[0]), 6), round(float(done.u[0]), 6)
    (1.0, 0.707107)
    """
    middle, spread = belief.along(direction)
    log_prior = -(((at - middle) / spread) ** 2) / 2.0
    log_posterior = log_prior + log_likelihood
    weight = np.exp(log_posterior - log_posterior.max())
    weight /= weight.sum()
    mean = float(weight @ at)
    variance = float(weight @ (at - mean) ** 2)
    gain = belief.covariance @ direction / spread**2
    return Shifted(
        belief=Belief(
            mean=belief.mean + gain * (mean - middle),
            covariance=belief.covariance - np.outer(gain, gain) * (spread**2 - variance),
        ),
        misfit=float(2.0 * (log_likelihood.max() - log_posterior.max())),
    )


def grid_of(belief: Belief, direction: Array) -> Array:
    """Values of a linear combination to integrate over: eight sigma to both sides."""
    middle, spread = belief.along(direction)
    return np.linspace(middle - _REACH * spread, middle + _REACH * spread, _GRID)
