"""What a drawing is made of, and a canvas that knows where its words and lines stand.

All in mm on paper. A canvas is filled by a view, then moved to its place on a sheet.
"""

from __future__ import annotations

import dataclasses
import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from typing import Literal

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from bayonet.drawing.lettering import SMALL_MM, span_mm, width_mm

Point = tuple[float, float]
Layer = Literal[
    "OUTLINE", "HIDDEN", "CENTRE", "HATCH", "DIMENSION", "TOLERANCE", "TEXT", "FRAME", "SECTION"
]
_CHORD_DEG = 4.0


@dataclass(frozen=True, kw_only=True)
class Stroke:
    """A line through points."""

    points: tuple[Point, ...]
    layer: Layer
    closed: bool = False


@dataclass(frozen=True, kw_only=True)
class Round:
    """An arc, counter-clockwise; a circle where its ends are 360 deg apart."""

    centre: Point
    radius: float
    start_deg: float
    end_deg: float
    layer: Layer


@dataclass(frozen=True, kw_only=True)
class Filled:
    """A filled polygon: an arrow head, a datum's triangle."""

    points: tuple[Point, ...]
    layer: Layer


@dataclass(frozen=True, kw_only=True)
class Hatched:
    """A cut face: outer boundary and holes."""

    loops: tuple[tuple[Point, ...], ...]
    layer: Layer = "HATCH"


@dataclass(frozen=True, kw_only=True)
class Word:
    """A text; ``at`` is at the middle of its height, at its left, middle or right."""

    text: str
    at: Point
    height: float = SMALL_MM
    side: Literal["left", "middle", "right"] = "left"
    layer: Layer = "TEXT"

    def box(self) -> tuple[float, float, float, float]:
        """Left, lower, right, upper end [mm]."""
        width = width_mm(self.text, self.height)
        left = self.at[0] - width * {"left": 0.0, "middle": 0.5, "right": 1.0}[self.side]
        low, high = span_mm(self.height)
        return left, self.at[1] + low, left + width, self.at[1] + high


@dataclass(frozen=True, kw_only=True)
class Measure:
    """A true dimension: what it measures, and how it looks.

    Parameters
    ----------
    kind : {"linear", "angular", "ordinate"}
    points : tuple
        Linear: both ends. Angular: vertex, first and second leg. Ordinate: origin, feature.
    line_at : (float, float)
        A point of the dimension line or arc; of an ordinate, the end of its leader.
    angle_deg : float
        Direction of a linear dimension's line.
    value : float
        What the geometry measures on paper, times ``factor`` [the record's unit].
    factor : float
        Record's unit per mm (or deg) on paper.
    word : Word
        Its text.
    parts : tuple
        Lines, arcs and arrow heads that show it.
    number : int
        Of the dimension record.
    """

    kind: Literal["linear", "angular", "ordinate"]
    points: tuple[Point, ...]
    line_at: Point
    angle_deg: float = 0.0
    value: float
    factor: float
    word: Word
    parts: tuple[Stroke | Round | Filled, ...]
    number: int
    layer: Layer = "DIMENSION"


Item = Stroke | Round | Filled | Hatched | Word | Measure


@dataclass(kw_only=True)
class Canvas:
    """Items with the space their words and lines take."""

    items: list[Item] = field(default_factory=list)
    _words: list[BaseGeometry] = field(default_factory=list)
    _lines: list[BaseGeometry] = field(default_factory=list)

    def add(self, *items: Item) -> None:
        """Put items where they say."""
        for item in items:
            self.items.append(item)
            self._note(item)

    def keep_clear(self, item: Stroke | Round) -> None:
        """Leave room for a line that is drawn later."""
        self._note(item)

    def line(self, *points: Point, layer: Layer = "DIMENSION", closed: bool = False) -> None:
        """A line through points."""
        self.add(Stroke(points=tuple(points), layer=layer, closed=closed))

    def arc(
        self, centre: Point, radius: float, start: float, end: float, layer: Layer = "DIMENSION"
    ) -> None:
        """An arc, counter-clockwise [deg]."""
        self.add(Round(centre=centre, radius=radius, start_deg=start, end_deg=end, layer=layer))

    def is_clear(self, box: tuple[float, float, float, float], *, by: float = 0.6) -> bool:
        """Whether no word and no line stands in a box, nor nearer than a distance [mm]."""
        place = shapely.box(box[0] - by, box[1] - by, box[2] + by, box[3] + by)
        return not any(
            bool(shapely.intersects(place, np.array(some, dtype=object)).any())
            for some in (self._words, self._lines)
            if some
        )

    def is_free(self, *points: Point) -> bool:
        """Whether a line through points would cross no word."""
        line = shapely.LineString(points)
        words = np.array(self._words, dtype=object)
        return not (len(words) and bool(shapely.intersects(line, words).any()))

    def bounds(self) -> tuple[float, float, float, float]:
        """Left, lower, right, upper end of all that is drawn [mm]."""
        shapes = np.array([*self._words, *self._lines], dtype=object)
        left, low, right, high = shapely.total_bounds(shapes).tolist()
        return left, low, right, high

    def moved(self, dx: float, dy: float) -> list[Item]:
        """Its items, moved."""
        return [moved(item, dx, dy) for item in self.items]

    def _note(self, item: Item) -> None:
        if isinstance(item, Word):
            if item.text:
                self._words.append(shapely.box(*item.box()))
            return
        if isinstance(item, Measure):
            for part in (*item.parts, item.word):
                self._note(part)
            return
        if isinstance(item, Hatched):
            return
        self._lines.append(shape_of(item))


