"""ISO 286-1 and ISO 2768-1 against printed limits, the traps included."""

from __future__ import annotations

import itertools

import pytest

from bayonet.errors import TableError
from bayonet.standards import iso286, iso2768
from bayonet.standards.tables import rows


@pytest.mark.parametrize(
    ("size", "tolerance_class", "lower_um", "upper_um", "source"),
    [
        (50, "H7", 0, 25, "ISO 286-2"),
        (50, "g6", -25, -9, "ISO 286-2"),
        (25, "H7", 0, 21, "ISO 286-2"),
        (25, "g6", -20, -7, "ISO 286-2"),
        (29, "h7", -21, 0, "ISO 286-2"),
        (25, "P7", -35, -14, "ISO 286-2; delta rule"),
        (10, "H7", 0, 15, "ISO 286-2"),
        (10, "h6", -9, 0, "ISO 286-2"),
        (25, "p6", 22, 35, "fit H7/p6 printed as -35 to -1 um"),
        (34, "H11", 0, 160, "Shigley 9th/10th ed., example 7-7"),
        (34, "c11", -280, -120, "Shigley 9th/10th ed., example 7-7"),
        (25, "K6", -11, 2, "ISO 286-2, from memory; delta rule"),
        (25, "K7", -15, 6, "ISO 286-2, from memory; delta rule"),
        (25, "N7", -28, -7, "ISO 286-2, from memory; delta rule"),
        (25, "N8", -36, -3, "ISO 286-2, from memory; delta rule"),
        (25, "N9", -52, 0, "ISO 286-2, from memory"),
        (25, "M7", -21, 0, "ISO 286-2, from memory; delta rule"),
        (300, "M6", -41, -9, "ISO 286-1, from memory: the printed exception"),
        (25, "js9", -26, 26, "ISO 286-2, from memory"),
        (25, "k6", 2, 15, "ISO 286-2, from memory"),
        (25, "k8", 0, 33, "ISO 286-1: ei = 0 above grade 7"),
        (25, "f7", -41, -20, "ISO 286-2, from memory"),
        (3, "H8", 0, 14, "band edge: 3 belongs to the band up to 3"),
        (3.001, "H8", 0, 18, "band edge"),
        (30, "H8", 0, 33, "band edge: 30 belongs to 18 to 30"),
        (500, "H7", 0, 63, "ISO 286-1, last band"),
    ],
)
def test_printed_limits(
    size: float, tolerance_class: str, lower_um: float, upper_um: float, source: str
) -> None:
    assert source
    found = iso286.limits(size, tolerance_class)
    assert 1000 * found.lower_mm == pytest.approx(lower_um, abs=1e-9)
    assert 1000 * found.upper_mm == pytest.approx(upper_um, abs=1e-9)


def test_fit_25_h7_g6() -> None:
    """Clearance 7 to 41 um, printed in a library's documentation (worked_examples)."""
    hole, shaft = iso286.limits(25, "H7"), iso286.limits(25, "g6")
    assert 1000 * (hole.least_mm - shaft.most_mm) == pytest.approx(7)
    assert 1000 * (hole.most_mm - shaft.least_mm) == pytest.approx(41)


@pytest.mark.parametrize(
    ("size", "tolerance_class"),
    [(0, "H7"), (-1, "H7"), (500.1, "H7"), (50, "H17"), (50, "Q7"), (50, "7H"), (50, ""),
     (50, "j9"), (float("nan"), "H7")],
)  # fmt: skip
def test_nothing_outside_the_tables(size: float, tolerance_class: str) -> None:
    with pytest.raises(TableError):
        iso286.limits(size, tolerance_class)


def test_grades_grow_with_size_and_number_and_bands_join() -> None:
    table: dict[str, list[tuple[float, float, float]]] = {}
    for row in rows("iso286_grades"):
        band = (float(row["size_over_mm"]), float(row["size_upto_mm"]))
        table.setdefault(row["grade"], []).append((*band, float(row["tolerance_um"])))
    for bands in table.values():
        for (_, upto, narrow), (over, _, wide) in itertools.pairwise(bands):
            assert upto == over
            assert wide >= narrow
    order = ["IT01", "IT0", *(f"IT{n}" for n in range(1, 17))]
    for finer, coarser in itertools.pairwise(order):
        assert all(a[2] < b[2] for a, b in zip(table[finer], table[coarser], strict=True))


def test_grades_follow_the_preferred_series() -> None:
    """From IT6 on, five grades further is ten times wider (ISO 286-1), but for rounding."""
    for row in rows("iso286_grades"):
        n = int(row["grade"][2:])
        if 6 <= n <= 11 and row["grade"] != "IT01":
            size = (float(row["size_over_mm"]) + float(row["size_upto_mm"])) / 2
            wide = iso286.grade_um(size, str(n + 5))
            assert wide == pytest.approx(10 * float(row["tolerance_um"]), rel=0.07)


@pytest.mark.parametrize("letter", ["c", "d", "e", "f", "g", "h"])
def test_holes_mirror_shafts(letter: str) -> None:
    """EI = -es for C to H (ISO 286-1, general rule)."""
    for size in (2, 10, 25, 47, 90, 150, 300, 470):
        hole, shaft = (iso286.limits(size, f"{x}8") for x in (letter.upper(), letter))
        assert hole.lower_mm == pytest.approx(-shaft.upper_mm)


def test_general_tolerances() -> None:
    """ISO 2768-1 table 1: 6 to 30 m is 0.2; 30 to 120 c is 0.8; table 3: to 10 mm m is 1 deg."""
    assert iso2768.tolerance(6.001, "m") == 0.2
    assert iso2768.tolerance(6.0, "m") == 0.1
    assert iso2768.tolerance(120.0, "c") == 0.8
    assert iso2768.tolerance(0.5, "f") == 0.05
    angular = "angular (shorter side)"
    assert iso2768.tolerance(10.0, "m", kind=angular) == 1.0
    assert iso2768.tolerance(10.1, "m", kind=angular) == pytest.approx(0.5)
    assert iso2768.tolerance(900.0, "f", kind=angular) == pytest.approx(5 / 60)
    assert iso2768.tolerance(900.0, "m", kind="external radius/chamfer") == 1.0
    for bad in ((0.4, "m"), (5000.0, "m"), (1.0, "v"), (10.0, "x")):
        with pytest.raises(TableError):
            iso2768.tolerance(*bad)
