"""Random plugs as plain numbers, and their true surfaces. Shares no code with the package.

A plug here is a dict of parameters in the words of the design file (mm, degrees; depths from the
shoulder), so that an error in the package's own model or fit cannot hide. Invented numbers.

Local frame: axis z, shoulder plane z = 0, depth = -z, theta counter-clockwise seen from outside.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, field

import numpy as np

Params = dict[str, float]
Cylindrical = tuple[np.ndarray, np.ndarray, np.ndarray]  # r [mm], theta [rad], depth [mm]
Implicit = Callable[[np.ndarray, np.ndarray, np.ndarray, Params], np.ndarray]


@dataclass(frozen=True)
class TruePlug:
    """A plug: parameters by key, and what is not a length."""

    p: Params
    count: int
    equal: bool
    hand: str  # right, left; the sense of the lead where it is not flat
    parallel: bool
    layout: str  # A, B, C
    groove: str  # radial, shoulder_face, nose_face, none
    steps: int
    rounded: bool  # edges broken by a radius, else by a chamfer
    edge: float  # leg or radius on lugs' outer edges
    step_edge: float
    corner: float  # radius in the corners of a radial groove
    lug_step: int
    nose_chamfer: float
    shoulder_thickness: float
    oval: tuple[float, float] = (0.0, 0.0)  # amplitude of r [mm], angle [rad]
    taper: float = 0.0  # r grows by this per mm of depth, on the bodies
    worn: tuple[int, float] | None = None  # lug, greatest loss at its bearing flank [mm]
    form: str = "block"  # block, pin
    corner_break: float = 0.0  # chamfer on the four corners of a lug on the developed plane [mm]
    fillet: float = 0.0  # radius at the lugs' foot [mm]
    lug_draft: float = 0.0  # the lugs' outside falls by this per mm of depth
    crown: float = 0.0  # flanks fall back by this from their middle to their ends [mm]
    has_shoulder: bool = True

    @property
    def sign(self) -> int:
        """+1 where turning to lock increases theta."""
        return 1 if self.hand == "left" else -1

    @property
    def width_key(self) -> str:
        return "width" if self.parallel else "width_deg"

    @property
    def is_flat(self) -> bool:
        return self.p["lug.0.lead"] == 0.0

    @property
    def has_own_leads(self) -> bool:
        """Whether the leading flanks have a lead of their own."""
        return "lug.0.leading_lead" in self.p

    @property
    def nose(self) -> float:
        return self.p[f"body.{self.steps - 1}.to_depth"]

    def keys_of_lug(self, i: int) -> list[str]:
        names = ("centre_deg", self.width_key, "outer_diameter", "bearing_depth", "thickness")
        more = ("lead", "leading_lead", "bearing_flank_deg", "leading_flank_deg")
        own = (f"lug.{i}.{name}" for name in (*names, *more))
        return [key for key in own if key in self.p]


@dataclass(frozen=True)
class Patch:
    """One face: points by (u, v) in the unit square, and an implicit function positive outside."""

    name: str
    at: Callable[[np.ndarray, np.ndarray], Cylindrical]
    size: tuple[float, float]  # lengths along u and v [mm]
    implicit: Implicit
    keys: tuple[str, ...] = ()
    is_edge: bool = False
    feature: str = field(default="")

    @property
    def area(self) -> float:
        return self.size[0] * self.size[1]


def random_plug(rng: np.random.Generator, **fixed: object) -> TruePlug:
    """A plug anywhere in the legal space; `fixed` may name count, equal, layout, flat, hand."""
    count = int(fixed.get("count", rng.integers(2, 9)))
    equal = bool(fixed.get("equal", rng.random() < 0.6))
    layout = str(fixed.get("layout", rng.choice(["A", "B", "C"])))
    flat = bool(fixed.get("flat", rng.random() < 0.3))
    lug_body = rng.uniform(9.0, 30.0)
    height = rng.uniform(1.5, min(6.0, 0.3 * lug_body))
    spacing = 360.0 / count
    share = rng.uniform(0.2, 0.4)
    width_deg = min(share * spacing, 60.0)
    thickness = rng.uniform(1.8, 6.0)
    half = math.radians(width_deg / 2)
    lead = 0.0 if flat else rng.uniform(2.0, 14.0)
    above = rng.uniform(1.5, 5.0)  # plain body between shoulder (or step) and lug
    below = rng.uniform(1.0, 4.0)
    reach = lead * width_deg / 720.0
    groove_width, groove_cut = rng.uniform(2.2, 5.5), rng.uniform(1.2, 3.0)
    p: Params = {}
    groove = "radial" if layout in "AB" else str(rng.choice(["shoulder_face", "nose_face"]))
    start = 0.0
    if layout == "B":
        before, after = rng.uniform(1.5, 4.0), rng.uniform(1.5, 3.0)
        start = before + groove_width + after
        p["body.0.diameter"] = 2 * (lug_body + height + rng.uniform(0.6, 4.0))
        p["body.0.to_depth"] = start
        p["groove.at_depth"] = before
    bearing = start + above + reach
    end = bearing + thickness + reach + below
    lug_step = 1 if layout == "B" else 0
    p[f"body.{lug_step}.diameter"] = 2 * lug_body
    p[f"body.{lug_step}.to_depth"] = end
    steps = lug_step + 1
    if layout == "A":
        smaller = max(lug_body - rng.uniform(0.8, 4.0), 6.0)
        before, after = rng.uniform(1.2, 4.0), rng.uniform(2.5, 5.0)
        p["body.1.diameter"] = 2 * smaller
        p["groove.at_depth"] = end + before
        p["body.1.to_depth"] = end + before + groove_width + after
        steps = 2
    largest = max(p["body.0.diameter"] / 2, lug_body + height)
    rim = largest + rng.uniform(2.0, 8.0)
    shoulder = rng.uniform(3.0, 6.0)
    if layout in "AB":
        step = 1 if layout == "A" else 0
        cut = min(groove_cut, p[f"body.{step}.diameter"] / 2 - 3.0)
        p["groove.diameter"] = p[f"body.{step}.diameter"] - 2 * cut
        p["groove.width"] = groove_width
    else:
        p["groove.depth"] = min(groove_cut, 0.6 * shoulder)
        groove_width = min(groove_width, 0.35 * lug_body)
        p["groove.width"] = groove_width
        if groove == "shoulder_face":
            inner = largest + rng.uniform(0.8, 2.0)
            rim = inner + groove_width + rng.uniform(1.5, 4.0)
        else:
            inner = rng.uniform(0.3, 0.5) * lug_body
        p["groove.diameter"] = 2 * inner
    p["shoulder_diameter"] = 2 * rim
    jitter = min(0.25 * (spacing - width_deg), 15.0)
    rounded = bool(rng.random() < 0.5)
    first = rng.uniform(0.0, spacing)
    how = rng.integers(0, 3)
    odd = int(rng.integers(0, count))
    parallel = bool(rng.random() < 0.4) and half < math.radians(28)
    for i in range(count):
        centre, wide = first + spacing * i, width_deg
        if not equal and how in (0, 2) and i == odd:
            centre += rng.choice([-1, 1]) * rng.uniform(0.6, 1.0) * max(jitter, 4.0)
        if not equal and how in (1, 2) and i == odd:
            wide *= rng.choice([0.65, 1.3])
        p[f"lug.{i}.centre_deg"] = centre % 360.0
        outer = lug_body + height
        chord = 2 * outer * math.sin(math.radians(wide / 2))
        p[f"lug.{i}.width" if parallel else f"lug.{i}.width_deg"] = chord if parallel else wide
        p[f"lug.{i}.outer_diameter"] = 2 * outer
        p[f"lug.{i}.bearing_depth"] = bearing
        p[f"lug.{i}.thickness"] = thickness
        p[f"lug.{i}.lead"] = lead
    edge = rng.choice([0.0, 1.0]) * rng.uniform(0.1, 0.5)
    return TruePlug(
        p=p, count=count, equal=equal, hand=str(fixed.get("hand", rng.choice(["right", "left"]))),
        parallel=parallel, layout=layout, groove=groove, steps=steps, rounded=rounded,
        edge=float(min(edge, 0.18 * thickness, 0.18 * height)),
        step_edge=float(rng.choice([0.0, 1.0]) * rng.uniform(0.1, 0.4)),
        corner=float(rng.choice([0.0, 0.3])) if layout in "AB" else 0.0, lug_step=lug_step,
        nose_chamfer=float(rng.choice([0.0, 0.5, 1.0])), shoulder_thickness=float(shoulder),
    )  # fmt: skip


def lug_angle(plug: TruePlug, i: int, theta: np.ndarray, p: Params) -> np.ndarray:
    """Angle from a lug's middle, counter-clockwise [rad], wrapped to a half turn."""
    away = theta - math.radians(p[f"lug.{i}.centre_deg"])
    return (away + math.pi) % (2 * math.pi) - math.pi


