"""A labelled sketch of a plug: three views as plain lines, and a mark for every letter.

Lengths are the plug's own [mm]; y runs up, out of the tank. Nothing is drawn here: whoever draws
gives the marks arrows and letters of a size that can be read.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

import numpy as np

from bayonet.parts import Lug, Plug

Point = tuple[float, float]
Line = Literal["outline", "hidden", "centre", "phantom"]


@dataclass(frozen=True, kw_only=True)
class Stroke:
    """A line or, where closed, an area."""

    points: tuple[Point, ...]
    line: Line = "outline"
    is_closed: bool = False
    of: Literal["", "body", "lug", "groove"] = ""


@dataclass(frozen=True, kw_only=True)
class Mark:
    """Where a letter stands and what it measures.

    ``start`` and ``end`` are the points measured between; the dimension line runs between them
    moved by ``away`` (right, up), beside which the letter stands. A leader has no ``end``: it
    points at ``start`` from ``away``. ``arc_deg`` is the angle of an arc about the origin.
    """

    letter: str
    start: Point
    end: Point | None
    away: Point
    arc_deg: float | None = None


@dataclass(frozen=True, kw_only=True)
class View:
    """One view: its name, lines and marks."""

    name: str
    strokes: tuple[Stroke, ...]
    marks: tuple[Mark, ...]


@dataclass(frozen=True, kw_only=True)
class Sketch:
    """Side, end from outside, and one lug unrolled."""

    views: tuple[View, ...]


def sketch(plug: Plug) -> Sketch:
    """The sketch of a plug.

    Parameters
    ----------
    plug : Plug

    Returns
    -------
    Sketch

    Examples
    --------
    >>> import bayonet
    >>> found = sketch(bayonet.loads(bayonet.starting_file()).plug)
    >>> [view.name for view in found.views][:2]
    ['from the side', 'from outside, through the shoulder']
    """
    return Sketch(views=(_side(plug), _end(plug), _unrolled(plug)))


def _side(plug: Plug) -> View:
    shoulder, thick = plug.shoulder_radius_mm, plug.shoulder_thickness_mm
    nose = plug.nose_depth_mm
    reach = 1.25 * thick
    strokes = [
        _rectangle(-shoulder, 0.0, shoulder, thick, of="body"),
        Stroke(points=_mirrored(_body(plug)), is_closed=True, of="body"),
        *_lugs_from_side(plug),
        *_grooves(plug),
        Stroke(points=((0.0, reach), (0.0, -nose - reach)), line="centre"),
    ]
    return View(name="from the side", strokes=tuple(strokes), marks=tuple(_side_marks(plug)))


def _body(plug: Plug) -> list[Point]:
    """Right half of the body's outline from the shoulder to the nose."""
    groove, rows = plug.ring_groove, list[Point]()
    for step in plug.body:
        rows.append((step.radius_mm, -step.from_depth_mm))
        if (
            groove is not None
            and groove.kind == "radial"
            and step.from_depth_mm <= groove.start_mm < step.to_depth_mm
        ):
            end = min(groove.end_mm, plug.nose_depth_mm)
            rows += [
                (step.radius_mm, -groove.start_mm), (groove.radius_mm, -groove.start_mm),
                (groove.radius_mm, -end), (step.radius_mm, -end),
            ]  # fmt: skip
        rows.append((step.radius_mm, -step.to_depth_mm))
    radius, depth = rows.pop()
    cut = min(plug.nose_chamfer_mm, radius)
    return [*rows, (radius, depth + cut), (radius - cut, depth)]


def _mirrored(half: list[Point]) -> tuple[Point, ...]:
    return (*half, *((-x, y) for x, y in reversed(half)))


def _rectangle(x0: float, y0: float, x1: float, y1: float, **style: object) -> Stroke:
    points = ((x0, y0), (x1, y0), (x1, y1), (x0, y1))
    return Stroke(points=points, is_closed=True, **style)  # type: ignore[arg-type]


def _outer_mm(lug: Lug) -> float:
    return float(lug.outer_radius_mm)


def _flank(lug: Lug, from_centre_deg: float, *, leading: bool = False) -> float:
    """Height of a flank at an angle from the lug's middle, at its outer edge [mm]."""
    at = lug.shape.leading_at if leading else lug.shape.bearing_at
    return -float(at(from_centre_deg, radius_mm=_outer_mm(lug)))


def _lugs_from_side(plug: Plug) -> list[Stroke]:
    """Lugs as seen with the first one at the right; those behind the body are left out."""
    root = plug.lug_body.radius_mm
    found = []
    for lug in plug.lugs:
        at = (lug.centre_deg - plug.lugs[0].centre_deg) % 360.0
        outer = _outer_mm(lug)
        half = float(lug.half.at(outer))
        for edge, side in ((0.0, 1.0), (180.0, -1.0)):
            off = (at - edge + 180.0) % 360.0 - 180.0  # from the outline's edge to its middle
            if abs(off) <= half:
                top, low = (_flank(lug, -plug.sign * off, leading=one) for one in (False, True))
                found.append(_rectangle(side * root, top, side * outer, low, of="lug"))
                break
        else:
            found += _in_front(lug, at, half, plug.sign)
    return found


