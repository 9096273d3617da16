"""Where words end up on a sheet: measured, and moved until none lies on another. No drawing."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import combinations

from matplotlib.axes import Axes
from matplotlib.backend_bases import RendererBase
from matplotlib.figure import Figure
from matplotlib.text import Annotation, Text
from matplotlib.transforms import BboxBase

TOUCH_PX = 1.0
"""Boxes of letters have a rim: so much overlap shows no ink on ink."""
_ROUNDS = 40  # moves are small and few; sheets settle in under ten
_GAP_PX = 1.5


@dataclass(frozen=True, kw_only=True)
class Word:
    """A text as it will stand on the sheet, and its box [px]."""

    text: Text
    box: BboxBase
    is_free: bool

    def crosses(self, other: Word) -> bool:
        """Whether the two lie on one another."""
        wide, high = _overlap(self.box, other.box)
        return wide > TOUCH_PX and high > TOUCH_PX


def words(figure: Figure) -> list[Word]:
    """Every text that will show, measured without its arrow; titles and ticks may not move."""
    figure.draw_without_rendering()
    renderer = figure.canvas.get_renderer()  # type: ignore[attr-defined]
    hidden = set(_ticks_out_of_view(figure))
    free = {id(text) for axes in figure.axes for text in axes.texts}
    return [
        Word(text=text, box=_box(text, renderer), is_free=id(text) in free)
        for text in figure.findobj(Text)
        if isinstance(text, Text) and _shows(text) and id(text) not in hidden
    ]


def _box(text: Text, renderer: RendererBase) -> BboxBase:
    """A text's box, with the frame drawn round it but without its arrow."""
    frame = text.get_bbox_patch()
    framed = frame is not None and frame.get_visible() and frame.get_linewidth() > 0.0
    if framed and frame is not None and str(frame.get_edgecolor()) != "none":
        return frame.get_window_extent(renderer)
    return Text.get_window_extent(text, renderer)


def _shows(text: Text) -> bool:
    axes = text.axes
    on = axes is None or (axes.get_visible() and (axes.axison or text in axes.texts))
    return bool(on and text.get_visible() and text.get_text().strip()) and not _is_clipped(text)


def _is_clipped(text: Text) -> bool:
    """Whether it points at something outside its axes, and goes with that."""
    if not (isinstance(text, Annotation) and text.get_annotation_clip() and text.axes is not None):
        return False
    place = text.axes.transData.transform(text.xy)
    return not text.axes.bbox.contains(*place)


def _ticks_out_of_view(figure: Figure) -> Iterator[int]:
    for axes in figure.axes:
        for axis in (axes.xaxis, axes.yaxis):
            low, high = sorted(axis.get_view_interval())
            slack = 1e-9 * (high - low)
            places = [*axis.get_majorticklocs(), *axis.get_minorticklocs()]
            shown = len([at for at in places if low - slack <= at <= high + slack])
            for tick in (*axis.majorTicks, *axis.minorTicks):  # some are kept for later use
                at = tick.get_loc()
                if not (shown and axes.axison and low - slack <= at <= high + slack):
                    yield id(tick.label1)
                    yield id(tick.label2)


def _overlap(one: BboxBase, other: BboxBase) -> tuple[float, float]:
    return (
        min(one.x1, other.x1) - max(one.x0, other.x0),
        min(one.y1, other.y1) - max(one.y0, other.y0),
    )


def crossing(figure: Figure) -> list[tuple[Word, Word]]:
    """Pairs of texts that lie on one another."""
    return list(_crossing(words(figure)))


def _crossing(there: list[Word]) -> Iterator[tuple[Word, Word]]:
    return (pair for pair in combinations(there, 2) if pair[0].crosses(pair[1]))


def off_sheet(figure: Figure) -> list[Word]:
    """Texts that the sheet's edge would cut."""
    sheet = figure.bbox
    return [
        one
        for one in words(figure)
        if one.box.x0 < sheet.x0 - TOUCH_PX or one.box.x1 > sheet.x1 + TOUCH_PX
        or one.box.y0 < sheet.y0 - TOUCH_PX or one.box.y1 > sheet.y1 + TOUCH_PX
    ]  # fmt: skip


def settle(figure: Figure) -> None:
    """Move labels apart, and back onto the sheet, by the least that does it.

    Of two labels the later one moves; a label on a title or a tick moves. Where they cannot part
    within a few rounds they are left as they are: the picture is still right.
    """
    for _ in range(_ROUNDS):
        there = words(figure)
        pair = next((two for two in _crossing(there) if any(one.is_free for one in two)), None)
        if pair is None:
            break
        mover, still = (pair[1], pair[0]) if pair[1].is_free else pair
        _shift(mover.text, *_way_out(mover, still, there, figure.bbox))
    for one in off_sheet(figure):
        if one.is_free:
            _pull(one, figure.bbox)


def _way_out(mover: Word, still: Word, there: list[Word], sheet: BboxBase) -> tuple[float, float]:
    """Pixels right and up that part two words, and cross fewest others; of these the shortest."""
    one, other = mover.box, still.box
    ways = [
        (other.x1 - one.x0 + _GAP_PX, 0.0), (other.x0 - one.x1 - _GAP_PX, 0.0),
        (0.0, other.y1 - one.y0 + _GAP_PX), (0.0, other.y0 - one.y1 - _GAP_PX),
    ]  # fmt: skip

    def cost(way: tuple[float, float]) -> tuple[int, float]:
        moved = Word(text=mover.text, box=one.translated(*way), is_free=True)
        crossed = sum(moved.crosses(word) for word in there if word is not mover)
        off = not (moved.box.x0 > sheet.x0 and moved.box.x1 < sheet.x1
                   and moved.box.y0 > sheet.y0 and moved.box.y1 < sheet.y1)  # fmt: skip
        return crossed + off, abs(way[0]) + abs(way[1])

    return min(ways, key=cost)


def _pull(one: Word, sheet: BboxBase) -> None:
    right = max(sheet.x0 - one.box.x0, 0.0) + min(sheet.x1 - one.box.x1, 0.0)
    up = max(sheet.y0 - one.box.y0, 0.0) + min(sheet.y1 - one.box.y1, 0.0)
    _shift(one.text, right, up)


def _shift(text: Text, right_px: float, up_px: float) -> None:
    """Move a label by pixels, whatever its coordinates are."""
    axes = text.axes
    assert isinstance(axes, Axes)
    transform = text.get_transform()
    x, y = transform.transform(text.get_unitless_position())
    x, y = transform.inverted().transform((x + right_px, y + up_px)).tolist()
    text.set_position((x, y))
