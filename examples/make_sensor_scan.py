"""Make an invented scan: a level sensor on a bench, seen from above and both sides.

    python examples/make_sensor_scan.py level_sensor_scan.ply
    bayonet scan level_sensor_scan.ply --out plug.toml --report report
    bayonet make plug.toml --out out

The part lies on its rim, so that a strip below it is seen by no view and the bench is in the scan.
Groove walls and flanks show only as far as a view reaches into them. There is noise along the
surface's normal, here and there an outlier, and the density falls where a view grazes. The part
is not quite the drawing's, as parts are, and its body is a little oval: PART says how it really is.

Same bytes on every run: one seed, coordinates rounded to 0.001 mm.
Frame before the scanner's own: +Z out of the tank, shoulder at z = 0, depth = -z; mm and degrees.
"""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator
from itertools import pairwise
from pathlib import Path

import numpy as np

PART = {
    "shoulder_diameter": 49.97, "shoulder_thickness": 4.02,
    "body.0.diameter": 31.99, "body.0.to_depth": 13.02,
    "body.1.diameter": 26.38, "body.1.to_depth": 23.97, "nose_chamfer": 1.0,
    "groove.diameter": 22.41, "groove.width": 3.62, "groove.at_depth": 16.48,
    "lug.centre_deg": 30.0, "lug.width_deg": 28.90, "lug.outer_diameter": 39.98,
    "lug.bearing_depth": 5.01, "lug.thickness": 3.49, "lug.lead": 6.04,
    "ovality": 0.03,
}  # fmt: skip
LUGS = 3
BROKEN = 0.2  # chamfer on every outer edge [mm]
NOISE, STRAYS = 0.02, 0.006
BENCH_AT_DEG, BENCH_HALF = 210.0, 42.0
VIEWS = [(around, nose) for around in (5, 45, 90, 135, 175) for nose in (-24, 0, 38)]
# degrees round the axis from one side of the bench to the other, and towards the nose
PIXEL, NEAR, FLATTEST = 0.3, 0.5, 0.2  # mm, mm, cosine
CANDIDATES, KEPT = 700_000, 0.125

Array = np.ndarray
Surface = Callable[[Array, Array], Array]  # (u, v) in the unit square to points (n, 3)


def cartesian(r: Array, theta: Array, depth: Array) -> Array:
    """Points from radius, angle [rad] and depth."""
    return np.column_stack([r * np.cos(theta), r * np.sin(theta), -depth])


def outline() -> list[tuple[float, float]]:
    """Half profile of the turned part: radius and depth, from the top's middle to the nose's."""
    p, c, fillet = PART, BROKEN, 0.3
    rim, top = p["shoulder_diameter"] / 2, -p["shoulder_thickness"]
    one, two = p["body.0.diameter"] / 2, p["body.1.diameter"] / 2
    step, nose, k = p["body.0.to_depth"], p["body.1.to_depth"], p["nose_chamfer"]
    bottom, start = p["groove.diameter"] / 2, p["groove.at_depth"]
    stop = start + p["groove.width"]
    turn = np.linspace(0.0, np.pi / 2, 5)
    inwards, along = fillet * (1 - np.sin(turn)), fillet * (1 - np.cos(turn))
    corner = [(bottom + a, start + b) for a, b in zip(inwards, along, strict=True)]
    other = [(r, start + stop - d) for r, d in reversed(corner)]
    return [
        (0, top), (rim - c, top), (rim, top + c), (rim, -c), (rim - c, 0), (one, 0),
        (one, step - c), (one - c, step), (two, step), (two, start), *corner, *other,
        (two, stop), (two, nose - k), (two - k, nose), (0, nose),
    ]  # fmt: skip


