"""Does the ring get to its bore whole? Slot edges on the way, and the lead-in."""

from __future__ import annotations

import itertools
from collections.abc import Iterator

from bayonet import rounding
from bayonet.findings import PRACTICE, Finding, Mends, Verdict, at_least, at_most
from bayonet.parts import Design, Ring, Socket, section_in_place_mm

STEEPEST_LEAD_IN_DEG = 30.0
_MOST_DRAGGED = 0.2  # share of the section a greased ring may be dragged over slot edges by
_SAME_MM = 1e-9


def findings(design: Design) -> tuple[Finding, ...]:
    """Judge the ring's way in.

    Parameters
    ----------
    design : Design
        With a known ring.

    Returns
    -------
    tuple of Finding
    """
    ring = design.socket.ring
    assert ring is not None
    return (*_way_in(design, ring), *_lead_in(design, ring))


def _way_in(design: Design, ring: Ring) -> Iterator[Finding]:
    """Layout A: the ring passes the bore between the entry slots before it reaches its own."""
    socket = design.socket
    if socket.layout != "A":
        return
    zone = ring.section_tol_mm + design.plug.groove.radius_zone_mm
    outside = design.plug.groove.radius_mm + section_in_place_mm(design.plug, ring)
    gap = socket.track_bore_radius_mm - socket.limits.track_bore_mm / 2 - outside - zone
    yield at_least(
        gap,
        0.0,
        code="seal.way_in",
        message=(
            f"the ring passes the slots' edges {gap:.2f} mm clear"
            if gap >= 0
            else f"the ring is {-gap:.2f} mm larger than the bore and drags over the slots' edges"
        ),
        unit="mm",
        source="dimensions, at the least bore and the largest ring",
        change=(
            f"body clearance {_body_clearance_for_ring(design, ring):.1f} mm, or round the slots'"
            f" edges by {max(-gap, 0) + 0.2:.1f} mm and grease the ring"
        ),
        mends=_wider_body(_body_clearance_for_ring(design, ring)),
        otherwise=Verdict.LOOK if -gap <= _MOST_DRAGGED * ring.section_mm else Verdict.FAIL,
    )


def _wider_body(clearance_mm: float) -> Mends:
    return (("socket.clearance.body", round(clearance_mm, 3)),)


def _body_clearance_for_ring(design: Design, ring: Ring) -> float:
    """Body clearance at which the largest ring passes the least bore freely [mm]."""
    socket = design.socket
    widest = max(step.radius_mm for step in design.plug.body)
    room = _largest_ring(design, ring) + socket.limits.track_bore_mm / 2 - widest
    return rounding.up(2.0 * room, step=0.1) + 0.1


def _largest_ring(design: Design, ring: Ring) -> float:
    """Outside radius of the largest ring in the largest groove, not squeezed [mm]."""
    outside = design.plug.groove.radius_mm + section_in_place_mm(design.plug, ring)
    return outside + ring.section_tol_mm + design.plug.groove.radius_zone_mm


def _lead_in(design: Design, ring: Ring) -> Iterator[Finding]:
    socket = design.socket
    if socket.seal_radius_mm is None:
        return
    room = _entry_radius(socket) - socket.tolerance.diameter_mm / 2 - _largest_ring(design, ring)
    angle = design.spec.socket.seal.lead_in_angle_deg.value
    wider = _body_clearance_for_ring(design, ring)
    yield at_least(
        room,
        0.0,
        code="seal.lead_in",
        message=(
            f"the {angle:g} deg lead-in starts {abs(room):.2f} mm"
            f" {'outside' if room >= 0 else 'inside'} the largest ring"
        ),
        unit="mm",
        source=f"entry larger than the free ring: {PRACTICE}",
        change=f"body clearance {wider:.1f} mm",
        mends=_wider_body(wider),
    )
    yield at_most(
        angle,
        STEEPEST_LEAD_IN_DEG,
        code="seal.lead_in_angle",
        message=f"lead-in of {angle:g} deg against the axis",
        unit="deg",
        source=f"15 to 30 deg: {PRACTICE}",
        change="lead_in_angle_deg = 20",
        mends=(("socket.seal.lead_in_angle_deg", 20),),
        otherwise=Verdict.LOOK,
    )


def _entry_radius(socket: Socket) -> float:
    """Radius at which the cone that ends at the full sealing bore starts [mm]."""
    for (entry, start), (radius, end) in itertools.pairwise(socket.bore):
        reaches = socket.seal_from_mm is not None and abs(end - socket.seal_from_mm) < _SAME_MM
        if reaches and start < end and radius == socket.seal_radius_mm:
            return entry
    return socket.seal_radius_mm or 0.0
