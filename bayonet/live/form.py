"""The fields a person fills in: from the schema their meaning, from the text their values."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator, Mapping
from functools import cache
from typing import Any

from bayonet.designfile import design_schema

_DEEPEST = 4


@cache
def _schema() -> dict[str, Any]:
    return design_schema()


def fields_of(text: str) -> list[dict[str, Any]]:
    r"""Tables of the design file with their fields, given and not, in the schema's order.

    Parameters
    ----------
    text : str
        Legal TOML.

    Returns
    -------
    list of dict
        ``table``, ``meaning`` and ``fields``; of each field its dotted ``path``, ``meaning``,
        ``example``, ``limits`` in words, ``choices`` and ``value`` as a person types it, "" where
        it is not given.

    Raises
    ------
    tomllib.TOMLDecodeError
        If the text is none.

    Examples
    --------
    >>> tables = fields_of('[plug]\nturn_deg = "0.25 rev"\n')
    >>> [f["value"] for t in tables for f in t["fields"] if f["path"] == "plug.turn_deg"]
    ['0.25 rev']
    """
    raw = tomllib.loads(text.replace("\r\n", "\n"))
    found: list[dict[str, Any]] = []
    for name, node in _schema()["properties"].items():
        found += _tables(name, node, raw.get(name), required=name in ("design", "plug", "socket"))
    return found


def _tables(
    path: str, node: Mapping[str, Any], raw: Any, *, required: bool
) -> Iterator[dict[str, Any]]:
    """A table and the tables within it; of a list of tables, one a row."""
    shape = _resolved(node)
    inner: list[dict[str, Any]] = []
    rows = []
    needed = shape.get("required", [])
    for key, field in shape.get("properties", {}).items():
        value = raw.get(key) if isinstance(raw, dict) else None
        name = f"{path}.{key}"
        if _is_table(field) and name.count(".") < _DEEPEST:
            inner += _tables(name, field, value, required=False)
        elif isinstance(value, list) and value and all(isinstance(one, dict) for one in value):
            for number, one in enumerate(value):
                inner += _tables(f"{name}.{number}", _items(field), one, required=True)
        else:
            rows.append(_field(name, key, field, value, required=key in needed))
    if rows:
        yield {
            "table": path,
            "meaning": node.get("description", "") or shape.get("description", ""),
            "given": raw is not None or required,
            "fields": rows,
        }
    yield from inner


def _field(
    path: str, key: str, node: Mapping[str, Any], value: Any, *, required: bool
) -> dict[str, Any]:
    shape = _resolved(node)
    examples = node.get("examples") or shape.get("examples") or []
    example = str(examples[0]).partition("=")[2].strip() if examples else ""
    return {
        "path": path,
        "key": key,
        "meaning": node.get("description", ""),
        "example": example.strip('"'),
        "limits": _limits(shape),
        "choices": _choices(shape),
        "required": required,
        "value": "" if value is None else typed(value),
    }


def typed(value: Any) -> str:
    """A value as a person types it: texts bare, the rest as TOML."""
    if isinstance(value, str):
        return value
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, (int, float)):
        return repr(value)
    import tomlkit

    if isinstance(value, Mapping):
        table = tomlkit.inline_table()
        table.update(value)
        return str(table.as_string())
    return str(tomlkit.item(value).as_string())


def as_value(text: str) -> Any:
    """What a person typed: a TOML value where it is one, else a text; None where it is empty.

    Examples
    --------
    >>> as_value("30"), as_value("0.070 in"), as_value("{ value = 30, u = 0.01 }"), as_value(" ")
    (30, '0.070 in', {'value': 30, 'u': 0.01}, None)
    """
    bare = text.strip()
    if not bare:
        return None
    if "\n" in bare:
        return bare
    try:
        found = tomllib.loads(f"x = {bare}")
    except (tomllib.TOMLDecodeError, RecursionError):
        return bare
    return found["x"] if set(found) == {"x"} else bare


def _resolved(node: Mapping[str, Any]) -> Mapping[str, Any]:
    """A node behind its reference, or the one option of several that is not null."""
    name = str(node.get("$ref", "")).rpartition("/")[2]
    if name:
        found: Mapping[str, Any] = _schema()["$defs"][name]
        return found
    options = [one for one in node.get("anyOf", []) if one.get("type") != "null"]
    return _resolved(options[0]) if len(options) == 1 else node


def _is_table(node: Mapping[str, Any]) -> bool:
    shape = _resolved(node)
    return shape.get("type") == "object" and "properties" in shape and "title" in shape


def _items(node: Mapping[str, Any]) -> Mapping[str, Any]:
    found: Mapping[str, Any] = _resolved(node).get("items", {})
    return found


def _choices(shape: Mapping[str, Any]) -> list[str]:
    if shape.get("type") == "boolean":
        return ["true", "false"]
    return [str(one) for one in shape.get("enum", [])]


_BOUNDS = {
    "exclusiveMinimum": "more than {:g}", "minimum": "at least {:g}",
    "exclusiveMaximum": "less than {:g}", "maximum": "at most {:g}",
}  # fmt: skip


def _limits(shape: Mapping[str, Any]) -> str:
    """Legal range and unit in words; empty where there is none."""
    options = shape.get("anyOf", [shape])
    numbers = (one for one in options if one.get("type") in ("number", "integer"))
    number: Mapping[str, Any] = next(numbers, {})
    bounds = [words.format(number[key]) for key, words in _BOUNDS.items() if key in number]
    unit = number.get("description", "")
    whole = ["a whole number"] if number.get("type") == "integer" else []
    return ", ".join([*whole, *bounds, *([unit] if len(unit) < 8 and unit else [])])
