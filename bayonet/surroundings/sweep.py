"""What a valve's own mesh sweeps on its way in, as triangles.

The boundary of what a surface sweeps lies on the surface at both ends of the way and on what its
edges sweep. Of a closed surface, an edge counts only where one of its faces goes forward and the
other back; where the motion is a turn, so does the line on a face along which it goes neither way.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from bayonet.scan.read import merged

Array = NDArray[np.float64]
Indices = NDArray[np.int64]

CHORD_MM = 0.02
"""Greatest distance of a turned edge from its chords [mm]."""

_MOST_TRIANGLES = 3_000_000


@dataclass(frozen=True, kw_only=True)
class Motion:
    """A straight way or a turn with its lift, from lift and turn towards lock to seat.

    Parameters
    ----------
    lift_mm : (float, float)
        Lift at start and end [mm].
    theta_deg : (float, float)
        Turn about z from the valve as locked, at start and end [deg].
    """

    lift_mm: tuple[float, float]
    theta_deg: tuple[float, float]

    def at(self, points: Array, share: float) -> Array:
        """Points of the locked valve at a share of the way, from 0 to 1."""
        lift = self.lift_mm[0] + share * (self.lift_mm[1] - self.lift_mm[0])
        theta = self.theta_deg[0] + share * (self.theta_deg[1] - self.theta_deg[0])
        return moved(points, lift_mm=lift, theta_deg=theta)


def moved(points: Array, *, lift_mm: float, theta_deg: float) -> Array:
    """Points lifted and turned about z, shape (..., 3).

    Examples
    --------
    >>> moved(np.array([10.0, 0, 1]), lift_mm=5, theta_deg=90).round(9).tolist()
    [0.0, 10.0, 6.0]
    """
    c, s = np.cos(np.radians(theta_deg)), np.sin(np.radians(theta_deg))
    turn = np.array([[c, s, 0.0], [-s, c, 0.0], [0.0, 0.0, 1.0]])
    return np.asarray(points @ turn + np.array([0.0, 0.0, lift_mm]))


def swept(corners_mm: Array, motion: Motion, *, chord_mm: float = CHORD_MM) -> tuple[Array, float]:
    """Triangles round all that a surface sweeps, and their greatest error.

    Parameters
    ----------
    corners_mm : array, shape (n, 3, 3)
        The locked valve, fitting's coordinates [mm].
    motion : Motion
    chord_mm : float
        Error aimed at [mm]; more where too many triangles would be needed.

    Returns
    -------
    (array of shape (m, 3, 3), float)
        Only what lies over the mouth face.

    Examples
    --------
    A square plate of 20 mm lifted by 50 mm: its sides sweep the sides of a box.

    >>> plate = np.array(
    ...     [
    ...         [[-10, -10, 1], [10, -10, 1], [10, 10, 1]],
    ...         [[-10, -10, 1], [10, 10, 1], [-10, 10, 1.0]],
    ...     ]
    ... )
    >>> around, error = swept(plate, Motion(lift_mm=(50, 0), theta_deg=(0, 0)))
    >>> around.reshape(-1, 3).min(axis=0).tolist(), around.reshape(-1, 3).max(axis=0).tolist()
    ([-10.0, -10.0, 1.0], [10.0, 10.0, 51.0])
    """
    lines = _lines(corners_mm, motion)
    angle = np.radians(abs(motion.theta_deg[1] - motion.theta_deg[0]))
    radius = float(np.hypot(corners_mm[..., 0], corners_mm[..., 1]).max())
    count = max(1, int(np.ceil(angle / np.sqrt(8.0 * chord_mm / max(radius, chord_mm)))))
    count = min(count, max(1, _MOST_TRIANGLES // max(2 * len(lines), 1)))
    error = radius * (1.0 - np.cos(angle / count / 2.0))
    stages = [motion.at(lines, i / count) for i in range(count + 1)]
    found = [motion.at(corners_mm, 0.0), motion.at(corners_mm, 1.0)]
    for before, after in pairwise(stages):
        found.append(np.stack([before[:, 0], before[:, 1], after[:, 1]], axis=1))
        found.append(np.stack([before[:, 0], after[:, 1], after[:, 0]], axis=1))
    return over_mouth(np.concatenate(found)), float(error)


def _lines(corners: Array, motion: Motion) -> Array:
    """Edges and lines whose sweep may lie on the boundary, shape (n, 2, 3)."""
    vertices, triangles = merged(corners.astype(np.float32))
    faces: Array = np.asarray(vertices[triangles], dtype=np.float64)
    normal = np.cross(faces[:, 1] - faces[:, 0], faces[:, 2] - faces[:, 0])
    forward = np.einsum("nij,nj->ni", _velocity(faces, motion), normal)  # at each corner
    pairs = triangles[:, [[0, 1], [1, 2], [2, 0]]].reshape(-1, 2)
    at_ends = np.stack([forward, np.roll(forward, -1, axis=1)], axis=2).reshape(-1, 2)
    swap = pairs[:, 0] > pairs[:, 1]
    key = np.sort(pairs, axis=1)
    at_ends = np.where(swap[:, None], at_ends[:, ::-1], at_ends)
    order = np.lexsort((key[:, 1], key[:, 0]))
    key, at_ends = key[order], at_ends[order]
    first = np.flatnonzero(np.concatenate([[True], np.any(key[1:] != key[:-1], axis=1)]))
    faces_of = np.diff(np.append(first, len(key)))
    low = np.minimum.reduceat(at_ends, first).min(axis=1)
    high = np.maximum.reduceat(at_ends, first).max(axis=1)
    inner = (faces_of == 2) & ((low > 0.0) | (high < 0.0))
    edges = vertices[key[first[~inner]]]
    return np.concatenate([edges, _turning_lines(faces, forward)])


def _velocity(points: Array, motion: Motion) -> Array:
    turn = np.radians(motion.theta_deg[1] - motion.theta_deg[0])
    lift = motion.lift_mm[1] - motion.lift_mm[0]
    return np.stack(
        [-turn * points[..., 1], turn * points[..., 0], np.full(points.shape[:-1], lift)], axis=-1
    )


def _turning_lines(faces: Array, forward: Array) -> Array:
    """Across faces, the line where they move within themselves."""
    mixed = (forward.max(axis=1) > 0.0) & (forward.min(axis=1) < 0.0)
    faces, forward = faces[mixed], forward[mixed]
    other, ahead = np.roll(faces, -1, axis=1), np.roll(forward, -1, axis=1)
    crosses = (forward > 0.0) != (ahead > 0.0)
    share = forward / np.where(crosses, forward - ahead, 1.0)
    where = faces + share[..., None] * (other - faces)
    order = np.argsort(~crosses, axis=1, kind="stable")[:, :2]
    return np.take_along_axis(where, order[..., None], axis=1)


def over_mouth(corners: Array) -> Array:
    """Triangles cut off at the mouth face, z = 0; what lies under it is left out.

    Examples
    --------
    >>> over_mouth(np.array([[[0.0, 0, -1], [0, 0, 1], [2, 0, 1]]]))[:, :, 2].min().tolist()
    0.0
    """
    above = (corners[..., 2] >= 0.0).sum(axis=1)
    found = [corners[above == 3]]
    for count in (1, 2):
        some = corners[above == count]
        lone = (some[..., 2] >= 0.0) == (count == 1)
        start = np.argmax(lone, axis=1)
        turn = (start[:, None] + np.arange(3)) % 3
        a, b, c = np.moveaxis(np.take_along_axis(some, turn[..., None], axis=1), 1, 0)
        ab, ac = _at_mouth(a, b), _at_mouth(a, c)
        if count == 1:
            found.append(np.stack([a, ab, ac], axis=1))
        else:
            found += [np.stack([ab, b, c], axis=1), np.stack([ab, c, ac], axis=1)]
    return np.concatenate(found)


def _at_mouth(one: Array, other: Array) -> Array:
    share = one[:, 2] / np.where(one[:, 2] == other[:, 2], 1.0, one[:, 2] - other[:, 2])
    where = one + share[:, None] * (other - one)
    where[:, 2] = 0.0
    return where
