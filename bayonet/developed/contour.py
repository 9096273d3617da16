"""Contours of lugs and tracks in the developed plane, in lock coordinates."""

from __future__ import annotations

import dataclasses
import itertools
from collections.abc import Iterable

import numpy as np
from numpy.typing import NDArray

from bayonet.parts import CutterPath, Lug, Polyline, Track
from bayonet.shapes import Arc, Contour, Corner, Edge, Flank, Round, Side

Array = NDArray[np.float64]

_OF_HEIGHT = 0.49
_END_WITHIN_MM = 1e-3
"""Of chords for the corners at a stop, which no pin meets: `Track.end_radius_mm` leaves more."""


def of_lug(lug: Lug, *, inner_mm: float) -> Contour:
    """Contour of a lug in its own lock coordinates: angle from its middle towards lock.

    Parameters
    ----------
    lug : Lug
    inner_mm : float
        Radius of the body it stands on [mm].

    Returns
    -------
    Contour
        As its form draws it, see `bayonet.parts.lugs`.
    """
    return lug.shape.contour(inner_mm)


def of_track(track: Track) -> Contour:
    """Contour of a track, entry slot included, in lock coordinates from the slot's middle.

    The first and last edges are the slot's sides; the edge that closes it is the opening.

    Parameters
    ----------
    track : Track

    Returns
    -------
    Contour
        Opening to slot side, floor, stop, roof, slot side, opening.
    """
    if track.cut is not None:
        return _of_cut_track(track, track.cut)
    far = Side(-track.slot.deg, -track.slot.offset_mm)
    near = Side(track.slot.deg, track.slot.offset_mm)
    stop = _end_side(track)
    top = Flank(track.top_mm)
    floors = _flanks(track.floor, slope=track.floor_slope, outer_mm=track.outer_radius_mm)
    roofs = _flanks(track.roof)[::-1]
    floor_breaks = [Side(angle) for angle, _ in track.floor[1:-1]]
    roof_breaks = [Side(angle) for angle, _ in track.roof[1:-1]][::-1]
    if track.end_radius_mm > 0.0:
        return _with_round_end(track, [far, *floor_breaks], floors, roofs, [*roof_breaks, near])
    corners = [
        Corner(far, top),
        *_run([far, *floor_breaks, stop], floors),
        *_run([stop, *roof_breaks, near], roofs),
        Corner(near, top),
    ]
    edges: tuple[Edge, ...] = (far, *floors, stop, *roofs, near, top)
    return Contour(tuple(corners), edges, track.inner_radius_mm, track.outer_radius_mm)


def _with_round_end(
    track: Track, before: list[Side], floors: list[Flank], roofs: list[Flank], after: list[Side]
) -> Contour:
    """A track whose stop runs into level roof and floor with a radius; into a sloped floor sharply.

    Never as much as half the track is high, so that some of the stop is left.
    """
    top, stop = Flank(track.top_mm), _end_side(track)
    floor, roof = floors[-1].depth_mm, roofs[0].depth_mm
    radius = min(track.end_radius_mm, _OF_HEIGHT * (floor - roof))
    bow = Round(
        base_deg=stop.base_deg, offset_mm=stop.offset_mm - radius, depth_mm=floor - radius,
        radius_mm=radius, start_deg=90.0, end_deg=0.0, held=False, within_mm=_END_WITHIN_MM,
    )  # fmt: skip
    up = dataclasses.replace(bow, depth_mm=roof + radius, start_deg=0.0, end_deg=-90.0)
    starts = [Corner(side, flank) for side, flank in zip(before, floors, strict=True)]
    ends = [Corner(side, flank) for side, flank in zip(after, roofs, strict=True)]
    level = track.floor_slope == 0.0
    low = (bow.corner(90.0), bow.corner(0.0)) if level else (Corner(stop, floors[-1]),)
    corners = (
        Corner(before[0], top), *starts, *low, up.corner(0.0), up.corner(-90.0), *ends,
        Corner(after[-1], top),
    )  # fmt: skip
    turn = (bow, stop) if level else (stop,)
    edges: tuple[Edge, ...] = (before[0], *floors, *turn, up, *roofs, after[-1], top)
    return Contour(corners, edges, track.inner_radius_mm, track.outer_radius_mm)


