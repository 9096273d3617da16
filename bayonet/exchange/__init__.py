"""Files other programs read: triangle meshes here, STEP by way of `bayonet.solids.kernel.step`."""

from __future__ import annotations

from bayonet.exchange.folder import Run, appearing_in, refuse_file, refuse_folder, write_whole
from bayonet.exchange.step_order import canonical

__all__ = [
    "Run",
    "appearing_in",
    "canonical",
    "refuse_file",
    "refuse_folder",
    "write_whole",
]
