"""Sections through the axis: through a slot with every bore and depth, and at a stop."""

from __future__ import annotations

import math

from bayonet.dimensions import Dimension
from bayonet.drawing import details, dims, plan, symbols
from bayonet.drawing.canvas import Canvas, Point, spread
from bayonet.drawing.scene import Scene, put_view, scale_text, title
from bayonet.drawing.symbols import ROW_MM, Label
from bayonet.parts import Socket

_REACH_MM = 3.0  # beyond the outside before a leader turns to its label
_FAN_MM = 12.0
_LEVEL_MM = 8.0
_ABOVE_MM = 9.0


def through_slot(scene: Scene) -> Canvas:
    """Section A-A: diameters above and below, depths to the right, tolerances to the left."""
    canvas = Canvas()
    socket, scale = scene.socket, scene.scale
    put_view(canvas, scene.through_slot, scale=scale)
    _axis(canvas, socket, scale)
    outside = _outside_mm(socket) * scale
    low = _depths(scene, canvas, outside)
    _left(scene, canvas, outside)
    _diameters(scene, canvas, outside, low)
    mark_detail(canvas, details.lead_in_window(scene), "X", scale, 1.0)
    title(canvas, f"A-A  ({scale_text(scale)})")
    return canvas


def at_stop(scene: Scene) -> Canvas:
    """Section B-B: roof and floor where the lug is locked, and the wall."""
    canvas = Canvas()
    socket, scale = scene.socket, scene.scale
    put_view(canvas, scene.at_stop, scale=scale)
    _axis(canvas, socket, scale)
    outside = _outside_mm(socket) * scale
    side = 1.0 if socket.sign > 0 else -1.0
    track = socket.tracks[0]
    _roof_surface(scene, canvas, outside, side)
    wall = scene.find("track_diameter")
    if wall is not None:
        y = -0.5 * (track.roof[-1][1] + track.floor[-1][1]) * scale
        half = track.outer_radius_mm * scale
        _one_sided(scene, canvas, wall, half, y, side)
    mark_detail(canvas, details.corner_window(scene), "Y", scale, side)
    title(canvas, f"B-B  ({scale_text(scale)})")
    return canvas


def _roof_surface(scene: Scene, canvas: Canvas, outside: float, side: float) -> None:
    """Texture and edge of the roof, beside the view."""
    track, scale = scene.socket.tracks[0], scene.scale
    depth = track.roof[-1][1] * scale
    inner, wall = track.inner_radius_mm * scale, track.outer_radius_mm * scale
    rows: list[tuple[Label, Point]] = [
        (symbols.row(symbols.texture(one), symbols.words("roof")),
         (side * 0.5 * (inner + wall), -depth))
        for one in scene.record.textures
        if one.feature == "roof"
    ]  # fmt: skip
    rows += [
        (symbols.row(symbols.edge(one), symbols.words("roof's edge")), (side * inner, -depth))
        for one in scene.record.edges
        if one.feature == "roof"
    ]
    places = spread([-depth + 4.0 - 8.0 * n for n in range(len(rows))],
                    [label.height for label, _ in rows])  # fmt: skip
    for (label, target), place in zip(rows, places, strict=True):
        edge = side * (outside + _REACH_MM + _FAN_MM)
        label.draw(canvas, edge if side > 0 else edge - label.width, place)
        canvas.line((edge - side * 0.8, place), (edge - side * 2.8, place), target)
        run = target[0] - edge + side * 2.8
        canvas.add(symbols.arrow(target, math.degrees(math.atan2(target[1] - place, run))))


def mark_detail(
    canvas: Canvas, window: tuple[float, float, float] | None, name: str, scale: float, side: float
) -> None:
    """A circle round what a detail shows, with its letter."""
    if window is None:
        return
    radius, depth, reach = window
    middle = (side * radius * scale, -depth * scale)
    canvas.arc(middle, reach * scale, 0.0, 360.0)
    plan.letter(canvas, (middle[0] - side * (reach * scale + 3.0), middle[1]), name)


def _one_sided(
    scene: Scene, canvas: Canvas, one: Dimension, half: float, y: float, side: float
) -> None:
    """A diameter seen on one side of the axis only, its line above the view."""
    top = _ABOVE_MM
    wall = (side * half, y)
    other = (-side * half, y)
    left, right = (wall, other) if wall[0] < other[0] else (other, wall)
    outside = _outside_mm(scene.socket) * scene.scale
    below = _controls(scene, "coaxiality_tracks")
    dims.level(canvas, one, left=left, right=right, y=top + (ROW_MM if below else 0.0),
               label_x=outside + _REACH_MM, factor=scene.factor, inch=scene.inch,
               below=below)  # fmt: skip


def _axis(canvas: Canvas, socket: Socket, scale: float) -> None:
    canvas.line((0.0, 3.0), (0.0, -socket.boss_height_mm * scale - 3.0), layer="CENTRE")


def _outside_mm(socket: Socket) -> float:
    flange = socket.flange.radius_mm if socket.flange else 0.0
    return max(socket.boss_radius_mm, flange)


