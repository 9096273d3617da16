"""Socket, plug, cut tracks and print-test rings as exact solids, and their views.

Tanks are in `bayonet.solids.graft`.
"""

from __future__ import annotations

from bayonet.solids.fitting.build import parts, plug, socket, track_tools
from bayonet.solids.fitting.projected import views_of
from bayonet.solids.fitting.view import drawn, picture_plane

__all__ = [
    "drawn",
    "parts",
    "picture_plane",
    "plug",
    "socket",
    "track_tools",
    "views_of",
]
