"""The axis of a body of revolution from oriented points: normals of turned faces meet it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bayonet.errors import ScanError

Array = NDArray[np.float64]

_TRIALS = 500  # pairs: with a sixth of the normals good, one search in 400 000 meets none
_JUDGES = 800  # normals a trial is judged by: share known to 2 %
_FLATS, _ONE_WAY = 150, 0.97  # directions tried for the commonest, cosine within which one is
_AS_GOOD = 0.85  # of the best axis' score, from which one square to the commonest plane is taken
_APART = 0.9  # cosine to the commonest direction, from which a normal is left out
_NEAR = 0.08  # of the radius
_FARTHEST_MM = 1.5  # a normal of 2 deg error misses the axis by so much at 40 mm
_STEEP = 0.5  # normals within 60 deg of square to an axis say where it runs
# rad (sine) between two normals, below which their common perpendicular is noise
_LEAST_ANGLE = 0.3
_LEAST_SHARE = 0.16  # of normals that are not the commonest plane's
_LEAST_POINTS = 100  # fewer normals tell no axis from chance
_MOST_CELLS = 5_000  # of the radius: farther points are no part of a plug
# pairs of turned normals; search by thirds down to the cell; a cell holds the noise
_PLACES, _STEPS_MM, _ROUND, _CELL_MM = 150, (2.0, 0.7, 0.3), 60, 0.3


@dataclass(frozen=True, kw_only=True)
class Axis:
    """A point on the axis [mm] and its unit direction, sense unknown."""

    point: Array
    way: Array


def seed(xyz: Array, normal: Array, *, name: str) -> Axis:
    """Axis by sampling pairs of oriented points, then least squares on those that agree.

    The normals of cylinders, cones and tori of one axis all meet it; those of outliers, tables and
    fixtures do not (or are parallel to it, and are not asked). A flat part shows mostly planes:
    those that face the commonest way are left out first, and that way is tried as the axis' own:
    it is known better than what pairs of noisy normals say.

    Raises
    ------
    ScanError
        If too few normals meet any one line: no turned part.

    References
    ----------
    .. [1] Pottmann & Randrup, Rotational and helical surface approximation, Computing 60 (1998).
    """
    rng = np.random.default_rng(2)
    refusal = ScanError(f"{name}: no turned body found: too few faces share one axis")
    common = _commonest(normal, rng)
    steep = rng.permutation(np.flatnonzero(np.abs(normal @ common) < _APART))
    if len(steep) < _LEAST_POINTS:
        raise refusal
    judges = steep[:_JUDGES]
    one, other = steep[rng.integers(len(steep), size=(2, _TRIALS))]
    ways = np.cross(normal[one], normal[other])
    length = np.linalg.norm(ways, axis=1)
    use = length > _LEAST_ANGLE
    if not use.any():
        raise refusal
    one, other, ways = one[use], other[use], ways[use] / length[use, None]
    points = _meetings(xyz[one], normal[one], xyz[other], normal[other], ways)
    scores = _scores(xyz[judges], normal[judges], points, ways)
    best = int(np.argmax(scores))
    apart = np.abs(np.einsum("ij,j->i", np.cross(normal[one], normal[other]), common))
    turned = np.flatnonzero(apart > _LEAST_ANGLE)[:_PLACES]
    one, other = one[turned], other[turned]
    along = np.tile(common, (len(one), 1))
    points_along = _meetings(xyz[one], normal[one], xyz[other], normal[other], along)
    square = Axis(point=_centre(xyz[judges], points_along, common, rng), way=common)
    score = int(_scores(xyz[judges], normal[judges], square.point[None], common[None])[0])
    if max(score, scores[best]) < _LEAST_SHARE * len(judges):
        raise refusal
    if score > _AS_GOOD * scores[best]:
        return square
    return _refined(xyz, normal, Axis(point=points[best], way=ways[best]))


def _centre(xyz: Array, points: Array, way: Array, rng: np.random.Generator) -> Array:
    """Place of an axis of known direction: where points' distances from it crowd most.

    Tried at ``points``, then round the best of them ever closer: what normals say is too coarse
    where they are noisy.
    """
    middle = xyz.mean(axis=0)
    across = frame(Axis(point=middle, way=way), out=1)[:, :2]
    flat, tried = (xyz - middle) @ across, (points - middle) @ across
    tried = tried[np.abs(tried).max(axis=1) < np.abs(flat).max()]
    best = np.zeros(2)
    for step in (0.0, *_STEPS_MM):
        if step:
            tried = best + step * rng.normal(size=(_ROUND, 2))
        tried = np.vstack([best, tried])
        r = np.hypot(*(flat[:, None, :] - tried).transpose(2, 1, 0))
        cell = np.minimum(r / _CELL_MM, _MOST_CELLS).astype(np.int64)
        size = int(cell.max()) + 1
        cell += size * np.arange(len(tried))[:, None]
        count = np.bincount(cell.ravel(), minlength=size * len(tried)).reshape(len(tried), size)
        best = tried[int(np.argmax((count[:, :_MOST_CELLS].astype(float) ** 2).sum(axis=1)))]
    return np.asarray(middle + across @ best)


def _commonest(normal: Array, rng: np.random.Generator) -> Array:
    """The direction most normals have, either sense: of planes, mostly those square to the axis."""
    some = normal[rng.permutation(len(normal))[:_JUDGES]]
    alike = (np.abs(some[:_FLATS] @ some.T) > _ONE_WAY).sum(axis=1)
    found = some[int(np.argmax(alike))]
    for _ in range(2):
        near = normal[np.abs(normal @ found) > _ONE_WAY]
        mean = (near * np.sign(near @ found)[:, None]).sum(axis=0)
        length = float(np.linalg.norm(mean))
        if not length > 0.0:
            raise ValueError("normals have no direction")
        found = mean / length
    return np.asarray(found)


def _meetings(x1: Array, n1: Array, x2: Array, n2: Array, ways: Array) -> Array:
    """Where two normals meet, seen along the axis; one row a pair."""
    across = np.cross(ways, n2)
    run = np.einsum("ij,ij->i", x2 - x1, across) / np.einsum("ij,ij->i", n1, across)
    return np.asarray(x1 + run[:, None] * n1)


def _scores(xyz: Array, normal: Array, points: Array, ways: Array) -> NDArray[np.int64]:
    """How many normals meet each line: products of line coordinates, all pairs at once."""
    middle = xyz.mean(axis=0)
    x, p = xyz - middle, points - middle
    gap = np.abs(np.cross(x, normal) @ ways.T + normal @ np.cross(p, ways).T)
    steep = np.sqrt(np.maximum(1.0 - (normal @ ways.T) ** 2, 1e-12))
    along = x @ ways.T - np.einsum("ij,ij->i", p, ways)
    apart = (x**2).sum(axis=1)[:, None] - 2.0 * (x @ p.T) + (p**2).sum(axis=1)
    radius = np.sqrt(np.maximum(apart - along**2, 1e-12))
    gap /= steep
    good = (steep > _STEEP) & (gap < _FARTHEST_MM) & (gap < _NEAR * radius)
    return np.asarray(good.sum(axis=0))


def _miss(xyz: Array, normal: Array, point: Array, way: Array) -> Array:
    """Distance of each normal from the axis over its radius; infinite where nearly parallel."""
    across = np.cross(way, normal)
    steep = np.linalg.norm(across, axis=1)
    gap = np.abs(np.einsum("ij,ij->i", xyz - point, across))
    radius = np.linalg.norm(np.cross(way, xyz - point), axis=1)
    gap = gap / np.maximum(steep, 1e-9)
    return np.where((steep > _STEEP) & (gap < _FARTHEST_MM), gap / np.maximum(radius, 1e-9), np.inf)


def _refined(xyz: Array, normal: Array, axis: Axis) -> Axis:
    """Least squares in the coordinates of lines, on points that agree, a few times."""
    middle = axis.point
    for near in (0.08, 0.08, 0.06, 0.05, 0.05):
        miss = _miss(xyz, normal, axis.point, axis.way)
        chosen = miss < near
        x, n = xyz[chosen] - middle, normal[chosen]
        scale = np.linalg.norm(np.cross(axis.way, xyz[chosen] - axis.point), axis=1, keepdims=True)
        rows = np.hstack([np.cross(n, x), n]) / scale
        whole = rows.T @ rows
        upper, mixed, lower = whole[:3, :3], whole[:3, 3:], whole[3:, 3:]
        solved = np.linalg.lstsq(lower, mixed.T, rcond=None)[0]
        _, vectors = np.linalg.eigh(upper - mixed @ solved)
        way = vectors[:, 0] * np.sign(vectors[:, 0] @ axis.way)
        moment = -solved @ way
        axis = Axis(point=middle - np.cross(way, moment), way=way)
    return axis


def frame(axis: Axis, *, out: int) -> Array:
    """Rotation whose columns are the local axes in space; z along the axis times ``out``."""
    z = axis.way * out
    x = np.eye(3)[int(np.argmin(np.abs(z)))]
    x = x - (x @ z) * z
    x = x / np.linalg.norm(x)
    return np.column_stack([x, np.cross(z, x), z])
