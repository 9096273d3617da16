"""Works every chain of a findings.json out again from that file alone: numpy and scipy, no more.

A second implementation, written from the words and formulas of the file. By hand:
``python tests/recompute.py findings.json``.
"""

from __future__ import annotations

import itertools
import json
import math
import sys
from collections.abc import Callable
from functools import reduce
from typing import Any

import numpy as np
from scipy import stats

Array = Any
Line = list[list[float]]


def drawn(told: dict[str, Any], count: int, seed: int) -> dict[str, Array]:
    """Plain random deviations by key."""
    rows, source = told["deviations"], np.random.default_rng(seed)
    out = {row["key"]: spread(row, source.random(count)) for row in rows}
    pairs = told["correlation"]
    if pairs:
        keys = list(dict.fromkeys(key for pair in pairs for key in pair["between"]))
        matrix = np.eye(len(keys))
        for pair in pairs:
            a, b = (keys.index(key) for key in pair["between"])
            matrix[a, b] = matrix[b, a] = pair["r"]
        scale = {row["key"]: row["u"] for row in rows}
        free = np.array([out[key] / scale[key] for key in keys])
        for key, mixed in zip(keys, np.linalg.cholesky(matrix) @ free, strict=True):
            out[key] = scale[key] * mixed
    return out


def spread(row: dict[str, Any], p: Array) -> Array:
    half = row["half_width"]
    if row["spread"] == "uncertainty":
        own = stats.norm() if row["dof"] is None else stats.t(row["dof"])
        most = math.inf if row["most"] is None else row["most"]
        return np.clip(row["u"] * own.ppf(p), -most, most)
    own = {
        "normal": stats.norm(0.0, 1.0 / 3.0), "uniform": stats.uniform(-1, 2),
        "triangular": stats.triang(0.5, -1, 2), "trapezoid": stats.trapezoid(0.25, 0.75, -1, 2),
        "radius": stats.powerlaw(2.0),
    }[row["spread"]]  # fmt: skip
    return half * own.ppf(p)


def at(line: Line, angle: Array) -> Array:
    """Depth of a line that runs on straight beyond its ends."""
    x, y = (np.array(column, dtype=float) for column in zip(*line, strict=True))
    low, high = (y[1] - y[0]) / (x[1] - x[0]), (y[-1] - y[-2]) / (x[-1] - x[-2])
    inside = np.interp(angle, x, y)
    below, above = np.minimum(angle - x[0], 0.0) * low, np.maximum(angle - x[-1], 0.0) * high
    return inside + below + above


def least(rows: list[Array]) -> Array:
    return reduce(np.minimum, rows)


