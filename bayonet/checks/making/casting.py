"""Can it be cast or moulded? Draft of the slots, the undercut of the tracks, even walls."""

from __future__ import annotations

import math

from bayonet import rounding
from bayonet.findings import PRACTICE, Finding, Verdict, at_most
from bayonet.parts import Design, Socket, deepest_floor

_DRAFT_DEG = 1.0
_UNEVEN = 2.0


def findings(design: Design) -> tuple[Finding, ...]:
    """Judge how a cast or moulded socket leaves its mould.

    Parameters
    ----------
    design : Design

    Returns
    -------
    tuple of Finding
        None for another process.
    """
    if design.socket.process != "cast":
        return ()
    return (_undercut(design.socket), _draft(design.socket), _walls(design.socket))


def _undercut(socket: Socket) -> Finding:
    """A rigid core turns out of a track only if all of it fits through the slot."""
    track = max(socket.tracks, key=lambda one: one.reach_deg(one.inner_radius_mm))
    span = track.reach_deg(track.inner_radius_mm) + float(track.slot.at(track.inner_radius_mm))
    slot = 2.0 * float(track.slot.at(track.inner_radius_mm))
    deep = track.outer_radius_mm - track.inner_radius_mm
    return Finding(
        code="casting.undercut",
        verdict=Verdict.LOOK,
        message=(
            f"the tracks undercut the bore by {deep:.2f} mm over {span:.1f} deg, their slots are"
            f" {slot:.1f} deg wide: no one-piece core draws out, straight or turned"
        ),
        value=span,
        limit=slot,
        margin=slot - span,
        unit="deg",
        source="span of the track against its slot",
        change=(
            "a core of loose pieces that fall inwards, each no wider than"
            f" {slot:.1f} deg; a lost (sand) core; {len(socket.tracks)} side actions through the"
            " wall, plugged after; or cast the bore plain and machine the tracks"
        ),
    )


def _draft(socket: Socket) -> Finding:
    depth = deepest_floor(socket.tracks) - min(track.top_mm for track in socket.tracks)
    taken = depth * math.tan(math.radians(_DRAFT_DEG))
    side = socket.clearance.lug_side_mm
    enough = rounding.up(taken, step=0.01)
    return at_most(
        taken,
        side,
        code="casting.draft",
        message=(
            f"{_DRAFT_DEG:g} deg of draft over {depth:.2f} mm narrows the entry slots by"
            f" {taken:.2f} mm a side at their floor; the lugs have {side:.2f} mm there. The solid"
            " has no draft"
        ),
        unit="mm",
        source=PRACTICE,
        change=f"lug_side {enough:g} mm or more, or slots machined after",
        mends=(("socket.clearance.lug_side", enough),),
        otherwise=Verdict.LOOK,
    )


def _walls(socket: Socket) -> Finding:
    thin = socket.boss_radius_mm - socket.track_radius_mm
    thick = socket.boss_radius_mm - min(radius for radius, _ in socket.bore)
    return at_most(
        thick / thin,
        _UNEVEN,
        code="casting.walls",
        message=(
            f"walls from {thin:.2f} mm behind the tracks to {thick:.2f} mm at the narrowest bore:"
            f" {thick / thin:.1f} to 1"
        ),
        unit="-",
        source=PRACTICE,
        change="a larger boss, or the thick part cored out from the back",
        otherwise=Verdict.LOOK,
    )
