"""The DXF document as SVG and PDF: its own back end draws it, words stay words.

`ezdxf` resolves dimensions, hatches and line types; what it draws is written as SVG in mm, and
Typst sets it on pages. Texts are kept as text, so that they can be searched and read aloud.
"""

from __future__ import annotations

import html
import math
import random
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from typing import Any

from ezdxf.addons.drawing.backend import Backend
from ezdxf.addons.drawing.config import (
    BackgroundPolicy,
    ColorPolicy,
    Configuration,
    HatchPolicy,
    LinePolicy,
)
from ezdxf.addons.drawing.frontend import UniversalFrontend
from ezdxf.addons.drawing.pipeline import RenderPipeline2d
from ezdxf.addons.drawing.properties import RenderContext
from ezdxf.fonts import fonts as ezdxf_fonts
from ezdxf.math import Vec2

from bayonet.drawing.dxf import GAP_MM
from bayonet.drawing.lettering import FAMILY, NARROW, cap_share, fonts_folder
from bayonet.drawing.sheets import Drawing
from bayonet.errors import ExportError

_STAMP = 946_684_800  # 2000-01-01, as in the other files
_INK = "#000"


@dataclass(frozen=True, kw_only=True)
class DrawnText:
    """A text as it is drawn, in mm on the row of sheets."""

    text: str
    x: float
    y: float
    height: float
    turned_deg: float


@dataclass(kw_only=True)
class Strokes:
    """All that a back end was asked to draw: lines with their width, filled shapes, texts."""

    lines: list[tuple[tuple[float, float], tuple[float, float], float, str]] = field(
        default_factory=list
    )
    filled: list[tuple[tuple[float, float], ...]] = field(default_factory=list)
    texts: list[DrawnText] = field(default_factory=list)


def strokes_of(doc: Any, drawing: Drawing) -> Strokes:
    """What the document looks like, in mm on paper, sheets side by side, y upwards."""
    ezdxf_fonts.font_manager.build([str(fonts_folder())], support_dirs=False)
    found = Strokes()
    config = Configuration(
        background_policy=BackgroundPolicy.OFF, color_policy=ColorPolicy.BLACK,
        hatch_policy=HatchPolicy.NORMAL, line_policy=LinePolicy.ACCURATE,
        max_flattening_distance=0.005 / drawing.scale,
    )  # fmt: skip
    pipeline = _Words(_Lines(found, drawing.scale), found, drawing.scale)
    frontend = UniversalFrontend(RenderContext(doc), pipeline, config=config)
    with _same_hatch():
        frontend.draw_layout(doc.modelspace(), finalize=True)
    return found


@contextmanager
def _same_hatch() -> Iterator[None]:
    """The back end moves hatch lines by a random thousandth; let it be the same each time."""
    before = random.getstate()
    random.seed(0)
    try:
        yield
    finally:
        random.setstate(before)


class _Words(RenderPipeline2d):
    """Keeps texts as texts, instead of outlines of their letters."""

    def __init__(self, backend: Backend, found: Strokes, scale: float) -> None:
        super().__init__(backend)
        self._found, self._scale = found, scale

    def draw_text(
        self, text: str, transform: Any, properties: Any, cap_height: float, dxftype: str = "TEXT"
    ) -> None:
        """Note a text where it stands."""
        del properties, dxftype
        start, along = transform.transform((0, 0, 0)), transform.transform((1, 0, 0))
        up = transform.transform((0, 1, 0))
        turned = math.degrees(math.atan2(along.y - start.y, along.x - start.x))
        height = cap_height * math.hypot(up.x - start.x, up.y - start.y)
        scale = self._scale
        self._found.texts.append(
            DrawnText(text=text, x=start.x * scale, y=start.y * scale, height=height * scale,
                      turned_deg=turned)
        )  # fmt: skip


class _Lines(Backend):
    def __init__(self, found: Strokes, scale: float) -> None:
        super().__init__()
        self._found, self._scale = found, scale

    def _layer(self) -> str:
        return self.entity_stack[-1][1].layer if self.entity_stack else ""

    def draw_line(self, start: Vec2, end: Vec2, properties: Any) -> None:
        scale = self._scale
        self._found.lines.append(
            ((start.x * scale, start.y * scale), (end.x * scale, end.y * scale),
             properties.lineweight, self._layer())
        )  # fmt: skip

    def draw_point(self, pos: Vec2, properties: Any) -> None:
        del pos, properties

    def draw_filled_polygon(self, points: Any, properties: Any) -> None:
        del properties
        scale = self._scale
        self._found.filled.append(tuple((p.x * scale, p.y * scale) for p in points.vertices()))

    def draw_filled_paths(self, paths: Iterable[Any], properties: Any) -> None:
        for path in paths:
            points = tuple(path.flattening(distance=self.config.max_flattening_distance))
            scale = self._scale
            self._found.filled.append(tuple((p.x * scale, p.y * scale) for p in points))
        del properties

    def draw_image(self, image_data: Any, properties: Any) -> None:
        del image_data, properties
        raise ExportError("drawing.svg: a drawing holds no images")

    def set_background(self, color: str) -> None:
        del color

    def clear(self) -> None:
        self._found.lines.clear()

    def finalize(self) -> None:
        pass


