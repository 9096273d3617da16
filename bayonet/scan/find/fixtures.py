"""Tables, jaws and plates that touch a part: planes with the whole part on one side."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bayonet.scan.find.axis import Axis

Array = NDArray[np.float64]

# points tried, points a plane is judged by: a plate of 1 % is met by two of them
_TRIALS, _JUDGES = 250, 8_000
_NEAR_MM = 0.3  # three times a usual noise
_FACING = 0.95  # cosine, 18 deg: normals of local planes
_ALONG = 0.97  # cosine of normal to axis, from which a plane may be the plug's own
_LEAST, _LEAST_SHARE = 40, 0.008  # fewer points move no dimension by a tenth of its noise
_BEYOND = 0.04  # share of points behind a plate: outliers
_MOST = 4  # a table and three jaws
_REACH_MM = 0.4  # in front of a plate: its own noise
_WIDER = 1.3  # of the strip in which a round face is as near to a plane as the noise


@dataclass(frozen=True, kw_only=True)
class Plate:
    """A plane; ``out`` looks away from the part."""

    point: Array
    out: Array

    def clear(self, xyz: Array) -> NDArray[np.bool_]:
        """Points of the part that the plate does not touch."""
        return np.asarray((xyz - self.point) @ self.out < -_REACH_MM)


def plates(xyz: Array, normal: Array, axis: Axis) -> list[Plate]:
    """Plates that lean on a turned part, the largest first.

    A plate holds points of one normal well away, sideways, from where any cylinder of the axis
    could touch it, and none but outliers lie behind it. Planes square to the axis are left alone:
    the plug has such faces itself, and a table there touches no cylinder.
    """
    rng = np.random.default_rng(3)
    some = rng.permutation(len(xyz))[:_JUDGES]
    x, n = xyz[some] - axis.point, normal[some]
    found: list[Plate] = []
    left = np.ones(len(x), dtype=bool)
    while len(found) < _MOST:
        plate = _largest(x, n, left, axis, rng)
        if plate is None:
            break
        left &= plate.clear(x)
        found.append(Plate(point=plate.point + axis.point, out=plate.out))
    return found


def _largest(
    x: Array, n: Array, left: NDArray[np.bool_], axis: Axis, rng: np.random.Generator
) -> Plate | None:
    pool = np.flatnonzero(left & (np.abs(n @ axis.way) < _ALONG))
    if len(pool) < _LEAST:
        return None
    own, facing = x[pool], n[pool]
    best, kept = max(_LEAST, int(_LEAST_SHARE * len(x))) - 1, None
    for one in rng.choice(pool, min(_TRIALS, len(pool)), replace=False):
        on = _on(own, facing, x[one], n[one], axis)
        if (count := int(on.sum())) > best and _is_outermost(x[left], x[one], n[one]):
            best, kept = count, on
    if kept is None:
        return None
    cloud = own[kept]
    point = cloud.mean(axis=0)
    out = np.linalg.svd(cloud - point, full_matrices=False)[2][2]
    return Plate(point=point, out=out * (np.sign(out @ point) or 1.0))


def _on(x: Array, n: Array, point: Array, way: Array, axis: Axis) -> NDArray[np.bool_]:
    """Points of a plane, less those that a cylinder touching it would have near it too."""
    side = np.cross(axis.way, way)
    side /= np.linalg.norm(side)
    touching = _WIDER * np.sqrt(2.0 * _NEAR_MM * (abs(float(point @ way)) + _NEAR_MM))
    on = np.abs(x @ way - point @ way) < _NEAR_MM
    near = np.flatnonzero(on)
    on[near] = (np.abs(n[near] @ way) > _FACING) & (np.abs(x[near] @ side) > touching)
    return np.asarray(on)


def _is_outermost(x: Array, point: Array, way: Array) -> bool:
    """Whether hardly anything lies behind a plane, seen from the axis."""
    out = way * (np.sign(float(point @ way)) or 1.0)
    return bool(np.mean((x - point) @ out > 2.0 * _NEAR_MM) < _BEYOND)
