"""Scans of generated plugs: sampling, noise, what a scanner misses, and what it should not see."""

from __future__ import annotations

import dataclasses
import math
from dataclasses import dataclass

import generator as g
import numpy as np
from generator import Params, Patch, TruePlug

OUTLIER, FIXTURE = -1, -2
_FEATURES = 160  # of the random field


@dataclass(frozen=True, kw_only=True)
class Nuisance:
    """What is wrong with a scan.

    Parameters
    ----------
    noise : float
        White, along the normal, one standard deviation [mm].
    field, field_length : float
        Smooth error on the surface: standard deviation and length of its correlation [mm].
    sector : (float, float) or None
        Angles seen, from and to [deg]; None is all round.
    line_of_sight : (float, float) or None
        Elevations of the scanner towards the tank end [deg]; negative looks from the mouth side.
        None sees everything.
    grazing_deg : float
        A surface seen flatter than this gives no point.
    outliers : float
        Share of points anywhere in a box round the plug.
    fixture : str
        none, table (under the shoulder's top), rim (a plate touching the rim), vice (two jaws).
    uneven : float
        0 is even density; 1 varies by about ten to one.
    oval, taper, wear : float
        Amplitude of r on the bodies [mm]; growth of r per mm; greatest loss on one lug [mm].
    top : bool
        Whether the top of the shoulder is scanned.
    """

    noise: float = 0.02
    field: float = 0.0
    field_length: float = 3.0
    sector: tuple[float, float] | None = None
    line_of_sight: tuple[float, float] | None = None
    grazing_deg: float = 8.0
    outliers: float = 0.0
    fixture: str = "none"
    uneven: float = 0.0
    oval: float = 0.0
    taper: float = 0.0
    wear: float = 0.0
    top: bool = True
    inch: bool = False


@dataclass(frozen=True, kw_only=True)
class Scan:
    """A scan and the whole truth about it.

    ``xyz`` is as a scanner would write it (pose, unit); ``local`` is the same in the plug's frame,
    on the true surface before noise. ``face`` numbers `faces`; OUTLIER and FIXTURE mark the rest.
    """

    xyz: np.ndarray
    normals: np.ndarray
    triangles: np.ndarray | None
    local: np.ndarray
    face: np.ndarray
    faces: tuple[Patch, ...]
    plug: TruePlug
    nuisance: Nuisance
    rotation: np.ndarray
    origin: np.ndarray
    seed: int

    @property
    def truth(self) -> Params:
        """Every dimension as a report means it, on the plug as it was spoiled."""
        return spoiled_sizes(self.plug)

    def seen_share(self, name: str) -> float:
        """Points on faces whose name starts so, by how many an unhindered scan would have."""
        wanted = [i for i, face in enumerate(self.faces) if face.name.startswith(name)]
        own = sum(self.faces[i].area for i in wanted)
        points = int(np.isin(self.face, wanted).sum())
        density = np.max([np.sum(self.face == i) / max(f.area, 1e-9)
                          for i, f in enumerate(self.faces) if f.area > 1.0])  # fmt: skip
        return points / max(own * density, 1e-9)


def scan(plug: TruePlug, nuisance: Nuisance, *, points: int, seed: int, mesh: bool = False) -> Scan:
    """Scan a plug: about as many points as asked, less those the scanner cannot see."""
    rng = np.random.default_rng([seed, 77])
    plug = _spoiled(plug, nuisance, rng)
    faces = [f for f in g.faces(plug) if nuisance.top or f.name != "top"]
    local, face, triangles = (_meshed if mesh else _sampled)(faces, points, nuisance, rng)
    r, theta, depth = _cylindrical(local)
    keep = ~(_on_body(faces, face) & g.is_inside_lug(plug, r, theta, depth))
    keep &= ~_cut_off(plug, faces, face, local)
    if nuisance.sector is not None:
        low, high = nuisance.sector
        keep &= (np.degrees(theta) - low) % 360.0 <= high - low
    normal = _normals(faces, face, local, plug.p)
    if nuisance.line_of_sight is not None:
        keep &= _visible(plug, local, normal, nuisance)
    if triangles is not None:
        triangles = _renumbered(triangles, keep)
    local, face, normal = local[keep], face[keep], normal[keep]
    true = _deformed(plug, local, face, faces)
    seen = true + normal * _noise(true, nuisance, rng)[:, None]
    extra, extra_normal, extra_face = _extras(plug, seen, nuisance, rng)
    seen, normal = np.vstack([seen, extra]), np.vstack([normal, extra_normal])
    face = np.concatenate([face, extra_face])
    rotation, origin = _pose(rng)
    unit = 25.4 if nuisance.inch else 1.0
    return Scan(
        xyz=(seen @ rotation.T + origin) / unit, normals=normal @ rotation.T,
        triangles=triangles, local=np.vstack([local, extra]), face=face, faces=tuple(faces),
        plug=plug, nuisance=nuisance, rotation=rotation, origin=origin, seed=seed,
    )  # fmt: skip