def svg_of(strokes: Strokes, drawing: Drawing, *, sheet: int | None = None) -> str:
    """One sheet, or all of them one below the other, as SVG in mm.

    Parameters
    ----------
    strokes : Strokes
    drawing : Drawing
    sheet : int or None
        From 0; None for all.
    """
    chosen = range(len(drawing.sheets)) if sheet is None else [sheet]
    width = max(drawing.sheets[n].width for n in chosen)
    height = sum(drawing.sheets[n].height for n in chosen)
    parts, top = [], 0.0
    for number in chosen:
        parts.append(_one_sheet(strokes, drawing, number, top))
        top += drawing.sheets[number].height
    body = "\n".join(parts)
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width:g}mm" height="{height:g}mm"'
        f' viewBox="0 0 {width:g} {height:g}">\n'
        f'<rect width="{width:g}" height="{height:g}" fill="#fff"/>\n{body}\n</svg>\n'
    )


def _one_sheet(strokes: Strokes, drawing: Drawing, number: int, top: float) -> str:
    left = sum(one.width + GAP_MM for one in drawing.sheets[:number])
    sheet = drawing.sheets[number]
    low, high = left - GAP_MM / 2.0, left + sheet.width + GAP_MM / 2.0

    def there(point: tuple[float, float]) -> str:
        return f"{point[0] - left:.3f} {top + sheet.height - point[1]:.3f}"

    by_width: dict[float, set[str]] = {}  # hatch lines come in no fixed order
    for one, other, weight, _ in strokes.lines:
        if low < one[0] < high:
            by_width.setdefault(round(weight, 3), set()).add(f"M{there(one)}L{there(other)}")
    parts = [
        f'<path d="{"".join(sorted(runs))}" fill="none" stroke="{_INK}" stroke-width="{weight:g}"'
        ' stroke-linecap="round"/>'
        for weight, runs in sorted(by_width.items())
    ]
    runs = [
        "M" + "L".join(there(p) for p in points) + "Z"
        for points in strokes.filled
        if points and low < points[0][0] < high
    ]
    if runs:
        parts.append(f'<path d="{"".join(runs)}" fill="{_INK}"/>')
    for word in strokes.texts:
        if low < word.x < high:
            size = word.height / cap_share()
            turn = f" rotate({-word.turned_deg:g})" if abs(word.turned_deg) > 1e-6 else ""
            parts.append(
                f'<text transform="translate({there((word.x, word.y))}){turn} scale({NARROW} 1)"'
                f' font-family="{FAMILY}" font-size="{size:.3f}" fill="{_INK}"'
                f' xml:space="preserve">{html.escape(word.text)}</text>'
            )
    return "\n".join(parts)


def pdf_of(strokes: Strokes, drawing: Drawing, *, title: str) -> bytes:
    """The sheets as pages of their own size.

    Raises
    ------
    ExportError
        If the pages cannot be set.
    """
    import typst

    pages, files = [], {}
    for number, sheet in enumerate(drawing.sheets):
        name = f"sheet{number}.svg"
        files[name] = svg_of(strokes, drawing, sheet=number).encode("utf-8")
        pages.append(
            f"#page(width: {sheet.width:g}mm, height: {sheet.height:g}mm, margin: 0mm)"
            f'[#image("{name}", width: 100%)]'
        )
    escaped = "".join(f"\\{c}" if c in '\\"' else c for c in " ".join(title.split()))
    head = f'#set document(title: "{escaped}", date: none)'
    source = {"main.typ": "\n".join([head, *pages]).encode("utf-8"), **files}
    try:
        made = typst.compile(  # type: ignore[call-overload]  # its stubs know no dict of files
            source, font_paths=[str(fonts_folder())], ignore_system_fonts=True, timestamp=_STAMP
        )
    except Exception as error:  # the binding has no exception of its own to name
        raise ExportError(f"drawing.pdf: the pages could not be set: {error}") from error
    assert isinstance(made, bytes)
    return made
