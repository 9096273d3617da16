"""Loss of a sharp-edged opening against printed and classic values."""

from __future__ import annotations

import math

import pytest

from bayonet.mechanics.opening import loss_range, pressure_drop_mpa


def test_free_jet_contracts_as_kirchhoff_says() -> None:
    """Pi / (pi + 2) = 0.611 (Kirchhoff 1869): the orifice coefficient used must lie by it."""
    low, high = loss_range(1.0, 10.0)
    assert low == high
    assert 1.0 / math.sqrt(high) == pytest.approx(math.pi / (math.pi + 2.0), abs=2e-3)


def test_short_tube() -> None:
    """Coefficient of a short tube, 0.82 (Venturi's experiment; handbooks; from memory)."""
    low, _ = loss_range(30.0, 10.0)
    assert 1.0 / math.sqrt(low) == pytest.approx(0.82, abs=0.005)


def test_between_the_two_both_are_told() -> None:
    assert loss_range(10.0, 10.0) == (1.5, pytest.approx(2.687, abs=1e-3))


def test_torricelli() -> None:
    """K = 1: the drop is the dynamic head, 1 m of water at 4.43 m/s."""
    drop = pressure_drop_mpa(1.0, speed_m_per_s=math.sqrt(2 * 9.81), density_kg_per_m3=1000.0)
    assert drop == pytest.approx(0.00981)
