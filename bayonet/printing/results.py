"""Results of printed pieces, as a person writes them down: measured sizes and how it felt."""

from __future__ import annotations

import csv
import math
import re
from dataclasses import dataclass
from pathlib import Path
from typing import Literal, get_args

from bayonet import inputs
from bayonet.errors import DesignError, Problem, UnitError
from bayonet.printing.compensation import Kind
from bayonet.units import parse

Felt = Literal["will not turn", "tight", "snug", "free", "loose"]
FELT: tuple[Felt, ...] = get_args(Felt)
"""How a plug turns in a piece, from the least gap to the largest."""

KINDS: tuple[Kind, ...] = get_args(Kind)
COLUMNS = ("kind", "nominal", "measured", "u", "step", "felt", "torque", "note")
USUAL_U_MM = 0.02
"""Standard uncertainty of a size where none is given: callipers; common practice, no source."""

LARGEST_BYTES = 1_000_000
MOST_ROWS = 2_000
"""Rows a person may write; the pairs among them are a matter of a second."""


@dataclass(frozen=True, kw_only=True)
class SizeResult:
    """A measured size: ``nominal_mm`` is what the printed file holds."""

    line: int
    kind: Kind
    nominal_mm: float
    measured_mm: float
    u_mm: float
    note: str = ""


@dataclass(frozen=True, kw_only=True)
class FeltResult:
    """How the plug turned in the piece of a step; the torque where it was taken [N m]."""

    line: int
    step_mm: float
    felt: Felt
    torque_nm: float | None
    note: str = ""


@dataclass(frozen=True, kw_only=True)
class Results:
    """All rows that carry a result."""

    sizes: tuple[SizeResult, ...]
    felt: tuple[FeltResult, ...]


def load(path: str | Path) -> Results:
    """Read a results file.

    Parameters
    ----------
    path : str or Path
        A CSV file with the columns of `COLUMNS`; lines that start with ``#`` are remarks. Rows
        of kind hole, boss or length need nominal and measured; rows of kind felt need step and
        felt. Rows not filled in (no measured, no felt) are passed over.

    Returns
    -------
    Results

    Raises
    ------
    DesignError
        With every problem found, each with its line.
    """
    file = str(path)
    try:
        data = inputs.content(path, most_bytes=LARGEST_BYTES, what="a results file")
        return loads(data.decode("utf-8-sig"), file=file)
    except inputs.UnreadableError as error:
        raise DesignError([_problem(file, None, "(file)", "", error.rule)]) from error
    except UnicodeDecodeError as error:
        raise DesignError([_problem(file, None, "(file)", "", "is not UTF-8 text")]) from error


def loads(text: str, *, file: str = "<text>") -> Results:
    r"""As `load`, from text.

    Examples
    --------
    >>> read = loads("kind,nominal,measured,step,felt\nhole,32.2,31.98,,\nfelt,,,0.1,snug\n")
    >>> read.sizes[0].measured_mm, read.felt[0].felt
    (31.98, 'snug')
    """
    reader = _Reader(file)
    rows = reader.rows_of(text)
    if rows:
        reader.read_all(rows)
    elif not reader.problems:
        reader.add(None, "(file)", "", f"is empty; the first row names columns: {_names()}")
    if reader.problems:
        raise DesignError(reader.problems)
    return Results(sizes=tuple(reader.sizes), felt=tuple(reader.felt))


def _names() -> str:
    return ", ".join(COLUMNS)


def _problem(file: str, line: int | None, field: str, value: str, rule: str) -> Problem:
    return Problem(file=file, line=line, field=field, value=value, rule=rule)


_ROW = re.compile(rf"[\r\n]\s*({'|'.join((*KINDS, 'felt'))})\s*,", re.IGNORECASE)
"""A row within a cell."""


def _short(value: str) -> str:
    """A value as an error shows it: on one line, not longer than one."""
    plain = "".join(char if char.isprintable() else " " for char in value[:_SHOWN])
    return plain if len(value) <= _SHOWN else f"{plain}..."


_SHOWN = 60


