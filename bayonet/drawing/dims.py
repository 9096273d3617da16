"""Dimensions as they look: lines, arrows and text round what they measure."""

from __future__ import annotations

import math
from typing import Literal

from bayonet.dimensions import Dimension
from bayonet.drawing import symbols
from bayonet.drawing.canvas import Canvas, Filled, Measure, Point, Round, Stroke, Word
from bayonet.drawing.lettering import SMALL_MM
from bayonet.drawing.symbols import Label

_BEYOND_MM = 1.2  # extension line beyond the dimension line
_OFF_MM = 0.8  # gap from the feature
_SHORT_MM = 7.0  # below this, arrows stand outside
_TAIL_MM = 4.0


def _arrows(one: Point, other: Point, towards_deg: float) -> list[Filled | Stroke]:
    """Heads at both ends, inside where there is room."""
    inside = math.dist(one, other) >= _SHORT_MM
    turn = 0.0 if inside else 180.0
    heads: list[Filled | Stroke] = [
        symbols.arrow(one, towards_deg + 180.0 + turn),
        symbols.arrow(other, towards_deg + turn),
    ]
    if not inside:
        cos, sin = math.cos(math.radians(towards_deg)), math.sin(math.radians(towards_deg))
        heads.append(_line((one[0] - _TAIL_MM * cos, one[1] - _TAIL_MM * sin), one))
        heads.append(_line(other, (other[0] + _TAIL_MM * cos, other[1] + _TAIL_MM * sin)))
    return heads


def _line(*points: Point) -> Stroke:
    return Stroke(points=points, layer="DIMENSION")


def level(
    canvas: Canvas,
    one: Dimension,
    *,
    left: Point,
    right: Point,
    y: float,
    label_x: float,
    factor: float,
    inch: bool,
    beside: tuple[Label, ...] = (),
    below: tuple[Label, ...] = (),
) -> None:
    """A level dimension between two points, its text and what belongs to it to the right.

    ``label_x`` is where the text begins; the dimension line goes on to it.
    """
    a, b = (left[0], y), (right[0], y)
    up = 1.0 if y > max(left[1], right[1]) else -1.0
    parts: list[Stroke | Round | Filled] = [
        _line((p[0], p[1] + up * _OFF_MM), (p[0], y + up * _BEYOND_MM)) for p in (left, right)
    ]
    parts += _arrows(a, b, 0.0)
    parts.append(_line(a, b))
    if label_x > right[0]:
        parts.append(_line(b, (label_x - 0.8, y)))
    _measure(
        canvas, one, kind="linear", points=(left, right), line_at=a, parts=parts, factor=factor,
        value=abs(right[0] - left[0]) * factor, at=(label_x, y), inch=inch, beside=beside,
        below=below,
    )  # fmt: skip


def ordinate(
    canvas: Canvas,
    one: Dimension,
    *,
    origin: Point,
    feature: Point,
    reach_x: float,
    label: Point,
    factor: float,
    inch: bool,
    ends_at: float | None = None,
    beside: tuple[Label, ...] = (),
) -> None:
    """A depth from the origin: along the feature to ``reach_x``, then to its label.

    ``ends_at`` is the right end of a label that stands to the left.
    """
    sign = 1.0 if ends_at is None else -1.0
    edge = label[0] if ends_at is None else ends_at
    corner = (reach_x, feature[1])
    end = (edge - sign * 0.8, label[1])
    near = (edge - sign * 3.0, label[1])
    parts: list[Stroke | Round | Filled] = [
        _line((feature[0] + sign * _OFF_MM, feature[1]), corner, near, end)
    ]
    _measure(
        canvas, one, kind="ordinate", points=(origin, feature), line_at=end, parts=parts,
        factor=factor, value=abs(origin[1] - feature[1]) * factor, at=label, inch=inch,
        beside=beside,
    )  # fmt: skip


