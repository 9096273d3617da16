"""Scan files of every format broken on purpose: their bytes, and the points they hold."""

from __future__ import annotations

import sys
import tempfile
from functools import cache
from pathlib import Path

import numpy as np

sys.path.append(str(Path(__file__).parents[1] / "scan"))

import generator
import generator_files as files
import generator_scan

from bayonet.errors import BayonetError
from bayonet.scan import fit
from bayonet.scan.read import read

FORMATS = ("binary stl", "text stl", "binary ply", "text ply", "obj", "xyz")
WORDS = (
    b"nan", b"inf", b"1e400", b"-1", b"99999999999999999999", b"\xc2\xb2", b"f\n", b"v 1 2\n",
    b"property float x\n", b"element vertex 5\n", b"end_header\n", b"\0", b"\n\n", b"x y z\n",
    b"1;",    b"9" * 5000, b"endsolid", b"facet", b",", b"\xff\xfe", b"_" * 3000,
)  # fmt: skip


Mesh = tuple[np.ndarray, np.ndarray]
"""Corners [mm], shape (n, 3), and triangles as their numbers, shape (m, 3)."""


@cache
def _sound() -> Mesh:
    """A scan of an invented plug that is measured in half a second."""
    plug = generator.random_plug(np.random.default_rng(5))
    made = generator_scan.scan(plug, generator_scan.Nuisance(), points=8000, seed=1, mesh=True)
    return made.xyz, made.triangles


def mesh_of(rng: np.random.Generator, number: int) -> Mesh:
    """The sound scan, with something a scanner or a converter does to it in most cases."""
    points, triangles = (one.copy() for one in _sound())
    some = rng.choice(len(points), int(rng.integers(1, len(points) // 4)), replace=False)
    match number % 10:
        case 0:
            points[some[:3]] = rng.choice([np.nan, np.inf, 1e30, -1e6])
        case 1:
            points[some] = points[rng.permutation(some)]
        case 2:
            points[some] += rng.normal(0, 5.0, (len(some), 3))
        case 3:
            triangles = np.delete(triangles, some, axis=0)
        case 4:
            triangles = triangles[points[triangles[:, 0], 0] > rng.normal(points[:, 0].mean(), 10)]
        case 5:
            points *= rng.choice([25.4, 1e-3, 1e3, -1.0, 1e-30])
        case 6:
            points[:, int(rng.integers(3))] *= rng.choice([0.0, 1.0001, 1.02, 2.0, -1.0])
        case 7:
            triangles = np.concatenate([triangles, triangles + len(points)])
            points = np.concatenate([points, points + rng.normal(0, 60, 3)])
        case 8:
            triangles[some[:5]] = rng.integers(-5, 2 * len(points), (len(some[:5]), 3))
        case _:
            pass
    return points, triangles


def whole(mesh: Mesh, form: str) -> bytes:
    """A file of a format."""
    points, triangles = mesh
    inside = ((triangles >= 0) & (triangles < len(points))).all(axis=1)
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "scan"
        match form:
            case "binary stl":
                files.stl(file, points, triangles[inside])
            case "text stl":
                files.stl_text(file, points, triangles[inside])
            case "binary ply":
                files.ply(file, points, triangles)
            case "text ply":
                files.ply_text(file, points, triangles)
            case "obj":
                files.obj(file, points, triangles)
            case _:
                files.text(file, points)
        return file.read_bytes()


def broken(rng: np.random.Generator, number: int) -> bytes:
    """A file of one format; two in three have bytes changed, cut, doubled or put in as well."""
    data = bytearray(whole(mesh_of(rng, number // 6), FORMATS[number % len(FORMATS)]))
    for _ in range(int(rng.integers(1, 4)) if number % 3 else 0):
        near_head = rng.random() < 0.5
        at = int(rng.integers(min(400, len(data)) if near_head else len(data)) if data else 0)
        match int(rng.integers(5)):
            case 0:
                data[at : at + 1] = bytes([int(rng.integers(256))])
            case 1:
                del data[at : at + int(rng.integers(1, 200))]
            case 2:
                data[at:at] = WORDS[int(rng.integers(len(WORDS)))]
            case 3:
                data[at:at] = data[at : at + int(rng.integers(1, 400))]
            case _:
                if rng.random() < 0.3:
                    del data[at:]
    return bytes(data)


def outcome(data: bytes) -> str:
    """Read; measure what is read."""
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "scan.bin"
        file.write_bytes(data)
        try:
            points = read(file)
        except BayonetError as error:
            return "refused" if str(file) in str(error) else "failure: an error without its file"
    if not np.isfinite(points.xyz_mm).all():
        return "failure: a point that is no number"
    try:
        found = fit(points)
    except BayonetError:
        return "read, not measured"
    unseen = " ".join(found.warnings)
    for one in found.features:
        if not np.isfinite((one.value, one.u)).all() and "no value given" not in unseen:
            return f"failure: {one.key} is no number, and nothing says so"
    return "taken"
