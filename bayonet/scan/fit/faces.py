"""What a plug has beside its dimensions, and dimensions by key."""

from __future__ import annotations

from dataclasses import dataclass

Values = dict[str, float]


@dataclass(frozen=True, kw_only=True)
class Shape:
    """What a plug has, beside its values."""

    lugs: int
    bodies: int
    root: int
    groove: str
    sign: int  # +1 where turning to lock increases theta
    parallel: bool
