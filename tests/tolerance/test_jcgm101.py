"""JCGM 101:2008, clause 9, by the sampling that judges the chains."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy import stats
from stacks import linear, stack, standard, variable

from bayonet.tolerance.chains.figures import study
from bayonet.tolerance.chains.first_order import first_order
from bayonet.tolerance.chains.sampling import Sampled, sample

COUNT = 1 << 18


def shortest(found: Sampled, share: float) -> tuple[float, float]:
    """Shortest interval that holds a share of the kept values (JCGM 101, 7.7.4)."""
    values, inside = found.kept, math.floor(share * len(found.kept))
    widths = values[inside:] - values[:-inside]
    at = int(np.argmin(widths))
    return float(values[at]), float(values[at + inside])


def test_four_normal_inputs() -> None:
    """9.2.2, table 2: u = 2.00, 95 % interval -3.92 to 3.92."""
    found = sample(linear(0, [1] * 4, [standard(k) for k in "abcd"]), count=COUNT, seed=1)
    got = found.chains["y"]
    assert got.mean == pytest.approx(0.0, abs=0.005)
    assert got.sd == pytest.approx(2.0, abs=0.005)
    assert got.interval(0.95) == pytest.approx((-3.92, 3.92), abs=0.005)


def test_four_rectangular_inputs() -> None:
    """9.2.3, table 3: -3.88 to 3.88; exactly 2 sqrt(3) (2 - (3 / 5)^(1/4))."""
    parts = [variable(k, math.sqrt(3), "uniform") for k in "abcd"]
    got = sample(linear(0, [1] * 4, parts), count=COUNT, seed=1).chains["y"]
    exact = 2 * math.sqrt(3) * (2 - (3 / 5) ** 0.25)
    assert got.sd == pytest.approx(2.0, abs=0.005)
    assert got.interval(0.95) == pytest.approx((-exact, exact), abs=0.012)


def test_one_dominant_rectangular_input() -> None:
    """9.2.4, table 4: u = 10.1; -17.0 to 17.0 by sampling, -19.9 to 19.9 by first order."""
    parts = [variable(k, math.sqrt(3), "uniform") for k in "abc"]
    parts.append(variable("d", 10 * math.sqrt(3), "uniform"))
    chains = linear(0, [1] * 4, parts)
    got = sample(chains, count=COUNT, seed=1).chains["y"]
    assert got.sd == pytest.approx(10.1, abs=0.05)
    assert got.interval(0.95) == pytest.approx((-17.0, 17.0), abs=0.05)
    by_slopes = 1.96 * first_order(chains)["y"].sd
    assert by_slopes == pytest.approx(19.9, abs=0.05)


@pytest.mark.parametrize(
    ("x1", "y", "u", "interval"),
    [
        (0.0, 50e-6, 50e-6, (0.0, 150e-6)),
        (0.01, 150e-6, 112e-6, (0.0, 367e-6)),
        (0.05, 2551e-6, 502e-6, (1590e-6, 3543e-6)),
    ],
)
def test_comparison_loss(x1: float, y: float, u: float, interval: tuple[float, float]) -> None:
    """9.4.2, table 8 (from memory): X1^2 + X2^2, u = 0.005, uncorrelated."""
    parts = [variable("a", 0.015), variable("b", 0.015)]
    chains = stack(parts, lambda x: (x1 + x[0]) ** 2 + x[1] ** 2)
    got = sample(chains, count=COUNT, seed=3).chains["y"]
    assert got.mean == pytest.approx(y, abs=1e-6)
    assert got.sd == pytest.approx(u, rel=0.01)
    assert shortest(got, 0.95) == pytest.approx(interval, abs=25e-6 if x1 > 0.02 else 3e-6)


def test_correlated_inputs_by_closed_form() -> None:
    """Of X1^2 + X2^2 about 0 with r = 0.9 the mean is 2 u^2, the variance 4 u^4 (1 + r^2)."""
    r = np.array([[1.0, 0.9], [0.9, 1.0]])
    parts = [variable("a", 0.015), variable("b", 0.015)]
    chains = stack(parts, lambda x: x[0] ** 2 + x[1] ** 2, correlation=r)
    got = sample(chains, count=COUNT, seed=3).chains["y"]
    assert got.mean == pytest.approx(50e-6, rel=0.002)
    assert got.sd == pytest.approx(2 * 25e-6 * math.sqrt(1 + 0.81), rel=0.005)
    sums = linear(0, [1, 1], parts)
    both = first_order(stack(parts, lambda x: x[0] + x[1], correlation=r))["y"].sd
    assert both == pytest.approx(0.005 * math.sqrt(2 + 1.8))
    assert first_order(sums)["y"].sd == pytest.approx(0.005 * math.sqrt(2))


def test_capability_and_share_outside() -> None:
    """Limits 9 and 11, mean 10.5, s 0.4: Cpk 0.416667, 10.574 % outside.

    A published risk spreadsheet, compared with an independent program's test.
    """
    chains = linear(10.5, [1], [variable("a", 1.2)], low=9.0, high=11.0)
    got = study(chains, count=COUNT, seed=1).of("y")
    assert got.cpk == pytest.approx(0.416667, abs=5e-6)  # mean and sd are sampled
    assert got.out.value == pytest.approx(0.10574, abs=5e-6)
    assert got.out.low <= 0.10574 <= got.out.high


def test_thermal_expansion_coefficient() -> None:
    """NIST TN 1900, example 13: 1.7266e-5 1/K, inputs Student with 3 degrees of freedom."""
    names = (("l0", 0.0001), ("t0", 0.02), ("l1", 0.0002), ("t1", 0.05))
    parts = [variable(k, 3.18 * u, "uncertainty", u=u, dof=3.0) for k, u in names]

    def alpha(x: np.ndarray) -> np.ndarray:
        long = 1.5021 + x[2] - 1.4999 - x[0]
        return long / ((1.4999 + x[0]) * (373.10 + x[3] - 288.15 - x[1]))

    chains = stack(parts, alpha)
    assert chains.values(chains.nominal())["y"][0] == pytest.approx(1.7266e-5, abs=1e-9)
    kept = sample(chains, count=COUNT, seed=1).chains["y"].kept
    assert np.median(kept) == pytest.approx(1.7266e-5, abs=2e-9)
    assert stats.skew(kept[1000:-1000]) == pytest.approx(0.0, abs=0.05)
