"""What a fit gives: every dimension with its uncertainty, how it was found, and the rest."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Found = Literal["measured", "by symmetry", "not seen"]


@dataclass(frozen=True, kw_only=True)
class FeatureValue:
    """One dimension of the plug as the scan shows it."""

    key: str
    meaning: str
    value: float
    u: float
    unit: str
    coverage: float
    found: Found
    note: str = ""
