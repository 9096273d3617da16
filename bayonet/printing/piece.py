"""Print-test pieces: the least of a socket that shows whether the plug fits, in clearance steps.

A piece is a `Socket` like any other, so that contours, motion, volumes and solids are the same
code. Depths count from the mouth; radii and depths [mm].
"""

from __future__ import annotations

import dataclasses
import math
from dataclasses import dataclass

from bayonet import rounding
from bayonet.designfile import PrinterTable
from bayonet.errors import DesignError, Problem
from bayonet.parts import CutterPath, Plug, Polyline, Socket, Track, deepest_floor

MARK_DEPTH_LAYERS = 3
"""Depth of the sunk mark in layers; common practice, no source."""

_MOST_WALL_MM = 4.0
_LEAST_BELOW_MM = 2.0
_SEAL_SEAT_MM = 1.0
_LEAST_LAND_MM = 0.1
_SAME_MM = 1e-9


@dataclass(frozen=True, kw_only=True)
class Piece:
    """One ring of the ladder, as intended.

    Parameters
    ----------
    step_mm : float
        Clearance added to each gap, per side [mm]; 0 is the design's own.
    socket : Socket
        The ring, its clearances with the step added.
    """

    step_mm: float
    socket: Socket

    @property
    def mark(self) -> str:
        """What is sunk into its end face.

        Examples
        --------
        ``+0.10`` for a step of a tenth of a millimetre.
        """
        return f"{self.step_mm:+.2f}"


def least_step(socket: Socket) -> float:
    """The step at which the first gap closes: steps must lie above it [mm]."""
    gaps = socket.clearance
    shared = [gaps.body_diametral_mm / 2.0, gaps.lug_radial_mm, gaps.lug_side_mm, gaps.floor_mm]
    axial = [gaps.axial_mm] if socket.seating == "stop" else []
    return -min(shared + axial)


def widened(socket: Socket, by_mm: float) -> Socket:
    """The socket with every gap to the plug larger by a length per side.

    Track wall, slot sides, floor, bore and, where a stop ends the turn, the roof move away from
    the plug. Stop faces stay: they set the turn. A clamping roof stays: it must touch. A sealing
    bore stays: it belongs to the ring.

    Parameters
    ----------
    socket : Socket
    by_mm : float
        Negative makes gaps smaller [mm]; above `least_step`.

    Returns
    -------
    Socket
    """
    roof = by_mm if socket.seating == "stop" else 0.0
    gaps = socket.clearance
    bore = _widened_bore(socket, by_mm)
    grown = bore - socket.track_bore_radius_mm
    return dataclasses.replace(
        socket,
        bore=_outline(socket, bore),
        track_bore_radius_mm=bore,
        tracks=tuple(
            _widened_track(track, by_mm, roof, bore, gaps.lug_radial_mm) for track in socket.tracks
        ),
        passage_radius_mm=(
            bore
            if abs(socket.passage_radius_mm - socket.track_bore_radius_mm) < _SAME_MM
            else socket.passage_radius_mm
        ),
        clearance=dataclasses.replace(
            gaps,
            body_diametral_mm=gaps.body_diametral_mm + 2.0 * grown,
            lug_radial_mm=gaps.lug_radial_mm + by_mm,
            lug_side_mm=gaps.lug_side_mm + by_mm,
            axial_mm=gaps.axial_mm + roof,
            floor_mm=gaps.floor_mm + by_mm,
        ),
    )


