"""Friction between pairs of materials: printed ranges, as far as they go."""

from __future__ import annotations

import re
from dataclasses import dataclass
from types import MappingProxyType

from bayonet.errors import TableError
from bayonet.standards.tables import Row, provenance, rows

CONDITIONS = MappingProxyType(
    {
        "dry": ("dry", "clean dry"),
        "greased": ("greased", "lubricated", "lubricated/greasy", "machine oil"),
    }
)
"""Words of the table for each way of lubrication."""

_RANGE = re.compile(r"([\d.]+)(?:-([\d.]+))?\+?")


@dataclass(frozen=True, kw_only=True)
class Friction:
    """Static friction of a pair: least and most printed [-]."""

    least: float
    most: float
    source: str
    provenance: str


def friction(one: str, other: str, *, condition: str) -> Friction:
    """Static friction of a pair, over every row that prints it.

    Parameters
    ----------
    one, other : str
        Materials, in either order, as the table names them.
    condition : str
        As the table names it, e.g. ``"dry"``, ``"greased"``.

    Returns
    -------
    Friction

    Raises
    ------
    TableError
        If the table has no such pair.

    Examples
    --------
    >>> found = friction("metal", "elastomer (NBR 70)", condition="greased")
    >>> found.least, found.most
    (0.1, 0.3)
    """
    pair = {one, other}
    found = [
        r for r in rows("friction") if {r["a"], r["b"]} == pair and r["condition"] == condition
    ]
    return _span(found, f"{one} on {other}, {condition}")


def between(one: tuple[str, ...], other: tuple[str, ...], *, lubrication: str) -> Friction:
    """Static friction of two materials that the table may know by several names.

    Parameters
    ----------
    one, other : tuple of str
        Names of each, as the table may print them.
    lubrication : {"dry", "greased"}

    Returns
    -------
    Friction
        Least and most of all rows that fit.

    Raises
    ------
    TableError
        If no row fits.

    Examples
    --------
    >>> found = between(("steel",), ("plastic", "PA"), lubrication="dry")
    >>> found.least, found.most
    (0.2, 0.45)
    """
    found = [
        row
        for row in rows("friction")
        if row["condition"] in CONDITIONS[lubrication] and _fits(row["a"], row["b"], one, other)
    ]
    return _span(found, f"{one[0]} on {other[0]}, {lubrication}")


def _fits(a: str, b: str, one: tuple[str, ...], other: tuple[str, ...]) -> bool:
    if b == "self":
        return a in one and a in other
    return (a in one and b in other) or (b in one and a in other)


def _span(found: list[Row], what: str) -> Friction:
    """Least and most of some rows; TableError where none prints a number."""
    spans = [match for row in found if (match := _RANGE.fullmatch(row["mu_static"]))]
    if not spans:
        raise TableError(f"no friction of {what}, in the table")
    return Friction(
        least=min(float(span[1]) for span in spans),
        most=max(float(span[2] or span[1]) for span in spans),
        source="; ".join(dict.fromkeys(row["source"] for row in found)),
        provenance=provenance(*(row["provenance"] for row in found)),
    )
