"""Tables that decide, against a second copy; and a wrong digit anywhere in them is noticed."""

from __future__ import annotations

import itertools
import random
import re
from collections.abc import Callable, Sequence

import pytest
import second_copy
from second_copy import Line

from bayonet.standards.tables import Row, printed

MM_PER_INCH = 25.4
_ANGLE = re.compile(r"(?:(\d+)°)?(?:(\d+)')?")


def _number(text: str) -> float | None:
    return float(text) if text else None


def _grades(rows: Sequence[Row]) -> set[Line]:
    return {
        (float(r["size_over_mm"]), float(r["size_upto_mm"]), r["grade"], float(r["tolerance_um"]))
        for r in rows
    }


def _deviations(rows: Sequence[Row]) -> set[Line]:
    found: set[Line] = set()
    for r in rows:
        value = r["value_um"] if "=" in r["deviation"] else float(r["value_um"])
        step = float(r["size_over_mm"]), float(r["size_upto_mm"])
        has_delta = r["delta_rule"].startswith("yes")
        found.add((r["letter"], r["grades"], *step, r["deviation"], value, has_delta))
    return found


def _deltas(rows: Sequence[Row]) -> set[Line]:
    keys = ("size_over_mm", "size_upto_mm", *(f"IT{n}" for n in range(3, 9)))
    return {tuple(float(r[key]) for key in keys) for r in rows}


def _general(rows: Sequence[Row]) -> set[Line]:
    found: set[Line] = set()
    for r in rows:
        text = r["tolerance_pm"]
        match = _ANGLE.fullmatch(text)
        if match and any(match.groups()):
            degrees, minutes = (int(part or 0) for part in match.groups())
            value = degrees + minutes / 60.0
        else:
            value = float(text)
        found.add((r["table"], r["class"], float(r["over_mm"]), float(r["upto_mm"]), value))
    return found


def _inch_glands(rows: Sequence[Row]) -> set[Line]:
    names = [key for key in rows[0] if key.endswith(("_in", "_pct"))]
    return {(r["table"], *(_number(r[key]) for key in names)) for r in rows}


def _metric_glands(rows: Sequence[Row]) -> set[Line]:
    names = [key for key in rows[0] if key.endswith("_mm")]
    return {tuple(_number(r[key]) for key in names) for r in rows}


def _gaps(rows: Sequence[Row]) -> set[Line]:
    keys = ("shore_a", "section_in", "over_psi", "upto_psi", "max_gap_in")
    return {tuple(_number(r[key]) for key in keys) for r in rows}


def _against(read: Callable[[Sequence[Row]], set[Line]], copy: set[Line]) -> Callable[..., bool]:
    def agrees(rows: Sequence[Row]) -> bool:
        return len(rows) == len(copy) and read(rows) == copy

    return agrees


STEPS_IN = (0.031, 0.0625, 0.125, 0.25, 0.5, 1.0)
ODD_STEPS_IN = {"-282": 0.971, "-385": 0.980, "-392": 0.985, "-461": 0.480, "-472": 0.985}
"""Where a series changes from sizes named by the inside to sizes named by the outside."""


def _as568(rows: Sequence[Row]) -> bool:
    """SAE prints every size twice, in inches and in mm: each is the other, rounded.

    And: numbers in a series follow each other, one section a series, steps of inside diameters
    of 1/32, 1/16, 1/8, 1/4, 1/2 or 1 in, but for five odd ones, within their rounding.
    """
    for r in rows:
        for key in ("id", "id_tol", "cs", "cs_tol"):
            inch, mm = float(r[f"{key}_in"]), float(r[f"{key}_mm"])
            if not abs(mm - inch * MM_PER_INCH) < 0.00501:
                return False
    numbers = [int(r["dash"]) for r in rows]
    if len(set(numbers)) != len(rows) or sorted(numbers, reverse=True) != numbers:
        return False
    for one, two in itertools.pairwise(rows):
        if int(one["dash"]) // 100 != int(two["dash"]) // 100 or int(two["dash"]) > -7:
            continue
        step = float(two["id_in"]) - float(one["id_in"])
        gap = int(one["dash"]) - int(two["dash"])
        usual = (ODD_STEPS_IN[two["dash"]],) if two["dash"] in ODD_STEPS_IN else STEPS_IN
        if gap == 1 and not any(abs(step - s) <= 0.0025 for s in usual):
            return False
    return True


TABLES: dict[str, tuple[Callable[[Sequence[Row]], bool], str]] = {
    "as568": (_as568, r"dash|.*_(in|mm)"),
    "iso286_grades": (_against(_grades, second_copy.grades()), r"size_.*|tolerance_um"),
    "iso286_deviations": (_against(_deviations, second_copy.deviations()), r"size_.*|value_um"),
    "iso286_delta": (_against(_deltas, second_copy.deltas()), r"size_.*|IT\d"),
    "iso2768": (_against(_general, second_copy.general()), r"over_mm|upto_mm|tolerance_pm"),
    "glands_inch": (_against(_inch_glands, second_copy.inch_glands()), r".*_(in|pct)"),
    "glands_metric": (_against(_metric_glands, second_copy.metric_glands()), r".*_mm"),
    "extrusion": (_against(_gaps, second_copy.gaps()), r"shore_a|.*_in|.*_psi"),
}


@pytest.mark.parametrize("name", TABLES)
def test_both_copies_agree(name: str) -> None:
    agrees, _ = TABLES[name]
    assert agrees(printed(name))


def _with_a_wrong_digit(rows: Sequence[Row], columns: str, chance: random.Random) -> list[Row]:
    """One digit of one deciding cell changed to another."""
    places = [
        (n, key, at)
        for n, row in enumerate(rows)
        for key, text in row.items()
        if re.fullmatch(columns, key)
        for at, sign in enumerate(text)
        if sign.isdigit()
    ]
    n, key, at = chance.choice(places)
    text = rows[n][key]
    other = chance.choice([digit for digit in "0123456789" if digit != text[at]])
    wrong = list(rows)
    wrong[n] = {**rows[n], key: text[:at] + other + text[at + 1 :]}
    return wrong


@pytest.mark.parametrize("name", TABLES)
def test_any_wrong_digit_is_noticed(name: str) -> None:
    """Twenty random ones in each table."""
    agrees, columns = TABLES[name]
    chance = random.Random(name)
    missed = []
    for _ in range(20):
        wrong = _with_a_wrong_digit(printed(name), columns, chance)
        if agrees(wrong):
            missed += [
                (old, new) for old, new in zip(printed(name), wrong, strict=True) if old != new
            ]
    assert not missed


def test_delta_is_the_step_between_grades() -> None:
    """Delta = IT(n) - IT(n-1) from IT3 to IT8 (ISO 286-1), to half a micrometre."""
    um = {(line[0], line[1], line[2]): line[3] for line in second_copy.grades()}
    for over, upto, *deltas in second_copy.deltas():
        assert isinstance(over, float | int)
        assert isinstance(upto, float | int)
        main = next(
            (low, high)
            for low, high in itertools.pairwise(second_copy.MAIN)
            if low <= over and upto <= high
        )
        for grade, delta in zip(range(3, 9), deltas, strict=True):
            if over == 0:
                assert delta == 0.0
                continue
            step = um[(*main, f"IT{grade}")] - um[(*main, f"IT{grade - 1}")]  # type: ignore[operator]
            assert delta == pytest.approx(step, abs=0.5), (over, grade)
