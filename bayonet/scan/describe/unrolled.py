"""Points of a scan on the developed plane, gathered into cells, and the found outlines there."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from bayonet.scan.fit import Key, body_key, lug_key

Array = NDArray[np.float64]

_ROWS, _AROUND = 240, 480  # cells of the finest map: one is a pixel or two of the page
_POINTS_A_CELL = 3  # fewer leave holes by chance: e**-3 is 5 %
_CLOSED = 6  # of the eight neighbours of a cell


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
    theta_deg: Array, depth_mm: Array, values: Array, *, span_mm: tuple[float, float],
    with_neighbours: bool = False,
) -> CellMap:  # fmt: skip
    """Mean of values in each cell; cells grow where points are few.

    Parameters
    ----------
    theta_deg, depth_mm, values : array, shape (n,)
    span_mm : (float, float)
        Depths of the map's top and bottom.
    with_neighbours : bool
        Mean over a cell that holds points and the eight round it.

    Examples
    --------
    >>> seen = cells(np.zeros(2), np.ones(2), np.array([1.0, 3.0]), span_mm=(0.0, 2.0))
    >>> float(np.nanmax(seen.values)), int(np.isfinite(seen.values).sum())
    (2.0, 1)
    """
    low, high = span_mm
    coarse = math.ceil(math.sqrt(_POINTS_A_CELL * _AROUND / _points_a_row(depth_mm, span_mm)))
    rows, around = max(_ROWS // coarse, 24), max(_AROUND // coarse, 48)
    column = ((theta_deg + 180.0) % 360.0 / 360.0 * around).astype(np.int64) % around
    row = np.floor((depth_mm - low) / (high - low) * rows).astype(np.int64)
    inside = (row >= 0) & (row < rows)
    place = row[inside] * around + column[inside]
    size = rows * around
    count = np.bincount(place, minlength=size)
    total = np.bincount(place, weights=values[inside], minlength=size)
    own, sums = count.reshape(rows, around), total.reshape(rows, around)
    seen = own > 0
    if with_neighbours:
        own, sums = _with_neighbours(own), _with_neighbours(sums)
    mean = np.where(seen, sums / np.maximum(own, 1), np.nan)
    return CellMap(values=mean, from_depth_mm=low, to_depth_mm=high)


def _points_a_row(depth_mm: Array, span_mm: tuple[float, float]) -> float:
    """Points on the usual row of the finest map: faces square to the axis crowd few rows."""
    count, _ = np.histogram(depth_mm, _ROWS, range=span_mm)
    held = count[count > 0]
    return float(np.median(held)) if len(held) else 1.0


def _with_neighbours(sums: NDArray[Any]) -> NDArray[Any]:
    """Sums over a cell and the eight round it, the map closed round the axis."""
    rows = np.pad(sums, ((1, 1), (0, 0)))
    down = rows[:-2] + rows[1:-1] + rows[2:]
    return np.asarray(down + np.roll(down, 1, axis=1) + np.roll(down, -1, axis=1))


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
    base = lug_key(number)
    half = half_width_deg(value, number)
    names = (base.of("centre_deg"), base.of("bearing_depth"), base.of("thickness"))
    wanted = [value.get(name, math.nan) for name in names]
    if half is None or not all(math.isfinite(one) for one in wanted):
        return None
    centre, bearing, thickness = wanted
    lead = value.get(base.of("lead"), 0.0)
    slope = sign * (lead if math.isfinite(lead) else 0.0) / 360.0
    own = value.get(base.of("leading_lead"), math.nan)
    other = sign * own / 360.0 if math.isfinite(own) else slope
    corners = [
        (centre + way * half, bearing + slant * way * half + low)
        for way, slant, low in ((-1, slope, 0.0), (1, slope, 0.0), (1, other, thickness),
                                (-1, other, thickness), (-1, slope, 0.0))
    ]  # fmt: skip
    return Outline(name=f"lug {number + 1}", points=np.array(corners))


def half_width_deg(value: Mapping[str, float], number: int) -> float | None:
    """Half-width of a lug at its outer diameter [deg]; None where it is unknown."""
    base = lug_key(number)
    if math.isfinite(wide := value.get(base.of("width_deg"), math.nan)):
        return wide / 2.0
    width, outer = (value.get(base.of(name), math.nan) for name in ("width", "outer_diameter"))
    if not width <= outer:
        return None
    return math.degrees(math.asin(width / outer))


def closed(shown: CellMap) -> CellMap:
    """The map with single empty cells filled from their neighbours, if most of those hold points.

    Where points are few, a cell may be missed by chance; what was not seen is wider.

    Examples
    --------
    >>> values = np.ones((24, 48))
    >>> values[5, 7] = values[10:14, 20:24] = np.nan
    >>> whole = closed(CellMap(values=values, from_depth_mm=0.0, to_depth_mm=1.0))
    >>> float(whole.values[5, 7]), int(np.isnan(whole.values).sum())
    (1.0, 16)
    """
    values = shown.values
    rows = np.pad(values, ((1, 1), (0, 0)), constant_values=np.nan)
    near = np.stack([
        np.roll(rows, turn, axis=1)[1 + down : 1 + down + len(values)]
        for turn in (-1, 0, 1) for down in (-1, 0, 1) if turn or down
    ])  # fmt: skip
    count = np.isfinite(near).sum(axis=0)
    mean = np.nansum(near, axis=0) / np.maximum(count, 1)
    found = np.where(np.isnan(values) & (count >= _CLOSED), mean, values)
    return CellMap(values=found, from_depth_mm=shown.from_depth_mm, to_depth_mm=shown.to_depth_mm)


def turned_outline(value: Mapping[str, float], *, groove: str = "radial") -> Array:
    """Found half profile from the shoulder's top to the nose: depth and radius [mm], (n, 2).

    Stretches a scan did not show are left out as NaN, which breaks the line.
    """
    rim = value.get("shoulder_diameter", math.nan) / 2.0
    top = -value.get("shoulder_thickness", math.nan)
    rows = [(top, 0.0), (top, rim), (0.0, rim)]
    if groove == "shoulder_face":
        rows += _face_groove(value, 0.0)[::-1]
    number, depth = 0, 0.0
    start = value.get("groove.at_depth", math.nan)
    while body_key(number, "diameter") in value:
        radius = value[body_key(number, "diameter")] / 2.0
        end = value.get(body_key(number, "to_depth"), math.nan)
        last = body_key(number + 1, "diameter") not in value
        chamfer = value.get("nose_chamfer", 0.0) if last else 0.0
        rows.append((depth, radius))
        if depth < start < end:
            stop = start + value.get("groove.width", math.nan)
            bottom = value.get("groove.diameter", math.nan) / 2.0
            rows += [(start, radius), (start, bottom), (stop, bottom), (stop, radius)]
        rows += [(end - chamfer, radius), (end, radius - chamfer)]
        number, depth = number + 1, end
    if groove == "nose_face":
        rows += _face_groove(value, depth)[::-1]
    rows.append((depth, 0.0))
    return np.array(rows)


def _face_groove(value: Mapping[str, float], mouth: float) -> list[tuple[float, float]]:
    inner = value.get("groove.diameter", math.nan) / 2.0
    outer = inner + value.get("groove.width", math.nan)
    bottom = mouth - value.get("groove.depth", math.nan)
    return [(mouth, inner), (bottom, inner), (bottom, outer), (mouth, outer)]


def groove_window(value: Mapping[str, float], *, groove: str) -> tuple[Array, Array] | None:
    """Depths and radii [mm] between which the groove lies; None where it is not known."""
    radius, width = value.get("groove.diameter", math.nan) / 2.0, value.get("groove.width")
    if width is None:
        return None
    if groove == "radial":
        start = value.get("groove.at_depth", math.nan)
        middle = start + width / 2.0
        bodies = [value[key] / 2.0 for key in map(Key, value)
                  if key.part == "body" and key.name == "diameter"
                  and value.get(key.base.of("to_depth"), -1.0) > middle]  # fmt: skip
        depths, radii = (start, start + width), (radius, max([*bodies[:1], radius]))
    else:
        ends = [value[key] for key in value if Key(key).name == "to_depth"]
        mouth = 0.0 if groove == "shoulder_face" else max(ends, default=math.nan)
        depths = (mouth - value.get("groove.depth", math.nan), mouth)
        radii = (radius, radius + width)
    found = np.array(depths), np.array(radii)
    return found if np.isfinite(found).all() else None
