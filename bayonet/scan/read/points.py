"""The points of one scan as plain arrays in mm. How files are read: `bayonet.scan.read.files`."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
Indices = NDArray[np.int64]


@dataclass(frozen=True, kw_only=True)
class ScanPoints:
    """Points of one scan.

    Parameters
    ----------
    xyz_mm : array, shape (n, 3)
        [mm].
    normals : array, shape (n, 3), or None
        Unit, outward.
    triangles : array of int, shape (m, 3), or None
        Vertex numbers, counter-clockwise seen from outside.
    name : str
        File as the user named it.
    unit_note : str
        How the unit was decided.
    """

    xyz_mm: Array
    normals: Array | None = None
    triangles: Indices | None = None
    name: str
    unit_note: str = ""


def thinned(count: int, most: int, rng: np.random.Generator) -> Indices:
    """Numbers of at most so many of ``count`` rows, one from each of equal stretches, at random.

    Unlike every k-th row it falls into no step with a scanner's lines.

    Examples
    --------
    >>> thinned(3, 5, np.random.default_rng(0)).tolist()
    [0, 1, 2]
    >>> len(set(thinned(1500, 1000, np.random.default_rng(0)).tolist()))
    1000
    """
    if count <= most:
        return np.arange(count)
    edges = np.arange(most + 1) * count // most
    return np.asarray(edges[:-1] + (rng.random(most) * np.diff(edges)).astype(np.int64))
