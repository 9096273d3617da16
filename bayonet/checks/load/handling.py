"""Can a hand turn it, and does it stay where it was turned to?"""

from __future__ import annotations

import math
from collections.abc import Iterator

from bayonet.errors import DesignError
from bayonet.findings import Finding, Mends, Verdict, at_least, at_most, left_open
from bayonet.parts import Design, changed
from bayonet.strength import WIDEST_GRIP_MM, Range, StrengthStudy, Turning

_RING_SOURCE = "ring load: Lindley 1967, Gent 1958 (from memory)"
_DWELL: Mends = (("socket.track.dwell_deg", 10.0),)
HARMLESS_MPA = 0.05
"""Gauge pressure up to which equipment is no pressure equipment in law [MPa]. Hot fluid still
scalds, so what opens below it is looked at, not passed."""
_HARMLESS_SOURCE = "Directive 2014/68/EU, Article 1(1): pressure equipment is above 0.5 bar"
_THREAD = "square thread, Shigley eq. 8-1 to 8-6"


def findings(design: Design, found: StrengthStudy) -> tuple[Finding, ...]:
    """Judge torque and self-locking.

    Parameters
    ----------
    design : Design
    found : StrengthStudy

    Returns
    -------
    tuple of Finding
    """
    if isinstance(found.turning, str):
        why = found.turning
        return (left_open("handling.torque", why), left_open("handling.under_pressure", why))
    turning = found.turning
    return (
        _torque(design, found, "lock", "to lock", turning.lock),
        *_clamp(found, turning),
        _torque(design, found, "unlock", "to unlock", turning.unlock),
        *_detent(design, found, turning),
        *_self_locking(design, found, turning),
        *_under_pressure(design, found, turning),
    )


def _torque(design: Design, found: StrengthStudy, key: str, words: str, torque: Range) -> Finding:
    """One torque against what anybody's hand does at the grip."""
    hand = found.hand
    change, mends = _larger_grip(design, found, torque[1])
    lug = "" if isinstance(found.lug_friction, str) else _friction_words(found)
    return at_most(
        torque[1],
        hand.anybody_nm,
        code=f"handling.{key}",
        message=(f"{torque[0]:.2f} to {torque[1]:.2f} N m {words}, {lug}; {hand.words}"),
        unit="N m",
        source=f"{_THREAD}; {_RING_SOURCE}; hand: {hand.source}",
        change=change,
        mends=mends,
        otherwise=Verdict.LOOK if torque[1] <= hand.strong_nm else Verdict.FAIL,
    )


def _friction_words(found: StrengthStudy) -> str:
    assert not isinstance(found.lug_friction, str)
    assert not isinstance(found.ring, str)
    lug, ring = found.lug_friction, found.ring.friction
    return f"friction {lug.words} on the lugs, {ring.words} on the ring"


def _larger_grip(design: Design, found: StrengthStudy, torque_nm: float) -> tuple[str, Mends]:
    """The grip at which anybody manages it, else what is left to do."""
    hand = found.hand
    ease = "grease ring and lugs" if design.spec.service.lubrication == "dry" else "a softer ring"
    if design.spec.service.hand_torque_nm is not None or hand.grip_mm >= WIDEST_GRIP_MM:
        return f"{ease}, less squeeze, a smaller ring, or a spanner", ()
    needed = hand.grip_mm * torque_nm / hand.anybody_nm
    if needed > WIDEST_GRIP_MM:
        return f"{ease}, less squeeze, a smaller ring, or wings or a spanner", ()
    grip = round(needed + 0.5)
    return f"grip_diameter = {grip}; or {ease}", (("service.grip_diameter", grip),)


def _clamp(found: StrengthStudy, turning: Turning) -> Iterator[Finding]:
    """Clamp load at hand torque against what the ring and the pressure push back with."""
    if turning.clamp_n is None:
        return
    assert not isinstance(found.ring, str)
    ring = found.ring.normal_n[1] if found.ring.axial else 0.0
    needed = ring + found.working_n
    weak, strong = turning.clamp_n
    yield at_least(
        weak,
        needed,
        code="handling.clamp_load",
        message=(
            f"at least {weak:.0f} N of clamp are reached, at most {strong:.0f} N; to keep the"
            f" shoulder down takes {needed:.0f} N (ring {ring:.0f}, pressure"
            f" {found.working_n:.0f} N)"
        ),
        unit="N",
        source=f"{_THREAD}; hand: {found.hand.source}",
        change="a larger grip, a flatter lead, a smaller ring, or a spanner with a stated torque",
        otherwise=Verdict.LOOK,
    )


