"""Moving a set of files into a folder so that all of them are there, or all that was before.

Phase one sets aside what is to be replaced, phase two moves the new files in. A journal in the
working folder tells a later run how to undo what a killed one left half done.
"""

from __future__ import annotations

import contextlib
import errno
import json
import os
import shutil
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path

from bayonet.errors import ExportError

WORKING = ".bayonet-writing"
LOCK = ".bayonet-lock"
_NEW, _OLD, _JOURNAL = "new", "old", "journal.json"
_NO_LOCKS = (errno.ENOLCK, errno.ENOTSUP, errno.ENOSYS, errno.EINVAL)
"""What a file system says that has no locks, for instance some network shares."""


@contextmanager
def locked(folder: Path) -> Iterator[None]:
    """Hold a folder against other runs; the system lets go of it if this run is killed.

    Raises
    ------
    ExportError
        If another run is writing into it.
    """
    path = folder / LOCK
    while True:
        handle = os.open(path, os.O_CREAT | os.O_RDWR, 0o644)
        try:
            if not _lock(handle):
                raise ExportError(f"{folder}: another run is writing into it; wait for its end")
            with contextlib.suppress(FileNotFoundError):
                if os.path.samestat(os.fstat(handle), path.stat()):
                    break
        except BaseException:
            os.close(handle)
            raise
        os.close(handle)  # the run before took its lock away while we waited for it
    try:
        yield
    finally:
        if os.name == "posix":
            path.unlink(missing_ok=True)
        os.close(handle)
        if os.name != "posix":
            with contextlib.suppress(OSError):  # the next run has it open already
                path.unlink(missing_ok=True)


def _lock(handle: int) -> bool:
    """Whether the lock could be had at once."""
    try:
        if os.name == "posix":
            import fcntl

            fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
        else:
            import msvcrt

            msvcrt.locking(handle, msvcrt.LK_NBLCK, 1)  # type: ignore[attr-defined,unused-ignore]
    except OSError as error:
        return error.errno in _NO_LOCKS
    return True


@contextmanager
def working_folder(folder: Path) -> Iterator[Path]:
    """A new, empty folder within the locked target; what a killed run left is undone first."""
    room = folder / WORKING
    recover(folder)
    (room / _NEW).mkdir(parents=True)
    (room / _OLD).mkdir()
    try:
        yield room / _NEW
    finally:
        if not (room / _JOURNAL).exists():  # else undoing failed too: a later run tries again
            shutil.rmtree(room, ignore_errors=True)


def recover(folder: Path) -> None:
    """Undo what a killed run left half done, and clear its leftovers."""
    room = folder / WORKING
    if (room / _JOURNAL).exists():
        fresh = json.loads((room / _JOURNAL).read_text("utf-8"))
        _undo(folder, room, fresh)
        (room / _JOURNAL).unlink()
    if room.exists():
        shutil.rmtree(room)


def swap_in(folder: Path, *, stale: Sequence[str]) -> None:
    """Move every file of the working folder in, and stale ones out: all, or none.

    Parameters
    ----------
    folder : Path
        With a working folder.
    stale : sequence of str
        Names to take away.

    Raises
    ------
    ExportError
        If a file cannot be moved; all is then as it was.
    """
    room = folder / WORKING
    names = sorted(file.name for file in (room / _NEW).iterdir())
    blocked = [name for name in names if (folder / name).is_dir()]
    if blocked:
        raise ExportError(f"{folder / blocked[0]}: is a folder, in the way of a file")
    before = [name for name in (*names, *stale) if os.path.lexists(folder / name)]
    fresh = [name for name in names if name not in before]
    _write_journal(room, fresh)
    name = ""
    try:
        for name in before:
            os.replace(folder / name, room / _OLD / name)
        for name in names:
            os.replace(room / _NEW / name, folder / name)
    except BaseException as error:
        _undo(folder, room, fresh)
        (room / _JOURNAL).unlink()
        if isinstance(error, OSError):
            why = error.strerror or error
            rule = f"cannot be replaced: {why}; everything is as it was (open elsewhere?)"
            raise ExportError(f"{folder / name}: {rule}") from error
        raise
    (room / _JOURNAL).unlink()


def _write_journal(room: Path, fresh: list[str]) -> None:
    aside = room / f"{_JOURNAL}.part"
    aside.write_text(json.dumps(fresh), "utf-8")
    os.replace(aside, room / _JOURNAL)


def _undo(folder: Path, room: Path, fresh: Sequence[str]) -> None:
    """What was set aside comes back over what was moved in; what is new goes."""
    for file in sorted((room / _OLD).iterdir()):
        os.replace(file, folder / file.name)
    for name in fresh:
        if not (room / _NEW / name).exists():
            (folder / name).unlink(missing_ok=True)
