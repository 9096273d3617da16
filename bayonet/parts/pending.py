"""A design file with dimensions of the plug that are unknown: not a design yet."""

from __future__ import annotations

import copy
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from bayonet.designfile import unknown_fields
from bayonet.parts.design import Design, load, put, raw_of, text_of


@dataclass(frozen=True, kw_only=True)
class Undetermined:
    """Tables of a file, and which fields of them are unknown.

    Parameters
    ----------
    file : str
        As the user named it.
    raw : mapping
    unknown : tuple of str
        Dotted fields, at least one.
    """

    file: str
    raw: Mapping[str, Any]
    unknown: tuple[str, ...]


def load_or_pending(path: str | Path) -> Design | Undetermined:
    """As `load`, or the file as it stands where dimensions of its plug are unknown.

    Raises
    ------
    DesignError
        As `load` does.
    """
    raw = raw_of(text_of(path), file=str(path))
    unknown = unknown_fields(raw)
    return Undetermined(file=str(path), raw=raw, unknown=unknown) if unknown else load(path)


def with_values(pending: Undetermined, values: Sequence[float]) -> dict[str, Any]:
    """The tables with values put where dimensions are unknown, in their order [mm], [deg].

    Examples
    --------
    >>> told = Undetermined(file="x", raw={"plug": {"a": "unknown"}}, unknown=("plug.a",))
    >>> with_values(told, [2.0])
    {'plug': {'a': 2.0}}
    """
    raw: dict[str, Any] = copy.deepcopy(dict(pending.raw))
    for field, value in zip(pending.unknown, values, strict=True):
        put(raw, field, value)
    return raw
