"""A contour of the developed plane, extruded radially between two cylinders: an exact solid.

Every edge is shared by two faces and carries its exact curve on each: planes, cylinders and cones
are themselves, a round its own cylinder; a helicoid is linear in the radius and one polynomial span
in the angle. Nothing is sewn and no tolerance is loosened.
"""

from __future__ import annotations

import math
from functools import partial

import numpy as np
from cadquery import Solid
from numpy.typing import NDArray
from OCP.BRep import BRep_Builder
from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeEdge
from OCP.Geom import (
    Geom_Circle,
    Geom_ConicalSurface,
    Geom_Curve,
    Geom_CylindricalSurface,
    Geom_Line,
    Geom_Plane,
    Geom_Surface,
)
from OCP.Geom2d import Geom2d_Curve
from OCP.gp import gp_Ax2, gp_Ax3, gp_Dir, gp_Pnt
from OCP.TopLoc import TopLoc_Location
from OCP.TopoDS import (
    TopoDS_Edge,
    TopoDS_Face,
    TopoDS_Shell,
    TopoDS_Solid,
    TopoDS_Vertex,
    TopoDS_Wire,
)

from bayonet.shapes import Contour, Corner, Edge, Flank, Round, Side
from bayonet.solids.kernel.curves import (
    Span,
    axial_plane,
    flipped,
    line2,
    ruled,
    run_along,
    spline2,
    spline3,
)
from bayonet.solids.kernel.polynomial import bezier

Array = NDArray[np.float64]

_TOLERANCE_MM = 1e-7


def wrapped(contour: Contour) -> Solid:
    """Extrude a contour radially.

    Parameters
    ----------
    contour : Contour
        In theta [deg] (see `bayonet.shapes.mirrored`), counter-clockwise seen from
        outside with z = -depth.

    Returns
    -------
    cadquery.Solid
        Not gated; see `bayonet.solids.kernel.gate`.
    """
    return Solid(Wrapper(contour).solid())


