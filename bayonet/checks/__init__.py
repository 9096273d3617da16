"""Judgements of a design, grouped as the findings' headings are; `run` puts them in order.

Numbers come from the rooms below; nothing here loads the CAD kernel.
"""

from __future__ import annotations

from bayonet.checks.chains import (
    Corners,
    number_text,
    ppm_text,
    rate_text,
    share_or_ppm,
    share_text,
    shown_in,
    spread_text,
)
from bayonet.checks.compare import Comparison, Line, compare, variants
from bayonet.checks.explain import Explained, Mover, explain, formulas
from bayonet.checks.headline import cautions_of, headline_of, marks_of
from bayonet.checks.pending import PendingResult, judge_unknown
from bayonet.checks.run import FirstLook, Result, check, judge, steps, tried, with_finding
from bayonet.checks.summary import Margin, Summary, key_sizes, summary, tightest
from bayonet.checks.ways import Way, Ways, best_cutter, chosen_of, compare_ways, way_of

__all__ = [
    "Comparison",
    "Corners",
    "Explained",
    "FirstLook",
    "Line",
    "Margin",
    "Mover",
    "PendingResult",
    "Result",
    "Summary",
    "Way",
    "Ways",
    "best_cutter",
    "cautions_of",
    "check",
    "chosen_of",
    "compare",
    "compare_ways",
    "explain",
    "formulas",
    "headline_of",
    "judge",
    "judge_unknown",
    "key_sizes",
    "marks_of",
    "number_text",
    "ppm_text",
    "rate_text",
    "share_or_ppm",
    "share_text",
    "shown_in",
    "spread_text",
    "steps",
    "summary",
    "tightest",
    "tried",
    "variants",
    "way_of",
    "with_finding",
]
