"""Which numbers of a design file are lengths and pressures, and what unit a bare one has.

``[design] units = "in"`` makes a bare length an inch and a bare pressure a psi, in the text of a
file only: in Python, and once read, a bare number is always mm, deg or MPa. ``[graft]`` keeps the
millimetres of the tank's file.
"""

from __future__ import annotations

import re
import types
import typing
from collections.abc import Iterator, Mapping
from functools import cache
from typing import Any

from pydantic import BaseModel, WithJsonSchema

from bayonet.designfile.document import DesignFile
from bayonet.units import UNITS, Kind

BARE: Mapping[str, Mapping[Kind, str]] = types.MappingProxyType(
    {
        "mm": types.MappingProxyType({"length": "mm", "pressure": "MPa"}),
        "in": types.MappingProxyType({"length": "in", "pressure": "psi"}),
    }
)
"""Unit of a bare number by ``[design] units``."""

_OTHERS = ("graft",)
_SIZES = ("value", "u", "tol", "resolution", "calibration")
_LISTS = ("readings", "samples")
_KINDS: Mapping[str, Kind] = types.MappingProxyType({next(iter(UNITS[k])): k for k in UNITS})


def kind_of(field: str) -> Kind | None:
    """Whether a dotted field is a length, an angle or a pressure; None where it is none.

    Examples
    --------
    >>> kind_of("socket.clearance.axial"), kind_of("plug.body.0.diameter")
    ('length', 'length')
    >>> kind_of("service.pressure"), kind_of("socket.seal.squeeze")
    ('pressure', None)
    """
    hints: list[Any] = [DesignFile]
    for name in field.split("."):
        hints = [inner for hint in hints for inner in _inside(hint, name)]
    return next((kind for hint in hints if (kind := _kind(hint)) is not None), None)


def explicit(raw: Mapping[str, Any], units: str) -> dict[str, Any]:
    """The tables with every bare length and pressure written as a text with its unit.

    Parameters
    ----------
    raw : mapping
        As TOML gives it.
    units : {"mm", "in"}
        What a bare number means.

    Returns
    -------
    dict

    Examples
    --------
    >>> explicit({"plug": {"shoulder_diameter": 2, "turn_deg": 60}}, "in")
    {'plug': {'shoulder_diameter': '2 in', 'turn_deg': 60}}
    """
    return {
        key: one if key in _OTHERS else _explicit(one, [hint], BARE[units])
        for key, one, hint in _fields(DesignFile, raw)
    }


def explicit_field(field: str, value: Any, units: str) -> Any:
    """One value for a file whose bare numbers are not mm: a length as ``"0.2 mm"``.

    Examples
    --------
    >>> explicit_field("socket.clearance.axial", 0.2, "in")
    '0.2 mm'
    >>> explicit_field("socket.clearance.axial", 0.2, "mm")
    0.2
    >>> explicit_field("plug.body", [{"diameter": {"value": 32.0, "u": 0.1}}], "in")
    [{'diameter': {'value': '32.0 mm', 'u': '0.1 mm'}}]
    """
    if units == "mm" or field.startswith(_OTHERS):
        return value
    if isinstance(value, list):
        return [explicit_field(f"{field}.{n}", one, units) for n, one in enumerate(value)]
    kind = kind_of(field)
    if kind is not None and kind in BARE["mm"]:
        return _sized(value, BARE["mm"][kind])
    if isinstance(value, Mapping):
        return {key: explicit_field(f"{field}.{key}", one, units) for key, one in value.items()}
    return value


def copyable(text: str, units: str) -> str:
    """Advice whose ``name = number`` may be copied into a file with other bare numbers.

    Examples
    --------
    >>> copyable("axial = 0.2 (now 0.02); squeeze = 0.18", "in")
    'axial = "0.2 mm" (now 0.02); squeeze = 0.18'
    >>> copyable("axial = 0.2", "mm")
    'axial = 0.2'
    """
    if units == "mm":
        return text
    return _SET.sub(_with_mm, text)


