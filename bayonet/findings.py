"""One judgement of a design: verdict, value, limit, source and what to change."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from enum import StrEnum

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


def left_open(code: str, why: str) -> Finding:
    """A check that could not be made, and why."""
    return Finding(code=code, verdict=Verdict.OPEN, message=why)


def _noise(limit: float) -> float:
    return 1e-9 * max(1.0, abs(limit))


def _finite(value: float) -> float | None:
    return value if math.isfinite(value) else None


def worst(findings: tuple[Finding, ...]) -> Verdict:
    """The worst verdict of a set; ``open`` counts as pass."""
    verdicts = {finding.verdict for finding in findings}
    for verdict in (Verdict.FAIL, Verdict.LOOK):
        if verdict in verdicts:
            return verdict
    return Verdict.PASS
