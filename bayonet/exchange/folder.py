"""A set of files that appears whole or not at all."""

from __future__ import annotations

import os
import shutil
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from bayonet.errors import ExportError


@contextmanager
def appearing_in(folder: Path) -> Iterator[Path]:
    """Collect files in a hidden folder beside the target, then move them in together.

    Parameters
    ----------
    folder : Path
        Made if missing; files of the same name in it are replaced, others are left.

    Yields
    ------
    Path
        Where to write. Nothing of it stays if the block raises.

    Raises
    ------
    ExportError
        If the folder cannot be made or written.
    """
    try:
        if folder.exists() and not folder.is_dir():
            raise ExportError(f"{folder}: is a file, not a folder")
        folder.parent.mkdir(parents=True, exist_ok=True)
        made = Path(tempfile.mkdtemp(prefix=f".{folder.name}-", dir=folder.parent))
    except OSError as error:
        raise ExportError(f"{folder}: cannot be written: {error.strerror or error}") from error
    try:
        yield made
        folder.mkdir(exist_ok=True)
        for file in made.iterdir():
            if (folder / file.name).is_dir():
                raise ExportError(f"{folder / file.name}: is a folder, in the way of a file")
        for file in sorted(made.iterdir()):
            os.replace(file, folder / file.name)
    except OSError as error:
        raise ExportError(f"{folder}: cannot be written: {error.strerror or error}") from error
    finally:
        shutil.rmtree(made, ignore_errors=True)


def write_whole(file: Path, text: str) -> None:
    """Write one text file that appears whole or not at all.

    Parameters
    ----------
    file : Path
        Replaced if it is there; its folder must be.
    text : str

    Raises
    ------
    ExportError
        If it cannot be written.
    """
    try:
        handle, name = tempfile.mkstemp(prefix=f".{file.name}-", dir=file.parent)
        try:
            with os.fdopen(handle, "w", encoding="utf-8") as stream:
                stream.write(text)
            os.chmod(name, 0o644)
            os.replace(name, file)
        except BaseException:
            Path(name).unlink(missing_ok=True)
            raise
    except OSError as error:
        raise ExportError(f"{file}: cannot be written: {error.strerror or error}") from error
