"""Faces of the parametric plug: signed distance, its rates, and how far inside a face a point is.

Local frame: z out of the tank, shoulder at 0, depth = -z. Angles in rad, lengths in mm; distances
are positive outside the material.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from bayonet.scan.fit.frame_points import Spots, turned_from
from bayonet.scan.fit.keys import Key, body_key, groove_key, lug_key

Array = NDArray[np.float64]
Values = Mapping[str, float]

POSE = ("x", "y", "z", "tilt_x", "tilt_y")
FLARE = "flare"
FORM = ("oval_c", "oval_s", "taper")
FLANKS = ("twist", "bearing_lean", "leading_lean")
"""What flanks have beside a common lead: what the leading one's slope is more than the bearing's
[mm/rad], and how much deeper each lies per mm outwards."""
_OWN = ("centre", "half", "r", "bearing", "thickness", "slope", *FLANKS)


@dataclass(frozen=True, kw_only=True)
class Rates:
    """Gradient of a distance in space, and its rates by the shape's own parameters."""

    slope: tuple[Array, Array, Array]
    by: dict[str, Array]


@dataclass(frozen=True, kw_only=True)
class Face:
    """One face; ``lug`` is None on turned faces."""

    name: str
    group: str
    lug: int | None
    off: Callable[[Spots, Values], Array]
    rates: Callable[[Spots, Values], Rates]
    insets: Callable[[Spots, Values], dict[str, Array]]


@dataclass(frozen=True, kw_only=True)
class Shape:
    """What a plug is made of; ``flanks`` names those of `FLANKS` that are fitted."""

    steps: int
    lugs: int
    root: int
    groove: str  # radial, shoulder_face, nose_face, none
    holder: int
    parallel: bool
    has_rim: bool
    has_top: bool
    flanks: tuple[str, ...] = ()
    names: tuple[str, ...] = field(default=())

    def all_names(self) -> tuple[str, ...]:
        """Names of every parameter, in order."""
        names = [*POSE]
        names += ["rim.r"] if self.has_rim else []
        names += ["top.z"] if self.has_top else []
        for i in range(self.steps):
            names += [body_key(i, name) for name in ("r", "end", *FORM)]
        if self.groove == "radial":
            names += [groove_key(name) for name in ("r", "start", "width", *FORM)]
        elif self.groove != "none":
            names += [groove_key(name) for name in ("r", "width", "depth")]
        for i in range(self.lugs):
            names += [lug_key(i, name) for name in _OWN]
        return (*names, FLARE)


def lug_angle(c: Spots, v: Values, i: int) -> Array:
    """Angle from a lug's middle [rad], within half a turn."""
    return turned_from(c.theta, v[lug_key(i, "centre")])


def half_at(shape: Shape, v: Values, i: int, r: Array) -> Array:
    """Half-width of a lug at radii [rad]."""
    half = v[lug_key(i, "half")]
    if shape.parallel:
        return np.asarray(np.arcsin(np.clip(half / r, -1.0, 1.0)))
    return np.asarray(half + v[FLARE] * (r - _mid_r(shape, v, i)))


def _mid_r(shape: Shape, v: Values, i: int) -> float:
    return (v[lug_key(i, "r")] + v[body_key(shape.root, "r")]) / 2.0


def flank_depth(shape: Shape, c: Spots, v: Values, i: int, *, leading: bool) -> Array:
    """Depth of a lug's flank at points' angles and radii.

    The bearing depth and the thickness are those at the lug's middle, half way up.
    """
    base = lug_key(i)
    middle = v[base.of("bearing")] + (v[base.of("thickness")] if leading else 0.0)
    depth = middle + flank_slope(v, i, leading=leading) * lug_angle(c, v, i)
    lean = v[base.of("leading_lean" if leading else "bearing_lean")]
    return np.asarray(depth + lean * (c.r - _mid_r(shape, v, i)) if lean else depth)


def flank_slope(v: Values, i: int, *, leading: bool) -> float:
    """Depth a radian of one flank [mm]."""
    return v[lug_key(i, "slope")] + (v[lug_key(i, "twist")] if leading else 0.0)


