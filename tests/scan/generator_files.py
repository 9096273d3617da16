"""Writers of scan files for the tests: plain, and none of the package's own."""

from __future__ import annotations

from pathlib import Path

import numpy as np


def stl(path: Path, xyz: np.ndarray, triangles: np.ndarray) -> Path:
    """Binary STL."""
    kind = np.dtype([("n", "<f4", 3), ("c", "<f4", (3, 3)), ("a", "<u2")])
    rows = np.zeros(len(triangles), dtype=kind)
    rows["c"] = xyz[triangles]
    path.write_bytes(b"scan".ljust(80) + np.uint32(len(rows)).tobytes() + rows.tobytes())
    return path


def stl_text(path: Path, xyz: np.ndarray, triangles: np.ndarray) -> Path:
    """STL as text."""
    lines = ["solid scan"]
    for corners in xyz[triangles]:
        lines += ["facet normal 0 0 0", " outer loop"]
        lines += [f"  vertex {x:.6e} {y:.6e} {z:.6e}" for x, y, z in corners]
        lines += [" endloop", "endfacet"]
    path.write_text("\n".join([*lines, "endsolid scan", ""]))
    return path


def ply(
    path: Path,
    xyz: np.ndarray,
    triangles: np.ndarray | None = None,
    *,
    normals: np.ndarray | None = None,
    order: str = "<",
) -> Path:
    """Binary PLY, `order` "<" little or ">" big endian."""
    word = {"<": "binary_little_endian", ">": "binary_big_endian"}[order]
    names = ["x", "y", "z"] + (["nx", "ny", "nz"] if normals is not None else [])
    head = ["ply", f"format {word} 1.0", "comment a scan", f"element vertex {len(xyz)}"]
    head += [f"property float {name}" for name in names] + ["property uchar intensity"]
    if triangles is not None:
        head += [f"element face {len(triangles)}", "property list uchar int vertex_indices"]
    kind = np.dtype([(name, f"{order}f4") for name in names] + [("intensity", "u1")])
    rows = np.zeros(len(xyz), dtype=kind)
    columns = xyz if normals is None else np.hstack([xyz, normals])
    for name, column in zip(names, columns.T, strict=True):
        rows[name] = column
    body = rows.tobytes()
    if triangles is not None:
        cells = np.zeros(len(triangles), dtype=[("n", "u1"), ("v", f"{order}i4", 3)])
        cells["n"], cells["v"] = 3, triangles
        body += cells.tobytes()
    path.write_bytes(("\n".join([*head, "end_header"]) + "\n").encode() + body)
    return path


def ply_text(path: Path, xyz: np.ndarray, triangles: np.ndarray) -> Path:
    """PLY as text."""
    head = ["ply", "format ascii 1.0", f"element vertex {len(xyz)}"]
    head += [f"property float {name}" for name in "xyz"]
    head += [f"element face {len(triangles)}", "property list uchar int vertex_indices"]
    rows = [f"{x:.6f} {y:.6f} {z:.6f}" for x, y, z in xyz]
    rows += [f"3 {a} {b} {c}" for a, b, c in triangles]
    path.write_text("\n".join([*head, "end_header", *rows, ""]))
    return path


def obj(path: Path, xyz: np.ndarray, triangles: np.ndarray | None = None) -> Path:
    """OBJ, vertices counted from 1."""
    rows = ["# a scan", *(f"v {x:.6f} {y:.6f} {z:.6f}" for x, y, z in xyz)]
    if triangles is not None:
        rows += [f"f {a}//{a} {b}//{b} {c}//{c}" for a, b, c in triangles + 1]
    path.write_text("\n".join([*rows, ""]))
    return path


def text(path: Path, columns: np.ndarray, *, between: str = " ", head: str = "") -> Path:
    """A table of numbers."""
    np.savetxt(path, columns, fmt="%.5f", delimiter=between, header=head, comments="")
    return path
