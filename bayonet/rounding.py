"""Rounding to a step, one way: figures of geometry, of advice and of a written uncertainty."""

from __future__ import annotations

import math

_NOISE = 1e-9  # of a step: what sums of decimals are off by is no reason for one step more


def up(value: float, *, step: float) -> float:
    """Smallest whole multiple of a step that is not less than a value.

    Parameters
    ----------
    value : float
    step : float
        Greater than 0, in the value's own unit.

    Returns
    -------
    float
        Free of the noise of binary fractions: 31 steps of 0.1 are 3.1.

    Examples
    --------
    >>> up(3.0, step=0.1), up(3.02, step=0.1), up(0.1 + 0.2, step=0.01), up(-0.4, step=0.5)
    (3.0, 3.1, 0.3, 0.0)
    """
    return round(math.ceil(value / step - _NOISE) * step, 12) + 0.0


def down(value: float, *, step: float) -> float:
    """Greatest whole multiple of a step that is not more than a value; as `up`.

    Examples
    --------
    >>> down(3.0, step=0.1), down(3.09, step=0.1), down(0.3, step=0.1)
    (3.0, 3.0, 0.3)
    """
    return round(math.floor(value / step + _NOISE) * step, 12) + 0.0
