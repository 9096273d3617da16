"""Points of a scan on the developed plane, gathered into cells, and the found outlines there."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

_ROWS, _AROUND = 240, 480
_POINTS_A_CELL = 6


@dataclass(frozen=True, kw_only=True)
class CellMap:
    """Means over cells of the developed plane; NaN where a cell has no point.

    ``values`` has one row a depth (top row first) and one column an angle from -180 deg.
    """

    values: Array
    from_depth_mm: float
    to_depth_mm: float


@dataclass(frozen=True, kw_only=True)
class Outline:
    """A found contour on the developed plane: angle [deg] and depth [mm], (n, 2)."""

    name: str
    points: Array


def cells(
    theta_deg: Array, depth_mm: Array, values: Array, *, span_mm: tuple[float, float]
) -> CellMap:
    """Mean of values in each cell; cells grow where points are few.

    Parameters
    ----------
    theta_deg, depth_mm, values : array, shape (n,)
    span_mm : (float, float)
        Depths of the map's top and bottom.

    Examples
    --------
    >>> seen = cells(np.zeros(2), np.ones(2), np.array([1.0, 3.0]), span_mm=(0.0, 2.0))
    >>> float(np.nanmax(seen.values)), int(np.isfinite(seen.values).sum())
    (2.0, 1)
    """
    low, high = span_mm
    coarse = math.ceil(math.sqrt(_POINTS_A_CELL * _ROWS * _AROUND / max(len(values), 1)))
    rows, around = max(_ROWS // coarse, 24), max(_AROUND // coarse, 48)
    column = ((theta_deg + 180.0) % 360.0 / 360.0 * around).astype(np.int64) % around
    row = np.floor((depth_mm - low) / (high - low) * rows).astype(np.int64)
    inside = (row >= 0) & (row < rows)
    place = row[inside] * around + column[inside]
    size = rows * around
    count = np.bincount(place, minlength=size)
    total = np.bincount(place, weights=values[inside], minlength=size)
    mean = np.where(count > 0, total / np.maximum(count, 1), np.nan)
    return CellMap(values=mean.reshape(rows, around), from_depth_mm=low, to_depth_mm=high)


def lug_outline(value: Mapping[str, float], number: int, *, sign: int) -> Outline | None:
    """A lug's four sides on the developed plane at its outer diameter; None where one is unknown.

    Parameters
    ----------
    value : mapping
        Dimensions by key.
    number : int
        Counted from 0.
    sign : int
        +1 where turning to lock increases theta.
    """
    base = f"lug.{number}"
    half = half_width_deg(value, number)
    names = (f"{base}.centre_deg", f"{base}.bearing_depth", f"{base}.thickness")
    wanted = [value.get(name, math.nan) for name in names]
    if half is None or not all(math.isfinite(one) for one in wanted):
        return None
    centre, bearing, thickness = wanted
    lead = value.get(f"{base}.lead", 0.0)
    slope = sign * (lead if math.isfinite(lead) else 0.0) / 360.0
    corners = [
        (centre + way * half, bearing + slope * way * half + low)
        for way, low in ((-1, 0.0), (1, 0.0), (1, thickness), (-1, thickness), (-1, 0.0))
    ]
    return Outline(name=f"lug {number + 1}", points=np.array(corners))


def half_width_deg(value: Mapping[str, float], number: int) -> float | None:
    """Half-width of a lug at its outer diameter [deg]; None where it is unknown."""
    base = f"lug.{number}"
    if math.isfinite(wide := value.get(f"{base}.width_deg", math.nan)):
        return wide / 2.0
    width, outer = (value.get(f"{base}.{name}", math.nan) for name in ("width", "outer_diameter"))
    if not width <= outer:
        return None
    return math.degrees(math.asin(width / outer))


def turned_outline(value: Mapping[str, float]) -> Array:
    """Found half profile from the shoulder to the nose: depth and radius [mm], (n, 2).

    Stretches a scan did not show are left out as NaN, which breaks the line.
    """
    rows = [(0.0, value.get("shoulder_diameter", math.nan) / 2.0)]
    number, depth = 0, 0.0
    start = value.get("groove.at_depth", math.nan)
    while f"body.{number}.diameter" in value:
        radius = value[f"body.{number}.diameter"] / 2.0
        end = value.get(f"body.{number}.to_depth", math.nan)
        rows.append((depth, radius))
        if depth < start < end:
            stop, bottom = start + value["groove.width"], value["groove.diameter"] / 2.0
            rows += [(start, radius), (start, bottom), (stop, bottom), (stop, radius)]
        rows.append((end, radius))
        number, depth = number + 1, end
    rows.append((depth, 0.0))
    return np.array(rows)
