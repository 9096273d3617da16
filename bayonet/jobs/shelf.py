"""A shop's list of disc cutters, from CSV."""

from __future__ import annotations

import csv
from pathlib import Path

from bayonet import inputs
from bayonet.errors import DesignError, Problem
from bayonet.parts import Cutter

LARGEST_BYTES = 1_000_000
MOST = 500
"""Cutters of one list: each is judged whole, in about a second."""
_NEEDED = ("diameter", "thickness", "neck_diameter", "reach")
_MAY = ("corner_radius", "end_mill")


def read(path: str | Path) -> tuple[Cutter, ...]:
    """Read the list.

    Parameters
    ----------
    path : str or Path
        CSV with a head: ``diameter, thickness, neck_diameter, reach`` [mm], and, where wanted,
        ``corner_radius, end_mill``.

    Returns
    -------
    tuple of Cutter

    Raises
    ------
    DesignError
        With every row that is wrong, its line, field and rule.
    """
    try:
        data = inputs.content(path, most_bytes=LARGEST_BYTES, what="a list of cutters")
        text = data.decode("utf-8-sig")
    except inputs.UnreadableError as error:
        raise _error(path, None, "(file)", "", error.rule) from error
    except UnicodeDecodeError as error:
        raise _error(path, None, "(file)", "", "is not UTF-8 text") from error
    lines = list(csv.reader(text.splitlines()))
    head = [name.strip() for name in lines[0]] if lines else []
    missing = [name for name in _NEEDED if name not in head]
    if missing:
        raise _error(path, 1, "(head)", ", ".join(head), f"needs the columns {', '.join(_NEEDED)}")
    problems: list[Problem] = []
    found = [
        _row(path, number, dict(zip(head, line, strict=False)), problems)
        for number, line in enumerate(lines[1:], 2)
        if any(cell.strip() for cell in line)
    ]
    if problems:
        raise DesignError(problems)
    if not 0 < len(found) <= MOST:
        raise _error(path, None, "(file)", str(len(found)), f"must hold 1 to {MOST} cutters")
    return tuple(one for one in found if one is not None)


def _row(
    path: str | Path, line: int, cells: dict[str, str], problems: list[Problem]
) -> Cutter | None:
    sizes: dict[str, float] = {}
    for name in (*_NEEDED, *_MAY):
        text = cells.get(name, "").strip()
        if not text and name in _MAY:
            continue
        try:
            sizes[name] = float(text)
        except ValueError:
            sizes[name] = float("nan")
        least_ok = sizes[name] >= 0.0 if name == "corner_radius" else sizes[name] > 0.0
        if not (least_ok and sizes[name] < 1e4):
            problems.append(_problem(path, line, name, text, "must be a length in mm, more than 0"))
    if not problems and not sizes["neck_diameter"] < sizes["diameter"]:
        text = cells["neck_diameter"]
        problems.append(_problem(path, line, "neck_diameter", text, "must be less than diameter"))
    if problems:
        return None
    return Cutter(
        radius_mm=sizes["diameter"] / 2.0,
        thickness_mm=sizes["thickness"],
        neck_radius_mm=sizes["neck_diameter"] / 2.0,
        reach_mm=sizes["reach"],
        corner_radius_mm=sizes.get("corner_radius", 0.0),
        end_mill_mm=sizes.get("end_mill"),
        named=True,
    )


def _problem(path: str | Path, line: int | None, field: str, value: str, rule: str) -> Problem:
    return Problem(file=str(path), line=line, field=field, value=value, rule=rule)


def _error(path: str | Path, line: int | None, field: str, value: str, rule: str) -> DesignError:
    return DesignError([_problem(path, line, field, value, rule)])
