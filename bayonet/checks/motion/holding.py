"""What holds a locked plug against turning back, and when."""

from __future__ import annotations

from bayonet.checks.motion.proof import Proof
from bayonet.findings import PRACTICE, Finding, Verdict
from bayonet.parts import Plug, Socket

_FREE_DEG = 1e-3


def range_text(nominal: float, low: float, high: float, unit: str, digits: int = 3) -> str:
    """Nominal value and the ends of its range, as people read it."""
    low, high = min(low, high), max(low, high)
    return f"{nominal:.{digits}f} {unit} ({low:.{digits}f} to {high:.{digits}f})"


def held(socket: Socket, proof: Proof, pressed: str) -> Finding:
    """Judge what keeps a plug at its stop.

    A detent is a bump on the roof: it is in the way of a plug that is pushed outwards, lugs on the
    roof. A plug with its shoulder on the mouth passes under it, as it did on the way in.

    Parameters
    ----------
    socket : Socket
    proof : Proof
    pressed : str
        What pushes the locked plug outwards, and when; empty where nothing does.

    Returns
    -------
    Finding
    """
    nominal, tight, loose = proof.nominal, proof.tightest, proof.loosest
    # crest and pocket may each lie anywhere in the zone of the roof
    least = min(tight.hold_mm, nominal.hold_mm, loose.hold_mm) - 2.0 * socket.limits.roof_mm
    deep = least > 0.0
    play = range_text(nominal.back_deg, tight.back_deg, loose.back_deg, "deg")
    free = loose.seated_back_deg >= loose.furthest_deg - _FREE_DEG
    if deep:
        text = (
            f"angular play {play}, then the detent holds {nominal.hold_mm:.3f} mm deep, at least"
            f" {least:.3f}, {_when(pressed, free=free)}"
        )
    elif nominal.hold_mm > 0.0:
        text = f"the detent holds {nominal.hold_mm:.3f} mm deep, less than its limits may take away"
    else:
        text = f"nothing but friction holds it locked: it can turn back {nominal.back_deg:.1f} deg"
    good = deep and (bool(pressed) or not free)
    return Finding(
        code="motion.angular_play",
        verdict=Verdict.PASS if good else Verdict.LOOK,
        message=text,
        value=nominal.back_deg,
        unit="deg",
        source="free region of the developed plane, lugs on the roof and shoulder on the mouth",
        change="" if good else _change(deep=deep),
    )


def _when(pressed: str, *, free: bool) -> str:
    while_pushed = f"while {pressed} pushes the plug outwards" if pressed else (
        "but only while something pushes the plug outwards, and nothing here does"
    )  # fmt: skip
    if not free:
        return while_pushed
    return f"{while_pushed}; with its shoulder on the mouth it turns back without touching the bump"


def _change(*, deep: bool) -> str:
    if deep:
        return (
            "a spring or a face seal that pushes the plug outwards: it must then be pushed in to be"
            " turned back, against that force over the depth of the detent; or a latch"
        )
    return "a detent, or clamp seating, where vibration is to be expected"


LITTLE_LEFT = ": less than half of what it has in the middle"


def along_lines(plug: Plug, socket: Socket, *, area: float, left: float, aside: float) -> Finding:
    """Round pins: what bears is a line, and strength judges it; here, that enough of it is left."""
    each = area / len(plug.lugs)
    long = min(lug.outer_radius_mm for lug in plug.lugs) - socket.track_bore_radius_mm
    kept = left >= 0.5 * each
    return Finding(
        code="motion.bearing_area",
        verdict=Verdict.PASS if kept else Verdict.LOOK,
        message=(
            f"round pins bear along a line of {long:.2f} mm each, judged under load as a contact of"
            f" Hertz (load.line_contact); {each:.1f} mm² of each are over the roof, and a pin the"
            f" plug is pushed away from by {aside:.2f} mm keeps {left:.1f} mm²"
            + ("" if kept else LITTLE_LEFT)
        ),
        value=left,
        limit=0.5 * each,
        margin=left - 0.5 * each,
        unit="mm²",
        source=PRACTICE,
        change="" if kept else "less body clearance",
    )
