"""What is there: axis, cylinders, lugs, fixtures, second parts, on the developed plane.

No fine fit: see `bayonet.scan.fit`.
"""

from __future__ import annotations

from bayonet.scan.find.arcs import FOOT, spread_of
from bayonet.scan.find.common_axis import coaxial
from bayonet.scan.find.cylinders import local_of, rings
from bayonet.scan.find.fixtures import Plate, plates
from bayonet.scan.find.flank_slopes import end_slopes, lean_of
from bayonet.scan.find.flanks import flanks_of, sharpest_slope
from bayonet.scan.find.oriented_points import Oriented, oriented
from bayonet.scan.find.second_parts import refuse_second

__all__ = [
    "FOOT",
    "Oriented",
    "Plate",
    "coaxial",
    "end_slopes",
    "flanks_of",
    "lean_of",
    "local_of",
    "oriented",
    "plates",
    "refuse_second",
    "rings",
    "sharpest_slope",
    "spread_of",
]
