"""What a reader of one file format hands on, and what all readers share."""

from __future__ import annotations

import contextlib
import warnings
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from bayonet import inputs
from bayonet.errors import ScanError

Floats = NDArray[np.floating]
Indices = NDArray[np.int64]


@dataclass(frozen=True, kw_only=True)
class Raw:
    """Points as the file has them.

    Parameters
    ----------
    xyz : array, shape (n, 3)
        In the file's unit.
    normals : array, shape (n, 3), or None
    triangles : array of int, shape (m, 3), or None
    unit : str or None
        Unit the file itself states, e.g. ``mm``.
    unit_reason : str
        Where it states it.
    kind : str
        The format found, in words.
    """

    xyz: Floats
    normals: Floats | None = None
    triangles: Indices | None = None
    unit: str | None = None
    unit_reason: str = ""
    kind: str


def refuse(path: Path, reason: str) -> ScanError:
    """The error for a file, naming it and the reason."""
    return ScanError(f"{path}: {reason}")


@contextlib.contextmanager
def opening(path: Path) -> Iterator[None]:
    """Turn what the system says about a file into one clear error."""
    try:
        yield
    except inputs.UnreadableError as error:
        raise refuse(path, error.rule) from error
    except OSError as error:
        raise refuse(path, f"cannot be read: {error.strerror or error}") from error
    except MemoryError as error:
        raise refuse(path, "does not fit into memory") from error


def numbers(path: Path, text: bytes, *, what: str, whole: bool = False) -> NDArray[Any]:
    """Every number of a text, white space between them; ``whole`` takes integers only.

    Raises
    ------
    ScanError
        If anything else stands there.
    """
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("error")  # older numpy only warns
            return np.fromstring(text, dtype=np.int64 if whole else np.float64, sep=" ")
    except (ValueError, DeprecationWarning) as error:
        raise refuse(path, f"{what} hold something that is not a number") from error


def merged(corners: Floats) -> tuple[Floats, Indices]:
    """Corners of a triangle soup, each place once, and the triangles between them.

    Parameters
    ----------
    corners : array of float32, shape (m, 3, 3)

    Returns
    -------
    (array (n, 3), array (m, 3))

    Examples
    --------
    Two triangles with a common edge have four corners.

    >>> soup = np.array([[[0, 0, 0], [1, 0, 0], [0, 1, 0]], [[1, 0, 0], [1, 1, 0], [0, 1, 0]]])
    >>> places, triangles = merged(soup.astype(np.float32))
    >>> len(places), bool(np.array_equal(places[triangles], soup))
    (4, True)
    """
    flat = np.ascontiguousarray(corners.reshape(-1, 3), dtype=np.float32) + np.float32(0.0)
    first = _first_of_each(flat)
    is_first = first == np.arange(len(flat))
    triangles = (np.cumsum(is_first) - 1)[first].reshape(-1, 3)
    proper = (triangles != np.roll(triangles, 1, axis=1)).all(axis=1)
    return flat[is_first].astype(np.float64), triangles[proper]


def _first_of_each(flat: NDArray[np.float32]) -> Indices:
    """For every row the number of one row that equals it, the same for all that do.

    A table of slots by hash: each row writes its number, reads back whose number stands there,
    and is done if that row equals it. The few that lost their slot to another place try again
    with other bits, so time grows with the number of rows only.
    """
    word = flat.view(np.uint32).astype(np.uint64)
    key = mixed(mixed(word[:, 0] << np.uint64(32) | word[:, 1]) ^ word[:, 2])
    slots = np.uint64((1 << max(2 * len(flat) - 1, 1).bit_length()) - 1)
    table = np.empty(int(slots) + 1, dtype=np.int64)
    found = np.full(len(flat), -1, dtype=np.int64)
    left = np.arange(len(flat))
    while len(left):
        slot = key[left] & slots
        table[slot] = left
        holder = table[slot]
        same = (flat[holder] == flat[left]).all(axis=1)
        found[left[same]] = holder[same]
        left = left[~same]
        key[left] = mixed(key[left] + np.uint64(1))
    return found


def mixed(key: NDArray[np.uint64]) -> NDArray[np.uint64]:
    """Keys with their bits spread, so that near ones fall apart."""
    with np.errstate(over="ignore"):
        key = (key ^ (key >> np.uint64(31))) * np.uint64(0x7FB5D329728EA185)
        key = (key ^ (key >> np.uint64(27))) * np.uint64(0x81DADEF4BC2DD44D)
    return np.asarray(key ^ (key >> np.uint64(33)))


def checked_triangles(path: Path, triangles: Indices, count: int) -> Indices:
    """Triangles whose vertex numbers exist.

    Raises
    ------
    ScanError
        If one does not.
    """
    if len(triangles) and not (triangles.min() >= 0 and triangles.max() < count):
        bad = int(triangles.max()) if triangles.max() >= count else int(triangles.min())
        raise refuse(path, f"a face names vertex {bad}, of {count} counted from 0")
    return triangles
