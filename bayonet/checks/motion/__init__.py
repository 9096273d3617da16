"""Does every plug go in, turn, lock and come out?

The free region itself is in `bayonet.developed`.
"""

from __future__ import annotations

from bayonet.checks.motion.clearances import least_body_gap
from bayonet.checks.motion.proof import Proof, motion_of, prove

__all__ = [
    "Proof",
    "least_body_gap",
    "motion_of",
    "prove",
]