def random_nuisance(rng: np.random.Generator, *, hard: bool = True) -> Nuisance:
    """Nuisances as a workshop gives them; `hard` False is white noise and full coverage only."""
    noise = float(rng.choice([0.01, 0.02, 0.03, 0.05, 0.1], p=[0.2, 0.3, 0.25, 0.15, 0.1]))
    if not hard:
        return Nuisance(noise=noise)
    fixture = str(rng.choice(["none", "table", "rim", "vice"], p=[0.5, 0.2, 0.15, 0.15]))
    sweep = rng.random() < 0.3
    start = rng.uniform(0, 360)
    sight = rng.random() < 0.3
    correlated = rng.random() < 0.4
    return Nuisance(
        noise=noise, field=float(noise * 0.6) if correlated else 0.0,
        field_length=float(rng.uniform(1.5, 6.0)),
        sector=(start, start + rng.uniform(200, 330)) if sweep else None,
        line_of_sight=(-rng.uniform(15, 50), rng.uniform(25, 60)) if sight else None,
        outliers=float(rng.choice([0.0, 0.005, 0.03, 0.1])), fixture=fixture,
        uneven=float(rng.choice([0.0, 0.5, 1.0])),
        oval=float(rng.choice([0.0, 0.0, 0.03, 0.06])), taper=float(rng.choice([0.0, 0.0, 0.002])),
        top=bool(rng.random() < 0.6) and fixture != "table",
    )  # fmt: skip


def _spoiled(plug: TruePlug, nuisance: Nuisance, rng: np.random.Generator) -> TruePlug:
    worn = (int(rng.integers(plug.count)), nuisance.wear) if nuisance.wear else None
    return dataclasses.replace(
        plug, oval=(nuisance.oval, rng.uniform(0, math.pi)), worn=worn,
        taper=plug.taper + nuisance.taper,
    )  # fmt: skip


