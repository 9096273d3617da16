"""Judgements of a design, grouped as the findings' headings are; `run` puts them in order.

Numbers come from the rooms below; nothing here loads the CAD kernel.
"""

from __future__ import annotations

from bayonet.checks.chains import (
    Corners,
    number_text,
    ppm_text,
    rate_text,
    share_text,
    shown_in,
    spread_text,
)
from bayonet.checks.headline import cautions_of, headline_of, marks_of
from bayonet.checks.run import FirstLook, Result, check, judge, steps, tried, with_finding

__all__ = [
    "Corners",
    "FirstLook",
    "Result",
    "cautions_of",
    "check",
    "headline_of",
    "judge",
    "marks_of",
    "number_text",
    "ppm_text",
    "rate_text",
    "share_text",
    "shown_in",
    "spread_text",
    "steps",
    "tried",
    "with_finding",
]
