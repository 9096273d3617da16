"""The developed track as a dimensioned view: slot, roof, floor and stop unrolled at the wall.

Seen from the axis, looking outwards, mouth up: a right hand locks to the right, a left hand to
the left.
"""

from __future__ import annotations

import math

from bayonet.developed import contour
from bayonet.dimensions import Dimension
from bayonet.drawing import dims, symbols
from bayonet.drawing.canvas import Canvas, Point, Word, spread
from bayonet.drawing.lettering import USUAL_MM
from bayonet.drawing.scene import SCALES, Scene, scale_text, title
from bayonet.parts import Track

_LEVEL_MM = 8.0
_LONG_MM, _DEEP_MM = 150.0, 90.0
_FAN_MM = 10.0


def developed(scene: Scene, *, tracks: tuple[int, ...]) -> Canvas:
    """The first of some tracks that are alike, unrolled; angles are arcs at its wall."""
    canvas = Canvas()
    view = _View(scene, tracks[0])
    shape = contour.of_track(view.track).polygon(view.track.outer_radius_mm)
    points = [view.at(float(angle), float(depth)) for angle, depth in shape]
    canvas.line(*points, layer="OUTLINE", closed=True)
    ends = sorted(x for x, _ in points)
    canvas.line((ends[0] - 6.0, 0.0), (ends[-1] + 6.0, 0.0), layer="OUTLINE")
    low = min(y for _, y in points)
    canvas.line(view.at(0.0, 0.0), (0.0, low - 3.0), layer="CENTRE")
    _depths(view, canvas, ends)
    _angles(view, canvas, ends, low)
    _roof(view, canvas, ends)
    names = ("Track " if len(tracks) == 1 else "Tracks ") + ", ".join(map(str, tracks))
    title(canvas, f"{names} unrolled at Ø{2 * view.track.outer_radius_mm:.2f},"
                  f" seen from the axis  ({scale_text(view.scale)})")  # fmt: skip
    left, bottom, right, _ = canvas.bounds()
    way = "to the right" if scene.socket.sign < 0 else "to the left"
    canvas.add(Word(text=f"locks {way}; mouth face at the top", side="middle", height=USUAL_MM,
                    at=((left + right) / 2.0, bottom - 4.0)))  # fmt: skip
    return canvas


class _View:
    """Maps (angle towards lock, depth) to paper; shows each dimension once."""

    def __init__(self, scene: Scene, number: int) -> None:
        self.scene, self.number = scene, number
        self.track: Track = scene.socket.tracks[number - 1]
        self.way = 1.0 if scene.socket.sign < 0 else -1.0
        wall = self.track.outer_radius_mm
        length = math.radians(self.track.reach_deg(wall) + float(self.track.slot.at(wall))) * wall
        depth = max(d for _, d in self.track.floor)
        fits = [s for s in SCALES if s * length <= _LONG_MM and s * depth <= _DEEP_MM]
        self.scale = max([scene.scale, *fits[:1]])
        self.mm_per_deg = math.radians(1.0) * wall * self.scale

    def at(self, angle: float, depth: float) -> Point:
        return self.way * angle * self.mm_per_deg, -depth * self.scale

    def find(self, key: str) -> Dimension | None:
        one = self.scene.record.find(key, track=self.number)
        if one is None or one.number in self.scene.shown:
            return None
        self.scene.shown.add(one.number)
        return one


def _depths(view: _View, canvas: Canvas, ends: list[float]) -> None:
    """Roof and floor at the stop, detent and slot's top, beyond the stop."""
    track, wall = view.track, view.track.outer_radius_mm
    end = track.reach_deg(wall)
    rows = [
        (one, view.at(end, depth))
        for one, depth in (
            (view.find("track_roof_depth"), track.roof[-1][1]),
            (view.find("track_floor_depth"), track.floor[-1][1]),
        )
        if one is not None
    ]
    labels = [dims.label_of(one, inch=view.scene.inch) for one, _ in rows]
    places = spread([p[1] for _, p in rows], [label.height for label in labels])
    side = view.way
    edge = ends[-1] if side > 0 else ends[0]
    over = max(0.0, places[0] + symbols.ROW_MM / 2.0) if places else 0.0
    for (one, feature), label, spot in zip(rows, labels, places, strict=True):
        x = edge + side * (8.0 + _FAN_MM)
        left = x if side > 0 else x - label.width
        dims.ordinate(canvas, one, origin=(feature[0], 0.0), feature=feature,
                      reach_x=edge + side * 7.0, label=(left, spot - over),
                      factor=1.0 / view.scale, inch=view.scene.inch,
                      ends_at=None if side > 0 else x)  # fmt: skip


