"""The forms of lug by the name the design file gives them."""

from __future__ import annotations

from bayonet.parts.lugs.block import Block
from bayonet.parts.lugs.pin import Pin
from bayonet.parts.lugs.shape import LugShape

FORMS: dict[str, type[LugShape]] = {"block": Block, "pin": Pin}
