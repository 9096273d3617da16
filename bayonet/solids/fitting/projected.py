"""Views of a socket for its drawing: plan, sections through the axis, isometric.

Hidden lines are removed exactly, arcs stay arcs; `polygonal` views come from the mesh instead,
for a track the exact way does not end with.
"""

from __future__ import annotations

import math
from collections.abc import Iterable

import numpy as np
from cadquery import Edge, Shape, Solid, Vector
from numpy.typing import NDArray
from OCP.BRepLib import BRepLib
from OCP.BRepMesh import BRepMesh_IncrementalMesh
from OCP.gp import gp_Ax2, gp_Dir, gp_Pnt
from OCP.HLRAlgo import HLRAlgo_Projector
from OCP.HLRBRep import (
    HLRBRep_Algo,
    HLRBRep_HLRToShape,
    HLRBRep_PolyAlgo,
    HLRBRep_PolyHLRToShape,
)

from bayonet.parts import Socket
from bayonet.shapes import ProjectedView, ViewArc
from bayonet.solids.fitting.build import socket as socket_solid
from bayonet.solids.fitting.view import picture_plane, walked
from bayonet.solids.kernel import guarded

Array = NDArray[np.float64]

_SAMPLES = 49
_SAME_MM = 1e-6
_MESH_MM = 0.02
_ISOMETRIC = np.array([1.0, -1.0, 1.0])


@guarded("drawing the socket's views")
def views_of(
    socket: Socket, *, section_deg: tuple[float, ...], exact: bool
) -> tuple[ProjectedView, ...]:
    """Plan of the mouth, sections through the axis at some angles, isometric; in this order.

    Parameters
    ----------
    socket : Socket
    section_deg : tuple of float
        Angle theta of the half plane that is seen to the right in each section [deg].
    exact : bool
        Remove hidden lines exactly, or from a mesh.

    Returns
    -------
    tuple of ProjectedView
        The axis at x = 0, z upwards in sections; theta = 0 to the right in the plan.
    """
    whole = socket_solid(socket)
    sections = tuple(_section(whole, angle, exact=exact) for angle in section_deg)
    return (
        _view([whole], np.array([0.0, 0.0, 1.0]), exact=exact),
        *sections,
        _view([whole], _ISOMETRIC, exact=exact),
    )


def _section(whole: Solid, angle_deg: float, *, exact: bool) -> ProjectedView:
    """The half behind the plane through the axis, seen square to it."""
    turned = whole.rotate(Vector(0, 0, 0), Vector(0, 0, 1), -angle_deg)
    box = turned.BoundingBox()
    reach = 2.0 * max(box.xmax, -box.xmin, box.ymax, -box.ymin)
    front = Solid.makeBox(
        2.0 * reach, reach, box.zlen + 2.0, Vector(-reach, -reach, box.zmin - 1.0)
    )
    half = turned.cut(front)
    seen = _view([half], np.array([0.0, -1.0, 0.0]), exact=exact)
    return ProjectedView(
        lines=seen.lines, arcs=seen.arcs, sections=tuple(_cut_faces(half)), exact=exact
    )


def _cut_faces(half: Shape) -> list[tuple[Array, ...]]:
    found = []
    for face in half.Faces():
        if face.geomType() != "PLANE":
            continue
        normal, middle = face.normalAt(), face.Center()
        if math.isclose(normal.y, -1.0, abs_tol=1e-9) and abs(middle.y) < _SAME_MM:
            found.append(
                tuple(walked(wire)[:, [0, 2]] for wire in (face.outerWire(), *face.innerWires()))
            )
    return found


def _view(shapes: list[Shape], eye: Array, *, exact: bool) -> ProjectedView:
    if eye[0] == 0.0 and eye[1] == 0.0:
        right = np.array([1.0, 0.0, 0.0])
    else:
        right, _ = picture_plane(eye)
    frame = gp_Ax2(gp_Pnt(), gp_Dir(*eye.tolist()), gp_Dir(*right.tolist()))
    edges = _exact(shapes, frame) if exact else _polygonal(shapes, frame)
    lines: list[Array] = []
    arcs: list[ViewArc] = []
    for edge in edges:
        _sort_in(edge, lines, arcs)
    return ProjectedView(lines=tuple(lines), arcs=tuple(arcs), sections=(), exact=exact)


def _exact(shapes: list[Shape], frame: gp_Ax2) -> list[Edge]:
    algorithm = HLRBRep_Algo()
    for shape in shapes:
        algorithm.Add(shape.wrapped)
    algorithm.Projector(HLRAlgo_Projector(frame))
    algorithm.Update()
    algorithm.Hide()
    seen = HLRBRep_HLRToShape(algorithm)
    return _edges([seen.VCompound(), seen.OutLineVCompound()])


def _polygonal(shapes: list[Shape], frame: gp_Ax2) -> list[Edge]:
    algorithm = HLRBRep_PolyAlgo()
    for shape in shapes:
        copy = shape.copy()
        BRepMesh_IncrementalMesh(copy.wrapped, _MESH_MM, False, 0.1)
        algorithm.Load(copy.wrapped)
    algorithm.Projector(HLRAlgo_Projector(frame))
    algorithm.Update()
    seen = HLRBRep_PolyHLRToShape()
    seen.Update(algorithm)
    return _edges([seen.VCompound(), seen.OutLineVCompound()])


def _edges(compounds: Iterable[object]) -> list[Edge]:
    found: list[Edge] = []
    for compound in compounds:
        if compound is None or compound.IsNull():  # type: ignore[attr-defined]
            continue
        BRepLib.BuildCurves3d_s(compound)
        found += Shape.cast(compound).Edges()
    return found


def _sort_in(edge: Edge, lines: list[Array], arcs: list[ViewArc]) -> None:
    """Put an edge with the straight ones, the round ones, or as points."""
    count = 2 if edge.geomType() == "LINE" else _SAMPLES
    places = [edge.positionAt(float(share)) for share in np.linspace(0.0, 1.0, count)]
    points = np.array([(place.x, place.y) for place in places])
    if np.ptp(points, axis=0).max() < _SAME_MM:
        return
    straight = _straight(points)
    if straight is not None:
        lines.append(straight)
        return
    arc = _round(points)
    if arc is None:
        lines.append(points)
    else:
        arcs.append(arc)


def _straight(points: Array) -> Array | None:
    ends = points[[0, -1]]
    along = ends[1] - ends[0]
    length = float(np.hypot(*along))
    if length < _SAME_MM:
        return None
    off = np.abs(along[0] * (points[:, 1] - ends[0, 1]) - along[1] * (points[:, 0] - ends[0, 0]))
    return ends if off.max() / length < _SAME_MM else None


def _round(points: Array) -> ViewArc | None:
    """The arc through sampled points, in the order they run; None where they are on none."""
    a, b, c = points[0], points[len(points) // 3], points[2 * len(points) // 3]
    matrix = 2.0 * np.array([b - a, c - a])
    if abs(np.linalg.det(matrix)) < 1e-12:
        return None
    centre = np.linalg.solve(matrix, np.array([b @ b - a @ a, c @ c - a @ a]))
    radii = np.hypot(*(points - centre).T)
    if np.ptp(radii) > _SAME_MM * max(1.0, float(radii.mean())):
        return None
    angles = np.unwrap(np.arctan2(points[:, 1] - centre[1], points[:, 0] - centre[0]))
    start, end = np.degrees(sorted((angles[0], angles[-1])))
    return ViewArc(
        centre=(float(centre[0]), float(centre[1])),
        radius=float(radii.mean()),
        start_deg=float(start),
        end_deg=float(end),
    )