def _angles(view: _View, canvas: Canvas, ends: list[float], low: float) -> None:
    """Slot above, stop and corners of the roof below, each in degrees of arc at the wall."""
    track, wall = view.track, view.track.outer_radius_mm
    per_mm = 1.0 / view.mm_per_deg
    half, end = float(track.slot.at(wall)), track.reach_deg(wall)
    label_x = ends[-1] + 8.0
    slot = view.find("track_slot_width") if track.slot.is_radial else None
    if slot is not None:
        a, b = sorted((view.at(-half, track.top_mm), view.at(half, track.top_mm)))
        dims.level(canvas, slot, left=a, right=b, y=9.0, label_x=b[0] + 6.0, factor=per_mm,
                   inch=False)  # fmt: skip
    y = low - 10.0
    for one, angle, depth in _below(view, end):
        a, b = sorted((view.at(0.0, -low / view.scale), view.at(angle, depth)))
        dims.level(canvas, one, left=a, right=b, y=y, label_x=label_x, factor=per_mm, inch=False)
        y -= _LEVEL_MM


def _below(view: _View, end: float) -> list[tuple[Dimension, float, float]]:
    record, track = view.scene.record, view.track
    floor = track.floor[-1][1]
    rows = []
    for one in record.dimensions:
        new = one.number not in view.scene.shown
        if one.key == "track_roof_corner" and view.number in one.tracks and new:
            view.scene.shown.add(one.number)
            depth = _roof_at(track, one.nominal)
            rows.append((one, one.nominal, depth))
    stop = view.find("track_stop") if track.end.is_radial else None
    if stop is not None:
        rows.append((stop, end, floor))
    return sorted(rows, key=lambda item: item[1])


def _roof_at(track: Track, angle: float) -> float:
    import numpy as np

    angles, depths = np.array(track.roof).T
    return float(np.interp(angle, angles, depths))


def _roof(view: _View, canvas: Canvas, ends: list[float]) -> None:
    """Lead of the ramp, slope of the floor and the detent, as notes with leaders."""
    track, scene = view.track, view.scene
    (a0, d0), (a1, d1) = track.roof[0], track.roof[1]
    spots: list[tuple[symbols.Label, Point]] = []
    lead = view.find("track_lead")
    if lead is not None:
        rise = math.degrees(math.atan(lead.nominal / (2.0 * math.pi * track.outer_radius_mm)))
        words = symbols.size_text(lead, inch=scene.inch)
        text = f"lead {words} ({rise:.2f}° at the wall)" if lead.nominal else f"level: lead {words}"
        spots.append((symbols.row(symbols.words(text), symbols.balloon(lead.number)),
                      view.at(0.5 * (a0 + a1), 0.5 * (d0 + d1))))  # fmt: skip
    detent = view.find("detent_height")
    if detent is not None and len(track.roof) > 4:
        angle, depth = track.roof[2]
        text = f"detent {symbols.size_text(detent, inch=scene.inch)} high"
        spots.append((symbols.row(symbols.words(text), symbols.balloon(detent.number)),
                      view.at(angle, depth)))  # fmt: skip
    slope = view.find("track_floor_slope")
    if slope is not None:
        text = f"floor slopes {symbols.size_text(slope, inch=False)}, deepest at the bore"
        (start, first), (angle, depth) = track.floor[0], track.floor[-1]
        there = 0.7 * angle
        deep = first + (depth - first) * (there - start) / (angle - start)
        spots.append((symbols.row(symbols.words(text), symbols.balloon(slope.number)),
                      view.at(there, deep)))  # fmt: skip
    for label, target in reversed(spots):
        _above(canvas, label, target, ends)


def _above(canvas: Canvas, label: symbols.Label, target: Point, ends: list[float]) -> None:
    """A note above the view, its leader clear of every word."""
    places = [ends[0] + n * 5.0 for n in range(-4, 40)]
    places.sort(key=lambda left: abs(left - target[0] - 4.0))
    for level in range(12):
        y = 9.0 + level * _LEVEL_MM
        for left in places:
            half = label.height / 2.0
            if not canvas.is_clear((left, y - half, left + label.width, y + half), by=0.5):
                continue
            anchor, near, foot = dims.leader(target, left, label.width, y)
            if canvas.is_free(anchor, near, foot):
                label.draw(canvas, left, y)
                canvas.line(foot, near, anchor)
                angle = math.degrees(math.atan2(anchor[1] - near[1], anchor[0] - near[0]))
                canvas.add(symbols.arrow(anchor, angle))
                return
