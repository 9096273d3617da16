"""Can ring and body be milled? The end mill from below, what it leaves of the ramp, webs."""

from __future__ import annotations

import functools
import math
from collections.abc import Iterator

from bayonet.developed import cutting
from bayonet.findings import PRACTICE, Finding, Verdict, at_least, at_most, left_open
from bayonet.mechanics import largest_mill_mm, steepest_swing_deg
from bayonet.parts import MOST_SLENDER, Design, Joint, Lug, Track, webs

FULL_SHARE = 0.5
"""Share of the area under the roof that must bear. Common practice, no source."""

_LEAST_WEB_MM = 1.0
_MILLED = "flat end mill, last pass along the wall"


def least_bearing(design: Design) -> float:
    """Share of the area under the roof that must bear as it is cut: asked for, or the usual."""
    asked = design.spec.socket.track.least_bearing
    return FULL_SHARE if asked is None else asked


def assumption(joint: Joint) -> str:
    """How ring and body are made, where the findings take it for granted."""
    named = "" if joint.mill_named else " (proposed: the largest that keeps the roof's limits)"
    return (
        f"Ring: turned, then slots, ramps and holes milled from its underside in one clamping with"
        f" a sharp-cornered end mill Ø{2 * joint.mill_radius_mm:g}{named}, counterbores from the"
        " mouth. The mill is run out beyond the wall at corners of slot and stop, so that no radius"
        " is left there. Body: turned in one clamping, counterbore and bores together; then holes."
        f" Break every edge a hand or the O-ring meets ({PRACTICE})."
    )


def findings(design: Design, joint: Joint, *, lock_deg: float) -> tuple[Finding, ...]:
    """Judge how a retaining ring and its body can be cut.

    Parameters
    ----------
    design : Design
    joint : Joint
    lock_deg : float
        Turn at which the plug is locked [deg]; NaN where it never is.

    Returns
    -------
    tuple of Finding
    """
    return (
        _reach(joint),
        _overcut(design, joint),
        _bearing(design, joint, lock_deg),
        *_detent(design),
        *_webs(design, joint),
        _rim(design, joint),
    )


def _reach(joint: Joint) -> Finding:
    mill = 2.0 * joint.mill_radius_mm
    slender = joint.seat_mm / mill
    return at_most(
        slender,
        MOST_SLENDER,
        code="machining.mill_reach",
        message=(
            f"end mill Ø{mill:g} mm through a ring {joint.seat_mm:.2f} mm thick:"
            f" {slender:.1f} times its diameter"
        ),
        unit="-",
        source=PRACTICE,
        change="a larger mill, or slots first with a larger one and only the corners with this",
        otherwise=Verdict.LOOK,
    )


def _overcut(design: Design, joint: Joint) -> Finding:
    socket, limit = design.socket, design.socket.limits.roof_mm
    lead, wall = socket.lead_mm_per_rev, socket.track_radius_mm
    swing = steepest_swing_deg(wall_mm=wall, mill_radius_mm=joint.mill_radius_mm)
    over = lead * swing / 360.0
    most = _largest_mill_mm(design)
    return at_most(
        over,
        limit,
        code="machining.ramp",
        message=(
            f"milled from below in close passes the ramp is a true helicoid; the last pass along"
            f" the wall, {2 * joint.mill_radius_mm:g} mm wide, cuts up to {over:.3f} mm beyond it"
            if lead
            else "no lead: the mill leaves a true plane"
        ),
        unit="mm",
        source=f"{_MILLED}; limits of the roof",
        change=f"an end mill of at most {most:g} mm",
        mends=(("socket.joint.end_mill", most),),
        otherwise=Verdict.LOOK,
    )


def _largest_mill_mm(design: Design) -> float:
    """Largest mill whose last pass keeps the roof's limits, rounded down [mm]."""
    largest = largest_mill_mm(
        design.socket.limits.roof_mm, lead_mm_per_rev=design.socket.lead_mm_per_rev,
        wall_mm=design.socket.track_radius_mm,
    )  # fmt: skip
    return math.floor(40.0 * largest) / 20.0


