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
