"""How a dimension is written: digits, signs, limits, in mm or in both units. One way for all."""

from __future__ import annotations

import math

from bayonet.dimensions.record import Dimension

MM_PER_INCH = 25.4
_LEAST_DIGITS = {"mm": 2, "deg": 1, "mm/rev": 2}
_SHARE = 0.05  # of the limits that rounding may take
_MOST_DIGITS = 4
_INCH_MORE = 1  # digits more than in mm, as 0.001 in is 0.0254 mm


def digits_of(one: Dimension) -> int:
    """Decimals a dimension is written with: rounding takes a twentieth of its limits at most.

    Examples
    --------
    26.5455 within 0.02: with two decimals it would be 0.0045 off, with three 0.0005.

    >>> seal = Dimension(
    ...     number=1,
    ...     key="",
    ...     name="",
    ...     kind="diameter",
    ...     nominal=26.5455,
    ...     lower=-0.02,
    ...     upper=0.02,
    ...     feature="",
    ... )
    >>> digits_of(seal), figure(seal)
    (3, 'Ø26.546')
    """
    least = _LEAST_DIGITS[one.unit]
    width = min(abs(one.lower), abs(one.upper))
    if not width > 0.0:
        return least + 1
    asked = math.ceil(-math.log10(2.0 * _SHARE * width) - 1e-9)
    return max(least, min(asked, _MOST_DIGITS))


def printed(one: Dimension) -> float:
    """The nominal as it is written, which is what the part is made to [unit]."""
    return round(one.nominal, digits_of(one))


def figure(one: Dimension, *, inch: bool = False) -> str:
    """Sign, number and unit of the nominal: ``Ø32.2``, ``30.67°``; with inches in brackets."""
    digits = digits_of(one)
    text = f"{_sign(one)}{_number(printed(one), digits)}{_unit(one)}"
    if inch and one.unit != "deg":
        unit = "/rev" if one.unit == "mm/rev" else ""
        text += f" [{printed(one) / MM_PER_INCH:.{digits + _INCH_MORE}f} in{unit}]"
    return text


def limits_text(one: Dimension, *, inch: bool = False) -> str:
    """The deviations: ``±0.05``, ``+0.1 0``; empty where there are none.

    Examples
    --------
    >>> bore = Dimension(
    ...     number=1,
    ...     key="",
    ...     name="",
    ...     kind="diameter",
    ...     nominal=32.2,
    ...     lower=-0.05,
    ...     upper=0.05,
    ...     feature="",
    ... )
    >>> limits_text(bore), limits_text(bore, inch=True)
    ('±0.05', '±0.05 [±0.0020]')
    """
    if one.status != "limits" or (one.lower == 0.0 and one.upper == 0.0):
        return ""
    degree = "°" if one.unit == "deg" else ""
    if math.isclose(one.upper, -one.lower, rel_tol=1e-9):
        text = f"±{_plain(one.upper)}{degree}"
        if inch and one.unit != "deg":
            text += f" [±{one.upper / MM_PER_INCH:.4f}]"
        return text
    text = f"{_signed(one.upper)} {_signed(one.lower)}{degree}"
    if inch and one.unit != "deg":
        low, high = one.lower / MM_PER_INCH, one.upper / MM_PER_INCH
        text += f" [{high:+.4f} {low:+.4f}]"
    return text


def _sign(one: Dimension) -> str:
    return "Ø" if one.kind == "diameter" else ""


def _unit(one: Dimension) -> str:
    return {"mm": "", "deg": "°", "mm/rev": " mm/rev"}[one.unit]


def _number(value: float, digits: int) -> str:
    text = f"{value:.{digits}f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def _plain(value: float) -> str:
    return _number(value, 3) if value >= 0.01 else f"{value:.2g}"


def _signed(value: float) -> str:
    return "0" if value == 0.0 else f"{'+' if value > 0 else '-'}{_plain(abs(value))}"
