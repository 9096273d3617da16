"""Reading the data files: rows as they are printed, intervals that are open below."""

from __future__ import annotations

import csv
from collections.abc import Mapping
from functools import cache
from importlib.resources import files
from types import MappingProxyType

Row = Mapping[str, str]


@cache
def rows(name: str) -> tuple[Row, ...]:
    """All rows of a data file, as text.

    Parameters
    ----------
    name : str
        File name in `standards/data` without its ending.

    Returns
    -------
    tuple of mapping
    """
    text = (files("bayonet.standards") / "data" / f"{name}.csv").read_text("utf-8")
    read = list(csv.DictReader(text.splitlines(), strict=True))
    assert all(None not in row and None not in row.values() for row in read), f"ragged {name}"
    return tuple(MappingProxyType(row) for row in read)


def number(text: str) -> float | None:
    """A printed number; None where the cell is empty."""
    return float(text) if text.strip() else None


def provenance(*stated: str) -> str:
    """One word for a result that rests on several rows: memory where any of them does."""
    return "memory" if any("memory" in text for text in stated) else "transcribed"


def from_memory(source: str, stated: str) -> str:
    """A source, marked where its value was not read from the page."""
    return f"{source} (from memory)" if stated == "memory" else source