def _cylindrical(local: np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    x, y, z = local.T
    return np.hypot(x, y), np.arctan2(y, x), -z


def _cartesian(r: np.ndarray, theta: np.ndarray, depth: np.ndarray) -> np.ndarray:
    return np.column_stack([r * np.cos(theta), r * np.sin(theta), -depth])


def _sampled(faces, points, nuisance, rng) -> tuple[np.ndarray, np.ndarray, None]:
    total = sum(face.area for face in faces)
    parts, labels = [], []
    for index, face in enumerate(faces):
        count = rng.poisson(points * face.area / total)
        u, v = rng.random(count), rng.random(count)
        parts.append(_cartesian(*face.at(u, v)))
        labels.append(np.full(count, index))
    local, label = np.vstack(parts), np.concatenate(labels)
    if nuisance.uneven:
        weight = np.exp(nuisance.uneven * 0.9 * _field(local, 12.0, rng))
        keep = rng.random(len(local)) < weight / weight.max() * 1.5
        local, label = local[keep], label[keep]
    order = rng.permutation(len(local))
    return local[order], label[order], None


def _meshed(faces, points, nuisance, rng) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """A jittered grid on every face, two triangles a cell."""
    pitch = math.sqrt(sum(face.area for face in faces) / points)
    parts, labels, cells, start = [], [], [], 0
    for index, face in enumerate(faces):
        nu, nv = (max(round(size / pitch), 1) + 1 for size in face.size)
        i, j = np.meshgrid(np.arange(nu), np.arange(nv), indexing="ij")
        shift = rng.uniform(-0.25, 0.25, (2, nu, nv))
        shift[0][(i == 0) | (i == nu - 1)] = 0.0
        shift[1][(j == 0) | (j == nv - 1)] = 0.0
        u, v = (i + shift[0]) / (nu - 1), (j + shift[1]) / (nv - 1)
        local = _cartesian(*face.at(u.ravel(), v.ravel()))
        number = start + i * nv + j
        a, b, c, d = number[:-1, :-1], number[1:, :-1], number[1:, 1:], number[:-1, 1:]
        cells.append(np.concatenate([np.stack([a, b, c], -1).reshape(-1, 3),
                                     np.stack([a, c, d], -1).reshape(-1, 3)]))  # fmt: skip
        parts.append(local)
        labels.append(np.full(len(local), index))
        start += len(local)
    local, label, triangles = np.vstack(parts), np.concatenate(labels), np.vstack(cells)
    return local, label, triangles


def outward(scan: Scan) -> np.ndarray | None:
    """Triangles of a meshed scan, counter-clockwise seen from outside."""
    if scan.triangles is None:
        return None
    a, b, c = (scan.xyz[scan.triangles[:, k]] for k in range(3))
    facing = np.einsum("ij,ij->i", np.cross(b - a, c - a), scan.normals[scan.triangles[:, 0]])
    return np.where((facing < 0)[:, None], scan.triangles[:, ::-1], scan.triangles)


def _renumbered(triangles: np.ndarray, keep: np.ndarray) -> np.ndarray:
    new = np.cumsum(keep) - 1
    return new[triangles[keep[triangles].all(axis=1)]]


def _cut_off(plug: TruePlug, faces: list[Patch], face: np.ndarray, local: np.ndarray) -> np.ndarray:
    gone = np.zeros(len(local), dtype=bool)
    if not (plug.corner_break or plug.fillet):
        return gone
    for index, patch in enumerate(faces):
        if patch.name.startswith("lug") and not patch.name.endswith(("fillet", "corner")):
            here = np.flatnonzero(face == index)
            number = int(patch.name.split(".")[1])
            gone[here] = g.is_cut_off(plug, number, *_cylindrical(local[here]))
    return gone


def _on_body(faces: list[Patch], face: np.ndarray) -> np.ndarray:
    body = np.array([f.name.startswith("body") for f in faces])
    return body[face]


def gradient(face: Patch, local: np.ndarray, p: Params) -> np.ndarray:
    """Gradient of a face's implicit function by central differences, (n, 3)."""
    found = np.empty_like(local)
    for axis in range(3):
        step = np.zeros(3)
        step[axis] = 1e-5
        ends = [face.implicit(*_cylindrical(local + way * step), p) for way in (1, -1)]
        found[:, axis] = (ends[0] - ends[1]) / 2e-5
    return found


def _normals(faces: list[Patch], face: np.ndarray, local: np.ndarray, p: Params) -> np.ndarray:
    normal = np.zeros_like(local)
    for index, patch in enumerate(faces):
        here = np.flatnonzero(face == index)
        if len(here):
            slope = gradient(patch, local[here], p)
            normal[here] = slope / np.linalg.norm(slope, axis=1, keepdims=True)
    return normal


def _field(local: np.ndarray, length: float, rng: np.random.Generator) -> np.ndarray:
    """A smooth random field of unit variance; correlation exp(-d^2 / 2 length^2)."""
    waves = rng.normal(0.0, 1.0 / length, (_FEATURES, 3))
    phase = rng.uniform(0, 2 * math.pi, _FEATURES)
    total = np.zeros(len(local))
    for wave, shift in zip(waves, phase, strict=True):
        total += np.cos(local @ wave + shift)
    return total * math.sqrt(2.0 / _FEATURES)


def _noise(local: np.ndarray, nuisance: Nuisance, rng: np.random.Generator) -> np.ndarray:
    white = rng.normal(0.0, nuisance.noise, len(local))
    if not nuisance.field:
        return white
    return white + nuisance.field * _field(local, nuisance.field_length, rng)


def _deformed(
    plug: TruePlug, local: np.ndarray, face: np.ndarray, faces: list[Patch]
) -> np.ndarray:
    """Ovality and taper of the bodies and the groove's bottom."""
    if not (plug.oval[0] or plug.taper):
        return local
    r, theta, depth = _cylindrical(local)
    round_ = np.array([f.name.startswith("body") or f.name == "groove.bottom" for f in faces])[face]
    swing = plug.oval[0] * np.cos(2 * (theta - plug.oval[1])) + _growth(plug, depth)
    return _cartesian(r + np.where(round_, swing, 0.0), theta, depth)


def _growth(plug: TruePlug, depth: np.ndarray | float) -> np.ndarray | float:
    """How much taper adds to the radius at a depth: none half way to the nose."""
    return plug.taper * (depth - plug.nose / 2)


def spoiled_sizes(plug: TruePlug) -> Params:
    """Dimensions of the spoiled plug: diameters half way along their own face, mean round it.

    Taper grows about half the nose's depth, so each face's own middle is off by its distance from
    there; ovality leaves the mean. A worn flank is `wear_at` deeper in the middle of its lug.
    """
    p, found, d0 = plug.p, dict(plug.p), 0.0
    for i in range(plug.steps):
        d1 = p[f"body.{i}.to_depth"]
        found[f"body.{i}.diameter"] += 2 * _growth(plug, (d0 + d1) / 2)
        d0 = d1
    if plug.groove == "radial":
        middle = p["groove.at_depth"] + p["groove.width"] / 2
        found["groove.diameter"] += 2 * _growth(plug, middle)
    if plug.worn is not None:
        lost = float(g.wear_at(plug, plug.worn[0], np.zeros(1))[0])
        found[f"lug.{plug.worn[0]}.bearing_depth"] += lost
        found[f"lug.{plug.worn[0]}.thickness"] -= lost
    return found


def _visible(
    plug: TruePlug, local: np.ndarray, normal: np.ndarray, nuisance: Nuisance
) -> np.ndarray:
    """Whether any elevation sees a point past the turned profile, in its own meridian plane."""
    r, theta, depth = _cylindrical(local)
    low, high = nuisance.line_of_sight or (0.0, 0.0)
    radial = np.column_stack([np.cos(theta), np.sin(theta), np.zeros(len(r))])
    seen = np.zeros(len(r), dtype=bool)
    blocks = _blocks(plug)
    for elevation in np.radians(np.linspace(low, high, 5)):
        out, down = math.cos(elevation), math.sin(elevation)  # towards the scanner: r, depth
        facing = normal @ np.array([0, 0, -down]) + np.einsum("ij,ij->i", normal, radial) * out
        free = facing > math.sin(math.radians(nuisance.grazing_deg))
        for radius, d0, d1 in blocks:
            # Block r' < radius for d0 < depth' < d1; the ray leaves it where r' = radius.
            run = np.maximum(radius - r, 0.0) / out
            enter, leave = depth, depth + run * down
            near, far = np.minimum(enter, leave), np.maximum(enter, leave)
            inside = (r < radius - 1e-6) & (far > d0 + 1e-6) & (near < d1 - 1e-6)
            free &= ~inside
        seen |= free
    return seen


def _blocks(plug: TruePlug) -> list[tuple[float, float, float]]:
    """The turned profile as stacked discs: radius, from depth, to depth."""
    p = plug.p
    blocks = [(p["shoulder_diameter"] / 2, -plug.shoulder_thickness, 0.0)]
    d0 = 0.0
    for i in range(plug.steps):
        r, d1 = p[f"body.{i}.diameter"] / 2, p[f"body.{i}.to_depth"]
        if plug.groove == "radial" and d0 < p["groove.at_depth"] < d1:
            g0, g1 = p["groove.at_depth"], p["groove.at_depth"] + p["groove.width"]
            blocks += [(r, d0, g0), (p["groove.diameter"] / 2, g0, g1), (r, g1, d1)]
        else:
            blocks.append((r, d0, d1))
        d0 = d1
    return blocks


def _extras(plug: TruePlug, seen: np.ndarray, nuisance: Nuisance, rng: np.random.Generator):
    parts, normals, labels = [], [], []
    low, high = seen.min(axis=0), seen.max(axis=0)
    outliers = int(nuisance.outliers * len(seen))
    if outliers:
        margin = 0.25 * (high - low)
        parts.append(rng.uniform(low - margin, high + margin, (outliers, 3)))
        way = rng.normal(size=(outliers, 3))
        normals.append(way / np.linalg.norm(way, axis=1, keepdims=True))
        labels.append(np.full(outliers, OUTLIER))
    for origin, across, up in _plates(plug, nuisance.fixture):
        count = int(0.12 * len(seen))
        spots = rng.uniform(-1, 1, (count, 2))
        normal = np.cross(across, up)
        normal /= np.linalg.norm(normal)
        plate = origin + spots[:, :1] * across + spots[:, 1:] * up
        plate += normal * rng.normal(0, nuisance.noise, (count, 1))
        parts.append(plate)
        normals.append(np.tile(normal, (count, 1)))
        labels.append(np.full(count, FIXTURE))
    if not parts:
        return np.zeros((0, 3)), np.zeros((0, 3)), np.zeros(0, dtype=int)
    return np.vstack(parts), np.vstack(normals), np.concatenate(labels)


def _plates(plug: TruePlug, fixture: str) -> list[tuple[np.ndarray, np.ndarray, np.ndarray]]:
    """Plates as middle and two half edges."""
    rim, top = plug.p["shoulder_diameter"] / 2, plug.shoulder_thickness
    if fixture == "table":
        reach = 1.4 * rim
        return [(np.array([0, 0, top]), np.array([reach, 0, 0]), np.array([0, reach, 0]))]
    if fixture == "rim":  # lies on its side, resting on the rim
        middle = np.array([rim, 0, -plug.nose / 2])
        return [
            (middle, np.array([0, 1.2 * rim, 0]), np.array([0, 0, 0.5 * plug.nose + 1.5 * top]))
        ]
    if fixture == "vice":
        jaw = (np.array([0, 0.6 * rim, 0]), np.array([0, 0, 0.5 * top]))
        return [(np.array([way * rim, 0, 0.5 * top]), *jaw) for way in (1.0, -1.0)]
    return []


def _pose(rng: np.random.Generator) -> tuple[np.ndarray, np.ndarray]:
    q, upper = np.linalg.qr(rng.normal(size=(3, 3)))
    q = q * np.sign(np.diag(upper))
    if np.linalg.det(q) < 0:
        q[:, 0] = -q[:, 0]
    return q, rng.uniform(-200, 200, 3)
