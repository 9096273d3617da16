"""Can it be cut, cast, printed and measured?

Of the finished part only; print-test pieces are in `bayonet.printing`.
"""

from __future__ import annotations

from bayonet.checks.making.measuring import Measurement, measurements
from bayonet.checks.making.printing import floor_lean_deg
from bayonet.checks.making.walls import enough_wall

__all__ = [
    "Measurement",
    "enough_wall",
    "floor_lean_deg",
    "measurements",
]
