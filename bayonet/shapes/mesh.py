"""A triangle mesh as plain arrays, and what can be said of it without a library."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

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

    def turned_over(self) -> TriangleMesh:
        """Turned half round the x axis: what pointed into the tank points up."""
        return replace(self, vertices=self.vertices * np.array([1.0, -1.0, -1.0]))

    def moved(self, by_mm: tuple[float, float, float]) -> TriangleMesh:
        """Moved along the axes [mm]."""
        return replace(self, vertices=self.vertices + np.array(by_mm))


def together(meshes: Sequence[TriangleMesh]) -> TriangleMesh:
    """Several meshes as one, for files that hold only one; they must not touch.

    Parameters
    ----------
    meshes : sequence of TriangleMesh
        At least one.

    Returns
    -------
    TriangleMesh
    """
    starts = np.cumsum([0, *(len(mesh.vertices) for mesh in meshes[:-1])])
    return TriangleMesh(
        vertices=np.concatenate([mesh.vertices for mesh in meshes]),
        triangles=np.concatenate(
            [mesh.triangles + start for mesh, start in zip(meshes, starts, strict=True)]
        ),
        chord_mm=max(mesh.chord_mm for mesh in meshes),
    )