_SET = re.compile(r"\b([a-z_]+) = (\d+(?:\.\d+)?)(?![\d. ]*(?:mm|deg|in)\b)")
_TABLES = ("", "clearance.", "tolerance.", "seal.", "track.", "track.detent.", "mount.flange.")


def _with_mm(match: re.Match[str]) -> str:
    lengths = any(kind_of(f"socket.{table}{match[1]}") == "length" for table in _TABLES)
    return f'{match[1]} = "{match[2]} mm"' if lengths else match[0]


def bare_lengths(raw: Mapping[str, Any]) -> Iterator[tuple[str, float]]:
    """Dotted field and value of every bare length in the tables, those in lists too."""
    yield from _bare({key: one for key, one in raw.items() if key not in _OTHERS}, "")


def _bare(raw: Any, path: str) -> Iterator[tuple[str, float]]:
    if isinstance(raw, Mapping):
        for key, one in raw.items():
            yield from _bare(one, f"{path}.{key}" if path else key)
    elif isinstance(raw, list):
        for number, one in enumerate(raw):
            yield from _bare(one, f"{path}.{number}")
    elif _is_number(raw) and kind_of(path) == "length":
        yield path, float(raw)


def _is_number(raw: object) -> bool:
    return isinstance(raw, (int, float)) and not isinstance(raw, bool)


def _explicit(raw: Any, hints: list[Any], bare: Mapping[Kind, str]) -> Any:
    kind = next((kind for hint in hints if (kind := _kind(hint)) is not None), None)
    if kind is not None and kind in bare:
        return _sized(raw, bare[kind])
    if isinstance(raw, Mapping):
        return {
            key: _explicit(one, [i for hint in hints for i in _inside(hint, str(key))], bare)
            for key, one in raw.items()
        }
    if isinstance(raw, list):
        inner = [i for hint in hints for i in _inside(hint, "0")]
        return [_explicit(one, inner, bare) for one in raw]
    return raw


def _sized(raw: Any, unit: str) -> Any:
    """A length or pressure, its readings and uncertainty, with the unit written."""
    if isinstance(raw, Mapping):
        sizes = {key: _sized(raw[key], unit) for key in raw if key in _SIZES}
        lists = {
            key: [_sized(one, unit) for one in raw[key]]
            for key in raw
            if key in _LISTS and isinstance(raw[key], list)
        }
        return {key: {**sizes, **lists}.get(key, one) for key, one in raw.items()}
    return f"{raw!r} {unit}" if _is_number(raw) else raw


def _fields(table: type[BaseModel], raw: Mapping[str, Any]) -> Iterator[tuple[str, Any, Any]]:
    hints = _hints(table)
    for key, one in raw.items():
        yield key, one, hints.get(key)


@cache
def _hints(table: type[BaseModel]) -> Mapping[str, Any]:
    return typing.get_type_hints(table, include_extras=True)


def _inside(hint: Any, name: str) -> list[Any]:
    """What a hint has under a name: a field of a table, an item of a list."""
    found = []
    for one in _either(hint):
        if isinstance(one, type) and issubclass(one, BaseModel):
            inner = _hints(one).get(name)
            found += [] if inner is None else [inner]
        elif typing.get_origin(one) is tuple and name.isdigit():
            found += [arg for arg in typing.get_args(one) if arg is not Ellipsis]
    return found


def _either(hint: Any) -> list[Any]:
    if typing.get_origin(hint) in (typing.Union, types.UnionType):
        return [inner for one in typing.get_args(hint) for inner in _either(one)]
    return [hint]


def _kind(hint: Any) -> Kind | None:
    for one in _either(hint):
        for extra in getattr(one, "__metadata__", ()):
            if isinstance(extra, WithJsonSchema):
                schema: Any = extra.json_schema
                return _KINDS.get(schema.get("anyOf", [{}])[0].get("description", ""))
    return None
