"""Lugs: what any form of lug answers (`shape`), and one module for each form (`block`).

Round pins are in `pin`. A new form is a module here with one class and a row in `forms.FORMS`.
Where lugs run (tracks) is in `bayonet.parts`, how they meet in `bayonet.developed` and
`bayonet.tolerance`.
"""

from __future__ import annotations

from bayonet.parts.lugs.block import Block
from bayonet.parts.lugs.facing import depth_span_mm, facing_angles_deg
from bayonet.parts.lugs.forms import FORMS
from bayonet.parts.lugs.lug import Lug
from bayonet.parts.lugs.pin import Pin
from bayonet.parts.lugs.shape import (
    FlankName,
    LugDimension,
    LugShape,
    LugSizes,
    LugZone,
    RootSection,
)
from bayonet.parts.lugs.sides import HalfAngle

__all__ = [
    "FORMS",
    "Block",
    "FlankName",
    "HalfAngle",
    "Lug",
    "LugDimension",
    "LugShape",
    "LugSizes",
    "LugZone",
    "Pin",
    "RootSection",
    "depth_span_mm",
    "facing_angles_deg",
]
