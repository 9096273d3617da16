"""Collecting every problem of one input file before any is raised."""

from __future__ import annotations

import difflib
import re
import types
import typing
from collections.abc import Mapping
from typing import Any

from pydantic import BaseModel, ValidationError
from pydantic_core import ErrorDetails

from bayonet.designfile.document import DesignFile
from bayonet.designfile.toml_lines import Path, line_at
from bayonet.errors import DesignError, Problem

_LONGEST_VALUE = 60


class ProblemList:
    """Problems of one design file, with the place, value and a legal example of each.

    Parameters
    ----------
    file : str
        File as the user named it.
    raw : mapping
        The file's content.
    lines : dict
        Line of each path, from `bayonet.designfile.toml_lines`; empty where there is no text.
    """

    def __init__(self, *, file: str, raw: Mapping[str, Any], lines: dict[Path, int]) -> None:
        self._file = file
        self._raw = raw
        self._lines = lines
        self._found: dict[Problem, None] = {}

    def __len__(self) -> int:
        return len(self._found)

    def given(self, *paths: Path) -> Path:
        """The first of some paths that the file holds; the first of all where it holds none."""
        return next((path for path in paths if _value_at(self._raw, path) is not None), paths[0])

    def add(self, path: Path, rule: str, *, example: str | None = None) -> None:
        """Note that the field at ``path`` breaks ``rule``."""
        problem = Problem(
            file=self._file,
            line=line_at(self._lines, path),
            field=_dotted(path),
            value=_shortened(_value_at(self._raw, path)),
            rule=rule,
            example=_example(path) if example is None else example,
        )
        self._found.setdefault(problem)

    def add_validation(self, error: ValidationError, *, under: Path = ()) -> None:
        """Note everything a pydantic validation of the file, or of a table in it, found."""
        for detail in error.errors(include_url=False):
            self._add_detail(detail, under)

    def raise_if_any(self) -> None:
        """Raise one `DesignError` with every problem noted so far, in the file's order."""
        if self._found:
            raise DesignError(sorted(self._found, key=lambda problem: problem.line or 0))

    def _add_detail(self, detail: ErrorDetails, under: Path) -> None:
        path: Path = (*under, *detail["loc"])
        kind = detail["type"]
        if kind == "extra_forbidden":
            self._add_unknown(path)
        elif kind == "missing":
            what = _model_at(path)
            self.add(path, "is missing" if what is None else "this table is missing")
        elif kind == "value_error":
            self.add(path, str(detail["ctx"]["error"]))
        else:
            self.add(path, _plain(detail["msg"]))

    def _add_unknown(self, path: Path) -> None:
        model = _model_at(path[:-1])
        known = list(model.model_fields) if model is not None else []
        near = difflib.get_close_matches(str(path[-1]), known, n=1, cutoff=0.5)
        hint = f"did you mean {near[0]}?" if near else f"known here: {', '.join(known)}"
        example = _example((*path[:-1], near[0])) if near else ""
        self.add(path, f"unknown key; {hint}", example=example)


def _plain(message: str) -> str:
    """Pydantic's words as a designer would say them."""
    for pattern, plain in _WORDS:
        message = re.sub(pattern, plain, message)
    return message


_WORDS = (
    (r"Input should be a valid dictionary or instance of \w+", "must be a table"),
    (r"Input should be a valid integer.*", "must be a whole number"),
    (r"Input should be a valid number.*", "must be a number"),
    (r"Input should be a finite number", "must be a finite number"),
    (r"Input should be a valid string", "must be a text"),
    (r"Input should be a valid tuple", "must be a list"),
    (r"Tuple should have at least 1 item.*", "must list at least one"),
    (r"Input should be", "must be"),
)


def _dotted(path: Path) -> str:
    text = ""
    for part in path:
        if isinstance(part, int):
            text += f"[{part + 1}]"
        else:
            text += f".{part}" if text else part
    return text or "(file)"


def _value_at(raw: object, path: Path) -> object:
    for part in path:
        try:
            raw = raw[part]  # type: ignore[index]
        except (KeyError, IndexError, TypeError):
            return None
    return raw


def _shortened(value: object) -> str:
    if value is None or (isinstance(value, (dict, list)) and len(repr(value)) > _LONGEST_VALUE):
        return ""
    text = {True: "true", False: "false"}.get(value, "") if isinstance(value, bool) else ""
    text = text or (f'"{value}"' if isinstance(value, str) else repr(value))
    return text if len(text) <= _LONGEST_VALUE else text[: _LONGEST_VALUE - 3] + "..."


def _model_at(path: Path) -> type[BaseModel] | None:
    model: type[BaseModel] | None = DesignFile
    for part in path:
        if isinstance(part, int):
            continue
        field = model.model_fields.get(part) if model is not None else None
        model = _table_type(field.annotation) if field is not None else None
    return model


def _table_type(annotation: Any) -> type[BaseModel] | None:
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return annotation
    if typing.get_origin(annotation) in (typing.Union, types.UnionType, tuple):
        for argument in typing.get_args(annotation):
            found = _table_type(argument)
            if found is not None:
                return found
    return None


def _example(path: Path) -> str:
    names = [part for part in path if isinstance(part, str)]
    while names:
        model = _model_at(tuple(names[:-1]))
        field = model.model_fields.get(names[-1]) if model is not None else None
        if field is not None and field.examples:
            return str(field.examples[0])
        names.pop()
    return ""
