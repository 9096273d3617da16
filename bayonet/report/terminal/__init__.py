"""Results as tables and text for people at a terminal.

Pages are in `bayonet.report.documents`.
"""

from __future__ import annotations

from bayonet.report.terminal.pieces import piece_row

__all__ = [
    "piece_row",
]