def turned() -> Iterator[Surface]:
    """Every face of the turned part; the larger body is oval."""
    body = PART["body.0.diameter"] / 2
    rows = outline()
    for (r0, d0), (r1, d1) in pairwise(rows):
        oval = PART["ovality"] / 4 if r0 == r1 == body else 0.0

        def surface(u: Array, v: Array, ends=(r0, d0, r1, d1), oval: float = oval) -> Array:
            r0, d0, r1, d1 = ends
            theta = 2 * np.pi * u
            r = r0 + v * (r1 - r0) + oval * np.cos(2 * theta)
            return cartesian(r, theta, d0 + v * (d1 - d0))

        yield surface


def flank(angle: Array, inset: Array | float = 0.0) -> tuple[Array, Array]:
    """Depths of a lug's two flanks: right hand, so deeper where the angle falls."""
    bearing = PART["lug.bearing_depth"] - PART["lug.lead"] * angle / (2 * np.pi)
    return bearing + inset, bearing + PART["lug.thickness"] - inset


def lug(number: int) -> Iterator[Surface]:
    """Faces of one lug: outside, flanks and sides, and the chamfer round the outside."""
    middle = np.radians(PART["lug.centre_deg"] + 360.0 * number / LUGS)
    half = np.radians(PART["lug.width_deg"] / 2)
    root, outer = PART["body.0.diameter"] / 2, PART["lug.outer_diameter"] / 2

    def at(r: Array, across: Array, down: Array, inset: Array | float) -> Array:
        angle = across * (half - np.arcsin(inset / r))
        low, high = flank(angle, inset)
        return cartesian(r, middle + angle, low + down * (high - low))

    one = np.ones_like
    rims = (
        lambda t: (2 * t - 1, 0 * t), lambda t: (2 * t - 1, one(t)),
        lambda t: (one(t), t), lambda t: (-one(t), t),
    )  # fmt: skip
    yield lambda u, v: at(outer * one(u), 2 * u - 1, v, BROKEN)
    for rim in rims:
        yield lambda u, v, rim=rim: at(root + v * (outer - BROKEN - root), *rim(u), 0.0)
        yield lambda u, v, rim=rim: at(outer - BROKEN * (1 - v), *rim(u), BROKEN * v)


def tangents(surface: Surface, u: Array, v: Array) -> Array:
    """Cross product of both tangents: along the normal, as long as the area it stands for."""
    step = 1e-5
    along = surface(u + step, v) - surface(u - step, v)
    across = surface(u, v + step) - surface(u, v - step)
    return np.cross(along, across) / (4 * step**2)


def sampled(surface: Surface, per_mm2: float, rng: np.random.Generator) -> tuple[Array, Array]:
    """Points spread evenly over a surface, and unit normals of unknown sense."""
    u, v = rng.random((2, 2000))
    size = np.linalg.norm(tangents(surface, u, v), axis=1)
    most = float(size.max())
    u, v, chance = rng.random((3, round(per_mm2 * most)))
    cross = tangents(surface, u, v)
    size = np.linalg.norm(cross, axis=1)
    keep = chance * most < size
    return surface(u, v)[keep], cross[keep] / size[keep, None]


def inside(xyz: Array) -> Array:
    """Whether points are in the material, lugs included; edges taken as sharp."""
    r, theta, depth = np.hypot(*xyz.T[:2]), np.arctan2(xyz[:, 1], xyz[:, 0]), -xyz[:, 2]
    rows = np.array(outline())
    limit = np.zeros(len(r))
    for (r0, d0), (r1, d1) in pairwise(rows):
        if d1 > d0:
            within = (depth >= d0) & (depth < d1)
            limit[within] = r0 + (r1 - r0) * (depth[within] - d0) / (d1 - d0)
    found = r < limit
    for number in range(LUGS):
        away = theta - np.radians(PART["lug.centre_deg"] + 360.0 * number / LUGS)
        away = (away + np.pi) % (2 * np.pi) - np.pi
        low, high = flank(away)
        across = np.abs(away) < np.radians(PART["lug.width_deg"] / 2)
        found |= across & (depth > low) & (depth < high) & (r < PART["lug.outer_diameter"] / 2)
    return found


