"""The disc cutter of a machined socket: which one, its path, and the track it leaves."""

from __future__ import annotations

import dataclasses
import itertools
import math
from dataclasses import dataclass

import numpy as np

from bayonet import rounding
from bayonet.designfile import CutterTable, Path, ProblemList, SocketTable
from bayonet.mechanics import swing_deg
from bayonet.parts.lugs import Lug
from bayonet.parts.plug import Plug
from bayonet.parts.socket import CutterPath, Socket, Track, deepest_floor

RUN_OUT_MM = 0.5
"""Least gap kept between neck or disc and the bore, radial [mm]. Common practice, no source."""

_NECK_SHARE = 0.35  # neck over cutter diameter that still stands; common practice, no source
_STEP_MM = 0.5  # cutters are bought in half millimetres
_OVER_FLOOR_MM = 2.0
_PROBES = 65
_FIELD: Path = ("socket", "cutter", "diameter")


@dataclass(frozen=True, kw_only=True)
class Cutter:
    """A disc cutter and an end mill, all sizes [mm].

    Parameters
    ----------
    radius_mm, thickness_mm, neck_radius_mm, reach_mm, corner_radius_mm : float
        Of the disc; the reach is the length of its neck.
    end_mill_mm : float or None
        Diameter of the end mill for the entry slots.
    named : bool
        Whether the design file names it; else it is this program's proposal.
    """

    radius_mm: float
    thickness_mm: float
    neck_radius_mm: float
    reach_mm: float
    corner_radius_mm: float
    end_mill_mm: float | None
    named: bool


def named(table: CutterTable) -> Cutter:
    """The cutter as the design file names it."""
    return Cutter(
        radius_mm=table.diameter.value / 2.0,
        thickness_mm=table.thickness.value,
        neck_radius_mm=table.neck_diameter.value / 2.0,
        reach_mm=table.reach.value,
        corner_radius_mm=table.corner_radius.value,
        end_mill_mm=None if table.end_mill is None else table.end_mill.value,
        named=True,
    )


def proposed(socket: Socket) -> Cutter:
    """The smallest cutter that stands: its neck `_NECK_SHARE` of it and clear of the bore.

    The smallest, because overcut and the arc at the stop grow with the cutter.

    Parameters
    ----------
    socket : Socket

    Returns
    -------
    Cutter
        Diameter, neck and thickness in half millimetres.

    Examples
    --------
    Bore 32.2, wall 40.5: depth 4.15, neck clear by 0.5: (4.15 + 0.5) / 0.65 = 7.15: 14.5 mm. See
    `tests/model/test_cutter.py`.
    """
    tracks = socket.tracks
    depth = max(track.outer_radius_mm - track.inner_radius_mm for track in tracks)
    radius = rounding.up((depth + RUN_OUT_MM) / (1.0 - _NECK_SHARE) * 2.0, step=_STEP_MM) / 2.0
    neck = rounding.down((radius - depth - RUN_OUT_MM) * 2.0, step=_STEP_MM) / 2.0
    height = heights_mm(tracks)[0] - socket.limits.roof_mm - socket.limits.floor_mm
    floor = deepest_floor(tracks)
    slot = min(slot_chord_mm(track) for track in tracks)
    return Cutter(
        radius_mm=radius,
        thickness_mm=max(rounding.down(height, step=_STEP_MM), _STEP_MM),
        neck_radius_mm=neck,
        reach_mm=rounding.up(floor + _OVER_FLOOR_MM, step=_STEP_MM),
        corner_radius_mm=0.0,
        end_mill_mm=max(math.floor(0.8 * slot), 1.0),
        named=False,
    )


def slot_chord_mm(track: Track) -> float:
    """Width of the entry slot where it is narrowest, at the bore [mm]."""
    inner = track.inner_radius_mm
    return 2.0 * inner * math.sin(math.radians(min(float(track.slot.at(inner)), 90.0)))


def heights_mm(tracks: tuple[Track, ...]) -> tuple[float, float]:
    """Least and greatest height of the tracks at the wall, roof to floor [mm]."""
    gaps = []
    for track in tracks:
        angles, depths = np.array(track.floor).T
        gaps += [float(np.interp(a, angles, depths)) - d for a, d in track.roof]
    return min(gaps), max(gaps)


def path(track: Track, lug: Lug, cutter: Cutter) -> CutterPath:
    """The cutter's path that leaves roof and stop true at the lug's outer edge.

    It starts beside the slot, and goes on at the stop until the arc it leaves lets the lug's
    outermost corner come home.

    Parameters
    ----------
    track : Track
        As designed: sharp.
    lug : Lug
        The lug that runs in it.
    cutter : Cutter

    Returns
    -------
    CutterPath
    """
    wall = track.outer_radius_mm
    centre = wall - cutter.radius_mm
    true = min(lug.outer_radius_mm, wall)
    radii = np.linspace(min(track.inner_radius_mm, true), true, _PROBES)
    swing = swing_deg(radii, centre_mm=centre, cutter_radius_mm=cutter.radius_mm)
    return CutterPath(
        centre_mm=centre,
        radius_mm=cutter.radius_mm,
        start_deg=float(track.slot.at(wall)),
        stop_deg=float(np.max(np.asarray(track.end.at(radii)) - swing)),
        ahead_deg=float(swing[-1]),
    )


