"""A design file's own text with some fields set: comments, order and form of the rest stay."""

from __future__ import annotations

import copy
import tomllib
from collections.abc import Iterator, Mapping
from typing import Any

from bayonet.designfile.toml_lines import lines_of
from bayonet.errors import DesignError, Problem

_BOM = "\ufeff"


def edited(text: str, fields: Mapping[str, Any], *, file: str = "<text>") -> str:
    r"""Set fields in a text of TOML, in the form its tables have.

    Parameters
    ----------
    text : str
        Valid TOML: tables under headers, dotted keys or inline; any line ends; with or without
        a byte order mark.
    fields : mapping of str to value
        Dotted fields and their values, an item of a list by its number from 0; None takes a
        field out.
    file : str
        Name used in errors.

    Returns
    -------
    str
        Which reads as the same data with just these fields changed.

    Raises
    ------
    DesignError
        If the text cannot be edited so; nothing is guessed.

    Examples
    --------
    >>> edited("a.b = 1 # one\n", {"a.b": 2, "a.c.d": 3})
    'a.b = 2 # one\na.c.d = 3\n'
    >>> edited("a = {b = 1}\n", {"a.c.d": 3})
    'a = {b = 1,c = {d = 3}}\n'
    >>> edited("a = [{b = 1}, {b = 2}] # two\n", {"a.1.b": 3})
    'a = [{b = 1}, {b = 3}] # two\n'
    """
    mark = _BOM if text.startswith(_BOM) else ""
    bare = text.removeprefix(_BOM)
    crlf = "\r\n" in bare
    made = bare.replace("\r\n", "\n")
    wanted = _data(made)
    for path, value in fields.items():
        names = path.split(".")
        try:
            _set(wanted, names, value)
            ways = (one for one in _ways(made, names, value) if _same(one, wanted))
            found = next(ways, None)
        except (
            TypeError,
            AttributeError,
            ValueError,
            IndexError,
        ):  # a value stands where a table should
            found = None
        if found is not None:
            made = found
        else:
            rule = "cannot be set in this file's form without changing other fields: set it by hand"
            raise DesignError([Problem(file=file, line=None, field=path, value="", rule=rule)])
    return mark + (made.replace("\n", "\r\n") if crlf else made)


def _data(text: str) -> dict[str, Any]:
    return tomllib.loads(text.replace("\r\n", "\n"))


def _same(text: str, wanted: dict[str, Any]) -> bool:
    try:
        return _data(text) == wanted
    except tomllib.TOMLDecodeError:
        return False


def _set(table: Any, names: list[str], value: object) -> None:
    *tables, key = names
    for name in tables:
        if isinstance(table, list):
            table = table[int(name)]
            continue
        if value is None and name not in table:
            return
        table = table.setdefault(name, {})
    if value is None:
        table.pop(key, None)
    else:
        table[key] = copy.deepcopy(value)


def _ways(text: str, names: list[str], value: Any) -> Iterator[str]:
    """Texts that may set one field, the most natural first; each is held against the data."""
    import tomlkit  # loaded only to write: `bayonet check` stays cheap
    from tomlkit.exceptions import TOMLKitError

    if _same(text, _with(text, names, value)):
        yield text
    try:
        document = tomlkit.parse(text)
        if _in_place(document, names, value):
            yield tomlkit.dumps(document)
    except (TOMLKitError, ValueError, TypeError, AttributeError, KeyError, IndexError):
        pass  # a form the library cannot edit; a statement of its own may still be added
    if value is None:
        return
    item = _item(value).as_string()
    rows, known = text.split("\n"), lines_of(text)
    for end in range(len(names) - 1, 0, -1):
        line = known.get(tuple(names[:end]))
        for keys in (names[end:], names):
            if line is not None:
                yield "\n".join([*rows[:line], f"{'.'.join(keys)} = {item}", *rows[line:]])
    gap = "" if text.endswith("\n") or not text else "\n"
    *tables, key = names
    yield f"{text}{gap}\n[{'.'.join(tables)}]\n{key} = {item}\n"
    yield f"{'.'.join(names)} = {item}\n{text}"


def _with(text: str, names: list[str], value: object) -> dict[str, Any]:
    data = _data(text)
    _set(data, names, value)
    return data


def _in_place(document: Any, names: list[str], value: Any) -> bool:
    """Set a field where its table stands; False where a table would have to be made."""
    import tomlkit
    from tomlkit.items import InlineTable

    *tables, key = names
    table = document
    for place, name in enumerate(tables):
        if isinstance(table, list):
            table = table[int(name)]
            continue
        if name not in table:
            if not isinstance(table, InlineTable):
                return False
            rest = _item(value)
            for inner in reversed([*tables[place + 1 :], key]):
                around = tomlkit.inline_table()
                around[inner] = rest
                rest = around
            table[name] = rest
            return True
        table = table[name]
    if value is None:
        table.pop(key, None)
    else:
        table[key] = _item(value)
    return True


def _item(value: Any) -> Any:
    import tomlkit

    if not isinstance(value, Mapping):
        return tomlkit.item(value)
    table = tomlkit.inline_table()
    table.update(value)
    return table