def _in_front(lug: Lug, at: float, half: float, sign: int) -> list[Stroke]:
    """A lug that stands wholly before the body; nothing where it stands behind."""
    if not half < at < 180.0 - half:
        return []
    outer, angles = _outer_mm(lug), np.linspace(at - half, at + half, 25)
    top = [(outer * _cos(a), _flank(lug, sign * (a - at))) for a in angles]
    low = [(outer * _cos(a), _flank(lug, sign * (a - at), leading=True)) for a in angles]
    return [Stroke(points=(*top, *reversed(low)), is_closed=True, of="lug")]


def _cos(deg: float) -> float:
    return math.cos(math.radians(deg))


def _sin(deg: float) -> float:
    return math.sin(math.radians(deg))


def _grooves(plug: Plug) -> list[Stroke]:
    """A face groove, hidden in the side view."""
    groove = plug.ring_groove
    if groove is None or groove.kind == "radial":
        return []
    low, up = _face(plug)
    return [
        _rectangle(
            side * groove.start_mm, low, side * groove.end_mm, up, line="hidden", of="groove"
        )
        for side in (1.0, -1.0)
    ]


def _face(plug: Plug) -> tuple[float, float]:
    """Open end and bottom of a face groove [mm]."""
    face = 0.0 if plug.groove.kind == "shoulder_face" else -plug.nose_depth_mm
    return face, face + plug.groove.cut_mm


def _side_marks(plug: Plug) -> list[Mark]:
    shoulder, thick, nose = plug.shoulder_radius_mm, plug.shoulder_thickness_mm, plug.nose_depth_mm
    step = 0.3 * shoulder
    lug, first = plug.lugs[0], plug.body[0]
    outer, top, low = _outer_mm(lug), _flank(lug, 0.0), _flank(lug, 0.0, leading=True)

    def across(letter: str, radius: float, y: float, level: float) -> Mark:
        return Mark(letter=letter, start=(-radius, y), end=(radius, y), away=(0.0, level - y))

    def deep(letter: str, depth: float, x: float, place: int) -> Mark:
        left = -shoulder - place * step
        return Mark(letter=letter, start=(-x, 0.0), end=(-x, -depth), away=(left + x, 0.0))

    under, last = -nose - 0.6 * step, plug.body[-1]
    found = [
        across("A", shoulder, thick, thick + step),
        deep("J", -top, outer, 1),
        deep("C", first.to_depth_mm, first.radius_mm, 3 if len(plug.body) > 1 else 2),
        Mark(letter="H", start=(outer, low), end=(outer, top), away=(shoulder - outer + step, 0.0)),
    ]
    levels = [("B", first.radius_mm, first.to_depth_mm), ("F", outer, -low)]
    if len(plug.body) > 1:
        levels.insert(0, ("D", last.radius_mm, nose))
        found.append(deep("E", nose, last.radius_mm, 4))
    for row, (letter, radius, depth) in enumerate(levels):
        found.append(across(letter, radius, -depth, under - row * step))
    found.append(
        Mark(letter="R", start=(0.4 * plug.nose_chamfer_mm - last.radius_mm, -nose), end=None,
             away=(last.radius_mm - shoulder - 0.6 * step, -1.1 * step))
    )  # fmt: skip
    return [*found, *_groove_marks(plug, step)]


def _groove_marks(plug: Plug, step: float) -> list[Mark]:
    groove, shoulder = plug.ring_groove, plug.shoulder_radius_mm
    if groove is None:
        return []
    if groove.kind == "radial":
        start, end, middle = (
            -groove.start_mm,
            -groove.end_mm,
            -(groove.start_mm + groove.end_mm) / 2,
        )
        edge = plug.groove_body.radius_mm
        return [
            Mark(letter="L", start=(-edge, 0.0), end=(-edge, start),
                 away=(edge - shoulder - 2 * step, 0.0)),
            Mark(letter="M", start=(edge, start), end=(edge, end),
                 away=(shoulder - edge + step, 0.0)),
            Mark(letter="K", start=(groove.radius_mm, middle), end=None,
                 away=(shoulder - groove.radius_mm + 2.2 * step, 0.0)),
            Mark(letter="U", start=(groove.radius_mm, end), end=None,
                 away=(shoulder - groove.radius_mm, -plug.nose_depth_mm - end - 1.1 * step)),
        ]  # fmt: skip
    face, bottom = _face(plug)
    level = plug.shoulder_thickness_mm if groove.kind == "shoulder_face" else face
    up = 1.0 if groove.kind == "shoulder_face" else -1.0
    row = 2.0 * step if up > 0 else (1.6 + len(plug.body)) * step
    outer = groove.end_mm
    return [
        Mark(letter="K", start=(-groove.start_mm, face), end=(groove.start_mm, face),
             away=(0.0, level - face + up * row)),
        Mark(letter="M", start=(groove.start_mm, face), end=(outer, face),
             away=(0.0, level - face + up * (row + 0.9 * step))),
        Mark(letter="L", start=(outer, face), end=(outer, bottom),
             away=(shoulder - outer + 1.8 * step, 0.0)),
        Mark(letter="U", start=(outer, bottom), end=None,
             away=(shoulder - outer + 0.2 * step, 0.9 * step if up > 0 else -1.3 * step)),
    ]  # fmt: skip


