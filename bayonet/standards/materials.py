"""Elastomers, metals and plastics: temperature, expansion, stiffness. Typical values."""

from __future__ import annotations

from dataclasses import dataclass

from bayonet.errors import TableError
from bayonet.standards.tables import Row, number, provenance, rows


@dataclass(frozen=True, kw_only=True)
class Elastomer:
    """Service range [deg C] and linear expansion [1/K] of a ring compound."""

    name: str
    lowest_c: float
    highest_c: float
    expansion_per_k: float
    source: str
    provenance: str


@dataclass(frozen=True, kw_only=True)
class Material:
    """Stiffness [MPa], Poisson's ratio and linear expansion [1/K]; None where not tabled."""

    name: str
    modulus_mpa: float | None
    poisson: float | None
    expansion_per_k: float | None
    source: str
    provenance: str


def elastomer(name: str) -> Elastomer:
    """A ring compound by its ISO 1629 letters.

    Raises
    ------
    TableError
        If the table has no such compound.

    References
    ----------
    .. [1] Ranges: FTX SPS, Ficient Design, nurkaucuk.az; expansion: Problem Solving Products Inc.

    Examples
    --------
    >>> elastomer("NBR").lowest_c
    -30.0
    """
    for row in rows("elastomers"):
        if row["elastomer"].lower() == name.strip().lower():
            return Elastomer(
                name=row["elastomer"],
                lowest_c=float(row["lowest_c"]),
                highest_c=float(row["highest_c"]),
                expansion_per_k=float(row["expansion_per_k"]),
                source=row["source"],
                provenance=provenance(row["temperature_provenance"], row["expansion_provenance"]),
            )
    known = ", ".join(row["elastomer"] for row in rows("elastomers"))
    raise TableError(f"no elastomer {name!r}; the table has {known}")


def rows_of(name: str) -> list[Row]:
    """All printed rows of a body material; TableError where there are none."""
    found = [row for row in rows("materials") if row["material"].lower() == name.strip().lower()]
    if not found:
        known = ", ".join(dict.fromkeys(row["material"] for row in rows("materials")))
        raise TableError(f"no material {name!r}; the table has {known}")
    return found


def names() -> tuple[str, ...]:
    """Every body material, in the table's order."""
    return tuple(dict.fromkeys(row["material"] for row in rows("materials")))


def material(name: str) -> Material:
    """A body material: for each property the first row of that name that prints a plain number.

    Raises
    ------
    TableError
        If the table has no such material.

    Examples
    --------
    >>> material("6061-T6").expansion_per_k
    2.36e-05
    """
    found = rows_of(name)
    used: list[str] = []
    sources: list[str] = []

    def first(key: str) -> float | None:
        for row in found:
            value = _plain(row[key])
            if value is not None:
                used.append(row["provenance"])
                sources.append(row["source"])
                return value
        return None

    modulus, poisson, cte = first("E_MPa"), first("poisson"), first("cte_1e-6_per_K")
    return Material(
        name=found[0]["material"],
        modulus_mpa=modulus,
        poisson=poisson,
        expansion_per_k=None if cte is None else round(cte * 1e-6, 12),
        source="; ".join(dict.fromkeys(sources)),
        provenance=provenance(*used),
    )


def _plain(text: str) -> float | None:
    """The cell's number; None for ranges and empty cells."""
    try:
        return number(text)
    except ValueError:
        return None