class _Reader:
    """Collects rows and problems; lives for one file."""

    def __init__(self, file: str) -> None:
        self.file = file
        self.problems: list[Problem] = []
        self.sizes: list[SizeResult] = []
        self.felt: list[FeltResult] = []

    def add(self, line: int | None, field: str, value: str, rule: str) -> None:
        self.problems.append(_problem(self.file, line, field, _short(value), rule))

    def rows_of(self, text: str) -> list[tuple[int, list[str]]]:
        """Rows with the line each begins on; cells in quotes may hold line ends."""
        lines = [
            (number, line)
            for number, line in enumerate(re.split(r"\r\n|\r|\n", text), start=1)
            if line.strip() and not line.lstrip().startswith("#")
        ]
        rows, begun = csv.reader((line + "\n" for _, line in lines), strict=True), 0
        found: list[tuple[int, list[str]]] = []
        try:
            for cells in rows:
                number = lines[begun][0]
                begun = rows.line_num
                if any(_ROW.search(cell) for cell in cells):
                    rule = "a quote opened here swallows the rows after it: close it"
                    self.add(number, "(row)", ",".join(cells), rule)
                found.append((number, cells))
                if len(found) > MOST_ROWS:
                    self.add(number, "(file)", "", f"holds more than {MOST_ROWS} rows")
                    return []
        except csv.Error as error:
            rule = f"is no row of a CSV file ({error}): a quote left open, or a cell too long"
            self.add(lines[min(begun, len(lines) - 1)][0], "(row)", "", rule)
            return []
        return found

    def read_all(self, rows: list[tuple[int, list[str]]]) -> None:
        first, names = rows[0]
        head = [name.strip().lower() for name in names]
        unknown = [name for name in head if name not in COLUMNS]
        if unknown or "kind" not in head or len(set(head)) < len(head):
            rule = f"the first row names columns, each once, of: {_names()}"
            self.add(first, "(columns)", ", ".join(unknown or head), rule)
            return
        for line, row in rows[1:]:
            if len(row) > len(head):
                self.add(line, "(row)", ",".join(row), f"has more cells than the {len(head)} names")
                continue
            cells = dict.fromkeys(COLUMNS, "")
            cells.update({name: cell.strip() for name, cell in zip(head, row, strict=False)})
            self._row(cells, line)

    def _row(self, cells: dict[str, str], line: int) -> None:
        kind = cells["kind"].lower()
        if kind == "felt":
            self._felt_row(cells, line)
        elif kind in KINDS:
            self._size_row(cells, line, next(k for k in KINDS if k == kind))
        else:
            self.add(line, "kind", cells["kind"], f"must be {', '.join(KINDS)} or felt")

    def _size_row(self, cells: dict[str, str], line: int, kind: Kind) -> None:
        if not cells["measured"]:
            return
        nominal = self._length(cells, "nominal", line, least=0.0)
        measured = self._length(cells, "measured", line, least=0.0)
        u = self._length(cells, "u", line, least=0.0) if cells["u"] else USUAL_U_MM
        if nominal is None or measured is None or u is None:
            return
        if not abs(measured - nominal) <= 0.2 * nominal:
            rule = f"lies more than a fifth from nominal ({nominal:g} mm): another size, or a slip"
            self.add(line, "measured", cells["measured"], rule)
            return
        self.sizes.append(
            SizeResult(line=line, kind=kind, nominal_mm=nominal, measured_mm=measured, u_mm=u,
                       note=cells["note"])
        )  # fmt: skip

    def _felt_row(self, cells: dict[str, str], line: int) -> None:
        if not cells["felt"]:
            return
        step = self._length(cells, "step", line)
        felt = next((word for word in FELT if word == cells["felt"].lower()), None)
        if felt is None:
            self.add(line, "felt", cells["felt"], f"must be one of: {', '.join(FELT)}")
        torque = self._torque(cells["torque"], line)
        if step is not None and felt is not None:
            self.felt.append(
                FeltResult(line=line, step_mm=step, felt=felt, torque_nm=torque, note=cells["note"])
            )

    def _length(
        self, cells: dict[str, str], name: str, line: int, *, least: float | None = None
    ) -> float | None:
        try:
            value = parse(cells[name], kind="length") if cells[name] else math.nan
        except UnitError as error:
            self.add(line, name, cells[name], str(error))
            return None
        if not math.isfinite(value):
            self.add(line, name, cells[name], "is missing")
        elif least is not None and not value > least:
            self.add(line, name, cells[name], f"must be more than {least:g} mm")
        else:
            return value
        return None

    def _torque(self, text: str, line: int) -> float | None:
        if not text:
            return None
        try:
            value = float(text)
        except ValueError:
            value = math.nan
        if not 0.0 <= value < 1e4:
            self.add(line, "torque", text, "must be a number of N m, 0 or more")
            return None
        return value