def applied(
    tracks: tuple[Track, ...], plug: Plug, table: SocketTable, problems: ProblemList
) -> tuple[Track, ...]:
    """The tracks as the named cutter leaves them; as they are where none is named.

    Parameters
    ----------
    tracks : tuple of Track
        In the order of the plug's lugs.
    plug : Plug
    table : SocketTable
    problems : ProblemList
        Receives every reason why the cutter cannot make these tracks.

    Returns
    -------
    tuple of Track
    """
    if table.cutter is None or len(problems):
        return tracks
    if table.process != "machined":
        problems.add(("socket", "process"), 'a cutter is named: "machined", or no cutter')
        return tracks
    if table.track.made_by == "erosion":
        rule = "the tracks are eroded: no cutter is named, or leave made_by out"
        problems.add(("socket", "track", "made_by"), rule)
        return tracks
    return as_cut(tracks, plug.lugs, named(table.cutter), problems)


def as_cut(
    tracks: tuple[Track, ...], lugs: tuple[Lug, ...], cutter: Cutter, problems: ProblemList
) -> tuple[Track, ...]:
    """The tracks as a named cutter leaves them.

    Parameters
    ----------
    tracks, lugs : tuple
        In the same order.
    cutter : Cutter
    problems : ProblemList
        Receives every reason why this cutter cannot make these tracks.

    Returns
    -------
    tuple of Track
        The same tracks, each with its cutter's path.
    """
    before = len(problems)
    for track in tracks:
        _check_shape(track, cutter, problems)
        if len(problems) > before:
            return tracks
    cut = tuple(
        dataclasses.replace(track, cut=path(track, lug, cutter))
        for track, lug in zip(tracks, lugs, strict=True)
    )
    for track in cut:
        _check_path(track, problems)
        if len(problems) > before:
            return tracks
    return cut


def _check_shape(track: Track, cutter: Cutter, problems: ProblemList) -> None:
    """Refuse a track no flat disc makes, or a disc that does not span it."""
    depth = track.outer_radius_mm - track.inner_radius_mm
    if track.floor_slope != 0.0:
        problems.add(
            ("socket", "track", "floor_slope_deg"), "a disc cutter leaves a flat floor: 0 deg"
        )
    if track.floor[0][1] != track.floor[-1][1]:
        rule = 'the end-milled slot and the disc cutter share one flat floor: "level"'
        problems.add(("socket", "track", "floor"), rule)
    depths = [d for _, d in track.roof]
    if any(b < a - 1e-12 for a, b in itertools.pairwise(depths)):
        rule = "a disc cutter would cut the detent away: leave it out, or name no cutter"
        problems.add(("socket", "track", "detent"), rule)
    if not depth < cutter.radius_mm < track.inner_radius_mm:
        rule = (
            f"must be more than twice the track's depth ({2 * depth:.4g} mm) and less than the"
            f" bore ({2 * track.inner_radius_mm:.4g} mm)"
        )
        problems.add(_FIELD, rule, example=_example(depth))


def _example(depth_mm: float) -> str:
    least = 2.0 * (depth_mm + RUN_OUT_MM) / (1.0 - _NECK_SHARE)
    return f"diameter = {rounding.up(least, step=_STEP_MM):g}"


def spill_deg(track: Track, cut: CutterPath) -> float:
    """How far the plunged disc reaches beyond the far side of its slot [deg]; 0 where within."""
    radii = np.linspace(track.inner_radius_mm, track.outer_radius_mm, _PROBES)
    beyond = cut.swing_deg(radii) - cut.start_deg - np.asarray(track.slot.at(radii))
    return max(0.0, float(beyond.max()))


def _check_path(track: Track, problems: ProblemList) -> None:
    cut = track.cut
    assert cut is not None
    radii = np.linspace(track.inner_radius_mm, track.outer_radius_mm, _PROBES)
    spill = spill_deg(track, cut)
    if spill > 0.0:
        rule = f"plunged into the slot, it cuts {spill:.3g} deg beyond the slot's far side: smaller"
        problems.add(_FIELD, rule, example="")
    bare = np.asarray(track.slot.at(radii)) - cut.start_deg - cut.swing_deg(radii)
    if not bare.max() <= 1e-9:
        rule = f"leaves {float(bare.max()):.3g} deg of metal between slot and track: larger"
        problems.add(_FIELD, rule, example="")
    last = max(angle for angle, _ in track.roof[:-1]) - cut.ahead_deg
    if not cut.stop_deg > max(cut.start_deg, last):
        problems.add(_FIELD, "is wider than the track is long: smaller", example="")
