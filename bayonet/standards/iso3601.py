"""ISO 3601-1 tolerances of O-rings, class B: sections by bands, inside diameters by the rule."""

from __future__ import annotations

import re

from bayonet.errors import TableError
from bayonet.standards.as568 import RingSize
from bayonet.standards.tables import cited, rows

SOURCE = cited("@iso3601; sections @din3771 where that is wider")

_LARGEST_ID_MM = 670.0
_SIZE = re.compile(r"\s*(\d+(?:[.,]\d+)?)\s*(?:mm)?\s*[xX\u00d7*]\s*(\d+(?:[.,]\d+)?)\s*(?:mm)?\s*")


def size_mm(text: str) -> tuple[float, float] | None:
    """Inside diameter and section of a size written as ``22.4x2.65`` [mm]; None if it is not one.

    Examples
    --------
    >>> size_mm("22.4x2.65"), size_mm("22,4 x 2,65 mm"), size_mm("-214")
    ((22.4, 2.65), (22.4, 2.65), None)
    """
    match = _SIZE.fullmatch(text)
    if match is None:
        return None
    inside, section = (float(part.replace(",", ".")) for part in match.groups())
    return inside, section


def size(inside_diameter_mm: float, section_mm: float) -> RingSize:
    """Any ring by its two sizes, with the tolerances of the standard.

    Which sizes are on a shelf is the maker's to say: no two lists of inside diameters that could be
    read agree, so none is held here.

    Raises
    ------
    TableError
        Outside ``0 < section <= 8.40`` or ``0 < inside diameter <= 670`` mm.

    Examples
    --------
    >>> ring = size(22.4, 2.65)
    >>> ring.designation, round(ring.inside_diameter_tol_mm, 2), ring.section_tol_mm
    ('22.4x2.65', 0.28, 0.09)
    """
    return RingSize(
        designation=f"{inside_diameter_mm:g}x{section_mm:g}",
        inside_diameter_mm=inside_diameter_mm,
        inside_diameter_tol_mm=inside_diameter_tolerance_mm(inside_diameter_mm),
        section_mm=section_mm,
        section_tol_mm=section_tolerance_mm(section_mm),
        source=SOURCE,
        provenance="transcribed",
    )


def section_tolerance_mm(section_mm: float) -> float:
    """Plus-or-minus tolerance of a section [mm]: of ISO 3601-1 and DIN 3771-1 the wider.

    Rings made to the old standard are still sold and measured, so the wider one is the safe side.

    Raises
    ------
    TableError
        Outside ``0 < section <= 8.40`` mm.

    References
    ----------
    .. [1] ISO 3601-1, class B, as printed by R.T. Dygert; DIN 3771-1:1984, as printed by
       sealware.de.

    Examples
    --------
    >>> section_tolerance_mm(2.65), section_tolerance_mm(2.7), section_tolerance_mm(4.5)
    (0.09, 0.1, 0.13)
    """
    for row in rows("iso3601_section"):
        if float(row["over_mm"]) < section_mm <= float(row["upto_mm"]):
            return float(row["tolerance_pm_mm"])
    raise TableError(f"ISO 3601-1 sections run over 0 to 8.4 mm; {section_mm:g} mm is outside")


def inside_diameter_tolerance_mm(inside_diameter_mm: float) -> float:
    r"""Plus-or-minus tolerance of an inside diameter [mm].

    .. math:: \Delta d_1 = 0.009\, d_1^{0.95} + 0.11

    Parameters
    ----------
    inside_diameter_mm : float
        :math:`d_1` [mm].

    Raises
    ------
    TableError
        Outside ``0 < inside diameter <= 670`` mm.

    References
    ----------
    .. [1] ISO 3601-1, class B, Annex A.4, as printed by R.T. Dygert, "Tolerances for Metric
       O-Rings" (whose text prints an exponent of 0.93; its own values fit 0.95).

    Examples
    --------
    The printed check point for 40 mm is 0.41.

    >>> round(inside_diameter_tolerance_mm(40.0), 2)
    0.41
    """
    if not 0.0 < inside_diameter_mm <= _LARGEST_ID_MM:
        raise TableError(f"ISO 3601-1 covers inside diameters up to {_LARGEST_ID_MM:g} mm")
    return float(0.009 * inside_diameter_mm**0.95 + 0.11)
