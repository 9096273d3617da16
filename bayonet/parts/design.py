"""A design: the file as read, the plug, and the socket that follows. Reading it from disk."""

from __future__ import annotations

import copy
import re
import tomllib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from pydantic import ValidationError

from bayonet import inputs
from bayonet.designfile import (
    DesignFile,
    DesignHead,
    GraftTable,
    PlugTable,
    PrinterTable,
    ProblemList,
    ProductionTable,
    ServiceTable,
    SocketTable,
    as_written,
    check_correlations,
    explicit,
    lines_of,
)
from bayonet.errors import DesignError, Problem
from bayonet.parts import derive, resolve, rules
from bayonet.parts.gasket import gasket_of, stood_off
from bayonet.parts.plug import Plug
from bayonet.parts.socket import Socket

LARGEST_BYTES = 1_000_000
DEEPEST = 30
"""Tables within tables, or dots in one key; the design file has five."""

_PART = r"""(?:[A-Za-z0-9_-]++|"[^"\n]*+"|'[^'\n]*+')"""
_DEEP_KEY = re.compile(rf"(?<![A-Za-z0-9_-]){_PART}(?:[ \t]*+\.[ \t]*+{_PART}){{{DEEPEST}}}")


@dataclass(frozen=True, kw_only=True)
class Design:
    """A design that can be drawn. Whether it is a good one, `bayonet.check` tells.

    Parameters
    ----------
    name, revision : str
        Identification.
    raw : mapping
        The file's tables as TOML gave them; not to be written to.
    spec : DesignFile
        The file as read, measured values with their uncertainty included.
    plug : Plug
        The measured male part.
    socket : Socket
        The female part that follows.
    """

    name: str
    revision: str
    raw: Mapping[str, Any] = field(repr=False, compare=False)
    spec: DesignFile
    plug: Plug
    socket: Socket

    def with_(self, changes: Mapping[str, Any] | None = None, **tables: Any) -> Design:
        """The same design with some of its file's fields, or whole tables, set anew.

        Parameters
        ----------
        changes : mapping of str
            Dotted fields as in ``{"plug.lugs.count": 4, "plug.body.0.diameter": 31.0}``; lists
            count from 0; None takes a field out.
        **tables
            ``plug``, ``socket``, ``service`` and so on, from `bayonet.tables`.

        Returns
        -------
        Design

        Raises
        ------
        DesignError
            If the result cannot be read or drawn.

        Examples
        --------
        >>> import bayonet
        >>> design = bayonet.loads(bayonet.starting_file())
        >>> design.with_({"plug.body.0.diameter": "31.5 mm"}).plug.body[0].radius_mm
        15.75
        """
        return changed(self, [*(changes or {}).items(), *tables.items()])

    def to_toml(self) -> str:
        """The design as a design file; reading it gives an equal design.

        Returns
        -------
        str
            Values as they were given, units included. Comments of a file are not kept.

        Examples
        --------
        >>> import bayonet
        >>> design = bayonet.loads(bayonet.starting_file())
        >>> bayonet.loads(design.to_toml()) == design
        True
        """
        import tomlkit

        raw = as_written(self.raw)
        return tomlkit.dumps(raw if self.units == "mm" else explicit(raw, "mm"))

    @property
    def units(self) -> str:
        """What people are shown: ``mm``, or ``in`` for inch and psi."""
        return self.spec.design.units


def design(
    *,
    plug: PlugTable,
    socket: SocketTable,
    service: ServiceTable | None = None,
    production: ProductionTable | None = None,
    printer: PrinterTable | None = None,
    graft: GraftTable | None = None,
    head: DesignHead | None = None,
) -> Design:
    """A design from tables made in Python; see `bayonet.tables`.

    Parameters
    ----------
    plug, socket, service, production, printer, graft, head
        The tables of a design file; ``head`` is its ``[design]``.

    Returns
    -------
    Design

    Raises
    ------
    DesignError
        If it cannot be drawn; carries every problem found.
    """
    given = {
        "design": head, "plug": plug, "socket": socket, "service": service,
        "production": production, "printer": printer, "graft": graft,
    }  # fmt: skip
    return from_mapping(given)


def load(path: str | Path) -> Design:
    """Read a design file.

    Parameters
    ----------
    path : str or Path
        A TOML file; `bayonet schema` describes it.

    Returns
    -------
    Design

    Raises
    ------
    DesignError
        If the file cannot be read, or cannot be drawn; carries every problem found.
    """
    return loads(text_of(path), file=str(path))


def text_of(path: str | Path) -> str:
    """Text of a design file.

    Raises
    ------
    DesignError
        If it cannot be read.
    """
    file = str(path)
    try:
        data = inputs.content(path, most_bytes=LARGEST_BYTES, what="a design file")
    except inputs.UnreadableError as error:
        raise _file_error(file, error.rule) from error
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = data[: error.start].count(b"\n") + 1
        raise _file_error(file, "is not UTF-8 text", line=line) from error
    return text


def loads(text: str, *, file: str = "<text>") -> Design:
    """As `load`, from text; ``file`` is the name used in errors."""
    raw = raw_of(text, file=file)
    return _design(raw, ProblemList(file=file, raw=raw, lines=lines_of(text)))