# ---- depths --------------------------------------------------------------------------------


def _depths(scene: Scene, canvas: Canvas, outside: float) -> float:
    """Depths from the mouth face to the right; returns the lowest end of their labels."""
    socket, scale = scene.socket, scene.scale
    rows: list[tuple[Dimension, Point]] = []
    for key in ("lead_in_from_depth", "sealing_bore_from_depth", "sealing_bore_to_depth",
                "bore_step_depth", "nose_floor_depth", "boss_height"):  # fmt: skip
        one = scene.find(key)
        if one is not None:
            radius = socket.bore_radius_at(one.nominal - 1e-9) if key != "boss_height" else 0.0
            feature = radius * scale if radius else socket.boss_radius_mm * scale * 0.98
            rows.append((one, (feature, -one.nominal * scale)))
    if socket.flange is not None:
        thick = scene.find("flange_thickness")
        if thick is not None:
            _thickness(scene, canvas, thick, outside)
    return _column(scene, canvas, rows, outside, 1.0)


def _thickness(scene: Scene, canvas: Canvas, one: Dimension, outside: float) -> None:
    """The flange's thickness, to the left."""
    scale = scene.scale
    low = -scene.socket.boss_height_mm * scale
    label = symbols.row(
        symbols.words(f"t {symbols.size_text(one, inch=scene.inch)}"), symbols.balloon(one.number)
    )
    x = -outside - _REACH_MM - label.width - 4.0
    y = low + one.nominal * scale / 2.0
    label.draw(canvas, x, y)
    canvas.line((x + label.width + 0.8, y), (-outside * 0.97, y))


def _column(
    scene: Scene, canvas: Canvas, rows: list[tuple[Dimension, Point]], outside: float, side: float
) -> float:
    """Ordinate dimensions one under the other beside the view; returns their lowest end."""
    if not rows:
        return canvas.bounds()[1]
    rows = sorted(rows, key=lambda item: -item[1][1])
    labels = [dims.label_of(one, inch=scene.inch) for one, _ in rows]
    places = spread([p[1] for _, p in rows], [label.height for label in labels])
    top = -ROW_MM / 2.0
    over = max(0.0, places[0] - top)
    reach = side * (outside + _REACH_MM)
    for (one, feature), label, place in zip(rows, labels, places, strict=True):
        x = side * (outside + _REACH_MM + _FAN_MM)
        at = (x if side > 0 else x - label.width, place - over)
        if side < 0:
            _left_ordinate(scene, canvas, one, feature, reach, at, label.width)
        else:
            dims.ordinate(canvas, one, origin=(feature[0], 0.0), feature=feature, reach_x=reach,
                          label=at, factor=scene.factor, inch=scene.inch)  # fmt: skip
    return places[-1] - over - labels[-1].height / 2.0


def _left_ordinate(
    scene: Scene, canvas: Canvas, one: Dimension, feature: Point, reach: float, at: Point,
    width: float,
) -> None:  # fmt: skip
    dims.ordinate(canvas, one, origin=(feature[0], 0.0), feature=feature, reach_x=reach, label=at,
                  factor=scene.factor, inch=scene.inch, ends_at=at[0] + width)  # fmt: skip


# ---- diameters -----------------------------------------------------------------------------


def _diameters(scene: Scene, canvas: Canvas, outside: float, low: float) -> None:
    """Diameters of the mouth's side above the view, the others below it, smallest nearest."""
    socket, scale = scene.socket, scene.scale
    middle = socket.boss_height_mm / 2.0
    above: list[tuple[Dimension, float, float]] = []
    below: list[tuple[Dimension, float, float]] = []
    for key, depth in _bores(socket):
        one = scene.find(key)
        if one is not None:
            (above if depth < middle else below).append((one, one.nominal / 2.0, depth))
    label_x = outside + _REACH_MM
    y = _ABOVE_MM
    for one, radius, depth in sorted(above, key=lambda item: item[1]):
        extra = _extra(scene, one.key)
        y += ROW_MM * len(extra[1])
        _level(scene, canvas, one, radius * scale, -depth * scale, y, label_x, extra)
        y += _LEVEL_MM
    y = min(-socket.boss_height_mm * scale, low) - _ABOVE_MM
    for one, radius, depth in sorted(below, key=lambda item: item[1]):
        extra = _extra(scene, one.key)
        _level(scene, canvas, one, radius * scale, -depth * scale, y, label_x, extra)
        y -= _LEVEL_MM + ROW_MM * len(extra[1])


def _bores(socket: Socket) -> list[tuple[str, float]]:
    """Keys of diameters, with the depth at which each is seen [mm]."""
    bore = [d for r, d in socket.bore if abs(r - socket.track_bore_radius_mm) < 1e-9]
    found = [("track_bore_diameter", (min(bore) + max(bore)) / 2.0)]
    if socket.seal_from_mm is not None and socket.seal_to_mm is not None:
        found.append(("sealing_bore_diameter", (socket.seal_from_mm + socket.seal_to_mm) / 2.0))
    if socket.nose_floor_mm is not None:
        found.append(("passage_diameter", socket.boss_height_mm - 1e-3))
    top = 0.0 if socket.flange is None else 1e-3
    found.append(("boss_diameter", top))
    if socket.flange is not None:
        found.append(("flange_diameter", socket.boss_height_mm))
    return found


