"""Swept and offset surfaces as splines: what the kernel integrates and meshes rightly."""

from __future__ import annotations

from cadquery import Shape
from OCP.ShapeCustom import ShapeCustom

_SWEPT = {"EXTRUSION", "REVOLUTION", "OFFSET", "OTHER"}


def unswept(shape: Shape) -> Shape:
    """The same shape with swept splines as spline surfaces; itself where it has none.

    On a swept spline the kernel does not see the spans: its adaptive volume is off by percents,
    and its mesh has a chord of millimetres however fine it is asked for.
    """
    if not any(face.geomType() in _SWEPT for face in shape.Faces()):
        return shape
    return Shape.cast(ShapeCustom.ConvertToBSpline_s(shape.wrapped, True, True, True, False))