def angular(
    canvas: Canvas,
    one: Dimension,
    *,
    centre: Point,
    radius: float,
    legs: tuple[float, float],
    leg_from: float,
    label: Point,
    leader_from_deg: float,
    boxed: bool = False,
    beside: tuple[Label, ...] = (),
    below: tuple[Label, ...] = (),
) -> None:
    """An angle, counter-clockwise between two legs [deg], with a leader to its label."""
    start, end = legs
    sweep = end - start
    parts: list[Stroke | Round | Filled] = [
        Round(centre=centre, radius=radius, start_deg=start, end_deg=end, layer="DIMENSION")
    ]
    for leg, turn in ((start, -90.0), (end, 90.0)):
        tip = _polar(centre, radius, leg)
        parts.append(_line(_polar(centre, leg_from, leg), _polar(centre, radius + _BEYOND_MM, leg)))
        if math.radians(sweep) * radius > _SHORT_MM:
            parts.append(symbols.arrow(tip, leg + turn))
        else:
            parts.append(symbols.arrow(tip, leg - turn))
    anchor = _polar(centre, radius, leader_from_deg)
    text = symbols.size_text(one, inch=False)
    wide = _whole(one, text, boxed, beside)
    parts.append(_line(*leader(anchor, label[0], wide, label[1])))
    p1, p2 = _polar(centre, radius, start), _polar(centre, radius, end)
    _measure(
        canvas, one, kind="angular", points=(centre, p1, p2),
        line_at=_polar(centre, radius, (start + end) / 2.0), parts=parts, factor=1.0,
        value=sweep, at=label, inch=False, beside=beside, below=below, boxed=boxed,
    )  # fmt: skip


def leader(anchor: Point, left: float, width: float, y: float) -> tuple[Point, Point, Point]:
    """From a feature to the nearer end of a label that begins at ``left``, its row at ``y``."""
    right = left + width
    if abs(left - anchor[0]) <= abs(right - anchor[0]):
        return anchor, (left - 2.6, y), (left - 0.8, y)
    return anchor, (right + 2.6, y), (right + 0.8, y)


def label_of(
    one: Dimension, *, inch: bool, boxed: bool = False, beside: tuple[Label, ...] = (),
    below: tuple[Label, ...] = (),
) -> Label:  # fmt: skip
    """The room a dimension's text takes, with its balloon and what belongs to it."""
    text = symbols.size_text(one, inch=inch)
    own = symbols.boxed(text) if boxed else symbols.words(text)
    first = symbols.row(own, symbols.after(one), *beside)
    return symbols.stack(first, *below) if below else first


def _whole(one: Dimension, text: str, boxed: bool, beside: tuple[Label, ...]) -> float:
    own = symbols.boxed(text) if boxed else symbols.words(text)
    return symbols.row(own, symbols.after(one), *beside).width


def _measure(
    canvas: Canvas,
    one: Dimension,
    *,
    kind: Literal["linear", "angular", "ordinate"],
    points: tuple[Point, ...],
    line_at: Point,
    parts: list[Stroke | Round | Filled],
    factor: float,
    value: float,
    at: Point,
    inch: bool,
    beside: tuple[Label, ...] = (),
    below: tuple[Label, ...] = (),
    boxed: bool = False,
) -> None:
    """Draw the measure; its first row stands at ``at``, other rows below it."""
    text = symbols.size_text(one, inch=inch)
    own = symbols.boxed(text) if boxed else symbols.words(text)
    pad = (own.width - symbols.words(text).width) / 2.0
    word = Word(text=text, at=(at[0] + pad, at[1]), height=SMALL_MM, layer="DIMENSION")
    if boxed:
        half = 2.8
        parts.append(
            Stroke(points=((at[0], at[1] - half), (at[0] + own.width, at[1] - half),
                           (at[0] + own.width, at[1] + half), (at[0], at[1] + half)),
                   layer="DIMENSION", closed=True)
        )  # fmt: skip
    canvas.add(
        Measure(kind=kind, points=points, line_at=line_at, value=value, factor=factor, word=word,
                parts=tuple(parts), number=one.number)
    )  # fmt: skip
    symbols.row(symbols.after(one), *beside).draw(canvas, at[0] + own.width + 1.4, at[1])
    y = at[1] - symbols.ROW_MM
    for label in below:
        label.draw(canvas, at[0], y)
        y -= label.height


def _polar(centre: Point, radius: float, deg: float) -> Point:
    angle = math.radians(deg)
    return centre[0] + radius * math.cos(angle), centre[1] + radius * math.sin(angle)
