"""Files of a scan to points in mm: which format by content, what unit and why, what is refused."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from bayonet import inputs
from bayonet.errors import ScanError
from bayonet.scan.read import e57, obj, ply, stl, tables
from bayonet.scan.read.points import ScanPoints
from bayonet.scan.read.raw_points import Raw, opening, refuse
from bayonet.units import LENGTH_UNITS_MM

UNITS = ("mm", "in", "cm", "m")
LEAST_POINTS = 500  # fewer show no structure (of meshes a fifth, for they have triangles)
LARGEST_BYTES = 4_000_000_000  # memory of a usual workstation takes four times that

_SNIFF = 4096  # bytes a format is told by
_FLAT = 1e-4  # smallest over largest extent of what counts as lying in one plane
_SMALLEST_MM, _LARGEST_MM = 5.0, 3000.0  # of a scan, fixtures and all
# extents of plugs in inches, and from where a number can only be mm
_IN, _MM_FROM = (0.4, 6.0), 10.0
_METRES = (0.012, 0.25)  # extents of plugs in metres
_OTHERS = (
    (b"ISO-10303-21", "a STEP model, not a scan"),
    (b"PK\x03\x04", "a zip package (3MF?), not a scan; write it as STL or PLY"),
    (b"\x1f\x8b", "compressed (gzip); unpack it first"),
    (b"%PDF", "a PDF"),
    (b"\x89PNG", "a picture"),
    (b"\xff\xd8\xff", "a picture"),
    (b"\xff\xfe", "text of two bytes a letter (UTF-16); save it as plain text"),
    (b"\xfe\xff", "text of two bytes a letter (UTF-16); save it as plain text"),
)


def read(
    path: Path | str, *, units: str | None = None, progress: Callable[[str], None] | None = None
) -> ScanPoints:
    """Read one scan.

    The format is told by the content, not by the name. STL (binary, text), PLY (text, binary of
    both byte orders), OBJ, tables of numbers, and E57 where its library is installed.

    Parameters
    ----------
    path : Path or str
    units : {"mm", "in", "cm", "m"} or None
        Unit of the file; None takes the one it states, or guesses from the size.
    progress : callable, optional
        Told in words what is being done.

    Returns
    -------
    ScanPoints
        [mm]; ``unit_note`` says how the unit was decided.

    Raises
    ------
    ScanError
        Naming the file and the reason: missing, empty, truncated, of no known format, with
        values that are not finite, in one plane, too few points, or of a size that fits no unit.
    """
    path = Path(path)
    if units is not None and units not in UNITS:
        raise ScanError(f"unit {units!r}: use one of {', '.join(UNITS)}")
    if progress is not None:
        progress(f"reading {path}")
    raw = raw_of(path)
    least = LEAST_POINTS if raw.triangles is None else LEAST_POINTS // 5
    if len(raw.xyz) < least:
        rule = f"{len(raw.xyz)} points; a scan of a plug needs at least {least}"
        raise refuse(path, rule)
    across = _across(raw.xyz)
    _refuse_flat(path, raw.xyz, across)
    factor, note = _unit(path, raw, units, across)
    xyz = np.ascontiguousarray(raw.xyz, dtype=np.float64)
    return ScanPoints(
        xyz_mm=xyz if factor == 1.0 else xyz * factor,
        normals=_unit_normals(raw.normals),
        triangles=raw.triangles if raw.triangles is not None and len(raw.triangles) else None,
        name=str(path),
        unit_note=f"{raw.kind}; {note}",
    )


def raw_of(path: Path, *, merge: bool = True) -> Raw:
    """Points and triangles of a file as they stand in it; nothing is asked of size or shape.

    Parameters
    ----------
    path : Path
    merge : bool
        Whether corners of a binary STL at one place become one.

    Returns
    -------
    Raw
        In the file's own unit.

    Raises
    ------
    ScanError
        Naming the file and the reason: missing, empty, truncated, of no known format, with
        values that are not finite.
    """
    with opening(path):
        raw = _raw(path, merge=merge)
    _refuse_not_finite(path, raw.xyz)
    return raw


def _raw(path: Path, *, merge: bool) -> Raw:
    if path.is_dir():
        raise refuse(path, "is a folder, not a scan")
    size = inputs.size_of(path)
    with path.open("rb") as stream:
        head = stream.read(_SNIFF)
    if not head.strip():
        raise refuse(path, "is empty")
    if size > LARGEST_BYTES:
        raise refuse(path, f"{size / 1e9:.1f} GB; at most {LARGEST_BYTES / 1e9:.0f} GB are read")
    for start, what in _OTHERS:
        if head.startswith(start):
            raise refuse(path, f"is {what}")
    return _of_format(path, head, size, merge=merge)


def _of_format(path: Path, head: bytes, size: int, *, merge: bool) -> Raw:
    first = head.lstrip()[:6].lower()
    if head.startswith(b"ASTM-E57"):
        return e57.read(path)
    if head.split(None, 1)[0] == b"ply":
        return ply.read(path, size)
    if len(head) >= 84 and size == 84 + 50 * stl.declared(head):
        return stl.read_binary(path, head, size, merge=merge)
    is_text = b"\x00" not in head and _printable(head) > 0.95
    if is_text and first.startswith(b"solid") and b"facet" in head.lower():
        return stl.read_text(path)
    if is_text and _starts_lines(head, b"v"):
        return obj.read(path)
    if is_text:
        return tables.read(path)
    if path.suffix.lower() == ".stl" and len(head) >= 84:
        return stl.read_binary(path, head, size, merge=merge)
    rule = "is none of STL, PLY, OBJ, E57 or a table of numbers (told by its content)"
    raise refuse(path, rule)


def _printable(head: bytes) -> float:
    codes = np.frombuffer(head, dtype=np.uint8)
    return float(np.mean((codes >= 32) & (codes != 127) | (codes >= 9) & (codes <= 13)))


def _starts_lines(head: bytes, word: bytes) -> bool:
    return any(line.split()[:1] == [word] for line in head.splitlines() if line.strip())


def _refuse_not_finite(path: Path, xyz: NDArray[np.floating]) -> None:
    finite = np.isfinite(xyz).all(axis=1)
    if not finite.all():
        bad = np.flatnonzero(~finite)
        rule = f"{len(bad)} of {len(xyz)} points are not finite numbers, first point {bad[0] + 1}"
        raise refuse(path, rule)


def _across(xyz: NDArray[np.floating]) -> float:
    """Largest extent that leaves out the outermost points of each axis: outliers do not count."""
    few = xyz[:: max(len(xyz) // 50_000, 1)]
    low, high = np.percentile(few, [1.0, 99.0], axis=0)
    return float((high - low).max())


def _refuse_flat(path: Path, xyz: NDArray[np.floating], across: float) -> None:
    few = np.asarray(xyz[:: max(len(xyz) // 50_000, 1)], dtype=np.float64)
    if not across > 0.0:
        raise refuse(path, "all points lie in one place or on one line")
    reach = np.linalg.svd(few - few.mean(axis=0), compute_uv=False)
    if not reach[1] > _FLAT * reach[0]:
        raise refuse(path, "all points lie on one line")
    if not reach[2] > _FLAT * reach[0]:
        raise refuse(path, "all points lie in one plane")


def _unit(path: Path, raw: Raw, given: str | None, across: float) -> tuple[float, str]:
    """Factor to mm, and why."""
    if given is not None:
        unit, why = given, f"unit {given} as given"
    elif raw.unit is not None:
        unit, why = raw.unit, f"unit {raw.unit}: {raw.unit_reason}"
    else:
        unit, why = _guess(path, across)
    factor = LENGTH_UNITS_MM[unit]
    size = across * factor
    if not _SMALLEST_MM <= size <= _LARGEST_MM:
        rule = (
            f"{across:.4g} {unit} across{'' if unit == 'mm' else f' is {size:.4g} mm'}: no plug"
            f" that this program reads"
            f" ({_SMALLEST_MM:g} to {_LARGEST_MM:g} mm); is {unit} its unit?"
        )
        raise refuse(path, rule)
    return factor, why


def _guess(path: Path, across: float) -> tuple[str, str]:
    told = f"it is {across:.4g} units across"
    if across >= _MM_FROM:
        inches = across * 25.4
        return "mm", f"unit mm, guessed: {told}, and as inches it would be {inches:.4g} mm"
    if _IN[0] <= across < _IN[1]:
        rest = f"as mm that is smaller than any plug, as inches it is {across * 25.4:.4g} mm"
        return "in", f"unit in, guessed: {told}; {rest}"
    if _METRES[0] <= across < _METRES[1]:
        rest = f"as mm or inches that is smaller than any plug, as m it is {across * 1000:.4g} mm"
        return "m", f"unit m, guessed: {told}; {rest}"
    rule = (
        f"{told}, which fits no unit alone (mm or inches?); give it with --units mm or --units in"
    )
    raise refuse(path, rule)


def _unit_normals(normals: NDArray[np.floating] | None) -> NDArray[np.float64] | None:
    """Unit normals; None where any is missing."""
    if normals is None:
        return None
    length = np.linalg.norm(normals, axis=1, keepdims=True)
    if not bool((np.isfinite(length) & (length > 0.0)).all()):
        return None
    return np.asarray(normals / length, dtype=np.float64)
