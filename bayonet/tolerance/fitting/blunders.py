"""How far off a measured value can be before it is a blunder, not an uncertainty."""

from __future__ import annotations

from bayonet.designfile import Measured

_MOST_DEG = 10.0
_LEAST_MOST_MM = 1.0


def most_off(given: Measured, unit: str) -> float:
    """Beyond this a measured value is a blunder, not an uncertainty [as value].

    Half of a length (no lead of less than 2 mm is taken for its own scale), or 10 deg: a size that
    is wrong by half is seen by eye (common practice, no source).
    """
    return _MOST_DEG if unit == "deg" else max(abs(given.value) / 2.0, _LEAST_MOST_MM)