def from_lug(shape: Shape, c: Spots, v: Values, i: int) -> Array:
    """How far a point stands outside a lug's outline on the developed plane [mm]."""
    angle = lug_angle(c, v, i)
    side = (np.abs(angle) - half_at(shape, v, i, c.r)) * c.r
    top, low = (flank_depth(shape, c, v, i, leading=leading) for leading in (False, True))
    return np.asarray(np.maximum(side, np.maximum(top - c.depth, c.depth - low)))


def faces(shape: Shape) -> list[Face]:
    """Every face of a shape."""
    found = []
    if shape.has_rim:
        found.append(_cylinder("rim", "rim", "rim.r", 1, False, shape, _rim_insets))
    if shape.has_top:
        found.append(_plane("top", "top", lambda _: {"top.z": -1.0}, -1, _top_insets))
    found += _shoulder(shape)
    for i in range(shape.steps):
        found += _body(shape, i)
    if shape.groove != "none":
        found += _groove(shape)
    for i in range(shape.lugs):
        found += _lug(shape, i)
    return found


def _cylinder(name: str, group: str, key: str, out: int, formed: bool, shape: Shape,
              insets: Callable[[Spots, Values], dict[str, Array]],
              extra: str | None = None) -> Face:  # fmt: skip
    base = Key(key).base

    def middle(v: Values) -> float:
        low, high = _extent(shape, base, v)
        return (low + high) / 2.0

    def form(c: Spots, v: Values) -> tuple[Array, Array, Array]:
        return c.cos**2 - c.sin**2, 2.0 * c.cos * c.sin, c.depth - middle(v)

    def off(c: Spots, v: Values) -> Array:
        radius = v[key] + (v[extra] if extra else 0.0)
        away = c.r - radius
        if formed and any(v[base.of(one)] for one in FORM):
            for one, shift in zip(FORM, form(c, v), strict=True):
                away = away - v[base.of(one)] * shift
        return np.asarray(out * away)

    def rates(c: Spots, v: Values) -> Rates:
        ones = np.full(len(c.r), -float(out))
        by = {key: ones}
        if extra:
            by[extra] = ones
        if formed:
            shifts = zip(FORM, form(c, v), strict=True)
            by |= {base.of(one): -out * shift for one, shift in shifts}
        return Rates(slope=(out * c.cos, out * c.sin, np.zeros(len(c.r))), by=by)

    return Face(name=name, group=group, lug=None, off=off, rates=rates, insets=insets)


def _extent(shape: Shape, base: Key, v: Values) -> tuple[float, float]:
    i = base.of("end").number
    if base.part == "body" and i is not None:
        return (v[body_key(i - 1, "end")] if i else 0.0), v[body_key(i, "end")]
    if base == "groove" and shape.groove == "radial":
        return v["groove.start"], v["groove.start"] + v["groove.width"]
    return 0.0, 0.0


def _plane(name: str, group: str, depth_by: Callable[[Values], dict[str, float]], out: int,
           insets: Callable[[Spots, Values], dict[str, Array]]) -> Face:  # fmt: skip
    """A turned plane; its depth is a sum of parameters, ``out`` +1 where it looks into the tank."""

    def off(c: Spots, v: Values) -> Array:
        depth = sum(times * v[key] for key, times in depth_by(v).items())
        return np.asarray(out * (c.depth - depth))

    def rates(c: Spots, v: Values) -> Rates:
        none, ones = np.zeros(len(c.r)), np.ones(len(c.r))
        by = {key: -out * times * ones for key, times in depth_by(v).items()}
        return Rates(slope=(none, none, -out * ones), by=by)

    return Face(name=name, group=group, lug=None, off=off, rates=rates, insets=insets)


def _rim_insets(c: Spots, v: Values) -> dict[str, Array]:
    return {"under": -c.depth, "over": c.depth + v.get("top.z", np.inf)}


def _top_insets(c: Spots, v: Values) -> dict[str, Array]:
    return {"outer": v.get("rim.r", np.inf) - c.r}


def _shoulder(shape: Shape) -> list[Face]:
    def rim(v: Values) -> float:
        return v.get("rim.r", np.inf)

    def whole(c: Spots, v: Values) -> dict[str, Array]:
        return {"root": c.r - v["body.0.r"], "outer": rim(v) - c.r}

    def inner(c: Spots, v: Values) -> dict[str, Array]:
        return {"root": c.r - v["body.0.r"], "groove": v["groove.r"] - c.r}

    def outer(c: Spots, v: Values) -> dict[str, Array]:
        return {"groove": c.r - v["groove.r"] - v["groove.width"], "outer": rim(v) - c.r}

    zones = (inner, outer) if shape.groove == "shoulder_face" else (whole,)
    return [_plane("shoulder", "shoulder", lambda _: {}, 1, zone) for zone in zones]


