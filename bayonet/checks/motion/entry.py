"""Does the plug get into its slots? Judged from the free region and the sides' clearances."""

from __future__ import annotations

from bayonet.checks.motion.proof import Proof
from bayonet.developed import Motion, side_clearance_mm
from bayonet.findings import Finding, Verdict
from bayonet.parts import Lug, Track

REGION = "free region of the developed plane (configuration space, Lozano-Perez 1983)"

Pairs = tuple[tuple[Lug, Track], ...]

_HALF = 0.5


def enters(tight: Pairs, proof: Proof) -> Finding:
    """By the bound alone: the largest lugs, wherever their axis lies, in the narrowest slots."""
    least = min(side_clearance_mm(lug, track) for lug, track in tight)
    wide_enough = least >= 0.0
    goes_in = gets_in(proof.tightest) and wide_enough
    change = f"lug_side clearance {max(-least, 0.0) + 0.05:.2f} mm more"
    if goes_in:
        message = f"every plug goes into the slots; least side gap {least:.3f} mm"
    elif wide_enough:  # nothing is short at the sides: a floor, ledge or roof is in the way
        who = "the plug does" if not gets_in(proof.nominal) else "the largest plugs do"
        message = (
            f"{who} not go in, though every slot is wide enough (least side gap {least:.3f} mm):"
            " something below the mouth blocks the lugs on their way down"
        )
        change = "deeper floors (socket.clearance.floor), or lugs that reach less deep"
    elif not gets_in(proof.nominal):
        message = f"the plug does not go into the slots ({-least:.3f} mm short at each side)"
    else:
        message = f"the widest plugs do not go into the narrowest slots ({-least:.3f} mm short)"
    blocked = wide_enough and not goes_in
    return Finding(
        code="motion.enters",
        verdict=Verdict.PASS if goes_in else Verdict.FAIL,
        message=message,
        value=None if blocked else least,
        limit=None if blocked else 0.0,
        margin=None if blocked else least,
        unit="mm",
        source=REGION,
        change="" if goes_in else change,
    )


def gets_in(motion: Motion) -> bool:
    """Whether the plug gets past the openings, not only a corner of a lug."""
    lift = motion.region.window.lift_mm
    return motion.entered is not None and motion.entered.bounds[1] <= _HALF * lift
