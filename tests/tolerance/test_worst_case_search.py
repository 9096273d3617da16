"""Worst cases against brute force: chains with kinks, V shapes, products and round zones."""

from __future__ import annotations

import dataclasses
import itertools

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from stacks import stack, variable

from bayonet.tolerance.chains.corners import worst_cases

Array = np.ndarray


def grid(halves: Array, places: int) -> Array:
    """Every combination of evenly spaced places within the limits, shape (variables, n)."""
    axes = [np.linspace(-h, h, places) for h in halves]
    return np.array(list(itertools.product(*axes))).T


def test_an_effect_alike_at_both_ends_counts() -> None:
    """A lead error tilts a flat flank under a flat roof: either sign takes the same away.

    By hand: 0.02 less 0.005 of depth less 0.03 of lead is -0.015 at both signs of the lead.
    """
    parts = [variable("depth", 0.005), variable("lead", 0.03)]
    got = worst_cases(stack(parts, lambda x: 0.02 + x[0] - np.abs(x[1]), low=0.0))["y"]
    assert got.low == pytest.approx(-0.015, abs=1e-12)
    assert got.high == pytest.approx(0.025, abs=1e-12)


@st.composite
def functions(draw: st.DrawFn):  # type: ignore[no-untyped-def]
    """Sums of straight lines, V shapes, kinks where two lines meet, and products."""
    count = draw(st.integers(2, 5))
    number = st.integers(-8, 8).map(lambda n: n / 4.0)
    weights = draw(st.lists(number, min_size=count, max_size=count))
    vees = draw(st.lists(st.tuples(st.integers(0, count - 1), number, number), max_size=3))
    kinks = draw(
        st.lists(
            st.tuples(*[st.lists(number, min_size=count, max_size=count) for _ in (0, 1)], number),
            max_size=2,
        )
    )
    products = draw(
        st.lists(st.tuples(st.integers(0, count - 1), st.integers(0, count - 1), number),
                 max_size=2)
    )  # fmt: skip
    halves = draw(st.lists(st.integers(1, 4).map(lambda n: n / 4.0), min_size=count,
                           max_size=count))  # fmt: skip

    def quantity(x: Array) -> Array:
        total = np.asarray(weights) @ x
        for row, slope, at in vees:
            total = total + slope * np.abs(x[row] - at / 4.0)
        for one, other, off in kinks:
            total = total + np.minimum(np.asarray(one) @ x, np.asarray(other) @ x + off)
        for a, b, slope in products:
            total = total + slope * x[a] * x[b]
        return np.asarray(total)

    return np.array(halves), quantity


@settings(max_examples=200, deadline=None, derandomize=True)
@given(functions())
def test_no_point_of_the_zone_is_worse(found) -> None:  # type: ignore[no-untyped-def]
    """All combinations of five places an axis: none is below the least that was found.

    Kinks are the least of two lines, as gaps are the least of several places; the mirror image,
    the most of several places, is searched as well. Of the best case, ends and middles are met.
    The same functions each time: of 18 000 others none had its worst missed, 7 their best.
    """
    halves, quantity = found
    parts = [variable(f"p{i}", h) for i, h in enumerate(halves)]
    values = quantity(grid(halves, 5))
    slack = 0.005 * np.ptp(values) + 1e-9
    got = worst_cases(stack(parts, quantity, low=0.0))["y"]
    assert got.low <= values.min() + slack
    turned = worst_cases(stack(parts, lambda x: -quantity(x), high=0.0))["y"]
    assert -turned.high <= values.min() + slack
    ends = quantity(grid(halves, 3))
    assert got.low <= ends.min() + 1e-9
    assert got.high >= ends.max() - 1e-9


def test_a_deviation_that_bends_beside_the_probes_is_tried_between_its_ends() -> None:
    """Every probe saw two of these four as straight; their corners alone led to -3.828."""
    halves = np.array([0.75, 0.5, 0.75, 0.5])

    def quantity(x: Array) -> Array:
        one = np.minimum(
            np.array([-1.75, -0.75, 0.75, 1.0]) @ x, np.array([-0.25, -1.75, -1.5, 0.75]) @ x - 0.25
        )
        other = np.minimum(
            np.array([0.25, 0.75, 1.5, -2.0]) @ x, np.array([1.25, -0.5, 1.0, 0.5]) @ x - 1.5
        )
        bent = np.abs(x[1] + 0.1875) + np.abs(x[2] + 0.25) + 0.5 * x[2] * x[0]
        return np.asarray(np.array([0.75, 0.5, 0.75, 0.5]) @ x + one + other + bent)

    parts = [variable(f"p{i}", h) for i, h in enumerate(halves)]
    got = worst_cases(stack(parts, quantity, low=0.0))["y"]
    assert got.low <= quantity(grid(halves, 5)).min() + 1e-9


@settings(max_examples=60, deadline=None)
@given(st.lists(st.floats(-1.0, 1.0), min_size=1, max_size=4))
def test_the_bottom_of_a_v_is_closed_in_on(bottoms: list[float]) -> None:
    """V shapes with their bottoms anywhere within the limits: all reach 0."""
    parts = [variable(f"p{i}", 1.0) for i in range(len(bottoms))]
    at = np.array(bottoms)[:, None]
    got = worst_cases(stack(parts, lambda x: np.abs(x - at).sum(axis=0), low=-1.0))["y"]
    assert got.low == pytest.approx(0.0, abs=2e-3 * len(bottoms))
    assert got.high == pytest.approx(sum(1.0 + abs(b) for b in bottoms), abs=1e-9)


@pytest.mark.parametrize("seed", [*range(60), 4743])
def test_many_variables_in_closed_form(seed: int) -> None:
    """Eleven variables: lines, V shapes and the least of two lines.

    With either line alone the sum falls apart into one variable each, so its least is exact.
    """
    source = np.random.default_rng(seed)
    halves = source.uniform(0.05, 0.3, 11)
    weights, vee = source.normal(size=11), np.abs(source.normal(size=11))
    vee *= source.random(11) < 0.4
    one, other = source.normal(size=(2, 11))

    def quantity(x: Array) -> Array:
        lines = np.minimum(one @ x, other @ x + 0.1)
        return np.asarray(weights @ x - vee @ np.abs(x) + lines)

    exact = min(
        -float((np.abs(weights + one) + vee) @ halves),
        -float((np.abs(weights + other) + vee) @ halves) + 0.1,
    )
    parts = [variable(f"p{i}", h) for i, h in enumerate(halves)]
    assert worst_cases(stack(parts, quantity, low=0.0))["y"].low == pytest.approx(exact, abs=1e-9)


def test_a_piece_that_wakes_only_far_out_is_found() -> None:
    """Nothing moves it about the middle; five at their limits together do."""
    parts = [variable(f"p{i}", 1.0) for i in range(5)]
    got = worst_cases(stack(parts, lambda x: np.minimum(0.5, 4.0 + x.sum(axis=0)), low=0.0))["y"]
    assert got.low == pytest.approx(-1.0, abs=1e-12)


def test_an_even_effect_on_a_round_zone() -> None:
    """Distance from the middle, whatever its direction: nothing to the rim."""
    parts = [dataclasses.replace(variable(k, 0.2), disc="axis") for k in "xy"]
    got = worst_cases(stack(parts, lambda x: 0.1 - np.hypot(x[0], x[1]), low=0.0))["y"]
    assert got.low == pytest.approx(-0.1, abs=1e-9)
    assert got.high == pytest.approx(0.1, abs=1e-9)