class Pair:
    """A plug in a socket in one state; every size by its name, with its deviations."""

    def __init__(self, told: dict[str, Any], deviations: dict[str, Array], state: Any) -> None:
        self.told, self.by, self.state = told, deviations, state
        self.plug, self.socket, self.ring = told["plug"], told["socket"], told["ring"]
        self.p, self.s = (1 + state[f"{who}_per_k"] * state["warmer_k"] for who in WHO)
        self.pairs = list(zip(range(1, 9), self.plug["lugs"], self.socket["tracks"], strict=False))
        self.radii = self.socket["radii_looked_at_mm"]
        self.bores = {
            name: (self.socket[name] + self.off(name)) / 2.0
            for name in ("track_bore", "sealing_bore")
            if self.socket[name] is not None
        }

    def off(self, name: str) -> Array:
        return sum((self.by[key] for key in self.told["sums"].get(name, [])), 0.0)

    def xy(self, name: str) -> tuple[Array, Array]:
        return self.off(f"{name}_x"), self.off(f"{name}_y")

    def towards(self, name: str, theta: float) -> Array:
        x, y = self.xy(name)
        return x * math.cos(math.radians(theta)) + y * math.sin(math.radians(theta))

    # ---- lugs and tracks -------------------------------------------------------------------

    def half(self, own: Any, wider: Array, where: float, radius: float) -> Array:
        """Half-width at a radius of two sides moved out by a length, told at ``where``."""
        if own["offset_mm"] == 0.0:
            return own["deg"] + np.degrees(wider / where)
        return own["deg"] + np.degrees(np.arcsin((own["offset_mm"] + wider) / radius))

    def lug_half(self, i: int, lug: Any, radius: float) -> Array:
        outer = lug["outer_diameter"] / 2.0
        return self.half(lug["half"], self.off(f"lug_{i}_width") / 2, outer, min(radius, outer))

    def slot_half(self, i: int, track: Any, radius: float) -> Array:
        wall = track["wall_diameter"] / 2.0
        return self.half(track["slot"], self.off(f"track_{i}_slot_width") / 2, wall, radius)

    def slot_edge(self, i: int, track: Any, radius: float) -> Array:
        return self.slot_half(i, track, radius) + self.off(f"track_{i}_slot_position")

    def stop(self, i: int, track: Any, radius: float) -> Array:
        own = track["stop"]
        side = np.degrees(np.arcsin(own["offset_mm"] / radius))
        return own["deg"] + side + self.off(f"track_{i}_stop")

    def tip(self, i: int, lug: Any) -> Array:
        return (lug["outer_diameter"] + self.off(f"lug_{i}_outer_diameter")) / 2.0

    def wall(self, i: int, track: Any) -> Array:
        return (track["wall_diameter"] + self.off(f"track_{i}_wall")) / 2.0

    def axis_off(self, theta: float) -> Array:
        return self.towards("plug_axis", theta) - self.towards("track_axis", theta)

    def bearing(self, i: int, lug: Any, angle: Array) -> Array:
        tilt = self.towards("plug_tilt", lug["centre_deg"])
        shift = np.radians(tilt) * lug["outer_diameter"] / 2.0
        depth = lug["bearing_depth"] + self.off(f"lug_{i}_bearing_depth") + shift
        return depth + (lug["lead"] + self.off("plug_lead")) * angle / 360.0

    def leading(self, i: int, lug: Any, angle: Array) -> Array:
        own = "plug_leading_lead" in self.told["sums"]
        lead = lug["leading_lead"] + self.off("plug_leading_lead" if own else "plug_lead")
        thick = lug["thickness"] + self.off(f"lug_{i}_thickness")
        return self.bearing(i, lug, 0.0) + thick + lead * angle / 360.0

    def tilted(self, track: Any) -> Array:
        lock = track["centre_deg"] + self.socket["lock_towards"] * self.plug["turn_deg"]
        return np.radians(self.towards("track_tilt", lock)) * track["wall_diameter"] / 2.0

    def roof(self, i: int, track: Any, angle: Array) -> Array:
        lead = self.off("track_lead") * (angle - track["roof"][-1][0]) / 360.0
        return at(track["roof"], angle) + self.off(f"track_{i}_roof") + self.tilted(track) + lead

    def stretch(self, line: Line, low: Array, high: Array) -> list[Array]:
        """Ends of a stretch and corners of a line held within it."""
        corners = [np.minimum(np.maximum(angle, low), high) for angle, _ in line[1:-1]]
        return [low, *corners, high]

    def over(self, i: int, lug: Any, track: Any, radius: float, turned: Array) -> Array:
        """Least room of a lug under its roof."""
        turn, half = turned + self.off(f"lug_{i}_position"), self.lug_half(i, lug, radius)
        low = np.maximum(turn - half, self.slot_edge(i, track, radius))
        return least(
            [
                self.p * self.bearing(i, lug, angle - turn) - self.s * self.roof(i, track, angle)
                for angle in self.stretch(track["roof"], low, turn + half)
            ]
        )

    def under(self, i: int, lug: Any, track: Any, turned: Array) -> Array:
        """Least room of a lug over its floor."""
        turn = turned + self.off(f"lug_{i}_position")
        half = self.lug_half(i, lug, lug["outer_diameter"] / 2.0)
        shift = self.off(f"track_{i}_floor") + self.tilted(track)
        if track["floor_slope"]:
            shift = shift + track["floor_slope"] * (self.wall(i, track) - self.tip(i, lug))
        return least(
            [
                self.s * (at(track["floor"], angle) + shift)
                - self.p * self.leading(i, lug, angle - turn)
                for angle in self.stretch(track["floor"], turn - half, turn + half)
            ]
        )

    # ---- turns -----------------------------------------------------------------------------

    def stop_turn(self) -> Array:
        return least(
            [
                self.stop(i, track, r) - self.lug_half(i, lug, r) - self.off(f"lug_{i}_position")
                for r in self.radii
                for i, lug, track in self.pairs
            ]
        )

    def tight_turn(self) -> Array:
        """First turn at which a lug has no room, by halving: falls as the plug turns to lock."""
        count = max((np.size(value) for value in self.by.values()), default=1)
        low, high = np.full(count, 0.0), np.full(count, 360.0)
        for _ in range(48):
            turn = (low + high) / 2.0
            free = least([self.room_in_track(*pair, r, turn) for r in self.radii
                          for pair in self.pairs]) > 0.0  # fmt: skip
            low, high = np.where(free, turn, low), np.where(free, high, turn)
        return high

    def room_in_track(self, i: int, lug: Any, track: Any, radius: float, turned: Array) -> Array:
        """Room under a plain ramp of what has left the slot; all of it is in the slot: free."""
        turn, half = turned + self.off(f"lug_{i}_position"), self.lug_half(i, lug, radius)
        edge = self.slot_edge(i, track, radius)
        ramp = [track["roof"][0], track["roof"][-1]]
        flat = {**track, "roof": ramp}
        room = least(
            [
                self.p * self.bearing(i, lug, angle - turn) - self.s * self.roof(i, flat, angle)
                for angle in (np.maximum(turn - half, edge), turn + half)
            ]
        )
        return np.where(turn + half > edge, room, np.inf)

    def lock_turn(self) -> Array:
        return self.stop_turn() if self.socket["seating"] == "stop" else self.tight_turn()

    # ---- sideways --------------------------------------------------------------------------

    def gap(self, step: int, bore: str) -> Array:
        body = self.plug["body"][step - 1]["diameter"] + self.off(f"body_{step}_diameter")
        return self.bores[bore] * self.s - body / 2.0 * self.p

    def guides(self) -> list[tuple[Array, Array, Array]]:
        out = []
        for step, body in enumerate(self.plug["body"], 1):
            x, y = self.xy(f"body_{step}_axis")
            if body["bore"] == "sealing_bore":
                seal = self.xy("seal_axis")
                x, y = x - seal[0], y - seal[1]
            out.append((self.gap(step, body["bore"]), x, y))
        return out

    def aside(self) -> Array:
        lands, lean = self.plug["lands"], self.plug["lean_at_lock"]
        return least(
            [np.maximum(self.gap(one["step"], one["bore"]), 0.0) + lean * one["away_mm"]
             for one in lands]
        ) if lands else 0.0  # fmt: skip

    def found(self) -> tuple[Array, Array]:
        x, y = (a - b for a, b in zip(self.xy("plug_axis"), self.xy("track_axis"), strict=True))
        free = least([gap - np.hypot(a, b) for gap, a, b in self.guides()])
        apart = np.maximum(np.hypot(x, y), 1e-12)
        left = np.maximum(apart - free, 0.0) / apart
        return x * left, y * left

    # ---- ring ------------------------------------------------------------------------------

    def groove(self) -> Array:
        return (self.plug["groove"]["diameter"] + self.off("groove_diameter")) * self.p

    def section(self) -> Array:
        grows = 1 + self.state["ring_per_k"] * self.state["warmer_k"]
        free = (self.ring["section"] + self.off("ring_section")) * grows
        inside = (self.ring["inside_diameter"] + self.off("ring_inside")) * grows
        groove = self.groove()
        volume, held = free**2 * (inside + free), free
        for _ in range(60):
            held = np.sqrt(volume / (groove + held))
        if self.plug["groove"]["kind"] == "radial":
            return held
        return np.where(groove > inside, held, free)

    def depth(self) -> Array:
        if self.plug["groove"]["kind"] == "radial":
            return self.sealing() - self.groove() / 2.0
        cut = (self.plug["groove"]["depth"] + self.off("groove_cut")) * self.p
        if self.socket["seating"] == "stop":
            cut = cut + least(axial_play(self))
        if self.plug["groove"]["kind"] == "nose_face":
            cut = cut + nose_gap(self)[0]
        return cut

    def sealing(self) -> Array:
        return self.bores["sealing_bore"] * self.s + self.state["bore_growth_mm"]

    def ring_gap(self) -> Array:
        step = self.plug["groove"]["cut_into_step"]
        body = self.plug["body"][step - 1]["diameter"] + self.off(f"body_{step}_diameter")
        return 2.0 * self.sealing() - body * self.p

    def away(self) -> Array:
        leaning = self.off("seat") * np.maximum(self.ring_gap() / 2.0, 0.0)
        return leaning + np.hypot(*self.xy("groove_axis")) * self.p


