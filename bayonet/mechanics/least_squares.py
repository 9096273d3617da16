r"""Least-squares plane, circle and cylinder through points. Orthogonal distances, no weights.

The circle and the cylinder are the *global Gaussian* features of ISO 14405-1:2016 (modifier GG):
their diameters are the least-squares sizes a measuring machine reports.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TypeVar

import numpy as np
from numpy.typing import ArrayLike, NDArray

Array = NDArray[np.float64]
State = TypeVar("State")

_STEPS = 60
_SMALL = 1e-13
_DIRECTIONS = 24
_RANK, _FLAT = 1e-12, 1e-9


@dataclass(frozen=True, kw_only=True)
class Fitted:
    """What all have: signed distances of the points (of a circle in space: unsigned) [mm]."""

    residual_mm: Array

    @property
    def rms_mm(self) -> float:
        """Root mean square distance [mm]."""
        return float(np.sqrt(np.mean(self.residual_mm**2)))


@dataclass(frozen=True, kw_only=True)
class Plane(Fitted):
    """Least-squares plane.

    Parameters
    ----------
    point_mm : array (3,)
        The points' centroid, which lies in it [mm].
    normal : array (3,)
        Unit; its largest component is positive.
    """

    point_mm: Array
    normal: Array


@dataclass(frozen=True, kw_only=True)
class Circle(Fitted):
    """Least-squares circle in its plane (2 coordinates) or in space (3).

    Parameters
    ----------
    centre_mm : array (2,) or (3,)
    radius_mm : float
    normal : array (3,) or None
        Unit, in space only; its largest component is positive.
    """

    centre_mm: Array
    radius_mm: float
    normal: Array | None


@dataclass(frozen=True, kw_only=True)
class Cylinder(Fitted):
    """Least-squares cylinder.

    Parameters
    ----------
    point_mm : array (3,)
        On the axis, nearest the points' centroid [mm].
    axis : array (3,)
        Unit; its largest component is positive.
    radius_mm : float
    across : array (3, 2)
        Two unit directions square to the axis.
    cofactor : array (5, 5)
        Of shift along both [mm], turn of the axis towards both [rad], radius [mm]: the covariance
        for distances of unit variance.
    """

    point_mm: Array
    axis: Array
    radius_mm: float
    across: Array
    cofactor: Array


def plane_through(xyz_mm: ArrayLike) -> Plane:
    """Plane of least squared distances.

    Parameters
    ----------
    xyz_mm : array, shape (n, 3)

    Raises
    ------
    ValueError
        Fewer than 3 points, points that are not finite, or all on one line.

    References
    ----------
    .. [1] Pearson, Philosophical Magazine 2 (1901) 559: the axis of least variance.

    Examples
    --------
    Four corners, two of them 0.1 above and two below z = 2: distances of 0.1 remain.

    >>> plane = plane_through([[1, 1, 2.1], [-1, -1, 2.1], [1, -1, 1.9], [-1, 1, 1.9]])
    >>> abs(plane.normal).tolist(), round(plane.rms_mm, 12)
    ([0.0, 0.0, 1.0], 0.1)
    """
    xyz = _points(xyz_mm, columns=3, least=3)
    centre, sizes, ways = _principal(xyz)
    if not sizes[1] > _RANK * sizes[0]:
        raise ValueError("points on one line lie in no one plane")
    normal = _facing(ways[2])
    return Plane(point_mm=centre, normal=normal, residual_mm=(xyz - centre) @ normal)


def circle_through(points_mm: ArrayLike) -> Circle:
    """Circle of least squared distances, in the plane or in space.

    Parameters
    ----------
    points_mm : array, shape (n, 2) or (n, 3)

    Raises
    ------
    ValueError
        Fewer than 3 points, points that are not finite, or all on one line.

    References
    ----------
    .. [1] Gander, Golub & Strebel, Least-squares fitting of circles and ellipses, BIT 34 (1994).

    Examples
    --------
    A point 0.1 outside and the one across 0.1 outside, those between 0.1 inside: radius 5.

    >>> circle = circle_through([[5.1, 0], [-5.1, 0], [0, 4.9], [0, -4.9]])
    >>> round(circle.radius_mm, 12), round(circle.rms_mm, 12)
    (5.0, 0.1)
    """
    points = np.asarray(points_mm, dtype=np.float64)
    if points.ndim == 2 and points.shape[1] == 3:
        return _circle_in_space(_points(points, columns=3, least=3))
    return _circle_in_plane(_points(points, columns=2, least=3))


def cylinder_through(xyz_mm: ArrayLike, *, axis: ArrayLike | None = None) -> Cylinder:
    """Cylinder of least squared distances.

    Parameters
    ----------
    xyz_mm : array, shape (n, 3)
    axis : array (3,), optional
        Direction to start from; without it several are tried.

    Raises
    ------
    ValueError
        Fewer than 5 points, points that are not finite, or points through which no one cylinder
        goes: in one plane, or round one circle.

    References
    ----------
    .. [1] Forbes, Least-squares best-fit geometric elements, NPL report DITC 140/89 (1989): the
       frame turned to the axis at every step. From memory.

    Examples
    --------
    Eight corners of a box 6 by 8 by 2 lie on the cylinder round it: its diagonal is 10.

    >>> box = [[x, y, z] for x in (-3, 3) for y in (-4, 4) for z in (0, 2)]
    >>> cylinder = cylinder_through(box, axis=[0, 0.1, 1])
    >>> round(cylinder.radius_mm, 12), abs(cylinder.axis).round(12).tolist()
    (5.0, [0.0, 0.0, 1.0])
    """
    xyz = _points(xyz_mm, columns=3, least=5)
    middle, sizes, _ = _principal(xyz)
    if not sizes[2] > _FLAT * sizes[0]:
        raise ValueError("points in one plane lie on no one cylinder")
    local = xyz - middle
    size = float(np.abs(local).max())
    starts = _directions(local) if axis is None else [_unit(np.asarray(axis, dtype=np.float64))]
    ends = [end for way in starts if (end := _cylinder_from(local / size, way)) is not None]
    if not ends:
        raise ValueError("no one cylinder goes through these points")
    end = min(ends, key=lambda one: one.rms_mm)
    scale = np.array([size, size, 1.0, 1.0, size])
    way = _facing(end.axis)
    return Cylinder(
        point_mm=middle + size * end.point_mm, axis=way, radius_mm=size * end.radius_mm,
        residual_mm=size * end.residual_mm, across=end.across,
        cofactor=end.cofactor * np.outer(scale, scale) / size**2,
    )  # fmt: skip


def _points(given: ArrayLike, *, columns: int, least: int) -> Array:
    points = np.asarray(given, dtype=np.float64)
    if points.ndim != 2 or points.shape[1] != columns:
        raise ValueError(f"points have shape {points.shape}, not (n, {columns})")
    if len(points) < least:
        raise ValueError(f"{len(points)} points; at least {least} are needed")
    if not np.isfinite(points).all():
        raise ValueError("points are not finite")
    return points


def _unit(way: Array) -> Array:
    return np.asarray(way / np.linalg.norm(way))


def _facing(way: Array) -> Array:
    return np.asarray(way * np.sign(way[int(np.argmax(np.abs(way)))]))


def _principal(points: Array) -> tuple[Array, Array, Array]:
    """Centroid, singular values and directions (rows), largest first."""
    centre = points.mean(axis=0)
    _, sizes, ways = np.linalg.svd(points - centre, full_matrices=False)
    return centre, sizes, ways


def _across(way: Array) -> Array:
    """Two unit directions square to one, as columns; right-handed with it."""
    first = np.eye(3)[int(np.argmin(np.abs(way)))]
    first = _unit(first - (first @ way) * way)
    return np.column_stack([first, np.cross(way, first)])


def _algebraic(xy: Array) -> Array | None:
    """Centre and radius by the linear equation of a circle, as a start; None on a line."""
    rows = np.column_stack([2.0 * xy, np.ones(len(xy))])
    found, _, rank, _ = np.linalg.lstsq(rows, (xy**2).sum(axis=1), rcond=1e-12)
    square = found[2] + found[0] ** 2 + found[1] ** 2
    if rank < 3 or not square > 0.0:
        return None
    return np.array([found[0], found[1], np.sqrt(square)])


def _gauss_newton(
    start: State,
    rows: Callable[[State], tuple[Array, Array]],
    move: Callable[[State, Array], State],
) -> State | None:
    """Steps, damped where they would not help, to where the gradient is rounding; None if lost."""
    state, damping = start, 0.0
    off, jac = rows(state)
    for _ in range(_STEPS):
        square = jac.T @ jac
        bent = square + damping * np.diag(np.maximum(np.diag(square), 1e-30))
        try:
            step = np.asarray(-np.linalg.solve(bent, jac.T @ off), dtype=np.float64)
        except np.linalg.LinAlgError:
            return None
        if not np.isfinite(step).all():
            return None
        other = move(state, step)
        new_off, new_jac = rows(other)
        if float(new_off @ new_off) <= float(off @ off) * (1.0 + 1e-12) + 1e-28:
            state, off, jac, damping = other, new_off, new_jac, damping / 10.0
            if float(np.abs(step).max()) < _SMALL:
                return state
        else:
            damping = max(10.0 * damping, 1e-6)
            if damping > 1e8:
                return state
    return state


def _circle_in_plane(xy: Array) -> Circle:
    middle = xy.mean(axis=0)
    size = float(np.abs(xy - middle).max())
    local = (xy - middle) / size if size > 0.0 else xy
    start = _algebraic(local)
    if start is None:
        raise ValueError("points on one line lie on no one circle")

    def rows(state: Array) -> tuple[Array, Array]:
        away = local - state[:2]
        r = np.hypot(*away.T)
        return r - state[2], np.column_stack([-away / np.maximum(r, 1e-30)[:, None],
                                              -np.ones(len(r))])  # fmt: skip

    end = _gauss_newton(start, rows, lambda state, step: state + step)
    if end is None:
        raise ValueError("no one circle goes through these points")
    off, _ = rows(end)
    return Circle(centre_mm=middle + size * end[:2], radius_mm=float(size * end[2]), normal=None,
                  residual_mm=size * off)  # fmt: skip


def _circle_in_space(xyz: Array) -> Circle:
    """Distances along the plane and off it, both; from the circle in the points' own plane."""
    centre, sizes, ways = _principal(xyz)
    if not sizes[1] > _RANK * sizes[0]:
        raise ValueError("points on one line lie on no one circle")
    flat = (xyz - centre) @ ways[:2].T
    first = _circle_in_plane(flat)
    size = first.radius_mm
    local = (xyz - centre) / size
    start = (first.centre_mm / size @ ways[:2], ways[2], 1.0)

    def rows(state: tuple[Array, Array, float]) -> tuple[Array, Array]:
        middle, way, radius = state
        side = _across(way)
        away = local - middle
        u, h = away @ side, away @ way
        r = np.maximum(np.hypot(*u.T), 1e-30)
        # turning the normal towards a side raises that side: h falls by its coordinate
        along = np.column_stack([-u / r[:, None], np.zeros(len(r)), u * h[:, None] / r[:, None],
                                 -np.ones(len(r))])  # fmt: skip
        zero = np.zeros((len(r), 2))
        off = np.column_stack([zero, -np.ones(len(r)), -u, np.zeros(len(r))])
        return np.concatenate([r - radius, h]), np.vstack([along, off])

    def move(state: tuple[Array, Array, float], step: Array) -> tuple[Array, Array, float]:
        middle, way, radius = state
        side = _across(way)
        return (middle + side @ step[:2] + way * step[2], _unit(way - side @ step[3:5]),
                radius + float(step[5]))  # fmt: skip

    end = _gauss_newton(start, rows, move)
    if end is None:
        raise ValueError("no one circle goes through these points")
    both = rows(end)[0].reshape(2, -1)
    return Circle(
        centre_mm=centre + size * end[0], radius_mm=float(size * end[2]), normal=_facing(end[1]),
        residual_mm=size * np.hypot(*both),
    )  # fmt: skip


