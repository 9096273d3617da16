"""Faces of a tank, and the spot a picked point means: nearest outside face and its normal."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from cadquery import Face, Shape, Vector, Vertex
from numpy.typing import ArrayLike, NDArray
from OCP.BRepClass import BRepClass_FaceClassifier
from OCP.BRepClass3d import BRepClass3d
from OCP.BRepExtrema import BRepExtrema_DistShapeShape
from OCP.gp import gp_Pnt2d
from OCP.TopAbs import TopAbs_State

from bayonet.errors import TankError
from bayonet.solids.graft.tank import Tank
from bayonet.solids.kernel import Rays, blocked_share, guarded, through
from bayonet.tank import TankFace, Triple

Array = NDArray[np.float64]

FARTHEST_SNAP_MM = 10.0
"""A picked point further from the tank than this is a mistake, not a pick [mm]."""

_OPEN_BELOW = 0.6
_LEAST_TOWARD = 0.5
_OFF_MM = 1e-3
_KINDS = {
    "PLANE": "plane", "CYLINDER": "cylinder", "CONE": "cone", "SPHERE": "sphere",
    "TORUS": "torus",
}  # fmt: skip


@dataclass(frozen=True, kw_only=True)
class Spot:
    """Where on a tank a socket shall stand.

    Parameters
    ----------
    solid : int
        Index of the solid in the tank.
    face : cadquery.Face
    number : int
        The face's number, as `listed` counts.
    point, normal : (float, float, float)
        On the face, and out of its material; tank coordinates [mm].
    snapped_mm : float
        From the picked point to the face; 0 where a face was named.
    """

    solid: int
    face: Face
    number: int
    point: Triple
    normal: Triple
    snapped_mm: float


@dataclass(frozen=True, kw_only=True)
class _Candidate:
    solid: int
    number: int
    face: Face
    hollow: bool


def _candidates(tank: Tank) -> Iterator[_Candidate]:
    number = 0
    for index, one in enumerate(tank.solids):
        outer = BRepClass3d.OuterShell_s(one.solid.wrapped)
        on_outer = {Face(f.wrapped) for f in Shape.cast(outer).Faces()} if outer else set()
        for face in one.solid.Faces():
            number += 1
            yield _Candidate(solid=index, number=number, face=face, hollow=face not in on_outer)


@guarded("listing the tank's faces")
def listed(tank: Tank) -> tuple[TankFace, ...]:
    """Every face of a tank, numbered from 1 in the file's order."""
    rays = [through(one.solid) for one in tank.solids]
    reach = reach_of(tank)
    return tuple(_described(tank, one, rays, reach) for one in _candidates(tank))


def _described(tank: Tank, one: _Candidate, rays: list[Rays], reach: float) -> TankFace:
    middle, normal = _middle(one.face)
    box = one.face.BoundingBox()
    return TankFace(
        number=one.number,
        solid=tank.solids[one.solid].name,
        kind=_KINDS.get(one.face.geomType(), "free form"),
        area_mm2=one.face.Area(),
        middle=_triple(middle),
        normal=_triple(normal),
        size=(box.xlen, box.ylen, box.zlen),
        outside=_is_outside(one, middle, normal, rays, reach),
    )


@guarded("measuring the tank")
def reach_of(tank: Tank) -> float:
    """A length that passes the whole tank from anywhere near it [mm]."""
    boxes = [one.solid.BoundingBox() for one in tank.solids]
    low = np.min([(b.xmin, b.ymin, b.zmin) for b in boxes], axis=0)
    high = np.max([(b.xmax, b.ymax, b.zmax) for b in boxes], axis=0)
    return 2.0 * float(np.linalg.norm(high - low)) + 100.0


@guarded("finding the place on the tank")
def spot(
    tank: Tank,
    *,
    at: ArrayLike | None,
    face: int | None,
    toward: ArrayLike | None = None,
) -> Spot:
    """The spot a point, a face's number, or both together mean.

    Parameters
    ----------
    tank : Tank
    at : array, shape (3,), or None
        A point on or near the wall's outside, tank coordinates [mm].
    face : int or None
        Number of a face; with a point, the point on that face nearest to it.
    toward : array, shape (3,), or None
        Where given, only faces that look within 60 deg of it are taken.

    Returns
    -------
    Spot

    Raises
    ------
    TankError
        If there is no such face, or none near enough.
    """
    everyone = list(_candidates(tank))
    if face is not None:
        if not 1 <= face <= len(everyone):
            raise TankError(f"face {face}: the tank's faces are numbered 1 to {len(everyone)}")
        chosen = everyone[face - 1]
        if at is None:
            middle, normal = _middle(chosen.face)
            return _spot(chosen, middle, normal, 0.0)
        found = _nearest(chosen.face, np.asarray(at, dtype=float))
        if found[0] > FARTHEST_SNAP_MM:
            raise TankError(f"face {face} is {found[0]:.2f} mm from the point picked")
        return _spot(chosen, found[1], found[2], found[0])
    if at is None:
        raise TankError("say where: a point (--at X,Y,Z) or a face (--face N)")
    return _nearest_outside(tank, everyone, np.asarray(at, dtype=float), toward)


