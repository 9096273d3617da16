"""The labelled sketch of a plug as SVG: for the measuring sheet, and for any page that shows one.

Where lines and letters stand comes from `bayonet.measuring`; here they get ink and arrows.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator

from bayonet.measuring import Mark, Sketch, Stroke, View

_INK, _BODY, _LUG, _GROOVE, _DIM = "#1f2a33", "#eceae3", "#a9c3cf", "#d9d4c7", "#7a3b12"
_FILL = {"": "none", "body": _BODY, "lug": _LUG, "groove": _GROOVE}
_DASH = {"outline": "", "hidden": "1.6 1.0", "centre": "5 1 1 1", "phantom": "3.2 1.2"}
_WIDTH = {"outline": 0.5, "hidden": 0.3, "centre": 0.18, "phantom": 0.25}
_ARROW, _LETTER, _BUBBLE = 2.1, 3.7, 2.9
"""Length of an arrow's head, size of a letter and radius of its circle, on a sheet [mm]."""

Place = Callable[[float, float], tuple[float, float]]
"""From a view's own coordinates to the sheet's."""

_SHEET_MM = 176.0
_GAP_MM = 7.0
_CAPTION_MM = 6.0


def sketch_svg(found: Sketch, *, width_mm: float = _SHEET_MM) -> str:
    """The side view with one lug under it, and the end view beside them.

    Parameters
    ----------
    found : Sketch
    width_mm : float
        Of the sheet.

    Returns
    -------
    str
        SVG without fonts of its own; every letter is a text in a circle, with the class
        ``letter`` and its letter as ``data-letter``.
    """
    side, end, lug = found.views
    left = (width_mm - _GAP_MM) * 0.58
    right = width_mm - _GAP_MM - left
    first, high = _placed(side, left)
    below, low = _placed(lug, 0.62 * left)
    beside, tall = _placed(end, right)
    parts = [
        first,
        f'<g transform="translate({0.19 * left:.3f},{high + _GAP_MM:.3f})">{below}</g>',
        f'<g transform="translate({left + _GAP_MM:.3f},0)">{beside}</g>',
    ]
    height = max(high + _GAP_MM + low, tall)
    inside = "\n".join(parts)
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width_mm:.3f}mm" height="{height:.3f}mm"'
        f' viewBox="0 0 {width_mm:.3f} {height:.3f}" font-family="DejaVu Sans, sans-serif">\n'
        f"{inside}\n</svg>\n"
    )


def _placed(view: View, width: float) -> tuple[str, float]:
    """A view drawn into a width, and the height it takes, caption included."""
    x0, y0, x1, y1 = _box(view)
    room = width - 4 * _BUBBLE
    scale = room / (x1 - x0)
    high = (y1 - y0) * scale + 4 * _BUBBLE

    def at(x: float, y: float) -> tuple[float, float]:
        return 2 * _BUBBLE + (x - x0) * scale, 2 * _BUBBLE + (y1 - y) * scale

    lines = [*(_stroke(one, at) for one in view.strokes)]
    for mark in view.marks:
        lines += _mark(mark, at)
    caption = (
        f'<text x="{width / 2:.2f}" y="{high + 3.2:.2f}" font-size="2.9" text-anchor="middle"'
        f' fill="{_INK}">{view.name}</text>'
    )
    return "\n".join([*lines, caption]), high + _CAPTION_MM


def _box(view: View) -> tuple[float, float, float, float]:
    points = [point for stroke in view.strokes for point in stroke.points]
    for mark in view.marks:
        ends = [mark.start, *([] if mark.end is None else [mark.end])]
        points += [(x + mark.away[0], y + mark.away[1]) for x, y in ends]
    xs, ys = [x for x, _ in points], [y for _, y in points]
    return min(xs), min(ys), max(xs), max(ys)


def _stroke(one: Stroke, at: Place) -> str:
    points = " ".join(_pair(at(*point)) for point in one.points)
    tag = "polygon" if one.is_closed else "polyline"
    dash = f' stroke-dasharray="{_DASH[one.line]}"' if _DASH[one.line] else ""
    return (
        f'<{tag} points="{points}" fill="{_FILL[one.of]}" stroke="{_INK}"'
        f' stroke-width="{_WIDTH[one.line]}" stroke-linejoin="round"{dash}/>'
    )


