"""From scans to dimensions with uncertainty; `measure` runs the sub-rooms in order.

Pictures and tables of it are in `bayonet.report`.
"""

from __future__ import annotations

from bayonet.scan.measure import fit

__all__ = [
    "fit",
]