def _end(plug: Plug) -> View:
    root, shoulder = plug.lug_body.radius_mm, plug.shoulder_radius_mm
    strokes = [_circle(shoulder, line="phantom"), _circle(root, of="body", is_closed=True)]
    for lug in plug.lugs:
        outer = _outer_mm(lug)
        out, inn = float(lug.half.at(outer)), float(lug.half.at(root))
        rim = np.linspace(lug.centre_deg - out, lug.centre_deg + out, 25)
        foot = np.linspace(lug.centre_deg + inn, lug.centre_deg - inn, 25)
        points = [(outer * _cos(a), outer * _sin(a)) for a in rim]
        points += [(root * _cos(a), root * _sin(a)) for a in foot]
        strokes.append(Stroke(points=tuple(points), is_closed=True, of="lug"))
    strokes += [
        Stroke(points=((-1.08 * shoulder, 0.0), (1.08 * shoulder, 0.0)), line="centre"),
        Stroke(points=((0.0, -1.08 * shoulder), (0.0, 1.08 * shoulder)), line="centre"),
    ]
    first = plug.lugs[0]
    outer, half = _outer_mm(first), float(first.half.at(_outer_mm(first)))
    ends = [first.centre_deg - half, first.centre_deg + half]
    low, high = ((outer * _cos(a), outer * _sin(a)) for a in ends)
    far = 1.14 * shoulder - outer
    reach = (far * _cos(first.centre_deg), far * _sin(first.centre_deg))
    lock = first.centre_deg + plug.sign * plug.turn_deg
    turned = 1.36 * shoulder
    marks = (
        Mark(letter="G", start=low, end=high, away=reach),
        Mark(letter="Q", start=(turned * _cos(first.centre_deg), turned * _sin(first.centre_deg)),
             end=(turned * _cos(lock), turned * _sin(lock)), away=(0.0, 0.0),
             arc_deg=plug.sign * plug.turn_deg),
        Mark(letter="T", start=(turned * _cos(lock), turned * _sin(lock)), end=None,
             away=(0.16 * shoulder * _cos(lock), 0.16 * shoulder * _sin(lock))),
        Mark(letter="S", start=_middle_of(plug.lugs[-1]), end=None,
             away=tuple(0.75 * c for c in _middle_of(plug.lugs[-1]))),  # type: ignore[arg-type]
    )  # fmt: skip
    return View(
        name="from outside, through the shoulder", strokes=tuple(strokes), marks=marks
    )  # fmt: skip


def _middle_of(lug: Lug) -> Point:
    at = 0.97 * _outer_mm(lug)
    return at * _cos(lug.centre_deg), at * _sin(lug.centre_deg)


def _circle(radius: float, *, line: Line = "outline", is_closed: bool = False, **of: str) -> Stroke:
    angles = np.linspace(0.0, 360.0, 121)
    points = tuple((radius * _cos(a), radius * _sin(a)) for a in angles)
    return Stroke(points=points, line=line, is_closed=is_closed, **of)  # type: ignore[arg-type]


def _unrolled(plug: Plug) -> View:
    """The first lug at its outer edge; lock lies to the right."""
    lug = plug.lugs[0]
    outer = _outer_mm(lug)
    half = float(lug.half.at(outer))
    angles = np.linspace(-half, half, 25)
    per_deg = math.radians(1.0) * outer
    top = [(per_deg * a, _flank(lug, a)) for a in angles]
    low = [(per_deg * a, _flank(lug, a, leading=True)) for a in angles]
    wide = per_deg * half
    strokes = (
        Stroke(points=((-2.2 * wide, 0.0), (2.2 * wide, 0.0)), line="outline"),
        Stroke(points=(*top, *reversed(low)), is_closed=True, of="lug"),
    )
    inset = 0.9 * wide
    marks = (
        Mark(letter="P1", start=(inset, 0.0), end=(inset, _flank(lug, 0.9 * half)),
             away=(0.6 * wide, 0.0)),
        Mark(letter="P2", start=(-inset, 0.0), end=(-inset, _flank(lug, -0.9 * half)),
             away=(-0.6 * wide, 0.0)),
        Mark(letter="V1", start=(inset, 0.0), end=(inset, _flank(lug, 0.9 * half, leading=True)),
             away=(1.1 * wide, 0.0)),
        Mark(letter="V2", start=(-inset, 0.0), end=(-inset, _flank(lug, -0.9 * half, leading=True)),
             away=(-1.1 * wide, 0.0)),
    )  # fmt: skip
    return View(name="one lug, unrolled; lock lies to the right", strokes=strokes, marks=marks)