class Wrapper:
    """Builds one solid; lives for one call. `bayonet.solids.fitting.cut_track` builds on it."""

    def __init__(self, contour: Contour) -> None:
        self.contour = contour
        self.builder = BRep_Builder()
        self.radii = (contour.inner_mm, contour.outer_mm)
        polygons = [contour.corners_at(radius) for radius in self.radii]
        self.middle = math.radians(float(np.mean([p[:, 0].mean() for p in polygons])))
        self.theta = [np.radians(p[:, 0]) for p in polygons]
        self.height = [-p[:, 1] for p in polygons]
        self.count = len(contour.corners)

    def solid(self) -> TopoDS_Solid:
        """The closed solid; not gated."""
        vertices = self._vertices()
        radial = [self._radial_edge(i, vertices[0][i], vertices[1][i]) for i in range(self.count)]
        rims = [
            [self._rim_edge(end, i, vertices[end]) for i in range(self.count)] for end in (0, 1)
        ]
        shell = TopoDS_Shell()
        self.builder.MakeShell(shell)
        for end in (0, 1):
            self.builder.Add(shell, self._rim_face(end, rims[end]))
        for i in range(self.count):
            self.builder.Add(shell, self._wall_face(i, rims, radial))
        shell.Closed(True)
        solid = TopoDS_Solid()
        self.builder.MakeSolid(solid)
        self.builder.Add(solid, shell)
        return solid

    # ---- points, edges -------------------------------------------------------------------

    def _point(self, end: int, i: int) -> gp_Pnt:
        radius, theta = self.radii[end], self.theta[end][i]
        return gp_Pnt(radius * math.cos(theta), radius * math.sin(theta), self.height[end][i])

    def _vertices(self) -> list[list[TopoDS_Vertex]]:
        return [[self._vertex(end, i) for i in range(self.count)] for end in (0, 1)]

    def _vertex(self, end: int, i: int) -> TopoDS_Vertex:
        vertex = TopoDS_Vertex()
        self.builder.MakeVertex(vertex, self._point(end, i), _TOLERANCE_MM)
        return vertex

    def _edge(
        self, curve: Geom_Curve, start: TopoDS_Vertex, end: TopoDS_Vertex, first: float, last: float
    ) -> Span:
        maker = BRepBuilderAPI_MakeEdge(curve, start, end, first, last)
        return Span(maker.Edge(), first, last)

    def _radial_edge(self, i: int, inner: TopoDS_Vertex, outer: TopoDS_Vertex) -> Span:
        """From inner to outer corner, by radius; straight unless side and flank bend it."""
        corner = self.contour.corners[i]
        flank = corner.flank
        bent = corner.side.offset_mm != 0.0 and (flank.lead_mm_per_rev or flank.slope)
        if not bent:
            return self._straight(self._point(0, i), self._point(1, i), inner, outer)
        first, last = (run_along(corner.side, radius) for radius in self.radii)
        curve = spline3(lambda run: self._along(corner, run), first, last)
        return self._edge(curve, inner, outer, first, last)

    def _straight(
        self, start: gp_Pnt, end: gp_Pnt, first: TopoDS_Vertex, last: TopoDS_Vertex
    ) -> Span:
        line = Geom_Line(
            start, gp_Dir(end.X() - start.X(), end.Y() - start.Y(), end.Z() - start.Z())
        )
        return self._edge(line, first, last, 0.0, start.Distance(end))

    def _along(self, corner: Corner, run: Array) -> Array:
        """Points of a bent radial edge by the distance along its parallel side."""
        radius = np.hypot(run, corner.side.offset_mm)
        theta = np.radians(corner.side.angle_at(radius))
        z = -corner.flank.depth_at(np.degrees(theta), radius)
        return np.column_stack([radius * np.cos(theta), radius * np.sin(theta), z])

    def _rim_edge(self, end: int, i: int, vertices: list[TopoDS_Vertex]) -> Span:
        """Along the contour on a cylinder, from corner i to corner i + 1."""
        j = (i + 1) % self.count
        edge = self.contour.edges[i]
        if isinstance(edge, Side):
            return self._straight(
                self._point(end, i), self._point(end, j), vertices[i], vertices[j]
            )
        if isinstance(edge, Round):
            return self._bow(end, edge, i, j, vertices)
        return self._swept(end, edge, i, j, vertices)

    def _bow(self, end: int, bow: Round, i: int, j: int, vertices: list[TopoDS_Vertex]) -> Span:
        """Where a round meets a cylinder; by the angle about its axis, from the smaller one on."""
        low, high = (j, i) if bow.end_deg < bow.start_deg else (i, j)
        start, stop = sorted(math.radians(turn) for turn in (bow.start_deg, bow.end_deg))

        def curve(turn: Array) -> Array:
            theta, z = self._on_round(end, bow, turn)
            radius = self.radii[end]
            return np.column_stack([radius * np.cos(theta), radius * np.sin(theta), z])

        return self._edge(spline3(curve, start, stop), vertices[low], vertices[high], start, stop)

    def _on_round(self, end: int, bow: Round, turn: Array) -> tuple[Array, Array]:
        """Theta and z of points of a round on an end's cylinder [rad], [mm]."""
        degrees = np.degrees(turn)
        theta = np.radians(bow.angle_at(degrees, np.full_like(turn, self.radii[end])))
        return theta, -bow.depth(degrees)

    def _swept(self, end: int, flank: Flank, i: int, j: int, vertices: list[TopoDS_Vertex]) -> Span:
        """Arc or helix, always from the smaller angle to the greater one."""
        radius = self.radii[end]
        low, high = (i, j) if self.theta[end][i] < self.theta[end][j] else (j, i)
        start, stop = self.theta[end][low], self.theta[end][high]
        curve: Geom_Curve
        if flank.lead_mm_per_rev == 0.0:
            frame = gp_Ax2(gp_Pnt(0, 0, self.height[end][low]), gp_Dir(0, 0, 1), self._x_axis())
            curve = Geom_Circle(frame, radius)
            start, stop = start - self._seam(), stop - self._seam()
        else:
            curve = spline3(lambda t: self._on_flank(flank, t, radius), start, stop)
        return self._edge(curve, vertices[low], vertices[high], start, stop)

    def _on_flank(self, flank: Flank, theta: Array, radius: float) -> Array:
        z = -flank.depth_at(np.degrees(theta), radius)
        return np.column_stack([radius * np.cos(theta), radius * np.sin(theta), z])

    def _seam(self) -> float:
        """Angle of the seam of every round surface: opposite the contour [rad]."""
        return self.middle - math.pi

    def _x_axis(self) -> gp_Dir:
        return gp_Dir(math.cos(self._seam()), math.sin(self._seam()), 0.0)

    # ---- faces ---------------------------------------------------------------------------

    def _rim_face(self, end: int, rim: list[Span]) -> TopoDS_Face:
        """The face on the inner or outer cylinder."""
        frame = gp_Ax3(gp_Pnt(0, 0, 0), gp_Dir(0, 0, 1), self._x_axis())
        surface = Geom_CylindricalSurface(frame, self.radii[end])
        for i, arc in enumerate(rim):
            self._attach(arc, surface, self._rim_trace(end, i, arc))
        edges = [self._directed(end, i, arc) for i, arc in enumerate(rim)]
        face = self._face(surface, edges)
        return face if end == 1 else flipped(face)

    def _rim_trace(self, end: int, i: int, arc: Span) -> Geom2d_Curve:
        j, edge = (i + 1) % self.count, self.contour.edges[i]
        if isinstance(edge, Round):

            def trace(turn: Array) -> Array:
                theta, z = self._on_round(end, edge, turn)
                return np.column_stack([theta - self._seam(), z])

            return spline2(trace, arc.first, arc.last)
        angle = self.theta[end] - self._seam()
        low, high = (j, i) if self._runs_backwards(end, i) else (i, j)
        start = (angle[low], self.height[end][low])
        return line2(start, (angle[high], self.height[end][high]), arc)

    def _runs_backwards(self, end: int, i: int) -> bool:
        """Whether rim edge i was built from its second corner to its first."""
        j = (i + 1) % self.count
        edge = self.contour.edges[i]
        if isinstance(edge, Round):
            return edge.end_deg < edge.start_deg
        return isinstance(edge, Flank) and bool(self.theta[end][i] > self.theta[end][j])

    def _directed(self, end: int, i: int, arc: Span) -> TopoDS_Edge:
        return flipped(arc.edge) if self._runs_backwards(end, i) else arc.edge

    def _wall_face(self, i: int, rims: list[list[Span]], radial: list[Span]) -> TopoDS_Face:
        """The face over contour edge i, from inner to outer rim."""
        j = (i + 1) % self.count
        surface, faces_out = self._wall_surface(i, self.contour.edges[i])
        inner, outer = rims[0][i], rims[1][i]
        loop = [
            flipped(self._directed(1, i, outer)),
            flipped(radial[i].edge),
            self._directed(0, i, inner),
            radial[j].edge,
        ]
        edge = self.contour.edges[i]
        if isinstance(edge, Round):
            self._trace_round(i, edge, surface, rims, radial)
        elif not isinstance(surface, Geom_Plane):
            self._trace_wall(i, surface, rims, radial)
        if faces_out:
            return self._face(surface, loop)
        return flipped(self._face(surface, [flipped(edge) for edge in reversed(loop)]))

    def _wall_surface(self, i: int, edge: Edge) -> tuple[Geom_Surface, bool]:
        """Surface of contour edge i, and whether its natural normal points out of the solid."""
        j = (i + 1) % self.count
        down = self.height[1][j] < self.height[1][i]
        if isinstance(edge, Side):
            return axial_plane(edge, towards_less=bool(down)), True
        if isinstance(edge, Round):
            return self._cylinder(edge), True
        below = bool(self.theta[1][j] > self.theta[1][i])
        if edge.lead_mm_per_rev == 0.0 and edge.slope == 0.0:
            normal = gp_Dir(0, 0, -1 if below else 1)
            return Geom_Plane(gp_Pnt(0, 0, -edge.depth_mm), normal), True
        if edge.lead_mm_per_rev == 0.0:
            surface, points_down = self._cone(edge)
            return surface, below == points_down
        return self._helicoid(i, edge), below

    def _cylinder(self, bow: Round) -> Geom_Surface:
        """The cylinder of a round; u is the angle about its axis from its seam, v along it.

        Its seam lies opposite the round's middle, as that of every round surface does.
        """
        base, seam = math.radians(bow.base_deg), self._seam_of(bow)
        across = np.array([-math.sin(base), math.cos(base), 0.0])
        # the angle runs from across to into the tank; about the axis that points outwards
        start = math.cos(seam) * across + math.sin(seam) * np.array([0.0, 0.0, -1.0])
        foot = bow.offset_mm * across
        frame = gp_Ax3(
            gp_Pnt(float(foot[0]), float(foot[1]), -bow.depth_mm),
            gp_Dir(-math.cos(base), -math.sin(base), 0.0),
            gp_Dir(*start.tolist()),
        )
        return Geom_CylindricalSurface(frame, bow.radius_mm)

    def _seam_of(self, bow: Round) -> float:
        return math.radians((bow.start_deg + bow.end_deg) / 2.0) - math.pi

    def _trace_round(
        self, i: int, bow: Round, surface: Geom_Surface, rims: list[list[Span]], radial: list[Span]
    ) -> None:
        """Give the four edges of a round face their curves on it."""
        seam, j = self._seam_of(bow), (i + 1) % self.count

        def along(end: int, turn: Array) -> Array:
            """Minus the distance along the axis, which points inwards, to an end's cylinder."""
            return -np.sqrt(self.radii[end] ** 2 - bow.beside(np.degrees(turn)) ** 2)

        for end in (0, 1):

            def trace(turn: Array, end: int = end) -> Array:
                return np.column_stack([turn - seam, along(end, turn)])

            rim = rims[end][i]
            self._attach(rim, surface, spline2(trace, rim.first, rim.last))
        for k, turn in ((i, bow.start_deg), (j, bow.end_deg)):
            at = np.array([math.radians(turn)])
            ends = [(float(at[0] - seam), float(along(end, at)[0])) for end in (0, 1)]
            self._attach(radial[k], surface, line2(ends[0], ends[1], radial[k]))

    def _cone(self, flank: Flank) -> tuple[Geom_Surface, bool]:
        """Cone z = -depth(r) by outer radius; natural normal points away from the axis."""
        rise = math.atan(1.0 / flank.slope)
        radius = flank.outer_mm
        frame = gp_Ax3(gp_Pnt(0, 0, -flank.depth_mm), gp_Dir(0, 0, 1), self._x_axis())
        return Geom_ConicalSurface(frame, rise, radius), True

    def _helicoid(self, i: int, flank: Flank) -> Geom_Surface:
        """Linear in radius, one polynomial span in angle; u is theta, v is the radius."""
        j = (i + 1) % self.count
        angles = [self.theta[end][k] for end in (0, 1) for k in (i, j)]
        start, stop = min(angles), max(angles)
        rows = [
            bezier(partial(self._on_flank, flank, radius=radius), start, stop)
            for radius in self.radii
        ]
        return ruled(rows, (start, stop), self.radii)

    def _trace_wall(
        self, i: int, surface: Geom_Surface, rims: list[list[Span]], radial: list[Span]
    ) -> None:
        """Give the four edges of a cone or helicoid face their curves on it."""
        j = (i + 1) % self.count
        flank = self.contour.edges[i]
        assert isinstance(flank, Flank)
        is_cone = flank.lead_mm_per_rev == 0.0
        shift = self._seam() if is_cone else 0.0

        def v_of(radius: Array) -> Array:
            if not is_cone:
                return radius
            return -(flank.outer_mm - radius) * math.hypot(1.0, flank.slope)

        for end in (0, 1):
            low, high = (j, i) if self._runs_backwards(end, i) else (i, j)
            v = float(v_of(np.array(self.radii[end])))
            points = [(self.theta[end][k] - shift, v) for k in (low, high)]
            self._attach(rims[end][i], surface, line2(points[0], points[1], rims[end][i]))
        for k in (i, j):
            side = self.contour.corners[k].side
            arc = radial[k]

            def trace(t: Array, side: Side = side, arc: Span = arc) -> Array:
                if side.offset_mm != 0.0:
                    radius = np.hypot(t, side.offset_mm)
                else:
                    share = (t - arc.first) / (arc.last - arc.first)
                    radius = self.radii[0] + share * (self.radii[1] - self.radii[0])
                theta = np.radians(side.angle_at(radius)) - shift
                return np.column_stack([theta, v_of(radius)])

            self._attach(arc, surface, spline2(trace, arc.first, arc.last))

    def _attach(self, arc: Span, surface: Geom_Surface, trace: Geom2d_Curve) -> None:
        self.builder.UpdateEdge(arc.edge, trace, surface, TopLoc_Location(), _TOLERANCE_MM)
        self.builder.Range(arc.edge, surface, TopLoc_Location(), arc.first, arc.last)

    def _face(self, surface: Geom_Surface, edges: list[TopoDS_Edge]) -> TopoDS_Face:
        wire = TopoDS_Wire()
        self.builder.MakeWire(wire)
        for edge in edges:
            self.builder.Add(wire, edge)
        wire.Closed(True)
        face = TopoDS_Face()
        self.builder.MakeFace(face, surface, _TOLERANCE_MM)
        self.builder.Add(face, wire)
        return face
