"""Radii and axial gaps that the developed plane does not show: lugs, body, shoulder, nose."""

from __future__ import annotations

from collections.abc import Iterator

from bayonet import rounding
from bayonet.findings import LIMITS, PRACTICE, Finding, Verdict, at_least
from bayonet.parts import BodyStepMm, Plug, Socket
from bayonet.tolerance.fitting import least_body_gap, least_bore, sideways

_LEAST_SEAT_MM = 1.0
_LEAST_LUG_SHARE = 0.5


def findings(plug: Plug, socket: Socket) -> tuple[Finding, ...]:
    """Judge radial and axial gaps over the whole zone.

    Parameters
    ----------
    plug : Plug
    socket : Socket

    Returns
    -------
    tuple of Finding
    """
    return (
        _lug_radial(plug, socket),
        _body(plug, socket),
        *_lugs_in_seal(plug, socket),
        _radial_overlap(plug, socket),
        _shoulder(plug, socket),
        *_nose(plug, socket),
    )


def _lug_radial(plug: Plug, socket: Socket) -> Finding:
    half_width = socket.limits.track_wall_mm / 2.0
    gaps = [
        (track.outer_radius_mm - lug.outer_radius_mm, half_width + lug.zone.outer_radius_mm)
        for lug, track in zip(plug.lugs, socket.tracks, strict=True)
    ]
    least = min(gap - zone for gap, zone in gaps)
    nominal = min(gap for gap, _ in gaps)
    enough = rounding.up(nominal - least, step=0.01)
    return at_least(
        least,
        0.0,
        code="clearance.lug_radial",
        message=f"lug to track wall {nominal:.3f} mm, at least {least:.3f} mm",
        unit="mm",
        source=LIMITS,
        change=f"lug_radial clearance {enough:g} mm or more",
        mends=(("socket.clearance.lug_radial", enough),),
    )


def _middle(step: BodyStepMm) -> float:
    """Depth of the middle of a stretch of body: clear of the bore's ledges [mm]."""
    return (step.from_depth_mm + step.to_depth_mm) / 2.0


def _body(plug: Plug, socket: Socket) -> Finding:
    nominal, least = least_body_gap(plug, socket)
    clear_of_ledges = []
    for step in plug.body:
        bore, limits = least_bore(socket, _middle(step))
        clear_of_ledges.append(bore - limits / 2.0 - step.radius_mm - step.radius_zone_mm)
    on_ledge = least < 0.0 <= min(clear_of_ledges)
    return at_least(
        least,
        0.0,
        code="clearance.body",
        message=(
            "a step of the body meets a ledge of the bore before the shoulder seats"
            if on_ledge
            else f"body to bore {nominal:.3f} mm radially on the way in, at least {least:.3f} mm"
        ),
        unit="mm",
        source=LIMITS,
        change=(
            "a steeper lead-in, less seal margin, or more nose clearance"
            if on_ledge
            else "more body clearance; at the sealing bore, less squeeze or a smaller body"
        ),
    )


def _lugs_in_seal(plug: Plug, socket: Socket) -> Iterator[Finding]:
    """Layout B: the lugs pass the sealing bore."""
    if socket.layout != "B" or socket.seal_radius_mm is None:
        return
    lug = max(plug.lugs, key=lambda one: one.outer_radius_mm)
    nominal = socket.seal_radius_mm - lug.outer_radius_mm
    least = nominal - socket.limits.sealing_bore_mm / 2.0 - lug.zone.outer_radius_mm
    yield at_least(
        least,
        0.0,
        code="clearance.lugs_pass_seal",
        message=f"lugs pass the sealing bore {nominal:.3f} mm clear, at least {least:.3f} mm",
        unit="mm",
        source=LIMITS,
        change="less squeeze, which widens the sealing bore",
    )


def _radial_overlap(plug: Plug, socket: Socket) -> Finding:
    """Height of a lug left under its roof, the plug pushed away from it as far as its body goes."""
    half_width = socket.limits.track_bore_mm / 2.0
    aside = sideways(plug, socket, play_mm=socket.clearance.axial_mm).aside_mm
    heights = [lug.outer_radius_mm - plug.lug_body.radius_mm for lug in plug.lugs]
    overlap = [
        lug.outer_radius_mm - lug.zone.outer_radius_mm - socket.track_bore_radius_mm - half_width
        for lug in plug.lugs
    ]
    left = [one - aside for one in overlap]
    least = min(part / height for part, height in zip(left, heights, strict=True))
    return at_least(
        least,
        _LEAST_LUG_SHARE,
        code="clearance.radial_overlap",
        message=(
            f"at least {min(left):.2f} mm of each lug's height is under the roof, the plug pushed"
            f" {aside:.2f} mm aside ({min(overlap):.2f} in the middle)"
        ),
        unit="-",
        source=PRACTICE,
        change="less body clearance",
        otherwise=Verdict.LOOK if min(left) > 0.0 else Verdict.FAIL,
    )


def _shoulder(plug: Plug, socket: Socket) -> Finding:
    opening = socket.bore[0][0]
    if socket.tracks[0].top_mm == 0.0:
        opening = max(opening, socket.slot_reach_mm)
    covered = min(plug.shoulder_radius_mm, socket.mouth_radius_mm)
    seat = covered - opening - socket.tolerance.diameter_mm / 2.0
    return at_least(
        seat,
        _LEAST_SEAT_MM,
        code="clearance.shoulder_seat",
        message=f"the shoulder rests on a ring {seat:.2f} mm wide round the opening",
        unit="mm",
        source=PRACTICE,
        change="a larger boss or smaller tracks",
        otherwise=Verdict.LOOK if seat > 0.0 else Verdict.FAIL,
    )


def _nose(plug: Plug, socket: Socket) -> Iterator[Finding]:
    if socket.nose_floor_mm is None:
        return
    zone = plug.body[-1].depth_zone_mm + socket.limits.nose_floor_mm
    on_ring = plug.groove_kind == "nose_face" and socket.ring is not None
    least = socket.nose_floor_mm - plug.nose_depth_mm - zone
    enough = rounding.up(zone, step=0.01)
    yield at_least(
        least,
        0.0,
        code="clearance.nose",
        message=f"nose to floor at least {least:.3f} mm when the shoulder is seated",
        unit="mm",
        source=LIMITS,
        change=(
            "less squeeze, which sets the gap under the nose"
            if on_ring
            else f"nose clearance {enough:g} mm or more"
        ),
        mends=() if on_ring else (("socket.clearance.nose", enough),),
    )