def _extra(scene: Scene, key: str) -> tuple[tuple[Label, ...], tuple[Label, ...]]:
    """What stands beside and below a diameter: datum and frames."""
    if key == "track_bore_diameter":
        return (symbols.datum("B"),), _controls(scene, "perpendicularity_bore")
    if key == "sealing_bore_diameter":
        return (), _controls(scene, "coaxiality_seal")
    return (), ()


def _controls(scene: Scene, key: str) -> tuple[Label, ...]:
    one = scene.record.control(key)
    if one is None:
        return ()
    scene.shown.add(one.number)
    return (symbols.frame(one),)


def _level(
    scene: Scene, canvas: Canvas, one: Dimension, half: float, y0: float, y: float, label_x: float,
    extra: tuple[tuple[Label, ...], tuple[Label, ...]],
) -> None:  # fmt: skip
    dims.level(canvas, one, left=(-half, y0), right=(half, y0), y=y, label_x=label_x,
               factor=scene.factor, inch=scene.inch, beside=extra[0], below=extra[1])  # fmt: skip


# ---- tolerances and surfaces ---------------------------------------------------------------


def _left(scene: Scene, canvas: Canvas, outside: float) -> None:
    """Datum A, chamfer, bevel and textures to the left, each with a leader."""
    socket, scale = scene.socket, scene.scale
    rows: list[tuple[Label, Point]] = [
        (
            symbols.row(_boxed_letter("A"), symbols.words("mouth face")),
            (-socket.boss_radius_mm * scale, 0.0),
        )
    ]
    chamfer = scene.find("mouth_chamfer")
    if chamfer is not None:
        text = f"{symbols.size_text(chamfer, inch=scene.inch)} {symbols.TIMES} 45°"
        at = (socket.track_bore_radius_mm + chamfer.nominal / 2.0, -chamfer.nominal / 2.0)
        rows.append((symbols.row(symbols.words(text), symbols.balloon(chamfer.number)),
                     (-at[0] * scale, at[1] * scale)))  # fmt: skip
    rows += _weld(scene)
    for one in scene.record.textures:
        spot = _surface(socket, one.feature)
        if spot is not None:
            rows.append((symbols.row(symbols.texture(one), symbols.words(one.feature)),
                         (-spot[0] * scale, -spot[1] * scale)))  # fmt: skip
    rows.sort(key=lambda item: -item[1][1])
    places = spread([p[1] for _, p in rows], [label.height for label, _ in rows])
    for (label, target), place in zip(rows, places, strict=True):
        x = -outside - _REACH_MM - _FAN_MM - label.width
        label.draw(canvas, x, place)
        end = x + label.width + 0.8
        canvas.line((end, place), (end + 2.0, place), target)
        if label is rows[0][0] and target[1] == 0.0:
            continue
        angle = math.degrees(math.atan2(target[1] - place, target[0] - end - 2.0))
        canvas.add(symbols.arrow(target, angle))


def _boxed_letter(letter: str) -> Label:
    return symbols.datum(letter)


def _weld(scene: Scene) -> list[tuple[Label, Point]]:
    weld = scene.socket.weld
    angle, width, land = (scene.find(f"weld_{what}") for what in ("angle", "width", "land"))
    if weld is None or angle is None or width is None or land is None:
        return []
    rise = weld.bevel_width_mm / math.tan(math.radians(weld.bevel_angle_deg))
    end = scene.socket.boss_height_mm
    x = scene.socket.boss_radius_mm - weld.bevel_width_mm / 2.0
    bevel = symbols.stack(
        symbols.row(symbols.words(f"bevel {symbols.size_text(angle, inch=False)}"),
                    symbols.balloon(angle.number)),
        symbols.row(symbols.words(f"width {symbols.size_text(width, inch=scene.inch)}"),
                    symbols.balloon(width.number)),
    )  # fmt: skip
    root = symbols.row(symbols.words(f"land {symbols.size_text(land, inch=scene.inch)}"),
                       symbols.balloon(land.number))  # fmt: skip
    scale = scene.scale
    return [
        (bevel, (-x * scale, -(end - weld.land_mm - rise / 2.0) * scale)),
        (root, (-(x - weld.bevel_width_mm / 2.0) * scale, -(end - weld.land_mm / 2.0) * scale)),
    ]


def _surface(socket: Socket, feature: str) -> tuple[float, float] | None:
    """A point of a surface in the section (radius, depth); None where it is shown elsewhere."""
    if feature == "sealing bore" and socket.seal_radius_mm is not None:
        assert socket.seal_from_mm is not None
        assert socket.seal_to_mm is not None
        return socket.seal_radius_mm, 0.5 * (socket.seal_from_mm + socket.seal_to_mm)
    if feature == "face under the ring":
        return 0.5 * (socket.track_radius_mm + socket.boss_radius_mm), 0.0
    return None