def on_face(spot: Spot, point: ArrayLike, *, farthest_mm: float) -> Spot | None:
    """The spot of the same face nearest to a point; None where it is further than allowed."""
    distance, place, normal = _nearest(spot.face, np.asarray(point, dtype=float))
    if not distance <= farthest_mm:
        return None
    return Spot(
        solid=spot.solid,
        face=spot.face,
        number=spot.number,
        point=_triple(np.round(place, 1)),
        normal=_triple(normal),
        snapped_mm=0.0,
    )


def _nearest_outside(
    tank: Tank, everyone: list[_Candidate], point: Array, toward: ArrayLike | None
) -> Spot:
    aim = None
    if toward is not None:
        aim = np.asarray(toward, dtype=float)
        aim = aim / np.linalg.norm(aim)
    near = sorted(
        ((*_nearest(one.face, point), one) for one in everyone if not one.hollow),
        key=lambda row: (round(row[0], 6), row[3].number),
    )
    if not near or near[0][0] > FARTHEST_SNAP_MM:
        raise TankError(
            f"the nearest face is {near[0][0]:.2f} mm from the point picked, number"
            f" {near[0][3].number}, at {_words(near[0][1])}; a pick must lie within"
            f" {FARTHEST_SNAP_MM:g} mm of the tank"
            if near
            else "the tank has no outside face"
        )
    rays = [through(one.solid) for one in tank.solids]
    reach = reach_of(tank)
    for distance, place, normal, one in near:
        if distance > FARTHEST_SNAP_MM:
            break
        if aim is not None and not normal @ aim > _LEAST_TOWARD:
            continue
        if _is_outside(one, place, normal, rays, reach):
            return _spot(one, place, normal, distance)
    asked = "" if aim is None else f" that looks toward {_words(aim)}"
    raise TankError(
        f"no outside face{asked} within {FARTHEST_SNAP_MM:g} mm of the point picked; the nearest"
        f" face is number {near[0][3].number}, {near[0][0]:.2f} mm away, looking"
        f" {_words(near[0][2])}"
    )


def _nearest(face: Face, point: Array) -> tuple[float, Array, Array]:
    found = BRepExtrema_DistShapeShape(Vertex.makeVertex(*point.tolist()).wrapped, face.wrapped)
    if not found.IsDone() or found.NbSolution() < 1:
        return float("inf"), point, np.array([0.0, 0.0, 1.0])
    place = found.PointOnShape2(1)
    xyz = np.array([place.X(), place.Y(), place.Z()])
    return found.Value(), xyz, _normal(face, xyz)


def _normal(face: Face, place: Array) -> Array:
    normal = face.normalAt(Vector(*place.tolist()))
    return np.array([normal.x, normal.y, normal.z])


def _middle(face: Face) -> tuple[Array, Array]:
    """A point well within a face: the middle of its parameters, or the centre's nearest."""
    low_u, high_u, low_v, high_v = face._uvBounds()
    u, v = (low_u + high_u) / 2.0, (low_v + high_v) / 2.0
    where = BRepClass_FaceClassifier(face.wrapped, gp_Pnt2d(u, v), 1e-7)
    if where.State() == TopAbs_State.TopAbs_IN:
        place = face.positionAt(u, v)
        xyz = np.array([place.x, place.y, place.z])
        return xyz, _normal(face, xyz)
    centre = face.Center()
    _, xyz, normal = _nearest(face, np.array([centre.x, centre.y, centre.z]))
    return xyz, normal


def _is_outside(
    one: _Candidate, place: Array, normal: Array, rays: list[Rays], reach: float
) -> bool:
    if one.hollow:
        return False
    start = place + _OFF_MM * normal
    return blocked_share(rays, start, towards=normal, reach_mm=reach) < _OPEN_BELOW


def _spot(one: _Candidate, place: Array, normal: Array, distance: float) -> Spot:
    return Spot(
        solid=one.solid,
        face=one.face,
        number=one.number,
        point=_triple(place),
        normal=_triple(normal),
        snapped_mm=float(distance),
    )


def _triple(vector: Array) -> Triple:
    return (float(vector[0]), float(vector[1]), float(vector[2]))


def _words(vector: Array) -> str:
    return ", ".join(f"{value + 0.0:.3g}" for value in np.round(vector, 6))
