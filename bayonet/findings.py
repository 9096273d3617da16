"""One judgement of a design: verdict, value, limit, source and what to change."""

from __future__ import annotations

import csv
import math
from dataclasses import dataclass, replace
from enum import StrEnum
from functools import cache
from importlib.resources import files

LIMITS = "limits of the socket's process and spread of the plug"
PRACTICE = "common practice, no source"

HEADINGS = {
    "motion": "Motion",
    "clearance": "Clearances",
    "shape": "Shape",
    "machining": "Machining",
    "casting": "Casting",
    "seal": "Seal",
    "tolerance": "Tolerance",
    "load": "Load",
    "handling": "Handling",
    "print": "Printing",
    "calibrate": "Printer",
    "graft": "Graft",
    "flow": "Flow and drain",
}
"""What a person reads over the findings of one room, by the first part of their codes."""

Mends = tuple[tuple[str, float | int | str | None], ...]


class Verdict(StrEnum):
    """How a check came out."""

    PASS = "pass"
    LOOK = "look"
    FAIL = "fail"
    OPEN = "open"


SEVERITY = (Verdict.PASS, Verdict.OPEN, Verdict.LOOK, Verdict.FAIL)
"""From the mildest verdict to the worst."""


@dataclass(frozen=True, kw_only=True)
class Finding:
    """One judgement.

    Parameters
    ----------
    code : str
        Stable name, ``room.what``.
    verdict : Verdict
    message : str
        The result in plain words.
    value, limit, margin : float or None
        Value, what it is held against, and how far it is on the good side of it [unit].
    unit : str
    source : str
        Where the limit comes from.
    change : str
        What to change where it does not pass; empty otherwise.
    mends : tuple of (str, value)
        The same for a program: fields of the design file and the values that mend this finding;
        None takes a field out. Empty where no field alone mends it. See `bayonet.mended`.
    """

    code: str
    verdict: Verdict
    message: str
    value: float | None = None
    limit: float | None = None
    margin: float | None = None
    unit: str = ""
    source: str = ""
    change: str = ""
    mends: Mends = ()


@dataclass(frozen=True, kw_only=True)
class FindingCode:
    """A code a finding may carry, what it judges, and the room that judges it."""

    code: str
    judges: str
    room: str


@cache
def finding_codes() -> tuple[FindingCode, ...]:
    """Every code, in the order a reader meets them; `tests/checks/test_codes.py` holds it complete.

    Examples
    --------
    >>> next(one.judges for one in finding_codes() if one.code == "seal.squeeze")
    'squeeze of the ring'
    """
    text = (files("bayonet.data") / "finding_codes.csv").read_text("utf-8")
    return tuple(FindingCode(**row) for row in csv.DictReader(text.splitlines(), strict=True))


def at_least(
    value: float,
    limit: float,
    *,
    code: str,
    message: str,
    unit: str,
    source: str,
    change: str,
    mends: Mends = (),
    otherwise: Verdict = Verdict.FAIL,
) -> Finding:
    """A finding that passes where ``value >= limit``; NaN never passes.

    Examples
    --------
    >>> at_least(0.3, 0.5, code="x", message="", unit="mm", source="", change="wider").verdict
    <Verdict.FAIL: 'fail'>
    """
    good = value >= limit - _noise(limit)
    return Finding(
        code=code,
        verdict=Verdict.PASS if good else otherwise,
        message=message,
        value=_finite(value),
        limit=limit,
        margin=_finite(value - limit),
        unit=unit,
        source=source,
        change="" if good else change,
        mends=() if good else mends,
    )


def at_most(
    value: float,
    limit: float,
    *,
    code: str,
    message: str,
    unit: str,
    source: str,
    change: str,
    mends: Mends = (),
    otherwise: Verdict = Verdict.FAIL,
) -> Finding:
    """As `at_least`, for a value that must not exceed its limit."""
    turned = at_least(
        -value, -limit, code=code, message=message, unit=unit, source=source, change=change,
        mends=mends, otherwise=otherwise,
    )  # fmt: skip
    return replace(turned, value=_finite(value), limit=limit)


def plain(value: float, digits: int = 3, *, sign: bool = False) -> str:
    """A number as people read it: significant digits, no power of ten, rounding noise as 0.

    Parameters
    ----------
    value : float
    digits : int
        Significant digits at least; all digits before the point are always shown.
    sign : bool
        With a plus where it is positive.

    Returns
    -------
    str

    Examples
    --------
    >>> plain(100.0, 2), plain(8.33e-17, sign=True), plain(-0.27512, sign=True), plain(1234.5)
    ('100', '0', '-0.275', '1234')
    """
    if not math.isfinite(value):
        return "none"
    if abs(value) < _READABLE:
        return "0"
    places = max(0, digits - 1 - math.floor(math.log10(abs(value))))
    text = f"{value:{'+' if sign else ''}.{places}f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def margin_text(finding: Finding) -> str:
    """How far the value is on the good side of its limit, with sign and unit; empty if unknown.

    Examples
    --------
    >>> margin_text(at_least(8.0, 9.5, code="", message="", unit="mm", source="", change=""))
    '-1.5 mm'
    """
    if finding.margin is None or finding.unit in ("", "wrong ways round"):
        return ""
    unit = "" if finding.unit == "-" else f" {finding.unit}"
    return f"{plain(finding.margin, sign=True)}{unit}"


def sentence(text: str) -> str:
    """Text with one full stop at its end.

    Examples
    --------
    >>> sentence("it can burst"), sentence("it can burst.")
    ('it can burst.', 'it can burst.')
    """
    return text if text.endswith((".", "!", "?")) else f"{text}."


def span_text(least: float, most: float, digits: int = 3) -> str:
    """A range, or one number where both ends read alike.

    Examples
    --------
    >>> span_text(0.1, 0.3), span_text(0.3, 0.3)
    ('0.1 to 0.3', '0.3')
    """
    low, high = plain(least, digits), plain(most, digits)
    return low if low == high else f"{low} to {high}"


def left_open(code: str, why: str) -> Finding:
    """A check that could not be made, and why."""
    return Finding(code=code, verdict=Verdict.OPEN, message=why)


_READABLE = 1e-9
"""Below this a number is the rounding of a sum, in every unit used here."""


def _noise(limit: float) -> float:
    return 1e-9 * max(1.0, abs(limit))


def _finite(value: float) -> float | None:
    return value if math.isfinite(value) else None


def worst(findings: tuple[Finding, ...]) -> Verdict:
    """The worst verdict of a set: fail, look, open, and pass only where all of them pass."""
    verdicts = {finding.verdict for finding in findings}
    for verdict in (Verdict.FAIL, Verdict.LOOK, Verdict.OPEN):
        if verdict in verdicts:
            return verdict
    return Verdict.PASS
