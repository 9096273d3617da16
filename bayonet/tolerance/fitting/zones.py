"""The worst plugs and sockets of a production, as grown and shrunk shapes.

If the largest lugs still move in the smallest tracks, every plug of the zone moves in every
socket of the zone: each real lug lies inside the largest one, each real track round the smallest.
A flank may lie anywhere in its zone, so form and lead errors within it are covered.
"""

from __future__ import annotations

import dataclasses
from typing import Literal

from bayonet.mechanics import advance_mm
from bayonet.parts import CutterPath, HalfAngle, Lug, Plug, Polyline, Socket, Track

Extreme = Literal["nominal", "tightest", "loosest"]

_SIGN = {"nominal": 0.0, "tightest": 1.0, "loosest": -1.0}


def lugs(plug: Plug, extreme: Extreme, *, aside_mm: float = 0.0) -> tuple[Lug, ...]:
    """The plug's lugs at an extreme: largest for ``tightest``, smallest for ``loosest``.

    Parameters
    ----------
    plug : Plug
    extreme : {"nominal", "tightest", "loosest"}
    aside_mm : float
        Every lug grown besides by what it reaches where the plug stands this far aside, in any
        direction [mm].

    Returns
    -------
    tuple of Lug
        Sides, flanks, outer radius and position moved by their zones.

    Examples
    --------
    See `tests/tolerance/test_zones.py`: a flank at 5 mm with a zone of 0.09 mm lies at 4.91 mm
    on the largest lug.
    """
    sign = _SIGN[extreme]
    moved = (dataclasses.replace(lug, shape=lug.shape.at_zone(lug.zone, sign)) for lug in plug.lugs)
    if not aside_mm > 0.0:
        return tuple(moved)
    root = plug.lug_body.radius_mm
    return tuple(
        dataclasses.replace(lug, shape=lug.shape.anywhere(aside_mm, root_mm=root)) for lug in moved
    )


def opened(track: Track, by_mm: float) -> Track:
    """A track with its slot wider each side by a length, and nothing else changed."""
    slot = track.slot.grown(by_mm, at_radius_mm=track.inner_radius_mm)
    return dataclasses.replace(track, slot=slot)


def tracks(socket: Socket, extreme: Extreme) -> tuple[Track, ...]:
    """The socket's tracks at an extreme: smallest for ``tightest``, largest for ``loosest``."""
    return tuple(_track(track, socket, _SIGN[extreme]) for track in socket.tracks)


def _track(track: Track, socket: Socket, sign: float) -> Track:
    limits = socket.limits
    half_width = sign * limits.slot_width_mm / 2.0
    rise = track.floor_slope * limits.track_wall_mm / 2.0  # a wall further in lifts a sloped floor
    moved = dataclasses.replace(
        track,
        slot=_narrowed(
            track.slot, half_width, sign * limits.slot_position_deg, track.outer_radius_mm
        ),
        end=track.end.turned(-sign * limits.stop_deg),
        roof=_deeper(track.roof, sign * limits.roof_mm, lead=sign * _lead_limit(socket)),
        floor=_deeper(track.floor, -sign * (limits.floor_mm + rise)),
    )
    if track.cut is None:
        return moved
    return _cut(
        moved,
        track.cut,
        stop_deg=-sign * limits.stop_deg,
        out_mm=-sign * limits.track_wall_mm / 2.0,
    )


def stop_moved(track: Track, by_deg: float) -> Track:
    """A track whose stop stands further on by an angle [deg]; roof and floor stay."""
    cut = track.cut
    if cut is not None:
        cut = dataclasses.replace(cut, stop_deg=cut.stop_deg + by_deg)
    return dataclasses.replace(track, end=track.end.turned(by_deg), cut=cut)


def _cut(track: Track, cut: CutterPath, *, stop_deg: float, out_mm: float) -> Track:
    """The cutter turns back elsewhere and runs on another wall: the arc at the stop feels both."""
    wall = track.outer_radius_mm + out_mm
    cut = dataclasses.replace(
        cut,
        centre_mm=cut.centre_mm + out_mm,
        start_deg=float(track.slot.at(wall)),
        stop_deg=cut.stop_deg + stop_deg,
    )
    return dataclasses.replace(track, outer_radius_mm=wall, cut=cut)


def _narrowed(slot: HalfAngle, by_mm: float, by_deg: float, radius_mm: float) -> HalfAngle:
    return slot.grown(-by_mm, at_radius_mm=radius_mm).turned(-by_deg)


def _deeper(line: Polyline, by_mm: float, *, lead: float = 0.0) -> Polyline:
    """A line deeper by a length, and away from its last corner by a lead's error on top."""
    end = line[-1][0]
    return tuple((a, depth + by_mm + float(advance_mm(lead, end - a))) for a, depth in line)


def _lead_limit(socket: Socket) -> float:
    """Limits of the ramps' lead [mm/rev]; a track without a ramp has none."""
    return socket.limits.lead_mm_per_rev if socket.lead_mm_per_rev > 0.0 else 0.0
