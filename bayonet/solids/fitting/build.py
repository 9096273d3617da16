"""Socket and plug as exact solids: turned bodies with their wrapped tracks and lugs."""

from __future__ import annotations

import math
from collections.abc import Sequence

from cadquery import Solid, Vector

from bayonet.developed import contour, volume
from bayonet.errors import BuildError
from bayonet.parts import Flange, Joint, Plug, Socket, places_of, profile
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
    if of.joint is not None:
        raise BuildError("the socket is made of two parts: see parts")
    contours = _of_tracks(of)
    body = turned(profile.of_socket(of), seam_deg=_clear_angle(contours), what="boss")
    tools = [_tool(shape, what="track tool") for shape in contours]
    holes = _bolt_holes(of.flange, of.boss_height_mm) if of.flange else []
    return gate.cut(body, [*tools, *holes], volume_mm3=volume.of_socket(of), what="socket")


def parts(of: Socket) -> dict[str, Solid]:
    """The socket's parts by name, standing as they are joined.

    Parameters
    ----------
    of : Socket

    Returns
    -------
    dict of str to cadquery.Solid
        ``socket`` for one piece; ``ring`` and ``body`` for two.

    Raises
    ------
    BuildError
        If the kernel's result does not pass the gate.
    """
    if of.joint is None:
        return {"socket": socket(of)}
    return {"ring": _ring(of, of.joint), "body": _body(of, of.joint)}


def _ring(of: Socket, joint: Joint) -> Solid:
    contours = _of_tracks(of)
    blank = turned(profile.of_ring(of), seam_deg=_clear_angle(contours), what="ring blank")
    tools = [_tool(shape, what="track tool") for shape in contours]
    for track in of.tracks:
        for one, (x, y) in places_of(track, joint.mill_radius_mm, of.sign):
            tools.append(_pin(x, y, one.mill_mm, -joint.seat_mm, -one.top_mm))
    cap = joint.bolts
    for x, y in cap.places():
        tools.append(_pin(x, y, cap.hole_radius_mm, -joint.seat_mm, 0.0))
        if cap.sink_mm > 0.0:
            tools.append(_pin(x, y, cap.head_radius_mm, -cap.sink_mm, 0.0))
    if joint.dowel is not None:
        x, y = joint.dowel.place()
        top = joint.dowel.ring_depth_mm - joint.seat_mm
        tools.append(_pin(x, y, joint.dowel.radius_mm, -joint.seat_mm, top))
    return gate.cut(blank, tools, volume_mm3=volume.of_ring(of), what="ring")


def _body(of: Socket, joint: Joint) -> Solid:
    blank = turned(profile.of_body(of), seam_deg=joint.bolts.first_deg + 1.0, what="body blank")
    seat, cap = -joint.seat_mm, joint.bolts
    tools = [
        _pin(x, y, cap.bolt.tap_drill_mm / 2.0, seat - cap.hole_depth_mm, seat)
        for x, y in cap.places()
    ]
    if joint.dowel is not None:
        x, y = joint.dowel.place()
        tools.append(_pin(x, y, joint.dowel.radius_mm, seat - joint.dowel.body_depth_mm, seat))
    holes = _bolt_holes(of.flange, of.boss_height_mm) if of.flange else []
    return gate.cut(blank, [*tools, *holes], volume_mm3=volume.of_body(of), what="body")


def _pin(x: float, y: float, radius: float, low: float, high: float) -> Solid:
    """A cylinder beside the axis, between two heights."""
    return Solid.makeCylinder(
        float(radius), float(high - low), Vector(float(x), float(y), float(low)), Vector(0, 0, 1)
    )


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