def bearing_at(plug: TruePlug, i: int, angle: np.ndarray, p: Params) -> np.ndarray:
    """Depth of the bearing flank at an angle from the middle [rad]: deeper towards lock."""
    lead = p[f"lug.{i}.lead"]
    return p[f"lug.{i}.bearing_depth"] + lead * plug.sign * angle / (2 * math.pi)


def flank_at(
    plug: TruePlug, i: int, kind: str, angle: np.ndarray, r: np.ndarray | float, p: Params
) -> np.ndarray:
    """Depth of a flank at an angle from the middle [rad] and a radius, wear left out.

    Depth and thickness are those at the lug's middle and at mid-height.
    """
    base = f"lug.{i}"
    lead = p[f"{base}.lead"]
    middle = (p[f"{base}.outer_diameter"] + p[f"body.{plug.lug_step}.diameter"]) / 4
    way = 1.0
    depth = p[f"{base}.bearing_depth"]
    if kind == "leading":
        lead, way = p.get(f"{base}.leading_lead", lead), -1.0
        depth = depth + p[f"{base}.thickness"]
    lean = way * math.tan(math.radians(p.get(f"{base}.{kind}_flank_deg", 0.0)))
    found = depth + lead * plug.sign * angle / (2 * math.pi) + lean * (r - middle)
    if plug.crown:
        half = half_angle(plug, i, 2 * middle / 2, p)
        found = found + way * plug.crown * (angle / half) ** 2
    return np.asarray(found)