def ring(plug: Plug, socket: Socket, *, with_seal: bool, printer: PrinterTable) -> Socket:
    """The least of a socket that shows entry, turn, stop and, if asked, the sealing surface.

    No mount; just the wall and height that hold the tracks; floors sloped as steeply as the
    printer needs, deepest at the bore, so that a piece printed mouth down needs no support
    there. Roofs, stops and slots are the socket's own.

    Parameters
    ----------
    plug : Plug
    socket : Socket
    with_seal : bool
        Keep the sealing bore (or face); else the ring touches nothing.
    printer : PrinterTable

    Returns
    -------
    Socket
        With the outside diameter and height it needs.

    Raises
    ------
    DesignError
        If the tracks of a widened socket run into the sealing bore's lead-in.
    """
    ends_by = _lead_in_start(socket) if with_seal else math.inf
    sloped = _self_supporting(socket, printer, ends_by)
    floor = deepest_floor(sloped.tracks)
    if not floor < ends_by:
        rule = f"the tracks reach {floor:.3g} mm, the sealing bore's lead-in {ends_by:.3g} mm"
        raise refused("with_seal", f"{rule}: leave the seal out, or use smaller steps")
    below = max(_LEAST_BELOW_MM, min(socket.wall_mm, _MOST_WALL_MM) / 2.0)
    below += MARK_DEPTH_LAYERS * printer.layer_height.value
    bore, end = _bore(socket, floor + below, below, with_seal=with_seal)
    inside = max(socket.track_radius_mm, *(radius for radius, _ in bore))
    boss = inside + min(max(socket.wall_mm, 6.0 * printer.nozzle.value), _MOST_WALL_MM)
    if with_seal and plug.groove_kind == "shoulder_face":
        boss = max(boss, plug.groove.end_mm + _SEAL_SEAT_MM)
    keeps_floor = with_seal and plug.groove_kind == "nose_face"
    keeps_bore = with_seal and socket.seal_radius_mm is not None
    return dataclasses.replace(
        sloped,
        bore=bore,
        boss_radius_mm=rounding.up(boss, step=0.5),
        boss_height_mm=end,
        passage_radius_mm=bore[-1][0],
        nose_floor_mm=socket.nose_floor_mm if keeps_floor else None,
        seal_radius_mm=socket.seal_radius_mm if keeps_bore else None,
        seal_from_mm=socket.seal_from_mm if keeps_bore else None,
        seal_to_mm=socket.seal_to_mm if keeps_bore else None,
        flange=None,
        weld=None,
        joint=None,
    )


def ladder(
    plug: Plug,
    socket: Socket,
    *,
    steps_mm: tuple[float, ...],
    with_seal: bool,
    printer: PrinterTable,
) -> tuple[Piece, ...]:
    """The ring at every step; all alike outside, so that only the step differs.

    Parameters
    ----------
    plug : Plug
    socket : Socket
    steps_mm : tuple of float
        Each above `least_step` [mm].
    with_seal : bool
    printer : PrinterTable

    Returns
    -------
    tuple of Piece
    """
    rings = [
        ring(plug, widened(socket, step), with_seal=with_seal, printer=printer) for step in steps_mm
    ]
    boss = max(one.boss_radius_mm for one in rings)
    return tuple(
        Piece(step_mm=step, socket=dataclasses.replace(one, boss_radius_mm=boss))
        for step, one in zip(steps_mm, rings, strict=True)
    )


def refused(option: str, rule: str) -> DesignError:
    """The error for an option of `bayonet sample` that gives no piece."""
    return DesignError([Problem(file="options", line=None, field=option, value="", rule=rule)])


def _lead_in_start(socket: Socket) -> float:
    """Depth above which the tracks must end: where the bore gets narrower for the ring [mm]."""
    if socket.layout != "A":
        return math.inf
    whole = [d for r, d in socket.bore if r >= socket.track_bore_radius_mm - _SAME_MM]
    return max(whole)


def _self_supporting(socket: Socket, printer: PrinterTable, ends_by_mm: float) -> Socket:
    """Floors sloped as the printer needs, or as far as the room below them allows.

    The tightest socket keeps its floor clearance.
    """
    wanted = math.tan(math.radians(90.0 - printer.steepest_overhang_deg.value))

    def sloped(track: Track) -> Track:
        deep, across = max(d for _, d in track.floor), track.outer_radius_mm - track.inner_radius_mm
        across += socket.limits.track_wall_mm / 2.0
        needed = min(wanted, (ends_by_mm - _LEAST_LAND_MM - deep) / across)
        if track.cut is not None or not track.floor_slope < needed:
            return track  # a disc leaves a flat floor, and the piece shows what it leaves
        rise = (needed - track.floor_slope) * socket.limits.track_wall_mm / 2.0
        deeper = tuple((angle, depth + rise) for angle, depth in track.floor)
        return dataclasses.replace(track, floor=deeper, floor_slope=needed)

    return dataclasses.replace(socket, tracks=tuple(sloped(track) for track in socket.tracks))


