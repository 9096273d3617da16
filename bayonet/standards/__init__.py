"""Tables of the trade: one module per table, its data beside it with provenance."""

from __future__ import annotations

from bayonet.standards.as568 import RingSize
from bayonet.standards.bolts import Bolt, BoltClass, bolt_class, bolt_names
from bayonet.standards.gauges import ENOUGH, Advice, Measures, advice
from bayonet.standards.processes import (
    SOURCE,
    Clearances,
    HalfWidths,
    plug_spread,
    socket_clearances,
    socket_tolerances,
)
from bayonet.standards.strength import friction_names, hand_force_n
from bayonet.standards.tables import Row, from_memory, number, provenance, rows

__all__ = [
    "ENOUGH",
    "SOURCE",
    "Advice",
    "Bolt",
    "BoltClass",
    "Clearances",
    "HalfWidths",
    "Measures",
    "RingSize",
    "Row",
    "advice",
    "bolt_class",
    "bolt_names",
    "friction_names",
    "from_memory",
    "hand_force_n",
    "number",
    "plug_spread",
    "provenance",
    "rows",
    "socket_clearances",
    "socket_tolerances",
]
