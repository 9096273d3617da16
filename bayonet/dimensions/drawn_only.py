"""Dimensions that only a drawing needs: lead-in, steps, mount, corners of a roof, the cutter.

The chains do not hang on them, or take them from others; without them the part cannot be cut.
"""

from __future__ import annotations

import itertools
import math

from bayonet.designfile import CutterTable, SealTable
from bayonet.dimensions.record import Dimension, Kind, Status, Unit
from bayonet.parts import Polyline, Socket, Track

_SAME_MM = 1e-6
_SAME_DEG = 1e-6


def lead_in(socket: Socket) -> tuple[tuple[float, float], tuple[float, float]] | None:
    """The cone that compresses the ring: its wide and its narrow end (radius, depth) [mm].

    None where the socket seals on a face, or the cone is the whole step.
    """
    if socket.seal_radius_mm is None:
        return None
    for one, other in itertools.pairwise(socket.bore):
        ends_at_seal = abs(other[0] - socket.seal_radius_mm) < _SAME_MM
        if ends_at_seal and one[0] > other[0] + _SAME_MM and other[1] > one[1] + _SAME_MM:
            return one, other
    return None


def bore_rows(socket: Socket, seal: SealTable) -> list[Dimension]:
    """The lead-in's cone, and steps of the bore that no named dimension gives."""
    half = socket.tolerance
    rows: list[Dimension] = []
    cone = lead_in(socket)
    if cone is not None:
        (wide, start), _ = cone
        rows.append(_row("lead_in_angle", "lead-in: angle against the axis", "angle",
                         seal.lead_in_angle_deg.value, half.angle_deg, unit="deg",
                         feature="lead-in"))  # fmt: skip
        if abs(wide - socket.track_bore_radius_mm) > _SAME_MM or start == 0.0:
            rows.append(_row("lead_in_diameter", "lead-in: wide end", "diameter", 2.0 * wide,
                             half.diameter_mm, feature="lead-in"))  # fmt: skip
        if start > 0.0:
            rows.append(_row("lead_in_from_depth", "lead-in starts", "depth", start, 0.0,
                             datum="A", feature="lead-in", status="reference"))  # fmt: skip
    known = {0.0, socket.boss_height_mm, socket.seal_from_mm, socket.seal_to_mm,
             socket.nose_floor_mm, cone[0][1] if cone else None,
             socket.mouth_chamfer_mm or None}  # fmt: skip
    told = [depth for depth in known if depth is not None]
    rows += [
        _row("bore_step_depth", "step of the bore", "depth", depth, half.length_mm, datum="A",
             feature="step of the bore")
        for depth in sorted({d for _, d in socket.bore})
        if all(abs(depth - one) > _SAME_MM for one in told)
    ]  # fmt: skip
    return rows


def mount_rows(socket: Socket) -> list[Dimension]:
    """Flange with its bolt holes, or the weld's preparation."""
    half = socket.tolerance
    if socket.flange is not None:
        flange = socket.flange
        return [
            _row("flange_diameter", "flange", "diameter", 2.0 * flange.radius_mm,
                 half.diameter_mm, feature="flange"),
            _row("flange_thickness", "thickness of the flange", "length", flange.thickness_mm,
                 half.length_mm, feature="flange"),
            _row("bolt_circle_diameter", "bolt circle", "diameter",
                 2.0 * flange.bolt_circle_radius_mm, half.length_mm, feature="bolt holes"),
            _row("bolt_hole_diameter", "bolt holes, evenly spaced", "diameter",
                 2.0 * flange.bolt_hole_radius_mm, half.length_mm, feature="bolt holes",
                 places=flange.bolts),
            _row("bolt_hole_angle", "slot 1 from bolt hole 1, counter-clockwise", "angle",
                 socket.tracks[0].centre_deg % 360.0, socket.limits.slot_position_deg, unit="deg",
                 feature="bolt holes", datum="C"),
        ]  # fmt: skip
    if socket.weld is not None:
        weld = socket.weld
        return [
            _row("weld_angle", "bevel for the weld, against the axis", "angle",
                 weld.bevel_angle_deg, half.angle_deg, unit="deg", feature="weld preparation"),
            _row("weld_width", "width of the bevel", "length", weld.bevel_width_mm,
                 half.length_mm, feature="weld preparation"),
            _row("weld_land", "root land", "length", weld.land_mm, half.length_mm,
                 feature="weld preparation"),
        ]  # fmt: skip
    return []


def track_rows(socket: Socket, cutter: CutterTable | None) -> list[Dimension]:
    """Parallel stops, corners of roofs (dwell, detent), and the path of the cutter."""
    rows: list[Dimension] = []
    for number, track in enumerate(socket.tracks, 1):
        own = (number,)
        if not track.end.is_radial:
            rows.append(_row("track_stop_offset", "stop face beyond that line, parallel to it",
                             "length", track.end.offset_mm, 0.0, feature="stop", status="exact",
                             tracks=own))  # fmt: skip
        rows += [
            _row("track_roof_corner", "slot's middle to a corner of the roof", "angle", angle,
                 socket.limits.stop_deg, unit="deg", feature="roof", tracks=own)
            for angle in roof_corners(track)
        ]  # fmt: skip
        if track.cut is not None and cutter is not None:
            cut = track.cut
            rows += [
                _row("cutter_diameter", "disc cutter", "diameter", 2.0 * cut.radius_mm, 0.0,
                     feature="cutter", status="reference", tracks=own),
                _row("cutter_centre_radius", "cutter's axis from the bore's", "length",
                     cut.centre_mm, 0.0, feature="cutter", status="reference", tracks=own),
                _row("cutter_stop_angle", "slot's middle to where the cutter's axis turns back",
                     "angle", cut.stop_deg, 0.0, unit="deg", feature="cutter",
                     status="reference", tracks=own),
            ]  # fmt: skip
    return rows


def roof_corners(track: Track) -> tuple[float, ...]:
    """Angles between slot and stop at which the roof turns [deg]: dwell and detent."""
    return _inner(track.roof)


def _inner(line: Polyline) -> tuple[float, ...]:
    found: list[float] = []
    for angle, _ in line[1:-1]:
        if not found or abs(angle - found[-1]) > _SAME_DEG:
            found.append(angle)
    return tuple(found)


def _row(
    key: str,
    name: str,
    kind: Kind,
    value: float,
    half: float,
    *,
    feature: str,
    unit: Unit = "mm",
    datum: str = "",
    status: Status | None = None,
    places: int = 1,
    tracks: tuple[int, ...] = (),
) -> Dimension:
    if not math.isfinite(value):
        raise AssertionError(f"{key} is no number")
    return Dimension(
        number=0, key=key, name=name, kind=kind,
        status=status or ("limits" if half > 0.0 else "reference"),
        places=places, nominal=value, lower=-half, upper=half, unit=unit, datum=datum,
        feature=feature, tracks=tracks,
    )  # fmt: skip
