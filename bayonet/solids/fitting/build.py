"""Socket and plug as exact solids: turned bodies with their wrapped tracks and lugs."""

from __future__ import annotations

import math
from collections.abc import Sequence

from cadquery import Solid, Vector

from bayonet.developed import contour, volume
from bayonet.parts import Flange, Plug, Socket, profile
from bayonet.shapes import Contour, mirrored
from bayonet.solids.fitting.cut_track import cut_track
from bayonet.solids.kernel import gate, turned, wrapped


def socket(of: Socket) -> Solid:
    """The socket: mouth face at z = 0, +z out of the tank.

    Parameters
    ----------
    of : Socket

    Returns
    -------
    cadquery.Solid
        One valid solid; its volume agrees with the closed form.

    Raises
    ------
    BuildError
        If the kernel's result does not pass the gate.
    """
    contours = _of_tracks(of)
    body = turned(profile.of_socket(of), seam_deg=_clear_angle(contours), what="boss")
    tools = [_tool(shape, what="track tool") for shape in contours]
    holes = _bolt_holes(of.flange, of.boss_height_mm) if of.flange else []
    return gate.cut(body, [*tools, *holes], volume_mm3=volume.of_socket(of), what="socket")


def plug(of: Plug, *, turned_deg: float = 0.0) -> Solid:
    """The plug as modelled: shoulder on z = 0, turned from its inserted orientation.

    Parameters
    ----------
    of : Plug
    turned_deg : float
        Turn towards lock [deg].

    Returns
    -------
    cadquery.Solid
        One valid solid; its volume agrees with the closed form.

    Raises
    ------
    BuildError
        If the kernel's result does not pass the gate.
    """
    root = of.lug_body.radius_mm
    contours = [
        mirrored(
            contour.of_lug(lug, inner_mm=root),
            sign=of.sign,
            centre_deg=lug.centre_deg + of.sign * turned_deg,
        )
        for lug in of.lugs
    ]
    body = turned(profile.of_plug(of), seam_deg=_clear_angle(contours), what="plug body")
    lugs = [_tool(shape, what="lug") for shape in contours]
    return gate.fuse(body, lugs, volume_mm3=volume.of_plug(of), what="plug")


def track_tools(of: Socket) -> list[Solid]:
    """What slots and tracks take away: one gated solid a track, cut ones as the cutter goes."""
    return [_tool(shape, what="track tool") for shape in _of_tracks(of)]


def _of_tracks(of: Socket) -> list[Contour]:
    return [
        mirrored(contour.of_track(track), sign=of.sign, centre_deg=track.centre_deg)
        for track in of.tracks
    ]


def _tool(shape: Contour, *, what: str) -> Solid:
    made = cut_track(shape) if shape.is_cut else wrapped(shape)
    return gate.passed(made, volume_mm3=shape.volume(), what=what)


def _clear_angle(contours: Sequence[Contour]) -> float:
    """Middle of the widest gap between contours [deg]: where a seam is in nobody's way."""
    spans = []
    for shape in contours:
        angles = [shape.polygon(radius)[:, 0] for radius in (shape.inner_mm, shape.outer_mm)]
        low, high = min(a.min() for a in angles), max(a.max() for a in angles)
        spans.append((float(low) % 360.0, float(high - low)))
    spans.sort()
    gaps = [
        ((following[0] - start - width) % 360.0, start + width)
        for (start, width), following in zip(spans, [*spans[1:], spans[0]], strict=True)
    ]
    widest, start = max(gaps)
    return start + widest / 2.0


def _bolt_holes(flange: Flange, height_mm: float) -> list[Solid]:
    holes = []
    for index in range(flange.bolts):
        angle = 2.0 * math.pi * index / flange.bolts
        radius = flange.bolt_circle_radius_mm
        foot = Vector(radius * math.cos(angle), radius * math.sin(angle), -height_mm)
        holes.append(
            Solid.makeCylinder(
                flange.bolt_hole_radius_mm, flange.thickness_mm, foot, Vector(0, 0, 1)
            )
        )
    return holes
