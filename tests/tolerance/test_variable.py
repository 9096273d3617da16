"""Spreads against scipy's distributions; Sobol points against scipy's."""

from __future__ import annotations

import numpy as np
import pytest
from scipy import stats
from scipy.stats import qmc
from stacks import variable

from bayonet.tolerance.chains import sobol
from bayonet.tolerance.chains.variable import TRAPEZOID_TOP, standard_quantile

TOP = ((1 - TRAPEZOID_TOP) / 2, (1 + TRAPEZOID_TOP) / 2)
P = np.array([1e-6, 0.003, 0.2, 0.5, 0.77, 0.9999])


@pytest.mark.parametrize(
    ("spread", "dof", "reference"),
    [
        ("normal", np.inf, stats.norm()),
        ("uncertainty", np.inf, stats.norm()),
        ("uncertainty", 2.0, stats.t(2)),
        ("uniform", np.inf, stats.uniform(-1, 2)),
        ("triangular", np.inf, stats.triang(0.5, -1, 2)),
        ("trapezoid", np.inf, stats.trapezoid(*TOP, -1, 2)),
        ("radius", np.inf, stats.powerlaw(2)),
    ],
)  # fmt: skip
def test_quantiles_by_scipy(spread: str, dof: float, reference: object) -> None:
    got = standard_quantile(spread, dof, P)  # type: ignore[arg-type]
    assert got == pytest.approx(reference.ppf(P), abs=1e-9)  # type: ignore[attr-defined]


@pytest.mark.parametrize("spread", ["normal", "uniform", "triangular", "trapezoid", "radius"])
def test_mean_and_deviation_of_the_quantiles(spread: str) -> None:
    one = variable("a", 0.3, spread)  # type: ignore[arg-type]
    x = one.quantile((np.arange(200_000) + 0.5) / 200_000)
    assert x.mean() == pytest.approx(one.mean, abs=1e-6)
    assert x.std() == pytest.approx(one.sd, rel=1e-3)


def test_sobol_points_by_scipy() -> None:
    """Direction numbers give scipy's own unscrambled sequence, in its order (Gray code)."""
    numbers, count = sobol.direction_numbers(300), 256
    points = np.zeros((count, 300), dtype=np.uint64)
    for index in range(1, count):
        flipped = (index & -index).bit_length() - 1
        points[index] = points[index - 1] ^ numbers[:, flipped]
    reference = qmc.Sobol(300, scramble=False, bits=32).random(count)
    assert np.abs(points / 2.0**32 - reference).max() == 0.0


def test_scrambled_blocks_are_permutations_and_even_in_two_dimensions() -> None:
    net = sobol.net(12, seed=5)
    for number in (0, 3, 700):
        change, _ = net.block(number)
        strata = net.ranks ^ change[:, None]
        for row in strata:
            assert len(set(row.tolist())) == sobol.BLOCK
        pairs = (strata[0] >> 9) * 16 + (strata[1] >> 9)
        counts = np.bincount(pairs, minlength=256)
        assert counts.min() == counts.max() == sobol.BLOCK // 256, "a net in the first pair"


def test_seed_decides_and_different_seeds_differ() -> None:
    one, same, other = (sobol.net(4, seed=s) for s in (1, 1, 2))
    assert np.array_equal(one.ranks, same.ranks)
    assert not np.array_equal(one.ranks, other.ranks)


def test_too_many_dimensions_are_refused() -> None:
    with pytest.raises(ValueError, match="320 dimensions"):
        sobol.direction_numbers(321)