WHO = ("plug", "socket")
BENCH = {
    "warmer_k": 0.0, "ring_per_k": 0.0, "plug_per_k": 0.0, "socket_per_k": 0.0, "swell": 0.0,
    "bore_growth_mm": 0.0, "compression_set": 0.0,
}  # fmt: skip


def lug_radial(at: Pair) -> list[Array]:
    return [
        at.wall(i, t) * at.s - at.tip(i, lug) * at.p - at.axis_off(lug["centre_deg"])
        for i, lug, t in at.pairs
    ]


def in_bore(bore: str) -> Callable[[Pair], list[Array]]:
    return lambda at: [
        at.gap(i, bore) for i, one in enumerate(at.plug["body"], 1) if one["bore"] == bore
    ]


def body_in_both(at: Pair) -> list[Array]:
    guides = at.guides()
    more = 2.0 / math.sqrt(3.0) if len(guides) > 2 else 1.0
    return [
        a[0] + b[0] - more * np.hypot(a[1] - b[1], a[2] - b[2])
        for a, b in itertools.combinations(guides, 2)
    ]


def lugs_pass_seal(at: Pair) -> list[Array]:
    bore = at.bores["sealing_bore"] * at.s
    return [
        bore - at.tip(i, lug) * at.p - at.towards("plug_axis", lug["centre_deg"])
        for i, lug, _ in at.pairs
    ]


