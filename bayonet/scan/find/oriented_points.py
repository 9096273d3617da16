"""Points with normals for finding structure: from triangles, from the file, or local planes."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bayonet.scan.find.normals import local_normals
from bayonet.scan.read import ScanPoints, thinned

Array = NDArray[np.float64]

SAMPLE = 25_000  # the structure does not change with more
_LONG_EDGE_MM = 2.5  # a scanner's mesh is finer; a model's flats are longer
_LONG_SHARE = 0.3  # of the area, from which it is a model
_SPREAD_OVER = 200_000  # points: a lug of 1 % of the area gets 2000


@dataclass(frozen=True, kw_only=True)
class Oriented:
    """A sample of points and unit normals (sense unknown), and all points for the refinement."""

    xyz: Array
    normal: Array
    whole: Array
    facet_mm: float = 0.0  # how far flat facets may lie inside the round faces they stand for


def oriented(points: ScanPoints) -> Oriented:
    """Points with normals; a model with long triangles is sampled over its area first."""
    rng = np.random.default_rng(1)
    xyz = points.xyz_mm
    if points.triangles is not None and len(points.triangles):
        a, b, c = (xyz[points.triangles[:, k]] for k in range(3))
        cross = np.cross(b - a, c - a)
        area = np.linalg.norm(cross, axis=1) / 2.0
        longest = np.max([np.linalg.norm(e, axis=1) for e in (b - a, c - b, a - c)], axis=0)
        if area[longest > _LONG_EDGE_MM].sum() > _LONG_SHARE * area.sum():
            which = rng.choice(len(area), _SPREAD_OVER, p=area / area.sum())
            spread = _inside(a[which], b[which], c[which], rng)
            normal = cross[which] / (2.0 * area[which, None])
            some = rng.permutation(len(spread))[:SAMPLE]
            facet = _facet_mm(points.triangles, cross, area, xyz)
            # strewn by half the sagitta, so that flat faces set no gate that round ones fail
            spread = spread + normal * rng.normal(0.0, 0.5 * facet, (len(spread), 1))
            return Oriented(xyz=spread[some], normal=normal[some], whole=spread, facet_mm=facet)
        normal = _vertex_normals(len(xyz), points.triangles, cross)
        good = np.flatnonzero(np.einsum("ij,ij->i", normal, normal) > 0.25)
        some = good[thinned(len(good), SAMPLE, rng)]
        return Oriented(xyz=xyz[some], normal=normal[some], whole=xyz)
    some = thinned(len(xyz), SAMPLE, rng)
    if points.normals is not None:
        return Oriented(xyz=xyz[some], normal=points.normals[some], whole=xyz)
    return Oriented(xyz=xyz[some], normal=local_normals(xyz, some, rng), whole=xyz)


def _facet_mm(triangles: NDArray[np.int64], cross: Array, area: Array, xyz: Array) -> float:
    """Sagitta of facets on round faces: width times the bend at a smooth edge, over eight."""
    pairs = np.sort(triangles[:, [[0, 1], [1, 2], [2, 0]]].reshape(-1, 2), axis=1)
    face = np.repeat(np.arange(len(triangles)), 3)
    order = np.lexsort((pairs[:, 1], pairs[:, 0]))
    pairs, face = pairs[order], face[order]
    same = np.flatnonzero((pairs[1:] == pairs[:-1]).all(axis=1))
    one, other = face[same], face[same + 1]
    normal = cross / np.maximum(2.0 * area[:, None], 1e-12)
    bend = np.arccos(np.clip(np.einsum("ij,ij->i", normal[one], normal[other]), -1.0, 1.0))
    length = np.linalg.norm(xyz[pairs[same, 0]] - xyz[pairs[same, 1]], axis=1)
    width = 2.0 * np.minimum(area[one], area[other]) / np.maximum(length, 1e-9)
    smooth = (bend > 1e-3) & (bend < np.radians(25.0)) & (length > 0.2)
    return float(np.percentile(width[smooth] * bend[smooth] / 8.0, 99.5)) if smooth.any() else 0.0


def _inside(a: Array, b: Array, c: Array, rng: np.random.Generator) -> Array:
    u, v = rng.random((2, len(a), 1))
    over = (u + v) > 1.0
    u, v = np.where(over, 1.0 - u, u), np.where(over, 1.0 - v, v)
    return np.asarray(a + u * (b - a) + v * (c - a))


def _vertex_normals(count: int, triangles: NDArray[np.int64], cross: Array) -> Array:
    total = np.zeros((count, 3))
    for corner in range(3):
        for axis in range(3):
            total[:, axis] += np.bincount(
                triangles[:, corner], weights=cross[:, axis], minlength=count
            )
    length = np.linalg.norm(total, axis=1, keepdims=True)
    return np.asarray(total / np.where(length > 0.0, length, 1.0))
