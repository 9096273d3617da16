"""The motion of a design at nominal size and at both ends of its tolerance zone, computed once."""

from __future__ import annotations

import dataclasses
from dataclasses import dataclass

from bayonet.developed import (
    Fitting,
    Motion,
    WayRound,
    analyse,
    lay_out,
    side_clearance_mm,
    ways_round,
)
from bayonet.parts import Lug, Plug, Socket
from bayonet.tolerance.fitting import Extreme, Sideways, sideways, zones

HELD_SHARE = 0.25
"""A lug counts as held where this share of its width is under a roof (common practice)."""


@dataclass(frozen=True, kw_only=True)
class Proof:
    """Motion of the nominal pair, the tightest and the loosest pair of the zone.

    Parameters
    ----------
    nominal, tightest, loosest : Motion
        Where the tightest pair does not enter though the nominal one does, ``tightest`` is with
        its slots opened until it does: how the pairs move that do enter.
    short_mm : float
        By how much each slot side had to be opened for that [mm]; 0 where every plug enters.
    ways_round : tuple of WayRound or None
        Other ways round in which the smallest plug locks, or may, in the widest tracks, wherever
        its clearance lets it stand; None where that cannot be told.
    sideways : Sideways
        How far the plug may stand aside.
    end_deg : float
        Turn at which the stop is meant to be [deg].
    """

    nominal: Motion
    tightest: Motion
    loosest: Motion
    ways_round: tuple[WayRound, ...] | None
    sideways: Sideways
    end_deg: float
    short_mm: float = 0.0


_ROOM_MM = 0.01
"""By how much a slot is opened beyond what is short, so that the way in has a width."""


def motion_of(
    plug: Plug, socket: Socket, extreme: Extreme = "nominal", *, guides: Socket | None = None
) -> Motion:
    """Motion of a plug in a socket at nominal size or at an end of the zone.

    At the tight end lugs are grown besides by the eccentricity the plug cannot make up for;
    ``guides`` is the socket whose bores leave it that freedom, where it is another one.
    """
    lugs = lugs_of(plug, guides or socket, extreme)
    fitting = lay_out(lugs, zones.tracks(socket, extreme), sign=socket.sign)
    return analyse(fitting, end_deg=end_of(socket))


def laid_out(plug: Plug, socket: Socket, extreme: Extreme, *, short_mm: float = 0.0) -> Fitting:
    """Lugs and tracks as the proof moves them at an end of the zone.

    Parameters
    ----------
    plug : Plug
    socket : Socket
    extreme : {"nominal", "tightest", "loosest"}
    short_mm : float
        As the proof's own; the tightest pair's slots are opened for it.

    Returns
    -------
    Fitting
    """
    tracks = zones.tracks(socket, extreme)
    if extreme == "tightest" and short_mm > 0.0:
        tracks = tuple(zones.opened(track, _ROOM_MM + short_mm) for track in tracks)
    return lay_out(lugs_of(plug, socket, extreme), tracks, sign=socket.sign)


def lugs_of(plug: Plug, socket: Socket, extreme: Extreme) -> tuple[Lug, ...]:
    """The lugs the proof moves at an end of the zone, eccentricity included at the tight end."""
    left = sideways(plug, socket, play_mm=0.0).left_mm if extreme == "tightest" else 0.0
    return zones.lugs(plug, extreme, aside_mm=left)


def end_of(socket: Socket) -> float:
    """Turn at which the stop is meant to be [deg]."""
    return socket.turn_deg + socket.stop_overtravel_deg


def prove(plug: Plug, socket: Socket) -> Proof:
    """Compute the motion of a plug in a socket over the whole tolerance zone.

    Parameters
    ----------
    plug : Plug
    socket : Socket

    Returns
    -------
    Proof
    """
    loosest = motion_of(plug, socket, "loosest")
    play = 0.0 if socket.seating == "clamp" or loosest.entered is None else loosest.play_mm
    shift = sideways(plug, socket, play_mm=play)
    wider = socket.limits.track_wall_mm / 2.0
    tracks = tuple(
        track if track.cut else dataclasses.replace(
            track, outer_radius_mm=track.outer_radius_mm + wider
        )
        for track in zones.tracks(socket, "loosest")
    )  # fmt: skip
    nominal, tightest = motion_of(plug, socket), motion_of(plug, socket, "tightest")
    short = _short_mm(plug, socket) if nominal.entered is not None else 0.0
    if short > 0.0:
        tightest = _once_in(plug, socket, short)
    return Proof(
        nominal=nominal,
        tightest=tightest,
        short_mm=short,
        loosest=loosest,
        ways_round=ways_round(
            zones.lugs(plug, "loosest"), tracks, sign=socket.sign, reach_mm=shift.entering_mm,
            rocking_mm=shift.rocking_mm, held_share=HELD_SHARE,
        ),
        sideways=shift,
        end_deg=end_of(socket),
    )  # fmt: skip


def _short_mm(plug: Plug, socket: Socket) -> float:
    """By how much the widest plug overlaps the sides of the narrowest slots [mm]."""
    lugs, tracks = lugs_of(plug, socket, "tightest"), zones.tracks(socket, "tightest")
    gaps = [side_clearance_mm(lug, track) for lug, track in zip(lugs, tracks, strict=True)]
    return max(0.0, -min(gaps))


def _once_in(plug: Plug, socket: Socket, short_mm: float) -> Motion:
    """The tightest pair with its slots opened enough for it to enter."""
    fitting = laid_out(plug, socket, "tightest", short_mm=short_mm)
    return analyse(fitting, end_deg=end_of(socket))