def _detent(design: Design, found: StrengthStudy, turning: Turning) -> Iterator[Finding]:
    if turning.detent is not None:
        yield _torque(design, found, "detent", "at the peak of the detent", turning.detent)


def _self_locking(design: Design, found: StrengthStudy, turning: Turning) -> Iterator[Finding]:
    """Lead angle under the locked lugs against the least friction angle."""
    assert not isinstance(found.lug_friction, str)
    lead, angle = turning.lead_angle_deg, turning.lowest_friction_angle_deg
    held = design.spec.socket.track.detent is not None
    shaken = (
        "the detent keeps it when shaken"
        if held
        else "vibration can still walk it back: a detent, a latch or a lock wire keeps it"
    )
    change, mends = _hold(design, found) if angle < lead else ("", ())
    where = (
        "the roof is level under the locked lugs" if lead == 0.0 else f"lead angle {lead:.2f} deg"
    )
    yield at_least(
        angle - lead,
        0.0,
        code="handling.self_locking",
        message=f"{where}, friction {found.lug_friction.words}, so an angle of {angle:.2f} deg at"
        " least: under load it"
        f" {'holds by itself' if angle >= lead else 'turns back by itself'}; {shaken}",
        unit="deg",
        source=f"self-locking, Shigley eq. 8-3; friction: {found.lug_friction.source}",
        change=change,
        mends=mends,
    )


def _hold(design: Design, found: StrengthStudy) -> tuple[str, Mends]:
    """What makes it hold: a dwell, or with a ramp that clamps a lead below the friction angle."""
    if design.socket.seating == "stop":
        if _can_be_drawn(design, _DWELL):
            return "a dwell (dwell_deg = 10), a flatter lead or a detent", _DWELL
        return "a flatter lead, a longer turn with a dwell, or a detent", ()
    assert not isinstance(found.lug_friction, str)
    across = 2.0 * float(found.nominal.radius_mm.mean())
    lead = math.floor(9.0 * math.pi * across * found.lug_friction.least) / 10.0
    lead_fields: Mends = (("socket.track.lead", lead), ("socket.track.lead_angle_deg", None))
    return f"lead = {lead:g} of the track, and of the lugs, or rougher lugs", lead_fields


def _can_be_drawn(design: Design, mends: Mends) -> bool:
    try:
        changed(design, mends)
    except DesignError:
        return False
    return True


def _under_pressure(design: Design, found: StrengthStudy, turning: Turning) -> Iterator[Finding]:
    """A closure a hand can open under pressure throws its plug out."""
    torque = turning.under_pressure
    if torque is None:
        yield left_open("handling.under_pressure", "give service.pressure")
        return
    strong, named = found.hand.strong_nm, design.spec.service.safeguard
    opens = not torque[0] >= strong
    low = found.working_mpa is not None and found.working_mpa <= HARMLESS_MPA + 1e-9
    text = (
        f"{torque[0]:.2f} to {torque[1]:.2f} N m unlock it at working pressure; a strong hand"
        f" or the tool does {strong:.1f} N m"
    )
    if opens:
        text += ": it can be opened under pressure, and the plug then flies out"
        text += f"; against it: {named} (its working is not judged here)" if named else ""
    if opens and low and not named:
        text += f"; the pressure is not above {10 * HARMLESS_MPA:g} bar ({_HARMLESS_SOURCE})"
    yield at_least(
        torque[0],
        strong,
        code="handling.under_pressure",
        message=text,
        unit="N m",
        source=f"{_THREAD}; interlocks of quick-opening closures: ASME VIII-1 UG-35 (from memory)",
        change=(
            "see that it cannot be got round, and a warning on the part"
            if named
            else "a vent to be opened before unlocking, a latch, or an interlock, named in"
            " service.safeguard; and a warning on the part"
        ),
        otherwise=Verdict.LOOK if named or low else Verdict.FAIL,
    )
