"""A socket grafted onto a tank: boss met to the wall, fused, bored. Measures are elsewhere.

All booleans run in the fitting's frame, near the origin, whatever the tank's coordinates.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np
from cadquery import Face, Location, Plane, Shape, Solid, Vector
from numpy.typing import NDArray
from OCP.BRepAlgoAPI import BRepAlgoAPI_Cut, BRepAlgoAPI_Fuse
from OCP.BRepCheck import BRepCheck_Analyzer

from bayonet.errors import BuildError, TankError
from bayonet.parts import Socket, profile
from bayonet.solids.fitting import track_tools
from bayonet.solids.graft.columns import AXIS, Disc, Wall, disc, look_down
from bayonet.solids.graft.fillet import filleted, foot_edges
from bayonet.solids.graft.spot import Spot, reach_of
from bayonet.solids.graft.tank import Tank, TankSolid
from bayonet.solids.kernel import Colour, Done, boolean, cylinder, guarded, turned
from bayonet.tank import Frame, Wishes, frame_at

Array = NDArray[np.float64]

_BEYOND_MM = 1.0
_LEAST_PROUD_MM = 2.0
_SEAT_GAP_MM = 1.0
_LEVEL_MM = 1e-6
_FILLET_REACH = 1.5  # of its radius, on a wall that leans


@dataclass(frozen=True, kw_only=True)
class Stand:
    """The heights a boss is built to, in the fitting's frame [mm].

    Parameters
    ----------
    frame : Frame
    solids : tuple of cadquery.Solid
        The tank's, in the fitting's frame.
    proud_mm : float
        Mouth face above the wall, on the axis.
    thickness_mm : float
        Wall on the axis.
    wall : Wall
        Under the boss, land included.
    look : callable
        The wall at any other points.
    seat_radius_mm : float or None
        Radius of the seat cut where the wall stands above the mouth; None where none is needed.
    """

    frame: Frame
    solids: tuple[Solid, ...]
    proud_mm: float
    thickness_mm: float
    wall: Wall
    look: Callable[[Disc], Wall]
    seat_radius_mm: float | None


@dataclass(frozen=True, kw_only=True)
class Grafted:
    """A tank with its socket.

    Parameters
    ----------
    tank : Tank
        All solids in the tank's coordinates, the grafted one in its place.
    host : int
        Index of the grafted solid.
    face_number : int
        The wall's face, as `bayonet.solids.graft.spot.listed` counts.
    snapped_mm : float
        From the point picked to that face.
    before, after : cadquery.Solid
        The grafted solid without and with the socket, in the fitting's frame.
    others : tuple of cadquery.Solid
        The other solids, in the fitting's frame.
    openings : tuple of cadquery.Shape
        Everything bored, as tools, in the fitting's frame: bore, tracks, seat.
    opened : tuple of cadquery.Face
        The faces they left on ``after``.
    socket : Socket
        As grafted: without flange and weld preparation.
    stand : Stand
        Its ``frame`` takes the fitting's coordinates to the tank's.
    """

    tank: Tank
    host: int
    face_number: int
    snapped_mm: float
    before: Solid
    after: Solid
    others: tuple[Solid, ...]
    openings: tuple[Shape, ...]
    opened: tuple[Face, ...]
    socket: Socket
    stand: Stand

    @property
    def frame(self) -> Frame:
        """The fitting's frame in the tank's coordinates."""
        return self.stand.frame


def plain(socket: Socket) -> Socket:
    """The socket as it is grafted: the wall takes the place of flange and weld preparation."""
    return replace(socket, flange=None, weld=None)


def foot_radius_mm(socket: Socket, wishes: Wishes) -> float:
    """Radius of the boss where it meets the wall, land or fillet included [mm]."""
    land = wishes.land.width_mm if wishes.land else 0.0
    return socket.boss_radius_mm + max(land, _FILLET_REACH * wishes.fillet_mm)


def stand(tank: Tank, spot: Spot, socket: Socket, wishes: Wishes, *, shoulder_mm: float) -> Stand:
    """Decide the heights from the wall under the boss.

    Parameters
    ----------
    tank : Tank
    spot : Spot
    socket : Socket
    wishes : Wishes
    shoulder_mm : float
        Radius of the plug's shoulder, which must find room on the mouth face [mm].

    Returns
    -------
    Stand

    Raises
    ------
    TankError
        If there is no hollow behind the wall, or the axis does not cross it.
    """
    axis = np.asarray(wishes.toward or spot.normal, dtype=float)
    foot = np.asarray(spot.point)
    reach = reach_of(tank)
    on_wall = frame_at(foot, axis, clock_deg=wishes.clock_deg)
    radius = foot_radius_mm(socket, wishes)
    first = look_down(
        moved(tank.solids[spot.solid].solid, on_wall),
        near_mm=0.0,
        from_mm=4.0 * radius,
        reach_mm=reach,
    )
    middle = first(AXIS)
    if not middle.is_whole:
        raise TankError("the axis misses the wall under the point picked; see --toward")
    thickness = float(middle.outside[0] - middle.inside[0])
    under = first(disc(radius, radii=4, angles=24))
    thickness = float(np.nanmin([thickness, np.nanmedian(under.outside - under.inside)]))
    proud = wishes.proud_mm
    if proud is None:
        highest_inside = float(np.nanmax([*under.inside, -thickness]))
        proud = socket.boss_height_mm + highest_inside + thickness / 2.0
        proud = max(proud, _LEAST_PROUD_MM)
    frame = frame_at(foot + proud * np.asarray(on_wall.z), axis, clock_deg=wishes.clock_deg)

    solids = tuple(moved(one.solid, frame) for one in tank.solids)
    look = look_down(
        solids[spot.solid], near_mm=-proud, from_mm=4.0 * radius, reach_mm=reach + 4.0 * radius
    )
    wall = look(disc(radius))
    room = max(shoulder_mm, radius) + _SEAT_GAP_MM
    ring = look(disc(room, inner_mm=radius, radii=3, angles=24))
    highest = np.nanmax(np.concatenate([wall.outside, ring.outside]))
    needs_seat = highest > 1e-6 or proud <= 0.0
    return Stand(
        frame=frame,
        solids=solids,
        proud_mm=proud,
        thickness_mm=thickness,
        wall=wall,
        look=look,
        seat_radius_mm=room if needs_seat else None,
    )


@guarded("joining the socket to the tank")
def graft(tank: Tank, spot: Spot, socket: Socket, wishes: Wishes, *, shoulder_mm: float) -> Grafted:
    """Graft a socket.

    Parameters
    ----------
    tank : Tank
    spot : Spot
    socket : Socket
    wishes : Wishes
    shoulder_mm : float
        Radius of the plug's shoulder [mm].

    Returns
    -------
    Grafted

    Raises
    ------
    TankError
        If the place cannot take a socket at all.
    BuildError
        If the kernel fails or gives other than one valid solid.
    """
    socket = plain(socket)
    where = stand(tank, spot, socket, wishes, shoulder_mm=shoulder_mm)
    solids, host = where.solids, where.solids[spot.solid]
    boss = _boss(host, socket, where, wishes)
    fused = boolean(BRepAlgoAPI_Fuse(), host, boss, what="boss and tank")
    rounded = _rounded(fused, boss, where, wishes.fillet_mm)
    openings = _openings(socket, where)
    bored = boolean(BRepAlgoAPI_Cut(), rounded[-1].shape, openings, what="openings")
    after, back = _one_solid(bored.shape), _location(where.frame)
    colours = tuple(
        (_placed(face, back), colour)
        for original, colour in _paired(tank.solids[spot.solid], host)
        for kept in _followed(original, rounded)
        for face in bored.followed(kept)
    )
    old = tank.solids[spot.solid]
    new = TankSolid(
        name=old.name,
        solid=Solid(_placed(after, back).wrapped),
        colour=old.colour,
        face_colours=colours,
    )
    everyone = tuple(new if i == spot.solid else one for i, one in enumerate(tank.solids))
    return Grafted(
        tank=replace(tank, solids=everyone),
        host=spot.solid,
        face_number=spot.number,
        snapped_mm=spot.snapped_mm,
        before=host,
        after=after,
        others=tuple(one for i, one in enumerate(solids) if i != spot.solid),
        openings=tuple(openings),
        opened=tuple(
            face for tool in openings for old in tool.Faces() for face in bored.followed(old)
        ),
        socket=socket,
        stand=where,
    )


def moved(solid: Solid, frame: Frame) -> Solid:
    """A solid of the tank in the fitting's frame; the very same faces, placed anew."""
    return Solid(solid.wrapped.Moved(_location(frame).inverse.wrapped))


