"""The one way files are written: asked first, written aside, read again, moved in together."""

from __future__ import annotations

import os
import shutil
import tempfile
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import ExitStack, contextmanager, suppress
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from bayonet import inputs
from bayonet.errors import ExportError
from bayonet.exchange import manifest, read_again, swap
from bayonet.exchange.manifest import Entry, Listed

NEED_BYTES = 50_000_000
"""Free space asked for before work starts: twice the largest set the examples write."""

NEED_BYTES_OF_A_FILE = 1_000_000


@dataclass(frozen=True, kw_only=True)
class Run:
    """Who writes, from what, and whether what stands there may go.

    Parameters
    ----------
    command : str
        Its name, for the manifest.
    inputs : tuple of Path
        Files that were read: never replaced, unless forced.
    options : mapping
        How it was asked, for the manifest; plain data without paths.
    force : bool
        Replace inputs, and files that no run of this program wrote.
    say : callable
        Told what a person should know: a changed file of an earlier run that was left.
    """

    command: str = "api"
    inputs: tuple[Path, ...] = ()
    options: Mapping[str, Any] = field(default_factory=dict)
    force: bool = False
    say: Callable[[str], None] = field(default=lambda _: None, repr=False)


@contextmanager
def appearing_in(
    folder: Path, *, run: Run | None = None, expected: Sequence[str] = ()
) -> Iterator[Path]:
    """Collect files in a hidden folder within the target, then move them in together.

    Enter it before the work starts: what would forbid writing is found at once.

    Parameters
    ----------
    folder : Path
        Made if missing. Files of the same name in it are replaced where an earlier run wrote
        them and nobody changed them since; others of that run are taken away. A `manifest.json`
        lists what was written.
    run : Run or None
    expected : sequence of str
        Names that will be written, as far as known beforehand.

    Yields
    ------
    Path
        Where to write. Nothing of it stays if the block raises.

    Raises
    ------
    ExportError
        If the folder cannot be made or written, another run is writing into it, a file in it is
        an input or a person's own, a file cannot be moved, or what was written does not hold
        when read again. Everything is then as it was.
    """
    asked = run or Run()
    try:
        with ExitStack() as stack:
            stack.enter_context(_made(folder))
            _ask_space(folder, NEED_BYTES)
            stack.enter_context(swap.locked(folder))
            room = stack.enter_context(swap.working_folder(folder))
            _refuse_taken(folder, expected, asked)
            yield room
            _finish(folder, room, asked)
    except ExportError:
        raise
    except OSError as error:
        raise ExportError(f"{folder}: cannot be written: {error.strerror or error}") from error


def refuse_folder(folder: Path, *, run: Run, expected: Sequence[str] = ()) -> None:
    """Raise what forbids `appearing_in`; nothing stays behind.

    Raises
    ------
    ExportError
    """
    with suppress(_NothingToWriteError), appearing_in(folder, run=run, expected=expected):
        raise _NothingToWriteError


class _NothingToWriteError(Exception):
    pass


@contextmanager
def _made(folder: Path) -> Iterator[None]:
    """The folder, made where it is missing, and taken away again where the work fails."""
    if not inputs.is_valid_name(folder):
        raise ExportError(f"{os.fsencode(folder)!r}: its name is not UTF-8; choose another")
    if folder.exists() and not folder.is_dir():
        raise ExportError(f"{folder}: is a file, not a folder")
    new = []
    for one in (folder, *folder.parents):
        if os.path.lexists(one):
            break
        new.append(one)
    folder.mkdir(parents=True, exist_ok=True)
    try:
        yield
    except BaseException:
        for one in new:
            try:
                one.rmdir()
            except OSError:  # someone else put something there
                break
        raise


def _ask_space(folder: Path, need: int) -> None:
    free = shutil.disk_usage(folder).free
    if free < need:
        rule = f"{free / 1e6:.0f} MB free on its disk; at least {need / 1e6:.0f} MB are needed"
        raise ExportError(f"{folder}: {rule}")


def _refuse_taken(folder: Path, names: Sequence[str], run: Run) -> None:
    """No input is replaced, and nothing that no run wrote or that was changed since."""
    if run.force:
        return
    known = {one.name: one for entry in manifest.read(folder) for one in entry.files}
    for name in names:
        target = folder / name
        if not target.is_file():
            continue
        if is_input(target, run):
            raise ExportError(
                f"{target}: is also read; choose another folder (--force replaces it)"
            )
        if name == manifest.NAME:
            continue
        if known.get(name) != Listed.of(target):
            what = "was changed since it was written" if name in known else "was not written here"
            rule = f"is there and {what}; choose another folder (--force replaces it)"
            raise ExportError(f"{target}: {rule}")


