"""What was written is read again before it counts: closed meshes, whole packages, legal texts.

Exact solids are read again by the job that wrote them, for only `bayonet.solids` has the kernel.
"""

from __future__ import annotations

import json
import tomllib
from collections.abc import Callable, Iterator
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from bayonet.errors import ExportError
from bayonet.exchange import stl

Array = NDArray[np.float64]
Indices = NDArray[np.int64]

_CORE = "{http://schemas.microsoft.com/3dmanufacturing/core/2015/02}"


def check(file: Path) -> None:
    """Read a file of a known kind again.

    Raises
    ------
    ExportError
        If it is cut off, does not parse, or holds a mesh that does not close.
    """
    by_suffix = _CHECKS.get(file.suffix.lower())
    if by_suffix is None:
        return
    try:
        why = by_suffix(file)
    except (ValueError, KeyError) as error:
        why = str(error)
    if why:
        raise ExportError(f"{file.name}: does not hold when read again: {why}")


def _stl(file: Path) -> str:
    from bayonet.scan.read import merged

    vertices, triangles = merged(stl.read(file))
    return _open(np.asarray(vertices, dtype=np.float64), triangles)


def _threemf(file: Path) -> str:
    meshes = list(meshes_of(file))
    if not meshes:
        return "no mesh"
    return next((why for one in meshes if (why := _open(*one))), "")


def meshes_of(file: Path) -> Iterator[tuple[Array, Indices]]:
    """Vertices and triangles of every object of a 3MF package, as they stand in it.

    Raises
    ------
    ValueError, KeyError
        If a part, a vertex or a triangle is missing or is none.
    """
    import zipfile
    from xml.etree import ElementTree

    try:
        with zipfile.ZipFile(file) as package:
            if package.testzip() is not None:
                raise ValueError("a part of the package is damaged")
            root = ElementTree.fromstring(package.read("3D/3dmodel.model"))
    except (zipfile.BadZipFile, ElementTree.ParseError) as error:
        raise ValueError(f"no 3MF package: {error}") from error
    if root.get("unit") != "millimeter":
        raise ValueError("its unit is not the millimetre")
    for mesh in root.iter(f"{_CORE}mesh"):
        corners = [[float(v.attrib[k]) for k in "xyz"] for v in mesh.iter(f"{_CORE}vertex")]
        faces = [
            [int(t.attrib[k]) for k in ("v1", "v2", "v3")] for t in mesh.iter(f"{_CORE}triangle")
        ]
        yield np.array(corners).reshape(-1, 3), np.array(faces, dtype=np.int64).reshape(-1, 3)


def _open(vertices: Array, triangles: Indices) -> str:
    """Why a mesh does not close; empty where it does: every edge run once each way."""
    if not len(triangles):
        return "no triangles"
    if triangles.min() < 0 or triangles.max() >= len(vertices):
        return "a triangle names a vertex that is not there"
    edges = np.concatenate([triangles[:, [0, 1]], triangles[:, [1, 2]], triangles[:, [2, 0]]])
    there, back = (np.sort(edges @ np.array(by)) for by in ((len(vertices), 1), (1, len(vertices))))
    if not np.array_equal(there, back):
        return f"{int(np.setxor1d(there, back).size)} edges of its mesh do not close"
    a, b, c = (vertices[triangles[:, k]] for k in range(3))
    if not float(np.einsum("ij,ij->", a, np.cross(b, c))) > 0.0:
        return "its mesh encloses nothing"
    return ""


def _step(file: Path) -> str:
    with file.open("rb") as stream:
        head = stream.read(13)
        stream.seek(max(file.stat().st_size - 64, 0))
        tail = stream.read()
    whole = head == b"ISO-10303-21;" and b"END-ISO-10303-21;" in tail
    return "" if whole else "not a whole exchange structure (ISO 10303-21)"


def _json(file: Path) -> str:
    json.loads(file.read_text("utf-8"))
    return ""


def _toml(file: Path) -> str:
    tomllib.loads(file.read_bytes().decode("utf-8-sig").replace("\r\n", "\n"))
    return ""


def _ends(head: bytes, tail: bytes) -> Callable[[Path], str]:
    def look(file: Path) -> str:
        data = file.read_bytes()
        return "" if data.startswith(head) and data.rstrip().endswith(tail) else "cut off"

    return look


_CHECKS: dict[str, Callable[[Path], str]] = {
    ".stl": _stl,
    ".3mf": _threemf,
    ".step": _step,
    ".json": _json,
    ".toml": _toml,
    ".png": _ends(b"\x89PNG", b"IEND\xaeB`\x82"),
    ".svg": _ends(b"<", b"</svg>"),
    ".pdf": _ends(b"%PDF", b"%%EOF"),
    ".html": _ends(b"<", b"</html>"),
}
