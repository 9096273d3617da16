"""What to do with a result: design file text, comparison, several samples, the unrolled map.

Rendering is in `bayonet.report`.
"""

from __future__ import annotations

from bayonet.scan.describe.comparison import RULE, Comparison, Difference, compared
from bayonet.scan.describe.design_file import described
from bayonet.scan.describe.samples import Pooled, Population, pooled, spread_table
from bayonet.scan.describe.stated import KnownPlug, known

__all__ = [
    "RULE",
    "Comparison",
    "Difference",
    "KnownPlug",
    "Pooled",
    "Population",
    "compared",
    "described",
    "known",
    "pooled",
    "spread_table",
]
