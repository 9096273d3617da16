"""A triangle mesh as plain arrays, and what can be said of it without a library."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Points = NDArray[np.float64]
Indices = NDArray[np.int64]


@dataclass(frozen=True, kw_only=True)
class TriangleMesh:
    """A closed surface of triangles.

    Parameters
    ----------
    vertices : array, shape (n, 3)
        Each once [mm].
    triangles : array, shape (m, 3)
        Vertex numbers, counter-clockwise seen from outside.
    chord_mm : float
        Greatest distance between mesh and exact surface, as measured [mm].
    """

    vertices: Points
    triangles: Indices
    chord_mm: float

    def volume(self) -> float:
        """Volume inside [mm3], by the divergence theorem."""
        a, b, c = (self.vertices[self.triangles[:, i]] for i in range(3))
        return float(np.einsum("ij,ij->", a, np.cross(b, c)) / 6.0)

    def is_watertight(self) -> bool:
        """Whether every edge is used once in each direction: closed, consistently wound."""
        pairs = self.triangles[:, [[0, 1], [1, 2], [2, 0]]].reshape(-1, 2)
        if np.any(pairs[:, 0] == pairs[:, 1]):
            return False
        count = int(self.vertices.shape[0])
        forward = np.sort(pairs[:, 0] * count + pairs[:, 1])
        backward = np.sort(pairs[:, 1] * count + pairs[:, 0])
        once = bool(np.all(np.diff(forward) > 0))
        return once and bool(np.array_equal(forward, backward))
