"""Exact distances between pairs of triangles, many pairs at once."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

_EDGES = ((0, 1), (1, 2), (2, 0))
_TINY = 1e-300
_FLAT = 1e-14  # squared sine under which two edges, or a triangle, count as without extent


def _dot(a: Array, b: Array) -> Array:
    return np.asarray(np.einsum("...i,...i->...", a, b))


def segments(p: Array, u: Array, q: Array, v: Array) -> tuple[Array, Array]:
    """Nearest points of segments ``p + s u`` and ``q + t v``, s and t from 0 to 1.

    Parameters
    ----------
    p, u, q, v : array, shape (n, 3)
        Starts and whole lengths [mm]; a length of zero is a point.

    Returns
    -------
    (array, array), shape (n, 3) each

    Examples
    --------
    Two crossed edges, 2 mm apart.

    >>> one = np.array([[-1.0, 0, 0]]), np.array([[2.0, 0, 0]])
    >>> other = np.array([[0.0, -1, 2]]), np.array([[0.0, 2, 0]])
    >>> [point.tolist() for point in segments(*one, *other)]
    [[[0.0, 0.0, 0.0]], [[0.0, 0.0, 2.0]]]
    """
    w = p - q
    a, b, c, d, e = _dot(u, u), _dot(u, v), _dot(v, v), _dot(u, w), _dot(v, w)
    across = a * c - b * b
    askew = across > _FLAT * a * c
    s = np.where(askew, np.clip((b * e - c * d) / np.where(askew, across, 1.0), 0.0, 1.0), 0.0)
    t = np.clip((b * s + e) / np.maximum(c, _TINY), 0.0, 1.0)
    s = np.clip((b * t - d) / np.maximum(a, _TINY), 0.0, 1.0)
    return p + s[:, None] * u, q + t[:, None] * v


def onto(point: Array, corners: Array) -> tuple[Array, NDArray[np.bool_]]:
    """Feet of perpendiculars from points to the planes of triangles, and whether they lie inside.

    Parameters
    ----------
    point : array, shape (n, 3)
    corners : array, shape (n, 3, 3)

    Returns
    -------
    (array of shape (n, 3), array of bool)
        False for a triangle without extent: its edges tell all there is.
    """
    a = corners[:, 0]
    u, v, w = corners[:, 1] - a, corners[:, 2] - a, point - a
    uu, uv, vv, uw, vw = _dot(u, u), _dot(u, v), _dot(v, v), _dot(u, w), _dot(v, w)
    area = uu * vv - uv * uv
    proper = area > _FLAT * uu * vv
    area = np.where(proper, area, 1.0)
    s, t = (vv * uw - uv * vw) / area, (uu * vw - uv * uw) / area
    inside = proper & (s >= 0.0) & (t >= 0.0) & (s + t <= 1.0)
    return a + s[:, None] * u + t[:, None] * v, inside


def pierced(p: Array, u: Array, corners: Array) -> tuple[NDArray[np.bool_], Array]:
    """Whether segments ``p + s u`` pass through triangles, and where.

    Examples
    --------
    >>> flat = np.array([[[0.0, 0, 0], [4, 0, 0], [0, 4, 0]]])
    >>> through, where = pierced(np.array([[1.0, 1, 3]]), np.array([[0.0, 0, -6]]), flat)
    >>> bool(through[0]), where[0].tolist()
    (True, [1.0, 1.0, 0.0])
    """
    a = corners[:, 0]
    e, f = corners[:, 1] - a, corners[:, 2] - a
    across = np.cross(u, f)
    whole = _dot(e, across)
    slanted = whole**2 > 1e-24 * _dot(u, u) * _dot(e, e) * _dot(f, f)
    scale = 1.0 / np.where(slanted, whole, 1.0)
    w = p - a
    first = _dot(w, across) * scale
    other = np.cross(w, e)
    second, s = _dot(u, other) * scale, _dot(f, other) * scale
    hit = slanted & (first >= 0) & (second >= 0) & (first + second <= 1) & (s >= 0) & (s <= 1)
    return hit, p + s[:, None] * u


def distance(one: Array, other: Array) -> tuple[Array, Array, Array]:
    """Distances between pairs of triangles, and the nearest points.

    The least of nine pairs of edges and six corners over faces; 0 where an edge of one passes
    through the other. Triangles without extent are segments or points.

    Parameters
    ----------
    one, other : array, shape (n, 3, 3)
        [mm].

    Returns
    -------
    (array (n,), array (n, 3), array (n, 3))
        Distance [mm], nearest point of the first and of the second.

    Examples
    --------
    Two parallel triangles, the second 3 mm above the first.

    >>> flat = np.array([[[0.0, 0, 0], [1, 0, 0], [0, 1, 0]]])
    >>> distance(flat, flat + np.array([0.0, 0.0, 3.0]))[0].tolist()
    [3.0]
    """
    best = np.full(len(one), np.inf)
    at_one, at_other = np.zeros((len(one), 3)), np.zeros((len(one), 3))

    def keep(p: Array, q: Array, counts: NDArray[np.bool_] | None = None) -> None:
        squared = _dot(p - q, p - q)
        better = squared < best if counts is None else counts & (squared < best)
        best[better] = squared[better]
        at_one[better], at_other[better] = p[better], q[better]

    for i, j in _EDGES:
        p, u = one[:, i], one[:, j] - one[:, i]
        for k, m in _EDGES:
            keep(*segments(p, u, other[:, k], other[:, m] - other[:, k]))
    for i in range(3):
        foot, inside = onto(one[:, i], other)
        keep(one[:, i], foot, inside)
        foot, inside = onto(other[:, i], one)
        keep(foot, other[:, i], inside)
    for i, j in _EDGES:
        for first, second in ((one, other), (other, one)):
            hit, where = pierced(first[:, i], first[:, j] - first[:, i], second)
            keep(where, where, hit)
    return np.sqrt(best), at_one, at_other