def is_input(target: Path, run: Run) -> bool:
    """Whether a path is one of the files a run reads."""
    return any(_same(target, one) for one in run.inputs)


def _same(one: Path, other: Path) -> bool:
    try:
        return one.samefile(other)
    except (OSError, ValueError):
        return False


def _finish(folder: Path, room: Path, run: Run) -> None:
    """Read again, list, find what is stale, move in."""
    from bayonet import __version__

    files = sorted(room.iterdir())
    for file in files:
        read_again.check(file)
    names = {file.name for file in files}
    _refuse_taken(folder, sorted(names), run)
    entry = Entry(
        command=run.command, version=__version__, options=run.options,
        inputs=tuple(Listed.of(path) for path in run.inputs),
        files=tuple(Listed.of(file) for file in files),
    )  # fmt: skip
    before = manifest.read(folder)
    others = [_without(one, names) for one in before if one.command != run.command]
    stale = _stale(folder, [one for one in before if one.command == run.command], names, run)
    text = manifest.text([entry, *(one for one in others if one.files)])
    (room / manifest.NAME).write_text(text, "utf-8")
    swap.swap_in(folder, stale=stale)


def _without(entry: Entry, names: set[str]) -> Entry:
    left = tuple(one for one in entry.files if one.name not in names)
    return Entry(**{**vars(entry), "files": left})


def _stale(folder: Path, before: Sequence[Entry], names: set[str], run: Run) -> list[str]:
    """Files of this command's earlier run that it no longer writes; changed ones are named."""
    found = []
    for one in (file for entry in before for file in entry.files if file.name not in names):
        path = folder / one.name
        if not path.is_file():
            continue
        if Listed.of(path) == one and not is_input(path, run):
            found.append(one.name)
        else:
            run.say(f"{path}: left from an earlier run; changed or read since, so not removed")
    return found


def refuse_file(file: Path, run: Run) -> None:
    """Raise what forbids one file to be written; nothing is touched.

    Raises
    ------
    ExportError
        If it is there and not forced, is a folder, or its folder cannot be written to.
    """
    if not inputs.is_valid_name(file):
        raise ExportError(f"{os.fsencode(file)!r}: its name is not UTF-8; choose another")
    if file.is_dir():
        raise ExportError(f"{file}: is a folder")
    if os.path.lexists(file) and not run.force:
        why = "is also read" if is_input(file, run) else "exists already"
        raise ExportError(f"{file}: {why}; choose another name (--force replaces it)")
    there = next((one for one in file.absolute().parents if os.path.lexists(one)), Path("/"))
    if not there.is_dir() or not os.access(there, os.W_OK):
        raise ExportError(f"{file}: cannot be written: {there} is no folder that can be written to")
    _ask_space(there, NEED_BYTES_OF_A_FILE)


def write_whole(
    file: Path, text: str, *, run: Run | None = None, check: Callable[[str], None] | None = None
) -> None:
    """Write one text file that appears whole or not at all.

    Parameters
    ----------
    file : Path
        Its folder is made if missing.
    text : str
    run : Run or None
    check : callable, optional
        Given the text as read again; raises if it does not hold.

    Raises
    ------
    ExportError
        As `refuse_file`, or if it cannot be written or does not hold when read again.
    """
    refuse_file(file, run or Run())
    try:
        with _made(file.parent):
            _replace(file.resolve(), text, check or (lambda _: None))
    except ExportError:
        raise
    except (OSError, UnicodeEncodeError) as error:
        why = getattr(error, "strerror", None) or error
        raise ExportError(f"{file}: cannot be written: {why}") from error


def _replace(target: Path, text: str, check: Callable[[str], None]) -> None:
    handle, name = tempfile.mkstemp(prefix=".bayonet-", suffix=target.suffix, dir=target.parent)
    try:
        with os.fdopen(handle, "w", encoding="utf-8", newline="") as stream:
            stream.write(text)
        read_again.check(Path(name))
        check(Path(name).read_bytes().decode("utf-8"))
        os.chmod(name, 0o644)
        os.replace(name, target)
    except BaseException:
        Path(name).unlink(missing_ok=True)
        raise
