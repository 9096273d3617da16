"""Plain triangle meshes and line drawings as arrays, for whoever makes, writes or draws them.

No CAD kernel and no fitting in here.
"""

from __future__ import annotations

from bayonet.shapes.line_drawing import LineDrawing
from bayonet.shapes.mesh import TriangleMesh, together

__all__ = [
    "LineDrawing",
    "TriangleMesh",
    "together",
]
