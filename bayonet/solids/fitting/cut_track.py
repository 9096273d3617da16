"""A track as a disc cutter leaves it, as an exact solid: wrapped, with the cutter's edge on it.

The stop is the cutter's own cylinder, every break of the roof an arc of its edge, and the roof the
surface that edge sweeps along its helix: a polynomial in both parameters, exact to rounding.
"""

from __future__ import annotations

import math

import numpy as np
from cadquery import Solid
from numpy.typing import NDArray
from OCP.Geom import (
    Geom_BSplineSurface,
    Geom_Circle,
    Geom_CylindricalSurface,
    Geom_Plane,
    Geom_Surface,
)
from OCP.Geom2d import Geom2d_Curve
from OCP.gp import gp_Ax2, gp_Ax3, gp_Dir, gp_Pnt
from OCP.TColgp import TColgp_Array2OfPnt
from OCP.TopoDS import TopoDS_Edge, TopoDS_Face, TopoDS_Vertex

from bayonet.shapes import Arc, Contour, Edge, Flank, Side
from bayonet.solids.kernel import Span, Wrapper, bezier, knots, line2

Array = NDArray[np.float64]


def cut_track(contour: Contour) -> Solid:
    """Extrude the contour of a cut track.

    Parameters
    ----------
    contour : Contour
        In theta [deg], with arcs; as `bayonet.solids.kernel.wrap.wrapped` takes it.

    Returns
    -------
    cadquery.Solid
        Not gated; see `bayonet.solids.kernel.gate`.
    """
    return Solid(_CutWrapper(contour).solid())


