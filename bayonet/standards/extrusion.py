"""Largest gap a ring bridges under pressure, by hardness, section and heat, with no back-up ring.

Two printed tables are read and the smaller limit counts: one goes by hardness, one by section.
"""

from __future__ import annotations

from dataclasses import dataclass

from bayonet.errors import TableError
from bayonet.standards.tables import Row, from_memory, provenance, rows

_MPA_PER_PSI = 0.00689475729316836
_MM_PER_INCH = 25.4
_SAME_SECTION_MM = 0.02  # 1.80 and 1.78 mm are one section in every groove table

BACK_UP_RING_ABOVE_MPA = 10.35
"""1500 psi: Parker O-Ring Handbook ORD 5700 (2007), section 4.0."""

SILICONE = ("VMQ",)
SILICONE_SHARE = 0.5
SILICONE_SOURCE = (
    "silicone: half the clearance, Parker O-Ring Handbook ORD 5700 (2007), section 4.0"
)

HOT_ABOVE_C = 71.0
"""160 degF, at which printed gap limits were run: O-Ring Handbook ORD 5700, figure 3-2 (from
memory)."""
HOT_PRESSURE_FACTOR = 2.0
"""Above `HOT_ABOVE_C` a limit is read at twice the pressure: rubber half as stiff gives way at half
the pressure. By Gent's relation half the modulus is 13 Shore A less than 70: common practice for
hot rubber, no source."""
HOT_SOURCE = (
    f"above {HOT_ABOVE_C:g} °C read at twice the pressure, as rubber half as stiff: common"
    " practice, no source"
)


@dataclass(frozen=True, kw_only=True)
class GapLimit:
    """Greatest diametral gap [mm], after heat and compound, and where it comes from."""

    diametral_mm: float
    source: str
    provenance: str


def gap_limit(
    pressure_mpa: float,
    shore_a: int,
    *,
    section_mm: float,
    elastomer: str | None = None,
    celsius: float | None = None,
) -> GapLimit:
    """Greatest diametral gap without a back-up ring: the smaller of two printed limits.

    Parameters
    ----------
    pressure_mpa : float
        Pressure across the ring [MPa], ``0 < p <= 20.7`` (3000 psi), half of that when hot. The
        table by section ends at 1500 psi; above, its last limit still caps the other's.
    shore_a : int
        Hardness: 70 or 90. Others are not in the table.
    section_mm : float
        Section of the ring [mm], from 1.78; between two printed sections the smaller one's limit.
    elastomer : str or None
        ISO 1629 letters; VMQ takes half.
    celsius : float or None
        Hottest state [deg C]; above 71 the tables are read at twice the pressure.

    Returns
    -------
    GapLimit

    Raises
    ------
    TableError
        Outside either table.

    References
    ----------
    .. [1] Seal & Design Inc., "Extrusion Limits of O-Rings": by hardness and pressure.
    .. [2] Daemar Inc., "O-Ring Groove Design": by section and pressure, any hardness.

    Examples
    --------
    At 1 MPa (145 psi) 70 Shore takes 0.016 in by [1], but a section of 0.070 in only 0.008 by [2].

    >>> round(gap_limit(1.0, 70, section_mm=1.78).diametral_mm, 3)
    0.203

    At 2 MPa (290 psi) a section of 0.139 in takes 0.010 in; silicone half; at 150 deg C it is read
    at 580 psi, where the section takes 0.006 in.

    >>> hot = gap_limit(2.0, 70, section_mm=3.53, elastomer="VMQ", celsius=150.0)
    >>> round(hot.diametral_mm / 25.4, 5)
    0.003
    """
    is_hot = celsius is not None and celsius > HOT_ABOVE_C
    read_mpa = pressure_mpa * HOT_PRESSURE_FACTOR if is_hot else pressure_mpa
    psi = round(read_mpa / _MPA_PER_PSI, 3)  # 3000 psi in MPa is 3000 psi
    found = (_by_hardness(psi, read_mpa, shore_a), _by_section(psi, section_mm))
    least = min(found, key=lambda row: float(row["max_gap_in"]))
    share, words = 1.0, [from_memory(least["source"], least["provenance"])]
    if (elastomer or "").strip().upper() in SILICONE:
        share, words = share * SILICONE_SHARE, [*words, SILICONE_SOURCE]
    if is_hot:
        words = [*words, HOT_SOURCE]
    return GapLimit(
        diametral_mm=float(least["max_gap_in"]) * _MM_PER_INCH * share,
        source="; ".join(words),
        provenance=provenance(least["provenance"]),
    )


def _by_hardness(psi: float, read_mpa: float, shore_a: int) -> Row:
    for row in rows("extrusion"):
        if row["shore_a"] == str(shore_a) and _holds(row, psi):
            return row
    raise TableError(
        f"the extrusion table has 70 and 90 Shore A over 0 to 20.7 MPa,"
        f" not {shore_a} at {read_mpa:g} MPa"
    )


def _by_section(psi: float, section_mm: float) -> Row:
    """The row of the largest printed section that is no larger; past its last pressure, the last.

    Limits fall with pressure and grow with the section, so both choices are on the safe side.
    """
    known = [row for row in rows("extrusion") if row["section_in"]]
    sections = sorted({float(row["section_in"]) for row in known})
    fits = [s for s in sections if s * _MM_PER_INCH <= section_mm + _SAME_SECTION_MM]
    if not fits:
        raise TableError(
            f"the extrusion table starts at sections of {sections[0] * _MM_PER_INCH:.2f} mm,"
            f" not {section_mm:g}"
        )
    own = [row for row in known if float(row["section_in"]) == fits[-1]]
    return next((row for row in own if _holds(row, psi)), own[-1])


def _holds(row: Row, psi: float) -> bool:
    return float(row["over_psi"]) < psi <= float(row["upto_psi"])
