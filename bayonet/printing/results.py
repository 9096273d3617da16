"""Results of printed pieces, as a person writes them down: measured sizes and how it felt."""

from __future__ import annotations

import csv
import io
import math
from dataclasses import dataclass
from pathlib import Path
from typing import Literal, get_args

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

_LARGEST_BYTES = 1_000_000


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
        with Path(path).open("rb") as stream:
            content = stream.read(_LARGEST_BYTES)
        return loads(content.decode("utf-8-sig"), file=file)
    except OSError as error:
        rule = f"cannot be read: {error.strerror or error}"
        raise DesignError([_problem(file, None, "(file)", "", rule)]) from error
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
    lines = list(enumerate(text.splitlines(), start=1))
    kept = [(n, line) for n, line in lines if line.strip() and not line.lstrip().startswith("#")]
    rows = list(csv.reader(io.StringIO("\n".join(line for _, line in kept)), strict=False))
    if not rows:
        reader.add(None, "(file)", "", f"is empty; the first row names columns: {_names()}")
    else:
        reader.read_all(rows, [number for number, _ in kept])
    if reader.problems:
        raise DesignError(reader.problems)
    return Results(sizes=tuple(reader.sizes), felt=tuple(reader.felt))


def _names() -> str:
    return ", ".join(COLUMNS)


def _problem(file: str, line: int | None, field: str, value: str, rule: str) -> Problem:
    return Problem(file=file, line=line, field=field, value=value, rule=rule)


class _Reader:
    """Collects rows and problems; lives for one file."""

    def __init__(self, file: str) -> None:
        self.file = file
        self.problems: list[Problem] = []
        self.sizes: list[SizeResult] = []
        self.felt: list[FeltResult] = []

    def add(self, line: int | None, field: str, value: str, rule: str) -> None:
        self.problems.append(_problem(self.file, line, field, value, rule))

    def read_all(self, rows: list[list[str]], numbers: list[int]) -> None:
        head = [name.strip().lower() for name in rows[0]]
        unknown = [name for name in head if name not in COLUMNS]
        if unknown or "kind" not in head or len(set(head)) < len(head):
            rule = f"the first row names columns, each once, of: {_names()}"
            self.add(numbers[0], "(columns)", ", ".join(unknown or head), rule)
            return
        for row, line in zip(rows[1:], numbers[1:], strict=True):
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
