"""Measures of a finished graft, each by another way than the booleans that made it."""

from __future__ import annotations

import math

import numpy as np
from cadquery import Face, Shape, Shell, Solid, Vector
from OCP.BRep import BRep_Tool
from OCP.BRepAdaptor import BRepAdaptor_Surface
from OCP.BRepAlgoAPI import BRepAlgoAPI_Fuse
from OCP.BRepCheck import BRepCheck_Analyzer
from OCP.BRepClass3d import BRepClass3d_SolidClassifier
from OCP.GeomAbs import GeomAbs_SurfaceType
from OCP.gp import gp_Pnt
from OCP.TopAbs import TopAbs_State

from bayonet.developed import volume
from bayonet.errors import TankError
from bayonet.parts import Socket
from bayonet.solids.graft.columns import disc
from bayonet.solids.graft.fillet import rolling_ball_volume_mm3
from bayonet.solids.graft.join import Grafted, Stand, heights_of, is_level
from bayonet.solids.graft.room import distance
from bayonet.solids.graft.spot import Spot
from bayonet.solids.graft.tank import volume_of
from bayonet.solids.kernel import blocked_share, boolean, guarded, through
from bayonet.tank import Facts, Land, Room

_RESOLUTIONS = ((12, 40), (9, 28))
_USUAL_TOLERANCE_MM = 1.01e-7
_LID_MM = 2.0
_PROBE_MM = 1.0


@guarded("measuring the graft")
def facts(
    grafted: Grafted,
    spot: Spot,
    *,
    land: Land | None,
    fillet_mm: float,
    room: Room,
    reach_mm: float,
) -> Facts:
    """Measure a graft.

    Parameters
    ----------
    grafted : Grafted
    spot : Spot
    land : Land or None
    fillet_mm : float
    room : Room
    reach_mm : float
        A length that passes the whole tank [mm].

    Returns
    -------
    Facts
    """
    socket, where = grafted.socket, grafted.stand
    fine, coarse = (_by_columns(socket, where, land, fillet_mm, *number) for number in _RESOLUTIONS)
    track_wall, bore_wall = _walls(grafted)
    hollow, expected = _hollow(grafted)
    clear, enclosed, in_hollow = _probe(grafted, reach_mm)
    cosine = float(np.dot(where.frame.z, spot.normal))
    return Facts(
        solids_before=len(grafted.tank.solids),
        solids_after=sum(len(one.solid.Solids()) for one in grafted.tank.solids),
        valid=all(BRepCheck_Analyzer(o.solid.wrapped, True).IsValid() for o in grafted.tank.solids),
        snapped_mm=spot.snapped_mm,
        tilt_deg=math.degrees(math.acos(min(1.0, cosine))),
        proud_mm=where.proud_mm,
        thickness_mm=where.thickness_mm,
        within_mm=float(np.max(where.wall.inside)) + socket.boss_height_mm,
        seat_mm=0.0 if where.seat_radius_mm is None else max(0.0, float(where.wall.outside.max())),
        volume_change_mm3=volume_of(grafted.after) - volume_of(grafted.before),
        expected_change_mm3=fine,
        uncertainty_mm3=abs(fine - coarse) + _slack(grafted),
        track_wall_mm=track_wall,
        bore_wall_mm=bore_wall,
        room=room,
        probes_clear=clear,
        enclosed=enclosed,
        in_hollow=in_hollow,
        handles=(euler(grafted.before) - euler(grafted.after)) // 2,
        hollow_mm3=hollow,
        expected_hollow_mm3=expected,
    )


def euler(solid: Shape) -> int:
    """Euler characteristic of a solid's whole surface, from its faces, edges and vertices.

    2 for a ball, 0 for a ring, 4 for a hollow ball; each way cut through the skin takes 2.

    Examples
    --------
    >>> euler(Solid.makeTorus(20, 3)), euler(Solid.makeSphere(5, Vector(), Vector(0, 0, 1), -90))
    (0, 2)
    """
    edges = [edge for edge in solid.Edges() if not BRep_Tool.Degenerated_s(edge.wrapped)]
    return len(solid.Vertices()) - len(edges) + sum(2 - len(f.Wires()) for f in solid.Faces())


def _bored(socket: Socket) -> float:
    """Volume of bore and tracks within the boss, by the socket's closed form [mm3]."""
    whole = math.pi * socket.boss_radius_mm**2 * socket.boss_height_mm
    return whole - volume.of_socket(socket)


