"""Distances round a boss before it is built: seams, openings, other walls, other solids."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence

import numpy as np
from cadquery import Edge, Face, Shape, Solid
from numpy.typing import NDArray
from OCP.BRep import BRep_Tool
from OCP.BRepAdaptor import BRepAdaptor_Surface
from OCP.BRepExtrema import BRepExtrema_DistShapeShape
from OCP.BRepTools import BRepTools
from OCP.GeomAbs import GeomAbs_SurfaceType

from bayonet.parts import Socket
from bayonet.solids.graft.columns import Disc, Wall, disc
from bayonet.solids.graft.join import Stand
from bayonet.solids.kernel import cylinder, guarded, through
from bayonet.tank import Room

_BLOCKED_TIMES = 3.0
_HAIR_MM = 1e-4
_SAME_MM = 1e-5
_SMOOTH = math.cos(math.radians(1.0))
_PLAIN = {"PLANE", "CYLINDER", "CONE", "SPHERE", "TORUS"}


@guarded("measuring the room round the boss")
def room(
    host: Solid,
    others: Sequence[tuple[str, Solid]],
    socket: Socket,
    where: Stand,
    *,
    shoulder_mm: tuple[float, float],
    reach_mm: float,
) -> Room:
    """Measure the room a boss has.

    Parameters
    ----------
    host : cadquery.Solid
        Without the socket, in the fitting's frame.
    others : sequence of (str, cadquery.Solid)
        Other solids and their names, in the same frame.
    socket : Socket
    where : Stand
    shoulder_mm : (float, float)
        Radius and thickness of the plug's shoulder, which seats on the mouth [mm].
    reach_mm : float
        A length that passes the whole tank [mm].

    Returns
    -------
    Room
    """
    wall = where.wall
    radius = float(np.hypot(*wall.disc.xy.T).max())
    radius = max(radius, socket.boss_radius_mm)
    foot = float(np.nanmin(wall.outside))
    boss = cylinder(radius, foot, max(0.0, foot + _HAIR_MM))
    seams, rims, joints = _edges(host, wall.outer_faces)
    bare = [face for face in host.Faces() if face not in {*wall.outer_faces, *_inner(wall, where)}]
    shoulder = cylinder(shoulder_mm[0], _HAIR_MM, max(shoulder_mm[1], 2.0 * _HAIR_MM))
    exposed = cylinder(socket.boss_radius_mm, foot, max(0.0, foot + _HAIR_MM))
    named = [
        (min(distance(shoulder, [one]), distance(exposed, [one])), name) for name, one in others
    ]
    nearest = min(named, default=(math.inf, ""))
    return Room(
        seam_mm=distance(boss, seams),
        opening_mm=distance(boss, rims),
        joint_mm=distance(boss, joints),
        other_wall_mm=min(distance(shoulder, bare), distance(exposed, bare)),
        other_solid_mm=nearest[0],
        other_solid=nearest[1],
        inside_mm=_free_behind([host, *(one for _, one in others)], socket, where, reach_mm),
        within_mm=_within(bare, socket, where),
        blocked=_blocked(socket, where),
    )


def distance(one: Shape, others: Iterable[Shape], *, below: float = math.inf) -> float:
    """Least distance between a shape and some others [mm]; ``below`` where none is nearer.

    Shapes whose bounding boxes lie further off than what is found are not looked at.
    """
    box = _box(one)
    near = sorted(((_apart(box, _box(other)), i, other) for i, other in enumerate(others)),
                  key=lambda row: row[:2])  # fmt: skip
    least = below
    for gap, _, other in near:
        if gap >= least or least <= 0.0:
            break
        found = BRepExtrema_DistShapeShape(one.wrapped, other.wrapped)
        least = min(least, float(found.Value()) if found.IsDone() else 0.0)
    return least


def _box(shape: Shape) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    box = shape.BoundingBox()
    return np.array([box.xmin, box.ymin, box.zmin]), np.array([box.xmax, box.ymax, box.zmax])


def _apart(
    one: tuple[NDArray[np.float64], NDArray[np.float64]],
    other: tuple[NDArray[np.float64], NDArray[np.float64]],
) -> float:
    return float(np.linalg.norm(np.maximum(0.0, np.maximum(one[0] - other[1], other[0] - one[1]))))


def _inner(wall: Wall, where: Stand) -> tuple[Face, ...]:
    """Inside faces of the wall itself; a face met below a baffle is none of them."""
    if not np.any(_long(wall)):
        return wall.inner_faces
    return where.look(_thin(wall)).inner_faces


def _long(wall: Wall) -> NDArray[np.bool_]:
    length = wall.outside - wall.inside
    return np.asarray(length > _BLOCKED_TIMES * np.nanmedian(length))


def _thin(wall: Wall) -> Disc:
    """The points of a disc under which nothing stands on the wall."""
    kept = ~_long(wall)
    return Disc(xy=wall.disc.xy[kept], area=wall.disc.area[kept])


def _blocked(socket: Socket, where: Stand) -> float:
    """Share of the passage over metal much thicker than the wall."""
    below = where.look(disc(socket.bore[-1][0], radii=6, angles=24))
    length = below.outside - below.inside
    usual = float(np.nanmedian(where.wall.outside - where.wall.inside))
    usual = min(usual, where.thickness_mm) if where.thickness_mm > 0 else usual
    deep = np.isnan(length) | (length > _BLOCKED_TIMES * max(usual, float(np.nanmin(length))))
    return float(below.disc.area @ deep / below.disc.area.sum())


def _free_behind(solids: Sequence[Shape], socket: Socket, where: Stand, reach_mm: float) -> float:
    below = where.look(disc(0.98 * socket.bore[-1][0], radii=4, angles=12))
    prepared = [through(one) for one in solids]
    free = math.inf
    for (x, y), inside in zip(below.disc.xy.tolist(), below.inside.tolist(), strict=True):
        if math.isnan(inside):
            continue
        start = min(inside, -socket.boss_height_mm) - _HAIR_MM
        for rays in prepared:
            hits = rays.hits((x, y, start), (0.0, 0.0, -1.0), reach_mm=reach_mm)
            if hits:
                free = min(free, hits[0].distance_mm)
    return free


def _within(bare: list[Face], socket: Socket, where: Stand) -> float:
    highest = float(np.nanmax(where.wall.inside))
    end = -socket.boss_height_mm
    if highest - end <= _HAIR_MM:
        return math.inf
    return distance(cylinder(socket.boss_radius_mm, end, highest), bare)


def wall_edges(host: Solid, outer: Sequence[Face]) -> list[Edge]:
    """Seams and rims of the wall's outside faces."""
    seams, rims, _ = _edges(host, outer)
    return [*seams, *rims]


