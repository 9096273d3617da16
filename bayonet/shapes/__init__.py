"""Plain triangle meshes, line drawings and contours, for whoever makes, writes or draws them.

No CAD kernel and no fitting in here.
"""

from __future__ import annotations

from bayonet.shapes.contour import (
    ROUND_WITHIN_MM,
    Arc,
    Contour,
    Corner,
    Edge,
    Flank,
    Round,
    Side,
    mirrored,
    rectangle,
)
from bayonet.shapes.line_drawing import LineDrawing
from bayonet.shapes.mesh import TriangleMesh, together
from bayonet.shapes.projected import ProjectedView, ViewArc

__all__ = [
    "ROUND_WITHIN_MM",
    "Arc",
    "Contour",
    "Corner",
    "Edge",
    "Flank",
    "LineDrawing",
    "ProjectedView",
    "Round",
    "Side",
    "TriangleMesh",
    "ViewArc",
    "mirrored",
    "rectangle",
    "together",
]
