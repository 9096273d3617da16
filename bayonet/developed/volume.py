"""Exact volumes of plug and socket, in closed form, to hold the CAD kernel against."""

from __future__ import annotations

import math

import numpy as np

from bayonet.developed import contour
from bayonet.parts import Plug, Relief, Socket, Track, profile, reliefs


def of_plug(plug: Plug) -> float:
    """Volume of the plug as modelled [mm3]: turned body and lugs.

    Examples
    --------
    Held against the kernel and, for a plain one, worked by hand in
    `tests/developed/test_volume.py`.
    """
    body = plug.lug_body.radius_mm
    lugs = math.fsum(lug.volume_mm3(inner_mm=body) for lug in plug.lugs)
    return profile.turned_volume(profile.of_plug(plug)) + lugs


def of_socket(socket: Socket) -> float:
    """Volume of the socket [mm3]: turned boss less tracks and bolt holes."""
    tracks = math.fsum(
        contour.of_track(track).volume() - _shared_with_chamfer(track, socket.mouth_chamfer_mm)
        for track in socket.tracks
    )
    return turned(socket) - tracks - bolt_holes(socket)


def of_ring(socket: Socket) -> float:
    """Volume of the retaining ring [mm3]: turned, less tracks, the mill's run-outs and holes."""
    joint = socket.joint
    assert joint is not None, "a socket of one piece has no ring"
    taken = math.fsum(
        contour.of_track(track).volume()
        - _shared_with_chamfer(track, socket.mouth_chamfer_mm)
        + math.fsum(
            of_relief(one, track, joint.seat_mm) for one in reliefs(track, joint.mill_radius_mm)
        )
        for track in socket.tracks
    )
    bolts, dowel = joint.bolts, joint.dowel
    hole = bolts.hole_radius_mm**2 * (joint.seat_mm - bolts.sink_mm)
    holes = bolts.count * math.pi * (hole + bolts.head_radius_mm**2 * bolts.sink_mm)
    pin = 0.0 if dowel is None else math.pi * dowel.radius_mm**2 * dowel.ring_depth_mm
    return profile.turned_volume(profile.of_ring(socket)) - taken - holes - pin


def of_body(socket: Socket) -> float:
    """Volume of the body of a socket of two parts [mm3]: turned, less tapped and other holes."""
    joint = socket.joint
    assert joint is not None, "a socket of one piece has no body of its own"
    bolts, dowel = joint.bolts, joint.dowel
    tapped = bolts.count * math.pi * (bolts.bolt.tap_drill_mm / 2.0) ** 2 * bolts.hole_depth_mm
    pin = 0.0 if dowel is None else math.pi * dowel.radius_mm**2 * dowel.body_depth_mm
    turned_body = profile.turned_volume(profile.of_body(socket))
    return turned_body - tapped - pin - bolt_holes(socket)


def of_relief(relief: Relief, track: Track, seat_mm: float) -> float:
    """What a mill's run-out takes beyond slot and track, down to the ring's underside [mm3].

    Outside the wall the disc less its lens with it; inside, the bite into the side: where the side
    is the slot's towards lock, only as deep as the roof, for below it the track is open.
    """
    outside = relief.area_beyond_wall_mm2() * (seat_mm - relief.top_mm)
    nodes, weights = np.polynomial.legendre.leggauss(32)
    low, high = relief.bites_from_mm, relief.wall_mm
    radii = low + (high - low) * (nodes + 1.0) / 2.0
    first, last = relief.bite_deg(radii)
    bottom = np.full_like(radii, seat_mm)
    if relief.what == "near side":
        bottom = contour.depth_along(track.roof, (first + last) / 2.0)
    taken = np.radians(last - first) * (bottom - relief.top_mm) * radii
    return outside + float((high - low) / 2.0 * np.sum(weights * taken))


def turned(socket: Socket) -> float:
    """Volume of the turned boss without slots, tracks and bolt holes [mm3]."""
    return profile.turned_volume(profile.of_socket(socket))


def bolt_holes(socket: Socket) -> float:
    """Volume of all bolt holes together [mm3]."""
    flange = socket.flange
    if flange is None:
        return 0.0
    return flange.bolts * math.pi * flange.bolt_hole_radius_mm**2 * flange.thickness_mm


def _shared_with_chamfer(track: Track, chamfer_mm: float) -> float:
    """What slot and mouth chamfer both take away [mm3]."""
    if chamfer_mm == 0.0 or track.top_mm > 0.0:
        return 0.0
    nodes, weights = np.polynomial.legendre.leggauss(32)
    radii = track.inner_radius_mm + chamfer_mm * (nodes + 1.0) / 2.0
    width = np.radians(2.0 * np.asarray(track.slot.at(radii)))
    height = chamfer_mm - (radii - track.inner_radius_mm)
    return float(chamfer_mm / 2.0 * np.sum(weights * width * height * radii))
