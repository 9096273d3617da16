"""Uncertainty of one part apart from the spread of a production: closed forms."""

from __future__ import annotations

import numpy as np
import pytest
from scipy import stats
from stacks import linear, standard, variable
from test_rates import irwin_hall_tail

from bayonet.tolerance.chains.credible import credible
from bayonet.tolerance.chains.tails import tail
from bayonet.tolerance.chains.variable import Spread


def measured(key: str, u: float, dof: float = np.inf):  # type: ignore[no-untyped-def]
    return variable(key, 2.0 * u, "uncertainty", u=u, dof=dof)


@pytest.mark.parametrize(("u", "dof"), [(0.5, np.inf), (0.3, 4.0), (0.2, 2.0)])
@pytest.mark.parametrize("limit", [2.0, 3.5, 5.0])
def test_a_normal_production_about_an_uncertain_middle(u: float, dof: float, limit: float) -> None:
    """A part N(0, 1) + t: the rate is Q(limit - t), and t's own quantile gives the rate's.

    JCGM 101:2008, 6.4.9.2: t is u times Student's; with infinite degrees of freedom, normal.
    """
    chains = linear(0, [1, 1], [standard("x"), measured("t", u, dof)], high=limit)
    got = credible(chains, seed=1)["y"]
    known = stats.norm if np.isinf(dof) else stats.t(dof)
    exact = [float(stats.norm.sf(limit - u * known.ppf(p))) for p in (0.95, 0.99)]
    assert got.measured == pytest.approx(stats.norm.sf(limit), rel=0.08)
    assert got.upto[0] == pytest.approx(exact[0], rel=0.08)
    assert got.upto[1] == pytest.approx(exact[1], rel=0.12), "some 40 of 4096 draws lie beyond"


def test_nothing_measured_nothing_said() -> None:
    assert credible(linear(0, [1], [standard("x")], high=3.0), seed=1) == {}


def test_two_limits_and_several_measured_sizes() -> None:
    """|N(0, 1) + a - b| <= 3, a and b of u 0.3 and 0.4: together 0.5, either side."""
    parts = [standard("x"), measured("a", 0.3), measured("b", 0.4)]
    got = credible(linear(0, [1, 1, -1], parts, low=-3.0, high=3.0), seed=3)["y"]
    away = 0.5 * stats.norm.isf(0.025)  # |t| within it with 95 %
    exact = stats.norm.sf(3.0 - away) + stats.norm.sf(3.0 + away)
    assert got.upto[0] == pytest.approx(exact, rel=0.08)
    assert got.measured == pytest.approx(2.0 * stats.norm.sf(3.0), rel=0.08)


def test_a_bounded_production_is_not_made_safer_than_it_is() -> None:
    """Sum of two uniforms: the share beyond 1.9 is 0.1^2 / 8, by its triangle."""
    parts = [variable(k, 1.0, "uniform") for k in "ab"]
    got = credible(linear(0, [1, 1, 1], [*parts, measured("t", 0.1)], high=1.9), seed=2)["y"]
    assert got.measured == pytest.approx(0.1**2 / 8.0, rel=0.3)
    assert got.upto[0] >= got.measured
    assert got.upto[1] >= got.upto[0]


@pytest.mark.parametrize(
    ("count", "most"), [(2, 0.025), (3, 0.015), (4, 0.01), (8, 0.0025), (20, 0.0003)]
)
@pytest.mark.parametrize("share", [0.3, 0.5, 0.7, 0.8, 0.9, 0.97])
def test_tails_of_uniforms(count: int, most: float, share: float) -> None:
    """Irwin and Hall, exactly: the next term of the saddlepoint's series leaves this much.

    Eight at 0.8 is the docstring's example, 0.8^8 / 8!, where the first term alone is 1.4 % short.
    """
    exact = irwin_hall_tail(count, count / 2.0 * (1.0 + share))
    parts = [variable(f"u{i}", 0.5, "uniform") for i in range(count)]
    got = tail(parts, np.ones((1, count)), [share * count / 2.0])[0]
    assert got == pytest.approx(exact, rel=most, abs=4e-11), "beyond 6.5 sd none matters"


@pytest.mark.parametrize("slope", [1.5, -1.5])
@pytest.mark.parametrize("spread", ["uniform", "triangular", "trapezoid", "radius", "normal"])
def test_tails_of_one_deviation_alone_are_its_own(spread: Spread, slope: float) -> None:
    """scipy.stats' distributions; a radius has the density 2 r."""
    own = {
        "uniform": stats.uniform(-1, 2), "triangular": stats.triang(0.5, -1, 2),
        "trapezoid": stats.trapezoid(0.25, 0.75, -1, 2), "radius": stats.beta(2, 1),
        "normal": stats.norm(0, 1.0 / 3.0),
    }[spread]  # fmt: skip
    beside = variable("w", 1.0, "uniform")
    for part in (0.1, 0.4, 0.9, 1.3):
        room = part * 1.5 * own.std()
        at = own.mean() + room / slope
        exact = own.sf(at) if slope > 0 else own.cdf(at)
        got = tail([variable("x", 1.0, spread), beside], np.array([[slope, 0.0]]), [room])[0]
        assert got == pytest.approx(exact, rel=1e-9, abs=1e-15)


def test_tails_of_uniforms_and_a_normal() -> None:
    """Three uniforms and a normal: the normal's tail averaged over the sum's exact density."""
    parts = [*(variable(f"u{i}", 0.5, "uniform") for i in range(3)), variable("n", 0.6)]
    x = np.linspace(-1.5, 1.5, 20_001)
    density = np.where(np.abs(x) < 0.5, 0.75 - x**2, 0.5 * (1.5 - np.abs(x)) ** 2)
    for room in (0.8, 1.2, 1.6):
        exact = np.trapezoid(density * stats.norm.sf((room - x) / 0.2), x)
        got = tail(parts, np.ones((1, 4)), [room])[0]
        assert got == pytest.approx(exact, rel=0.015)


def test_tails_of_normals_are_exact_and_what_cannot_be_is_none() -> None:
    parts = [standard("a"), standard("b")]
    got = tail(parts, np.array([[1.0, -2.0]]), [4.0 * np.sqrt(5.0)])[0]
    assert got == pytest.approx(stats.norm.sf(4.0), rel=1e-6)
    two = [variable(k, 1.0, "uniform") for k in "ab"]
    assert tail(two, np.ones((1, 2)), [2.1])[0] == 0.0


@pytest.mark.parametrize("spread", ["triangular", "trapezoid", "radius"])
def test_tails_of_the_other_spreads_by_counting(spread: Spread) -> None:
    """Five of each and a normal, a million random parts by their own quantiles."""
    parts = [*(variable(f"p{i}", 1.0, spread) for i in range(5)), variable("n", 0.6)]
    source = np.random.default_rng(5)
    total = sum(p.quantile(source.random(1 << 20)) - p.mean for p in parts)
    room = float(np.quantile(total, 0.999))
    got = tail(parts, np.ones((1, 6)), [room])[0]
    assert got == pytest.approx(1e-3, rel=0.1), "a million hold some 1000: 3 % is one sd"