def _edges(host: Solid, outer: Sequence[Face]) -> tuple[list[Edge], ...]:
    """Edges of the wall's outside: seams, rims of openings, smooth joints of free-form faces.

    The seam of a closed surface and an edge that splits one surface in two are none of them.
    """
    around: dict[Edge, dict[Face, None]] = {}
    for face in host.Faces():
        for edge in face.Edges():
            around.setdefault(edge, {}).setdefault(face)
    seams: dict[Edge, None] = {}
    rims: dict[Edge, None] = {}
    joints: dict[Edge, None] = {}
    for face in outer:
        outline = BRepTools.OuterWire_s(face.wrapped)
        for wire in face.Wires():
            kept = seams if wire.wrapped.IsSame(outline) else rims
            for edge in wire.Edges():
                if BRep_Tool.Degenerated_s(edge.wrapped) or edge in seams or edge in rims:
                    continue
                pair = list(around[edge])
                if len(pair) == 2 and not _one_surface(*pair):
                    (joints if _smooth_joint(edge, *pair) else kept).setdefault(edge)
    return list(seams), list(rims), list(joints)


def _smooth_joint(edge: Edge, one: Face, other: Face) -> bool:
    """Whether two free-form faces run on into each other: patches, as a rule, not plates."""
    if one.geomType() in _PLAIN or other.geomType() in _PLAIN:
        return False
    for share in (0.2, 0.5, 0.8):
        place = edge.positionAt(share)
        if one.normalAt(place).dot(other.normalAt(place)) < _SMOOTH:
            return False
    return True


def _one_surface(one: Face, other: Face) -> bool:
    """Whether two faces lie on the same plane, cylinder, cone or sphere."""
    a, b = BRepAdaptor_Surface(one.wrapped), BRepAdaptor_Surface(other.wrapped)
    kind = a.GetType()
    if kind != b.GetType():
        return False
    if kind == GeomAbs_SurfaceType.GeomAbs_Plane:
        p, q = a.Plane(), b.Plane()
        along = abs(p.Axis().Direction().Dot(q.Axis().Direction()))
        return bool(along > 1.0 - 1e-10 and p.Distance(q.Location()) < _SAME_MM)
    if kind == GeomAbs_SurfaceType.GeomAbs_Cylinder:
        c, d = a.Cylinder(), b.Cylinder()
        return bool(
            c.Axis().IsCoaxial(d.Axis(), 1e-6, 1e-5) and abs(c.Radius() - d.Radius()) < 1e-5
        )
    if kind == GeomAbs_SurfaceType.GeomAbs_Cone:
        e, f = a.Cone(), b.Cone()
        same = e.Apex().Distance(f.Apex()) < _SAME_MM
        return bool(same and e.Axis().IsCoaxial(f.Axis(), 1e-6, _SAME_MM))
    if kind == GeomAbs_SurfaceType.GeomAbs_Sphere:
        g, h = a.Sphere(), b.Sphere()
        return bool(
            g.Location().Distance(h.Location()) < 1e-5 and abs(g.Radius() - h.Radius()) < 1e-5
        )
    return bool(BRep_Tool.Surface_s(one.wrapped) == BRep_Tool.Surface_s(other.wrapped))