def _body(shape: Shape, i: int) -> list[Face]:
    key, end, last = body_key(i, "r"), body_key(i, "end"), i == shape.steps - 1
    holds = shape.groove == "radial" and shape.holder == i

    def along(c: Spots, v: Values) -> dict[str, Array]:
        low, high = _extent(shape, body_key(i), v)
        found = {"start": c.depth - low, "end": high - c.depth}
        if holds:
            before = v["groove.start"] - c.depth
            found["groove"] = np.maximum(before, -before - v["groove.width"])
        if i == shape.root:
            near = [from_lug(shape, c, v, number) for number in range(shape.lugs)]
            found["foot"] = np.min(near, axis=0)
        return found

    def across(c: Spots, v: Values) -> dict[str, Array]:
        found = {"outer": v[key] - c.r}
        if not last:
            found["root"] = c.r - v[body_key(i + 1, "r")]
        if last and shape.groove == "nose_face":
            before = v["groove.r"] - c.r
            found["groove"] = np.maximum(before, -before - v["groove.width"])
        return found

    return [
        _cylinder(body_key(i), body_key(i), key, 1, True, shape, along),
        _plane(f"step.{i}", "nose" if last else "step", lambda _: {end: 1.0}, 1, across),
    ]


def _groove(shape: Shape) -> list[Face]:
    if shape.groove == "radial":
        return _radial_groove(shape)
    base: dict[str, float] = (
        {} if shape.groove == "shoulder_face" else {body_key(shape.steps - 1, "end"): 1.0}
    )

    def mouth(v: Values) -> float:
        return sum(v[key] for key in base)

    def floor(c: Spots, v: Values) -> dict[str, Array]:
        return {"corner": np.minimum(c.r - v["groove.r"], v["groove.r"] + v["groove.width"] - c.r)}

    def wall(c: Spots, v: Values) -> dict[str, Array]:
        up = c.depth - mouth(v) + v["groove.depth"]
        return {"corner": up, "mouth": mouth(v) - c.depth}

    return [
        _plane("groove.bottom", "groove.bottom", lambda _: {**base, "groove.depth": -1.0}, 1,
               floor),
        _cylinder("groove.inner", "groove.wall", "groove.r", 1, False, shape, wall),
        _cylinder("groove.outer", "groove.wall", "groove.r", -1, False, shape, wall,
                  extra="groove.width"),
    ]  # fmt: skip


def _radial_groove(shape: Shape) -> list[Face]:
    body = body_key(shape.holder, "r")

    def floor(c: Spots, v: Values) -> dict[str, Array]:
        up = c.depth - v["groove.start"]
        return {"corner": np.minimum(up, v["groove.width"] - up)}

    def wall(c: Spots, v: Values) -> dict[str, Array]:
        return {"corner": c.r - v["groove.r"], "mouth": v[body] - c.r}

    return [
        _cylinder("groove.bottom", "groove.bottom", "groove.r", 1, True, shape, floor),
        _plane("groove.near", "groove.wall", lambda _: {"groove.start": 1.0}, 1, wall),
        _plane("groove.far", "groove.wall",
               lambda _: {"groove.start": 1.0, "groove.width": 1.0}, -1, wall),
    ]  # fmt: skip


def _lug(shape: Shape, i: int) -> list[Face]:
    base = lug_key(i)
    return [
        _lug_outer(shape, i, base), _flank(shape, i, base, False), _flank(shape, i, base, True),
        _side(shape, i, base, 1), _side(shape, i, base, -1),
    ]  # fmt: skip


def _along(shape: Shape, c: Spots, v: Values, i: int) -> dict[str, Array]:
    top, low = (flank_depth(shape, c, v, i, leading=leading) for leading in (False, True))
    return {"bearing": c.depth - top, "leading": low - c.depth}


def _across(shape: Shape, c: Spots, v: Values, i: int) -> Array:
    return np.asarray((half_at(shape, v, i, c.r) - np.abs(lug_angle(c, v, i))) * c.r)


