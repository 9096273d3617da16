"""What a person asks of a graft, where it stands, and what was found round it, as plain records.

Building it is in `bayonet.solids.graft`, judging it in `bayonet.checks.tank`.
"""

from __future__ import annotations

from bayonet.tank.face import NumberedFace, NumberedView, TankFace
from bayonet.tank.graft import Drain, Facts, Land, Room, Wishes
from bayonet.tank.placement import NEARLY_UPRIGHT, Frame, Triple, frame_at, is_direction
from bayonet.tank.surroundings import (
    CLEAR_MM,
    Arm,
    AroundWishes,
    Clearances,
    ClearMap,
    Hand,
    HandPart,
    Place,
    Proposal,
    RoundPart,
    Step,
    Surrounding,
    nearest,
)

__all__ = [
    "CLEAR_MM",
    "NEARLY_UPRIGHT",
    "Arm",
    "AroundWishes",
    "ClearMap",
    "Clearances",
    "Drain",
    "Facts",
    "Frame",
    "Hand",
    "HandPart",
    "Land",
    "NumberedFace",
    "NumberedView",
    "Place",
    "Proposal",
    "Room",
    "RoundPart",
    "Step",
    "Surrounding",
    "TankFace",
    "Triple",
    "Wishes",
    "frame_at",
    "is_direction",
    "nearest",
]
