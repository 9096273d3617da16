"""Tables of numbers: XYZ, CSV, ASC, PTS. Any of the usual separators, heads, extra columns."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from bayonet.scan.read.raw_points import Raw, refuse

_MOST_HEAD_LINES = 200  # lines before the first row of numbers
_LOOK_AT_BYTES = 65536  # bytes a table is told by
_NUMBER = re.compile(
    r"[+-]?(\d+\.?\d*|\.\d+)(e[+-]?\d+)?|[+-]?(nan|inf(inity)?)", re.IGNORECASE | re.ASCII
)
_COUNT = re.compile(r"[0-9]{1,18}")  # digits: a count of points that fits 64 bits
_DECIMAL_COMMA = re.compile(r"[+-]?\d+,\d+", re.ASCII)
_NAME = re.compile(r"[\W_]*([a-z]+)[\W_]*(mm|cm|in|inch|m)?[\W_]*")
_AXES = ("x", "y", "z")
_NORMALS = (("nx", "ny", "nz"), ("normalx", "normaly", "normalz"), ("i", "j", "k"))
_UNIT_LENGTH = 0.02  # off 1: normals as programs print them, three digits
_LONGEST_CELL = 60  # of a number or a column's name; the patterns take the square of it


@dataclass(frozen=True, kw_only=True)
class _Layout:
    """How a table is written."""

    skip: int
    separator: str | None  # None is white space
    names: tuple[str, ...]
    width: int
    unit: str | None
    declared: int | None


def read(path: Path) -> Raw:
    """Read a table of points.

    Columns are found by their names in the head; without names the first three are x, y, z, and
    columns four to six are normals where they all have length 1.

    Raises
    ------
    ScanError
        If a row does not hold what the first row holds, naming the row.
    """
    layout = _layout(path)
    try:
        with path.open(encoding="utf-8-sig", errors="replace") as stream:
            values = np.loadtxt(
                stream, delimiter=layout.separator, skiprows=layout.skip, comments=None, ndmin=2
            )
    except ValueError as error:
        raise refuse(path, _plainly(str(error), layout)) from error
    if layout.declared is not None and len(values) < layout.declared:
        rule = f"declares {layout.declared} points but holds {len(values)}: truncated"
        raise refuse(path, rule)
    place = _columns(path, layout)
    normals = _normals(values, layout, place)
    reason = f"its head says {layout.unit}" if layout.unit else ""
    return Raw(
        xyz=values[:, place], normals=normals, unit=layout.unit, unit_reason=reason,
        kind="text table",
    )  # fmt: skip


def _plainly(error: str, layout: _Layout) -> str:
    """What numpy says of a bad row, in our words, with the line in the file."""
    changed = re.search(r"number of columns changed from (\d+) to (\d+) at row (\d+)", error)
    if changed:
        wide, found, row = map(int, changed.groups())
        return f"line {row + layout.skip}: {found} values where the rows before have {wide}"
    wrong = re.search(r"could not convert string '(.*)' to \w+ at row (\d+), column (\d+)", error)
    if wrong:
        line = int(wrong.group(2)) + layout.skip + 1
        return f"line {line}, column {wrong.group(3)}: {wrong.group(1)[:40]!r} is not a number"
    return f"the table cannot be read: {error}"


def _layout(path: Path) -> _Layout:
    with path.open(encoding="utf-8-sig", errors="replace") as stream:
        lines = stream.read(_LOOK_AT_BYTES).splitlines()
    names: tuple[str, ...] = ()
    unit, declared = None, None
    for number, line in enumerate(lines[:_MOST_HEAD_LINES]):
        bare = line.strip()
        separator, cells = _split(bare)
        if len(cells) >= 3 and all(_is_number(cell) for cell in cells):
            _refuse_decimal_comma(path, line, number)
            fitting = names if len(names) == len(cells) else ()
            return _Layout(skip=number, separator=separator, names=fitting, width=len(cells),
                           unit=unit, declared=declared)  # fmt: skip
        if _has_decimal_commas(bare):
            _refuse_comma(path, number)
        if _COUNT.fullmatch(bare):
            declared = int(bare)
        elif bare:
            words, told = _head_names(cells)
            names, unit = (words, told or unit) if words else (names, unit)
    raise refuse(path, "no line of three or more numbers: not a table of points, or empty")


def _split(line: str) -> tuple[str | None, list[str]]:
    line = line.lstrip("#/ \t")
    for separator in (";", ","):
        if separator in line:
            return separator, [cell.strip() for cell in line.rstrip(separator).split(separator)]
    return None, line.split()


def _is_number(cell: str) -> bool:
    return len(cell) <= _LONGEST_CELL and _NUMBER.fullmatch(cell) is not None


def _has_decimal_commas(line: str) -> bool:
    cells = line.split(";") if ";" in line else line.split()
    return len(cells) >= 3 and all(
        len(cell) <= _LONGEST_CELL and _DECIMAL_COMMA.fullmatch(cell.strip()) for cell in cells[:3]
    )


def _refuse_decimal_comma(path: Path, line: str, number: int) -> None:
    if _has_decimal_commas(line.strip()):
        _refuse_comma(path, number)


def _refuse_comma(path: Path, number: int) -> None:
    rule = f"line {number + 1}: decimal commas; write the numbers with decimal points"
    raise refuse(path, rule)


def _head_names(cells: Sequence[str]) -> tuple[tuple[str, ...], str | None]:
    names, unit = [], None
    for cell in cells:
        lower = cell[:_LONGEST_CELL].strip().strip('"').lower().lstrip("#/")
        match = _NAME.fullmatch(lower)
        if match and match.group(1) in _AXES:
            names.append(match.group(1))
            unit = match.group(2) or unit
        else:
            names.append(re.sub(r"[\W_]", "", lower))
    if not all(axis in names for axis in _AXES):
        return (), None
    return tuple(names), "in" if unit == "inch" else unit


def _columns(path: Path, layout: _Layout) -> list[int]:
    if layout.names:
        return [layout.names.index(axis) for axis in _AXES]
    if layout.width < 3:
        raise refuse(path, f"{layout.width} columns; x, y, z need three")
    return [0, 1, 2]


def _normals(
    values: NDArray[np.float64], layout: _Layout, place: list[int]
) -> NDArray[np.float64] | None:
    for names in _NORMALS:
        if layout.names and all(name in layout.names for name in names):
            return values[:, [layout.names.index(name) for name in names]]
    if layout.names or layout.width < 6 or place != [0, 1, 2]:
        return None
    few = values[:: max(len(values) // 1000, 1), 3:6]
    length = np.linalg.norm(few, axis=1)
    return values[:, 3:6] if bool(np.all(np.abs(length - 1.0) < _UNIT_LENGTH)) else None
