"""Sheets: formats, frame with zones, title block, and views packed at a standard scale.

Formats and frame ISO 5457, title block ISO 7200, scales ISO 5455 (from memory).
"""

from __future__ import annotations

import dataclasses
import functools
from collections.abc import Callable
from dataclasses import dataclass
from typing import Literal

from bayonet.drawing import details, plan, section, symbols, tables, track
from bayonet.drawing.canvas import Canvas, Item, Word, moved
from bayonet.drawing.lettering import SMALL_MM, USUAL_MM, width_mm
from bayonet.drawing.scene import SCALES, Scene, scale_text
from bayonet.errors import ExportError

Paper = Literal["a4", "a3", "letter", "tabloid"]
Angle = Literal["first", "third"]

PAPERS: dict[str, tuple[float, float]] = {
    "a4": (297.0, 210.0), "a3": (420.0, 297.0), "letter": (279.4, 215.9),
    "tabloid": (431.8, 279.4),
}  # fmt: skip
"""Width and height, landscape [mm] (ISO 216, ANSI/ASME Y14.1; from memory)."""

_LEFT, _EDGE = 20.0, 10.0
_TITLE_W, _TITLE_H = 180.0, 32.0
_GAP_MM = 7.0
_MOST_SHEETS = 3
_ZONE_MM = 50.0


@dataclass(frozen=True, kw_only=True)
class Sheet:
    """One sheet: its size and all that is on it, the origin at its lower left corner [mm]."""

    width: float
    height: float
    items: tuple[Item, ...]


@dataclass(frozen=True, kw_only=True)
class Drawing:
    """The sheets of one drawing.

    Parameters
    ----------
    sheets : tuple of Sheet
    scale : float
        Of the main views, paper over part.
    shown : frozenset of int
        Numbers of dimensions that stand on a view; all stand in the table.
    """

    sheets: tuple[Sheet, ...]
    scale: float
    shown: frozenset[int]


@dataclass(frozen=True, kw_only=True)
class Head:
    """What the title block says that the design does not."""

    drawn_from: str
    projection: Angle


def composed(scene: Scene, *, paper: Paper, head: Head) -> Drawing:
    """The drawing at the greatest standard scale that keeps it on few sheets.

    Raises
    ------
    ExportError
        If no standard scale fits: the part is too large or too small for the paper.
    """
    fewest: Drawing | None = None
    for scale in SCALES:
        tried = _at_scale(dataclasses.replace(scene, scale=scale, shown=set()), paper, head)
        if tried is None:
            continue
        if len(tried.sheets) <= _MOST_SHEETS:
            return tried
        if fewest is None or len(tried.sheets) < len(fewest.sheets):
            fewest = tried
    if fewest is None:
        raise ExportError(f"drawing.pdf: no scale of ISO 5455 fits the views on {paper}")
    return fewest


def _at_scale(scene: Scene, paper: Paper, head: Head) -> Drawing | None:
    width, height = PAPERS[paper]
    room = (width - _LEFT - _EDGE - 4.0, height - 2.0 * _EDGE - 4.0)
    rows_each = int((room[1] - 12.0) / 5.0) - 1
    makers: list[Callable[[], Canvas | None]] = [
        lambda: section.through_slot(scene),
        lambda: plan.plan(scene),
        lambda: section.at_stop(scene),
        *(functools.partial(track.developed, scene, tracks=some) for some in _alike(scene)),
        lambda: details.lead_in(scene),
        lambda: details.corner(scene),
        lambda: details.isometric(scene),
        lambda: tables.notes(scene),
    ]
    blocks: list[Canvas] = []
    for make in makers:
        block = make()
        if block is None:
            continue
        left, low, right, high = block.bounds()
        if right - left > room[0] or high - low > room[1]:
            return None
        blocks.append(block)
    last = tables.table(scene, rows_each=rows_each)
    pages = _packed(blocks, last, room)
    if pages is None:
        return None
    sheets = tuple(
        Sheet(width=width, height=height,
              items=(*items, *_frame(scene, paper, head, number, len(pages))))
        for number, items in enumerate(pages, 1)
    )  # fmt: skip
    return Drawing(sheets=sheets, scale=scene.scale, shown=frozenset(scene.shown))


def _alike(scene: Scene) -> list[tuple[int, ...]]:
    """Tracks whose dimensions are all alike, together."""
    found: dict[tuple[int, ...], tuple[int, ...]] = {}
    for number in range(1, len(scene.socket.tracks) + 1):
        own = tuple(
            one.number for one in scene.record.dimensions
            if number in one.tracks and one.key != "track_centre"
        )  # fmt: skip
        found[own] = (*found.get(own, ()), number)
    return list(found.values())


def _packed(
    blocks: list[Canvas], last: list[Canvas], room: tuple[float, float]
) -> list[list[Item]] | None:
    """Each block at the highest, then leftmost free place; ``last`` ones do not go back a page."""
    pages: list[list[Item]] = []
    taken: list[list[tuple[float, float, float, float]]] = []
    keep_out = (room[0] - _TITLE_W - 1.0, 0.0, room[0] + 3.0, _TITLE_H + 3.0)
    first = 0
    for number, block in enumerate([*blocks, *last]):
        left, low, right, high = block.bounds()
        wide, tall = right - left, high - low
        if wide > room[0] or tall > room[1]:
            return None
        spot, page = None, first if number >= len(blocks) else 0
        while spot is None:
            if page == len(pages):
                pages.append([])
                taken.append([keep_out])
            spot = _spot(wide, tall, taken[page], room)
            page += 1
            if page > len(pages) + 1:
                return None
            if spot is None and page == len(pages) and taken[-1] == [keep_out]:
                return None
        x, y = spot
        first = page - 1 if number >= len(blocks) else first
        taken[page - 1].append((x, y, x + wide, y + tall))
        dx, dy = _LEFT + 2.0 + x - left, _EDGE + 2.0 + y - low
        pages[page - 1].extend(block.moved(dx, dy))
    return pages


