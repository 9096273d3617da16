"""The list of what runs wrote into a folder: names, bytes, sums, inputs. No clock, no path."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from bayonet import inputs

NAME = "manifest.json"
FORMAT = 1
_LARGEST_BYTES = 10_000_000


@dataclass(frozen=True, kw_only=True)
class Listed:
    """One file by name, length and SHA-256."""

    name: str
    bytes: int
    sha256: str

    @classmethod
    def of(cls, path: Path) -> Listed:
        """As the file stands."""
        with path.open("rb") as stream:
            sum_ = hashlib.file_digest(stream, "sha256").hexdigest()
        return cls(name=path.name, bytes=path.stat().st_size, sha256=sum_)


@dataclass(frozen=True, kw_only=True)
class Entry:
    """What one command wrote, from what, and how it was asked."""

    command: str
    version: str
    options: Mapping[str, Any] = field(default_factory=dict)
    inputs: tuple[Listed, ...] = ()
    files: tuple[Listed, ...] = ()


def read(folder: Path) -> tuple[Entry, ...]:
    """Entries of a folder's manifest; none where there is none that can be read."""
    try:
        data = inputs.content(folder / NAME, most_bytes=_LARGEST_BYTES, what="a manifest")
        raw = json.loads(data)
        if raw["format"] != FORMAT:
            return ()
        return tuple(
            Entry(
                command=str(one["command"]), version=str(one["version"]), options=one["options"],
                inputs=_listed(one["inputs"]), files=_listed(one["files"]),
            )
            for one in raw["runs"]
        )  # fmt: skip
    except (inputs.UnreadableError, ValueError, KeyError, TypeError, RecursionError):
        return ()  # then nothing in the folder counts as written here, and nothing is taken away


def _listed(rows: Iterable[Mapping[str, Any]]) -> tuple[Listed, ...]:
    found = (Listed(name=one["name"], bytes=one["bytes"], sha256=one["sha256"]) for one in rows)
    return tuple(one for one in found if one.name == Path(one.name).name)


def text(entries: Sequence[Entry]) -> str:
    """The manifest as JSON; the same entries give the same text."""
    rows = [
        {
            "command": one.command,
            "version": one.version,
            "options": dict(one.options),
            "inputs": [vars(file) for file in one.inputs],
            "files": [vars(file) for file in one.files],
        }
        for one in sorted(entries, key=lambda one: one.command)
    ]
    return json.dumps({"format": FORMAT, "runs": rows}, indent=1) + "\n"
