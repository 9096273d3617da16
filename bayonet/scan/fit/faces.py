"""What a plug has beside its dimensions, and dimensions by key."""

from __future__ import annotations

from dataclasses import dataclass

Values = dict[str, float]


@dataclass(frozen=True, kw_only=True)
class Shape:
    """What a plug has, beside its values.

    ``flanks`` names what its flanks have beside a common lead, see `surface.FLANKS`.
    """

    lugs: int
    bodies: int
    root: int
    groove: str
    sign: int  # +1 where turning to lock increases theta
    parallel: bool
    flanks: tuple[str, ...] = ()

    @property
    def has_own_leads(self) -> bool:
        """Whether bearing and leading flanks have a lead each."""
        return "twist" in self.flanks