def _spot(
    wide: float, tall: float, taken: list[tuple[float, float, float, float]],
    room: tuple[float, float],
) -> tuple[float, float] | None:  # fmt: skip
    """Lower left corner of a free place: against the edges of what stands there already."""
    tops = sorted({room[1], *(low - _GAP_MM for _, low, _, _ in taken)}, reverse=True)
    lefts = sorted({0.0, *(right + _GAP_MM for _, _, right, _ in taken)})
    for top in tops:
        for x in lefts:
            y = top - tall
            if y < -1e-9 or x + wide > room[0] + 1e-9:
                continue
            if all(
                x >= r + _GAP_MM - 1e-9 or x + wide <= left - _GAP_MM + 1e-9
                or y >= high + _GAP_MM - 1e-9 or top <= low - _GAP_MM + 1e-9
                for left, low, r, high in taken
            ):  # fmt: skip
                return x, y
    return None


# ---- frame and title block -----------------------------------------------------------------


def _frame(scene: Scene, paper: Paper, head: Head, number: int, count: int) -> list[Item]:
    width, height = PAPERS[paper]
    canvas = Canvas()
    left, low, right, high = _LEFT, _EDGE, width - _EDGE, height - _EDGE
    canvas.line((left, low), (right, low), (right, high), (left, high), layer="FRAME", closed=True)
    _zones(canvas, (left, low, right, high))
    x, y = right - _TITLE_W, low
    block = Canvas()
    _title_block(block, scene, paper, head, number, count)
    return [*canvas.items, *(moved(item, x, y) for item in block.items)]


def _zones(canvas: Canvas, box: tuple[float, float, float, float]) -> None:
    """Letters and numbers round the frame, and centring marks."""
    left, low, right, high = box
    columns = max(2, 2 * round((right - left) / _ZONE_MM / 2.0))
    rows = max(2, 2 * round((high - low) / _ZONE_MM / 2.0))
    for n in range(columns):
        a = left + (right - left) * n / columns
        middle = a + (right - left) / columns / 2.0
        for y, out in ((high, 1.0), (low, -1.0)):
            canvas.add(Word(text=str(n + 1), at=(middle, y + out * 3.5), side="middle",
                            layer="FRAME"))  # fmt: skip
            if n:
                canvas.line((a, y), (a, y + out * 5.0), layer="FRAME")
    for n in range(rows):
        b = high - (high - low) * n / rows
        middle = b - (high - low) / rows / 2.0
        for x, out in ((left, -1.0), (right, 1.0)):
            canvas.add(Word(text="ABCDEFGHJK"[n], at=(x + out * 3.5, middle), side="middle",
                            layer="FRAME"))  # fmt: skip
            if n:
                canvas.line((x, b), (x + out * 5.0, b), layer="FRAME")


def _title_block(
    canvas: Canvas, scene: Scene, paper: Paper, head: Head, number: int, count: int
) -> None:
    design = scene.result.design
    w, h = _TITLE_W, _TITLE_H
    canvas.line((0.0, 0.0), (w, 0.0), (w, h), (0.0, h), layer="FRAME", closed=True)
    for y, xs in ((8.0, (60.0, 110.0, 150.0)), (16.0, (60.0, 110.0, 150.0)), (24.0, (150.0,))):
        canvas.line((0.0, y), (w, y), layer="FRAME")
        for x in xs:
            canvas.line((x, y - 8.0), (x, y), layer="FRAME")
    verdict = scene.result.verdict.value
    material = design.spec.service.socket_material or "not given"
    cells = (
        (0.0, 0.0, 60.0, f"drawn from {head.drawn_from}"),
        (60.0, 0.0, 50.0, "owner"),
        (110.0, 0.0, 40.0, f"{paper.upper()}  sheet {number} / {count}"),
        (0.0, 8.0, 60.0, f"material {material}"),
        (60.0, 8.0, 50.0, f"scale {scale_text(scene.scale)}; {'mm [in]' if scene.inch else 'mm'}"),
        (110.0, 8.0, 40.0, f"verdict: {verdict}"),
        (150.0, 8.0, 30.0, f"{head.projection} angle"),
        (0.0, 16.0, 150.0, scene.record.general),
        (150.0, 16.0, 30.0, f"revision {design.revision}"),
    )
    for x, y, wide, text in cells:
        canvas.add(Word(text=_cut(text, wide - 3.0, SMALL_MM), at=(x + 1.5, y + 4.0),
                        layer="FRAME"))  # fmt: skip
    canvas.add(Word(text=_cut(f"Socket: {design.name}", w - 3.0, USUAL_MM), at=(1.5, 28.0),
                    height=USUAL_MM, layer="FRAME"))  # fmt: skip
    symbols.projection(canvas, (165.0, 4.0), angle=head.projection)


def _cut(text: str, width: float, height: float) -> str:
    text = " ".join(text.split())
    if width_mm(text, height) <= width:
        return text
    while text and width_mm(text + "…", height) > width:
        text = text[:-1]
    return text + "…"
