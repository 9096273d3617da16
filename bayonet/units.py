"""Reading of numbers with units as people type them. No registry, no arithmetic with units.

Inside the package lengths are mm, angles degrees and pressures MPa, always.
"""

from __future__ import annotations

import math
import re
from types import MappingProxyType
from typing import Literal

from bayonet.errors import UnitError

Kind = Literal["length", "angle", "pressure"]

LENGTH_UNITS_MM = MappingProxyType(
    {
        "mm": 1.0,
        "cm": 10.0,
        "m": 1000.0,
        "um": 0.001,
        "µm": 0.001,
        "μm": 0.001,
        "in": 25.4,
        '"': 25.4,
        "thou": 0.0254,
        "mil": 0.0254,
    }
)
"""Length units and their size [mm]; 1 in = 25.4 mm exactly (international inch, 1959)."""

ANGLE_UNITS_DEG = MappingProxyType({"deg": 1.0, "°": 1.0, "rad": 180.0 / math.pi, "rev": 360.0})
"""Angle units and their size [deg]."""

PRESSURE_UNITS_MPA = MappingProxyType(
    {"MPa": 1.0, "bar": 0.1, "kPa": 0.001, "Pa": 1e-6, "psi": 0.00689475729316836}
)
"""Pressure units and their size [MPa]; all are gauge pressures."""

UNITS: MappingProxyType[Kind, MappingProxyType[str, float]] = MappingProxyType(
    {"length": LENGTH_UNITS_MM, "angle": ANGLE_UNITS_DEG, "pressure": PRESSURE_UNITS_MPA}
)
"""Units by kind; the first of each is the one used inside."""

_NUMBER = re.compile(r"\s*([+-]?(?:\d+(?:\.\d*)?|\.\d+)(?:[eE][+-]?\d+)?)\s*(.*?)\s*")
_FRACTION = re.compile(
    r"\s*([+-]?)(?:(\d{1,4})[ -]+)?(\d{1,4})\s*/\s*(\d{1,4})(?!\s*/)\s*([^\d\s/].*?)?\s*"
)
_LONGEST = 100  # characters of a number with a unit; the pattern takes the square of it
_DECIMAL_COMMA = re.compile(r"\s*[+-]?\d*,\d+")


def parse(text: str, *, kind: Kind) -> float:
    """Read a number with a unit.

    Parameters
    ----------
    text : str
        For instance ``"0.070 in"``, ``"1 1/4 in"`` or ``"90 deg"``. A bare number is taken as mm,
        degrees or MPa.
    kind : {"length", "angle", "pressure"}
        What the number must be.

    Returns
    -------
    float
        The value [mm], [deg] or [MPa].

    Raises
    ------
    UnitError
        If the text is not one number and one known unit of that kind. A decimal comma is
        refused, never guessed: ``12,5`` is 12.5 to one reader and 125 to another.

    Examples
    --------
    >>> parse("0.070 in", kind="length")
    1.778
    >>> parse("0.25 rev", kind="angle")
    90.0
    >>> parse("1 1/4 in", kind="length"), parse("1/32 in", kind="length")
    (31.75, 0.79375)
    """
    units = UNITS[kind]
    default = next(iter(units))
    if len(text) > _LONGEST:
        raise UnitError(f"must be a number with a unit, not a text of {len(text)} characters")
    if _DECIMAL_COMMA.match(text):
        raise UnitError(f"write a decimal point, not a comma: {text.replace(',', '.')!r}")
    number, unit = _split(text, f"must be a number with a unit, one of {', '.join(units)}")
    factor = units.get(unit or default)
    if factor is None:
        raise UnitError(f"unknown {kind} unit {unit!r}; use one of {', '.join(units)}")
    return _scaled(number, factor)


def _split(text: str, rule: str) -> tuple[float, str]:
    """Number and unit of a text: decimal, or a fraction as on a drawing in inches."""
    fraction = _FRACTION.fullmatch(text)
    if fraction is not None:
        sign, whole, over, under, unit = fraction.groups()
        if int(under) == 0:
            raise UnitError(f"divides by 0: {text.strip()!r}")
        value = int(whole or 0) + int(over) / int(under)
        return (-value if sign == "-" else value), unit
    match = _NUMBER.fullmatch(text)
    if match is None:
        raise UnitError(rule)
    return float(match[1]), match[2]


def _scaled(number: float, factor: float) -> float:
    """Multiply, and drop the last-digit noise a unit factor brings (0.07 * 25.4)."""
    return float(f"{number * factor:.15g}")


SHOWN_IN_INCHES: MappingProxyType[str, tuple[float, str]] = MappingProxyType(
    {
        "mm": (1.0 / 25.4, "in"),
        "mm²": (1.0 / 25.4**2, "in²"),
        "mm/rev": (1.0 / 25.4, "in/rev"),
        "MPa": (1.0 / PRESSURE_UNITS_MPA["psi"], "psi"),
    }
)
"""Factor and unit in which people who measure in inches are shown a number; others stay."""

_SIZED = re.compile(r"([+±-]?\d+(?:\.\d+)?)(?: to ([+±-]?\d+(?:\.\d+)?))? (mm²|mm|MPa)(?![\w/²])")


def shown(value: float, unit: str, units: str) -> tuple[float, str]:
    """A number and its unit as people are shown it.

    Parameters
    ----------
    value : float
    unit : str
    units : {"mm", "in"}
        As the design file's ``[design] units``.

    Examples
    --------
    >>> shown(25.4, "mm", "in"), shown(62.0, "deg", "in"), shown(25.4, "mm", "mm")
    ((1.0, 'in'), (62.0, 'deg'), (25.4, 'mm'))
    """
    if units == "mm" or unit not in SHOWN_IN_INCHES:
        return value, unit
    factor, other = SHOWN_IN_INCHES[unit]
    return _scaled(value, factor), other


def said(text: str, units: str) -> str:
    """A sentence with inch and psi beside every mm and MPa it names, for who measures in inches.

    Numbers without a unit of their own stay in the unit of their sentence.

    Examples
    --------
    >>> said("gap 0.254 mm, at most 1.00 to 2.00 mm", "in")
    'gap 0.254 mm [0.0100 in], at most 1.00 to 2.00 mm [0.0394 to 0.0787 in]'
    >>> said("1.0 MPa allowed", "in")
    '1.0 MPa [145 psi] allowed'
    >>> said("gap 0.254 mm", "mm")
    'gap 0.254 mm'
    """
    if units == "mm":
        return text
    return _SIZED.sub(_beside, text)


def _beside(match: re.Match[str]) -> str:
    factor, unit = SHOWN_IN_INCHES[match[3]]
    numbers = [one for one in (match[1], match[2]) if one is not None]
    places = 4 if unit == "in" else 3 if unit == "in²" else 0
    words = [f"{'±' if one[0] == '±' else ''}{_number(one, factor, places)}" for one in numbers]
    return f"{match[0]} [{' to '.join(words)} {unit}]"


def _number(text: str, factor: float, places: int) -> str:
    value = float(text.lstrip("±")) * factor
    return f"{value:{'+' if text[0] == '+' else ''}.{places}f}"
