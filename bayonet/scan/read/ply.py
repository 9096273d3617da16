"""PLY: text, binary little and big endian; any scalar properties; faces of any corner count."""

from __future__ import annotations

import io
import re
from dataclasses import dataclass, field
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from bayonet.scan.read.raw_points import Indices, Raw, checked_triangles, numbers, refuse

_LONGEST_HEAD = 65536  # bytes; heads are a few hundred
_ORDERS = {"ascii": "=", "binary_little_endian": "<", "binary_big_endian": ">"}
_TYPES = {
    "char": "i1", "uchar": "u1", "short": "i2", "ushort": "u2", "int": "i4", "uint": "u4",
    "float": "f4", "double": "f8", "int8": "i1", "uint8": "u1", "int16": "i2", "uint16": "u2",
    "int32": "i4", "uint32": "u4", "float32": "f4", "float64": "f8",
}  # fmt: skip


@dataclass
class _Element:
    """One element of the head: scalars as (name, type), lists as (name, (count, item))."""

    name: str
    count: int
    properties: list[tuple[str, str | tuple[str, str]]] = field(default_factory=list)

    @property
    def scalars(self) -> list[tuple[str, str]]:
        return [(name, kind) for name, kind in self.properties if isinstance(kind, str)]

    @property
    def has_lists(self) -> bool:
        return len(self.scalars) < len(self.properties)

    def least_bytes(self, is_text: bool) -> int:
        """Fewest bytes the element can take."""
        if is_text:
            return self.count * 2 * max(len(self.properties), 1) - 1
        sizes = [np.dtype(k if isinstance(k, str) else k[0]).itemsize for _, k in self.properties]
        return self.count * sum(sizes)


def read(path: Path, size: int) -> Raw:
    """Read a PLY file: vertices, their normals where it has them, faces as triangles.

    Raises
    ------
    ScanError
        If the head makes no sense, or declares more than the file can hold.
    """
    with path.open("rb") as stream:
        head = stream.read(_LONGEST_HEAD)
    order, elements, start = _head(path, head)
    is_text = order == "="
    need = sum(element.least_bytes(is_text) for element in elements)
    if need > size - start:
        told = ", ".join(f"{element.count} {element.name}" for element in elements)
        rule = f"PLY that declares {told}, at least {need} bytes, but holds {size - start}"
        raise refuse(path, f"{rule}: truncated, or a false count")
    vertex = next((element for element in elements if element.name == "vertex"), None)
    if vertex is None or vertex.count == 0:
        raise refuse(path, "PLY without vertices: empty")
    missing = [axis for axis in "xyz" if axis not in dict(vertex.scalars)]
    if missing or vertex.has_lists:
        raise refuse(path, "PLY whose vertices have no plain x, y, z")
    found = _text(path, elements, start) if is_text else _binary(path, elements, start, order)
    return _as_raw(path, found, "text PLY" if is_text else "binary PLY")


def _as_raw(path: Path, found: tuple[dict[str, NDArray[np.float64]], Indices | None],
            kind: str) -> Raw:  # fmt: skip
    columns, triangles = found
    xyz = np.column_stack([columns[axis] for axis in "xyz"])
    normals = None
    if all(name in columns for name in ("nx", "ny", "nz")):
        normals = np.column_stack([columns[name] for name in ("nx", "ny", "nz")])
    if triangles is not None:
        triangles = checked_triangles(path, triangles, len(xyz))
    return Raw(xyz=xyz, normals=normals, triangles=triangles, kind=kind)


def _head(path: Path, head: bytes) -> tuple[str, list[_Element], int]:
    end = head.find(b"end_header")
    if end < 0:
        raise refuse(path, "PLY without end_header: truncated")
    start = head.find(b"\n", end) + 1
    if start == 0:
        raise refuse(path, "PLY that ends with its head: truncated")
    order, elements = "", []
    for line in head[:end].decode("ascii", "replace").splitlines():
        words = line.split()
        match words:
            case ["format", name, _]:
                order = _ORDERS.get(name, "")
            case ["element", name, count] if _COUNT.fullmatch(count):
                elements.append(_Element(name, int(count)))
            case ["property", "list", count, item, name] if elements:
                kinds = (_type(path, count), _type(path, item))
                if kinds[0][0] not in "iu":
                    raise refuse(path, f"PLY with a list {name!r} counted by {count!r}, not whole")
                _add(path, elements[-1], name, kinds)
            case ["property", kind, name] if elements:
                _add(path, elements[-1], name, _type(path, kind))
            case [] | ["ply"] | ["comment" | "obj_info", *_]:
                pass
            case _:
                raise refuse(path, f"PLY with a line in its head that means nothing: {line[:60]!r}")
    if not order:
        raise refuse(path, "PLY without a format line of version 1.0")
    return order, elements, start


_COUNT = re.compile(r"[0-9]{1,18}")
"""What a count may look like: more digits are no file of this world."""


def _add(path: Path, element: _Element, name: str, kind: str | tuple[str, str]) -> None:
    if name in dict(element.properties):
        raise refuse(path, f"PLY whose element {element.name!r} has the property {name!r} twice")
    element.properties.append((name, kind))


def _type(path: Path, name: str) -> str:
    if name not in _TYPES:
        raise refuse(path, f"PLY with an unknown type {name!r}")
    return _TYPES[name]


