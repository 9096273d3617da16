"""Can it be printed, and how true? Judged mouth down on the bed: the bearing roof prints face up.

In that orientation the roof is laid on solid layers; floor, ledges and a flange hang over.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator

from bayonet.designfile import PrinterTable
from bayonet.findings import PRACTICE, Finding, Verdict, at_least, at_most
from bayonet.parts import Socket, deepest_floor, least_gap_between

_LINES_IN_WALL = 2
_NEARLY_LIMIT_DEG = 1.0
_SHARE_FOR_STEPS = 0.5
_OWN = "[printer]; " + PRACTICE
_UPRIGHT = 1e-9


def findings(
    socket: Socket, printer: PrinterTable, *, least_play_mm: float, play_mm: float
) -> tuple[Finding, ...]:
    """Judge a socket or a ring as it is intended, printed mouth down.

    Parameters
    ----------
    socket : Socket
    printer : PrinterTable
    least_play_mm, play_mm : float
        Axial play at lock, least and nominal [mm]; 0 where the ramp clamps.

    Returns
    -------
    tuple of Finding
    """
    return (
        _roof(socket),
        _floor(socket, printer),
        _bridge(socket, printer),
        *_ledges(socket, printer),
        _stairs(socket, printer, least_play_mm, play_mm),
        _wall(socket, printer),
        _flare(socket, printer),
    )


def lean_deg(across_mm: float, up_mm: float) -> float:
    """Lean of a face from the upright [deg]; 90 is a flat ceiling.

    Examples
    --------
    >>> lean_deg(2.0, 2.0), lean_deg(3.0, 0.0)
    (45.0, 90.0)
    """
    return math.degrees(math.atan2(across_mm, up_mm))


def floor_lean_deg(socket: Socket) -> float:
    """Greatest lean of a track's floor from the upright [deg]."""
    return 90.0 - math.degrees(math.atan(min(track.floor_slope for track in socket.tracks)))


def ledges(socket: Socket) -> Iterator[tuple[str, float, float]]:
    """Faces other than floors that hang over, mouth down: name, width [mm], lean [deg]."""
    for (r0, d0), (r1, d1) in itertools.pairwise(socket.bore):
        if r1 < r0 - _UPRIGHT:
            yield _name(socket, d0, r0 - r1), r0 - r1, lean_deg(r0 - r1, d1 - d0)
    if socket.flange is not None:
        yield "flange", socket.flange.radius_mm - socket.boss_radius_mm, 90.0


def _name(socket: Socket, depth: float, wide: float) -> str:
    if depth == 0.0 and abs(wide - socket.mouth_chamfer_mm) < 1e-6:
        return "mouth chamfer"
    if socket.nose_floor_mm is not None and abs(depth - socket.nose_floor_mm) < 1e-6:
        return "floor under the nose"
    return f"bore at {depth:.1f} mm depth"


def _roof(socket: Socket) -> Finding:
    """Why mouth down: stated, so that nobody turns the piece over in the slicing program."""
    tallest = max(depth for track in socket.tracks for _, depth in track.roof)
    return Finding(
        code="print.roof_face_up",
        verdict=Verdict.PASS,
        message=(
            "print mouth down: the roof that bears the lugs then faces up and lies on"
            f" {tallest:.1f} mm of solid layers"
        ),
        value=tallest,
        unit="mm",
        source="geometry: the roof looks into the tank",
    )


def _floor(socket: Socket, printer: PrinterTable) -> Finding:
    lean, limit = floor_lean_deg(socket), printer.steepest_overhang_deg.value
    radial = max(track.outer_radius_mm - track.inner_radius_mm for track in socket.tracks)
    beyond = (
        "; let the slicing program support only what leans more than"
        f" {math.ceil(lean) + 1} deg, or it fills the tracks"
        if 0.0 <= limit - lean < _NEARLY_LIMIT_DEG
        else ""
    )
    return at_most(
        lean,
        limit,
        code="print.floor",
        message=(
            f"the track's floor, {radial:.1f} mm wide and bearing nothing, leans {lean:.0f} deg"
            f" from the upright{beyond}"
        ),
        unit="deg",
        source=_OWN,
        change=(
            f"floor_slope_deg {90.0 - limit:.0f} or more, or support in the tracks"
            " (hard to take out)"
        ),
        otherwise=Verdict.LOOK,
    )


def _bridge(socket: Socket, printer: PrinterTable) -> Finding:
    """A flat floor is a ceiling; at the bore only slot and stop hold it."""
    span = 0.0
    if floor_lean_deg(socket) > printer.steepest_overhang_deg.value + 1e-9:
        for track in socket.tracks:
            inner = track.inner_radius_mm
            angle = float(track.slot.at(inner)) + float(track.end.at(inner))
            span = max(span, 2.0 * inner * math.sin(math.radians(min(angle, 180.0)) / 2.0))
    return at_most(
        span,
        printer.longest_bridge.value,
        code="print.bridge",
        message=(
            f"longest ceiling held at its ends only: {span:.1f} mm, over a track"
            if span
            else "nothing is bridged: the sloped floors carry themselves"
        ),
        unit="mm",
        source=_OWN,
        change="a sloped floor, or support in the tracks",
        otherwise=Verdict.LOOK,
    )


