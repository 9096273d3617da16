"""Normals of points that have none: the plane through each one's neighbours."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from bayonet.scan.read import thinned

Array = NDArray[np.float64]
Indices = NDArray[np.int64]

_TREE = 100_000  # neighbours are looked for among so many: the plane through them is the same
_NEIGHBOURS = (20, 36, 60)  # tried in turn until normals tilt no more
# places at which tilt is asked, and the tilt [rad] that is small against 26 deg
_ASKED, _TILT = 1_500, 0.05
_CELL_MM = 2.0  # order of a plane through the neighbours; a plug has no smaller face that matters


def local_normals(xyz: Array, some: Indices, rng: np.random.Generator) -> Array:
    """Normals of local planes; where points are noisy, of wider ones.

    Parameters
    ----------
    xyz : array (n, 3)
        [mm].
    some : array of int (m,)
        Points to give normals to.
    rng : numpy.random.Generator
        Chooses the neighbours' pool and the points on which noise is judged.

    Returns
    -------
    array (m, 3)
        Unit, sense unknown.
    """
    from scipy.spatial import cKDTree

    around = xyz[thinned(len(xyz), _TREE, rng)]
    around = around[by_place(around)]
    tree = cKDTree(around, balanced_tree=False, compact_nodes=False)
    asked = xyz[some[thinned(len(some), _ASKED, rng)]]
    for count in _NEIGHBOURS:
        spread, _ = planes(around, tree.query(asked, k=count, workers=-1)[1])
        tilt = float(np.median(np.sqrt(spread[:, 0] / spread[:, 1] / count)))
        if tilt < _TILT:
            break
    found = np.empty((len(some), 3))
    order = by_place(xyz[some])
    found[order] = planes(around, tree.query(xyz[some[order]], k=count, workers=-1)[1])[1]
    return found


def by_place(xyz: Array) -> Indices:
    """An order that keeps neighbours together, so that a tree is asked along it quickly."""
    widest = float(np.ptp(xyz, axis=0).max())
    cell = np.floor((xyz - xyz.min(axis=0)) / max(_CELL_MM, widest / 1e5))
    columns = cell.max(axis=0) + 1.0
    return np.argsort((cell[:, 0] * columns[1] + cell[:, 1]) * columns[2] + cell[:, 2],
                      kind="stable")  # fmt: skip


def planes(around: Array, near: Indices) -> tuple[Array, Array]:
    """Spread of each point's neighbours along their own axes, least first, and the normal.

    Parameters
    ----------
    around : array (n, 3)
    near : array of int (m, k)
        Neighbours of each of m points.

    Returns
    -------
    (array (m, 3), array (m, 3))
        Sums of squares [mm2], and unit normals.
    """
    moved = []
    for axis in range(3):
        one = np.ascontiguousarray(around[:, axis])[near]
        moved.append(one - one.mean(axis=1, keepdims=True))
    x, y, z = moved
    pairs = ((x, x), (y, y), (z, z), (x, y), (y, z), (x, z))
    return principal(np.stack([np.einsum("nk,nk->n", a, b) for a, b in pairs]))


def principal(six: Array) -> tuple[Array, Array]:
    """Eigenvalues of symmetric 3 x 3 matrices, least first, and the first's unit vector.

    In closed form, for many at once: far quicker than one iteration a matrix, and as good for
    directions.

    Parameters
    ----------
    six : array (6, m)
        xx, yy, zz, xy, yz, xz.

    References
    ----------
    .. [1] Smith, Eigenvalues of a symmetric 3 x 3 matrix, Communications of the ACM 4 (1961).

    Examples
    --------
    A plane across z: least spread along z.

    >>> values, way = principal(np.array([[4.0], [9.0], [1.0], [0.0], [0.0], [0.0]]))
    >>> values.round(12).tolist(), np.abs(way).round(12).tolist()
    ([[1.0, 4.0, 9.0]], [[0.0, 0.0, 1.0]])
    """
    xx, yy, zz, xy, yz, xz = six
    mean = (xx + yy + zz) / 3.0
    a, b, c = xx - mean, yy - mean, zz - mean
    size = np.sqrt(np.maximum((a * a + b * b + c * c + 2.0 * (xy**2 + yz**2 + xz**2)) / 6.0, 1e-60))
    det = a * (b * c - yz * yz) - xy * (xy * c - yz * xz) + xz * (xy * yz - b * xz)
    angle = np.arccos(np.clip(det / (2.0 * size**3), -1.0, 1.0)) / 3.0
    most = mean + 2.0 * size * np.cos(angle)
    least = mean + 2.0 * size * np.cos(angle + 2.0 * np.pi / 3.0)
    values = np.column_stack([least, 3.0 * mean - most - least, most])
    return np.maximum(values, 1e-12), _across(xx - least, yy - least, zz - least, xy, yz, xz)


def _across(a: Array, b: Array, c: Array, xy: Array, yz: Array, xz: Array) -> Array:
    """Unit vectors square to all rows of singular matrices: the longest product of two rows."""
    first, second, third = (np.column_stack(row) for row in ((a, xy, xz), (xy, b, yz), (xz, yz, c)))
    ways = np.stack([np.cross(first, second), np.cross(first, third), np.cross(second, third)])
    length = np.linalg.norm(ways, axis=2)
    best = np.argmax(length, axis=0)
    rows = np.arange(len(best))
    way, long = ways[best, rows], length[best, rows, None]
    flat = np.array([0.0, 0.0, 1.0])
    return np.where(long > 0.0, way / np.where(long > 0.0, long, 1.0), flat)
