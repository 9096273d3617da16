"""Largest gap a ring bridges under pressure, by hardness, without a back-up ring."""

from __future__ import annotations

from dataclasses import dataclass

from bayonet.errors import TableError
from bayonet.standards.tables import provenance, rows

_MPA_PER_PSI = 0.00689475729316836
BACK_UP_RING_ABOVE_MPA = 10.35
"""1500 psi: O-ring handbook ORD 5700, section 4.0."""


@dataclass(frozen=True, kw_only=True)
class GapLimit:
    """Greatest diametral gap [mm] for a hardness up to a pressure."""

    diametral_mm: float
    source: str
    provenance: str


def gap_limit(pressure_mpa: float, shore_a: int) -> GapLimit:
    """Greatest diametral gap without a back-up ring.

    Parameters
    ----------
    pressure_mpa : float
        Pressure across the ring [MPa], ``0 < p <= 20.7`` (3000 psi).
    shore_a : int
        Hardness: 70 or 90. Others are not in the table.

    Returns
    -------
    GapLimit

    Raises
    ------
    TableError
        Outside the table.

    Examples
    --------
    Up to 500 psi a 70 Shore ring takes 0.016 in on diameter.

    >>> round(gap_limit(1.0, 70).diametral_mm, 3)
    0.406
    """
    psi = round(pressure_mpa / _MPA_PER_PSI, 3)  # 3000 psi in MPa is 3000 psi
    for row in rows("extrusion"):
        if row["gap_kind"] != "diametral" or int(row["shore_A"]) != shore_a:
            continue
        if float(row["p_over"]) < psi <= float(row["p_upto"]):
            return GapLimit(
                diametral_mm=float(row["max_gap"]) * 25.4,
                source=row["source"],
                provenance=provenance(row["provenance"]),
            )
    raise TableError(
        f"the extrusion table has 70 and 90 Shore A over 0 to 20.7 MPa,"
        f" not {shore_a} at {pressure_mpa:g} MPa"
    )
