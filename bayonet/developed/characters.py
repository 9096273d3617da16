"""Characters to sink into a printed face: straight strokes on a seven-bar grid, as polygons.

No font file: the same shapes, and the same bytes, on every machine.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import affinity
from shapely.geometry import MultiPolygon, Polygon

Array = NDArray[np.float64]

# bars of a digit: a top, b upper right, c lower right, d bottom, e lower left, f upper left, g mid
_BARS = {
    "0": "abcdef", "1": "bc", "2": "abged", "3": "abgcd", "4": "fgbc", "5": "afgcd",
    "6": "afgedc", "7": "abc", "8": "abcdefg", "9": "abgfcd",
}  # fmt: skip
_WIDTH_SHARE = 0.6
_GAP_SHARE = 0.2


@dataclass(frozen=True, kw_only=True)
class Lettering:
    """How characters are drawn: height and stroke width [mm]."""

    height_mm: float
    stroke_mm: float

    @property
    def width_mm(self) -> float:
        """Width of a digit [mm]."""
        return _WIDTH_SHARE * self.height_mm

    @property
    def island_mm(self) -> float:
        """Least material left standing inside a character, as in an 8 [mm]."""
        return min(
            self.width_mm - 2.0 * self.stroke_mm, (self.height_mm - 3.0 * self.stroke_mm) / 2.0
        )


def strokes(character: str, lettering: Lettering) -> Polygon:
    """One character, centred on the origin, upright.

    Parameters
    ----------
    character : str
        A digit, ``+``, ``-`` or ``.``
    lettering : Lettering

    Returns
    -------
    shapely Polygon
        With holes where the character has them.

    Raises
    ------
    KeyError
        If the character is none of these.

    Examples
    --------
    A 1 is one bar, 5 high and 0.8 wide; a plus sign two bars of 3 that share their middle.

    >>> five = Lettering(height_mm=5.0, stroke_mm=0.8)
    >>> round(strokes("1", five).area, 9), round(strokes("+", five).area, 9)
    (4.0, 4.16)
    """
    half, top, stroke = lettering.width_mm / 2.0, lettering.height_mm / 2.0, lettering.stroke_mm
    if character == "1":
        return _box(-stroke / 2.0, -top, stroke / 2.0, top)
    if character == ".":
        return _box(-stroke / 2.0, -top, stroke / 2.0, stroke - top)
    if character in "+-":
        bars = [_box(-half, -stroke / 2.0, half, stroke / 2.0)]
        if character == "+":
            bars.append(_box(-stroke / 2.0, -half, stroke / 2.0, half))
        return _one(bars)
    low, mid = -top, stroke / 2.0
    bar = {
        "a": _box(-half, top - stroke, half, top),
        "b": _box(half - stroke, -mid, half, top),
        "c": _box(half - stroke, low, half, mid),
        "d": _box(-half, low, half, low + stroke),
        "e": _box(-half, low, stroke - half, mid),
        "f": _box(-half, -mid, stroke - half, top),
        "g": _box(-half, -mid, half, mid),
    }
    return _one([bar[name] for name in _BARS[character]])


def along_arc(text: str, lettering: Lettering, *, radius_mm: float) -> tuple[Polygon, ...]:
    """A text round the origin, its middle at 12 o'clock, tops outwards, one polygon a character.

    Parameters
    ----------
    text : str
    lettering : Lettering
    radius_mm : float
        Of the circle through the middles of the characters [mm], more than half their height.

    Returns
    -------
    tuple of shapely Polygon
    """
    shapes = [strokes(character, lettering) for character in text]
    widths = [shape.bounds[2] - shape.bounds[0] for shape in shapes]
    gap = _GAP_SHARE * lettering.height_mm
    at = -(sum(widths) + gap * (len(text) - 1)) / 2.0
    inner = radius_mm - lettering.height_mm / 2.0  # where neighbours come nearest
    placed = []
    for shape, width in zip(shapes, widths, strict=True):
        angle = -math.degrees((at + width / 2.0) / inner)
        upright = affinity.translate(shape, 0.0, radius_mm)
        placed.append(shapely.normalize(affinity.rotate(upright, angle, origin=(0.0, 0.0))))
        at += width + gap
    return tuple(placed)


def _box(left: float, bottom: float, right: float, top: float) -> Polygon:
    return shapely.box(left, bottom, right, top)


def _one(bars: list[Polygon]) -> Polygon:
    """Bars united, corners that lie on a straight line dropped."""
    union = shapely.unary_union(bars)
    assert not isinstance(union, MultiPolygon), "the bars of a character touch"
    return shapely.normalize(shapely.simplify(union, 0.0))
