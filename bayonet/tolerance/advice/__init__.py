"""What to change where a chain is weak: middle, grades, and the loop behind a chain.

Searching for a whole allocation is in `bayonet.tune`.
"""

from __future__ import annotations

from bayonet.tolerance.advice.changes import Step, centred, current, opened, tightened
from bayonet.tolerance.advice.grades import GRADES, STEP, Tolerance, tolerances_of
from bayonet.tolerance.advice.loops import Link, loop_of
from bayonet.tolerance.advice.remeasure import Reading, Worth, measure_next, worth_measuring

__all__ = [
    "GRADES",
    "STEP",
    "Link",
    "Reading",
    "Step",
    "Tolerance",
    "Worth",
    "centred",
    "current",
    "loop_of",
    "measure_next",
    "opened",
    "tightened",
    "tolerances_of",
    "worth_measuring",
]