def wear_at(plug: TruePlug, i: int, angle: np.ndarray) -> np.ndarray:
    """Loss of the bearing flank [mm]: none at one end of the lug, most at the other."""
    if plug.worn is None or plug.worn[0] != i:
        return np.zeros_like(angle)
    half = half_angle(plug, i, plug.p[f"lug.{i}.outer_diameter"] / 2, plug.p)
    return plug.worn[1] * np.clip(0.5 + 0.5 * plug.sign * angle / half, 0.0, 1.0) ** 2


def half_angle(plug: TruePlug, i: int, r: np.ndarray | float, p: Params) -> np.ndarray:
    """Half-width of a lug at a radius [rad]."""
    if plug.parallel:
        return np.arcsin(np.clip(p[f"lug.{i}.width"] / 2 / np.maximum(r, 1e-9), -1, 1))
    return np.radians(p[f"lug.{i}.width_deg"] / 2) + 0.0 * np.asarray(r)


def is_inside_lug(
    plug: TruePlug, r: np.ndarray, theta: np.ndarray, depth: np.ndarray
) -> np.ndarray:
    """Whether a point of the body is covered by a lug that stands on it."""
    hidden = np.zeros(len(r), dtype=bool)
    for i in range(plug.count):
        angle = lug_angle(plug, i, theta, plug.p)
        if plug.form == "pin":
            radius = plug.p[f"lug.{i}.thickness"] / 2
            away = depth - plug.p[f"lug.{i}.bearing_depth"] - radius
            hidden |= (np.hypot(r * np.sin(angle), away) < radius) & (np.abs(angle) < 1.0)
            continue
        f = plug.fillet
        top = flank_at(plug, i, "bearing", angle, r, plug.p) + wear_at(plug, i, angle) - f
        low = flank_at(plug, i, "leading", angle, r, plug.p) + f
        if f:
            side = half_angle(plug, i, r, plug.p) - np.abs(angle)
            hidden |= (side * r > -f) & (depth > top) & (depth < low)
            continue
        across = np.abs(angle) < half_angle(plug, i, r, plug.p)
        hidden |= across & (depth > top) & (depth < low)
    return hidden


