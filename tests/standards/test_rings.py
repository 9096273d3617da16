"""AS568, ISO 3601-1, gland charts, extrusion and elastomers against what is printed."""

from __future__ import annotations

import itertools

import pytest

from bayonet.errors import TableError
from bayonet.standards import (
    as568,
    extrusion,
    friction,
    glands,
    iso286,
    iso3601,
    materials,
    processes,
)
from bayonet.standards.tables import rows

INCH = 25.4


@pytest.mark.parametrize(
    ("dash", "id_in", "section_in"),
    [("-010", 0.239, 0.070), ("112", 0.487, 0.103), ("214", 0.984, 0.139), ("-325", 1.475, 0.210),
     ("425", 4.475, 0.275), ("4", 0.070, 0.070)],
)  # fmt: skip
def test_sizes_as_printed(dash: str, id_in: float, section_in: float) -> None:
    """SAE AS568."""
    ring = as568.ring(dash)
    assert ring.inside_diameter_mm == pytest.approx(id_in * INCH)
    assert ring.section_mm == pytest.approx(section_in * INCH)


def test_unknown_sizes_are_refused() -> None:
    for dash in ("500", "051x", "", "-52"):
        with pytest.raises(TableError):
            as568.ring(dash)


def test_each_series_has_one_section_and_grows() -> None:
    """-004 to -050: 0.070; -102 to -178: 0.103; -201 to -284: 0.139; -309: 0.210; -425: 0.275."""
    series = {1: 0.103, 2: 0.139, 3: 0.210, 4: 0.275}
    numbers = [int(size.designation[1:]) for size in as568.sizes()]
    assert numbers == sorted(numbers)
    assert len(set(numbers)) == len(numbers)
    for hundred, section in series.items():
        sizes = [s for s, n in zip(as568.sizes(), numbers, strict=True) if n // 100 == hundred]
        assert {round(s.section_mm / INCH, 3) for s in sizes} == {section}
        ids = [s.inside_diameter_mm for s in sizes]
        assert all(b > a for a, b in itertools.pairwise(ids))
        tols = [s.inside_diameter_tol_mm for s in sizes]
        assert all(b >= a - 1e-9 for a, b in itertools.pairwise(tols))


def test_mm_columns_are_the_inch_columns_rounded() -> None:
    for row in rows("as568"):
        for key in ("id", "cs"):
            assert float(row[f"{key}_mm"]) == pytest.approx(
                float(row[f"{key}_in"]) * INCH, abs=0.0051
            )


def test_iso3601_check_points() -> None:
    """Printed: 5: 0.15, 10: 0.19, 20: 0.26, 40: 0.41, 80: 0.69, 160: 1.23, 320: 2.27, 640: 4.28."""
    printed = {5: 0.15, 10: 0.19, 20: 0.26, 40: 0.41, 80: 0.69, 160: 1.23, 320: 2.27, 640: 4.28}
    for size, tolerance in printed.items():
        assert iso3601.inside_diameter_tolerance_mm(size) == pytest.approx(tolerance, abs=0.005)
    for bad in (0.0, 670.1, float("nan")):
        with pytest.raises(TableError):
            iso3601.inside_diameter_tolerance_mm(bad)


ISO_3601_BANDS = ((2.25, 0.08), (3.15, 0.09), (4.50, 0.10), (6.30, 0.13), (8.40, 0.15))
"""Class B, d2 up to [mm]: R.T. Dygert, "Tolerances for Metric O-Rings"."""
DIN_3771_BANDS = ((1.80, 0.08), (2.65, 0.09), (3.55, 0.10), (5.30, 0.13), (7.00, 0.15))
"""DIN 3771-1:1984, d2 up to [mm], as printed by sealware.de."""


def test_section_tolerance_is_the_wider_of_two_standards() -> None:
    for hundredth in range(100, 841):
        section = hundredth / 100
        printed = [
            next((tolerance for upto, tolerance in bands if section <= upto), 0.0)
            for bands in (ISO_3601_BANDS, DIN_3771_BANDS)
        ]
        assert iso3601.section_tolerance_mm(section) == max(printed), section
    for bad in (0.0, 8.41, float("nan")):
        with pytest.raises(TableError):
            iso3601.section_tolerance_mm(bad)


def test_chart_squeezes_follow_from_their_depths() -> None:
    """Both inch charts, row by row: squeeze_min = (cs - tol) - depth_max, and in per cent.

    In inches exactly. In per cent chart b (Apple Rubber) to half its last digit; chart a (O-Ring
    Store) rounds some outwards, 0.74 at most.
    """
    wrong = []
    for row in rows("glands_inch"):
        section, tol = float(row["cs_in"]), float(row["cs_tol_in"])
        deep, shallow = float(row["gland_depth_max_in"]), float(row["gland_depth_min_in"])
        least, most = (section - tol) - deep, (section + tol) - shallow
        assert least == pytest.approx(float(row["squeeze_min_in"]), abs=1e-9), row
        assert most == pytest.approx(float(row["squeeze_max_in"]), abs=1e-9), row
        for value, key, base in (
            (least, "squeeze_min_pct", section - tol),
            (most, "squeeze_max_pct", section + tol),
        ):
            off = 0.5 if row["table"].startswith("chart_b") else 0.75
            if abs(100 * value / base - float(row[key])) > off:
                wrong.append((row["table"], row["cs_in"], key))
    assert not wrong


def test_gland_lookup_never_takes_the_nearest() -> None:
    assert glands.gland(3.53, chart="b").depth_most_mm == pytest.approx(0.116 * INCH)
    assert glands.gland(3.0, chart="metric", kind="face").width_least_mm == 4.0
    with pytest.raises(TableError, match="sections"):
        glands.gland(3.0, chart="a")


def test_extrusion_gap_shrinks_with_pressure_and_grows_with_hardness_and_section() -> None:
    pressures = (0.1, 3.4, 5.0, 8.0, 12.0, 20.0)
    soft, hard = (
        [extrusion.gap_limit(p, s, section_mm=6.99).diametral_mm for p in pressures]
        for s in (70, 90)
    )
    assert soft == sorted(soft, reverse=True)
    assert hard == sorted(hard, reverse=True)
    assert all(h >= s for s, h in zip(soft, hard, strict=True))
    sections = (1.78, 2.0, 2.62, 3.0, 3.53, 5.33, 6.99, 8.0)
    gaps = [extrusion.gap_limit(0.5, 70, section_mm=s).diametral_mm for s in sections]
    assert gaps == sorted(gaps)
    for pressure, shore, section in ((0.0, 70, 3.53), (21.0, 70, 3.53), (1.0, 80, 3.53),
                                     (1.0, 70, 1.5), (1.0, 70, float("nan"))):  # fmt: skip
        with pytest.raises(TableError):
            extrusion.gap_limit(pressure, shore, section_mm=section)


PSI = 0.00689475729316836
BY_HARDNESS = {
    70: {500: 0.016, 1000: 0.010, 1500: 0.006, 2000: 0.004, 3000: 0.002},
    90: {500: 0.028, 1000: 0.024, 1500: 0.020, 2000: 0.016, 3000: 0.010},
}
"""Limits of diametral clearance [in]: Seal & Design Inc., "Extrusion Limits of O-Rings"."""
BY_SECTION = {
    0.070: {500: 0.008, 1500: 0.004},
    0.103: {500: 0.009, 1500: 0.004},
    0.139: {500: 0.010, 1500: 0.006},
    0.210: {500: 0.011, 1500: 0.007},
    0.275: {500: 0.012, 1500: 0.008},
}
"""Maximum diametral gap [in], any hardness: Daemar Inc., "O-Ring Groove Design"."""


@pytest.mark.parametrize("section", BY_SECTION)
@pytest.mark.parametrize("shore", BY_HARDNESS)
def test_extrusion_takes_the_smaller_of_both_tables(shore: int, section: float) -> None:
    """At each printed pressure and just above it; by section beyond 1500 psi the last caps."""
    for psi in (1, 499.9, 500, 500.1, 1000, 1000.1, 1500, 1500.1, 2000, 2000.1, 3000):
        one = next(gap for p, gap in BY_HARDNESS[shore].items() if psi <= p)
        two = next((gap for p, gap in BY_SECTION[section].items() if psi <= p),
                   BY_SECTION[section][1500])  # fmt: skip
        found = extrusion.gap_limit(psi * PSI, shore, section_mm=section * INCH)
        assert found.diametral_mm == pytest.approx(min(one, two) * INCH)
        assert ("Daemar" if two < one else "Seal & Design") in found.source or one == two


def test_silicone_takes_half_and_heat_counts_as_twice_the_pressure() -> None:
    """ORD 5700 (2007) section 4.0: half the clearance for silicone. Heat: common practice."""
    plain = extrusion.gap_limit(2.0, 70, section_mm=3.53)
    soft = extrusion.gap_limit(2.0, 70, section_mm=3.53, elastomer="vmq")
    hot = extrusion.gap_limit(2.0, 70, section_mm=3.53, celsius=71.1)
    both = extrusion.gap_limit(2.0, 70, section_mm=3.53, elastomer="VMQ", celsius=150.0)
    assert plain.diametral_mm == pytest.approx(0.010 * INCH)
    assert soft.diametral_mm == pytest.approx(0.005 * INCH)
    assert hot.diametral_mm == pytest.approx(0.006 * INCH)  # 290 psi read at 580
    assert both.diametral_mm == pytest.approx(0.003 * INCH)
    assert "silicone" in soft.source
    assert "no source" in hot.source
    assert extrusion.gap_limit(2.0, 70, section_mm=3.53, celsius=71.0) == plain
    with pytest.raises(TableError):
        extrusion.gap_limit(10.5, 70, section_mm=3.53, celsius=100.0)


def test_memory_is_called_memory() -> None:
    assert materials.elastomer("hnbr").provenance == "memory"
    assert materials.elastomer("FKM").provenance == "transcribed"
    assert materials.material("PA12").provenance == "memory"
    assert glands.gland(2.62, chart="a").provenance == "transcribed"
    assert glands.gland(2.62, chart="b").provenance == "transcribed"


def test_materials_and_friction() -> None:
    aluminium = materials.material("6061-T6")
    assert (aluminium.modulus_mpa, aluminium.poisson) == (68900.0, 0.33)
    assert materials.material("PETG").modulus_mpa == 2000.0, "a range is no number"
    with pytest.raises(TableError, match="no material"):
        materials.material("unobtainium")
    with pytest.raises(TableError, match="no elastomer"):
        materials.elastomer("cheese")
    assert friction.friction("steel", "steel", condition="greased").most == 0.35
    with pytest.raises(TableError):
        friction.friction("steel", "cheese", condition="dry")


def test_processes() -> None:
    for name in processes.socket_processes():
        gaps = processes.socket_clearances(name)
        limits = processes.socket_tolerances(name)
        assert gaps.axial_mm > limits.length_mm
        assert gaps.body_diametral_mm / 2 > limits.diameter_mm / 2
    for name in processes.plug_processes():
        assert processes.plug_spread(name).length_mm > 0
    with pytest.raises(TableError):
        processes.socket_clearances("knitted")


@pytest.mark.parametrize(
    ("name", "low", "high", "expansion"),
    [("NBR", -30, 121, 1.12e-4), ("HNBR", -30, 150, 1.2e-4), ("FKM", -20, 200, 1.6e-4),
     ("EPDM", -50, 149, 1.6e-4), ("VMQ", -59, 200, 1.85e-4)],
)  # fmt: skip
def test_elastomers_as_printed(name: str, low: float, high: float, expansion: float) -> None:
    """Ranges: the narrower of FTX SPS, Ficient Design, nurkaucuk.az.

    Expansion: Problem Solving Products Inc.; HNBR's from memory.
    """
    one = materials.elastomer(name)
    assert (one.lowest_c, one.highest_c, one.expansion_per_k) == (low, high, expansion)


def test_metric_glands_as_printed() -> None:
    """Section 3.0: radial 2.3 +0.05 by 4.0 +0.25; face 2.3 +0.1 by 4.0 +0.2, r 0.6 +-0.2."""
    radial, face = (glands.gland(3.0, kind=k, chart="metric") for k in ("radial", "face"))
    assert (radial.depth_most_mm, radial.width_most_mm) == pytest.approx((2.35, 4.25))
    assert (face.depth_most_mm, face.width_most_mm) == pytest.approx((2.4, 4.2))
    assert face.radius_most_mm == pytest.approx(0.8)
    assert glands.gland(6.99, kind="face", chart="metric").depth_least_mm == 5.8


def test_where_two_lists_of_metric_glands_differ_both_are_in_the_range() -> None:
    """Section 3.50: 2.65 (orings.co.uk) and 2.70 (Seal Supply) + 0.05; 2.60 in one list only."""
    found = glands.gland(3.50, chart="metric")
    assert (found.depth_least_mm, found.depth_most_mm) == pytest.approx((2.65, 2.75))
    assert glands.gland(2.60, chart="metric").depth_least_mm == 2.0
    with pytest.raises(TableError):
        glands.gland(3.70, kind="face", chart="metric")
    for section in (1.60, 1.80, 1.90, 2.40, 2.65, 3.10, 3.55, 3.60, 4.50, 5.30, 5.70, 7.00):
        assert glands.gland(section, chart="metric").section_mm == section


def test_small_ring_tolerances_grow() -> None:
    """SAE AS568, -004 to -050: the inside diameter's tolerance never falls."""
    sizes = [s for s in as568.sizes() if 4 <= int(s.designation[1:]) <= 50]
    tols = [round(s.inside_diameter_tol_mm / INCH, 4) for s in sizes]
    assert tols == sorted(tols)
    assert (tols[0], tols[-1]) == (0.005, 0.037)


def test_the_special_case_says_it_is_from_memory() -> None:
    assert "memory" in iso286.limits(300, "M6").source
    assert "memory" not in iso286.limits(300, "M7").source


@pytest.mark.parametrize("text", ["22.4x2.65", "22,4 x 2,65", "22.4 mm X 2.65 mm", "22.4*2.65"])
def test_a_metric_ring_by_its_two_sizes(text: str) -> None:
    """ISO 3601-1 class B: 0.009 x 22.4^0.95 + 0.11 = 0.2826; section by DIN 3771-1 0.09."""
    size = iso3601.size_mm(text)
    assert size == (22.4, 2.65)
    ring = iso3601.size(*size)
    assert ring.inside_diameter_tol_mm == pytest.approx(0.2826, abs=5e-5)
    assert ring.section_tol_mm == 0.09
    for bad in ("22.4", "x2.65", "-118", "22.4x", "22.4x2.65x1", "a x b"):
        assert iso3601.size_mm(bad) is None
