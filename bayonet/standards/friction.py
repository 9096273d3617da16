"""Friction between pairs of materials: printed ranges, as far as they go."""

from __future__ import annotations

import re
from dataclasses import dataclass

from bayonet.errors import TableError
from bayonet.standards.tables import provenance, rows

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
    spans = [match for row in found if (match := _RANGE.fullmatch(row["mu_static"]))]
    if not spans:
        raise TableError(f"no friction of {one} on {other}, {condition}, in the table")
    return Friction(
        least=min(float(span[1]) for span in spans),
        most=max(float(span[2] or span[1]) for span in spans),
        source="; ".join(dict.fromkeys(row["source"] for row in found)),
        provenance=provenance(*(row["provenance"] for row in found)),
    )
