"""ISO 20457: tolerances of plastics mouldings, as far as a page could be read: group TG5."""

from __future__ import annotations

from bayonet.errors import TableError
from bayonet.standards.tables import rows

SOURCE = "ISO 20457 (as DIN 16742; from a secondary page, unconfirmed)"


def tolerance(size_mm: float, group: str) -> float:
    """Plus-or-minus tolerance of a moulded length.

    Parameters
    ----------
    size_mm : float
        Nominal length [mm].
    group : str
        ``"TG5"``, for lengths across parts of the tool, or ``"TG5 tool-fixed"``.

    Returns
    -------
    float
        Half-width [mm].

    Raises
    ------
    TableError
        For another group, or a length outside over 1 to 1000 mm.

    Examples
    --------
    >>> tolerance(30.0, "TG5"), tolerance(6.0, "TG5 tool-fixed")
    (0.17, 0.06)
    """
    name, _, fixed = group.partition(" ")
    column = "tool_fixed_pm_mm" if fixed == "tool-fixed" else "not_tool_fixed_pm_mm"
    for row in rows("moulding"):
        if row["group"] == name and float(row["over_mm"]) < size_mm <= float(row["upto_mm"]):
            return float(row[column])
    raise TableError(f"{SOURCE}: the table here holds TG5 over 1 to 1000 mm, not {group} {size_mm}")
