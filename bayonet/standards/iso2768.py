"""ISO 2768-1: general tolerances of lengths, radii and angles without a tolerance of their own."""

from __future__ import annotations

import math
import re
from typing import Literal

from bayonet.errors import TableError
from bayonet.standards.tables import rows

SOURCE = "ISO 2768-1:1989"

Kind = Literal["linear", "external radius/chamfer", "angular (shorter side)"]

_DEGREES = re.compile(r"(?:(\d+)°)?(?:(\d+)')?")


def tolerance(size_mm: float, tolerance_class: str, *, kind: Kind = "linear") -> float:
    """Plus-or-minus tolerance of a class.

    Parameters
    ----------
    size_mm : float
        Nominal length; for angles the length of the shorter side [mm].
    tolerance_class : {"f", "m", "c", "v"}
        Fine, medium, coarse, very coarse.
    kind : str
        Lengths, external radii and chamfers, or angles.

    Returns
    -------
    float
        Half-width [mm], or [deg] for angles.

    Raises
    ------
    TableError
        If the table has no such cell.

    References
    ----------
    .. [1] ISO 2768-1:1989, tables 1 (lengths), 2 (radii, chamfers) and 3 (angles).

    Examples
    --------
    >>> tolerance(30.0, "m"), tolerance(30.01, "m"), tolerance(60.0, "f", kind="linear")
    (0.2, 0.3, 0.15)
    """
    for row in rows("iso2768"):
        if row["table"] == kind and row["class"] == tolerance_class:
            upto = math.inf if row["upto_mm"] == "inf" else float(row["upto_mm"])
            if _holds(float(row["over_mm"]), size_mm, upto):
                return _value(row["tolerance_pm"])
    raise TableError(
        f"{SOURCE} has no {kind} tolerance of class {tolerance_class!r} at {size_mm:g}"
    )


def _holds(over: float, size: float, upto: float) -> bool:
    """``over < size <= upto``; the first interval of lengths includes its 0.5 mm."""
    return over < size <= upto or (over == size == 0.5)


def _value(text: str) -> float:
    match = _DEGREES.fullmatch(text)
    if match is None or not any(match.groups()):
        return float(text)
    degrees, minutes = (int(part or 0) for part in match.groups())
    return degrees + minutes / 60.0