def _directions(local: Array) -> list[Array]:
    """Directions to start from: the points' own, and some spread evenly over half a ball."""
    _, _, ways = np.linalg.svd(local, full_matrices=False)
    number = np.arange(_DIRECTIONS) + 0.5
    height = number / _DIRECTIONS
    turn = np.pi * (1.0 + np.sqrt(5.0)) * number
    flat = np.sqrt(1.0 - height**2)
    spread = np.column_stack([flat * np.cos(turn), flat * np.sin(turn), height])
    score: list[tuple[float, int, Array]] = []
    for way in (*ways, *spread):
        xy = local @ _across(way)
        start = _algebraic(xy)
        if start is not None:
            off = np.hypot(*(xy - start[:2]).T) - start[2]
            score.append((float(off @ off), len(score), way))
    return [way for _, _, way in sorted(score, key=lambda one: one[:2])[:4]]


def _cylinder_from(local: Array, way: Array) -> Cylinder | None:
    """The cylinder from one direction, in points of size 1 about their centroid."""
    first = _algebraic(local @ _across(way))
    if first is None:
        return None
    start = (_across(way) @ first[:2], way, float(first[2]))

    def rows(state: tuple[Array, Array, float]) -> tuple[Array, Array]:
        point, axis, radius = state
        side = _across(axis)
        away = local - point
        u, along = away @ side, away @ axis
        r = np.maximum(np.hypot(*u.T), 1e-30)
        facing = -u / r[:, None]
        return r - radius, np.column_stack([facing, facing * along[:, None], -np.ones(len(r))])

    def move(state: tuple[Array, Array, float], step: Array) -> tuple[Array, Array, float]:
        point, axis, radius = state
        side = _across(axis)
        new = _unit(axis + side @ step[2:4])
        shifted = point + side @ step[:2]
        return shifted - (shifted @ new) * new, new, radius + float(step[4])

    end = _gauss_newton(start, rows, move)
    if end is None:
        return None
    off, jac = rows(end)
    sizes = np.linalg.svd(jac / np.linalg.norm(jac, axis=0), compute_uv=False)
    if not sizes[-1] > 1e-9 * sizes[0] or not 0.0 < end[2] < 1e6:
        return None
    point, axis, radius = end
    return Cylinder(
        point_mm=point, axis=axis, radius_mm=radius, residual_mm=off, across=_across(axis),
        cofactor=np.asarray(np.linalg.inv(jac.T @ jac)),
    )  # fmt: skip
