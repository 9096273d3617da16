"""JCGM 100 examples H.1, H.2, H.5 and table G.2, EA-4/02 S2, ISO 16269-6 factors.

Numbers as printed; the tolerance is half their last digit or what the source states.
"""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import integrate, optimize, stats

from bayonet.mechanics.uncertainty import (
    Estimate,
    combined,
    coverage_factor,
    effective_dof,
    propagated,
    tolerance_factor,
    type_a,
    type_b,
)


def gauge(ls: float, d: float, alpha: float, theta: float, da: float, dtheta: float) -> float:
    """Length of an end gauge, JCGM 100 H.1 [mm]."""
    return ls + d - ls * (da * theta + alpha * dtheta)


GAUGE = [
    Estimate(value=50.000623, u=25e-6, dof=18),
    Estimate(value=0.000215, u=9.7e-6, dof=25.6),
    Estimate(value=11.5e-6, u=1.2e-6),
    Estimate(value=-0.1, u=0.41),
    Estimate(value=0.0, u=0.58e-6, dof=50),
    Estimate(value=0.0, u=0.029, dof=2),
]


def test_h1_end_gauge() -> None:
    """JCGM 100:2008 H.1: 50.000838 mm, 32 nm, 16 degrees of freedom, 93 nm for 99 %."""
    found = propagated(gauge, GAUGE)
    assert found.value == pytest.approx(50.000838, abs=5e-7)
    assert found.u == pytest.approx(32e-6, abs=0.5e-6)
    assert math.floor(found.dof) == 16
    expanded = coverage_factor(16, probability=0.99) * found.u
    assert expanded == pytest.approx(93e-6, abs=0.5e-6)


def test_h2_correlated_resistance_and_reactance() -> None:
    """JCGM 100:2008 H.2, tables H.2 to H.4: R, X, Z of five simultaneous readings."""
    volts = [5.007, 4.994, 5.005, 4.990, 4.999]
    amperes = [19.663e-3, 19.639e-3, 19.640e-3, 19.685e-3, 19.678e-3]
    phases = [1.0456, 1.0438, 1.0468, 1.0428, 1.0433]
    inputs = [type_a(x) for x in (volts, amperes, phases)]
    together = np.corrcoef([volts, amperes, phases])
    for model, value, u in (
        (lambda v, i, p: v / i * math.cos(p), 127.732, 0.071),
        (lambda v, i, p: v / i * math.sin(p), 219.847, 0.295),
        (lambda v, i, p: v / i + 0 * p, 254.260, 0.236),
    ):
        found = propagated(model, inputs, correlation=together)
        assert found.value == pytest.approx(value, abs=0.0005)
        assert found.u == pytest.approx(u, abs=0.0006)  # printed 0.295 for 0.2956: cut
        alone = propagated(model, inputs)
        assert abs(alone.u - found.u) > 0.01, "correlation matters here"


def test_h5_days_and_repeats() -> None:
    """JCGM 100:2008 H.5: mean 10.000097 V, day means scatter by 57 uV."""
    days = [10.000172, 10.000116, 10.000013, 10.000144, 10.000106, 10.000031, 10.000060,
            10.000125, 10.000163, 10.000041]  # fmt: skip
    found = type_a(days)
    assert found.value == pytest.approx(10.000097, abs=5e-7)
    assert found.u * math.sqrt(10) == pytest.approx(57e-6, abs=0.5e-6)
    assert found.dof == 9


@pytest.mark.parametrize(
    ("probability", "dof", "factor"),
    [(0.6827, 1, 1.84), (0.95, 1, 12.71), (0.9973, 5, 5.51), (0.90, 20, 1.72), (0.95, 16, 2.12),
     (0.9545, 16, 2.17), (0.99, 16, 2.92)],
)  # fmt: skip
def test_table_g2(probability: float, dof: float, factor: float) -> None:
    """JCGM 100:2008 table G.2."""
    assert coverage_factor(dof, probability=probability) == pytest.approx(factor, abs=0.005)


def test_ea_4_02_weight() -> None:
    """EA-4/02 supplement S2: 10 000.025 g, 29.2 mg."""
    parts = [22.5, 15 / math.sqrt(3), 25 / math.sqrt(3), 10 / math.sqrt(3), 10 / math.sqrt(3)]
    assert combined([1] * 5, parts) == pytest.approx(29.2, abs=0.065)  # parts are printed rounded
    assert type_b(15.0) == pytest.approx(parts[1])


def test_limits_by_shape() -> None:
    """JCGM 100:2008, 4.3.7 and 4.3.9: a / sqrt 3, a / sqrt 6, and between them."""
    assert type_b(1.0) == pytest.approx(1 / math.sqrt(3))
    assert type_b(1.0, "triangular") == pytest.approx(1 / math.sqrt(6))
    assert type_b(1.0, "trapezoid", top=0.0) == pytest.approx(type_b(1.0, "triangular"))
    assert type_b(1.0, "trapezoid", top=1.0) == pytest.approx(type_b(1.0, "uniform"))
    assert type_b(1.96, "normal") == pytest.approx(1.0, abs=1e-4)


@given(st.lists(st.floats(0.1, 10.0), min_size=1, max_size=6))
def test_equal_shares_add_their_degrees_of_freedom(dofs: list[float]) -> None:
    same = [dofs[0]] * len(dofs)
    assert effective_dof([2.0] * len(same), same) == pytest.approx(len(same) * dofs[0])
    assert math.isinf(effective_dof([1.0], [math.inf]))


@pytest.mark.parametrize(
    ("count", "coverage", "factor"),
    [(10, 0.99, 4.43), (5, 0.99, 6.60), (10, 0.95, 3.38), (30, 0.99, 3.35), (2, 0.95, 36.5)],
)
def test_tolerance_factors(count: int, coverage: float, factor: float) -> None:
    """Printed factors for 95 % confidence, from memory, and the exact integral by scipy.

    Tables made by the usual approximation lie up to 0.4 % low.
    """
    found = tolerance_factor(count, coverage=coverage)
    assert found == pytest.approx(factor, rel=0.005)

    def half(shift: float) -> float:
        return float(
            optimize.brentq(
                lambda h: stats.norm.cdf(shift + h) - stats.norm.cdf(shift - h) - coverage, 0, 60
            )
        )

    def confidence(k: float) -> float:
        return float(
            integrate.quad(
                lambda x: stats.norm.pdf(x)
                * stats.chi2.sf((count - 1) * (half(abs(x) / count**0.5) / k) ** 2, count - 1),
                -8.5, 8.5, limit=200,
            )[0]
        )  # fmt: skip

    assert confidence(found) == pytest.approx(0.95, abs=1e-9)


def test_tolerance_factor_by_sampling() -> None:
    """Independent: draw 40 000 samples of six and count how often the interval holds 90 %."""
    draw = np.random.default_rng(7).normal(size=(40_000, 6))
    factor = tolerance_factor(6, coverage=0.90, confidence=0.95)
    mean, spread = draw.mean(axis=1), draw.std(axis=1, ddof=1)
    held = stats.norm.cdf(mean + factor * spread) - stats.norm.cdf(mean - factor * spread)
    assert float(np.mean(held >= 0.90)) == pytest.approx(0.95, abs=0.004)


def test_one_sample_is_too_few() -> None:
    with pytest.raises(ValueError, match="two readings"):
        type_a([1.0])
    with pytest.raises(ValueError, match="two samples"):
        tolerance_factor(1)