def _location(frame: Frame) -> Location:
    return Location(Plane(Vector(*frame.origin), Vector(*frame.x), Vector(*frame.z)))


def _placed(shape: Shape, location: Location) -> Shape:
    """A shape set elsewhere; one location for a solid and its faces, or they are not the same."""
    return Shape.cast(shape.wrapped.Moved(location.wrapped))


def _paired(old: TankSolid, host: Solid) -> list[tuple[Face, Colour]]:
    """The host's faces that have a colour of their own, in the fitting's frame."""
    colours = dict(old.face_colours)
    return [
        (there, colours[here])
        for here, there in zip(old.solid.Faces(), host.Faces(), strict=True)
        if here in colours
    ]


def _boss(host: Solid, socket: Socket, where: Stand, wishes: Wishes) -> list[Shape]:
    """Boss, and land or fillet if asked, each as far as it must reach into the wall."""
    land = wishes.land
    body = _met(host, socket.boss_radius_mm, 0.0, socket.boss_height_mm, where)
    if wishes.fillet_mm > 0.0 and is_level(where):
        return [*body, _fillet(socket.boss_radius_mm, wishes.fillet_mm, where)]
    if land is None:
        return body
    top = min(0.0, land.height_mm - where.proud_mm)
    return body + _met(host, socket.boss_radius_mm + land.width_mm, top, 0.0, where)


