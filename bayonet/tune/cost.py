"""What a tolerance costs by its grade: the table of the package, or the user's own."""

from __future__ import annotations

import csv
import itertools
import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from pathlib import Path

from bayonet import inputs
from bayonet.errors import DesignError, Problem
from bayonet.standards import rows
from bayonet.tolerance.advice import GRADES, STEP, Tolerance

SOURCE = "relative cost by grade; common practice, no source (standards/data/grade_cost.csv)"
_LARGEST_BYTES = 100_000
_COLUMNS = ("grade", "machined", "cast", "printed")


@dataclass(frozen=True, kw_only=True)
class Choice:
    """One step of a tolerance: its name, half-width [unit] and relative cost."""

    label: str
    half_width: float
    cost: float


@dataclass(frozen=True, kw_only=True)
class CostTable:
    """Relative cost of one toleranced dimension by grade, for one process; finest first."""

    costs: Mapping[str, float]
    source: str

    def choices(self, tolerance: Tolerance) -> tuple[Choice, ...]:
        """Steps a process can hold for a tolerance, finest first.

        Where grades do not apply the steps are 1.6 apart, as grades are, and cost as the grades
        about the middle of the table do.

        Parameters
        ----------
        tolerance : Tolerance

        Returns
        -------
        tuple of Choice
        """
        if tolerance.mm_per_unit:
            return tuple(
                Choice(label=grade, half_width=half, cost=self.costs[grade])
                for grade, half in tolerance.steps()
                if grade in self.costs and math.isfinite(half)
            )
        grades = list(self.costs)
        middle = len(grades) // 2
        return tuple(
            Choice(
                label=f"±{tolerance.half_width * STEP ** (n - middle):.3g}",
                half_width=round(tolerance.half_width * STEP ** (n - middle), 4),
                cost=self.costs[grade],
            )
            for n, grade in enumerate(grades)
            if tolerance.half_width > 0.0
        )


def usual(process: str) -> CostTable:
    """The package's table for a process.

    Examples
    --------
    >>> list(usual("printed").costs)[0]
    'IT10'
    """
    return CostTable(costs=_column(rows("grade_cost"), process), source=SOURCE)


def read(path: Path, process: str) -> CostTable:
    """The user's table: a CSV file with the columns grade, machined, cast, printed.

    Parameters
    ----------
    path : Path
    process : str

    Returns
    -------
    CostTable

    Raises
    ------
    DesignError
        If the file cannot be read, or holds a grade or cost that makes no sense; all at once.
    """
    try:
        data = inputs.content(path, most_bytes=_LARGEST_BYTES, what="a table of costs")
        found = list(csv.DictReader(data.decode("utf-8-sig").splitlines(), strict=True))
    except inputs.UnreadableError as error:
        raise _error(path, [(None, "(file)", "", error.rule)]) from error
    except (UnicodeDecodeError, csv.Error) as error:
        raise _error(path, [(None, "(file)", "", f"cannot be read: {error}")]) from error
    problems: list[tuple[int | None, str, str, str]] = []
    if not found or set(_COLUMNS[:1]) - set(found[0]) or process not in found[0]:
        problems.append((1, "(head)", "", f"needs the columns grade and {process}"))
        raise _error(path, problems)
    for number, row in enumerate(found, 2):
        if row["grade"] not in {f"IT{g}" for g in GRADES}:
            rule = f"must be one of IT{GRADES[0]} to IT{GRADES[-1]}"
            problems.append((number, "grade", row["grade"] or "", rule))
        if row["grade"] in {other["grade"] for other in found[: number - 2]}:
            problems.append((number, "grade", row["grade"] or "", "is given twice"))
        text = (row[process] or "").strip()
        if text and not _is_cost(text):
            problems.append((number, process, text, "must be a number of more than 0, or empty"))
    costs = {} if problems else _column(found, process)
    if not problems and len(costs) < 2:
        problems.append((None, process, "", "needs at least two grades with a cost"))
    falling = list(costs.values())
    if not problems and any(b > a for a, b in itertools.pairwise(falling)):
        problems.append((None, process, "", "a coarser grade must not cost more"))
    if problems:
        raise _error(path, problems)
    return CostTable(costs=costs, source=str(path))


def _column(found: Iterable[Mapping[str, str]], process: str) -> dict[str, float]:
    held = {row["grade"]: float(row[process]) for row in found if (row[process] or "").strip()}
    return {f"IT{g}": held[f"IT{g}"] for g in GRADES if f"IT{g}" in held}


def _is_cost(text: str) -> bool:
    try:
        return 0.0 < float(text) < math.inf
    except ValueError:
        return False


def _error(path: Path, problems: list[tuple[int | None, str, str, str]]) -> DesignError:
    return DesignError(
        [
            Problem(file=str(path), line=line, field=field, value=value, rule=rule)
            for line, field, value, rule in problems
        ]
    )
