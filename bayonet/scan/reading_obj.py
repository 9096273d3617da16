"""OBJ: vertices and faces; what it says of materials, groups and textures is passed over."""

from __future__ import annotations

import re
from pathlib import Path

import numpy as np

from bayonet.scan.raw import Indices, Raw, checked_triangles, numbers, refuse


def read(path: Path) -> Raw:
    """Read an OBJ file.

    Raises
    ------
    ScanError
        If vertices or faces make no sense.
    """
    text = path.read_bytes()
    rows = re.findall(rb"(?m)^[ \t]*v[ \t]+([^\r\n]*)", text)
    values = numbers(path, b"\n".join(rows), what="vertices")
    width, rest = divmod(len(values), max(len(rows), 1))
    if not rows or rest or width not in (3, 4, 6, 7):
        raise refuse(path, "OBJ whose vertex lines do not all hold x, y, z: truncated?")
    if len(rows[-1].split()) != width:
        raise refuse(path, "OBJ that ends within a vertex line: truncated")
    xyz = values.reshape(-1, width)[:, :3]
    faces = re.findall(rb"(?m)^[ \t]*f[ \t]+([^\r\n]*)", text)
    triangles = _faces(path, faces, len(xyz)) if faces else None
    return Raw(xyz=xyz, triangles=triangles, kind="OBJ")


def _faces(path: Path, rows: list[bytes], count: int) -> Indices:
    joined = re.sub(rb"/[^ \t\n]*", b"", b"\n".join(rows))
    if b"-" in joined:
        rule = "OBJ with relative (negative) vertex numbers; write it with absolute ones"
        raise refuse(path, rule)
    values = numbers(path, joined, what="faces").astype(np.int64) - 1
    widths = np.array([len(row.split()) for row in rows])
    if (widths < 3).any() or widths.sum() != len(values):
        raise refuse(path, "OBJ with a face of fewer than three corners: truncated?")
    starts = np.cumsum(widths) - widths
    fans = []
    for corner in range(1, int(widths.max()) - 1):
        some = starts[widths > corner + 1]
        fans.append(
            np.column_stack([values[some], values[some + corner], values[some + corner + 1]])
        )
    return checked_triangles(path, np.vstack(fans), count)
