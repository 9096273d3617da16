"""The kernel's own things: wrapped contours, turned bodies, booleans behind the gate, meshes, STEP.

No plug, socket or tank in here.
"""

from __future__ import annotations

from bayonet.solids.kernel.booleans import Done, boolean, cylinder
from bayonet.solids.kernel.curves import Span, knots, line2
from bayonet.solids.kernel.guard import guarded
from bayonet.solids.kernel.polynomial import bezier
from bayonet.solids.kernel.rays import Rays, blocked_share, through
from bayonet.solids.kernel.step import Colour, StepHead, StepPart, baked, switches, write_parts
from bayonet.solids.kernel.swept import unswept
from bayonet.solids.kernel.turn import turned
from bayonet.solids.kernel.wrap import Wrapper, wrapped

__all__ = [
    "Colour",
    "Done",
    "Rays",
    "Span",
    "StepHead",
    "StepPart",
    "Wrapper",
    "baked",
    "bezier",
    "blocked_share",
    "boolean",
    "cylinder",
    "guarded",
    "knots",
    "line2",
    "switches",
    "through",
    "turned",
    "unswept",
    "wrapped",
    "write_parts",
]