def _bearing(design: Design, joint: Joint, lock_deg: float) -> Finding:
    code = "machining.ring_bearing"
    if not math.isfinite(lock_deg):
        return left_open(code, "it does not lock")
    if design.socket.detent_height_mm > 0.0:
        return left_open(code, "what the mill leaves of a detent is not reckoned")
    limit = design.socket.limits.roof_mm
    pairs = list(zip(design.plug.lugs, design.socket.tracks, strict=True))

    def area(within: float) -> float:
        return math.fsum(_area(lug, track, joint, lock_deg, within) for lug, track in pairs)

    left, whole = area(limit), area(math.inf)
    most = _largest_mill_mm(design)
    return at_least(
        left / whole if whole > 0.0 else math.nan,
        least_bearing(design),
        code=code,
        message=(
            f"{left:.1f} of {whole:.1f} mm² under the roof come within {limit:g} mm of it at lock,"
            " as the mill leaves it"
        ),
        unit="-",
        source=f"{_MILLED}; {_asked(design)}",
        change=f"an end mill of at most {most:g} mm, or the lugs' own lead on the track",
        mends=(("socket.joint.end_mill", most),),
    )


def _area(lug: Lug, track: Track, joint: Joint, lock_deg: float, within_mm: float) -> float:
    lag = functools.partial(
        cutting.last_pass_lag_deg, wall_mm=track.outer_radius_mm, mill_mm=joint.mill_radius_mm
    )
    return cutting.bearing_mm2(lug, track, turn_deg=lock_deg, within_mm=within_mm, lag_deg=lag)


def _asked(design: Design) -> str:
    asked = design.spec.socket.track.least_bearing
    return PRACTICE if asked is None else "socket.track.least_bearing"


def _detent(design: Design) -> Iterator[Finding]:
    if design.socket.detent_height_mm > 0.0:
        yield Finding(
            code="machining.detent_steps",
            verdict=Verdict.LOOK,
            message="a flat end mill leaves the detent's flanks as steps of its passes",
            source=_MILLED,
            change="close passes, and the steps dressed by hand",
        )


def _webs(design: Design, joint: Joint) -> Iterator[Finding]:
    socket = design.socket
    rows = webs(joint, socket.tracks, socket.sign)
    least = max(_LEAST_WEB_MM, socket.wall_mm / 4.0)
    what = min(rows, key=lambda key: rows[key])
    left = rows[what] - socket.tolerance.diameter_mm
    yield at_least(
        left,
        least,
        code="machining.webs",
        message=f"least metal between what is cut {left:.2f} mm ({what}), within limits",
        unit="mm",
        source=f"a quarter of the wall, {_LEAST_WEB_MM:g} mm at least; {PRACTICE}",
        change="another bolt circle, smaller or fewer bolts, or a smaller end mill",
        otherwise=Verdict.LOOK if left >= least / 2.0 else Verdict.FAIL,
    )
    bottom = socket.boss_height_mm - joint.seat_mm - joint.bolts.hole_depth_mm
    yield at_least(
        bottom,
        _LEAST_WEB_MM,
        code="machining.blind_holes",
        message=f"the tapped holes end {bottom:.2f} mm above the boss's end: nothing leaks there",
        unit="mm",
        source=PRACTICE,
        change="a higher boss or less engagement",
    )


def _rim(design: Design, joint: Joint) -> Finding:
    """The counterbore's rim centres the ring; it must stand being turned and be deep enough."""
    rim = design.socket.boss_radius_mm - joint.ring_radius_mm - design.socket.tolerance.diameter_mm
    deep = joint.register_mm - design.socket.tolerance.length_mm
    return at_least(
        min(rim, deep),
        _LEAST_WEB_MM,
        code="machining.register",
        message=(
            f"the body's rim round the ring is {rim:.2f} mm thick and {deep:.2f} mm deep; together"
            f" within {joint.centring_mm:g} mm on diameter it centres the ring"
        ),
        unit="mm",
        source=PRACTICE,
        change="a larger boss_diameter, or more register_height",
    )
