"""Curves and surfaces of wrapped contours as the kernel holds them: one polynomial span each."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from OCP.Geom import (
    Geom_BSplineCurve,
    Geom_BSplineSurface,
    Geom_Plane,
)
from OCP.Geom2d import Geom2d_BSplineCurve
from OCP.gp import gp_Dir, gp_Pnt, gp_Pnt2d
from OCP.TColgp import TColgp_Array1OfPnt, TColgp_Array1OfPnt2d, TColgp_Array2OfPnt
from OCP.TColStd import TColStd_Array1OfInteger, TColStd_Array1OfReal
from OCP.TopAbs import TopAbs_Orientation
from OCP.TopoDS import (
    TopoDS_Edge,
    TopoDS_Face,
)

from bayonet.shapes import Side
from bayonet.solids.kernel.polynomial import bezier, raised

Array = NDArray[np.float64]


@dataclass(frozen=True)
class Span:
    """A trimmed curve in space, and its end vertices."""

    edge: TopoDS_Edge
    first: float
    last: float


def run_along(side: Side, radius_mm: float) -> float:
    """Distance along a parallel side from its foot under the axis to a radius [mm]."""
    return math.sqrt(radius_mm**2 - side.offset_mm**2)


def flipped(shape: TopoDS_Edge | TopoDS_Face) -> TopoDS_Edge | TopoDS_Face:
    """The same, oriented the other way."""
    return shape.Oriented(
        TopAbs_Orientation.TopAbs_REVERSED
        if shape.Orientation() == TopAbs_Orientation.TopAbs_FORWARD
        else TopAbs_Orientation.TopAbs_FORWARD
    )


def axial_plane(side: Side, *, towards_less: bool) -> Geom_Plane:
    """Plane of a side, its normal towards smaller or greater theta."""
    base = math.radians(side.base_deg)
    across = (-math.sin(base), math.cos(base))
    origin = gp_Pnt(side.offset_mm * across[0], side.offset_mm * across[1], 0.0)
    sign = -1.0 if towards_less else 1.0
    return Geom_Plane(origin, gp_Dir(sign * across[0], sign * across[1], 0.0))


def knots(
    first: float, last: float, degree: int
) -> tuple[TColStd_Array1OfReal, TColStd_Array1OfInteger]:
    """Knots and repeats of one Bezier span."""
    knots, repeats = TColStd_Array1OfReal(1, 2), TColStd_Array1OfInteger(1, 2)
    knots.SetValue(1, first)
    knots.SetValue(2, last)
    repeats.SetValue(1, degree + 1)
    repeats.SetValue(2, degree + 1)
    return knots, repeats


def spline3(curve: object, first: float, last: float) -> Geom_BSplineCurve:
    """A curve in space as one span."""
    poles = bezier(curve, first, last)  # type: ignore[arg-type]
    array = TColgp_Array1OfPnt(1, len(poles))
    for index, pole in enumerate(poles.tolist(), 1):
        array.SetValue(index, gp_Pnt(*pole))
    return Geom_BSplineCurve(array, *knots(first, last, len(poles) - 1), len(poles) - 1)


def spline2(curve: object, first: float, last: float) -> Geom2d_BSplineCurve:
    """A trace on a surface as one span."""
    poles = bezier(curve, first, last)  # type: ignore[arg-type]
    return _poles2(poles.tolist(), first, last)


def _poles2(poles: list[list[float]], first: float, last: float) -> Geom2d_BSplineCurve:
    array = TColgp_Array1OfPnt2d(1, len(poles))
    for index, pole in enumerate(poles, 1):
        array.SetValue(index, gp_Pnt2d(*pole))
    return Geom2d_BSplineCurve(array, *knots(first, last, len(poles) - 1), len(poles) - 1)


def line2(start: tuple[float, float], end: tuple[float, float], arc: Span) -> Geom2d_BSplineCurve:
    """A straight trace on a surface, from a span's first to its last parameter."""
    return _poles2([list(start), list(end)], arc.first, arc.last)


def ruled(
    rows: list[Array], angles: tuple[float, float], radii: tuple[float, float]
) -> Geom_BSplineSurface:
    """Straight lines between two curves; u is the angle, v the radius."""
    count = max(len(row) for row in rows)
    inner, outer = (raised(row, count - 1) for row in rows)
    poles = TColgp_Array2OfPnt(1, count, 1, 2)
    for index in range(count):
        poles.SetValue(index + 1, 1, gp_Pnt(*inner[index].tolist()))
        poles.SetValue(index + 1, 2, gp_Pnt(*outer[index].tolist()))
    u_knots, u_repeats = knots(*angles, count - 1)
    v_knots, v_repeats = knots(*radii, 1)
    return Geom_BSplineSurface(poles, u_knots, v_knots, u_repeats, v_repeats, count - 1, 1)
