"""Does every plug go in, turn, lock and come out?

The free region itself is in `bayonet.developed`.
"""

from __future__ import annotations

from bayonet.checks.motion.proof import Proof, motion_of, prove
from bayonet.checks.motion.way_in import gets_in

__all__ = [
    "Proof",
    "gets_in",
    "motion_of",
    "prove",
]
