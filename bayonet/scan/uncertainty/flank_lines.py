"""Straight lines through each lug's flanks on the developed plane: lead lug by lug."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bayonet.scan.fit import (
    LEAD,
    LEADING_LEAD,
    Refined,
    Shape,
    Spots,
    body_key,
    lug_key,
    turned_from,
)

Array = NDArray[np.float64]

_EDGE_MM, _PART = 0.5, 0.22  # left out beside every edge: mm, or a part of a small lug
_REACH_MM = 1.2  # as in wear
_LEAST = 20  # points: a slope to a quarter of the noise over the width
_ROUNDS = 8  # of a robust line; it settles in four
_WIDE = 5.0  # of the noise: farther points count nothing
_SURE, _NOTABLE_MM = 4.5, 0.05  # standard deviations, and a depth over the lug's width that matters


@dataclass(frozen=True, kw_only=True)
class FlankLine:
    """One flank's own line.

    Parameters
    ----------
    lug : int
        Of the fit, from 0.
    kind : str
        bearing or leading.
    lead_mm_per_rev, u : float
        Signed as the fit's common lead; white noise.
    """

    lug: int
    kind: str
    lead_mm_per_rev: float
    u: float


def flank_lines(c: Spots, end: Refined, shape: Shape) -> tuple[FlankLine, ...]:
    """The lead of every flank that shows enough of itself.

    Parameters
    ----------
    c : Spots
        All points in the fitted frame; the fit's labels are not used, for they follow the common
        lead.
    end : Refined
    shape : Shape
    """
    v = end.values
    root = v[body_key(shape.root, "diameter")] / 2.0
    most = max(v[lug_key(i, "outer_diameter")] for i in range(shape.lugs)) / 2.0
    low = min(v[lug_key(i, "bearing_depth")] for i in range(shape.lugs)) - 2.0
    high = max(
        v[lug_key(i, "bearing_depth")] + v[lug_key(i, "thickness")] for i in range(shape.lugs)
    )
    near = (c.r > root) & (c.r < most) & (c.depth > low) & (c.depth < high + 2.0)
    own = c[np.flatnonzero(near)]
    found = []
    for i in range(shape.lugs):
        lug = own[np.flatnonzero(_within(i, own, v, root, shape))]
        for kind in ("bearing", "leading"):
            line = _line(i, kind, lug, end, shape)
            if line is not None:
                found.append(line)
    return tuple(found)


def _angle(i: int, theta: Array, v: dict[str, float]) -> Array:
    return turned_from(theta, math.radians(v[lug_key(i, "centre_deg")]))


def _half(i: int, r: Array, v: dict[str, float], shape: Shape) -> Array:
    if shape.parallel:
        return np.asarray(np.arcsin(np.clip(v[lug_key(i, "width")] / 2.0 / r, -1.0, 1.0)))
    return np.full(len(r), math.radians(v[lug_key(i, "width_deg")] / 2.0))


def _within(i: int, c: Spots, v: dict[str, float], root: float, shape: Shape) -> NDArray[np.bool_]:
    """Clear of a lug's sides, root and outer edge."""
    outer = v[lug_key(i, "outer_diameter")] / 2.0
    edge = min(_EDGE_MM, _PART * (outer - root))
    clear = (_half(i, c.r, v, shape) - np.abs(_angle(i, c.theta, v))) * c.r
    return (clear > _EDGE_MM) & (c.r > root + edge) & (c.r < outer - edge)


def _line(i: int, kind: str, c: Spots, end: Refined, shape: Shape) -> FlankLine | None:
    """Least squares, points far from the line given less and less weight (biweight)."""
    v = end.values
    thick = v[lug_key(i, "thickness")]
    angle = _angle(i, c.theta, v)
    rate = shape.sign / (2.0 * math.pi)
    level = v[lug_key(i, "bearing_depth")] + (thick if kind == "leading" else 0.0)
    lead = v[LEADING_LEAD if kind == "leading" and shape.has_own_leads else LEAD]
    slope_deg = v.get(f"{kind}_flank_deg", 0.0) * (1.0 if kind == "bearing" else -1.0)
    middle = (v[lug_key(i, "outer_diameter")] + v[body_key(shape.root, "diameter")]) / 4.0
    lean = math.tan(math.radians(slope_deg)) * (c.r - middle)
    off = c.depth - level - lead * rate * angle - lean
    near = np.abs(off) < min(_REACH_MM, 0.35 * thick)
    angle, off, r = angle[near], off[near], c.r[near]
    if len(off) < _LEAST:
        return None
    rows = np.column_stack([np.ones(len(angle)), angle * rate])
    steep = np.hypot(1.0 / math.cos(math.radians(slope_deg)), lead / (2.0 * math.pi * r))
    step, weight = np.array([float(np.median(off)), 0.0]), np.ones(len(off))
    for turn in range(_ROUNDS):
        away = (off - rows @ step) / steep
        scale = max(_WIDE * end.noise, 3.0 * float(np.median(np.abs(away))) * 0.5**turn)
        weight = np.maximum(1.0 - (away / scale) ** 2, 0.0) ** 2 / steep**2
        square = (rows * weight[:, None]).T @ rows
        if not np.linalg.det(square) > 0.0:
            return None
        step = np.linalg.solve(square, (rows * weight[:, None]).T @ off)
    if (weight > 0.3).sum() < max(_LEAST, 0.5 * len(off)):
        return None
    square_u = float(np.linalg.inv(square)[1, 1])
    if not square_u > 0.0:
        return None
    spread = end.noise * math.sqrt(square_u)
    return FlankLine(lug=i, kind=kind, lead_mm_per_rev=lead + float(step[1]), u=spread)


def disagreeing(
    lines: tuple[FlankLine, ...], width_deg: dict[int, float], inflate: float
) -> tuple[FlankLine, ...]:
    """Flanks whose lead is off the median of all by more than uncertainty, and by a notable depth.

    Parameters
    ----------
    lines : tuple of FlankLine
    width_deg : dict
        Of each lug: a lead off by d lowers one end of the flank by d width / 360 below the other.
    inflate : float
        Uncertainties are to be multiplied by this.
    """
    if len(lines) < 3:
        return ()
    middle = float(np.median([one.lead_mm_per_rev for one in lines]))
    spread = inflate * float(np.median([one.u for one in lines]))
    return tuple(
        one
        for one in lines
        if abs(one.lead_mm_per_rev - middle) > _SURE * math.hypot(inflate * one.u, spread)
        and abs(one.lead_mm_per_rev - middle) * width_deg[one.lug] / 360.0 > _NOTABLE_MM
    )