def lug_overlap(at: Pair) -> list[Array]:
    return [
        at.tip(i, lug) - at.bores["track_bore"] - at.aside() + at.axis_off(lug["centre_deg"])
        for i, lug, _ in at.pairs
    ]


def slot_side(at: Pair) -> list[Array]:
    x, y = at.found()
    rows = []
    for radius in at.radii:
        fore, back = [], []
        for i, lug, track in at.pairs:
            radial = lug["half"]["offset_mm"] == 0.0
            square = 90.0 + (lug["half"]["deg"] if radial else 0.0)
            room = at.slot_half(i, track, radius) - at.lug_half(i, lug, radius)
            turned = at.off(f"lug_{i}_position") - at.off(f"track_{i}_slot_position")
            for sign, sides in ((1, fore), (-1, back)):
                face = math.radians(lug["centre_deg"] + sign * at.socket["lock_towards"] * square)
                gap = (room - sign * turned) * math.radians(1.0) * radius
                sides.append(gap - x * math.cos(face) - y * math.sin(face))
        rows.append([(a + b) / 2.0 for a in fore for b in back])
    return [least(list(some)) for some in zip(*rows, strict=True)]


def axial_play(at: Pair) -> list[Array]:
    turn = at.stop_turn()
    return [
        least([at.over(i, lug, track, r, turn) for r in at.radii]) for i, lug, track in at.pairs
    ]


