"""The one record of a socket's dimensions: numbers, limits, datums, chains, gauges.

Table, drawing, inspection sheet and the model's own annotation all read from here; none of them
numbers or rounds a dimension by itself. What a dimension is for is in `bayonet.tolerance`.
"""

from __future__ import annotations

from bayonet.dimensions.collect import record_of
from bayonet.dimensions.drawn_only import lead_in as lead_in_of
from bayonet.dimensions.printed import figure, limits_text, printed
from bayonet.dimensions.record import (
    Control,
    Datum,
    Dimension,
    Edge,
    Record,
    Texture,
)

__all__ = [
    "Control",
    "Datum",
    "Dimension",
    "Edge",
    "Record",
    "Texture",
    "figure",
    "lead_in_of",
    "limits_text",
    "printed",
    "record_of",
]
