"""Reading the data files: rows as they are printed, intervals that are open below, sources.

A row's ``source`` names publications of `data/publications.csv` by key, ``@key place``, several
with semicolons; readers get the publication, its edition and the place in words.
"""

from __future__ import annotations

import csv
from collections.abc import Mapping
from functools import cache
from importlib.resources import files
from types import MappingProxyType

from bayonet.errors import TableError

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
        As printed, but for ``source``, which is written out.
    """
    return tuple(
        MappingProxyType({**row, "source": cited(row["source"])} if "source" in row else row)
        for row in printed(name)
    )


@cache
def printed(name: str) -> tuple[Row, ...]:
    """All rows of a data file just as they stand in it, sources by key."""
    text = (files("bayonet.standards") / "data" / f"{name}.csv").read_text("utf-8")
    read = list(csv.DictReader(text.splitlines(), strict=True))
    assert all(None not in row and None not in row.values() for row in read), f"ragged {name}"
    return tuple(MappingProxyType(row) for row in read)


@cache
def cited(source: str) -> str:
    """A source in words: every ``@key place`` becomes publication (edition), place.

    Raises
    ------
    TableError
        If a key is not in the list of publications.

    Examples
    --------
    >>> cited("@daemar maximum diametral gap")
    'Daemar Inc., "O-Ring Groove Design" (web page), maximum diametral gap'
    """
    return "; ".join(_cited(part) for part in source.split("; "))


def _cited(part: str) -> str:
    if not part.startswith("@"):
        return part
    key, _, place = part[1:].partition(" ")
    known = next((row for row in printed("publications") if row["key"] == key), None)
    if known is None:
        raise TableError(f"no publication {key!r} in standards/data/publications.csv")
    edition = f" ({known['edition']})" if known["edition"] else ""
    return f"{known['publication']}{edition}" + (f", {place}" if place else "")


def number(text: str) -> float | None:
    """A printed number; None where the cell is empty."""
    return float(text) if text.strip() else None


def provenance(*stated: str) -> str:
    """One word for a result that rests on several rows: memory where any of them does."""
    return "memory" if any("memory" in text for text in stated) else "transcribed"


def from_memory(source: str, stated: str) -> str:
    """A source, marked where its value was not read from the page."""
    marked = stated == "memory" and "memory" not in source
    return f"{source} (from memory)" if marked else source
