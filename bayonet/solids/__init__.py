"""The only room that loads the CAD kernel: exact solids, gated, and their meshes."""

from __future__ import annotations

from bayonet.solids.fitting import plug, socket

__all__ = ["plug", "socket"]
