"""Angles on the circle. Vectorised."""

from __future__ import annotations

from typing import overload

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]


@overload
def signed_deg(angle_deg: float) -> float: ...
@overload
def signed_deg(angle_deg: Array) -> Array: ...


def signed_deg(angle_deg: float | Array) -> float | Array:
    """The same angle within half a turn either way: -180 or more, less than 180 [deg].

    Examples
    --------
    >>> signed_deg(350.0), signed_deg(-190.0), signed_deg(180.0)
    (-10.0, 170.0, -180.0)
    """
    return (angle_deg + 180.0) % 360.0 - 180.0