def engagement(at: Pair) -> list[Array]:
    lock, rows = at.lock_turn(), []
    for i, lug, track in at.pairs:
        r = lug["outer_diameter"] / 2.0
        half = at.lug_half(i, lug, r)
        turn = lock + at.off(f"lug_{i}_position") - np.degrees(2.0 * at.aside()) / r
        high = np.minimum(turn + half, at.stop(i, track, r))
        rows.append((high - np.maximum(turn - half, at.slot_edge(i, track, r))) / (2.0 * half))
    return rows


def clocking(at: Pair) -> list[Array]:
    more = at.socket["overtravel_deg"] if at.socket["seating"] == "stop" else 0.0
    return [at.lock_turn() - at.plug["turn_deg"] - more]


def tight_after_engaged(at: Pair) -> list[Array]:
    tight, rows = at.tight_turn(), []
    for i, lug, track in at.pairs:
        r = lug["outer_diameter"] / 2.0
        half = at.lug_half(i, lug, r)
        start = at.slot_edge(i, track, r) - at.off(f"lug_{i}_position") - half
        rows.append(tight - start - 2.0 * half * at.socket["least_engagement"])
    return rows


def tight_before_stop(at: Pair) -> list[Array]:
    return [at.stop_turn() - at.tight_turn()]


def floor_gap(at: Pair) -> list[Array]:
    turn = at.lock_turn()
    return [at.under(i, lug, track, turn) for i, lug, track in at.pairs]


def nose_gap(at: Pair) -> list[Array]:
    floor = at.socket["nose_floor"] + at.off("nose_floor")
    return [floor * at.s - (at.plug["nose_depth"] + at.off("nose_depth")) * at.p]


def way_height(at: Pair) -> list[Array]:
    lock, rows = at.lock_turn(), []
    for i, lug, track in at.pairs:
        r = lug["outer_diameter"] / 2.0
        sides = [lug["half"]["deg"] + math.degrees(math.asin(lug["half"]["offset_mm"] / r))]
        slot = track["slot"]["deg"] + math.degrees(math.asin(track["slot"]["offset_mm"] / r))
        clear, sides = slot + sides[0], [-sides[0], sides[0]]
        turns = [clear, *(angle + side for angle, _ in track["roof"][1:-1] for side in sides)]
        turns = [turn for turn in turns if clear <= turn < at.plug["turn_deg"]]
        rows.append(
            least(
                [
                    at.over(i, lug, track, r, turn) + at.under(i, lug, track, turn)
                    for turn in (*turns, lock)
                ]
            )
        )
    return rows


def detent_pass(at: Pair) -> list[Array]:
    rows = []
    for i, lug, track in at.pairs:
        half = at.lug_half(i, lug, lug["outer_diameter"] / 2.0)
        flank = np.minimum(at.bearing(i, lug, half), at.bearing(i, lug, -half))
        crest = max(depth for _, depth in track["roof"][1:-1]) + at.off(f"track_{i}_detent")
        roof = crest + at.off(f"track_{i}_roof") + at.tilted(track)
        rows.append(flank * at.p - roof * at.s)
    return rows


def detent_hold(at: Pair) -> list[Array]:
    return [least(axial_play(at)) - least(detent_pass(at))]


def angular_play(at: Pair) -> list[Array]:
    turn = at.stop_turn()
    return [
        least(
            [
                turn + at.off(f"lug_{i}_position") - at.lug_half(i, lug, r) - track["roof"][-2][0]
                for r in at.radii
                for i, lug, track in at.pairs
            ]
        )
    ]


def squeeze(at: Pair) -> list[Array]:
    return [1.0 - at.depth() / at.section()]


def open_side(at: Pair) -> list[Array]:
    left, lost = at.section() - at.depth() - at.away(), at.state["compression_set"]
    if lost:
        then = Pair(at.told, at.by, BENCH)
        left = left - lost * np.maximum(then.section() - then.depth() + then.away(), 0.0)
    return [left]


