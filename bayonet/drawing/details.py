"""Details at a larger scale: lead-in and sealing bore, and the corner of a track at its stop."""

from __future__ import annotations

import math

import shapely
from shapely.geometry import Point as Spot
from shapely.geometry.base import BaseGeometry

from bayonet.dimensions import Edge, lead_in_of
from bayonet.drawing import symbols
from bayonet.drawing.canvas import Canvas, Hatched, Point, spread
from bayonet.drawing.scene import SCALES, Scene, put_view, scale_text, title
from bayonet.drawing.symbols import Label
from bayonet.parts import Socket, turned_outline

_RADIUS_MM = 24.0
_OUT_MM = 8.0


def lead_in(scene: Scene) -> Canvas | None:
    """The cone that compresses the ring, and its edges; None where a face is sealed on."""
    socket = scene.socket
    angle, wide = scene.find("lead_in_angle"), scene.find("lead_in_diameter")
    cone = lead_in_of(socket)
    if angle is None or cone is None:
        return None
    (r0, d0), (r1, d1) = cone
    view = _Detail(scene, lead_in_window(scene))
    canvas = view.drawn(_material(socket))
    middle = view.at(0.5 * (r0 + r1), 0.5 * (d0 + d1))
    text = f"lead-in {symbols.size_text(angle, inch=False)} to the axis"
    notes: list[tuple[Label, Point]] = [
        (symbols.row(symbols.words(text), symbols.balloon(angle.number)), middle)
    ]
    if wide is not None:
        notes.append((symbols.row(symbols.words(symbols.size_text(wide, inch=scene.inch)),
                                  symbols.balloon(wide.number)), view.at(r0, d0)))  # fmt: skip
    notes += [
        (symbols.row(symbols.texture(one), symbols.words(one.feature)),
         view.at(0.75 * r0 + 0.25 * r1, 0.75 * d0 + 0.25 * d1))
        for one in scene.record.textures if one.feature == "lead-in"
    ]  # fmt: skip
    notes += [
        (symbols.row(symbols.edge(one), symbols.words("both ends, no burr")), view.at(r1, d1))
        for one in scene.record.edges if one.feature == "lead-in"
    ]  # fmt: skip
    view.note(canvas, notes)
    title(canvas, f"X  ({scale_text(view.scale)})")
    return canvas


def corner(scene: Scene) -> Canvas:
    """A track where it ends: roof, wall, floor; what stays sharp and how round a corner may be."""
    socket = scene.socket
    track = socket.tracks[0]
    roof, floor = track.roof[-1][1], track.floor[-1][1]
    inner, wall = track.inner_radius_mm, track.outer_radius_mm
    view = _Detail(scene, corner_window(scene))
    slope = track.floor_slope * (wall - inner)
    far = inner - 1e-6
    groove = shapely.Polygon([(far, roof), (wall, roof), (wall, floor), (far, floor + slope)])
    canvas = view.drawn(_material(socket).difference(groove))
    canvas.line(view.at(inner, roof), view.at(inner, floor), layer="OUTLINE")
    notes: list[tuple[Label, Point]] = []
    for one in scene.record.edges:
        spot = {
            "roof": (inner, roof), "track wall": (wall, floor), "roof and stop": (wall, roof),
        }.get(one.feature)  # fmt: skip
        if spot is not None:
            notes.append((symbols.row(symbols.edge(one), symbols.words(_edge_words(one))),
                          view.at(*spot)))  # fmt: skip
    view.note(canvas, notes)
    title(canvas, f"Y  ({scale_text(view.scale)})")
    return canvas


def lead_in_window(scene: Scene) -> tuple[float, float, float] | None:
    """Middle (radius, depth) and reach of the lead-in's detail [mm]; None where there is none."""
    cone = lead_in_of(scene.socket)
    if cone is None:
        return None
    (r0, d0), (r1, d1) = cone
    return 0.5 * (r0 + r1), 0.5 * (d0 + d1), 0.5 * math.dist((r0, d0), (r1, d1)) + 1.2


def corner_window(scene: Scene) -> tuple[float, float, float]:
    """Middle (radius, depth) and reach of the track's detail [mm]."""
    track = scene.socket.tracks[0]
    roof, floor = track.roof[-1][1], track.floor[-1][1]
    inner, wall = track.inner_radius_mm, track.outer_radius_mm
    reach = 0.5 * math.hypot(wall - inner, floor - roof) + 1.0
    return 0.5 * (inner + wall), 0.5 * (roof + floor), reach


def isometric(scene: Scene) -> Canvas:
    """The socket seen from outside the tank, at half the scale."""
    canvas = Canvas()
    scale = scene.scale * 0.5
    put_view(canvas, scene.isometric, scale=scale)
    title(canvas, f"Isometric  ({scale_text(scale)})")
    return canvas


def _edge_words(one: Edge) -> str:
    return {
        "roof": "roof's edge: stays sharp, no burr",
        "track wall": "corners at the wall, at most",
        "roof and stop": "roof to stop: sharp or undercut",
    }[one.feature]


class _Detail:
    """A round window on the half section, right of the axis."""

    def __init__(self, scene: Scene, window: tuple[float, float, float] | None) -> None:
        assert window is not None
        self.scene, self.centre = scene, (window[0], window[1])
        self.reach = reach = window[2]
        fits = [s for s in SCALES if s * reach <= _RADIUS_MM]
        self.scale = fits[0] if fits else SCALES[-1]
        self.radius = self.scale * reach

    def at(self, radius: float, depth: float) -> Point:
        return (
            (radius - self.centre[0]) * self.scale,
            (self.centre[1] - depth) * self.scale,
        )

    def drawn(self, material: BaseGeometry) -> Canvas:
        """The cut material within the window, its own edges as outlines."""
        canvas = Canvas()
        window = Spot(*self.centre).buffer(self.reach, quad_segs=32)
        for part in _parts(material.intersection(window), "Polygon"):
            loops = (part.exterior, *part.interiors)
            canvas.add(
                Hatched(loops=tuple(tuple(self.at(*p) for p in loop.coords[:-1]) for loop in loops))
            )
        for edge in _parts(material.boundary.intersection(window), "LineString"):
            canvas.line(*(self.at(*p) for p in edge.coords), layer="OUTLINE")
        canvas.arc((0.0, 0.0), self.radius, 0.0, 360.0, layer="DIMENSION")
        return canvas

    def note(self, canvas: Canvas, notes: list[tuple[Label, Point]]) -> None:
        """Notes to the right of the window, each with an arrow to its place."""
        notes = sorted(notes, key=lambda item: (-item[1][1], item[1][0]))
        places = spread([p[1] for _, p in notes], [label.height for label, _ in notes])
        x = self.radius + _OUT_MM
        for (label, target), y in zip(notes, places, strict=True):
            label.draw(canvas, x, y)
            canvas.line((x - 0.8, y), (x - 3.0, y), target)
            angle = math.degrees(math.atan2(target[1] - y, target[0] - x + 3.0))
            canvas.add(symbols.arrow(target, angle))


def _parts(shape: BaseGeometry, kind: str) -> list[BaseGeometry]:
    merged = shapely.line_merge(shape) if kind == "LineString" else shape
    return [one for one in getattr(merged, "geoms", [merged]) if one.geom_type == kind]


def _material(socket: Socket) -> BaseGeometry:
    """Half section without slots, as (radius, depth)."""
    points = [(r, -z) for r, z in turned_outline(socket)]
    return shapely.Polygon(points).buffer(0)
