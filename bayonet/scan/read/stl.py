"""STL, binary and text. The format has no unit and shares no corners: they are merged."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from bayonet.scan.read.raw_points import Raw, merged, numbers, refuse

_HEAD = 84  # bytes: 80 of text and the count, by the format
# 50 bytes a facet, by the format
_RECORD = np.dtype([("normal", "<f4", 3), ("corners", "<f4", (3, 3)), ("attribute", "<u2")])
_WORDS = (b"facet normal", b"outer loop", b"vertex", b"endloop", b"endfacet", b"end")
_BLOCK = 1 << 25  # 32 MB of text at a time
_TAIL = 4096  # bytes in which a text file's end stands


def declared(head: bytes) -> int:
    """Number of triangles a binary file's head declares."""
    return int(np.frombuffer(head[80:84], dtype="<u4")[0])


def read_binary(path: Path, head: bytes, size: int, *, merge: bool = True) -> Raw:
    """Read binary STL; without merging, each triangle keeps three corners of its own.

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
    if merge:
        xyz, triangles = merged(corners)
    else:
        xyz, triangles = corners.reshape(-1, 3), np.arange(3 * count).reshape(-1, 3)
    return Raw(xyz=xyz, triangles=triangles, kind="binary STL")


def read_text(path: Path) -> Raw:
    """Read text STL.

    Raises
    ------
    ScanError
        If it is cut off or holds something that is not a facet.
    """
    text = path.read_bytes()
    facets, tail = 0, text[-_TAIL:].lower()
    parts = []
    for block in _blocks(text):
        count = block.count(b"endfacet")
        parts.append(_corners(path, block, count))
        facets += count
    if facets == 0:
        raise refuse(path, "text STL without a whole facet: empty or truncated")
    rest = tail[tail.rfind(b"endfacet") + 8 :]
    if b"endsolid" not in rest:
        raise refuse(path, f"text STL that breaks off after {facets} facets: truncated")
    corners = np.concatenate(parts)
    if not np.isfinite(corners).all():
        bad = int(np.argmin(np.isfinite(corners).all(axis=(1, 2))))
        raise refuse(path, f"facet {bad + 1} holds a coordinate that is not a finite number")
    xyz, triangles = merged(corners)
    return Raw(xyz=xyz, triangles=triangles, kind="text STL")


def _blocks(text: bytes) -> Iterator[bytes]:
    """The text in lower case, cut behind facets; what follows the last facet is left out."""
    at, end = 0, max(text.rfind(b"endfacet"), text.rfind(b"ENDFACET")) + len(b"endfacet")
    while at < end - len(b"endfacet"):
        stop = end if at + _BLOCK >= end else _behind_facet(text, at + _BLOCK, end)
        yield text[at:stop].lower()
        at = stop


def _behind_facet(text: bytes, at: int, end: int) -> int:
    for word in (b"endfacet", b"ENDFACET"):
        found = text.find(word, at, end)
        if found >= 0:
            return found + len(word)
    return end


def _corners(path: Path, block: bytes, facets: int) -> NDArray[np.float32]:
    """Corners of the facets in a block of text, shape (facets, 3, 3)."""
    head, *solids = block.split(b"solid")
    block = b"".join([head, *(_without_name(solid) for solid in solids)])
    for word in _WORDS:
        block = block.replace(word, b"")
    values = numbers(path, block, what="facets")
    if len(values) != 12 * facets:
        rule = f"text STL with {len(values)} numbers in {facets} facets, not 12 in each: damaged"
        raise refuse(path, rule)
    return values.reshape(facets, 4, 3)[:, 1:].astype(np.float32)


def _without_name(text: bytes) -> bytes:
    """What follows the name of a solid, which ends with its line."""
    _, _, rest = text.replace(b"\r", b"\n").partition(b"\n")
    return rest
