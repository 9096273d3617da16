"""Half profiles of the turned parts, and the exact volume of turning them. No geometry kernel.

A profile is closed and runs counter-clockwise in (radius, z), z = -depth.
"""

from __future__ import annotations

import itertools
import math
from dataclasses import dataclass

from bayonet.parts.plug import GrooveMm, Plug
from bayonet.parts.socket import Socket

Point = tuple[float, float]


@dataclass(frozen=True)
class Segment:
    """Straight from ``start`` to ``end``, or round ``centre`` by the shorter way."""

    start: Point
    end: Point
    centre: Point | None = None


Profile = tuple[Segment, ...]


def turned_volume(profile: Profile) -> float:
    r"""Volume of a profile turned once round the axis [mm3].

    .. math:: V = \pi \oint r^2\, \mathrm{d}z

    (Green's theorem; the same as Pappus's second theorem on area and centroid.)

    Examples
    --------
    A square tube, radii 1 and 2, 3 high: pi (4 - 1) 3.

    >>> tube = polygon([(1, 0), (2, 0), (2, 3), (1, 3)])
    >>> round(turned_volume(tube), 9), round(math.pi * 9, 9)
    (28.274333882, 28.274333882)
    """
    return math.pi * math.fsum(_flux(segment) for segment in profile)


def polygon(points: list[Point]) -> Profile:
    """A closed profile of straight segments; points that repeat are left out."""
    kept = [p for i, p in enumerate(points) if math.dist(p, points[i - 1]) > 1e-9]
    return tuple(Segment(a, b) for a, b in zip(kept, [*kept[1:], kept[0]], strict=True))


def of_socket(socket: Socket) -> Profile:
    """The socket's half profile without slots, tracks and bolt holes."""
    inside = [(radius, -depth) for radius, depth in socket.bore]
    return polygon([*inside, *_outside(socket, 0.0)])


def of_ring(socket: Socket) -> Profile:
    """Half profile of the retaining ring of a socket of two parts, without slots and holes."""
    joint = socket.joint
    assert joint is not None, "a socket of one piece has no ring"
    seat, outer = joint.seat_mm, joint.ring_radius_mm
    inside = [(radius, -depth) for radius, depth in socket.bore if depth < seat]
    inside.append((socket.bore_radius_at(seat), -seat))
    return polygon([*inside, (outer, -seat), (outer, 0.0)])


def of_body(socket: Socket) -> Profile:
    """Half profile of the body of a socket of two parts, the joint's groove in it, no holes."""
    joint = socket.joint
    assert joint is not None, "a socket of one piece has no body of its own"
    seat, outer = joint.seat_mm, joint.ring_radius_mm
    inside = [(outer, -joint.rim_mm), (outer, -seat)]
    if joint.seal is not None:
        far, near = joint.seal.outer_radius_mm, joint.seal.inner_radius_mm
        bottom = -seat - joint.seal.depth_mm
        inside += [(far, -seat), (far, bottom), (near, bottom), (near, -seat)]
    at_seat = [radius for radius, depth in socket.bore if depth == seat]
    inside.append((max(at_seat, default=socket.bore_radius_at(seat)), -seat))
    inside += [(radius, -depth) for radius, depth in socket.bore if depth > seat]
    return polygon([*inside, *_outside(socket, -joint.rim_mm)])


def _outside(socket: Socket, mouth: float) -> list[Point]:
    """Outside from the boss's end up to a height: boss, flange, weld preparation."""
    end, boss = -socket.boss_height_mm, socket.boss_radius_mm
    outside = [(boss, end), (boss, mouth)]
    if socket.flange is not None:
        rim, top = socket.flange.radius_mm, end + socket.flange.thickness_mm
        outside = [(rim, end), (rim, top), (boss, top), (boss, mouth)]
    if socket.weld is not None:
        weld = socket.weld
        root = boss - weld.bevel_width_mm
        land = end + weld.land_mm
        bevel = land + weld.bevel_width_mm / math.tan(math.radians(weld.bevel_angle_deg))
        outside = [(root, end), (root, land), (boss, bevel), (boss, mouth)]
    return outside


def turned_outline(socket: Socket) -> list[Point]:
    """Corners of the socket's half profile as (radius, z), without slots and tracks [mm]."""
    return [segment.start for segment in of_socket(socket)]


