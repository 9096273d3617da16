"""Labels and symbols of a drawing: balloons, frames of tolerances, datums, texture, edges.

A `Label` is a row or rows of things side by side that is placed as one. Proportions follow ISO
129-1, ISO 1101, ISO 5459, ISO 21920-1, ISO 13715 and ISO 5456-2 (from memory).
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

from bayonet.dimensions import Control, Dimension, Edge, Texture, figure, limits_text
from bayonet.drawing.canvas import Canvas, Filled, Point, Word
from bayonet.drawing.lettering import SMALL_MM, width_mm

BALLOON_MM = 3.1
ARROW_MM = 2.5
_PAD = 1.2
_CELL_MM = 5.6
ROW_MM = 7.2
TIMES = "\u00d7"

_Draw = Callable[[Canvas, float, float], None]


@dataclass(frozen=True)
class Label:
    """Something with a width and height that draws itself from its left end, at mid-height."""

    width: float
    height: float
    draw: _Draw


def row(*labels: Label, gap: float = 1.4) -> Label:
    """Labels side by side."""
    some = [label for label in labels if label.width > 0.0]

    def draw(canvas: Canvas, x: float, y: float) -> None:
        for label in some:
            label.draw(canvas, x, y)
            x += label.width + gap

    width = sum(label.width for label in some) + gap * max(0, len(some) - 1)
    return Label(width, max((label.height for label in some), default=0.0), draw)


def stack(*labels: Label) -> Label:
    """Labels one below the other, left ends in line; mid-height is that of all together."""
    total = sum(label.height for label in labels)

    def draw(canvas: Canvas, x: float, y: float) -> None:
        top = y + total / 2.0
        for label in labels:
            label.draw(canvas, x, top - label.height / 2.0)
            top -= label.height

    return Label(max(label.width for label in labels), total, draw)


def words(text: str, height: float = SMALL_MM) -> Label:
    """A text as a label."""

    def draw(canvas: Canvas, x: float, y: float) -> None:
        canvas.add(Word(text=text, at=(x, y), height=height))

    return Label(width_mm(text, height), max(ROW_MM * height / SMALL_MM, ROW_MM) - 0.4, draw)


def balloon(number: int) -> Label:
    """A number in a circle."""

    def draw(canvas: Canvas, x: float, y: float) -> None:
        centre = (x + BALLOON_MM, y)
        canvas.arc(centre, BALLOON_MM, 0.0, 360.0, "TEXT")
        canvas.add(Word(text=str(number), at=centre, side="middle"))

    return Label(2.0 * BALLOON_MM, ROW_MM, draw)


def size_text(one: Dimension, *, inch: bool) -> str:
    """The text of a dimension as it stands on the drawing."""
    places = f"{one.places}{TIMES} " if one.places > 1 else ""
    text = f"{places}{figure(one, inch=inch)}"
    if one.status == "reference":
        return f"({text})"
    return f"{text} {limits_text(one, inch=inch)}".rstrip()


def after(one: Dimension) -> Label:
    """What follows a dimension's text: the envelope's E in its circle, and the balloon."""
    envelope = circled("E") if one.envelope else Label(0.0, 0.0, lambda *_: None)
    return row(envelope, balloon(one.number))


def circled(letter: str) -> Label:
    """A modifier in a circle (ISO 14405-1); no typeface at hand has the sign."""
    size = 2.2

    def draw(canvas: Canvas, x: float, y: float) -> None:
        canvas.arc((x + size, y), size, 0.0, 360.0, "TOLERANCE")
        canvas.add(Word(text=letter, at=(x + size, y), side="middle", layer="TOLERANCE"))

    return Label(2.0 * size, ROW_MM, draw)


def frame(control: Control) -> Label:
    """A tolerance frame (ISO 1101), drawn as lines; its balloon beside it."""
    zone = f"{'Ø' if control.diametral else ''}{zone_text(control)}"
    cells = [zone, *control.datums]
    widths = [_CELL_MM] + [max(_CELL_MM, width_mm(cell, SMALL_MM) + 2.0 * _PAD) for cell in cells]
    places = f"{control.places}{TIMES}" if control.places > 1 else ""
    before = words(places) if places else Label(0.0, 0.0, lambda *_: None)

    def draw(canvas: Canvas, x: float, y: float) -> None:
        half = _CELL_MM / 2.0
        canvas.line((x, y - half), (x + sum(widths), y - half), (x + sum(widths), y + half),
                    (x, y + half), layer="TOLERANCE", closed=True)  # fmt: skip
        _characteristic(canvas, control.characteristic, (x + half, y))
        left = x + widths[0]
        for cell, width in zip(cells, widths[1:], strict=True):
            canvas.line((left, y - half), (left, y + half), layer="TOLERANCE")
            canvas.add(Word(text=cell, at=(left + width / 2.0, y), side="middle",
                            layer="TOLERANCE"))  # fmt: skip
            left += width

    return row(before, Label(sum(widths), ROW_MM, draw), balloon(control.number))


def zone_text(control: Control) -> str:
    """Width of the zone, rounded down so that rounding never widens it."""
    return f"{math.floor(control.zone_mm * 1000.0 + 1e-6) / 1000.0:.3f}".rstrip("0").rstrip(".")


def boxed(text: str) -> Label:
    """A theoretically exact dimension."""
    width = width_mm(text, SMALL_MM) + 2.0 * _PAD

    def draw(canvas: Canvas, x: float, y: float) -> None:
        half = _CELL_MM / 2.0
        canvas.line((x, y - half), (x + width, y - half), (x + width, y + half), (x, y + half),
                    layer="TOLERANCE", closed=True)  # fmt: skip
        canvas.add(Word(text=text, at=(x + width / 2.0, y), side="middle"))

    return Label(width, ROW_MM, draw)


def datum(letter: str) -> Label:
    """A datum's letter in its box, with the triangle on the left that stands on the feature."""
    size = 2.6

    def draw(canvas: Canvas, x: float, y: float) -> None:
        canvas.add(Filled(points=((x, y - size / 2), (x, y + size / 2), (x + size * 0.87, y)),
                          layer="TOLERANCE"))  # fmt: skip
        left = x + size * 0.87 + 1.6
        canvas.line((x + size * 0.87, y), (left, y), layer="TOLERANCE")
        half = _CELL_MM / 2.0
        canvas.line((left, y - half), (left + _CELL_MM, y - half), (left + _CELL_MM, y + half),
                    (left, y + half), layer="TOLERANCE", closed=True)  # fmt: skip
        canvas.add(Word(text=letter, at=(left + half, y), side="middle", layer="TOLERANCE"))

    return Label(size * 0.87 + 1.6 + _CELL_MM, ROW_MM, draw)


