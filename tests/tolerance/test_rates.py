"""Rates against exact tails: normal, sums of uniforms, the exact binomial interval."""

from __future__ import annotations

import dataclasses
import itertools
import math

import numpy as np
import pytest
from scipy import stats
from stacks import linear, stack, standard, variable

from bayonet.tolerance.chains.chain import Chain, ChainSet
from bayonet.tolerance.chains.corners import worst_cases
from bayonet.tolerance.chains.figures import sharper, study
from bayonet.tolerance.chains.rare import rare_rates
from bayonet.tolerance.chains.sampling import Rate, rate_of, sample

GAIN = 20.0


def irwin_hall_tail(count: int, above: float) -> float:
    """P(sum of ``count`` uniforms on 0 to 1 > above), exactly."""
    edge = count - above  # by symmetry the share below it, where no digits cancel
    return math.fsum(
        (-1) ** k * math.comb(count, k) * (edge - k) ** count for k in range(math.floor(edge) + 1)
    ) / math.factorial(count)


@pytest.mark.parametrize("ppm", [1000.0, 100.0, 1.0])
def test_normal_tail_with_a_twentieth_of_the_samples(ppm: float) -> None:
    """Exact tail of a sum of six normals; at least 20 times fewer points than plain sampling."""
    limit = math.sqrt(6) * stats.norm.isf(ppm * 1e-6)
    chains = linear(0, [1] * 6, [standard(k) for k in "abcdef"], high=limit)
    got = rare_rates(chains, count=1 << 14, seed=2)
    assert got.out["y"].value == pytest.approx(ppm * 1e-6, rel=0.05)
    assert abs(got.out["y"].value - ppm * 1e-6) < got.out["y"].high - got.out["y"].low
    assert got.gain["y"] > GAIN


def test_gain_is_what_repeated_runs_show() -> None:
    """The claimed standard error against the scatter of twelve seeds, at 100 ppm."""
    limit = 2 * stats.norm.isf(1e-4)
    chains = linear(0, [1] * 4, [standard(k) for k in "abcd"], high=limit)
    runs = [rare_rates(chains, count=1 << 12, seed=100 + s).out["y"].value for s in range(12)]
    plain = math.sqrt(1e-4 / (1 << 12))
    assert np.std(runs, ddof=1) < plain / math.sqrt(GAIN)
    assert np.mean(runs) == pytest.approx(1e-4, rel=0.05)


def test_sum_of_uniforms_far_out() -> None:
    """Irwin-Hall: eight uniforms above 7.2 of 8."""
    exact = irwin_hall_tail(8, 7.2)
    parts = [variable(f"u{i}", 0.5, "uniform") for i in range(8)]
    chains = linear(4.0, [1] * 8, parts, high=7.2)
    got = rare_rates(chains, count=1 << 15, seed=3)
    assert exact == pytest.approx(0.8**8 / math.factorial(8), rel=1e-6)
    assert got.out["y"].value == pytest.approx(exact, rel=0.1)


def test_several_ways_to_fail_add_up() -> None:
    """|x| > 3.5 on three axes: 1 - (1 - 2 Q)^3, six most likely faults."""
    limit = 3.5
    chain = Chain(key="y", title="y", why="", unit="mm", low=-limit, high=limit)
    chains = ChainSet(
        variables=tuple(standard(k) for k in "abc"),
        chains=(chain,),
        evaluate=lambda x, _: {"y": [x[0], x[1], x[2]]},
    )
    exact = 1 - (1 - 2 * stats.norm.sf(limit)) ** 3
    assert rare_rates(chains, count=1 << 14, seed=1).out["y"].value == pytest.approx(
        exact, rel=0.05
    )


def test_joint_yield_and_what_fails_alone() -> None:
    """Two independent requirements of 2 % and 3 %: 4.94 % fail, the second most."""
    low, high = stats.norm.isf(0.02), stats.norm.isf(0.03)
    chains = ChainSet(
        variables=(standard("a"), standard("b")),
        chains=(
            Chain(key="first", title="first", why="", unit="mm", high=float(low)),
            Chain(key="second", title="second", why="", unit="mm", high=float(high)),
        ),
        evaluate=lambda x, _: {"first": [x[0]], "second": [x[1]]},
    )
    got = study(chains, count=1 << 17, seed=1)
    assert got.fails.value == pytest.approx(1 - 0.98 * 0.97, rel=0.01)
    assert got.worst is not None
    assert got.worst.chain.key == "second"
    assert got.of("first").alone == pytest.approx(0.02 * 0.97, rel=0.03)


