"""Reading the data files: rows as they are printed, intervals that are open below, sources.

A row's ``source`` names publications of `data/publications.csv` by key, ``@key place``; readers
get the publication, its edition and the place in words.
"""

from __future__ import annotations

import csv
import re
from collections.abc import Mapping
from functools import cache
from importlib.resources import files
from types import MappingProxyType

from bayonet.errors import TableError

Row = Mapping[str, str]

_KEY = re.compile(r"@(\w+)( (?=\S))?")


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
    read = _read(name)
    if read and "source" in read[0]:
        for row in read:
            row["source"] = cited(row["source"])
    return tuple(map(MappingProxyType, read))


@cache
def printed(name: str) -> tuple[Row, ...]:
    """All rows of a data file just as they stand in it, sources by key."""
    return tuple(map(MappingProxyType, _read(name)))


def _read(name: str) -> list[dict[str, str]]:
    text = (files("bayonet.standards") / "data" / f"{name}.csv").read_text("utf-8")
    head, *lines = csv.reader(text.splitlines(), strict=True)
    return [dict(zip(head, line, strict=True)) for line in lines]


@cache
def cited(source: str) -> str:
    """A source in words: every ``@key`` becomes publication (edition), a place follows a comma.

    Raises
    ------
    TableError
        If a key is not in the list of publications.

    Examples
    --------
    >>> cited("@daemar maximum diametral gap")
    'Daemar Inc., "O-Ring Groove Design" (web page), maximum diametral gap'
    """
    return _KEY.sub(_publication, source)


def _publication(match: re.Match[str]) -> str:
    known = _publications().get(match[1])
    if known is None:
        raise TableError(f"no publication {match[1]!r} in standards/data/publications.csv")
    edition = f" ({known['edition']})" if known["edition"] else ""
    return f"{known['publication']}{edition}" + (", " if match[2] else "")


@cache
def _publications() -> dict[str, Row]:
    return {row["key"]: row for row in printed("publications")}


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
