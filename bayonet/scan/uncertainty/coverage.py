"""How much of a feature a scan shows: faces a dimension rests on, their points, their share."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass

import numpy as np

from bayonet.mechanics import signed_deg
from bayonet.scan.fit import Key, Refined, lug_key

_GROOVE = {
    "groove.diameter": ("groove.bottom", "groove.inner"),
    "groove.width": ("groove.near", "groove.far", "groove.inner", "groove.outer"),
    "groove.at_depth": ("groove.near",),
}  # of a radial groove, or of one in a face; those a plug does not have are passed over

_CELL_DEG = 3.0  # holds a point on every round face from 2000 points on
_LUG_CELLS, _INNER = 8, 0.6  # of a lug's width or height: beside its edges nothing is taken


def faces_of(key: str) -> tuple[str, ...] | None:
    """Faces without which a dimension is not seen; None where any of several tells it."""
    own = Key(key)
    if own.is_lug:
        base = own.base
        sides = (base.of("side-1"), base.of("side+1"))
        return {"outer_diameter": (base.of("outer"),), "bearing_depth": (base.of("bearing"),),
                "thickness": (base.of("bearing"), base.of("leading")),
                }.get(own.name, sides)  # fmt: skip
    if own.part == "body":
        return (own.base,) if own.name == "diameter" else (f"step.{own.number}",)
    return {"shoulder_diameter": ("rim",), "groove.depth": ("groove.bottom",)}.get(key)


@dataclass(frozen=True, kw_only=True)
class UsualLug:
    """Medians over a plug's lugs [mm]."""

    outer: float  # radius
    bearing: float  # depth of the flank
    thick: float
    half_deg: float


def usual_lug(values: Mapping[str, float], lugs: int) -> UsualLug:
    """The usual one of so many lugs."""

    def median(of: Callable[[Key], float]) -> float:
        return float(np.median([of(lug_key(i)) for i in range(lugs)]))

    return UsualLug(
        outer=median(lambda base: values[base.of("outer_diameter")]) / 2.0,
        bearing=median(lambda base: values[base.of("bearing_depth")]),
        thick=median(lambda base: values[base.of("thickness")]),
        half_deg=median(lambda base: width_deg(values, base)) / 2.0,
    )


def coverage(key: str, end: Refined) -> float:
    """Share of the cells of the faces a dimension rests on that hold points.

    Cells lie along the circle of turned faces (3 deg each), along a lug's width or height.
    """
    names = faces_of(key) or _GROOVE.get(key, ())
    names = tuple(name for name in names if name in end.labelled.names)
    return min((_share(name, end) for name in names), default=0.0)


def _share(name: str, end: Refined) -> float:
    seen = end.labelled
    own = seen.of(name)
    if not len(own):
        return 0.0
    theta, depth = seen.theta[own], seen.depth[own]
    key = Key(name)
    if not key.is_lug:
        cell = (theta % 360.0 // _CELL_DEG).astype(int)
        return np.count_nonzero(np.bincount(cell)) * _CELL_DEG / 360.0
    base, v = key.base, end.values
    if key.name.startswith("side"):
        place = (depth - v[base.of("bearing_depth")]) / v[base.of("thickness")] - 0.5
    else:
        away = signed_deg(theta - v[base.of("centre_deg")])
        place = away / width_deg(v, base)
    cell = np.floor((place / _INNER + 0.5) * _LUG_CELLS)
    inside = cell[(cell >= 0) & (cell < _LUG_CELLS)].astype(int)
    return np.count_nonzero(np.bincount(inside)) / _LUG_CELLS


def width_deg(values: Mapping[str, float], base: Key) -> float:
    """Width of a lug at its outside, as an angle."""
    wide = values.get(base.of("width_deg"))
    if wide is not None:
        return wide
    share = values[base.of("width")] / values[base.of("outer_diameter")]
    return 2.0 * math.degrees(math.asin(min(share, 1.0)))
