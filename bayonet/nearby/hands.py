"""Presets of hands and tools; their sizes and sources stand in ``data/hands.csv``."""

from __future__ import annotations

import csv
from functools import cache
from importlib.resources import files

from bayonet.errors import TableError
from bayonet.model.around import Hand, HandPart


def names() -> tuple[str, ...]:
    """Names of all presets, in the file's order."""
    return tuple(dict.fromkeys(row["preset"] for row in _rows()))


def hand(name: str) -> Hand:
    """A preset.

    Parameters
    ----------
    name : str

    Returns
    -------
    Hand

    Raises
    ------
    TableError
        If there is none of that name.

    Examples
    --------
    >>> [(part.name, part.beyond_mm or part.radius_mm) for part in hand("fingers").parts]
    [('fingers round the rim', 25.0), ('hand', 58.0)]
    """
    rows = [row for row in _rows() if row["preset"] == name]
    if not rows:
        raise TableError(f"hand {name!r}: there is none; use one of {', '.join(names())}")
    swings = {float(row["swing_deg"]) for row in rows if row["swing_deg"]}
    memory = any(row["provenance"] == "memory" for row in rows)
    source = "; ".join(dict.fromkeys(row["source"] for row in rows))
    return Hand(
        name=name,
        parts=tuple(_part(row) for row in rows),
        swing_deg=max(swings, default=None),
        source=f"{source} (from memory)" if memory else source,
    )


def _part(row: dict[str, str]) -> HandPart:
    value = {key: float(row[key]) if row[key] else None
             for key in ("radius_mm", "beyond_mm", "reach_mm", "width_mm")}  # fmt: skip
    return HandPart(name=row["part"], base=row["base"], from_mm=float(row["from_mm"]),
                    to_mm=float(row["to_mm"]), **value)  # fmt: skip


@cache
def _rows() -> tuple[dict[str, str], ...]:
    text = (files("bayonet.nearby") / "data" / "hands.csv").read_text("utf-8")
    return tuple(csv.DictReader(text.splitlines(), strict=True))
