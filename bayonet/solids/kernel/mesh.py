"""Triangle meshes of exact solids: watertight, with the chord error measured, not hoped for."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from cadquery import Face, Shape, Solid
from numpy.typing import NDArray
from OCP.BRep import BRep_Tool
from OCP.BRepAdaptor import BRepAdaptor_Surface
from OCP.BRepBuilderAPI import BRepBuilderAPI_Copy
from OCP.BRepMesh import BRepMesh_IncrementalMesh
from OCP.GeomAbs import GeomAbs_SurfaceType
from OCP.Poly import Poly_Triangulation
from OCP.TopAbs import TopAbs_Orientation
from OCP.TopLoc import TopLoc_Location

from bayonet.errors import BuildError
from bayonet.shapes import TriangleMesh
from bayonet.solids.kernel.guard import guarded
from bayonet.solids.kernel.swept import unswept

Array = NDArray[np.float64]

CHORD_MM = 0.01
"""Usual greatest distance between mesh and exact surface [mm]."""

ANGLE_RAD = 0.2
_TRIES = 8
_MERGE_MM = 1e-6


@guarded("meshing")
def meshed(solid: Solid, *, chord_mm: float = CHORD_MM) -> TriangleMesh:
    """Mesh a solid; the solid itself is left alone.

    Parameters
    ----------
    solid : cadquery.Solid
    chord_mm : float
        Greatest distance allowed between mesh and exact surface [mm].

    Returns
    -------
    TriangleMesh
        Its ``chord_mm`` is the distance measured.

    Raises
    ------
    BuildError
        If no mesh within the distance, or no watertight one, comes out.
    """
    deflection = chord_mm
    for _ in range(_TRIES):
        mesh = _once(solid, deflection)
        if mesh.chord_mm <= chord_mm:
            if not mesh.is_watertight():
                raise BuildError("mesh: the kernel's triangles do not close")
            return mesh
        deflection *= 0.8 * chord_mm / mesh.chord_mm
    raise BuildError(f"mesh: no mesh within {chord_mm} mm of the surface")


@dataclass(frozen=True)
class _Patch:
    points: Array
    triangles: NDArray[np.int64]
    chord_mm: float


def _once(solid: Solid, deflection: float) -> TriangleMesh:
    copy = Solid(BRepBuilderAPI_Copy(unswept(solid).wrapped, True, False).Shape())
    BRepMesh_IncrementalMesh(copy.wrapped, deflection, False, ANGLE_RAD, False)
    patches = list(_patches(copy))
    points = np.concatenate([patch.points for patch in patches])
    starts = np.cumsum([0, *(len(patch.points) for patch in patches[:-1])])
    triangles = np.concatenate(
        [patch.triangles + start for patch, start in zip(patches, starts, strict=True)]
    )
    vertices, numbers = _merged(points)
    triangles = numbers[triangles]
    a, b, c = triangles.T
    triangles = triangles[(a != b) & (b != c) & (c != a)]
    return TriangleMesh(
        vertices=vertices,
        triangles=triangles,
        chord_mm=max(patch.chord_mm for patch in patches),
    )


@guarded("meshing")
def loose(shape: Shape, *, chord_mm: float) -> tuple[Array, float]:
    """Triangles of any shape, closed or not, valid or not.

    Parameters
    ----------
    shape : cadquery.Shape
    chord_mm : float
        Distance from the exact surface asked of the kernel [mm].

    Returns
    -------
    (array of shape (n, 3, 3), float)
        Corners, and the distance from the exact surface as measured [mm].

    Raises
    ------
    BuildError
        If it has faces and none of them can be meshed.
    """
    copy = Shape.cast(BRepBuilderAPI_Copy(unswept(shape).wrapped, True, False).Shape())
    BRepMesh_IncrementalMesh(copy.wrapped, chord_mm, False, ANGLE_RAD, False)
    patches = list(_patches(copy, all_faces=False))
    if not patches:
        raise BuildError("mesh: no face has triangles")
    corners = np.concatenate([patch.points[patch.triangles] for patch in patches])
    return corners, max(patch.chord_mm for patch in patches)


def _merged(points: Array) -> tuple[Array, NDArray[np.int64]]:
    """Vertices that two faces share become one; copies differ by rounding only."""
    grid = np.round(points / _MERGE_MM).astype(np.int64)
    order = np.lexsort(grid.T[::-1])
    ordered = grid[order]
    # neighbours on the grid are the same point too: rounding may fall on either side
    new = np.any(np.abs(np.diff(ordered, axis=0)) > 1, axis=1)
    labels = np.concatenate([[0], np.cumsum(new)])
    numbers = np.empty(len(points), dtype=np.int64)
    numbers[order] = labels
    firsts = np.concatenate([[0], np.flatnonzero(new) + 1])
    return points[order[firsts]], numbers


def _patches(shape: Shape, *, all_faces: bool = True) -> Iterator[_Patch]:
    for face in shape.Faces():
        location = TopLoc_Location()
        triangulation = BRep_Tool.Triangulation_s(face.wrapped, location)
        if triangulation is None:
            if not all_faces:
                continue
            raise BuildError("mesh: the kernel left a face without triangles")
        count = triangulation.NbNodes()
        points = np.array(
            [_xyz(triangulation.Node(i).Transformed(location.Transformation()))
             for i in range(1, count + 1)]
        )  # fmt: skip
        triangles = np.array(
            [triangulation.Triangle(i).Get() for i in range(1, triangulation.NbTriangles() + 1)],
            dtype=np.int64,
        )
        triangles -= 1
        if face.wrapped.Orientation() == TopAbs_Orientation.TopAbs_REVERSED:
            triangles = triangles[:, ::-1]
        yield _Patch(points, triangles, _chord(face, triangulation, points, triangles))


def _xyz(point: object) -> tuple[float, float, float]:
    return (point.X(), point.Y(), point.Z())  # type: ignore[attr-defined]


def _chord(
    face: Face, triangulation: Poly_Triangulation, points: Array, triangles: NDArray[np.int64]
) -> float:
    """Greatest distance of the surface from its triangles, at their middles and sides."""
    surface = BRepAdaptor_Surface(face.wrapped)
    if surface.GetType() == GeomAbs_SurfaceType.GeomAbs_Plane:
        return 0.0
    nodes = [triangulation.UVNode(i) for i in range(1, len(points) + 1)]
    uv = np.array([(node.X(), node.Y()) for node in nodes])
    corners, flat = uv[triangles], points[triangles]
    normal = np.cross(flat[:, 1] - flat[:, 0], flat[:, 2] - flat[:, 0])
    length = np.linalg.norm(normal, axis=1)
    good = length > 1e-12
    corners, flat, normal = corners[good], flat[good], normal[good] / length[good, None]
    probes = np.concatenate(
        [corners.mean(axis=1)[:, None], (corners + np.roll(corners, 1, axis=1)) / 2.0], axis=1
    )
    on_surface = np.array([_xyz(surface.Value(u, v)) for u, v in probes.reshape(-1, 2).tolist()])
    from_corner = on_surface.reshape(*probes.shape[:2], 3) - flat[:, :1]
    return float(np.abs(np.einsum("ijk,ik->ij", from_corner, normal)).max(initial=0.0))
