"""Sheets as a DXF document: true dimensions, layers by kind, part size at scale 1, same bytes.

Everything is written at the size of the part: views at the drawing's scale have their true size,
the frame is as much larger. Details have a factor of their own in their dimensions.
"""

from __future__ import annotations

import io
import math
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

import ezdxf
from ezdxf import filemanagement
from ezdxf.enums import TextEntityAlignment

from bayonet.drawing.canvas import (
    Filled,
    Hatched,
    Item,
    Measure,
    Point,
    Round,
    Stroke,
    Word,
)
from bayonet.drawing.lettering import FONT_FILE, NARROW, SMALL_MM
from bayonet.drawing.sheets import Drawing

_WEIGHTS = {
    "OUTLINE": 50, "HIDDEN": 25, "CENTRE": 18, "HATCH": 13, "DIMENSION": 18, "TOLERANCE": 25,
    "TEXT": 25, "FRAME": 50, "SECTION": 50,
}  # fmt: skip
"""Line widths [0.01 mm] (ISO 128-2: wide 0.5, narrow half of it or less)."""

_LINES = {
    "HIDDEN": ("Dashed narrow, ISO 128-2 02.1", [4.0, 3.0, -1.0]),
    "CENTRE": ("Long dash dot narrow, ISO 128-2 04.1", [9.0, 6.0, -1.0, 1.0, -1.0]),
}
_OPTIONS: Any = vars(ezdxf)["options"]  # an object the package does not export by name
_STYLE = "LETTERS"
_HATCH_MM = 2.6
GAP_MM = 20.0
"""Between sheets that lie side by side [mm on paper]."""


def document(drawing: Drawing) -> Any:
    """The drawing as an `ezdxf` document, sheets side by side in model space.

    Parameters
    ----------
    drawing : Drawing

    Returns
    -------
    ezdxf.document.Drawing
    """
    with _fixed():
        doc = filemanagement.new("R2010", setup=False, units=4)
    doc.header["$LTSCALE"] = 1.0 / drawing.scale
    for name, (words, pattern) in _LINES.items():
        doc.linetypes.add(name, pattern, description=words)
    for name, weight in _WEIGHTS.items():
        layer = doc.layers.add(name, lineweight=weight, color=7)
        if name in _LINES:
            layer.dxf.linetype = name
    doc.styles.add(_STYLE, font=FONT_FILE).dxf.width = NARROW
    _dimension_style(doc, drawing.scale)
    writer = _Writer(doc, drawing.scale)
    x = 0.0
    for sheet in drawing.sheets:
        writer.origin = (x, 0.0)
        for item in sheet.items:
            writer.put(item)
        x += sheet.width + GAP_MM
    return doc


def text_of(doc: Any) -> bytes:
    """The document as it is written to disk: the same bytes each time."""
    with _fixed():
        required = doc.classes
        required.add_required_classes(doc.dxfversion)
        required.classes = dict(sorted(required.classes.items()))
        stream = io.StringIO()
        doc.write(stream)
    return stream.getvalue().encode(doc.output_encoding)


@contextmanager
def _fixed() -> Iterator[None]:
    """No clock and no random numbers in the file's head."""
    before = _OPTIONS.write_fixed_meta_data_for_testing
    _OPTIONS.write_fixed_meta_data_for_testing = True
    try:
        yield
    finally:
        _OPTIONS.write_fixed_meta_data_for_testing = before


def _dimension_style(doc: Any, scale: float) -> None:
    style = doc.dimstyles.new("SHOP")
    style.dxf.dimtxsty = _STYLE
    style.dxf.dimscale = 1.0 / scale
    style.dxf.dimtxt = SMALL_MM
    style.dxf.dimasz = SMALL_MM
    style.dxf.dimexe = 1.2
    style.dxf.dimexo = 0.8
    style.dxf.dimtad = 0
    style.dxf.dimtih = 1
    style.dxf.dimtoh = 1
    style.dxf.dimtmove = 2
    style.dxf.dimdec = 3


