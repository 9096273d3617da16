"""Plan of the mouth: slots, clocking, which way it turns to lock, cutting planes, bolt holes."""

from __future__ import annotations

import math

import shapely

from bayonet.dimensions import Dimension
from bayonet.drawing import dims, symbols
from bayonet.drawing.canvas import Canvas, Filled, Measure, Point, Round, Stroke, Word
from bayonet.drawing.lettering import USUAL_MM
from bayonet.drawing.scene import Scene, polar, put_view, scale_text, title
from bayonet.drawing.symbols import Label
from bayonet.parts import Track

_ARC_MM = 7.0
_OUT_MM = 13.0
_STEP_MM = 3.0
_TURNS = (0.0, 6.0, -6.0, 12.0, -12.0, 18.0, -18.0, 26.0, -26.0, 34.0, -34.0, 45.0, -45.0)


def plan(scene: Scene) -> Canvas:
    """The mouth as seen from outside the tank."""
    canvas = Canvas()
    scale = scene.scale
    put_view(canvas, scene.plan, scale=scale)
    outside = _outside(scene)
    for track in scene.socket.tracks:
        _hidden_track(scene, canvas, track)
        canvas.line(polar(0.0, 0.0), polar(outside + _ARC_MM + 2.0, track.centre_deg),
                    layer="CENTRE")  # fmt: skip
    _hand(scene, canvas)
    _planes(scene, canvas, outside)
    _slots(scene, canvas, outside)
    _widths_and_stops(scene, canvas, outside)
    _bolts(scene, canvas, outside)
    _letters(scene, canvas, outside)
    for number, track in enumerate(scene.socket.tracks, 1):
        letter(canvas, _slot_name(track, scale), str(number))
    clock = "clockwise" if scene.socket.sign < 0 else "counter-clockwise"
    hand = "right" if scene.socket.sign < 0 else "left"
    title(canvas, f"Mouth, seen from outside the tank  ({scale_text(scale)})")
    left, low, right, _ = canvas.bounds()
    text = f"arrow: turns this way to lock, {clock} ({hand} hand)"
    canvas.add(Word(text=text, at=((left + right) / 2.0, low - 4.0), height=USUAL_MM,
                    side="middle"))  # fmt: skip
    return canvas


def _outside(scene: Scene) -> float:
    socket = scene.socket
    flange = socket.flange.radius_mm if socket.flange else 0.0
    return max(socket.boss_radius_mm, flange) * scene.scale


def _slot_name(track: Track, scale: float) -> Point:
    """Where a slot's number would stand best: within it, beside its centre line."""
    radius = 0.5 * (track.inner_radius_mm + track.outer_radius_mm) * scale
    across = math.degrees(3.0 / max(radius, 3.0))
    return polar(radius, track.centre_deg + across)


def _core(scene: Scene) -> float:
    """Smallest radius seen in the mouth [mm]."""
    return min(radius for radius, _ in scene.socket.bore)


def _hidden_track(scene: Scene, canvas: Canvas, track: Track) -> None:
    """The track under the mouth face: wall and stop, dashed."""
    sign, scale = scene.socket.sign, scene.scale
    wall, inner = track.outer_radius_mm, track.inner_radius_mm
    start, end = float(track.slot.at(wall)), track.reach_deg(wall)
    theta = sorted(track.centre_deg + sign * angle for angle in (start, end))
    canvas.arc((0.0, 0.0), wall * scale, theta[0], theta[1], layer="HIDDEN")
    count = 2 if track.cut is None and track.end.is_radial else 9
    radii = [inner + (wall - inner) * n / (count - 1) for n in range(count)]
    canvas.line(
        *(polar(r * scale, track.centre_deg + sign * track.reach_deg(r)) for r in radii),
        layer="HIDDEN",
    )


