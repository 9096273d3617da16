"""AS568 O-ring sizes with their tolerances (SAE AS568; inch is the primary unit)."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from bayonet.errors import TableError
from bayonet.standards.tables import provenance, rows

MM_PER_INCH = 25.4


@dataclass(frozen=True, kw_only=True)
class RingSize:
    """One O-ring size; tolerances are plus or minus [mm]."""

    designation: str
    inside_diameter_mm: float
    inside_diameter_tol_mm: float
    section_mm: float
    section_tol_mm: float
    source: str
    provenance: str

    @property
    def outside_diameter_mm(self) -> float:
        """Outside diameter of the free ring [mm]."""
        return self.inside_diameter_mm + 2.0 * self.section_mm


def ring(designation: str) -> RingSize:
    """A size by its dash number.

    Parameters
    ----------
    designation : str
        With or without the dash: ``"-214"``, ``"214"``.

    Returns
    -------
    RingSize

    Raises
    ------
    TableError
        If the table has no such size.

    References
    ----------
    .. [1] SAE AS568C (2008); sizes unchanged since.

    Examples
    --------
    AS568-214: 0.984 x 0.139 in.

    >>> round(ring("214").inside_diameter_mm, 2), round(ring("214").section_mm, 2)
    (24.99, 3.53)
    """
    key = "-" + designation.strip().lstrip("-").zfill(3)
    found = {size.designation: size for size in sizes()}
    if key not in found:
        raise TableError(f"AS568 has no size {designation!r}; the table runs from -001 to -475")
    return found[key]


@cache
def sizes() -> tuple[RingSize, ...]:
    """Every size in the table's order."""
    return tuple(
        RingSize(
            designation=row["dash"],
            inside_diameter_mm=float(row["id_in"]) * MM_PER_INCH,
            inside_diameter_tol_mm=float(row["id_tol_in"]) * MM_PER_INCH,
            section_mm=float(row["cs_in"]) * MM_PER_INCH,
            section_tol_mm=float(row["cs_tol_in"]) * MM_PER_INCH,
            source="SAE AS568" + (f" ({row['note']})" if row["note"] else ""),
            provenance=provenance(row["provenance"]),
        )
        for row in rows("as568")
    )