class _Writer:
    """Puts items into model space, or into a dimension's own block."""

    def __init__(self, doc: Any, scale: float) -> None:
        self.doc, self.size = doc, 1.0 / scale
        self.space = doc.modelspace()
        self.origin: Point = (0.0, 0.0)

    def at(self, point: Point) -> Point:
        """Paper to part size."""
        return (
            (point[0] + self.origin[0]) * self.size,
            (point[1] + self.origin[1]) * self.size,
        )

    def put(self, item: Item, space: Any = None) -> None:
        space = self.space if space is None else space
        match item:
            case Word():
                self._word(item, space)
            case Stroke():
                self._stroke(item, space)
            case Round():
                self._round(item, space)
            case Filled():
                points = [self.at(point) for point in item.points]
                if len(points) <= 4:
                    space.add_solid(_solid(points), dxfattribs={"layer": item.layer})
            case Hatched():
                self._hatch(item, space)
            case Measure():
                self._measure(item)

    def _word(self, word: Word, space: Any) -> None:
        align = {
            "left": TextEntityAlignment.MIDDLE_LEFT,
            "middle": TextEntityAlignment.MIDDLE_CENTER,
            "right": TextEntityAlignment.MIDDLE_RIGHT,
        }[word.side]
        entity = space.add_text(
            word.text, height=word.height * self.size,
            dxfattribs={"layer": word.layer, "style": _STYLE, "width": NARROW},
        )  # fmt: skip
        entity.set_placement(self.at(word.at), align=align)

    def _stroke(self, stroke: Stroke, space: Any) -> None:
        points = [self.at(point) for point in stroke.points]
        look = {"layer": stroke.layer}
        if len(points) == 2 and not stroke.closed:
            space.add_line(points[0], points[1], dxfattribs=look)
        else:
            space.add_lwpolyline(points, close=stroke.closed, dxfattribs=look)

    def _round(self, arc: Round, space: Any) -> None:
        look = {"layer": arc.layer}
        centre, radius = self.at(arc.centre), arc.radius * self.size
        if arc.end_deg - arc.start_deg >= 360.0 - 1e-9:
            space.add_circle(centre, radius, dxfattribs=look)
        else:
            space.add_arc(centre, radius, arc.start_deg, arc.end_deg, dxfattribs=look)

    def _hatch(self, item: Hatched, space: Any) -> None:
        hatch = space.add_hatch(dxfattribs={"layer": item.layer})
        hatch.set_pattern_fill("ANSI31", scale=_HATCH_MM / 3.175 * self.size)
        for number, loop in enumerate(item.loops):
            flags = 1 if number == 0 else 16
            hatch.paths.add_polyline_path(
                [self.at(point) for point in loop], is_closed=True, flags=flags
            )

    def _measure(self, item: Measure) -> None:
        """A dimension whose block is the one drawn here, so every program shows the same."""
        look = {"layer": item.layer}
        points = [self.at(point) for point in item.points]
        base = self.at(item.line_at)
        factor = item.factor / self.size if item.kind != "angular" else 1.0
        override = {"dimlfac": factor}
        if item.kind == "linear":
            made = self.space.add_linear_dim(
                base=base, p1=points[0], p2=points[1], angle=item.angle_deg, dimstyle="SHOP",
                override=override, dxfattribs=look,
            )  # fmt: skip
        elif item.kind == "ordinate":
            offset = (base[0] - points[1][0], base[1] - points[1][1])
            made = self.space.add_ordinate_y_dim(
                feature_location=points[1], offset=offset, origin=points[0], dimstyle="SHOP",
                override=override, dxfattribs=look,
            )  # fmt: skip
        else:
            made = self.space.add_angular_dim_3p(
                base=base,
                center=points[0],
                p1=points[1],
                p2=points[2],
                dimstyle="SHOP",
                dxfattribs=look,
            )
        made.commit()
        entity = made.dimension
        left, low, right, high = item.word.box()
        entity.dxf.text = item.word.text
        entity.dxf.text_midpoint = (*self.at(((left + right) / 2.0, (low + high) / 2.0)), 0.0)
        entity.dxf.dimtype = entity.dxf.dimtype | 32 | 128
        value = item.value if item.kind != "angular" else math.radians(item.value)
        entity.dxf.actual_measurement = value
        block = self.doc.blocks.new_anonymous_block(type_char="D")
        for part in (*item.parts, item.word):
            self.put(part, block)
        entity.dxf.geometry = block.name


def _solid(points: list[Point]) -> list[Point]:
    """Corners in the order SOLID wants: the last two crossed."""
    return points if len(points) == 3 else [points[0], points[1], points[3], points[2]]
