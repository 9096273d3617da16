"""Lugs on their ledges: the sections that carry the load, lug by lug."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bayonet.parts import Design, Lug, Track
from bayonet.tolerance.chains import Study
from bayonet.tolerance.fitting import Extreme, line_depth_mm, sideways, zones

Array = NDArray[np.float64]


@dataclass(frozen=True, kw_only=True)
class Contact:
    """Sections of each lug and of the ledge it bears on; all arrays have shape (lugs,) [mm].

    Parameters
    ----------
    radius_mm : array
        Middle of the contact.
    height_mm : array
        Radial height of the contact.
    width_mm : array
        Width of the contact, along the circle; 0 of round pins.
    round_mm : array
        Radius of round pins, which bear along a line; infinite for flat flanks.
    lug_width_mm, lug_thickness_mm, lug_arm_mm : array
        Root of the lug on its body; arm to the middle of the contact.
    lug_spring_width_mm, lug_spring_thickness_mm : array
        A rectangular root that gives as much.
    ledge_width_mm, ledge_thickness_mm, ledge_arm_mm : array
        Root of the roof's ledge at the track's wall.
    wall_mm : array
        Wall between track and outside.
    wall_radius_mm : array
        Radius of the track's wall.
    """

    radius_mm: Array
    height_mm: Array
    width_mm: Array
    round_mm: Array
    lug_width_mm: Array
    lug_thickness_mm: Array
    lug_spring_width_mm: Array
    lug_spring_thickness_mm: Array
    lug_arm_mm: Array
    ledge_width_mm: Array
    ledge_thickness_mm: Array
    ledge_arm_mm: Array
    wall_mm: Array
    wall_radius_mm: Array


def contact_of(design: Design, study: Study | None, extreme: Extreme) -> Contact:
    """The sections at nominal size, or at the least favourable end of every zone.

    Parameters
    ----------
    design : Design
    study : Study or None
        Gives how much of a lug's width and height lies under the roof at the worst corner; with
        None, the design's least engagement and the zones of the radii alone.
    extreme : {"nominal", "loosest"}
        ``loosest``: thinnest lugs, thinnest ledges, least engagement.

    Returns
    -------
    Contact
    """
    worst = extreme == "loosest"
    lugs, tracks = zones.lugs(design.plug, extreme), zones.tracks(design.socket, extreme)
    share, height = _under_roof(design, study, worst)
    both = list(zip(lugs, tracks, strict=True))
    tip = np.array([lug.outer_radius_mm for lug in lugs])
    middle = tip - height / 2.0
    root = design.plug.lug_body.radius_mm - (design.plug.lug_body.radius_zone_mm if worst else 0.0)
    half = np.array([lug.half.at(r) for lug, r in zip(lugs, middle, strict=True)])
    angle = np.radians(2.0 * half) * share
    roots = [lug.shape.root(root) for lug in lugs]
    bears = [
        lug.shape.bearing_width_mm(float(radius), share=share)
        for lug, radius in zip(lugs, middle, strict=True)
    ]
    rounds = [np.inf if lug.round_mm is None else lug.round_mm for lug in lugs]
    carries = [
        one.width_mm if one.whole else min(at * root, one.width_mm)
        for one, at in zip(roots, angle, strict=True)
    ]
    springs = [
        one.spring_mm or (width, one.thickness_mm)
        for one, width in zip(roots, carries, strict=True)
    ]
    wall = np.array([track.outer_radius_mm for track in tracks])
    if worst:
        wall = wall + design.socket.limits.track_wall_mm / 2.0
    outside = design.socket.boss_radius_mm - (
        design.socket.tolerance.diameter_mm / 2.0 if worst else 0.0
    )
    return Contact(
        radius_mm=middle,
        height_mm=np.full(len(lugs), height),
        width_mm=np.array(bears),
        round_mm=np.array(rounds),
        lug_width_mm=np.array(carries),
        lug_thickness_mm=np.array([one.thickness_mm for one in roots]),
        lug_spring_width_mm=np.array([width for width, _ in springs]),
        lug_spring_thickness_mm=np.array([thick for _, thick in springs]),
        lug_arm_mm=middle - root,
        ledge_width_mm=angle * wall,
        ledge_thickness_mm=np.array([_ledge(lug, track, design) for lug, track in both]),
        ledge_arm_mm=wall - middle,
        wall_mm=outside - wall,
        wall_radius_mm=wall,
    )


def _under_roof(design: Design, study: Study | None, worst: bool) -> tuple[float, float]:
    """Share of a lug's width, and height [mm], under the roof at lock."""
    keys = ("engagement", "lug_overlap")
    if study is None:
        tip = min(lug.outer_radius_mm for lug in design.plug.lugs)
        slack = design.socket.limits.track_bore_mm / 2.0 + max(
            lug.zone.outer_radius_mm for lug in design.plug.lugs
        )
        aside = sideways(design.plug, design.socket, play_mm=design.socket.clearance.axial_mm)
        slack += aside.aside_mm
        height = tip - design.socket.track_bore_radius_mm - (slack if worst else 0.0)
        return (design.socket.least_engagement if worst else 1.0), max(height, 0.0)
    share, height = (study.of(key).worst.low if worst else study.of(key).nominal for key in keys)
    return min(max(share, 0.0), 1.0), max(height, 0.0)


def _ledge(lug: Lug, track: Track, design: Design) -> float:
    """Least thickness of the roof's ledge over the lug at lock [mm]."""
    lock = design.plug.turn_deg
    half = float(lug.half.at(lug.outer_radius_mm))
    corners = [angle for angle, _ in track.roof if lock - half < angle < lock + half]
    at = [max(lock - half, track.roof[0][0]), lock + half, *corners]
    return float(np.min(line_depth_mm(track.roof, at)) - track.top_mm)