def _bore(
    socket: Socket, end_by_tracks: float, below: float, *, with_seal: bool
) -> tuple[Polyline, float]:
    """Inner outline of the ring, and its height."""
    track_bore = socket.track_bore_radius_mm
    top = socket.tracks[0].top_mm
    if not with_seal:
        if top > 0.0:  # layout B: as wide as the free ring, so that nothing drags
            wide = socket.bore[0][0]
            points = [(wide, 0.0), (wide, top), (track_bore, top)]
        else:
            points = [p for p in socket.bore if p[0] > track_bore + _SAME_MM and p[1] < top + 1e-6]
            points.append((track_bore, socket.mouth_chamfer_mm))
        return (*points, (track_bore, end_by_tracks)), end_by_tracks
    if socket.layout == "A":
        assert socket.seal_to_mm is not None, "layout A seals on a bore"
        end = max(end_by_tracks, socket.seal_to_mm)
    elif socket.layout == "C" and socket.nose_floor_mm is not None:
        end = max(end_by_tracks, socket.nose_floor_mm + below)
    else:
        end = end_by_tracks
    keeps_floor = socket.layout == "C" and socket.nose_floor_mm is not None
    return _cut_at(socket, end, keeps_floor=keeps_floor), end


def _cut_at(socket: Socket, end: float, *, keeps_floor: bool) -> Polyline:
    """The socket's outline made to end at a depth, the passage below the nose left out or kept."""
    last = math.inf if keeps_floor or socket.nose_floor_mm is None else socket.nose_floor_mm
    points = [p for p in socket.bore if p[1] < min(last, end) - _SAME_MM]
    return (*points, (points[-1][0], end))


def _widened_bore(socket: Socket, by_mm: float) -> float:
    wanted = socket.track_bore_radius_mm + by_mm
    seal = socket.seal_radius_mm
    if socket.layout != "A" or seal is None:
        return wanted
    if seal >= socket.track_bore_radius_mm - _SAME_MM:
        return socket.track_bore_radius_mm  # one bore for both: it belongs to the ring
    return max(wanted, seal)


def _outline(socket: Socket, bore: float) -> Polyline:
    old = socket.track_bore_radius_mm

    def moved(radius: float) -> float:
        if socket.layout == "A":
            return radius + bore - old if radius >= old - _SAME_MM else min(radius, bore)
        if socket.layout == "B" and radius > old + _SAME_MM:
            return radius  # the sealing bore and its lead-in
        return radius + bore - old if radius >= old - _SAME_MM else radius

    return tuple((moved(radius), depth) for radius, depth in socket.bore)


def _widened_track(
    track: Track, by_mm: float, roof_mm: float, bore: float, radial_mm: float
) -> Track:
    slot = track.slot.grown(by_mm, at_radius_mm=track.outer_radius_mm)
    cut = track.cut
    if cut is not None:
        slot_deg = float(slot.at(track.outer_radius_mm + by_mm))
        cut = _run_further_out(cut, by_mm, start_deg=slot_deg,
                               true_mm=track.outer_radius_mm - radial_mm)  # fmt: skip
    return dataclasses.replace(
        track,
        slot=slot,
        cut=cut,
        roof=tuple((angle, depth - roof_mm) for angle, depth in track.roof),
        floor=tuple((angle, depth + by_mm) for angle, depth in track.floor),
        inner_radius_mm=bore,
        outer_radius_mm=track.outer_radius_mm + by_mm,
    )


def _run_further_out(
    cut: CutterPath, by_mm: float, *, start_deg: float, true_mm: float
) -> CutterPath:
    """The same cutter on a wall further out: roof and stop stay true at the lug's outer edge."""
    moved = dataclasses.replace(cut, centre_mm=cut.centre_mm + by_mm, start_deg=start_deg)
    more = float(moved.swing_deg(true_mm) - cut.swing_deg(true_mm))
    return dataclasses.replace(moved, stop_deg=cut.stop_deg - more, ahead_deg=cut.ahead_deg + more)
