"""What must be read before anything else: it stands over every page, picture and file."""

from __future__ import annotations

from collections.abc import Iterable

from bayonet.cautions import PRINTED_HEADLINE, PRINTED_MARK
from bayonet.findings import Finding, Verdict
from bayonet.parts import Design

_CAUTIONS = (
    "Strength is judged by textbook formulas for steady pressure, not by a pressure vessel code:"
    " fatigue, creep, shock and corrosion are not in it, and neither is the weld to the tank."
    " Whether the compound stands the fluid is for its maker to say.",
)
_TEST_IT = (
    "A part under pressure or with hot fluid can injure. Proof-test it, follow the local code,"
    " and let a licensed engineer and a qualified welder judge what they must."
)
_NEVER_TEST_IT = (
    "This printed part is for trying the fit. Do not pressurise it, not even to test it: it can"
    " burst. What is made after it for service must be judged and tested anew."
)
_PRINTED = "Printed parts are for trying the fit. Do not pressurise them."


def headline_of(design: Design, found: Iterable[Finding]) -> tuple[str, ...]:
    """Lines that belong over everything written about a design; empty where there is none.

    Parameters
    ----------
    design : Design
    found : iterable of Finding

    Returns
    -------
    tuple of str
    """
    lines = []
    if design.socket.process == "printed":
        lines.append(PRINTED_HEADLINE)
    if design.spec.socket.seal.kind == "none":
        lines.append("Nothing seals: the fitting holds the plug, not fluid, gas or pressure.")
    opens = next((one for one in found if one.code == "handling.under_pressure"), None)
    if opens is None or design.spec.service.pressure is None:
        return tuple(lines)
    if opens.verdict is Verdict.OPEN:
        lines.append("Whether a hand can open it under pressure is open: see Handling.")
    elif opens.verdict is not Verdict.PASS:
        named = design.spec.service.safeguard
        against = f"Against it: {named}" if named else "No vent, latch or interlock is named"
        lines.append(
            "A hand or its tool can open it under pressure, and the plug then flies out."
            f" {against}."
        )
    return tuple(lines)


def marks_of(design: Design, verdict: Verdict) -> tuple[str, ...]:
    """The same in a few words, for pictures: what a reader must not do with the part."""
    fails = ("FAIL: do not make this part",) if verdict is Verdict.FAIL else ()
    printed = (PRINTED_MARK,) if design.socket.process == "printed" else ()
    return (*printed, *fails)


def cautions_of(design: Design) -> tuple[str, ...]:
    """Cautions of a design; a printed part is never told to be tested under pressure."""
    if design.socket.process == "printed":
        return (*_CAUTIONS, _NEVER_TEST_IT)
    return (*_CAUTIONS, _TEST_IT, _PRINTED)
