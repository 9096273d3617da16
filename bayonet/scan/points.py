"""The points of one scan as plain arrays in mm. How files are read is in `bayonet.scan.reading`."""

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