def bench(per_mm2: float, rng: np.random.Generator) -> tuple[Array, Array]:
    """A piece of the bench: a plane that touches the rim."""
    out, left = bench_frame()
    middle = out * PART["shoulder_diameter"] / 2 + np.array([0.0, 0.0, -10.0])
    spots = rng.uniform(-BENCH_HALF, BENCH_HALF, (round(per_mm2 * 4 * BENCH_HALF**2), 2))
    points = middle + spots[:, :1] * left + spots[:, 1:] * np.array([0.0, 0.0, 0.6])
    return points, np.broadcast_to(-out, points.shape)


def bench_frame() -> tuple[Array, Array]:
    """Down to the bench, and along it square to the axis."""
    turn = np.radians(BENCH_AT_DEG)
    return np.array([np.cos(turn), np.sin(turn), 0]), np.array([np.sin(turn), -np.cos(turn), 0])


def slant(xyz: Array, normal: Array) -> Array:
    """Cosine between the normal and the view that sees a point best; 0 where none sees it."""
    down, left = bench_frame()
    best = np.zeros(len(xyz))
    for round_deg, nose_deg in VIEWS:
        around, nose = np.radians([round_deg, nose_deg])
        side = np.cos(around) * left - np.sin(around) * down
        way = np.cos(nose) * side - np.sin(nose) * np.array([0.0, 0.0, 1.0])
        across = np.cross(way, np.array([0.0, 0.0, 1.0]))
        plane = np.column_stack([across, np.cross(way, across)]) / np.linalg.norm(across)
        cell = np.floor((xyz @ plane + 200.0) / PIXEL).astype(np.int64) @ np.array([2000, 1])
        nearest = np.full(int(cell.max()) + 1, -np.inf)
        np.maximum.at(nearest, cell, xyz @ way)
        cosine = normal @ way
        seen = (xyz @ way > nearest[cell] - NEAR) & (cosine > FLATTEST)
        best = np.where(seen, np.maximum(best, cosine), best)
    return best


def scan() -> Array:
    """Points as the scanner writes them [mm]."""
    rng = np.random.default_rng(20_240_901)
    per_mm2 = CANDIDATES / 8_000.0
    parts = [sampled(surface, per_mm2, rng) for surface in turned()]
    for number in range(LUGS):
        parts += [sampled(surface, per_mm2, rng) for surface in lug(number)]
    xyz, normal = (np.vstack([part[k] for part in parts]) for k in (0, 1))
    outwards = np.where(inside(xyz + 0.02 * normal), -1.0, 1.0)
    normal = normal * outwards[:, None]
    bare = ~inside(xyz + 0.02 * normal)  # the body under a lug is none
    table, up = bench(0.22 * per_mm2, rng)
    xyz, normal = np.vstack([xyz[bare], table]), np.vstack([normal[bare], up])
    keep = rng.random(len(xyz)) < KEPT * slant(xyz, normal)
    seen = xyz[keep] + normal[keep] * rng.normal(0.0, NOISE, (int(keep.sum()), 1))
    low, high = seen.min(axis=0) - 4.0, seen.max(axis=0) + 4.0
    seen = np.vstack([seen, rng.uniform(low, high, (round(STRAYS * len(seen)), 3))])
    turn, _ = np.linalg.qr(rng.normal(size=(3, 3)))
    turn[:, 0] *= np.sign(np.linalg.det(turn))
    return np.asarray(rng.permutation(seen) @ turn.T + [112.0, -48.0, 301.0])


def write(path: Path, xyz: Array) -> None:
    """Binary PLY of bare points."""
    rows = np.round(xyz, 3).astype("<f4")
    head = ["ply", "format binary_little_endian 1.0", "comment invented scan, mm",
            f"element vertex {len(rows)}", *(f"property float {axis}" for axis in "xyz"),
            "end_header"]  # fmt: skip
    path.write_bytes("".join(f"{line}\n" for line in head).encode("ascii") + rows.tobytes())


if __name__ == "__main__":
    write(Path(sys.argv[1] if len(sys.argv) > 1 else "level_sensor_scan.ply"), scan())
