"""Numbers with units. Published: 1 in = 25.4 mm exactly (international yard and pound, 1959)."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bayonet.designfile.measured import Measured, read
from bayonet.errors import UnitError
from bayonet.units import parse


@pytest.mark.parametrize(
    ("text", "millimetres"),
    [
        ("0.070 in", 1.778),  # AS568 -004 to -050: section 0.070 in = 1.78 mm
        ("0.103in", 2.6162),
        ('1"', 25.4),
        ("3", 3.0),
        ("2.5 cm", 25.0),
        ("1e-3 m", 1.0),
        ("12 thou", 0.3048),
        ("-4 mm", -4.0),
        (".5 mm", 0.5),
        ("1/32 in", 0.79375),
        ("1 1/4 in", 31.75),
        ('1-1/4"', 31.75),
        ("-3/8in", -9.525),
    ],
)
def test_lengths(text: str, millimetres: float) -> None:
    assert parse(text, kind="length") == millimetres


@pytest.mark.parametrize(
    ("text", "degrees"), [("90 deg", 90.0), ("0.25 rev", 90.0), ("1 rad", 180 / math.pi), ("7", 7)]
)
def test_angles(text: str, degrees: float) -> None:
    assert parse(text, kind="angle") == pytest.approx(degrees, rel=1e-14)


@pytest.mark.parametrize("text", ["12,5 mm", "1,5", ",5 in"])
def test_a_decimal_comma_is_refused_with_a_hint(text: str) -> None:
    with pytest.raises(UnitError, match="decimal point"):
        parse(text, kind="length")


@pytest.mark.parametrize(
    "text",
    [
        "",
        "mm",
        "3 furlong",
        "3 deg",
        "1 2 mm",
        "1/0 in",
        "1/2/3 in",
        "1/ in",
        "1 1.5/2 in",
        "nan",
        "inf mm",
        "0x1",
    ],
)
def test_nonsense_is_refused(text: str) -> None:
    with pytest.raises(UnitError):
        parse(text, kind="length")


def test_a_length_is_no_angle() -> None:
    with pytest.raises(UnitError, match="unknown angle unit"):
        parse("3 mm", kind="angle")


@given(st.floats(-1e4, 1e4))
def test_a_bare_number_comes_back_as_it_is(value: float) -> None:
    assert read(value, kind="length") == Measured(value=value)


def test_measured_values_are_stored() -> None:
    raw = {"readings": ["30.02 mm", 30.04, "3.003 cm"], "resolution": "10 um", "u": 0.004}
    measured = read(raw, kind="length")
    assert measured.value == pytest.approx(30.03, abs=1e-12)
    assert measured.readings == (30.02, 30.04, 30.03)
    assert measured.resolution == pytest.approx(0.01)
    assert measured.u == 0.004


@pytest.mark.parametrize(
    ("raw", "rule"),
    [
        ({}, "just one of value, readings or samples"),
        ({"value": 1, "readings": [1]}, "just one of value, readings or samples"),
        ({"readings": [1], "samples": [1, 2]}, "just one of value, readings or samples"),
        ({"samples": [1]}, "at least two"),
        ({"value": 1, "tol": 0.1, "fit": "h9"}, "at most one of tol"),
        ({"value": 1, "fit": "h99"}, "ISO 286-1 here covers"),
        ({"value": 0.2, "general": "m"}, "ISO 2768-1:1989 has no"),
        ({"value": 1, "shape": "square"}, "shape must be one of"),
        ({"samples": [1, 2], "u": 0.1}, "leave u out"),
        ({"readings": []}, "at least one"),
        ({"value": 1, "sigma": 2}, "unknown key"),
        ({"value": 1, "u": -0.1}, "negative"),
        ({"value": True}, "must be a number"),
        ([1, 2], "must be a number"),
        (None, "must be a number"),
        (float("nan"), "finite"),
        (float("inf"), "finite"),
    ],
)
def test_bad_measured_values_name_the_rule(raw: object, rule: str) -> None:
    with pytest.raises(UnitError, match=rule):
        read(raw, kind="length")


def test_zone_is_limits_or_spread_plus_twice_u() -> None:
    assert Measured(value=5.0).half_zone(0.06) == 0.06
    assert Measured(value=5.0, u=0.015).half_zone(0.06) == pytest.approx(0.09)
    assert Measured(value=5.0, u=0.015, tol=0.02).half_zone(0.06) == pytest.approx(0.05)
