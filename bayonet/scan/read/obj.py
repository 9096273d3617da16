"""OBJ: vertices and faces; what it says of materials, groups and textures is passed over."""

from __future__ import annotations

import re
from pathlib import Path

import numpy as np

from bayonet.scan.read.raw_points import Indices, Raw, checked_triangles, numbers, refuse

_BLOCK = 1 << 17  # rows at a time: memory stays at some tens of MB


def read(path: Path) -> Raw:
    """Read an OBJ file.

    Raises
    ------
    ScanError
        If vertices or faces make no sense.
    """
    lines = path.read_bytes().replace(b"\t", b" ").splitlines()
    rows = [line[2:] for line in lines if line.startswith(b"v ")]
    values = numbers(path, b"\n".join(rows), what="vertices")
    width, rest = divmod(len(values), max(len(rows), 1))
    if not rows or rest or width not in (3, 4, 6, 7):
        raise refuse(path, "OBJ whose vertex lines do not all hold x, y, z: truncated?")
    if len(rows[-1].split()) != width:
        raise refuse(path, "OBJ that ends within a vertex line: truncated")
    xyz = values.reshape(-1, width)[:, :3]
    faces = [line[2:] for line in lines if line.startswith(b"f ") or line == b"f"]
    triangles = _faces(path, faces, len(xyz)) if faces else None
    return Raw(xyz=xyz, triangles=triangles, kind="OBJ")


def _faces(path: Path, rows: list[bytes], count: int) -> Indices:
    blocks = [_fans(path, rows[at : at + _BLOCK]) for at in range(0, len(rows), _BLOCK)]
    return checked_triangles(path, np.vstack(blocks), count)


def _fans(path: Path, rows: list[bytes]) -> Indices:
    """Each face as a fan of triangles."""
    joined = b"\n".join(rows)
    if b"-" in joined:
        rule = "OBJ with relative (negative) vertex numbers; write it with absolute ones"
        raise refuse(path, rule)
    widths = _widths(joined)
    if not widths.size or (widths < 3).any():
        raise refuse(path, "OBJ with a face of fewer than three corners: truncated?")
    each = _numbers_each(joined)
    values = numbers(path, joined.replace(b"/", b" "), what="faces", whole=True)
    if each * widths.sum() != len(values):  # corners written in more than one way
        each, plain = 1, re.sub(rb"/[^ \n]*", b"", joined)
        values = numbers(path, plain, what="faces", whole=True)
    if each * widths.sum() != len(values):
        raise refuse(path, "OBJ with a face that makes no sense: truncated?")
    values = values[::each] - 1
    return _fanned(values, np.cumsum(widths) - widths, widths - 2)


def _fanned(values: Indices, starts: Indices, counts: Indices) -> Indices:
    """Triangles from the first corner of each face: ``counts`` of each."""
    face = np.repeat(np.arange(len(counts)), counts)
    corner = np.arange(len(face)) - np.repeat(np.cumsum(counts) - counts, counts)
    first = starts[face]
    return np.column_stack([values[first], values[first + corner + 1], values[first + corner + 2]])


def _widths(joined: bytes) -> Indices:
    """Corners of each face: words of each line."""
    code = np.frombuffer(joined + b"\n", dtype=np.uint8)
    is_letter = code > 32
    starts = is_letter.copy()
    starts[1:] &= ~is_letter[:-1]
    ends = np.flatnonzero(code == 10)
    return np.diff(np.cumsum(starts, dtype=np.int32)[ends], prepend=0).astype(np.int64)


def _numbers_each(joined: bytes) -> int:
    """Numbers a corner holds: vertex, texture and normal, some of them left out."""
    corner = joined.split(None, 1)[0]
    return len(corner.replace(b"/", b" ").split())