def _hand(scene: Scene, canvas: Canvas) -> None:
    """The arrow that says which way the plug turns to lock."""
    sign = scene.socket.sign
    radius = 0.55 * _core(scene) * scene.scale
    start = scene.socket.tracks[0].centre_deg
    end = start + sign * min(scene.socket.turn_deg, 150.0)
    low, high = sorted((start, end))
    canvas.arc((0.0, 0.0), radius, low, high, layer="SECTION")
    tip = polar(radius, end)
    head = symbols.arrow(tip, end + sign * 90.0)
    canvas.add(Filled(points=head.points, layer="SECTION"))


def _planes(scene: Scene, canvas: Canvas, outside: float) -> None:
    """Ends of the cutting planes, with arrows the way they are looked at."""
    for angle in (scene.slot_deg, scene.stop_deg):
        for theta in (angle, angle + 180.0):
            far = outside + 4.0
            a, b = polar(outside - 1.0, theta), polar(far, theta)
            canvas.line(a, b, layer="SECTION")
            look = polar(6.0, angle + 90.0)
            tip = (b[0] + look[0], b[1] + look[1])
            canvas.line(b, tip, layer="SECTION")
            canvas.add(symbols.arrow(tip, angle + 90.0))


def _letters(scene: Scene, canvas: Canvas, outside: float) -> None:
    """The cutting planes' letters, beside their arrows."""
    for name, angle in (("A", scene.slot_deg), ("B", scene.stop_deg)):
        look = polar(6.0, angle + 90.0)
        for theta in (angle, angle + 180.0):
            far = polar(outside + 4.0, theta)
            letter(canvas, (far[0] + look[0], far[1] + look[1]), name)


def letter(canvas: Canvas, near: Point, text: str) -> None:
    """A letter at the nearest place where nothing stands."""
    for ring in range(0, 60):
        for turn in range(0, 360, 30):
            angle = math.radians(turn)
            at = near[0] + ring * math.cos(angle), near[1] + ring * math.sin(angle)
            box = Word(text=text, at=at, height=USUAL_MM, side="middle").box()
            if canvas.is_clear(box, by=0.4):
                canvas.add(Word(text=text, at=at, height=USUAL_MM, side="middle"))
                return


def place(
    canvas: Canvas, label: Label, *, radius: float, theta: float, anchor: Point, first: float
) -> tuple[float, float] | None:
    """Left end and mid-height of the nearest clear place outside, about a direction [deg].

    A leader from ``anchor`` to its first row, ``first`` wide, must cross no word.
    """
    for ring in range(40):
        for turn in _TURNS:
            angle = theta + turn
            x, y = polar(radius + ring * _STEP_MM, angle)
            lean = math.cos(math.radians(angle))
            left = x - label.width * (1.0 - lean) / 2.0
            half = label.height / 2.0
            box = left, y - half, left + label.width, y + half
            if not canvas.is_clear(box, by=1.0):
                continue
            row = y + half - symbols.ROW_MM / 2.0
            way = dims.leader(anchor, left, first, row)
            own = shapely.box(box[0], box[1], box[2], max(box[1], row - symbols.ROW_MM / 2.0 - 0.1))
            if canvas.is_free(*way) and not own.intersects(shapely.LineString(way)):
                return left, y
    return None


def _slots(scene: Scene, canvas: Canvas, outside: float) -> None:
    """Datum C at slot 1, and the other slots' exact angles from it along one common arc."""
    first = scene.socket.tracks[0].centre_deg
    radius = outside + _ARC_MM
    datum = symbols.datum("C")
    frame = scene.record.control("position_slots")
    _note(canvas, datum, polar(outside + _ARC_MM + 2.0, first), outside + _OUT_MM, first)
    angles = [one.nominal for one in scene.record.dimensions if one.key == "track_centre"]
    canvas.keep_clear(
        Round(centre=(0.0, 0.0), radius=radius, start_deg=first, end_deg=first + max(angles),
              layer="DIMENSION")
    )  # fmt: skip
    for number in range(2, len(scene.socket.tracks) + 1):
        one = scene.find("track_centre", track=number)
        if one is None:
            continue
        below: tuple[Label, ...] = ()
        if number == 2 and frame is not None:
            below = (symbols.frame(frame),)
            scene.shown.add(frame.number)
        theta = first + one.nominal
        _angle(scene, canvas, one, radius, (first, theta), theta, outside + _OUT_MM,
               boxed=True, below=below)  # fmt: skip
    scene.find("track_centre", track=1)  # 0 deg by definition: shown as the datum