def is_cut_off(plug: TruePlug, i: int, r: np.ndarray, theta: np.ndarray, depth: np.ndarray
               ) -> np.ndarray:  # fmt: skip
    """Whether points of a lug's faces are not there: corners broken, feet filled."""
    gone = np.zeros(len(r), dtype=bool)
    if plug.corner_break:
        side, flank = _insets(plug, i, r, theta, depth)
        gone |= (side + flank < plug.corner_break - 1e-9) & (side > -1e-9) & (flank > -1e-9)
    if plug.fillet:
        gone |= r < plug.p[f"body.{plug.lug_step}.diameter"] / 2 + plug.fillet
    return gone


def _insets(plug, i, r, theta, depth):
    """Distances inside the nearer side and the nearer flank [mm]."""
    angle = lug_angle(plug, i, theta, plug.p)
    side = (half_angle(plug, i, r, plug.p) - np.abs(angle)) * r
    top = flank_at(plug, i, "bearing", angle, r, plug.p) + wear_at(plug, i, angle)
    low = flank_at(plug, i, "leading", angle, r, plug.p)
    return side, np.minimum(depth - top, low - depth)


def faces(plug: TruePlug) -> list[Patch]:
    """Every face of the plug, the top of the shoulder included."""
    found = _turned_faces(plug)
    for i in range(plug.count):
        found += _pin_faces(plug, i) if plug.form == "pin" else _lug_faces(plug, i)
    return found


def _cylinder(name: str, key: str, p: Params, d0: float, d1: float, out: int = 1) -> Patch:
    r = p[key] / 2
    return Patch(
        name,
        lambda u, v: (r + 0 * u, 2 * math.pi * u, d0 + v * (d1 - d0)),
        (2 * math.pi * r, d1 - d0),
        lambda rr, tt, dd, q: out * (rr - q[key] / 2),
        (key,),
    )


def _ring(name: str, depth: Callable[[Params], float], p: Params, r0: float, r1: float,
          towards_tank: int, keys: tuple[str, ...] = ()) -> Patch:  # fmt: skip
    """A flat ring; `towards_tank` +1 where its outside looks into the tank."""
    at = depth(p)
    return Patch(
        name,
        lambda u, v: (np.sqrt(r0**2 + v * (r1**2 - r0**2)), 2 * math.pi * u, at + 0 * u),
        (math.pi * (r0 + r1), r1 - r0),
        lambda rr, tt, dd, q: towards_tank * (dd - depth(q)),
        keys,
    )


def _turned_edge(name: str, r: float, d: float, c: float, rounded: bool) -> Patch:
    """The broken outer edge where a cylinder ends in a face that looks into the tank."""

    def at(u: np.ndarray, v: np.ndarray) -> Cylindrical:
        inward, along = edge_profile(v, c, rounded)
        return r - inward, 2 * math.pi * u, d - along

    def implicit(rr: np.ndarray, tt: np.ndarray, dd: np.ndarray, q: Params) -> np.ndarray:
        return edge_distance(r - rr, d - dd, c, rounded)

    return Patch(name, at, (2 * math.pi * r, 1.41 * c), implicit, is_edge=True)


def edge_profile(v: np.ndarray, c: float, rounded: bool) -> tuple[np.ndarray, np.ndarray]:
    """Distances of a broken edge from the two faces it joins."""
    if rounded:
        return c - c * np.cos(v * math.pi / 2), c - c * np.sin(v * math.pi / 2)
    return c * v, c * (1 - v)


def edge_distance(one: np.ndarray, other: np.ndarray, c: float, rounded: bool) -> np.ndarray:
    if rounded:
        return np.hypot(c - one, c - other) - c
    return (c - one - other) / math.sqrt(2)