def _by_columns(
    socket: Socket, where: Stand, land: Land | None, fillet: float, radii: int, angles: int
) -> float:
    """Volume gained: boss material minus openings, no boolean in it [mm3]."""
    end = -socket.boss_height_mm
    body = disc(socket.boss_radius_mm, radii=radii, angles=angles)
    wall = where.look(body)
    gained = body.integral(np.maximum(0.0, -wall.outside) + np.maximum(0.0, wall.inside - end))
    if land is not None:
        outer = socket.boss_radius_mm + land.width_mm
        ring = disc(outer, inner_mm=socket.boss_radius_mm, radii=radii, angles=angles)
        top = min(0.0, land.height_mm - where.proud_mm)
        gained += ring.integral(np.maximum(0.0, top - where.look(ring).outside))
    gained += _fillet_mm3(socket, where, fillet, radii, angles)
    passage = disc(socket.bore[-1][0], radii=radii, angles=angles)
    lost = _bored(socket) + passage.integral(np.maximum(0.0, end - where.look(passage).inside))
    if where.seat_radius_mm is not None:
        seat = disc(where.seat_radius_mm, radii=radii, angles=angles)
        lost += seat.integral(np.maximum(0.0, np.nan_to_num(where.look(seat).outside, nan=0.0)))
    return gained - lost


def _fillet_mm3(socket: Socket, where: Stand, fillet: float, radii: int, angles: int) -> float:
    """Volume of the fillet at the foot: level by Pappus, else by a rolling ball [mm3]."""
    if fillet == 0.0 or is_level(where):
        return fillet_volume_mm3(fillet, socket.boss_radius_mm)
    volume_mm3, top = rolling_ball_volume_mm3(
        heights_of(where), boss_radius_mm=socket.boss_radius_mm, radius_mm=fillet, angles=angles,
        across=radii,
    )  # fmt: skip
    if top > 0.0:
        raise TankError(f"a fillet of {fillet:g} mm reaches {top:.2f} mm above the mouth face")
    return volume_mm3


def fillet_volume_mm3(radius_mm: float, boss_radius_mm: float) -> float:
    r"""Volume of a fillet between a boss and a level wall [mm3], by Pappus.

    .. math:: V = \pi ((R + \rho)^2 - R^2) \rho
        - 2 \pi \left(R + \rho - \tfrac{4 \rho}{3 \pi}\right) \tfrac{\pi \rho^2}{4}

    as a square less a quarter circle, each turned about the axis.

    Examples
    --------
    Square 1 x 1 at radius 10 to 11, less the quarter circle about (11, 1).

    >>> import math
    >>> square = math.pi * (11**2 - 10**2)
    >>> quarter = 2 * math.pi * (11 - 4 / (3 * math.pi)) * math.pi / 4
    >>> abs(fillet_volume_mm3(1.0, 10.0) - (square - quarter)) < 1e-12
    True
    """
    r, outer = radius_mm, boss_radius_mm + radius_mm
    square = math.pi * (outer**2 - boss_radius_mm**2) * r
    quarter = math.pi * r**2 / 4.0 * 2.0 * math.pi * (outer - 4.0 * r / (3.0 * math.pi))
    return square - quarter


def _slack(grafted: Grafted) -> float:
    """Volume the kernel's own edge tolerances leave open [mm3].

    An edge that lies off by its tolerance shifts two faces by a strip; the strip's share of the
    volume is its area times its distance from the origin, by the divergence theorem.
    """
    old = set(grafted.before.Edges())
    new = [edge for edge in grafted.after.Edges() if edge not in old]
    strips = sum(
        edge.Length() * BRep_Tool.Tolerance_s(edge.wrapped)
        for edge in new
        if not BRep_Tool.Degenerated_s(edge.wrapped)
        and BRep_Tool.Tolerance_s(edge.wrapped) > _USUAL_TOLERANCE_MM
    )
    return float(strips) * grafted.socket.boss_height_mm


def _walls(grafted: Grafted) -> tuple[float, float]:
    """Least metal between tracks, and bore, and any face that is not theirs [mm]."""
    own = set(grafted.opened)
    skin = [face for face in grafted.after.Faces() if face not in own and not _is_mouth(face)]
    bore, tracks = grafted.openings[0], grafted.openings[1 : 1 + len(grafted.socket.tracks)]
    reaching = max(track.outer_radius_mm for track in grafted.socket.tracks)
    outer = [
        face
        for tool in tracks
        for face in tool.Faces()
        if face.geomType() == "CYLINDER" and _radius_of(face) > 0.999 * reaching
    ]
    walls = [face for face in bore.Faces() if face.geomType() != "PLANE"]
    rims = {edge for face in own for edge in face.Edges()}
    boss_side = [face for face in skin if rims.isdisjoint(face.Edges())]
    return (
        min((_metal(face, skin) for face in outer), default=math.inf),
        min((_metal(face, boss_side) for face in walls), default=math.inf),
    )