def _angle(
    scene: Scene, canvas: Canvas, one: Dimension, radius: float, legs: tuple[float, float],
    theta: float, out: float, *, boxed: bool = False, below: tuple[Label, ...] = (),
) -> None:  # fmt: skip
    label = dims.label_of(one, inch=scene.inch, boxed=boxed, below=below)
    wide = dims.label_of(one, inch=scene.inch, boxed=boxed).width
    at = place(canvas, label, radius=out, theta=theta, anchor=polar(radius, theta), first=wide)
    if at is None:
        scene.shown.discard(one.number)
        return
    top = at[1] + label.height / 2.0 - symbols.ROW_MM / 2.0
    dims.angular(canvas, one, centre=(0.0, 0.0), radius=radius, legs=legs, leg_from=out - 11.0,
                 label=(at[0], top), leader_from_deg=theta, boxed=boxed, below=below)  # fmt: skip


def _note(canvas: Canvas, label: Label, target: Point, radius: float, theta: float) -> None:
    """A label in the nearest clear place, with a leader to its feature."""
    at = place(canvas, label, radius=radius, theta=theta, anchor=target, first=label.width)
    if at is not None:
        label.draw(canvas, *at)
        canvas.line(*dims.leader(target, at[0], label.width, at[1]))


def _widths_and_stops(scene: Scene, canvas: Canvas, outside: float) -> None:
    """Parallel slots in mm, and the lines their stops are parallel to."""
    seen: set[int] = set()
    for number, track in enumerate(scene.socket.tracks, 1):
        if not track.slot.is_radial:
            one = scene.record.find("track_slot_width", track=number)
            if one is not None and one.number not in seen:
                seen.add(one.number)
                scene.find("track_slot_width", track=number)
                _parallel(scene, canvas, one, track, outside)
        if not track.end.is_radial:
            _stop(scene, canvas, number, track, outside, seen)


def _parallel(
    scene: Scene, canvas: Canvas, one: Dimension, track: Track, outside: float
) -> None:  # fmt: skip
    """A slot's width across its centre line, outside the boss."""
    half = track.slot.offset_mm * scene.scale
    along = math.radians(track.centre_deg)
    cos, sin = math.cos(along), math.sin(along)
    wall = track.outer_radius_mm * scene.scale
    reach, base = math.sqrt(max(wall * wall - half * half, 0.0)), outside + 3.5

    def at(depth: float, across: float) -> Point:
        return depth * cos - across * sin, depth * sin + across * cos

    ends = [at(base, side * half) for side in (-1.0, 1.0)]
    label = dims.label_of(one, inch=scene.inch)
    tail = at(base, half + 4.0)
    spot = place(canvas, label, radius=outside + _OUT_MM, theta=track.centre_deg + 14.0,
                 anchor=tail, first=label.width)  # fmt: skip
    if spot is None:
        scene.shown.discard(one.number)
        return
    parts: list[Stroke | Filled] = [
        Stroke(points=(at(reach + 0.8, side * half), at(base + 1.2, side * half)),
               layer="DIMENSION")
        for side in (-1.0, 1.0)
    ]  # fmt: skip
    parts += [
        Stroke(
            points=(ends[0], *dims.leader(tail, spot[0], label.width, spot[1])), layer="DIMENSION"
        ),
        symbols.arrow(ends[0], track.centre_deg - 90.0),
        symbols.arrow(ends[1], track.centre_deg + 90.0),
    ]
    text = symbols.size_text(one, inch=scene.inch)
    canvas.add(
        Measure(kind="linear", points=(at(reach, -half), at(reach, half)), line_at=ends[0],
                angle_deg=track.centre_deg + 90.0, value=2.0 * half * scene.factor,
                factor=scene.factor, word=Word(text=text, at=spot, layer="DIMENSION"),
                parts=tuple(parts), number=one.number)
    )  # fmt: skip
    symbols.after(one).draw(canvas, spot[0] + symbols.words(text).width + 1.4, spot[1])


