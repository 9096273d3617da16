"""Files other programs read: triangle meshes here, STEP by way of `bayonet.solids.kernel.step`."""

from __future__ import annotations

from bayonet.exchange.folder import appearing_in, write_whole
from bayonet.exchange.step_order import canonical

__all__ = [
    "appearing_in",
    "canonical",
    "write_whole",
]
