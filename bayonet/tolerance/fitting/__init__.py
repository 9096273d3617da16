"""A plug in its socket with all their deviations: quantities, chains, zones, gland, service.

How chains are evaluated is in `bayonet.tolerance.chains`.
"""

from __future__ import annotations

from bayonet.tolerance.fitting.additions import Addition, OnBench, additions, named, on_bench
from bayonet.tolerance.fitting.deviations import deviations_of
from bayonet.tolerance.fitting.geometry import goes_into_seal
from bayonet.tolerance.fitting.gland import Conditions, GlandState, Span, state
from bayonet.tolerance.fitting.guides import (
    Land,
    Sideways,
    lands,
    lean_at_lock,
    least_body_gap,
    least_bore,
    sideways,
)
from bayonet.tolerance.fitting.parts import looked_at_radii
from bayonet.tolerance.fitting.quantities import line_depth_mm
from bayonet.tolerance.fitting.requirement import TOUCHES
from bayonet.tolerance.fitting.requirements import (
    chains_of,
    conditions_of,
    described_states,
    judged_in,
)
from bayonet.tolerance.fitting.seal_states import SealState, seal_states
from bayonet.tolerance.fitting.service import (
    allowed_gap,
    at_temperature,
    growth,
    states,
)
from bayonet.tolerance.fitting.zones import Extreme

__all__ = [
    "TOUCHES",
    "Addition",
    "Conditions",
    "Extreme",
    "GlandState",
    "Land",
    "OnBench",
    "SealState",
    "Sideways",
    "Span",
    "additions",
    "allowed_gap",
    "at_temperature",
    "chains_of",
    "conditions_of",
    "described_states",
    "deviations_of",
    "goes_into_seal",
    "growth",
    "judged_in",
    "lands",
    "lean_at_lock",
    "least_body_gap",
    "least_bore",
    "line_depth_mm",
    "looked_at_radii",
    "named",
    "on_bench",
    "seal_states",
    "sideways",
    "state",
    "states",
]
