"""A comparison's lines as texts, for screen and page alike."""

from __future__ import annotations

from typing import Any

from bayonet.checks import Comparison, Line
from bayonet.findings import plain

HEADINGS = {
    "input": "Input that differs",
    "verdict": "Verdicts that differ",
    "size": "Sizes of the socket that differ",
    "margin": "Margins at the worst corner",
    "yield": "Yield",
    "load": "Load",
}
_ABSENT = "-"


def sections(found: Comparison) -> tuple[tuple[str, tuple[tuple[str, ...], ...]], ...]:
    """Headings, and under each its rows: what it is with its unit, and a text a design.

    Parameters
    ----------
    found : Comparison

    Returns
    -------
    tuple of (heading, rows)
        Sizes and margins in which all designs agree are left out.
    """
    shown = []
    for about, heading in HEADINGS.items():
        always = about in ("yield", "load", "verdict")
        lines = [one for one in found.about(about) if always or one.differs]
        if lines:
            shown.append((heading, tuple(_row(one) for one in lines)))
    return tuple(shown)


def _row(line: Line) -> tuple[str, ...]:
    unit = f" [{line.unit}]" if line.unit else ""
    return (f"{line.meaning}{unit}", *(_text(value, line.about) for value in line.values))


def _text(value: Any, about: str) -> str:
    if value is None:
        return _ABSENT
    if isinstance(value, float):
        digits = 6 if about == "yield" else 4
        return plain(value, digits, sign=about == "margin")
    return str(value)