def fill(at: Pair) -> list[Array]:
    groove = at.plug["groove"]
    width = (groove["width"] + at.off("groove_width")) * at.p
    corners = 2.0 * (1.0 - math.pi / 4.0) * groove["corner_radius"] ** 2
    ring = math.pi / 4.0 * at.section() ** 2 * (1.0 + at.state["swell"])
    return [ring / (at.depth() * width - corners)]


CHAINS: dict[str, Callable[[Pair], list[Array]]] = {
    "lug_radial": lug_radial, "body_radial": in_bore("track_bore"),
    "body_in_seal": in_bore("sealing_bore"), "body_in_both": body_in_both,
    "lugs_pass_seal": lugs_pass_seal, "lug_overlap": lug_overlap, "slot_side": slot_side,
    "axial_play": axial_play, "engagement": engagement, "clocking": clocking,
    "tight_after_engaged": tight_after_engaged, "tight_before_stop": tight_before_stop,
    "floor_gap": floor_gap, "nose_gap": nose_gap, "way_height": way_height,
    "detent_pass": detent_pass, "detent_hold": detent_hold, "angular_play": angular_play,
    "squeeze": squeeze, "fill": fill, "open_side": open_side, "aged_side": open_side,
    "gap": lambda at: [at.ring_gap()],
}  # fmt: skip


def values(content: dict[str, Any], deviations: dict[str, Array]) -> dict[str, Array]:
    """Every chain's piece with the least room, by its key."""
    told, out = content["inputs"], {}
    count = max((np.size(value) for value in deviations.values()), default=1)
    kinds = {one["key"]: one["states"] for one in told["chains"]}
    for row in content["tolerance"]["chains"]:
        low, high = limits(row)
        pieces = np.array(
            [
                np.broadcast_to(piece, (count,))
                for state in told["states"][kinds[row["key"]]]
                for piece in CHAINS[row["key"]](Pair(told, deviations, state))
            ]
        )
        best = np.argmin(np.minimum(pieces - low, high - pieces), axis=0)
        if math.isinf(low) and math.isinf(high):
            best = np.zeros(count, dtype=int)
        out[row["key"]] = np.take_along_axis(pieces, best[None], axis=0)[0]
    return out


def limits(row: dict[str, Any]) -> tuple[float, float]:
    low, high = row["low_limit"], row["high_limit"]
    return -math.inf if low is None else low, math.inf if high is None else high


def verdict(outside: dict[str, float], asked: float) -> str:
    allowed = 1.0 - asked
    if outside["high_95"] <= allowed:
        return "pass"
    return "look" if outside["share"] <= allowed else "fail"


def rates(content: dict[str, Any], *, count: int, seed: int) -> dict[str, float]:
    """Share outside, by chain, and under "" of all together."""
    found = values(content, drawn(content["inputs"], count, seed))
    out, any_out = {}, np.zeros(count, dtype=bool)
    for row in content["tolerance"]["chains"]:
        low, high = limits(row)
        outside = ~((found[row["key"]] >= low) & (found[row["key"]] <= high))
        out[row["key"]] = float(outside.mean())
        any_out |= outside
    return {**out, "": float(any_out.mean())}


def main(path: str) -> None:
    with open(path, encoding="utf-8") as file:
        content = json.load(file)
    count = 1 << 18
    again = rates(content, count=count, seed=1)
    told = {row["key"]: row["outside"] for row in content["tolerance"]["chains"]}
    told[""] = content["tolerance"]["fails"]
    print(f"{'chain':<22}{'file [ppm]':>14}{'again [ppm]':>14}{'its error':>12}")
    for key, rate in again.items():
        error = 1e6 * math.sqrt(max(rate, 1.0 / count) / count)
        share = 1e6 * told[key]["share"]
        print(f"{key or 'any of them':<22}{share:14.2f}{1e6 * rate:14.2f}{error:12.2f}")


if __name__ == "__main__":
    main(sys.argv[1])
