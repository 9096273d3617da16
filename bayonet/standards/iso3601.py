"""ISO 3601-1 tolerances of O-rings: sections in classes A and B, inside diameters in class B."""

from __future__ import annotations

from typing import Literal

from bayonet.errors import TableError
from bayonet.standards.tables import rows

SOURCE = "ISO 3601-1, class B (from a secondary page)"

COMMON_SECTIONS_MM = (1.8, 2.65, 3.55, 5.3, 7.0)
"""Sections of the metric series (ISO 3601-1:1988) [mm]."""

_LARGEST_ID_MM = 670.0
_SAME_MM = 0.005


def section_tolerance_mm(section_mm: float, *, tolerance_class: Literal["A", "B"] = "B") -> float:
    """Plus-or-minus tolerance of a section [mm].

    Class A is printed for the five inch-series sections only; class B for bands.

    Raises
    ------
    TableError
        Class B: outside ``0 < section <= 8.40`` mm. Class A: not one of its sections.

    Examples
    --------
    >>> section_tolerance_mm(3.55), section_tolerance_mm(4.5), section_tolerance_mm(4.51)
    (0.1, 0.1, 0.13)
    >>> section_tolerance_mm(2.62, tolerance_class="A")
    0.08
    """
    if tolerance_class == "A":
        for row in rows("iso3601_class_a"):
            if abs(float(row["section_mm"]) - section_mm) < _SAME_MM:
                return float(row["tolerance_pm_mm"])
        raise TableError("ISO 3601-1 class A has sections 1.78, 2.62, 3.53, 5.33 and 6.99 mm")
    for row in rows("iso3601_section"):
        if float(row["over_mm"]) < section_mm <= float(row["upto_mm"]):
            return float(row["tolerance_pm_mm"])
    raise TableError(f"ISO 3601-1 sections run over 0 to 8.4 mm; {section_mm:g} mm is outside")


def inside_diameter_tolerance_mm(inside_diameter_mm: float) -> float:
    r"""Plus-or-minus tolerance of an inside diameter [mm].

    .. math:: \Delta d_1 = 0.009\, d_1^{0.95} + 0.11

    Raises
    ------
    TableError
        Outside ``0 < inside diameter <= 670`` mm.

    Examples
    --------
    The printed check point for 40 mm is 0.41.

    >>> round(inside_diameter_tolerance_mm(40.0), 2)
    0.41
    """
    if not 0.0 < inside_diameter_mm <= _LARGEST_ID_MM:
        raise TableError(f"ISO 3601-1 covers inside diameters up to {_LARGEST_ID_MM:g} mm")
    return float(0.009 * inside_diameter_mm**0.95 + 0.11)
