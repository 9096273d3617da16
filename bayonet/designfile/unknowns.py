"""Dimensions of the plug that are said to be unknown: which they are, and values to try."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from bayonet.designfile.measured import UNKNOWN

_WHOLE_TURN = 360.0


def unknown_fields(raw: Mapping[str, Any]) -> tuple[str, ...]:
    """Dotted fields of the plug that hold ``"unknown"``; lists count from 0.

    Parameters
    ----------
    raw : mapping
        A design file's tables.

    Returns
    -------
    tuple of str

    Examples
    --------
    >>> unknown_fields({"plug": {"body": [{"diameter": 30, "to_depth": "unknown"}]}})
    ('plug.body.0.to_depth',)
    """
    return tuple(_under("plug", raw.get("plug", {})))


def _under(path: str, value: object) -> Iterator[str]:
    if isinstance(value, str) and value.strip() == UNKNOWN:
        yield path
    items: Any = ()
    if isinstance(value, Mapping):
        items = value.items()
    elif isinstance(value, (list, tuple)):
        items = enumerate(value)
    for key, inner in items:
        yield from _under(f"{path}.{key}", inner)


def is_angle(field: str) -> bool:
    """Whether a field is in degrees; all others are in mm.

    Examples
    --------
    >>> is_angle("plug.turn_deg"), is_angle("plug.groove.width")
    (True, False)
    """
    return field.endswith("_deg")