def _pair(point: tuple[float, float]) -> str:
    return f"{point[0]:.3f},{point[1]:.3f}"


def _mark(mark: Mark, place: Place) -> Iterator[str]:
    start = place(*mark.start)
    moved = place(mark.start[0] + mark.away[0], mark.start[1] + mark.away[1])
    if mark.end is None:
        yield _line(moved, start)
        yield _head(moved, start)
        yield _letter(mark.letter, moved)
        return
    if mark.arc_deg is not None:
        yield from _arc(mark, place)
        return
    end = place(*mark.end)
    other = place(mark.end[0] + mark.away[0], mark.end[1] + mark.away[1])
    yield _line(start, moved, thin=True)
    yield _line(end, other, thin=True)
    yield _line(moved, other)
    length = math.dist(moved, other)
    if length > 2.6 * _ARROW + 2 * _BUBBLE:
        yield _head(moved, other)
        yield _head(other, moved)
        yield _letter(mark.letter, ((moved[0] + other[0]) / 2, (moved[1] + other[1]) / 2))
        return
    # too short for a letter between its arrows: arrows from outside, the letter beside them
    out = [(other[i] - moved[i]) / max(length, 1e-9) for i in (0, 1)]
    tail = (other[0] + 2.2 * _ARROW * out[0], other[1] + 2.2 * _ARROW * out[1])
    front = (moved[0] - 2.2 * _ARROW * out[0], moved[1] - 2.2 * _ARROW * out[1])
    yield _line(tail, other)
    yield _line(front, moved)
    yield _head(tail, other)
    yield _head(front, moved)
    yield _letter(mark.letter, (tail[0] + _BUBBLE * out[0], tail[1] + _BUBBLE * out[1]))


def _arc(mark: Mark, place: Place) -> Iterator[str]:
    assert mark.arc_deg is not None
    radius = math.hypot(*mark.start)
    first = math.degrees(math.atan2(mark.start[1], mark.start[0]))
    steps = [first + mark.arc_deg * i / 60 for i in range(61)]
    points = [
        place(radius * math.cos(math.radians(a)), radius * math.sin(math.radians(a))) for a in steps
    ]
    path = " ".join(_pair(point) for point in points)
    yield f'<polyline points="{path}" fill="none" stroke="{_DIM}" stroke-width="0.3"/>'
    yield _head(points[-4], points[-1])
    yield _letter(mark.letter, points[30])


def _line(a: tuple[float, float], b: tuple[float, float], *, thin: bool = False) -> str:
    width = 0.15 if thin else 0.25
    return (
        f'<line x1="{a[0]:.3f}" y1="{a[1]:.3f}" x2="{b[0]:.3f}" y2="{b[1]:.3f}"'
        f' stroke="{_DIM}" stroke-width="{width}"/>'
    )


def _head(tail: tuple[float, float], tip: tuple[float, float]) -> str:
    length = max(math.dist(tail, tip), 1e-9)
    ux, uy = (tip[0] - tail[0]) / length, (tip[1] - tail[1]) / length
    back = (tip[0] - _ARROW * ux, tip[1] - _ARROW * uy)
    half = _ARROW / 5.5
    points = [
        tip,
        (back[0] - half * uy, back[1] + half * ux),
        (back[0] + half * uy, back[1] - half * ux),
    ]
    return f'<polygon points="{" ".join(map(_pair, points))}" fill="{_DIM}"/>'


def _letter(letter: str, at: tuple[float, float]) -> str:
    size = _LETTER if len(letter) == 1 else 0.8 * _LETTER
    return (
        f'<g class="letter" data-letter="{letter}">'
        f'<circle cx="{at[0]:.3f}" cy="{at[1]:.3f}" r="{_BUBBLE}" fill="#ffffff" stroke="{_DIM}"'
        f' stroke-width="0.25"/><text x="{at[0]:.3f}" y="{at[1] + 0.36 * size:.3f}"'
        f' font-size="{size:.2f}" font-weight="bold" text-anchor="middle" fill="{_DIM}">{letter}'
        "</text></g>"
    )
