"""Printed stacks through the same functions as a plug in its socket."""

from __future__ import annotations

import numpy as np
import pytest
from stacks import linear, stack, variable

from bayonet.tolerance.chains.corners import worst_cases
from bayonet.tolerance.chains.first_order import first_order


def test_shigley_example_1_3() -> None:
    """Shigley 9th ed., example 1-3, p. 20: gap 0.005, worst 0.015 and -0.005 in."""
    parts = [variable("a", 0.003), variable("b", 0.001), variable("c", 0.005), variable("d", 0.001)]
    gap = linear(1.75 - 0.75 - 0.12 - 0.875, [1, -1, -1, -1], parts)
    worst = worst_cases(gap)["y"]
    assert gap.values(gap.nominal())["y"][0] == pytest.approx(0.005, abs=1e-12)
    assert worst.high == pytest.approx(0.015, abs=1e-9)
    assert worst.low == pytest.approx(-0.005, abs=1e-9)


def test_shaft_and_bearing_housing() -> None:
    """Chase & Greenwood's shaft and bearing housing (Drake handbook ch. 14, from memory).

    Mean gap 0.020 in; worst case 0.0245; root sum square 0.0111.
    """
    nominals = [0.0505, 8.0, 0.5093, 0.4, 7.711, 0.4, 0.5093]
    halves = [0.0015, 0.008, 0.0025, 0.002, 0.006, 0.002, 0.0025]
    signs = [-1, 1, -1, 1, -1, 1, -1]
    parts = [variable(key, half) for key, half in zip("ABCDEFG", halves, strict=True)]
    gap = linear(float(np.dot(signs, nominals)), signs, parts)
    worst, first = worst_cases(gap)["y"], first_order(gap)["y"]
    assert first.mean == pytest.approx(0.020, abs=0.0002)
    assert (worst.high - worst.low) / 2 == pytest.approx(0.0245, abs=1e-6)
    assert 3 * first.sd == pytest.approx(0.0111, abs=0.00005)
    assert first.contributors[0].key == "B"
    assert first.contributors[0].variance_share == pytest.approx((0.008 / 0.01109) ** 2, abs=0.002)
    assert first.contributors[0].worst_case_share == pytest.approx(0.008 / 0.0245)


def test_ten_parts_of_a_tenth() -> None:
    """Ten parts of 0.1: worst case 1.0, root sum square 0.316 (generic page on stacks)."""
    parts = [variable(f"p{i}", 0.1) for i in range(10)]
    sum_of = linear(0.0, [1] * 10, parts)
    assert worst_cases(sum_of)["y"].high == pytest.approx(1.0, abs=1e-9)
    assert 3 * first_order(sum_of)["y"].sd == pytest.approx(0.316, abs=0.0005)


def test_one_way_clutch_angle() -> None:
    """Chase's one-way clutch (ADCATS): 7.0184 deg; corners are those of acos((a + c) / (e - c))."""
    a, c, e = 27.645, 11.43, 50.8
    halves = (0.0125, 0.01, 0.0125)
    parts = [variable(k, h) for k, h in zip("ace", halves, strict=True)]

    def angle(x: np.ndarray) -> np.ndarray:
        return np.degrees(np.arccos((a + x[0] + c + x[1]) / (e + x[2] - c - x[1])))

    clutch = stack(parts, angle)
    worst = worst_cases(clutch)["y"]
    assert clutch.values(clutch.nominal())["y"][0] == pytest.approx(7.0184, abs=1e-4)
    corners = [
        float(angle(np.array([[i * halves[0]], [j * halves[1]], [k * halves[2]]]))[0])
        for i in (-1, 1) for j in (-1, 1) for k in (-1, 1)
    ]  # fmt: skip
    assert worst.low == pytest.approx(min(corners), abs=1e-12)
    assert worst.high == pytest.approx(max(corners), abs=1e-12)
    by_slopes = sum(
        abs(one.slope) * half
        for one in first_order(clutch)["y"].contributors
        for key, half in zip("ace", halves, strict=True)
        if one.key == key
    )
    assert worst.high - 7.0184 < by_slopes < 7.0184 - worst.low, "corners are not linear here"
