"""ISO 286-1: limits of holes and shafts to 500 mm, by grade and deviation letter."""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import cache

from bayonet.errors import TableError
from bayonet.standards.tables import Row, rows

SOURCE = "ISO 286-1:2010"
LARGEST_MM = 500.0

_CLASS = re.compile(r"([A-Za-z]{1,2})(01|\d{1,2})")
_MICROMETRE = 1e-3


@dataclass(frozen=True, kw_only=True)
class Limits:
    """Deviations of a tolerance class at a size [mm]."""

    tolerance_class: str
    size_mm: float
    lower_mm: float
    upper_mm: float
    source: str = SOURCE

    @property
    def least_mm(self) -> float:
        """Smallest size allowed [mm]."""
        return self.size_mm + self.lower_mm

    @property
    def most_mm(self) -> float:
        """Greatest size allowed [mm]."""
        return self.size_mm + self.upper_mm


def limits(size_mm: float, tolerance_class: str) -> Limits:
    """Limits of a class at a size.

    Parameters
    ----------
    size_mm : float
        Nominal size [mm], ``0 < size <= 500``.
    tolerance_class : str
        Letter and grade: ``"H7"`` for holes, ``"g6"`` for shafts.

    Returns
    -------
    Limits

    Raises
    ------
    TableError
        If size, letter or grade is not in the tables.

    References
    ----------
    .. [1] ISO 286-1:2010, tables 1 to 5.

    Examples
    --------
    50 H7 is 0 / +25 um and 50 g6 is -25 / -9 um (ISO 286-2).

    >>> hole, shaft = limits(50.0, "H7"), limits(50.0, "g6")
    >>> [round(1000 * v) for v in (hole.lower_mm, hole.upper_mm, shaft.lower_mm, shaft.upper_mm)]
    [0, 25, -25, -9]
    """
    match = _CLASS.fullmatch(tolerance_class)
    if match is None:
        raise TableError(f"{tolerance_class!r} is no tolerance class; write one like H7 or g6")
    letter, grade = match.groups()
    width = grade_um(size_mm, grade)
    edge, value = _deviation(size_mm, letter, grade)
    lower, upper = (value, value + width) if edge in ("EI", "ei") else (value - width, value)
    if letter in ("js", "JS"):
        lower, upper = -width / 2.0, width / 2.0
    return Limits(
        tolerance_class=tolerance_class,
        size_mm=size_mm,
        lower_mm=lower * _MICROMETRE,
        upper_mm=upper * _MICROMETRE,
        source=f"{SOURCE}, special case from memory"
        if _is_special(size_mm, letter, grade)
        else SOURCE,
    )


def grade_um(size_mm: float, grade: str) -> float:
    """Width of a grade (``"7"`` for IT7) at a size [um]; raises as `limits` does.

    References
    ----------
    .. [1] ISO 286-1:2010, table 1.

    Examples
    --------
    >>> grade_um(25.0, "7"), grade_um(30.0, "7"), grade_um(30.01, "7")
    (21.0, 21.0, 25.0)
    """
    for row in rows("iso286_grades"):
        if row["grade"] == f"IT{grade}" and _holds(row, size_mm):
            return float(row["tolerance_um"])
    raise TableError(f"ISO 286-1 here covers IT01 to IT16 and sizes over 0 to {LARGEST_MM:g} mm")


def _holds(row: Row, size_mm: float) -> bool:
    return float(row["size_over_mm"]) < size_mm <= float(row["size_upto_mm"])


def _deviation(size_mm: float, letter: str, grade: str) -> tuple[str, float]:
    """The fundamental deviation: which edge it is (es, ei, ES, EI), and its value [um]."""
    known = [row for row in _of_letter(letter) if _holds(row, size_mm)]
    if not known:
        letters = ", ".join(dict.fromkeys(row["letter"] for row in rows("iso286_deviations")))
        raise TableError(f"no deviation {letter!r} at {size_mm:g} mm; the table has {letters}")
    for row in known:
        if _covers(row["grades"], int(grade)):
            if row["value_um"] == "IT/2":
                return "ei", 0.0
            delta = _delta(size_mm, grade) if row["delta_rule"].startswith("yes") else 0.0
            return row["deviation"], _special(
                size_mm, letter, grade, float(row["value_um"]) + delta
            )
    raise TableError(f"{letter}{grade} is not in the table: {letter} has other grades")


def _special(size_mm: float, letter: str, grade: str, value_um: float) -> float:
    return -9.0 if _is_special(size_mm, letter, grade) else value_um


def _is_special(size_mm: float, letter: str, grade: str) -> bool:
    """The one printed exception to the delta rule: M6 over 250 to 315 mm is -9 (from memory)."""
    return letter == "M" and grade == "6" and 250.0 < size_mm <= 315.0


@cache
def _of_letter(letter: str) -> tuple[Row, ...]:
    return tuple(row for row in rows("iso286_deviations") if row["letter"] == letter)


def _covers(grades: str, grade: int) -> bool:
    """Whether a printed range of grades ("all", "4-7", "<=3 and >=8") holds a grade."""
    if grades == "all":
        return True
    for part in grades.split(" and "):
        if part.startswith("<="):
            good = grade <= int(part[2:])
        elif part.startswith(">="):
            good = grade >= int(part[2:])
        else:
            low, _, high = part.partition("-")
            good = int(low) <= grade <= int(high or low)
        if good:
            return True
    return False


def _delta(size_mm: float, grade: str) -> float:
    """Delta of the rule for K, M, N to IT8 and P to ZC to IT7 [um]."""
    for row in rows("iso286_delta"):
        if _holds(row, size_mm):
            return float(row.get(f"IT{grade}", "0") or 0.0)
    raise TableError(f"no delta at {size_mm:g} mm")