def raw_of(text: str, *, file: str) -> Mapping[str, Any]:
    """Tables of a design file's text, bare numbers in mm and MPa; nothing in them is judged.

    Raises
    ------
    DesignError
        If it is no TOML.
    """
    too_deep = f"holds tables nested more than {DEEPEST} deep, or a number too long to read"
    if _DEEP_KEY.search(text):  # the parser takes the square of it
        raise _file_error(file, too_deep)
    try:
        raw = tomllib.loads(text.replace("\r\n", "\n"))
    except tomllib.TOMLDecodeError as error:
        line = getattr(error, "lineno", None) or _line_in(str(error))
        raise _file_error(file, f"is not TOML: {str(error)[:200]}", line=line) from error
    except (ValueError, RecursionError) as error:
        raise _file_error(file, too_deep) from error
    if _is_deep(raw):
        raise _file_error(file, too_deep)
    head = raw.get("design")
    if isinstance(head, dict) and head.get("units") == "in":
        raw = explicit(raw, "in")
    return raw


def from_mapping(raw: Mapping[str, Any]) -> Design:
    """As `load`, from the same tables as a mapping; the caller may change it afterwards."""
    raw = as_written(raw)
    return _design(raw, ProblemList(file="<mapping>", raw=raw, lines={}))


def changed(design: Design, changes: Iterable[tuple[str, Any]]) -> Design:
    """The design with some fields of its file set anew.

    Parameters
    ----------
    design : Design
    changes : iterable of (str, value)
        Dotted fields and their values; None takes a field out.

    Returns
    -------
    Design

    Raises
    ------
    DesignError
        If the result cannot be drawn.

    Examples
    --------
    >>> from bayonet.measuring import starting_file
    >>> changed(loads(starting_file()), [("socket.wall", 5.0)]).socket.wall_mm
    5.0
    """
    raw: dict[str, Any] = copy.deepcopy(dict(design.raw))
    for path, value in changes:
        put(raw, path, value)
    return from_mapping(raw)


def refuse_two_parts(design: Design, command: str, why: str) -> None:
    """Refuse a socket of two parts where a command knows only sockets of one piece.

    Raises
    ------
    DesignError
        If the design's socket is a ring on a body.
    """
    if design.socket.joint is None:
        return
    rule = f"bayonet {command} works on a socket of one piece only: {why}"
    raise DesignError(
        [
            Problem(
                file="<design>", line=None, field="socket.construction", value='"ring_and_body"',
                rule=rule,
            )
        ]
    )  # fmt: skip


def put(raw: dict[str, Any], path: str, value: object) -> None:
    """Put a value where a dotted path leads; tables on the way are made, list items are not."""
    *tables, last = path.split(".")
    table: Any = raw
    for name in tables:
        table = _item(table, name, path) if isinstance(table, list) else table.setdefault(name, {})
        if not isinstance(table, (dict, list)):
            raise _file_error("<changes>", f"{path}: {name} is no table")
    if isinstance(table, list):
        _item(table, last, path)
        table[int(last)] = value
    elif value is None:
        table.pop(last, None)
    else:
        table[last] = value


def _item(items: list[Any], name: str, path: str) -> Any:
    if not name.isdigit() or int(name) >= len(items):
        raise _file_error("<changes>", f"{path}: {name} is none of its {len(items)} items")
    return items[int(name)]


def _design(raw: Mapping[str, Any], problems: ProblemList) -> Design:
    try:
        spec = DesignFile.model_validate(dict(raw))
    except ValidationError as error:
        problems.add_validation(error)
        problems.raise_if_any()
        raise
    check_correlations(spec.plug, problems)
    rules.check_form(spec.plug.lugs, problems)
    rules.check_seal(spec.plug.groove, spec.socket.seal, problems)
    problems.raise_if_any()
    plug = resolve.plug(spec.plug)
    rules.check_plug(plug, problems)
    problems.raise_if_any()
    gasket = gasket_of(spec.socket)
    if gasket is not None:
        plug = stood_off(plug, gasket, problems)
        problems.raise_if_any()
    socket = derive.socket(plug, spec.socket, problems)
    problems.raise_if_any()
    assert socket is not None, "derive gives a socket or a problem"
    return Design(
        name=spec.design.name,
        revision=spec.design.revision,
        raw=raw,
        spec=spec,
        plug=plug,
        socket=socket,
    )


def _is_deep(raw: object) -> bool:
    level = [raw]
    for _ in range(DEEPEST):
        level = [
            inner
            for one in level
            if isinstance(one, (dict, list))
            for inner in (one.values() if isinstance(one, dict) else one)
        ]
    return bool(level)


def _line_in(message: str) -> int | None:
    """Line out of tomllib's text "... (at line 3, column 5)", where it gives one."""
    _, found, rest = message.partition("(at line ")
    number = rest.partition(",")[0]
    return int(number) if found and number.isdigit() else None


def _file_error(file: str, rule: str, *, line: int | None = None) -> DesignError:
    return DesignError([Problem(file=file, line=line, field="(file)", value="", rule=rule)])
