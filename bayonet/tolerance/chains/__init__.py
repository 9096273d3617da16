"""Variables, chains, corners, first order, sampling and rare faults; knows no plug.

The chains of a fitting are in `bayonet.tolerance.fitting`.
"""

from __future__ import annotations

from bayonet.tolerance.chains.chain import Chain, ChainSet, Evaluate, governing
from bayonet.tolerance.chains.corners import Extremes, worst_cases
from bayonet.tolerance.chains.credible import Credible
from bayonet.tolerance.chains.figures import ChainFigures, Study, study
from bayonet.tolerance.chains.first_order import slopes_at
from bayonet.tolerance.chains.sampling import Rate
from bayonet.tolerance.chains.variable import Spread, Variable

__all__ = [
    "Chain",
    "ChainFigures",
    "ChainSet",
    "Credible",
    "Evaluate",
    "Extremes",
    "Rate",
    "Spread",
    "Study",
    "Variable",
    "governing",
    "slopes_at",
    "study",
    "worst_cases",
]
