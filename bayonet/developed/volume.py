"""Exact volumes of plug and socket, in closed form, to hold the CAD kernel against."""

from __future__ import annotations

import math

import numpy as np

from bayonet.developed import contour
from bayonet.parts import Plug, Socket, Track, profile


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
