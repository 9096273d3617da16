"""Faces of a parametric plug: which points belong to one, their distance, and its derivatives.

Distances are positive outside the material. Depths count from the shoulder, angles in degrees.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
Values = dict[str, float]

_TURN = math.pi / 180.0


@dataclass(frozen=True, kw_only=True)
class Shape:
    """What a plug has, beside its values."""

    lugs: int
    bodies: int
    root: int
    groove: str
    sign: int  # +1 where turning to lock increases theta
    parallel: bool


@dataclass(frozen=True, kw_only=True)
class Slope:
    """Distance, its gradient along r, theta (per mm) and depth, and by parameter."""

    f: Array
    by_r: Array
    by_around: Array
    by_depth: Array
    by: dict[str, Array]


@dataclass(frozen=True, kw_only=True)
class Face:
    """One face: a window where its points lie, and its distance there."""

    name: str
    window: Callable[[Array, Array, Array, Values], NDArray[np.bool_]]
    slope: Callable[[Array, Array, Array, Values], Slope]


def wrapped(theta: Array, middle: float) -> Array:
    """Angle from a middle, within half a turn [deg]."""
    return np.asarray((theta - middle + 180.0) % 360.0 - 180.0)


def half_at(shape: Shape, number: int, r: Array | float, v: Values) -> Array:
    """Half-width of a lug at a radius [deg]."""
    if shape.parallel:
        return np.degrees(np.arcsin(np.clip(v[f"lug.{number}.width"] / 2.0 / np.asarray(r), -1, 1)))
    return v[f"lug.{number}.width_deg"] / 2.0 + 0.0 * np.asarray(r)


def faces(shape: Shape, v: Values, margin: float) -> list[Face]:
    """Every face the values allow; windows stay a margin [mm] away from edges."""
    found: list[Face] = []
    rim = v.get("shoulder_diameter", math.nan) / 2.0
    lug_r = max(v[f"lug.{i}.outer_diameter"] for i in range(shape.lugs)) / 2.0
    first = v["body.0.diameter"] / 2.0
    spans = [(first, rim if math.isfinite(rim) else lug_r + 8.0)]
    if shape.groove == "shoulder_face":
        g0, g1 = v["groove.diameter"] / 2, v["groove.diameter"] / 2 + v["groove.width"]
        spans = [(first, g0), (g1, spans[0][1])]
    for r0, r1 in spans:
        found.append(_plane("shoulder", (), 1, r0, r1, margin))
    if math.isfinite(rim):
        found.append(_cylinder("rim", "shoulder_diameter", 1, -2.4, 0.0, margin))
    found += _bodies(shape, v, margin)
    found += _groove(shape, v, margin)
    for number in range(shape.lugs):
        found += _lug(shape, v, number, margin)
    return found


def _inset(low: float, high: float, margin: float) -> tuple[float, float]:
    keep = min(margin, 0.22 * max(high - low, 0.0))
    return low + keep, high - keep


def _cylinder(name: str, key: str, out: int, d0: float, d1: float, margin: float,
              more: str = "") -> Face:  # fmt: skip
    low, high = _inset(d0, d1, margin)

    def window(r: Array, theta: Array, depth: Array, v: Values) -> NDArray[np.bool_]:
        return (depth > low) & (depth < high)

    def slope(r: Array, theta: Array, depth: Array, v: Values) -> Slope:
        one, zero = np.full(len(r), float(out)), np.zeros(len(r))
        by = {key: -0.5 * one}
        if more:
            by[more] = -one
        at = v[key] / 2.0 + (v[more] if more else 0.0)
        return Slope(f=out * (r - at), by_r=one, by_around=zero, by_depth=zero, by=by)

    return Face(name=name, window=window, slope=slope)


def _plane(name: str, keys: tuple[tuple[str, float], ...], out: int, r0: float, r1: float,
           margin: float) -> Face:  # fmt: skip
    low, high = _inset(r0, r1, margin)

    def window(r: Array, theta: Array, depth: Array, v: Values) -> NDArray[np.bool_]:
        return (r > low) & (r < high)

    def slope(r: Array, theta: Array, depth: Array, v: Values) -> Slope:
        one, zero = np.full(len(r), float(out)), np.zeros(len(r))
        at = sum(v[key] * share for key, share in keys)
        by = {key: -one * share for key, share in keys}
        return Slope(f=out * (depth - at), by_r=zero, by_around=zero, by_depth=one, by=by)

    return Face(name=name, window=window, slope=slope)


def _bodies(shape: Shape, v: Values, margin: float) -> list[Face]:
    found, start = [], 0.0
    for number in range(shape.bodies):
        key, end_key = f"body.{number}.diameter", f"body.{number}.to_depth"
        r, last = v[key] / 2.0, number == shape.bodies - 1
        end = v[end_key]
        inner = 0.0 if last else v[f"body.{number + 1}.diameter"] / 2.0
        pieces = [(start, end)]
        if shape.groove == "radial" and start < v["groove.at_depth"] < end:
            stop = v["groove.at_depth"] + v["groove.width"]
            pieces = [(start, v["groove.at_depth"]), (stop, end)]
        for d0, d1 in pieces:
            body = _cylinder(f"body.{number}", key, 1, d0, d1, margin)
            found.append(_clear_of_lugs(body, shape, margin) if number == shape.root else body)
        reach = r - (1.05 if last else 0.0)
        if shape.groove == "nose_face" and last:
            g0, g1 = v["groove.diameter"] / 2, v["groove.diameter"] / 2 + v["groove.width"]
            spans = [(0.0, g0), (g1, reach)]
        else:
            spans = [(inner, reach)]
        found += [_plane(f"step.{number}", ((end_key, 1.0),), 1, a, b, margin) for a, b in spans]
        start = end
    return found


def _clear_of_lugs(face: Face, shape: Shape, margin: float) -> Face:
    def window(r: Array, theta: Array, depth: Array, v: Values) -> NDArray[np.bool_]:
        own = face.window(r, theta, depth, v)
        at = v[f"body.{shape.root}.diameter"] / 2.0
        for i in range(shape.lugs):
            angle = wrapped(theta, v[f"lug.{i}.centre_deg"])
            top = v[f"lug.{i}.bearing_depth"] + v["lead"] * shape.sign * angle / 360.0
            aside = np.abs(angle) > float(half_at(shape, i, at, v)) + margin / at / _TURN
            own &= aside | (depth < top - margin) | (depth > top + v[f"lug.{i}.thickness"] + margin)
        return own

    return Face(name=face.name, window=window, slope=face.slope)


def _groove(shape: Shape, v: Values, margin: float) -> list[Face]:
    if shape.groove == "none":
        return []
    key, width = "groove.diameter", "groove.width"
    if shape.groove == "radial":
        start = v["groove.at_depth"]
        stop, bottom = start + v[width], v[key] / 2.0
        over = max(v[f"body.{i}.diameter"] / 2.0 for i in range(shape.bodies)
                   if v[f"body.{i}.to_depth"] > stop)  # fmt: skip
        walls = ((("groove.at_depth", 1.0),), 1), ((("groove.at_depth", 1.0), (width, 1.0)), -1)
        return [
            _cylinder("groove.bottom", key, 1, start, stop, max(margin, 0.4)),
            *(_plane("groove.wall", at, out, bottom, over, max(margin, 0.35)) for at, out in walls),
        ]
    g0, g1 = v[key] / 2.0, v[key] / 2.0 + v[width]
    last = f"body.{shape.bodies - 1}.to_depth"
    base = v[last] if shape.groove == "nose_face" else 0.0
    keys = ((last, 1.0),) if shape.groove == "nose_face" else ()
    return [
        _plane("groove.bottom", (*keys, ("groove.depth", -1.0)), 1, g0, g1, margin),
        _cylinder("groove.wall", key, 1, base - v["groove.depth"], base, margin),
        _cylinder("groove.wall", key, -1, base - v["groove.depth"], base, margin, more=width),
    ]


def _lug(shape: Shape, v: Values, number: int, margin: float) -> list[Face]:
    base = f"lug.{number}"
    outer = v[f"{base}.outer_diameter"] / 2.0
    root = v[f"body.{shape.root}.diameter"] / 2.0
    low_r, high_r = _inset(root, outer, margin)
    thick = v[f"{base}.thickness"]
    keep = min(margin, 0.22 * thick)
    bearing_key, thick_key, centre_key = (
        f"{base}.{name}" for name in ("bearing_depth", "thickness", "centre_deg")
    )

    def inside(r: Array, theta: Array, v: Values) -> tuple[Array, NDArray[np.bool_]]:
        angle = wrapped(theta, v[centre_key])
        half = half_at(shape, number, r, v)
        aside = np.minimum(margin / np.maximum(r, 1.0) / _TURN, 0.22 * half)
        return angle, np.abs(angle) < half - aside

    def level(angle: Array, v: Values) -> Array:
        return v[bearing_key] + v["lead"] * shape.sign * angle / 360.0

    def outer_window(r: Array, theta: Array, depth: Array, v: Values) -> NDArray[np.bool_]:
        angle, within = inside(r, theta, v)
        above = depth - level(angle, v)
        return within & (above > keep) & (above < v[thick_key] - keep)

    def outer_slope(r: Array, theta: Array, depth: Array, v: Values) -> Slope:
        one, zero = np.ones(len(r)), np.zeros(len(r))
        key = f"{base}.outer_diameter"
        return Slope(
            f=r - v[key] / 2, by_r=one, by_around=zero, by_depth=zero, by={key: -0.5 * one}
        )

    def flank(kind: str, out: int) -> Face:
        def window(r: Array, theta: Array, depth: Array, v: Values) -> NDArray[np.bool_]:
            return inside(r, theta, v)[1] & (r > low_r) & (r < high_r)

        def slope(r: Array, theta: Array, depth: Array, v: Values) -> Slope:
            angle = wrapped(theta, v[centre_key])
            at = level(angle, v) + (v[thick_key] if kind == "leading" else 0.0)
            rise = v["lead"] * shape.sign / (2 * math.pi) / np.maximum(r, 1.0)
            steep = np.sqrt(1.0 + rise**2)
            one = out / steep
            by = {bearing_key: -one, "lead": -one * shape.sign * angle / 360.0,
                  centre_key: one * v["lead"] * shape.sign / 360.0}  # fmt: skip
            if kind == "leading":
                by[thick_key] = -one
            return Slope(f=one * (depth - at), by_r=np.zeros(len(r)), by_around=-one * rise,
                         by_depth=one, by=by)  # fmt: skip

        return Face(name=f"{base}.{kind}", window=window, slope=slope)

    def side(way: int) -> Face:
        def window(r: Array, theta: Array, depth: Array, v: Values) -> NDArray[np.bool_]:
            angle = wrapped(theta, v[centre_key])
            above = depth - level(angle, v)
            within = (above > keep) & (above < v[thick_key] - keep)
            return within & (r > low_r) & (r < high_r) & (way * angle > 0.0)

        def slope(r: Array, theta: Array, depth: Array, v: Values) -> Slope:
            angle = wrapped(theta, v[centre_key]) * _TURN
            if shape.parallel:
                key = f"{base}.width"
                f = way * r * np.sin(angle) - v[key] / 2.0
                by_r, around = way * np.sin(angle), way * np.cos(angle)
                by_width = np.full(len(r), -0.5)
            else:
                key = f"{base}.width_deg"
                away = v[key] / 2.0 * _TURN - way * angle
                f = -r * np.sin(away)
                by_r, around = -np.sin(away), way * np.cos(away)
                by_width = -r * np.cos(away) * _TURN / 2.0
            by = {key: by_width, centre_key: -r * around * _TURN}
            return Slope(f=f, by_r=by_r, by_around=around, by_depth=np.zeros(len(r)), by=by)

        return Face(name=f"{base}.side{way:+d}", window=window, slope=slope)

    return [
        Face(name=f"{base}.outer", window=outer_window, slope=outer_slope),
        flank("bearing", -1), flank("leading", 1), side(-1), side(1),
    ]  # fmt: skip