def texture(one: Texture) -> Label:
    """The symbol for a surface with metal taken off, and its greatest value (ISO 21920-1)."""
    text = f"{one.parameter} {one.most_um:g}"
    high, low = 3.4, -2.6
    slope = 1.0 / math.tan(math.radians(60.0))

    def draw(canvas: Canvas, x: float, y: float) -> None:
        foot = (x + (0.0 - low) * slope, y + low)
        mid = (x, y)
        top = (foot[0] + (high - low) * slope, y + high)
        canvas.line(mid, foot, top, (top[0] + width_mm(text, SMALL_MM) + 2.0, y + high),
                    layer="TOLERANCE")  # fmt: skip
        canvas.line(mid, (foot[0] + (0.0 - low) * slope, y), layer="TOLERANCE")
        canvas.add(Word(text=text, at=(top[0] + 0.8, y + 0.9), layer="TOLERANCE"))

    width = (0.0 - low) * slope + (high - low) * slope + width_mm(text, SMALL_MM) + 2.4
    return Label(width, ROW_MM + 1.6, draw)


def edge(one: Edge) -> Label:
    """The symbol of an edge's state with its limits (ISO 13715)."""
    upper = f"{one.high_mm:+.2f}".rstrip("0").rstrip(".") if one.high_mm else "0"
    lower = f"{one.low_mm:+.2f}".rstrip("0").rstrip(".") if one.low_mm else "0"
    text = f"±{one.high_mm:g}" if one.high_mm == -one.low_mm else f"{upper} / {lower}"

    def draw(canvas: Canvas, x: float, y: float) -> None:
        canvas.line((x, y + 2.4), (x, y - 2.4), (x + 4.0, y - 2.4), layer="TOLERANCE")
        canvas.add(Word(text=text, at=(x + 1.6, y + 0.6), layer="TOLERANCE"))

    return Label(1.6 + width_mm(text, SMALL_MM), ROW_MM, draw)


def arrow(tip: Point, towards_deg: float) -> Filled:
    """An arrow head at a point, pointing in a direction."""
    back, side = math.radians(towards_deg + 180.0), math.radians(9.0)
    feet = tuple(
        (tip[0] + ARROW_MM * math.cos(back + turn), tip[1] + ARROW_MM * math.sin(back + turn))
        for turn in (side, -side)
    )
    return Filled(points=(tip, *feet), layer="DIMENSION")


def _characteristic(canvas: Canvas, kind: str, at: Point) -> None:
    x, y = at
    if kind == "perpendicularity":
        canvas.line((x - 1.5, y - 1.3), (x + 1.5, y - 1.3), layer="TOLERANCE")
        canvas.line((x, y - 1.3), (x, y + 1.6), layer="TOLERANCE")
    elif kind == "coaxiality":
        canvas.arc(at, 1.0, 0.0, 360.0, "TOLERANCE")
        canvas.arc(at, 1.8, 0.0, 360.0, "TOLERANCE")
    else:
        canvas.arc(at, 1.2, 0.0, 360.0, "TOLERANCE")
        canvas.line((x - 2.0, y), (x + 2.0, y), layer="TOLERANCE")
        canvas.line((x, y - 2.0), (x, y + 2.0), layer="TOLERANCE")


def projection(canvas: Canvas, at: Point, *, angle: str) -> None:
    """The truncated cone of ISO 5456-2 (first or third angle), 16 mm wide round a middle."""
    x, y = at
    circle = x + 4.6 if angle == "first" else x - 4.6
    cone = x - 4.6 if angle == "first" else x + 4.6
    small, wide = cone - 3.0, cone + 3.0  # seen from the left in both, the circles show
    wide_half, small_half = 2.8, 1.5
    canvas.line((wide, y - wide_half), (wide, y + wide_half), (small, y + small_half),
                (small, y - small_half), layer="FRAME", closed=True)  # fmt: skip
    canvas.arc((circle, y), wide_half, 0.0, 360.0, "FRAME")
    canvas.arc((circle, y), small_half, 0.0, 360.0, "FRAME")