@pytest.mark.parametrize(("hits", "count"), [(0, 8192), (5, 8192), (40, 65536)])
def test_counting_interval_by_scipy(hits: int, count: int) -> None:
    """Clopper-Pearson as scipy's binomtest gives it."""
    shares = np.full(4, hits / count)
    got = rate_of(shares, count)
    exact = stats.binomtest(hits, count).proportion_ci(0.95, method="exact")
    assert (got.low, got.high) == pytest.approx((exact.low, exact.high), rel=1e-9, abs=1e-12)


COVERED = int(stats.binom.ppf(0.005, 200, 0.95))
"""Of 200 intervals that cover 95 %, at least so many do: 0.5 % quantile, 182."""


@pytest.mark.parametrize("share", [0.2, 0.01, 1e-4])
@pytest.mark.parametrize("count", [1, 3, 5])
def test_intervals_cover(share: float, count: int) -> None:
    """Exact normal tail of a sum: 200 seeds' 95 % intervals, of each way and as reported."""
    limit = math.sqrt(count) * stats.norm.isf(share)
    chains = linear(0, [1] * count, [standard(k) for k in "abcde"[:count]], high=limit)
    held = np.zeros(3)
    for seed in range(200):
        plain = sample(chains, count=1 << 15, seed=seed).chains["y"].out
        weighted = rare_rates(chains, count=1 << 13, seed=seed).out["y"]
        rates = (plain, weighted, sharper(plain, weighted))
        held += [one.low <= share <= one.high for one in rates]
    assert (held >= COVERED).all(), held


def test_what_the_weighted_search_missed_is_not_believed() -> None:
    """Plain sampling sees 1 %, the weighted one next to nothing: plain is reported."""
    plain = Rate(value=0.01, low=0.009, high=0.011, by="sampling")
    blind = Rate(value=1e-9, low=0.9e-9, high=1.1e-9, by="weighted sampling")
    assert sharper(plain, blind) is plain
    none = Rate(value=0.0, low=0.0, high=1e-4, by="sampling")
    more = Rate(value=2e-4, low=1.5e-4, high=2.5e-4, by="weighted sampling")
    assert sharper(none, more).high == more.high
    assert sharper(none, more).low == 0.0


def test_same_seed_same_digits_and_blocks_do_not_matter() -> None:
    chains = linear(0, [1] * 3, [standard(k) for k in "abc"], high=4.0)
    one, same, other = (study(chains, count=1 << 15, seed=s) for s in (7, 7, 8))
    assert one.figures[0].sampled.mean == same.figures[0].sampled.mean
    assert np.array_equal(one.figures[0].sampled.kept, same.figures[0].sampled.kept)
    assert one.fails == same.fails
    assert one.figures[0].sampled.mean != other.figures[0].sampled.mean


def test_progress_is_told_to_the_end() -> None:
    told: list[float] = []
    chains = linear(0, [1], [standard("a")], high=1.0)
    sample(chains, count=1 << 18, seed=1, progress=told.append)
    assert told == sorted(told)
    assert told[-1] == 1.0


def test_true_corners_by_brute_force_with_many_variables() -> None:
    """Fourteen variables, products among them: more than are tried one by one."""
    parts = [variable(f"p{i}", 0.1 + 0.01 * i) for i in range(14)]

    def quantity(x: np.ndarray) -> np.ndarray:
        products = (1 + x[0]) * (2 + x[1]) - (1 + x[2]) * (1 + x[3])
        return np.asarray(products + 0.1 * ((1 + x[4:9]) ** 2).sum(axis=0) + x[9:].sum(axis=0))

    chains = stack(parts, quantity, low=0.0)
    halves = np.array([p.half_width for p in parts])
    corners = halves[:, None] * np.array(list(itertools.product((-1, 1), repeat=14))).T
    exact = quantity(corners)
    got = worst_cases(chains)["y"]
    assert got.low == pytest.approx(exact.min(), abs=1e-12)
    assert got.high == pytest.approx(exact.max(), abs=1e-12)


def test_a_round_zone_ends_at_its_rim() -> None:
    """X and y of one disc: the worst of 3 x + 4 y is 5 r, not 7 r."""
    parts = [dataclasses.replace(variable(k, 0.1), disc="axis") for k in "xy"]
    got = worst_cases(linear(0, [3, 4], parts, low=-9.0))["y"]
    assert got.high == pytest.approx(0.5, abs=1e-9)
    assert got.low == pytest.approx(-0.5, abs=1e-9)
