"""Does every plug go in, turn, lock and come out?

The free region itself is in `bayonet.developed`.
"""

from __future__ import annotations

from bayonet.checks.motion.proof import Proof, laid_out, lugs_of, motion_of, prove
from bayonet.checks.motion.swept import Swept, not_swept, swept_finding
from bayonet.checks.motion.way_in import gets_in

__all__ = [
    "Proof",
    "Swept",
    "gets_in",
    "laid_out",
    "lugs_of",
    "motion_of",
    "not_swept",
    "prove",
    "swept_finding",
]
