"""Results as plain data and rows for other programs.

Words and colours are in `bayonet.report.terminal`.
"""

from __future__ import annotations

from bayonet.report.data.scan import difference_cells, feature_cells, in_words, pooled_cells

__all__ = [
    "difference_cells",
    "feature_cells",
    "in_words",
    "pooled_cells",
]
