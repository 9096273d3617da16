"""Presets of hands and tools; sizes and sources stand in ``standards/data/hands.csv``."""

from __future__ import annotations

from bayonet.errors import TableError
from bayonet.standards import Row, from_memory, number, provenance, rows
from bayonet.tank import Hand, HandPart


def names() -> tuple[str, ...]:
    """Names of all presets, in the file's order."""
    return tuple(dict.fromkeys(row["preset"] for row in rows("hands")))


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
    parts = [row for row in rows("hands") if row["preset"] == name]
    if not parts:
        raise TableError(f"hand {name!r}: there is none; use one of {', '.join(names())}")
    swings = {float(row["swing_deg"]) for row in parts if row["swing_deg"]}
    source = "; ".join(dict.fromkeys(row["source"] for row in parts))
    return Hand(
        name=name,
        parts=tuple(_part(row) for row in parts),
        swing_deg=max(swings, default=None),
        source=from_memory(source, provenance(*(row["provenance"] for row in parts))),
    )


def _part(row: Row) -> HandPart:
    value = {key: number(row[key]) for key in ("radius_mm", "beyond_mm", "reach_mm", "width_mm")}
    return HandPart(name=row["part"], base=row["base"], from_mm=float(row["from_mm"]),
                    to_mm=float(row["to_mm"]), **value)  # fmt: skip