def _turned_faces(plug: TruePlug) -> list[Patch]:
    p, found = plug.p, []
    rim, top = p["shoulder_diameter"] / 2, plug.shoulder_thickness
    cut = plug.groove == "shoulder_face"
    if plug.has_shoulder:
        found.append(_cylinder("rim", "shoulder_diameter", p, -top, 0.0))
        found.append(_ring("top", lambda q: -top, p, 0.0, rim, -1))
        found += _face_with_groove(plug, "shoulder", lambda q: 0.0, p["body.0.diameter"] / 2,
                                   rim, cut)  # fmt: skip
    else:
        found.append(_ring("top", lambda q: 0.0, p, 0.0, p["body.0.diameter"] / 2, -1))
    d0 = 0.0
    for i in range(plug.steps):
        key, end = f"body.{i}.diameter", f"body.{i}.to_depth"
        r, d1, last = p[key] / 2, p[end], i == plug.steps - 1
        c = plug.nose_chamfer if last else plug.step_edge
        holds = plug.groove == "radial" and d0 < p["groove.at_depth"] < d1
        if holds:
            g0, g1 = p["groove.at_depth"], p["groove.at_depth"] + p["groove.width"]
            found += [
                _cylinder(f"body.{i}", key, p, d0, g0),
                _cylinder(f"body.{i}", key, p, g1, d1 - c),
            ]
            found += _radial_groove(plug, r, g0, g1)
        else:
            found.append(_cylinder(f"body.{i}", key, p, d0, d1 - c))
        if c > 0:
            found.append(_turned_edge(f"edge.{i}", r, d1, c, plug.rounded and not last))
        inner = 0.0 if last else p[f"body.{i + 1}.diameter"] / 2
        cut = last and plug.groove == "nose_face"
        found += _face_with_groove(
            plug, f"step.{i}", lambda q, e=end: q[e], inner, r - c, cut, (end,)
        )
        d0 = d1
    return found


def _face_with_groove(plug: TruePlug, name: str, depth: Callable[[Params], float], r0: float,
                      r1: float, cut: bool, keys: tuple[str, ...] = ()) -> list[Patch]:  # fmt: skip
    p = plug.p
    if not cut:
        return [_ring(name, depth, p, r0, r1, 1, keys)]
    inner, outer = p["groove.diameter"] / 2, p["groove.diameter"] / 2 + p["groove.width"]
    base = depth(p)
    bottom = _ring("groove.bottom", lambda q: depth(q) - q["groove.depth"], p, inner, outer, 1,
                   (*keys, "groove.depth"))  # fmt: skip
    wall = _cylinder("groove.wall", "groove.diameter", p, base - p["groove.depth"], base)
    far = Patch(
        "groove.wall",
        lambda u, v: (outer + 0 * u, 2 * math.pi * u, base - p["groove.depth"] * v),
        (2 * math.pi * outer, p["groove.depth"]),
        lambda rr, tt, dd, q: q["groove.diameter"] / 2 + q["groove.width"] - rr,
        ("groove.diameter", "groove.width"),
    )
    return [_ring(name, depth, p, r0, inner, 1, keys), _ring(name, depth, p, outer, r1, 1, keys),
            bottom, wall, far]  # fmt: skip


def _radial_groove(plug: TruePlug, r: float, g0: float, g1: float) -> list[Patch]:
    p, c = plug.p, plug.corner
    b = p["groove.diameter"] / 2
    start, width = "groove.at_depth", "groove.width"
    found = [
        _cylinder("groove.bottom", "groove.diameter", p, g0 + c, g1 - c),
        _ring("groove.wall", lambda q: q[start], p, b + c, r, 1, (start,)),
        _ring("groove.wall", lambda q: q[start] + q[width], p, b + c, r, -1, (start, width)),
    ]
    for wall, way in ((g0, 1.0), (g1, -1.0)) if c else ():

        def at(u: np.ndarray, v: np.ndarray, wall: float = wall, way: float = way) -> Cylindrical:
            turn = v * math.pi / 2
            return b + c - c * np.cos(turn), 2 * math.pi * u, wall + way * (c - c * np.sin(turn))

        def implicit(rr: np.ndarray, tt: np.ndarray, dd: np.ndarray, q: Params,
                     wall: float = wall, way: float = way) -> np.ndarray:  # fmt: skip
            return c - np.hypot(rr - b - c, dd - wall - way * c)

        found.append(
            Patch("groove.corner", at, (2 * math.pi * b, 1.57 * c), implicit, is_edge=True)
        )
    return found


