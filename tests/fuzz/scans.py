"""Scan files of every format broken on purpose; most are read only, some measured."""

from __future__ import annotations

import tempfile
from pathlib import Path

import numpy as np

from bayonet.errors import BayonetError
from bayonet.scan import fit
from bayonet.scan.read import read

EXAMPLES = Path(__file__).parents[2] / "examples"
FORMATS = ("binary stl", "text stl", "binary ply", "text ply", "obj", "xyz")
WORDS = (
    b"nan", b"inf", b"1e400", b"-1", b"99999999999999999999", b"\xc2\xb2", b"f\n", b"v 1 2\n",
    b"property float x\n", b"element vertex 5\n", b"end_header\n", b"\0", b"\n\n", b"x y z\n",
    b"1;",    b"9" * 5000, b"endsolid", b"facet", b",", b"\xff\xfe", b"_" * 3000,
)  # fmt: skip


def _corners(rng: np.random.Generator) -> np.ndarray:
    """Triangles of a rough stepped cylinder [mm], shape (n, 3, 3): enough points to be read."""
    rows, columns = 24, 36
    angle = np.linspace(0, 2 * np.pi, columns, endpoint=False)
    depth = np.linspace(0, 20, rows)
    radius = np.where(depth < 8, 15.0, 12.0)[:, None] + rng.normal(0, 0.01, (rows, columns))
    grid = np.stack([radius * np.cos(angle), radius * np.sin(angle),
                     np.repeat(-depth[:, None], columns, 1)], axis=-1)  # fmt: skip
    next_ = np.roll(grid, -1, axis=1)
    one = np.stack([grid[:-1], next_[:-1], grid[1:]], axis=2).reshape(-1, 3, 3)
    two = np.stack([next_[:-1], next_[1:], grid[1:]], axis=2).reshape(-1, 3, 3)
    return np.concatenate([one, two])


def whole(rng: np.random.Generator, form: str) -> bytes:
    """A sound file of a format."""
    corners = _corners(rng)
    points = corners.reshape(-1, 3)
    faces = np.arange(len(points)).reshape(-1, 3)
    lines = "".join(f"{x:.5f} {y:.5f} {z:.5f}\n" for x, y, z in points)
    if form == "binary stl":
        kind = np.dtype([("n", "<f4", 3), ("c", "<f4", (3, 3)), ("a", "<u2")])
        records = np.zeros(len(corners), kind)
        records["c"] = corners
        return b"x" * 80 + len(corners).to_bytes(4, "little") + records.tobytes()
    if form == "text stl":
        facets = "".join(
            "facet normal 0 0 1\nouter loop\n"
            + "".join(f"vertex {x:.5f} {y:.5f} {z:.5f}\n" for x, y, z in one)
            + "endloop\nendfacet\n"
            for one in corners
        )
        return f"solid a\n{facets}endsolid a\n".encode()
    if form == "obj":
        vertices = "".join(f"v {line}\n" for line in lines.splitlines())
        return (vertices + "".join(f"f {a + 1} {b + 1} {c + 1}\n" for a, b, c in faces)).encode()
    if form == "xyz":
        return lines.encode()
    order = "ascii" if form == "text ply" else "binary_little_endian"
    head = (
        f"ply\nformat {order} 1.0\nelement vertex {len(points)}\n"
        + "".join(f"property float {axis}\n" for axis in "xyz")
        + f"element face {len(faces)}\nproperty list uchar int vertex_indices\nend_header\n"
    ).encode()
    if form == "text ply":
        return head + lines.encode() + "".join(f"3 {a} {b} {c}\n" for a, b, c in faces).encode()
    rows = np.zeros(len(faces), np.dtype([("k", "u1"), ("v", "<i4", 3)]))
    rows["k"], rows["v"] = 3, faces
    return head + points.astype("<f4").tobytes() + rows.tobytes()


def broken(rng: np.random.Generator, number: int) -> bytes:
    """A file of one format with some bytes changed, cut, doubled or put in."""
    data = bytearray(whole(rng, FORMATS[number % len(FORMATS)]))
    for _ in range(int(rng.integers(1, 5))):
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
        fit(points)
    except BayonetError:
        return "read, not measured"
    return "taken"
