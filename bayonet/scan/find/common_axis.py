"""An axis made exact by cylinders and planes that share it, before structure is looked for."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from bayonet.scan.find.axis import Axis, frame

Array = NDArray[np.float64]

_FACING = 0.9  # cosine, 26 deg: normals of local planes err by less
_BIN_MM = 0.1  # about the noise, so that a cylinder fills two or three
# from what a seed may be off, down to three times a usual noise
_REACHES_MM = (0.6, 0.45, 0.3, 0.25, 0.2)
# a plug has at most this many cylinders and planes that matter; smaller ones add noise
_RINGS, _LEAST_SHARE = 8, 0.01
_MANY, _FIRST, _FIRST_STEP = 15_000, 3, 3  # of many points every third does for the first steps


def coaxial(xyz: Array, normal: Array, axis: Axis) -> Axis:
    """Least squares on the radii of cylinders and depths of planes, each at its own peak."""
    rotation, origin = frame(axis, out=1), axis.point
    every = xyz, normal
    for turn, reach in enumerate(_REACHES_MM):
        step = _FIRST_STEP if turn < _FIRST and len(every[0]) > _MANY else 1
        xyz, normal = (one[::step] for one in every)
        local = (xyz - origin) @ rotation
        own = normal @ rotation
        x, y, z = local.T
        r = np.maximum(np.hypot(x, y), 1e-9)
        radial = np.abs(own[:, 0] * x + own[:, 1] * y) / r > _FACING
        flat = np.abs(own[:, 2]) > _FACING
        zero = np.zeros(len(r))
        round_rows = np.column_stack([x / r, y / r, z * y / r, -z * x / r])
        flat_rows = np.column_stack([zero, zero, -y, x])
        square, right = np.zeros((4, 4)), np.zeros(4)
        for value, facing, rows in ((r, radial, round_rows), (z, flat, flat_rows)):
            for which in _peaks(value, np.flatnonzero(facing), reach):
                middle = float(np.median(value[which]))
                away = value[which] - middle
                weight = np.maximum(1.0 - (away / reach) ** 2, 0.0) ** 2
                jac = rows[which]
                mean = np.average(jac, axis=0, weights=weight)
                jac = jac - mean
                away = away - np.average(away, weights=weight)
                square += (jac * weight[:, None]).T @ jac
                right += (jac * weight[:, None]).T @ away
        moved = np.linalg.lstsq(square + 1e-6 * np.eye(4), right, rcond=None)[0]
        origin = origin + rotation @ np.array([moved[0], moved[1], 0.0])
        way = rotation @ np.array([-moved[3], moved[2], 1.0])
        rotation = frame(Axis(point=origin, way=way / np.linalg.norm(way)), out=1)
    return Axis(point=origin, way=rotation[:, 2])


def _peaks(value: Array, facing: NDArray[np.int64], reach: float) -> list[NDArray[np.int64]]:
    """Points round the most frequent values, a reach either side, none twice."""
    if len(facing) < 50:
        return []
    own = value[facing]
    low = float(own.min())
    cell = ((own - low) / _BIN_MM).astype(int)
    count = np.convolve(np.bincount(cell), np.ones(3), "same")
    left = np.ones(len(facing), dtype=bool)
    found = []
    for _ in range(_RINGS):
        peak = int(np.argmax(count))
        if count[peak] < max(30.0, _LEAST_SHARE * len(facing)):
            break
        middle = low + (peak + 0.5) * _BIN_MM
        near = left & (np.abs(own - middle) < reach)
        if near.sum() > 20:
            found.append(facing[near])
        left &= ~near
        wide = int(reach / _BIN_MM) + 2
        count[max(peak - wide, 0) : peak + wide + 1] = 0.0
    return found
