"""What of a drawn sheet cannot be read: words on words, on lines, off the sheet, too small."""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np
import shapely

from bayonet.drawing import Drawing
from bayonet.drawing.dxf import GAP_MM
from bayonet.drawing.lettering import width_mm
from bayonet.drawing.pages import DrawnText, Strokes

LEAST_MM = 2.5
_LINE_LAYERS = {"OUTLINE", "HIDDEN", "CENTRE", "DIMENSION", "TOLERANCE", "FRAME", "SECTION", "TEXT"}


def box(word: DrawnText) -> shapely.Geometry:
    """The capitals' box of a text as it was drawn, baseline to their height."""
    wide, high = width_mm(word.text.strip(), word.height), word.height
    made = shapely.box(word.x, word.y, word.x + wide, word.y + high)
    return shapely.affinity.rotate(made, word.turned_deg, origin=(word.x, word.y))


def faults(strokes: Strokes, drawing: Drawing) -> Iterator[str]:
    """Every fault in words; nothing where all can be read."""
    boxes = [box(word) for word in strokes.texts]
    tree = shapely.STRtree(boxes)
    for one, other in zip(*tree.query(boxes, predicate="intersects"), strict=True):
        if one < other:
            yield f"{strokes.texts[one].text!r} on {strokes.texts[other].text!r}"
    segments = [
        (a, b, layer) for a, b, _, layer in strokes.lines if layer in _LINE_LAYERS
    ]  # fmt: skip
    lines = shapely.linestrings(np.array([(a, b) for a, b, _ in segments]))
    for text, line in zip(
        *shapely.STRtree(lines).query(boxes, predicate="intersects"), strict=True
    ):
        yield f"{strokes.texts[text].text!r} on a line of {segments[line][2]}"
    rooms, left = [], 0.0
    for sheet in drawing.sheets:
        rooms.append(shapely.box(left + 2.0, 2.0, left + sheet.width - 2.0, sheet.height - 2.0))
        left += sheet.width + GAP_MM
    inside = shapely.union_all(rooms)
    for word, shape in zip(strokes.texts, boxes, strict=True):
        if not inside.contains(shape):
            yield f"{word.text!r} is off the sheet"
        if word.height < LEAST_MM - 1e-6:
            yield f"{word.text!r} is {word.height:.2f} mm high"
        if not math.isfinite(word.x):
            yield f"{word.text!r} is nowhere"
