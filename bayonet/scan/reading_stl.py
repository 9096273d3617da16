"""STL, binary and text. The format has no unit and shares no corners: they are merged."""

from __future__ import annotations

import re
from pathlib import Path

import numpy as np

from bayonet.scan.raw import Raw, merged, numbers, refuse

_HEAD = 84
_RECORD = np.dtype([("normal", "<f4", 3), ("corners", "<f4", (3, 3)), ("attribute", "<u2")])
_WORDS = (b"facet normal", b"outer loop", b"vertex", b"endloop", b"endfacet")


def declared(head: bytes) -> int:
    """Number of triangles a binary file's head declares."""
    return int(np.frombuffer(head[80:84], dtype="<u4")[0])


def read_binary(path: Path, head: bytes, size: int) -> Raw:
    """Read binary STL.

    Raises
    ------
    ScanError
        If the file ends before the triangles it declares, or declares none.
    """
    count = declared(head)
    if count == 0:
        raise refuse(path, "binary STL that declares no triangles: empty")
    need = _HEAD + count * _RECORD.itemsize
    if need > size:
        held = (size - _HEAD) // _RECORD.itemsize
        raise refuse(
            path,
            f"binary STL that declares {count} triangles ({need} bytes) but ends after {size}"
            f" bytes, {held} triangles: truncated, or not an STL",
        )
    corners = np.fromfile(path, dtype=_RECORD, count=count, offset=_HEAD)["corners"]
    if not np.isfinite(corners).all():
        bad = int(np.argmin(np.isfinite(corners).all(axis=(1, 2))))
        raise refuse(path, f"triangle {bad + 1} holds a coordinate that is not a finite number")
    xyz, triangles = merged(corners)
    return Raw(xyz=xyz, triangles=triangles, kind="binary STL")


def read_text(path: Path) -> Raw:
    """Read text STL.

    Raises
    ------
    ScanError
        If it is cut off or holds something that is not a facet.
    """
    text = path.read_bytes().lower()
    facets = text.count(b"endfacet")
    if facets == 0:
        raise refuse(path, "text STL without a whole facet: empty or truncated")
    if text.count(b"outer loop") != facets or b"endsolid" not in text[-4096:]:
        raise refuse(path, f"text STL that breaks off after {facets} facets: truncated")
    text = re.sub(rb"(?m)^[ \t]*(?:end)?solid[^\r\n]*", b"", text)
    for word in _WORDS:
        text = text.replace(word, b"")
    values = numbers(path, text, what="facets")
    if len(values) != 12 * facets:
        rule = f"text STL with {len(values)} numbers in {facets} facets, not 12 in each"
        raise refuse(path, rule)
    corners = values.reshape(facets, 4, 3)[:, 1:]
    if not np.isfinite(corners).all():
        bad = int(np.argmin(np.isfinite(corners).all(axis=(1, 2))))
        raise refuse(path, f"facet {bad + 1} holds a coordinate that is not a finite number")
    xyz, triangles = merged(corners.astype(np.float32))
    return Raw(xyz=xyz, triangles=triangles, kind="text STL")
