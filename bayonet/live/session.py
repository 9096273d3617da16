"""What one run of `bayonet live` may touch: one design file, one folder, its token, its workers."""

from __future__ import annotations

import hashlib
import secrets
from collections import OrderedDict
from pathlib import Path

from bayonet.errors import ExportError
from bayonet.exchange import Run, write_whole
from bayonet.live.worker import Worker
from bayonet.measuring import starting_file

_PAGES = 64
"""Pages whose latest request is remembered."""


class Session:
    """One design file and one folder.

    Parameters
    ----------
    file : Path or None
        The design file; None: the starting file, to be saved where ``save_to`` says.
    folder : Path
        Where `make` writes.
    """

    def __init__(self, file: Path | None, folder: Path) -> None:
        self.token = secrets.token_urlsafe(24)
        self.file = file or Path("my_valve.toml")
        self.folder = folder
        self.thinking, self.kernel = Worker(), Worker()
        self._newest: OrderedDict[str, int] = OrderedDict()
        self._named = file is not None

    def text(self) -> str:
        """The design file as it stands, or the starting file where there is none yet."""
        if self._named or self.file.exists():
            return self.file.read_text("utf-8-sig")
        return starting_file()

    def sum_on_disk(self) -> str:
        """Sum of the file as it stands; "" where there is none."""
        return sum_of(self.file.read_bytes()) if self.file.exists() else ""

    def save(self, text: str, *, seen: str) -> str:
        """Write the design file; its new sum.

        Parameters
        ----------
        text : str
        seen : str
            Sum of the file as the page last read or wrote it.

        Raises
        ------
        ExportError
            If the file has changed since, or cannot be written.
        """
        if self.sum_on_disk() != seen:
            raise ExportError(
                f"{self.file.name} has changed on disk since this page read it: nothing is"
                " written. Copy what you need, and load the page anew"
            )
        write_whole(self.file, text, run=Run(force=True))
        return self.sum_on_disk()

    def asks(self, page: str, number: int) -> None:
        """Note a page's latest request."""
        self._newest[page] = max(number, self._newest.get(page, 0))
        self._newest.move_to_end(page)
        while len(self._newest) > _PAGES:
            self._newest.popitem(last=False)

    def wants(self, page: str, number: int) -> bool:
        """Whether a request is still the latest of its page."""
        return self._newest.get(page, number) <= number

    def close(self) -> None:
        """End the workers."""
        self.thinking.close()
        self.kernel.close()


def sum_of(data: bytes) -> str:
    """SHA-256 as text."""
    return hashlib.sha256(data).hexdigest()