def shape_of(item: Stroke | Round | Filled) -> BaseGeometry:
    """A line or filled part as shapely geometry; arcs as chords."""
    if isinstance(item, Round):
        count = max(2, math.ceil(abs(item.end_deg - item.start_deg) / _CHORD_DEG) + 1)
        angles = np.radians(np.linspace(item.start_deg, item.end_deg, count))
        x, y = item.centre
        return shapely.LineString(
            np.stack([x + item.radius * np.cos(angles), y + item.radius * np.sin(angles)], axis=1)
        )
    if isinstance(item, Filled):
        return shapely.Polygon(item.points)
    points = item.points
    return shapely.LineString([*points, points[0]] if item.closed else points)


def moved(item: Item, dx: float, dy: float) -> Item:
    """An item somewhere else."""

    def there(point: Point) -> Point:
        return point[0] + dx, point[1] + dy

    def all_there(points: Sequence[Point]) -> tuple[Point, ...]:
        return tuple(there(point) for point in points)

    match item:
        case Word():
            return dataclasses.replace(item, at=there(item.at))
        case Round():
            return dataclasses.replace(item, centre=there(item.centre))
        case Stroke() | Filled():
            return dataclasses.replace(item, points=all_there(item.points))
        case Hatched():
            return dataclasses.replace(item, loops=tuple(all_there(loop) for loop in item.loops))
        case Measure():
            parts = tuple(moved(part, dx, dy) for part in item.parts)
            word = moved(item.word, dx, dy)
            assert isinstance(word, Word)
            return dataclasses.replace(
                item, points=all_there(item.points), line_at=there(item.line_at), word=word,
                parts=parts,  # type: ignore[arg-type]  # moved keeps the kind of each
            )  # fmt: skip


def words_of(items: Iterable[Item]) -> Iterator[Word]:
    """All texts of items, those of dimensions too."""
    for item in items:
        if isinstance(item, Word):
            yield item
        elif isinstance(item, Measure):
            yield item.word


def spread(wanted: Sequence[float], sizes: Sequence[float]) -> list[float]:
    """Places along a line, in falling order, as near to wanted ones as their sizes allow.

    Parameters
    ----------
    wanted : sequence of float
        Falling [mm].
    sizes : sequence of float
        Space each takes, half to each side [mm].

    Returns
    -------
    list of float
        Middles that do not overlap; a run that is too crowded stays centred on what it wants.

    Examples
    --------
    >>> spread([10.0, 9.0, 0.0], [4.0, 4.0, 4.0])
    [11.5, 7.5, 0.0]
    """
    runs: list[tuple[float, float, list[int]]] = []  # middle, size, members
    for index, (want, size) in enumerate(zip(wanted, sizes, strict=True)):
        runs.append((want, size, [index]))
        while len(runs) > 1:
            (upper, tall, some), (lower, low, more) = runs[-2], runs[-1]
            if upper - tall / 2.0 >= lower + low / 2.0 - 1e-9:
                break
            members = some + more
            total = tall + low
            middles, offset = [], 0.0
            for one in members:
                middles.append(wanted[one] + offset + sizes[one] / 2.0)
                offset += sizes[one]
            top = sum(middles) / len(members)
            runs[-2:] = [(top - total / 2.0, total, members)]
    found = [0.0] * len(wanted)
    for middle, total, members in runs:
        top = middle + total / 2.0
        for one in members:
            found[one] = top - sizes[one] / 2.0
            top -= sizes[one]
    return found
