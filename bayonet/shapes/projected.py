"""A view of solids as lines and true arcs on the picture plane, hidden ones left out."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Points = NDArray[np.float64]


@dataclass(frozen=True, kw_only=True)
class ViewArc:
    """An arc, counter-clockwise; a circle where its ends are 360 deg apart [mm, deg]."""

    centre: tuple[float, float]
    radius: float
    start_deg: float
    end_deg: float


@dataclass(frozen=True, kw_only=True)
class ProjectedView:
    """What is seen of solids from one side [mm].

    Parameters
    ----------
    lines : tuple of array, shape (n, 2)
        Straight edges, and those that are neither straight nor round.
    arcs : tuple of ViewArc
    sections : tuple of tuple of array
        Cut faces, each as its outer boundary and its holes.
    exact : bool
        Whether hidden lines were removed exactly; else from the mesh, where arcs are chords.
    """

    lines: tuple[Points, ...]
    arcs: tuple[ViewArc, ...]
    sections: tuple[tuple[Points, ...], ...]
    exact: bool