class _CutWrapper(Wrapper):
    """As its base, with faces that end in a point on the wall and edges that are arcs."""

    def _is_point(self, end: int, i: int) -> bool:
        """Whether rim edge i has no length: where the plunged disc meets wall and slot."""
        j = (i + 1) % self.count
        gap = abs(self.theta[end][j] - self.theta[end][i]) * self.radii[end]
        return bool(gap + abs(self.height[end][j] - self.height[end][i]) < 1e-9)

    def _vertices(self) -> list[list[TopoDS_Vertex]]:
        made = super()._vertices()
        for end in (0, 1):
            for i in range(self.count):
                if self._is_point(end, i):
                    made[end][i] = made[end][(i + 1) % self.count]
        return made

    def _rim_edge(self, end: int, i: int, vertices: list[TopoDS_Vertex]) -> Span:
        if self._is_point(end, i):
            return Span(TopoDS_Edge(), 0.0, 1.0)  # no edge at all
        return super()._rim_edge(end, i, vertices)

    # ---- the cutter's edge ---------------------------------------------------------------

    def _axis(self, side: Side, z: float) -> tuple[gp_Pnt, gp_Dir, float]:
        """Cutter's axis at a height, direction away from the fitting, sense of its edge."""
        assert side.arc is not None
        base = math.radians(side.base_deg)
        x, y = math.cos(base), math.sin(base)
        centre = side.arc.centre_mm
        return gp_Pnt(centre * x, centre * y, z), gp_Dir(x, y, 0.0), float(side.arc.sense)

    def _edge_angle(self, arc: Arc, radius: float) -> float:
        """Angle about the cutter's axis of its edge at a radius, 0 at the wall [rad]."""
        swing = math.radians(abs(float(arc.swing_deg(radius))))
        return math.atan2(radius * math.sin(swing), radius * math.cos(swing) - arc.centre_mm)

    def _radial_edge(self, i: int, inner: TopoDS_Vertex, outer: TopoDS_Vertex) -> Span:
        """An arc of the cutter's edge, from bore to wall; else as the base."""
        side = self.contour.corners[i].side
        if side.arc is None:
            return super()._radial_edge(i, inner, outer)
        point, away, sense = self._axis(side, self.height[1][i])
        frame = gp_Ax2(point, gp_Dir(0.0, 0.0, -sense), away)
        first = 2.0 * math.pi - self._edge_angle(side.arc, self.radii[0])
        circle = Geom_Circle(frame, side.arc.radius_mm)
        return self._edge(circle, inner, outer, first, 2.0 * math.pi)

    # ---- faces ---------------------------------------------------------------------------

    def _wall_surface(self, i: int, edge: Edge) -> tuple[Geom_Surface, bool]:
        j = (i + 1) % self.count
        if isinstance(edge, Side) and edge.arc is not None:
            point, away, _ = self._axis(edge, 0.0)
            back = gp_Dir(-away.X(), -away.Y(), 0.0)
            frame = gp_Ax3(point, gp_Dir(0, 0, 1), back)
            return Geom_CylindricalSurface(frame, edge.arc.radius_mm), True
        if isinstance(edge, Flank):
            below = bool(self.theta[0][j] > self.theta[0][i])
            if edge.lead_mm_per_rev == 0.0:
                normal = gp_Dir(0, 0, -1 if below else 1)
                return Geom_Plane(gp_Pnt(0, 0, -edge.depth_mm), normal), True
            return self._swept_edge(i, edge), not below
        return super()._wall_surface(i, edge)

    def _ends(self, i: int) -> tuple[float, float]:
        """Angles of the cutter's axis at the two ends of flank i, ascending [rad]."""
        sides = (self.contour.corners[k].side for k in (i, (i + 1) % self.count))
        low, high = sorted(math.radians(side.base_deg) for side in sides)
        return low, high

    def _swept_edge(self, i: int, flank: Flank) -> Geom_BSplineSurface:
        """The cutter's edge along its helix; u the axis's angle, v the angle round the cutter."""
        arc = flank.arc
        assert arc is not None
        low, high = self._ends(i)
        last = self._edge_angle(arc, self.radii[0])
        turning = bezier(
            lambda t: np.column_stack([np.cos(t), np.sin(t), np.degrees(t)]), low, high
        )
        edge = bezier(lambda w: np.column_stack([np.cos(w), arc.sense * np.sin(w)]), 0.0, last)
        x, y = arc.centre_mm + arc.radius_mm * edge[:, 0], arc.radius_mm * edge[:, 1]
        depth = flank.depth_mm + flank.lead_mm_per_rev * (turning[:, 2] - flank.from_deg) / 360.0
        poles = TColgp_Array2OfPnt(1, len(turning), 1, len(edge))
        for row, (cos, sin, _) in enumerate(turning.tolist()):
            for column in range(len(edge)):
                poles.SetValue(
                    row + 1, column + 1,
                    gp_Pnt(cos * x[column] - sin * y[column], sin * x[column] + cos * y[column],
                           -depth[row]),
                )  # fmt: skip
        u_knots, u_repeats = knots(low, high, len(turning) - 1)
        v_knots, v_repeats = knots(0.0, last, len(edge) - 1)
        return Geom_BSplineSurface(
            poles, u_knots, v_knots, u_repeats, v_repeats, len(turning) - 1, len(edge) - 1
        )

    def _trace_wall(
        self, i: int, surface: Geom_Surface, rims: list[list[Span]], radial: list[Span]
    ) -> None:
        """Give the edges of the stop's cylinder or a swept roof their curves on it."""
        edge = self.contour.edges[i]
        if isinstance(edge, Side):
            self._trace_stop(i, edge, surface, rims, radial)
        elif isinstance(edge, Flank):
            self._trace_roof(i, edge, surface, rims, radial)

    def _trace_stop(
        self, i: int, side: Side, surface: Geom_Surface, rims: list[list[Span]], radial: list[Span]
    ) -> None:
        assert side.arc is not None
        j = (i + 1) % self.count
        turn = side.arc.sense * self._edge_angle(side.arc, self.radii[0])
        for end, u in ((0, math.pi + turn), (1, math.pi)):
            points = [(u, float(self.height[end][k])) for k in (i, j)]
            self._attach(rims[end][i], surface, line2(points[0], points[1], rims[end][i]))
        for k in (i, j):
            z = float(self.height[1][k])
            self._attach(radial[k], surface, line2((math.pi + turn, z), (math.pi, z), radial[k]))

    def _trace_roof(
        self, i: int, flank: Flank, surface: Geom_Surface, rims: list[list[Span]],
        radial: list[Span],
    ) -> None:  # fmt: skip
        assert flank.arc is not None
        low, high = self._ends(i)
        last = self._edge_angle(flank.arc, self.radii[0])
        for end, v in ((0, last), (1, 0.0)):
            self._attach(rims[end][i], surface, line2((low, v), (high, v), rims[end][i]))
        for k in (i, (i + 1) % self.count):
            u = math.radians(self.contour.corners[k].side.base_deg)
            self._attach(radial[k], surface, line2((u, last), (u, 0.0), radial[k]))

    def _attach(self, arc: Span, surface: Geom_Surface, trace: Geom2d_Curve) -> None:
        if not arc.edge.IsNull():
            super()._attach(arc, surface, trace)

    def _face(self, surface: Geom_Surface, edges: list[TopoDS_Edge]) -> TopoDS_Face:
        return super()._face(surface, [edge for edge in edges if not edge.IsNull()])
