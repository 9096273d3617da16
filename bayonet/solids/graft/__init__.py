"""Tanks: read, measured, a socket joined to them, written.

Verdicts are in `bayonet.checks.tank`.
"""

from __future__ import annotations

from bayonet.solids.graft.join import Grafted
from bayonet.solids.graft.spot import Spot
from bayonet.solids.graft.tank import Tank

__all__ = [
    "Grafted",
    "Spot",
    "Tank",
]