def _stop(
    scene: Scene, canvas: Canvas, number: int, track: Track, outside: float, seen: set[int]
) -> None:  # fmt: skip
    """A parallel stop: the line it is parallel to, and how far beyond it the face stands."""
    angle = scene.record.find("track_stop", track=number)
    offset = scene.record.find("track_stop_offset", track=number)
    if angle is None or offset is None or offset.number in seen:
        return
    seen.add(offset.number)
    sign = scene.socket.sign
    line = track.centre_deg + sign * track.end.deg
    canvas.line(polar(track.inner_radius_mm * scene.scale * 0.8, line),
                polar(outside + 2.0, line), layer="CENTRE")  # fmt: skip
    wall = track.outer_radius_mm
    mid = 0.5 * (track.inner_radius_mm + wall)
    face = polar(mid * scene.scale, track.centre_deg + sign * track.reach_deg(mid))
    beyond = symbols.row(
        symbols.boxed(symbols.size_text(offset, inch=scene.inch)), symbols.balloon(offset.number),
        symbols.words("beyond the line, parallel"),
    )  # fmt: skip
    scene.find("track_stop_offset", track=number)
    _note(canvas, beyond, face, outside + _OUT_MM, line + sign * 10.0)
    if angle.number not in seen:
        seen.add(angle.number)
        scene.find("track_stop", track=number)
        low, high = sorted((track.centre_deg, line))
        _angle(scene, canvas, angle, outside + 3.0, (low, high), (low + high) / 2.0,
               outside + _OUT_MM)  # fmt: skip


def _bolts(scene: Scene, canvas: Canvas, outside: float) -> None:
    flange = scene.socket.flange
    if flange is None:
        return
    scale = scene.scale
    circle = flange.bolt_circle_radius_mm * scale
    canvas.arc((0.0, 0.0), circle, 0.0, 360.0, layer="CENTRE")
    ring, hole = scene.find("bolt_circle_diameter"), scene.find("bolt_hole_diameter")
    turn = scene.find("bolt_hole_angle")
    for one, theta, words in (
        (hole, 360.0 / flange.bolts, ""),
        (ring, -180.0 / flange.bolts - 4.0, "bolt circle"),
    ):
        if one is None:
            continue
        label = dims.label_of(one, inch=scene.inch)
        if words:
            label = symbols.row(symbols.words(symbols.size_text(one, inch=scene.inch)),
                                symbols.words(words), symbols.balloon(one.number))  # fmt: skip
        else:
            label = symbols.row(symbols.words(symbols.size_text(one, inch=scene.inch)),
                                symbols.balloon(one.number))  # fmt: skip
        reach = circle + (flange.bolt_hole_radius_mm * scale if one is hole else 0.0)
        _note(canvas, label, polar(reach, theta), outside + _OUT_MM, theta)
    if turn is not None:
        canvas.line(polar(circle, 0.0), polar(outside + 5.0, 0.0), layer="CENTRE")
        first = scene.socket.tracks[0].centre_deg % 360.0
        if first > 0.0:
            _angle(scene, canvas, turn, outside + 4.0, (0.0, first), first / 2.0,
                   outside + _OUT_MM)  # fmt: skip
