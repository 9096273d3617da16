"""Bytes of an input file, refused before they are read where they cannot be one.

What stands in them is read by the rooms: `bayonet.parts`, `bayonet.scan.read`, `bayonet.printing`.
"""

from __future__ import annotations

import os
import stat
from pathlib import Path

from bayonet.errors import BayonetError


class UnreadableError(BayonetError, OSError):
    """A file cannot be read; ``rule`` says why, without the file's name."""

    def __init__(self, rule: str) -> None:
        self.rule = rule
        super().__init__(rule)


def size_of(path: Path) -> int:
    """Bytes of a regular file; what could block or never end is refused unread.

    Raises
    ------
    UnreadableError
        If it is missing, a folder, a pipe or device, or its name cannot be one.
    """
    try:
        found = path.stat()
    except OSError as error:
        raise UnreadableError(f"cannot be read: {error.strerror or error}") from error
    except (ValueError, RuntimeError) as error:  # a zero byte in the name; a loop of links
        raise UnreadableError(f"cannot be read: {error}") from error
    if stat.S_ISDIR(found.st_mode):
        raise UnreadableError("cannot be read: is a folder, not a file")
    if not stat.S_ISREG(found.st_mode):
        raise UnreadableError("cannot be read: is a pipe or device, not a file")
    return found.st_size


def content(path: str | Path, *, most_bytes: int, what: str) -> bytes:
    """All bytes of a file.

    Parameters
    ----------
    path : str or Path
    most_bytes : int
        A longer file is refused whole, never cut.
    what : str
        What it should be, for the message: "a design file".

    Returns
    -------
    bytes

    Raises
    ------
    UnreadableError
        As `size_of`, or if it is longer.
    """
    path = Path(path)
    size_of(path)
    try:
        with path.open("rb") as stream:
            data = stream.read(most_bytes + 1)
    except OSError as error:
        raise UnreadableError(f"cannot be read: {error.strerror or error}") from error
    if len(data) > most_bytes:
        raise UnreadableError(f"is larger than {most_bytes} bytes: not {what}")
    return data


def is_valid_name(name: str | os.PathLike[str]) -> bool:
    """Whether a path can be written as UTF-8, as every report of it must be."""
    try:
        os.fspath(name).encode("utf-8")
    except UnicodeEncodeError:
        return False
    return True