def _of_cut_track(track: Track, cut: CutterPath) -> Contour:
    """As a disc cutter leaves it: the stop and every break of the roof are arcs of its edge.

    Beside the slot the plunged disc leaves a level roof out to its edge. Level floor only.
    """
    arc = Arc(cut.centre_mm, cut.radius_mm)
    far = Side(-track.slot.deg, -track.slot.offset_mm)
    near = Side(track.slot.deg, track.slot.offset_mm)
    top, floor = Flank(track.top_mm), Flank(track.floor[-1][1])
    run = path_depths(track, cut)
    plunged = Flank(run[0][1])
    roofs = [dataclasses.replace(flank, arc=arc) for flank in _flanks(run)]
    breaks = [Side(angle, arc=arc) for angle, _ in run]
    stop = breaks[-1]
    corners = [Corner(far, top), Corner(far, floor), Corner(stop, floor)]
    corners += [Corner(side, flank) for side, flank in zip(breaks[:0:-1], roofs[::-1], strict=True)]
    corners += [Corner(breaks[0], plunged), Corner(near, plunged), Corner(near, top)]
    edges: tuple[Edge, ...] = (far, floor, stop, *roofs[::-1], plunged, near, top)
    return Contour(tuple(corners), edges, track.inner_radius_mm, track.outer_radius_mm)


def path_depths(track: Track, cut: CutterPath) -> Polyline:
    """Depth of the cutter's upper face along its path, from plunge to stop; only real corners.

    Parameters
    ----------
    track : Track
    cut : CutterPath

    Returns
    -------
    Polyline
        Angle of the cutter's axis [deg], depth [mm].
    """
    line = [(angle - cut.ahead_deg, depth) for angle, depth in track.roof]
    inside = [angle for angle, _ in line[1:-1] if cut.start_deg < angle < cut.stop_deg]
    angles = np.array([cut.start_deg, *inside, cut.stop_deg])
    return tuple(zip(angles.tolist(), depth_along(line, angles).tolist(), strict=True))


def depth_along(line: Iterable[tuple[float, float]], angle_deg: Array) -> Array:
    """Depth of a polyline that runs on straight beyond its ends [mm]."""
    angles, depths = np.array(tuple(line)).T
    inside = np.interp(angle_deg, angles, depths)
    first = (depths[1] - depths[0]) / (angles[1] - angles[0])
    last = (depths[-1] - depths[-2]) / (angles[-1] - angles[-2])
    before = np.minimum(angle_deg - angles[0], 0.0) * first
    after = np.maximum(angle_deg - angles[-1], 0.0) * last
    return np.asarray(inside + before + after)


def _end_side(track: Track) -> Side:
    return Side(track.end.deg, track.end.offset_mm)


def _run(sides: list[Side], flanks: list[Flank]) -> list[Corner]:
    """Corners along a polyline of flanks: each flank's start, and the last one's end."""
    starts = [Corner(side, flank) for side, flank in zip(sides, flanks, strict=False)]
    return [*starts, Corner(sides[-1], flanks[-1])]


def _flanks(line: Polyline, *, slope: float = 0.0, outer_mm: float = 0.0) -> list[Flank]:
    flanks = []
    for (angle, depth), (next_angle, next_depth) in itertools.pairwise(line):
        lead = 360.0 * (next_depth - depth) / (next_angle - angle)
        lead = 0.0 if abs(next_depth - depth) < 1e-12 else lead
        flanks.append(Flank(depth, angle, lead, slope, outer_mm))
    return flanks