def _ledges(socket: Socket, printer: PrinterTable) -> Iterator[Finding]:
    limit, line = printer.steepest_overhang_deg.value, printer.nozzle.value
    over = [row for row in ledges(socket) if row[2] > limit + 1e-9 and row[1] > line]
    if not over:
        yield at_most(
            max((lean for _, wide, lean in ledges(socket) if wide > line), default=0.0),
            limit,
            code="print.ledges",
            message="no other face hangs over by more than a line",
            unit="deg",
            source=_OWN,
            change="",
        )
    for name, wide, lean in over:
        yield at_most(
            lean,
            limit,
            code="print.ledges",
            message=f"{name}: a ledge {wide:.1f} mm wide leans {lean:.0f} deg and needs support",
            unit="deg",
            source=_OWN,
            change=(
                "support under it, and face it afterwards: the nose seals there"
                if name == "floor under the nose" and socket.layout == "C"
                else "support under it; it bears nothing, so its finish does not matter"
            ),
            otherwise=Verdict.LOOK,
        )


def _stairs(socket: Socket, printer: PrinterTable, least: float, play: float) -> Finding:
    """A ramp is printed as steps one layer high: the roof may stand proud by that much."""
    layer = printer.layer_height.value
    lead = socket.lead_mm_per_rev
    run = (
        f"a step each {360.0 * layer / lead:.1f} deg of turn"
        if lead > 0.0
        else "a level roof lies up to half a layer off where its depth is no whole layer"
    )
    height = layer if lead > 0.0 else layer / 2.0
    clamps = socket.seating == "clamp"
    room = lead * socket.stop_overtravel_deg / 360.0 if clamps else play
    return at_most(
        height,
        _SHARE_FOR_STEPS * room,
        code="print.stair_step",
        message=(
            f"layers of {layer:g} mm: {run}; up to {height:.2f} mm of the"
            + (
                f" {room:.2f} mm the ramp climbs from tight to stop"
                if clamps
                else f" axial play of {play:.2f} mm (least {least:.2f})"
            )
            + " may go on it"
        ),
        unit="mm",
        source=f"half the play; {PRACTICE}",
        change=(
            f"layers of {max(layer * _SHARE_FOR_STEPS * room / height, 0.0):.2f} mm or less, or"
            f" {'overtravel' if clamps else 'axial clearance'} for {height / _SHARE_FOR_STEPS:.2f}"
            " mm"
        ),
        otherwise=Verdict.LOOK,
    )


def least_wall_mm(socket: Socket) -> tuple[float, str]:
    """The least thickness a slicing program must fill, and where it is [mm].

    Parameters
    ----------
    socket : Socket

    Returns
    -------
    tuple of (float, str)
    """
    inside = max(socket.track_radius_mm, *(radius for radius, _ in socket.bore))
    gap, track, _ = least_gap_between(socket.tracks, socket.sign)
    roof = min(min(d for _, d in one.roof) - one.top_mm for one in socket.tracks)
    walls = [
        (socket.boss_radius_mm - inside, "between tracks or bore and the outside"),
        (math.radians(gap) * track.inner_radius_mm, "between a stop and the next slot"),
        (roof, "the roof"),
        (socket.boss_height_mm - deepest_floor(socket.tracks), "below the tracks"),
    ]
    if socket.nose_floor_mm is not None:
        walls.append((socket.boss_height_mm - socket.nose_floor_mm, "under the nose"))
    return min(walls)


def _wall(socket: Socket, printer: PrinterTable) -> Finding:
    wall, where = least_wall_mm(socket)
    least = _LINES_IN_WALL * printer.nozzle.value
    return at_least(
        wall,
        least,
        code="print.least_wall",
        message=f"least wall {wall:.2f} mm, {where}: {wall / printer.nozzle.value:.1f} lines",
        unit="mm",
        source=f"{_LINES_IN_WALL} lines of [printer] nozzle; {PRACTICE}",
        change="a finer nozzle, a larger wall, or less overtravel",
    )


def gap_at_mouth(socket: Socket) -> tuple[float, str]:
    """The least gap the first layers can close, and where: at the bed is the mouth [mm]."""
    gaps = socket.clearance
    bore = gaps.body_diametral_mm / 2.0
    rows = []
    if socket.tracks[0].top_mm == 0.0:
        rows = [(gaps.lug_side_mm, "slot sides"), (gaps.lug_radial_mm, "slot bottom")]
        rows.append((bore + socket.mouth_chamfer_mm, "bore"))
    elif socket.seal_radius_mm is not None:
        rows = [(socket.bore[0][0] - socket.seal_radius_mm, "sealing bore behind its lead-in")]
    else:
        rows = [(socket.bore[0][0] - socket.track_bore_radius_mm, "bore")]
    return min(rows)


def _flare(socket: Socket, printer: PrinterTable) -> Finding:
    gap, where = gap_at_mouth(socket)
    flare = printer.first_layer_flare.value
    return at_most(
        flare,
        gap,
        code="print.first_layer_flare",
        message=(
            f"the mouth is the first layer: its flare of {flare:g} mm takes from the"
            f" {gap:.2f} mm gap at the {where}"
        ),
        unit="mm",
        source=_OWN,
        change="let the slicing program shrink the first layers, or file the slots' edges there",
        otherwise=Verdict.LOOK,
    )
