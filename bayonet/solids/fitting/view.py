"""The plug above the cut-away socket, hidden lines removed exactly."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
from cadquery import Edge, Shape, Solid, Vector
from numpy.typing import NDArray
from OCP.BRepLib import BRepLib
from OCP.gp import gp_Ax2, gp_Dir, gp_Pnt
from OCP.HLRAlgo import HLRAlgo_Projector
from OCP.HLRBRep import HLRBRep_Algo, HLRBRep_HLRToShape

from bayonet.shapes import LineDrawing
from bayonet.solids.kernel import guarded

Array = NDArray[np.float64]

_TOWARDS_EYE = np.array([0.55, -1.0, 0.62])
_SAMPLES = 73
_ON_PLANE_MM = 1e-6


@guarded("drawing plug and socket")
def fit_up(
    parts: Sequence[Solid], plug: Solid, *, lift_mm: float, apart_mm: float = 0.0
) -> LineDrawing:
    """Draw the plug lifted out of a socket that has a quarter cut away.

    Parameters
    ----------
    parts : sequence of cadquery.Solid
        The socket's, the uppermost first.
    plug : cadquery.Solid
    lift_mm : float
        Lift of the plug's shoulder off the mouth face, the parts together [mm].
    apart_mm : float
        How far each part is drawn above the next [mm].

    Returns
    -------
    LineDrawing
        Seen from outside the tank, z upwards.
    """
    last = len(parts) - 1
    opened = [
        _opened(one).translate(Vector(0.0, 0.0, (last - index) * apart_mm)) if index < last
        else _opened(one)
        for index, one in enumerate(parts)
    ]  # fmt: skip
    lifted = plug.translate(Vector(0.0, 0.0, lift_mm + last * apart_mm))
    return drawn([*opened, lifted], eye=_TOWARDS_EYE, sectioned=opened)


@guarded("drawing the socket cut open")
def cut_away(solid: Solid) -> LineDrawing:
    """Draw one solid with a quarter cut away, seen from above.

    Parameters
    ----------
    solid : cadquery.Solid
        Standing as it shall be seen, z upwards, its axis on z.

    Returns
    -------
    LineDrawing
    """
    opened = _opened(solid)
    return drawn([opened], eye=_TOWARDS_EYE, sectioned=[opened])


def _opened(solid: Solid) -> Shape:
    box = solid.BoundingBox()
    reach = 2.0 * max(abs(box.xmax), abs(box.ymin))
    quarter = Solid.makeBox(reach, reach, box.zlen + 2.0, Vector(0.0, -reach, box.zmin - 1.0))
    return solid.cut(quarter)


def drawn(shapes: list[Shape], *, eye: Array, sectioned: Sequence[Shape] = ()) -> LineDrawing:
    """Draw shapes with hidden lines removed, z upwards.

    Parameters
    ----------
    shapes : list of cadquery.Shape
    eye : array, shape (3,)
        Direction towards the eye.
    sectioned : sequence of cadquery.Shape
        Those of them that are cut on x = 0 and y = 0 at the quarter x > 0, y < 0.

    Returns
    -------
    LineDrawing
    """
    right, up = picture_plane(eye)
    visible = HLRBRep_HLRToShape(_hidden_lines(shapes, eye, right))
    sections = tuple(face for one in sectioned for face in _sections(one, right, up))
    return LineDrawing(
        outlines=_lines(visible.OutLineVCompound()),
        edges=(*_lines(visible.VCompound()), *_lines(visible.Rg1LineVCompound())),
        sections=sections,
    )


def picture_plane(eye: Array) -> tuple[Array, Array]:
    """Directions to the right and upwards on a picture seen from an eye."""
    eye = eye / np.linalg.norm(eye)
    right = np.cross([0.0, 0.0, 1.0], eye)
    right /= np.linalg.norm(right)
    return right, np.cross(eye, right)


def _hidden_lines(shapes: list[Shape], eye: Array, right: Array) -> HLRBRep_Algo:
    algorithm = HLRBRep_Algo()
    for shape in shapes:
        algorithm.Add(shape.wrapped)
    frame = gp_Ax2(gp_Pnt(), gp_Dir(*eye.tolist()), gp_Dir(*right.tolist()))
    algorithm.Projector(HLRAlgo_Projector(frame))
    algorithm.Update()
    algorithm.Hide()
    return algorithm


def _lines(compound: object) -> tuple[Array, ...]:
    if compound is None or compound.IsNull():  # type: ignore[attr-defined]
        return ()
    BRepLib.BuildCurves3d_s(compound)
    return tuple(_points(edge)[:, :2] for edge in Shape.cast(compound).Edges())


def _points(edge: Edge) -> Array:
    count = 2 if edge.geomType() == "LINE" else _SAMPLES
    places = [edge.positionAt(float(share)) for share in np.linspace(0.0, 1.0, count)]
    return np.array([(place.x, place.y, place.z) for place in places])


def _sections(opened: Shape, right: Array, up: Array) -> list[tuple[Array, ...]]:
    """Faces on the two cutting planes, x = 0 and y = 0, as seen."""
    found = []
    for face in opened.Faces():
        if face.geomType() != "PLANE":
            continue
        normal, middle = face.normalAt(), face.Center()
        on_x = math.isclose(normal.x, 1.0, abs_tol=1e-9) and abs(middle.x) < _ON_PLANE_MM
        on_y = math.isclose(normal.y, -1.0, abs_tol=1e-9) and abs(middle.y) < _ON_PLANE_MM
        if on_x or on_y:
            wires = [face.outerWire(), *face.innerWires()]
            found.append(
                tuple(
                    np.concatenate(
                        [_directed(edge) @ np.stack([right, up], axis=1) for edge in _walk(wire)]
                    )
                    for wire in wires
                )
            )
    return found


def walked(wire: Shape) -> Array:
    """Points along a wire, in the order its edges join, shape (n, 3) [mm]."""
    return np.concatenate([_directed(edge) for edge in _walk(wire)])


def _walk(wire: Shape) -> list[Edge]:
    """Edges of a wire in the order they join."""
    return [Edge(edge.wrapped) for edge in wire]


def _directed(edge: Edge) -> Array:
    points = _points(edge)
    return points if edge.wrapped.Orientation().name.endswith("FORWARD") else points[::-1]
