"""Ring formulas against printed charts, torus volumes and worked numbers."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from bayonet.mechanics import ring
from bayonet.mechanics.cylinder import bore_growth_mm
from bayonet.standards.tables import rows


@pytest.mark.parametrize("row", rows("glands_inch"), ids=lambda r: f"{r['table']}-{r['cs_in']}")
def test_squeeze_reproduces_both_inch_charts(row: dict[str, str]) -> None:
    """Static charts of The O-Ring Store (a) and Apple Rubber's Seal Design Guide (b).

    Chart b to half a per cent, the half of its last digit; chart a rounds some outwards, by 0.74.
    """
    off = 0.5 if row["table"].startswith("chart_b") else 0.75
    section, tol = float(row["cs_in"]), float(row["cs_tol_in"])
    least = ring.squeeze(section - tol, float(row["gland_depth_max_in"]))
    most = ring.squeeze(section + tol, float(row["gland_depth_min_in"]))
    assert 100 * float(least) == pytest.approx(float(row["squeeze_min_pct"]), abs=off)
    assert 100 * float(most) == pytest.approx(float(row["squeeze_max_pct"]), abs=off)


@given(st.floats(1.0, 8.0), st.floats(5.0, 300.0), st.floats(-0.05, 0.25))
def test_a_stretched_ring_keeps_its_volume(section: float, inside: float, stretch: float) -> None:
    """Torus: V = pi^2 / 4 s^2 (d + s), Pappus-Guldin."""
    groove = inside * (1 + stretch)
    placed = float(ring.section_by_volume(section, inside, groove))
    before = math.pi**2 / 4 * section**2 * (inside + section)
    after = math.pi**2 / 4 * placed**2 * (groove + placed)
    assert after == pytest.approx(before, rel=1e-12)
    if abs(stretch) > 1e-12:  # below, the section moves by less than a float holds
        assert (placed < section) == (stretch > 0)


def test_a_stretch_below_rounding_leaves_the_section() -> None:
    """2.2e-16 of stretch moves the section by less than its last place; it may come out equal."""
    placed = float(ring.section_by_volume(1.0, 5.0, 5.0 * (1 + 2.220446049250313e-16)))
    assert placed == pytest.approx(1.0, rel=4e-16)


def test_section_loss_two_ways() -> None:
    """5 % of stretch: 1 - 1/sqrt(1.05) = 2.41 % by volume.

    Of the fit only its two branches are held to each other: no printed value of it could be read.
    """
    by_volume = 100 * (1 - float(ring.section_by_volume(1e-6, 100.0, 105.0)) / 1e-6)
    assert by_volume == pytest.approx(100 * (1 - 1 / math.sqrt(1.05)), abs=1e-6)
    assert float(ring.section_loss_empirical_pct(5.0)) == pytest.approx(3.395)
    assert float(ring.section_loss_empirical_pct(3.0)) == pytest.approx(2.47, abs=0.05)
    assert np.isnan(ring.section_loss_empirical_pct([-0.1, 25.1])).all()


def test_fill_of_a_round_ring_in_a_square_gland_is_a_quarter_of_pi() -> None:
    fill = ring.fill(2.0, gland_depth_mm=2.0, gland_width_mm=2.0)
    assert float(fill) == pytest.approx(math.pi / 4)
    rounded = ring.fill(2.0, gland_depth_mm=2.0, gland_width_mm=2.0, corner_radius_mm=1.0)
    assert float(rounded) == pytest.approx(math.pi / (4 - 2 * (1 - math.pi / 4)))
    swollen = ring.fill(2.0, gland_depth_mm=2.0, gland_width_mm=2.0, swell=0.1)
    assert float(swollen) == pytest.approx(1.1 * math.pi / 4)


def test_modulus_and_line_load_by_hand() -> None:
    """No outside number: Gent's and Lindley's relations (from memory) worked once more by hand."""
    assert float(ring.modulus_mpa(70)) == pytest.approx(5.52, abs=0.01)
    assert float(ring.modulus_mpa(50)) < float(ring.modulus_mpa(90))
    by_hand = 3.53 * float(ring.modulus_mpa(70)) * (1.25 * 0.2**1.5 + 50 * 0.2**6)
    assert float(ring.line_load_n_per_mm(3.53, 0.2, 70)) == pytest.approx(by_hand)
    assert float(ring.line_load_n_per_mm(3.53, -0.1, 70)) == 0.0


def test_functions_take_arrays() -> None:
    values = ring.squeeze(np.array([3.5, 3.6]), np.array([2.8, 2.8]))
    assert values.shape == (2,)
    assert ring.section_by_volume([2.6, 3.5], 20.0, [20.4, 20.4]).shape == (2,)


def test_bore_growth_of_a_solid_ring_by_lame() -> None:
    """Ri 10, ro 20, E 70000, nu 0.33, p 10: 10 x 10 / 70000 x (500/300 + 0.33) mm."""
    grown = bore_growth_mm(
        10.0, inner_radius_mm=10.0, outer_radius_mm=20.0, modulus_mpa=70000.0, poisson=0.33
    )
    assert float(grown) == pytest.approx(10 * 10 / 70000 * (5 / 3 + 0.33), rel=1e-12)