def is_level(where: Stand) -> bool:
    """Whether the wall under the boss is flat and square to the axis."""
    return float(np.ptp(where.wall.outside)) <= _LEVEL_MM


def _rounded(fused: Done, boss: list[Shape], where: Stand, fillet_mm: float) -> tuple[Done, ...]:
    """Boss and tank, and after it the kernel's fillet where the wall is not level."""
    if fillet_mm == 0.0 or is_level(where):
        return (fused,)
    sides = [
        face
        for tool in boss
        for old in tool.Faces()
        if old.geomType() == "CYLINDER"
        for face in fused.followed(old)
    ]
    edges = foot_edges(fused.shape, sides, outside=heights_of(where))
    work = filleted(fused.shape, edges, fillet_mm)
    return fused, Done(Shape.cast(work.Shape()), work)


def _followed(face: Face, steps: tuple[Done, ...]) -> list[Face]:
    """What became of a face after some steps."""
    faces = [face]
    for step in steps:
        faces = [after for before in faces for after in step.followed(before)]
    return faces


def heights_of(where: Stand) -> Callable[[Array], Array]:
    """Height of the wall's outside at points (n, 2) [mm]; NaN where there is none."""
    return lambda xy: where.look(Disc(xy=xy, area=np.zeros(len(xy)))).outside


def _fillet(boss: float, radius: float, where: Stand) -> Shape:
    """A turned fillet, exact on a level wall."""
    outside, inside = where.wall.outside, where.wall.inside
    level = float(outside.mean())
    if level + radius > 0.0:
        raise TankError(
            f"a fillet of {radius:g} mm is higher than the boss stands, {-level:.2f} mm"
        )
    foot = (level + float(inside.max())) / 2.0
    rim, core = boss + radius, boss - min(1.0, boss / 10.0)
    outline = (
        profile.Segment((core, foot), (rim, foot)),
        profile.Segment((rim, foot), (rim, level)),
        profile.Segment((rim, level), (boss, level + radius), (rim, level + radius)),
        profile.Segment((boss, level + radius), (core, level + radius)),
        profile.Segment((core, level + radius), (core, foot)),
    )
    return turned(outline, seam_deg=0.0, what="fillet")


def _met(host: Solid, radius: float, top: float, height: float, where: Stand) -> list[Shape]:
    """A cylinder down to the wall: ending within it, or trimmed to it where it curves too much."""
    wall = where.wall
    if not wall.is_whole:
        raise TankError(
            "the boss stands over an edge or opening of the tank: not every line down from it"
            " meets the wall"
        )
    lowest_outside, highest_inside = float(wall.outside.min()), float(wall.inside.max())
    if lowest_outside - highest_inside > 0.2 * where.thickness_mm:
        foot = min((lowest_outside + highest_inside) / 2.0, -height)
        return [cylinder(radius, foot, top)]
    through = cylinder(radius, min(lowest_outside, -height) - _BEYOND_MM, top)
    cut = boolean(BRepAlgoAPI_Cut(), through, [host], what="trimming the boss to the wall")
    outer = [piece for piece in cut.shape.Solids() if piece.BoundingBox().zmax > top - 1e-5]
    inner = [cylinder(radius, -height, top)] if height and highest_inside > -height else []
    return [*outer, *inner]


def _openings(socket: Socket, where: Stand) -> list[Shape]:
    """Bore with the passage through the wall, tracks, and the seat where one is needed."""
    near = np.hypot(*where.wall.disc.xy.T) <= socket.bore[-1][0] * 1.05
    deepest = float(where.wall.inside[near].min())
    end = min(deepest, -socket.boss_height_mm) - _BEYOND_MM
    points = [(radius, -depth) for radius, depth in socket.bore]
    outline = profile.polygon([(0.0, 0.0), (0.0, end), (points[-1][0], end), *points[::-1]])
    tools: list[Shape] = [turned(outline, seam_deg=0.0, what="bore"), *track_tools(socket)]
    if where.seat_radius_mm is not None:
        top = float(np.nanmax(where.wall.outside)) + where.seat_radius_mm
        tools.append(cylinder(where.seat_radius_mm, 0.0, max(top, _BEYOND_MM)))
    return tools


def _one_solid(shape: Shape) -> Solid:
    solids = shape.Solids()
    if len(solids) != 1:
        raise BuildError(f"tank with socket: the kernel made {len(solids)} solids, not one")
    if not BRepCheck_Analyzer(solids[0].wrapped, True).IsValid():
        raise BuildError("tank with socket: the kernel made a solid that is not valid")
    return solids[0]
