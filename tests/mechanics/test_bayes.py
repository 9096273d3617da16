"""Updates of a belief against least squares, sampling and a printed chi-square table."""

from __future__ import annotations

import itertools

import numpy as np
import pytest
from scipy.stats import norm

from bayonet.mechanics.bayes import (
    Belief,
    LinearFit,
    grid_of,
    linear_update,
    log_ordered,
    scalar_update,
)

PRIOR = Belief(
    mean=np.array([0.1, -0.2, 1.0]),
    covariance=np.array([[0.09, 0.01, 0.0], [0.01, 0.04, -1e-4], [0.0, -1e-4, 2.5e-5]]),
)


def test_linear_update_is_least_squares_with_the_prior_as_readings() -> None:
    """Outside reference: numpy's lstsq on whitened rows."""
    rng = np.random.default_rng(3)
    design = np.column_stack([rng.integers(0, 2, 9), rng.integers(0, 2, 9), rng.uniform(5, 60, 9)])
    noise = rng.uniform(0.02, 0.08, 9)
    observed = design @ [-0.2, 0.1, 0.998] + rng.normal(0, noise)
    fit = linear_update(PRIOR, design, observed, noise)
    root = np.linalg.inv(np.linalg.cholesky(PRIOR.covariance))
    rows = np.vstack([root, design / noise[:, None]])
    target = np.concatenate([root @ PRIOR.mean, observed / noise])
    best, rest, *_ = np.linalg.lstsq(rows, target, rcond=None)
    assert fit.belief.mean == pytest.approx(best, abs=1e-10)
    assert fit.belief.covariance == pytest.approx(np.linalg.inv(rows.T @ rows), rel=1e-8, abs=1e-12)
    assert fit.chi_square == pytest.approx(rest[0], rel=1e-9)


def test_felt_update_is_what_sampling_gives() -> None:
    """Outside reference: weights from scipy's normal distribution on samples of the prior."""
    direction = np.array([0.5, 0.0, 20.0])
    bounds = [(-np.inf, 0.0), (0.0, 0.03), (0.1, 0.3), (0.3, np.inf)]
    meant, steps = direction @ [0.0, 0.0, 1.0], [0.0, 0.15, 0.3, 0.5]

    def log_likelihood(delta: np.ndarray) -> np.ndarray:
        return sum(
            log_ordered(np.minimum(0.1 + delta - meant, 0.2) + step, low, high, 0.03)
            for step, (low, high) in zip(steps, bounds, strict=True)
        )

    done = scalar_update(PRIOR, direction, log_likelihood(at := grid_of(PRIOR, direction)), at)
    rng = np.random.default_rng(5)
    samples = rng.multivariate_normal(PRIOR.mean, PRIOR.covariance, 400_000)
    gap = np.minimum(0.1 + samples @ direction - meant, 0.2)
    weight = np.ones(len(gap))
    for step, (low, high) in zip(steps, bounds, strict=True):
        weight *= norm.cdf((high - gap - step) / 0.03) - norm.cdf((low - gap - step) / 0.03)
    weight /= weight.sum()
    mean = weight @ samples
    spread = (samples - mean).T @ ((samples - mean) * weight[:, None])
    uncertainty = np.sqrt(np.diag(PRIOR.covariance) * (weight**2).sum())
    assert (np.abs(done.belief.mean - mean) < 4 * uncertainty).all()
    assert done.belief.covariance == pytest.approx(spread, rel=0.05, abs=2e-5)


@pytest.mark.parametrize(
    ("dof", "chi_square", "chance"),
    [
        (1, 3.841, 0.05),
        (5, 11.070, 0.05),
        (10, 18.307, 0.05),
        (10, 23.209, 0.01),
        (20, 37.566, 0.01),
    ],
)
def test_chance_by_the_printed_table(dof: int, chi_square: float, chance: float) -> None:
    """NIST/SEMATECH e-Handbook of Statistical Methods, table 1.3.6.7.4; from memory."""
    fit = LinearFit(belief=PRIOR, chi_square=chi_square, rows=dof, standardised=np.empty(0))
    assert fit.chance == pytest.approx(chance, abs=5e-5)


def test_ordered_classes_add_up_to_one_and_stay_finite_far_away() -> None:
    values = np.linspace(-3.0, 3.0, 61)
    bounds = (-np.inf, 0.0, 0.03, 0.1, 0.3, np.inf)
    each = [log_ordered(values, a, b, 0.03) for a, b in itertools.pairwise(bounds)]
    assert np.exp(each).sum(axis=0) == pytest.approx(np.ones(61), abs=1e-12)
    assert np.isfinite(each).all()