def _binary(path: Path, elements: list[_Element], at: int, order: str
            ) -> tuple[dict[str, NDArray[np.float64]], Indices | None]:  # fmt: skip
    columns: dict[str, NDArray[np.float64]] = {}
    triangles = None
    for element in elements:
        if element.name == "face":
            triangles = _binary_faces(path, element, at, order)
            break
        if element.has_lists:
            raise refuse(path, f"PLY with lists in element {element.name!r} before the faces")
        kind = np.dtype([(name, order + code) for name, code in element.scalars])
        if element.name == "vertex":
            rows = np.fromfile(path, dtype=kind, count=element.count, offset=at)
            with np.errstate(invalid="ignore"):  # what is no number is refused by the caller
                columns = {n: rows[n].astype(np.float64) for n in kind.names or () if n in _WANTED}
        at += element.count * kind.itemsize
    return columns, triangles


_WANTED = ("x", "y", "z", "nx", "ny", "nz")


def _binary_faces(path: Path, element: _Element, at: int, order: str) -> Indices | None:
    lists = [(n, k) for n, k in element.properties if not isinstance(k, str)]
    if element.count == 0 or len(lists) != 1:
        return None
    (_, (count_code, item_code)) = lists[0]
    kind = np.dtype(
        [
            field
            for name, code in element.properties
            for field in (
                [(name, order + code)]
                if isinstance(code, str)
                else [("corners", order + count_code), ("vertices", order + item_code, 3)]
            )
        ]
    )
    rows = np.fromfile(path, dtype=kind, count=element.count, offset=at)
    if len(rows) == element.count and (rows["corners"] == 3).all():
        return rows["vertices"].astype(np.int64)
    return _mixed_faces(path, element, at, order)


def _mixed_faces(path: Path, element: _Element, at: int, order: str) -> Indices:
    """Faces of unlike corner counts, one by one, each as a fan of triangles."""
    with path.open("rb") as stream:
        stream.seek(at)
        data = stream.read()
    fans, place = [], 0
    try:
        for _ in range(element.count):
            for _, code in element.properties:
                if isinstance(code, str):
                    place += np.dtype(code).itemsize
                    continue
                first, item = np.dtype(order + code[0]), np.dtype(order + code[1])
                corners = int(np.frombuffer(data, first, 1, place)[0])
                if corners < 0:
                    raise refuse(path, f"PLY with a face of {corners} corners")
                place += first.itemsize
                around = np.frombuffer(data, item, corners, place)
                place += corners * item.itemsize
                fans.append(_fan(around))
    except ValueError as error:
        raise refuse(path, "PLY that ends among its faces: truncated") from error
    return np.vstack(fans) if fans else np.zeros((0, 3), dtype=np.int64)


def _fan(around: NDArray[np.generic]) -> Indices:
    around = around.astype(np.int64)
    first = np.full(max(len(around) - 2, 0), around[0] if len(around) else 0)
    return np.column_stack([first, around[1:-1], around[2:]]) if len(first) else _NONE


_NONE = np.zeros((0, 3), dtype=np.int64)  # no triangle


def _text(path: Path, elements: list[_Element], start: int
          ) -> tuple[dict[str, NDArray[np.float64]], Indices | None]:  # fmt: skip
    with path.open("rb") as stream:
        stream.seek(start)
        lines = stream.read().split(b"\n")
    columns: dict[str, NDArray[np.float64]] = {}
    triangles, at = None, 0
    for element in elements:
        rows = lines[at : at + element.count]
        at += element.count
        if len(rows) < element.count or (rows and not rows[-1].strip()):
            raise refuse(path, f"text PLY that ends among its {element.name} lines: truncated")
        if element.name == "vertex":
            values = _table(path, rows, len(element.scalars), "vertices")
            names = [name for name, _ in element.scalars]
            columns = {n: values[:, i] for i, n in enumerate(names) if n in _WANTED}
        if element.name == "face" and rows:
            triangles = _text_faces(path, rows)
    return columns, triangles


def _table(path: Path, rows: list[bytes], width: int, what: str) -> NDArray[np.float64]:
    try:
        values = np.loadtxt(io.BytesIO(b"\n".join(rows)), comments=None, ndmin=2)
    except ValueError as error:
        raise refuse(path, f"text PLY, {what}: {str(error).split(';')[0]}") from error
    if values.shape[1] != width:
        raise refuse(path, f"text PLY whose {what} have {values.shape[1]} values, not {width}")
    if len(values) != len(rows):
        raise refuse(path, f"text PLY with {len(values)} lines of {what}, not {len(rows)}: blanks?")
    return values


def _text_faces(path: Path, rows: list[bytes]) -> Indices:
    values = numbers(path, b"\n".join(rows), what="faces")
    if not np.isfinite(values).all():
        raise refuse(path, "text PLY with a face line that makes no sense")
    if len(values) == 4 * len(rows) and (values[::4] == 3).all():
        return values.reshape(-1, 4)[:, 1:].astype(np.int64)
    fans = []
    for row in rows:
        words = row.split()
        corners = int(words[0]) if words and _COUNT.fullmatch(words[0].decode("latin-1")) else 0
        if corners < 1 or len(words) < corners + 1:
            raise refuse(path, "text PLY with a face line that makes no sense")
        fans.append(_fan(np.array(words[1 : corners + 1], dtype=np.float64)))
    return np.vstack(fans)
