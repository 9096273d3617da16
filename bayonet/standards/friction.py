"""Friction between pairs of materials: what is printed, and bounds on the safe side of it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from bayonet.errors import TableError
from bayonet.standards.tables import Row, from_memory, provenance, rows

Lubrication = Literal["dry", "greased"]

WIDEN = 1.5
"""What a printed friction may still be short by where something must hold: the least values that
different sources print for greased metal pairs run from 0.10 to 0.16, a factor of 1.6, and no
source knows the part at hand. The factor itself: common practice, no source."""


@dataclass(frozen=True, kw_only=True)
class Friction:
    """Friction of a pair [-]: least and most of all sources, and where each is printed."""

    least: float
    most: float
    source: str
    provenance: str

    @property
    def holds(self) -> float:
        """What to judge by where friction must hold: the least printed, less `WIDEN` [-]."""
        return self.least / WIDEN

    @property
    def turns(self) -> float:
        """What to judge by where it must be overcome: the most printed [-]."""
        return self.most


def friction(one: str, other: str, *, condition: Lubrication) -> Friction:
    """Friction of a pair by the table's own names, over every row that prints it.

    Parameters
    ----------
    one, other : str
        Materials, in either order, as the table names them.
    condition : {"dry", "greased"}

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
    return between((one,), (other,), lubrication=condition)


def between(one: tuple[str, ...], other: tuple[str, ...], *, lubrication: Lubrication) -> Friction:
    """Friction of two materials that the table may know by several names.

    Least: of the rows for rest, or of those for sliding, which is no more, where nobody prints one
    for rest. Most: of all rows. A pair known from one source only, which may print one number for
    what varies by a factor of three, takes every other pair of its class with it.

    Parameters
    ----------
    one, other : tuple of str
        Names of each, as the table may print them.
    lubrication : {"dry", "greased"}

    Returns
    -------
    Friction

    Raises
    ------
    TableError
        If no row fits.

    References
    ----------
    .. [1] Row by row in the table; see `data/publications.csv`.

    Examples
    --------
    Steel on steel, greased: 0.10 in one source, 0.12 to 0.35 in another.

    >>> found = between(("steel",), ("steel",), lubrication="greased")
    >>> found.least, found.most, round(found.holds, 3)
    (0.1, 0.35, 0.067)

    Greased aluminium is printed once, as 0.3: other greased metals bound it.

    >>> found = between(("aluminium",), ("aluminium",), lubrication="greased")
    >>> found.least, found.most
    (0.1, 0.35)
    """
    same = [row for row in rows("friction") if row["condition"] == lubrication]
    own = [row for row in same if _fits(row, one, other)]
    if not own:
        raise TableError(f"no friction of {one[0]} on {other[0]}, {lubrication}, in the table")
    kind = own[0]["class"]
    others: list[Row] = []
    if len({_publication(row) for row in own}) == 1:
        others = [row for row in same if row["class"] == kind and row not in own]
    used = [*own, *others]
    at_rest = [row for row in used if row["motion"] == "static"] or used
    source = "; ".join(_words(row) for row in own)
    if others:
        source += f"; one source only, so bounded by other pairs ({kind}) too: " + "; ".join(
            _words(row) for row in _deciding(others)
        )
    return Friction(
        least=min(float(row["mu_least"]) for row in at_rest),
        most=max(float(row["mu_most"]) for row in used),
        source=source,
        provenance=provenance(*(row["provenance"] for row in own)),
    )


def _fits(row: Row, one: tuple[str, ...], other: tuple[str, ...]) -> bool:
    a, b = row["a"], row["b"]
    return (a in one and b in other) or (b in one and a in other)


def _publication(row: Row) -> str:
    return row["source"].partition(",")[0]


def _deciding(others: list[Row]) -> list[Row]:
    """The rows that print the least at rest and the most of all."""
    at_rest = [row for row in others if row["motion"] == "static"] or others
    least = min(at_rest, key=lambda row: float(row["mu_least"]))
    most = max(others, key=lambda row: float(row["mu_most"]))
    return [least] if least is most else [least, most]


def _words(row: Row) -> str:
    """What a row prints, for whom, and where: ``0.12 to 0.35, Lust ...``."""
    least, most = row["mu_least"], row["mu_most"]
    span = least if float(least) == float(most) else f"{least} to {most}"
    sliding = " sliding" if row["motion"] == "sliding" else ""
    pair = f"{row['a']} on {row['b']}"
    return f"{pair} {span}{sliding}: {from_memory(row['source'], row['provenance'])}"