def of_plug(plug: Plug) -> Profile:
    """The plug's half profile without lugs, groove included."""
    nose, chamfer = -plug.nose_depth_mm, plug.nose_chamfer_mm
    groove = plug.ring_groove
    last = plug.body[-1].radius_mm
    segments = _chain([(0.0, nose), (last - chamfer, nose), (last, nose + chamfer)])
    if groove is not None and groove.kind == "nose_face":
        segments = _inserted(segments, _face_groove(groove, nose))
    for deeper, step in zip(plug.body[:0:-1], plug.body[-2::-1], strict=True):
        z = -step.to_depth_mm
        segments += _chain([segments[-1].end, (deeper.radius_mm, z), (step.radius_mm, z)])
    rim, top = plug.shoulder_radius_mm, plug.shoulder_thickness_mm
    under = plug.stands_off_mm
    segments += _chain([segments[-1].end, (plug.body[0].radius_mm, under), (rim, under)])
    if groove is not None and groove.kind == "radial":
        segments = _inserted(segments, _radial_groove(plug))
    if groove is not None and groove.kind == "shoulder_face":
        segments = _inserted(segments, _face_groove(groove, 0.0))
    top += under
    return (*segments, *_chain([(rim, under), (rim, top), (0.0, top), (0.0, nose)]))


def _flux(segment: Segment) -> float:
    (r0, z0), (r1, z1) = segment.start, segment.end
    if segment.centre is None:
        return (r0 * r0 + r0 * r1 + r1 * r1) / 3.0 * (z1 - z0)
    rc, zc = segment.centre
    radius = math.hypot(r0 - rc, z0 - zc)
    start = math.atan2(z0 - zc, r0 - rc)
    turn = math.remainder(math.atan2(z1 - zc, r1 - rc) - start, 2.0 * math.pi)

    def primitive(angle: float) -> float:
        sin = math.sin(angle)
        square = angle / 2.0 + math.sin(2.0 * angle) / 4.0
        return radius * (
            rc * rc * sin + 2.0 * rc * radius * square + radius**2 * (sin - sin**3 / 3.0)
        )

    return primitive(start + turn) - primitive(start)


def _chain(points: list[Point]) -> list[Segment]:
    pairs = itertools.pairwise(points)
    return [Segment(a, b) for a, b in pairs if math.dist(a, b) > 1e-9]


def _corner(a: Point, b: Point, centre: Point) -> list[Segment]:
    return [Segment(a, b, centre)] if math.dist(a, b) > 1e-9 else []


def _radial_groove(plug: Plug) -> list[Segment]:
    """The groove round the body, from its deeper to its shallower wall."""
    groove = plug.groove
    low, high, bottom = -groove.end_mm, -groove.start_mm, groove.radius_mm
    c = groove.corner_radius_mm
    radius = plug.groove_body.radius_mm
    return [
        *_chain([(radius, low), (bottom + c, low)]),
        *_corner((bottom + c, low), (bottom, low + c), (bottom + c, low + c)),
        *_chain([(bottom, low + c), (bottom, high - c)]),
        *_corner((bottom, high - c), (bottom + c, high), (bottom + c, high - c)),
        *_chain([(bottom + c, high), (radius, high)]),
    ]


def _face_groove(groove: GrooveMm, base: float) -> list[Segment]:
    """A groove in a face that looks into the tank, from its inner to its outer wall."""
    inner, outer, top = groove.start_mm, groove.end_mm, base + groove.cut_mm
    c = groove.corner_radius_mm
    return [
        *_chain([(inner, base), (inner, top - c)]),
        *_corner((inner, top - c), (inner + c, top), (inner + c, top - c)),
        *_chain([(inner + c, top), (outer - c, top)]),
        *_corner((outer - c, top), (outer, top - c), (outer - c, top - c)),
        *_chain([(outer, top - c), (outer, base)]),
    ]


def _inserted(segments: list[Segment], groove: list[Segment]) -> list[Segment]:
    """Put a groove into the straight segment both its ends lie on."""
    first, last = groove[0].start, groove[-1].end
    for index, segment in enumerate(segments):
        if _on(segment, first) and _on(segment, last):
            before, after = _chain([segment.start, first]), _chain([last, segment.end])
            return [*segments[:index], *before, *groove, *after, *segments[index + 1 :]]
    raise AssertionError("the rules let no groove cross a corner")


def _on(segment: Segment, point: Point) -> bool:
    along = math.dist(segment.start, point) + math.dist(point, segment.end)
    return abs(along - math.dist(segment.start, segment.end)) < 1e-9
