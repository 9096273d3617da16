"""A line drawing as plain arrays: what a view of solids is to whoever draws it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Points = NDArray[np.float64]


@dataclass(frozen=True, kw_only=True)
class LineDrawing:
    """Visible lines of solids on the picture plane [mm], hidden ones left out.

    Parameters
    ----------
    outlines, edges : tuple of array, shape (n, 2)
        Silhouettes, and the other visible edges.
    sections : tuple of tuple of array
        Cut faces, each as its outer boundary and its holes.
    """

    outlines: tuple[Points, ...]
    edges: tuple[Points, ...]
    sections: tuple[tuple[Points, ...], ...]