def _metal(bored: Face, skin: list[Face]) -> float:
    """Least distance from a bored face of revolution to the skin [mm].

    Round the same axis it is the difference of radii, a bound even where they do not overlap;
    the kernel's search would find it slowly, for it has no one nearest point.
    """
    radius = _radius_of(bored)
    round_ones = {face: r for face in skin if (r := _axial_radius(face)) is not None}
    least = min((r - radius for r in round_ones.values() if r > radius), default=math.inf)
    return distance(bored, [face for face in skin if face not in round_ones], below=least)


def _axial_radius(face: Face) -> float | None:
    """Radius of a cylinder round the fitting's axis; None for any other face."""
    surface = BRepAdaptor_Surface(face.wrapped)
    if surface.GetType() != GeomAbs_SurfaceType.GeomAbs_Cylinder:
        return None
    axis = surface.Cylinder().Axis()
    place = axis.Location()
    upright = abs(axis.Direction().Z()) > 1.0 - 1e-12
    return (
        surface.Cylinder().Radius() if upright and math.hypot(place.X(), place.Y()) < 1e-7 else None
    )


def _radius_of(face: Face) -> float:
    """Greatest radius of a face of revolution round the axis [mm]."""
    return max(math.hypot(v.X, v.Y) for v in face.Vertices())


def _is_mouth(face: Face) -> bool:
    box = face.BoundingBox()
    level = max(abs(box.zmax), abs(box.zmin)) < 1e-5
    return bool(face.geomType() == "PLANE" and level)


def _probe(grafted: Grafted, reach_mm: float) -> tuple[float, float, bool]:
    """Probes from outside the mouth through the passage, and what their end sees."""
    socket, where = grafted.socket, grafted.stand
    spots = disc(0.97 * socket.passage_radius_mm, radii=5, angles=16)
    rays = [through(one) for one in (grafted.after, *grafted.others)]
    deepest = float(np.min(where.look(spots).inside))
    end = min(deepest, -socket.boss_height_mm) - 2.0 * _PROBE_MM
    clear = [
        not any(r.hits((x, y, _PROBE_MM), (0, 0, -1), reach_mm=_PROBE_MM - end) for r in rays)
        for x, y in spots.xy.tolist()
    ]
    enclosed = blocked_share(
        [through(one) for one in (grafted.before, *grafted.others)],
        (0.0, 0.0, end), towards=None, reach_mm=reach_mm,
    )  # fmt: skip
    hollows = hollow_solids(grafted.before)
    within = any(contains(hollow, (0.0, 0.0, end)) for hollow in hollows)
    return float(np.mean(clear)), enclosed, within


def hollow_solids(solid: Shape) -> list[Solid]:
    """The closed hollows of a solid, each as a body, the largest first."""
    found = [
        Solid.makeSolid(Shell(shell.wrapped.Reversed()))
        for shell in solid.Shells()
        if volume_of(shell) < 0.0
    ]
    return sorted(found, key=lambda one: -volume_of(one))


def contains(solid: Solid, point: tuple[float, ...]) -> bool:
    """Whether a point lies inside a solid."""
    state = BRepClass3d_SolidClassifier(solid.wrapped, gp_Pnt(*point), 1e-7).State()
    return bool(state == TopAbs_State.TopAbs_IN)


def _hollow(grafted: Grafted) -> tuple[float | None, float | None]:
    """Volume of the hollows with a lid on the mouth, and what it should be [mm3]."""
    before = sum(volume_of(one) for one in hollow_solids(grafted.before))
    if not before:
        return None, None
    socket, where = grafted.socket, grafted.stand
    end = -socket.boss_height_mm
    body, passage = disc(socket.boss_radius_mm), disc(socket.bore[-1][0])
    gained = _bored(socket) + passage.integral(np.maximum(0.0, end - where.look(passage).inside))
    lost = body.integral(np.maximum(0.0, where.look(body).inside - end))
    radius = (socket.track_radius_mm + socket.boss_radius_mm) / 2.0
    lid = Solid.makeCylinder(radius, _LID_MM, Vector(0, 0, 0), Vector(0, 0, 1))
    closed = boolean(BRepAlgoAPI_Fuse(), grafted.after, [lid], what="lid on the mouth").shape
    after = sum(volume_of(one) for one in hollow_solids(closed))
    return after, before + gained - lost