def _lug_faces(plug: TruePlug, i: int) -> list[Patch]:
    p, c, name = plug.p, plug.edge, f"lug.{i}"
    outer, thick = p[f"{name}.outer_diameter"] / 2, p[f"{name}.thickness"]
    width_key = f"{name}.{plug.width_key}"

    def within(r: np.ndarray, inset: np.ndarray | float) -> np.ndarray:
        """Angle from the middle of a line at a distance inside a side."""
        if plug.parallel:
            return np.arcsin((p[width_key] / 2 - inset) / r)
        return half_angle(plug, i, r, p) - np.arcsin(inset / r)

    def face(angle: np.ndarray, r: np.ndarray | float, q: Params) -> np.ndarray:
        return flank_at(plug, i, "bearing", angle, r, q) + wear_at(plug, i, angle)

    def leading(angle: np.ndarray, r: np.ndarray | float, q: Params) -> np.ndarray:
        return flank_at(plug, i, "leading", angle, r, q)

    flat_in = float(within(np.array(outer), c))
    arc = 2 * outer * flat_in
    flank_keys = (f"{name}.bearing_depth", f"{name}.centre_deg")
    return [
        _lug_outer(plug, i, flat_in, arc, face, leading),
        *_lug_flanks(plug, i, within, face, leading, flank_keys),
        *_lug_sides(plug, i, within, face, leading, (width_key, f"{name}.centre_deg")),
        *(_lug_edges(plug, i, within, face, leading, arc, thick) if c else []),
        *(_lug_corners(plug, i, within, face, leading) if plug.corner_break else []),
        *(_lug_fillets(plug, i, within, face, leading) if plug.fillet else []),
    ]


def _lug_outer(plug: TruePlug, i: int, flat_in: float, arc: float, face, leading) -> Patch:
    p, c, key = plug.p, plug.edge, f"lug.{i}.outer_diameter"
    middle = math.radians(p[f"lug.{i}.centre_deg"])

    def at(u: np.ndarray, v: np.ndarray) -> Cylindrical:
        angle = flat_in * (2 * u - 1)
        r = p[key] / 2
        top, low = face(angle, r, p) + c, leading(angle, r, p) - c
        depth = top + v * (low - top)
        return r - plug.lug_draft * (depth - level(p)), middle + angle, depth

    def level(q: Params) -> float:
        return q[f"lug.{i}.bearing_depth"] + q[f"lug.{i}.thickness"] / 2

    def implicit(rr, tt, dd, q) -> np.ndarray:
        return rr - q[key] / 2 + plug.lug_draft * (dd - level(q))

    zero, r = np.zeros(1), p[key] / 2
    size = (arc, float((leading(zero, r, p) - face(zero, r, p))[0]) - 2 * c)
    return Patch(f"lug.{i}.outer", at, size, implicit, (key,))


_FLANK_KEYS = {
    ("bearing", False): ("lead", "bearing_flank_deg"),
    ("bearing", True): ("lead", "bearing_flank_deg"),
    ("leading", False): ("lead", "thickness", "leading_flank_deg"),
    ("leading", True): ("leading_lead", "thickness", "leading_flank_deg"),
}


def _lug_flanks(
    plug: TruePlug, i: int, within, face, leading, keys: tuple[str, ...]
) -> list[Patch]:
    p, c = plug.p, plug.edge
    outer, root = p[f"lug.{i}.outer_diameter"] / 2, p[f"body.{plug.lug_step}.diameter"] / 2
    middle = math.radians(p[f"lug.{i}.centre_deg"])
    found = []
    for kind, depth, out in (("bearing", face, -1), ("leading", leading, 1)):

        def at(u: np.ndarray, v: np.ndarray, depth=depth) -> Cylindrical:
            r = np.sqrt(root**2 + v * ((outer - c) ** 2 - root**2))
            angle = within(r, 0.0) * (2 * u - 1)
            return r, middle + angle, depth(angle, r, p)

        def implicit(rr, tt, dd, q, depth=depth, out=out) -> np.ndarray:
            return out * (dd - depth(lug_angle(plug, i, tt, q), rr, q))

        more = tuple(f"lug.{i}.{name}" for name in _FLANK_KEYS[kind, plug.has_own_leads])
        more = tuple(key for key in more if key in p)
        mean = (outer - c + root) / 2
        size = (2 * mean * float(within(np.array(mean), 0.0)), outer - c - root)
        found.append(Patch(f"lug.{i}.{kind}", at, size, implicit, (*keys, *more)))
    return found


