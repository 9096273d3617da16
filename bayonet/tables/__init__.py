"""Every table of a design file as a typed Python call: same fields, checks and messages.

The modules beside this one but `build` are made from the schema by `tests/house/make_tables.py`.
"""

from __future__ import annotations

from bayonet.tables.build import Quantity
from bayonet.tables.features import (
    cutter,
    detent,
    flange_mount,
    gasket,
    joint,
    mount,
    seal,
    stop,
    track,
    weld_mount,
)
from bayonet.tables.plug import body_step, correlation, groove, lugs, one_lug, plug, spread
from bayonet.tables.service import design_head, printer, production, service
from bayonet.tables.socket import clearance, socket, tolerance
from bayonet.tables.tank import arm, around, graft, hand_part, land, own_hand, round_part

__all__ = [
    "Quantity",
    "arm",
    "around",
    "body_step",
    "clearance",
    "correlation",
    "cutter",
    "design_head",
    "detent",
    "flange_mount",
    "gasket",
    "graft",
    "groove",
    "hand_part",
    "joint",
    "land",
    "lugs",
    "mount",
    "one_lug",
    "own_hand",
    "plug",
    "printer",
    "production",
    "round_part",
    "seal",
    "service",
    "socket",
    "spread",
    "stop",
    "tolerance",
    "track",
    "weld_mount",
]
