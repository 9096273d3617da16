"""From a weak design to one that reaches its yield at least cost: nominals and tolerances."""

from __future__ import annotations

from bayonet.tune.tuning import Tuned, tune

__all__ = [
    "Tuned",
    "tune",
]