def _lug_sides(plug: TruePlug, i: int, within, face, leading, keys: tuple[str, ...]) -> list[Patch]:
    p, c = plug.p, plug.edge
    outer, root = p[f"lug.{i}.outer_diameter"] / 2, p[f"body.{plug.lug_step}.diameter"] / 2
    middle = math.radians(p[f"lug.{i}.centre_deg"])
    found = []
    for way in (-1, 1):

        def at(u: np.ndarray, v: np.ndarray, way: int = way) -> Cylindrical:
            r = root + v * (outer - c - root)
            angle = way * within(r, 0.0)
            top, low = face(angle, r, p), leading(angle, r, p)
            return r, middle + angle, top + u * (low - top)

        def implicit(rr, tt, dd, q, way: int = way) -> np.ndarray:
            return -_from_side(plug, i, rr, lug_angle(plug, i, tt, q), way, q)

        size = (p[f"lug.{i}.thickness"], outer - c - root)
        found.append(Patch(f"lug.{i}.side{way:+d}", at, size, implicit, keys))
    return found


def _from_side(plug: TruePlug, i: int, r, angle, way: int, q: Params) -> np.ndarray:
    """Distance inside a side [mm]."""
    if plug.parallel:
        return q[f"lug.{i}.width"] / 2 - way * r * np.sin(angle)
    return r * np.sin(np.radians(q[f"lug.{i}.width_deg"] / 2) - way * angle)


def _lug_edges(
    plug: TruePlug, i: int, within, face, leading, arc: float, thick: float
) -> list[Patch]:
    p, c = plug.p, plug.edge
    outer = p[f"lug.{i}.outer_diameter"] / 2
    middle = math.radians(p[f"lug.{i}.centre_deg"])
    found = []
    for depth, way in ((face, 1), (leading, -1)):

        def at(u, v, depth=depth, way: int = way) -> Cylindrical:
            inward, along = edge_profile(v, c, plug.rounded)
            angle = within(np.array(outer), c) * (2 * u - 1)
            return outer - inward, middle + angle, depth(angle, outer - inward, p) + way * along

        def implicit(rr, tt, dd, q, depth=depth, way: int = way) -> np.ndarray:
            inset = way * (dd - depth(lug_angle(plug, i, tt, q), rr, q))
            return edge_distance(outer - rr, inset, c, plug.rounded)

        found.append(Patch(f"lug.{i}.edge", at, (arc, 1.41 * c), implicit, is_edge=True))
    for way in (-1, 1):

        def at_side(u, v, way: int = way) -> Cylindrical:
            inward, inset = edge_profile(v, c, plug.rounded)
            angle = way * within(outer - inward, inset)
            r = outer - inward
            top, low = face(angle, r, p) + c, leading(angle, r, p) - c
            return outer - inward, middle + angle, top + u * (low - top)

        def implicit_side(rr, tt, dd, q, way: int = way) -> np.ndarray:
            inset = _from_side(plug, i, rr, lug_angle(plug, i, tt, q), way, q)
            return edge_distance(outer - rr, inset, c, plug.rounded)

        size = (thick - 2 * c, 1.41 * c)
        found.append(Patch(f"lug.{i}.edge", at_side, size, implicit_side, is_edge=True))
    return found


