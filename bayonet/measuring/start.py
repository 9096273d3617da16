"""The first design file: a commented one to fill in, with the letters of the measuring sheet."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Mapping
from functools import cache
from importlib.resources import files
from typing import Any

from bayonet.designfile import bare_lengths, edited, kind_of, lines_of
from bayonet.errors import DesignError, Problem
from bayonet.measuring.letters import Letter, letters_of
from bayonet.parts import FORMS
from bayonet.units import LENGTH_UNITS_MM

SEALS = ("radial", "shoulder_face", "nose_face", "none")
_COLUMN = 32
"""Where comments start."""
_LEADS = {
    "P": "advance of the lugs' flanks per turn, from P1 and P2",
    "V": "advance of the far flank alone, from V1 and V2",
}


def starting_file(
    *,
    seal: str = "radial",
    form: str = "block",
    units: str = "mm",
    fields: Mapping[str, Any] | None = None,
) -> str:
    """Text of a commented design file to start from.

    Parameters
    ----------
    seal : {"radial", "shoulder_face", "nose_face", "none"}
        Where the ring's groove is.
    form : str
        Of the lugs.
    units : {"mm", "in"}
        Of its lengths.
    fields : mapping of str, optional
        Dotted fields and values to set; None takes a field out.

    Returns
    -------
    str

    Raises
    ------
    DesignError
        If there is no such seal or form, or a field cannot be set.

    Examples
    --------
    >>> "A  diameter of the shoulder" in starting_file()
    True
    """
    problems = [
        Problem(file="<new>", line=None, field=name, value=repr(value),
                rule=f"must be one of {', '.join(legal)}")
        for name, value, legal in (("--seal", seal, SEALS), ("--form", form, tuple(FORMS)))
        if value not in legal
    ]  # fmt: skip
    if problems:
        raise DesignError(problems)
    text = (files("bayonet") / "data" / "starting_file.toml").read_text("utf-8")
    changes = {**_seals().get(seal, {})}
    if form != "block":
        changes["plug.lugs.form"] = form
    changes.update(fields or {})
    text = edited(text, changes) if changes else text
    return lettered(text if units == "mm" else _in_inches(text), letters_of(seal))


def _in_inches(text: str) -> str:
    """The same file with bare lengths in inches, rounded to what a drawing in inches gives."""
    found = {
        field: round(value / LENGTH_UNITS_MM["in"], _PLACES)
        for field, value in bare_lengths(tomllib.loads(text))
    }
    steps = [one for one in found if one.startswith("plug.body.")]
    body: list[dict[str, Any]] = []
    for name in steps:
        number, key = name.split(".")[2:]
        body += [{} for _ in range(int(number) + 1 - len(body))]
        body[int(number)][key] = found.pop(name)
    plain = {name: one for name, one in found.items() if not name.rpartition(".")[2].isdigit()}
    made = edited(text, {"design.units": "in", **plain, **({"plug.body": body} if body else {})})
    return _comments_in_inches(made.replace(_MM, _INCHES))


def _comments_in_inches(text: str) -> str:
    """Lengths in lines that are commented out: one who takes such a line in must mean inches."""
    lines, table = [], ""
    for line in text.split("\n"):
        header = _HEADER.match(line)
        table = header[1] if header else table
        field = _COMMENTED.match(line)
        if field and kind_of(f"{table}.{field[1]}") == "length":
            inches = round(float(field[2]) / LENGTH_UNITS_MM["in"], _PLACES)
            lines.append(f"# {field[1]} = {inches}{field[3] or ''}")
        else:
            lines.append(line)
    return "\n".join(lines)


_HEADER = re.compile(r"#? ?\[([\w.]+)\]")
_COMMENTED = re.compile(r"# (\w+) = ([\d.]+)(\s.*)?$")


_PLACES = 4
_MM = "# Lengths are mm, angles degrees."
_INCHES = "# Bare lengths are inches and bare pressures psi ([design] units), angles degrees."


@cache
def _seals() -> Mapping[str, Mapping[str, Any]]:
    text = (files("bayonet") / "data" / "starting_seals.toml").read_text("utf-8")
    return {
        seal: {field: None if value == "" else value for field, value in fields.items()}
        for seal, fields in tomllib.loads(text).items()
    }


def lettered(text: str, letters: tuple[Letter, ...]) -> str:
    """A design file's text, each dimension marked with its letter and what it is.

    Parameters
    ----------
    text : str
    letters : tuple of Letter

    Returns
    -------
    str
        Lines that carry a comment of their own, and lines of two dimensions, get the letters
        only.
    """
    lines = text.split("\n")
    places: dict[int, list[Letter]] = {}
    where = {".".join(map(str, path)): line for path, line in lines_of(text).items()}
    for one in letters:
        if one.field in where:
            places.setdefault(where[one.field] - 1, []).append(one)
    for number, found in places.items():
        words = ", ".join(one.letter for one in found)
        line = lines[number].rstrip()
        if len(found) == 1 and "#" not in line:
            one = found[0]
            words += f"  {_LEADS.get(one.letter, one.asks)}"
        lines[number] = (
            f"{line}  # {words}" if len(line) >= _COLUMN else f"{line:<{_COLUMN}}# {words}"
        )
    return "\n".join(lines)
