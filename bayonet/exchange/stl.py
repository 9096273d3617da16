"""Binary STL. The format has no unit; coordinates are mm."""

from __future__ import annotations

from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from bayonet.shapes import TriangleMesh

_RECORD = np.dtype([("normal", "<f4", 3), ("corners", "<f4", (3, 3)), ("attribute", "<u2")])

_HEAD_BYTES = 84


def write(mesh: TriangleMesh, path: Path, *, title: str) -> None:
    """Write a mesh.

    Parameters
    ----------
    mesh : TriangleMesh
    path : Path
    title : str
        Goes into the 80-byte header, ASCII.
    """
    corners = mesh.vertices[mesh.triangles]
    normal = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    length = np.linalg.norm(normal, axis=1, keepdims=True)
    records = np.zeros(len(corners), dtype=_RECORD)
    records["normal"] = normal / np.where(length > 0.0, length, 1.0)
    records["corners"] = corners
    head = f"{title}, mm".encode("ascii", "replace")[:80].ljust(80)
    count = np.array([len(corners)], dtype="<u4").tobytes()
    path.write_bytes(head + count + records.tobytes())


def read(path: Path) -> NDArray[np.float32]:
    """Corners of every triangle of a file written here, shape (n, 3, 3) [mm].

    Raises
    ------
    ValueError
        If its length is not what its head declares.
    """
    data = path.read_bytes()
    count = int.from_bytes(data[80:84], "little")
    if len(data) != _HEAD_BYTES + count * _RECORD.itemsize:
        raise ValueError(f"{len(data)} bytes are not {count} triangles")
    records = np.frombuffer(data, dtype=_RECORD, count=count, offset=_HEAD_BYTES)
    return np.asarray(records["corners"])
