"""Whether something stands between the found lugs, as high as they: a lug that was missed."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from bayonet.errors import ScanError
from bayonet.mechanics import signed_deg
from bayonet.scan.fit import Refined, Shape, lug_key
from bayonet.scan.uncertainty.coverage import usual_lug, width_deg

Array = NDArray[np.float64]

_STEP_DEG = 1.0  # narrower than any lug
_CLEAR = 1.6  # of a found lug's half-width: its width may be wrong where its sides were not seen
_BESIDE_MM = 1.0  # a broken edge
_LEAST_POINTS, _SURE = 8, 6.0  # fewer are outliers together; standard deviations of chance


def refuse_missed(cloud: Array, end: Refined, shape: Shape, *, name: str) -> None:
    """Refuse where more points than outliers lie at the lugs' radius and depths, on none of them.

    Parameters
    ----------
    cloud : array (m, 3)
        Radius [mm], angle [deg], depth [mm] of all points near the plug.
    end, shape
        The fit's.
    name : str

    Raises
    ------
    ScanError
        Saying at which angle.
    """
    v = end.values
    lug = usual_lug(v, shape.lugs)
    outer, bearing, thick, half = lug.outer, lug.bearing, lug.thick, lug.half_deg
    r, theta, depth = cloud.T
    high = np.abs(r - outer) < max(4.0 * end.noise, 0.15)
    high &= (depth > bearing + 0.2 * thick) & (depth < bearing + 0.8 * thick)
    theta = np.sort(theta[high] % 360.0)
    at = np.arange(0.0, 360.0, _STEP_DEG)
    free = np.ones(len(at), dtype=bool)
    for i in range(shape.lugs):
        reach = _CLEAR * max(width_deg(v, lug_key(i)) / 2.0, half) + math.degrees(
            _BESIDE_MM / outer
        )
        away = np.abs(signed_deg(at - v[lug_key(i, "centre_deg")]))
        free &= away > reach + 0.7 * half
    if not free.any():
        return
    round_ = np.concatenate([theta - 360.0, theta, theta + 360.0])
    low, high_ = (np.searchsorted(round_, at + way * 0.7 * half) for way in (-1.0, 1.0))
    count = np.where(free, high_ - low, 0)
    usual = float(np.median(count[free]))
    if count.max() >= max(_LEAST_POINTS, usual + _SURE * math.sqrt(usual + 1.0)):
        where = float(at[int(np.argmax(count))])
        rule = (
            f"something as high as the lugs stands at {where:.0f} deg, where none of the"
            f" {shape.lugs} lugs found is: a lug that cannot be read"
        )
        raise ScanError(f"{name}: {rule}")
