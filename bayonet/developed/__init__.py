"""The developed plane: contours of lugs and tracks, and the poses at which they do not collide."""

from __future__ import annotations

from bayonet.developed.characters import Lettering, along_arc
from bayonet.developed.contour import depth_along
from bayonet.developed.cutting import Cutting
from bayonet.developed.edge_names import edge_names
from bayonet.developed.fitting import Fitting, lay_out
from bayonet.developed.motion import Motion, analyse, in_lift, poses_along
from bayonet.developed.region import region_of
from bayonet.developed.roof_overlap import (
    engagement,
    gap_to_roof_mm,
    least_engaged_turn,
    side_clearance_mm,
)
from bayonet.developed.ways_round import WayRound, shifted, ways_round

__all__ = [
    "Cutting",
    "Fitting",
    "Lettering",
    "Motion",
    "WayRound",
    "along_arc",
    "analyse",
    "depth_along",
    "edge_names",
    "engagement",
    "gap_to_roof_mm",
    "in_lift",
    "lay_out",
    "least_engaged_turn",
    "poses_along",
    "region_of",
    "shifted",
    "side_clearance_mm",
    "ways_round",
]