def _lug_corners(plug: TruePlug, i: int, within, face, leading) -> list[Patch]:
    """The broken corners on the developed plane, from foot to outside."""
    p, c = plug.p, plug.corner_break
    outer, root = p[f"lug.{i}.outer_diameter"] / 2, p[f"body.{plug.lug_step}.diameter"] / 2
    middle = math.radians(p[f"lug.{i}.centre_deg"])
    found = []
    for depth, down in ((face, 1), (leading, -1)):
        for way in (-1, 1):

            def at(u, v, depth=depth, down: int = down, way: int = way) -> Cylindrical:
                r = root + u * (outer - root)
                angle = way * within(r, c * v)
                return r, middle + angle, depth(angle, r, p) + down * c * (1 - v)

            def implicit(rr, tt, dd, q, depth=depth, down: int = down, way: int = way):
                angle = lug_angle(plug, i, tt, q)
                side = _from_side(plug, i, rr, angle, way, q)
                return (c - side - down * (dd - depth(angle, rr, q))) / math.sqrt(2)

            size = (outer - root, 1.41 * c)
            found.append(Patch(f"lug.{i}.corner", at, size, implicit, is_edge=True))
    return found


def _lug_fillets(plug: TruePlug, i: int, within, face, leading) -> list[Patch]:
    """The hollow at a lug's foot along its flanks and sides."""
    p, f = plug.p, plug.fillet
    root = p[f"body.{plug.lug_step}.diameter"] / 2
    middle = math.radians(p[f"lug.{i}.centre_deg"])
    found = []

    def profile(v: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        return root + f * (1 - np.cos(v * math.pi / 2)), f * (1 - np.sin(v * math.pi / 2))

    def hollow(rr: np.ndarray, away: np.ndarray) -> np.ndarray:
        return f - np.hypot(root + f - rr, f - away)

    for depth, down in ((face, 1), (leading, -1)):

        def at(u, v, depth=depth, down: int = down) -> Cylindrical:
            r, away = profile(v)
            angle = within(r, 0.0) * (2 * u - 1)
            return r, middle + angle, depth(angle, r, p) - down * away

        def implicit(rr, tt, dd, q, depth=depth, down: int = down) -> np.ndarray:
            return hollow(rr, down * (depth(lug_angle(plug, i, tt, q), rr, q) - dd))

        size = (2 * root * float(within(np.array(root), 0.0)), 1.57 * f)
        found.append(Patch(f"lug.{i}.fillet", at, size, implicit, is_edge=True))
    for way in (-1, 1):

        def at_side(u, v, way: int = way) -> Cylindrical:
            r, away = profile(v)
            angle = way * (within(r, 0.0) + away / r)
            top, low = face(angle, r, p), leading(angle, r, p)
            return r, middle + angle, top + u * (low - top)

        def implicit_side(rr, tt, dd, q, way: int = way) -> np.ndarray:
            return hollow(rr, -_from_side(plug, i, rr, lug_angle(plug, i, tt, q), way, q))

        size = (p[f"lug.{i}.thickness"], 1.57 * f)
        found.append(Patch(f"lug.{i}.fillet", at_side, size, implicit_side, is_edge=True))
    return found


def _pin_faces(plug: TruePlug, i: int) -> list[Patch]:
    """A round radial pin: barrel, and its end, turned with the plug."""
    p = plug.p
    outer, root = p[f"lug.{i}.outer_diameter"] / 2, p[f"body.{plug.lug_step}.diameter"] / 2
    radius = p[f"lug.{i}.thickness"] / 2
    level = p[f"lug.{i}.bearing_depth"] + radius
    middle = math.radians(p[f"lug.{i}.centre_deg"])

    def barrel(u: np.ndarray, v: np.ndarray) -> Cylindrical:
        r = root + v * (outer - root)
        across = radius * np.cos(2 * math.pi * u)
        return r, middle + np.arcsin(across / r), level + radius * np.sin(2 * math.pi * u)

    def end(u: np.ndarray, v: np.ndarray) -> Cylindrical:
        s = radius * np.sqrt(v)
        across, along = s * np.cos(2 * math.pi * u), s * np.sin(2 * math.pi * u)
        return outer + 0 * u, middle + np.arcsin(across / outer), level + along

    def off_axis(rr, tt, dd, q) -> np.ndarray:
        across = rr * np.sin(lug_angle(plug, i, tt, q))
        return np.hypot(across, dd - level) - radius

    return [
        Patch(f"lug.{i}.barrel", barrel, (2 * math.pi * radius, outer - root), off_axis),
        Patch(f"lug.{i}.outer", end, (math.pi * radius, radius),
              lambda rr, tt, dd, q: rr - q[f"lug.{i}.outer_diameter"] / 2),
    ]  # fmt: skip