def _radially(shape: Shape, c: Spots, v: Values, i: int) -> dict[str, Array]:
    return {"root": c.r - v[body_key(shape.root, "r")], "outer": v[lug_key(i, "r")] - c.r}


def _lug_outer(shape: Shape, i: int, base: Key) -> Face:
    key = base.of("r")

    def rates(c: Spots, _: Values) -> Rates:
        return Rates(slope=(c.cos, c.sin, np.zeros(len(c.r))), by={key: -np.ones(len(c.r))})

    def insets(c: Spots, v: Values) -> dict[str, Array]:
        return {"side": _across(shape, c, v, i), **_along(shape, c, v, i)}

    return Face(name=base.of("outer"), group="lug.outer", lug=i, off=lambda c, v: c.r - v[key],
                rates=rates, insets=insets)  # fmt: skip


def _flank(shape: Shape, i: int, base: Key, leading: bool) -> Face:
    out = 1.0 if leading else -1.0

    lean_key = base.of("leading_lean" if leading else "bearing_lean")
    root = body_key(shape.root, "r")

    def steep(c: Spots, v: Values) -> Array:
        return np.sqrt(1.0 + v[lean_key] ** 2 + (flank_slope(v, i, leading=leading) / c.r) ** 2)

    def off(c: Spots, v: Values) -> Array:
        depth = flank_depth(shape, c, v, i, leading=leading)
        return np.asarray(out * (c.depth - depth) / steep(c, v))

    def rates(c: Spots, v: Values) -> Rates:
        angle, slope, lean = lug_angle(c, v, i), flank_slope(v, i, leading=leading), v[lean_key]
        unit = out / steep(c, v)
        turn = -unit * slope / c.r
        by: dict[str, Array] = {base.of("bearing"): -unit, base.of("slope"): -unit * angle,
              base.of("centre"): unit * slope}  # fmt: skip
        if leading:
            by |= {base.of("thickness"): -unit, base.of("twist"): -unit * angle}
        by[lean_key] = -unit * (c.r - _mid_r(shape, v, i))
        if not lean:
            return Rates(slope=(-turn * c.sin, turn * c.cos, -unit), by=by)
        by |= {base.of("r"): unit * lean / 2.0, root: unit * lean / 2.0}
        inward = unit * lean
        slopes = (-turn * c.sin - inward * c.cos, turn * c.cos - inward * c.sin, -unit)
        return Rates(slope=slopes, by=by)

    def insets(c: Spots, v: Values) -> dict[str, Array]:
        return {"side": _across(shape, c, v, i), **_radially(shape, c, v, i)}

    name = "leading" if leading else "bearing"
    return Face(name=base.of(name), group=f"lug.{name}", lug=i, off=off, rates=rates,
                insets=insets)  # fmt: skip


def _side(shape: Shape, i: int, base: Key, way: int) -> Face:
    centre, half = base.of("centre"), base.of("half")

    def off(c: Spots, v: Values) -> Array:
        angle = lug_angle(c, v, i)
        if shape.parallel:
            return np.asarray(way * c.r * np.sin(angle) - v[half])
        return np.asarray(c.r * np.sin(way * angle - half_at(shape, v, i, c.r)))

    def rates(c: Spots, v: Values) -> Rates:
        angle = lug_angle(c, v, i)
        if shape.parallel:
            turn, out = way * np.cos(angle), way * np.sin(angle)
            by: dict[str, Array] = {half: -np.ones(len(c.r)), centre: -turn * c.r}
        else:
            inner = way * angle - half_at(shape, v, i, c.r)
            turn, out = way * np.cos(inner), np.sin(inner)
            along = -c.r * np.cos(inner)
            by = {half: along, centre: -turn * c.r,
                  FLARE: along * (c.r - _mid_r(shape, v, i))}  # fmt: skip
        slope = (out * c.cos - turn * c.sin, out * c.sin + turn * c.cos, np.zeros(len(c.r)))
        return Rates(slope=slope, by=by)

    def insets(c: Spots, v: Values) -> dict[str, Array]:
        near = {"facing": way * lug_angle(c, v, i) * c.r}
        return {**_radially(shape, c, v, i), **_along(shape, c, v, i), **near}

    return Face(name=base.of(f"side{way:+d}"), group="lug.side", lug=i, off=off, rates=rates,
                insets=insets)  # fmt: skip
