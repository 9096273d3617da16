"""Writes the typed calls of `bayonet.tables` from the schema of the design file.

Run it after a field of the design file was added or changed:

    python tests/house/make_tables.py
"""

from __future__ import annotations

import re
import subprocess
import sys
import types
import typing
from pathlib import Path
from typing import Any

from pydantic import BaseModel
from pydantic.fields import FieldInfo

from bayonet.designfile import DesignFile, Measured

FOLDER = Path(__file__).parents[2] / "bayonet" / "tables"
MODULES = {
    "plug": "The plug and its parts.",
    "socket": "The socket as a whole.",
    "features": "Track, stop, seal, mount and cutter of a socket.",
    "tank": "The place on a tank and what stands round it.",
    "service": "Identification, service, production and printer.",
}
WHOLE = ("socket", "clearance", "tolerance")  # of the socket; its other tables are features

Found = dict[str, tuple[type[BaseModel], tuple[str | int, ...]]]


def tables() -> Found:
    """Every table below the file: name of its call, its model, its first place."""
    found: Found = {}
    _gather(DesignFile, (), found)
    return found


def _gather(model: type[BaseModel], place: tuple[str | int, ...], found: Found) -> None:
    for name, field in model.model_fields.items():
        inner = _model_in(field.annotation)
        if inner is None or inner in [one for one, _ in found.values()]:
            continue
        many = typing.get_origin(_bare(field.annotation)) is tuple
        there = (*place, name, *((0,) if many else ()))
        found[_call_name(inner)] = (inner, there)
        _gather(inner, there, found)


def _call_name(model: type[BaseModel]) -> str:
    name = model.__name__.removesuffix("Table")
    return "".join(f"_{c.lower()}" if c.isupper() else c for c in name).lstrip("_")


def _bare(annotation: Any) -> Any:
    """An annotation without None."""
    if typing.get_origin(annotation) in (typing.Union, types.UnionType):
        (one,) = [a for a in typing.get_args(annotation) if a is not type(None)]
        return one
    return annotation


def _model_in(annotation: Any) -> type[BaseModel] | None:
    bare = _bare(annotation)
    if typing.get_origin(bare) is tuple:
        bare = typing.get_args(bare)[0]
    return bare if isinstance(bare, type) and issubclass(bare, BaseModel) else None


def _typed(annotation: Any) -> str:
    bare = _bare(annotation)
    if typing.get_origin(bare) is typing.Annotated:
        return _typed(typing.get_args(bare)[0])
    if typing.get_origin(bare) is typing.Literal:
        return f"Literal[{', '.join(repr(a) for a in typing.get_args(bare))}]"
    if typing.get_origin(bare) is tuple:
        inner = typing.get_args(bare)
        if inner[-1] is Ellipsis:
            return f"Sequence[{_typed(inner[0])}]"
        return f"tuple[{', '.join(_typed(one) for one in inner)}]"
    if bare is Measured:
        return "Quantity"
    return str(bare.__name__)


def _parameter(name: str, field: FieldInfo) -> str:
    typed = _typed(field.annotation)
    if field.is_required():
        return f"{name}: {typed}"
    default = field.default
    if isinstance(default, Measured):
        return f"{name}: {typed} = {default.value!r}"
    if isinstance(default, BaseModel) or default is None:
        return f"{name}: {typed} | None = None"
    return f"{name}: {typed} = {default!r}"


def _call(name: str, model: type[BaseModel], place: tuple[str | int, ...]) -> str:
    ordered = sorted(model.model_fields.items(), key=lambda item: not item[1].is_required())
    signature = ", ".join(_parameter(key, field) for key, field in ordered)
    lines = [f"def {name}(*, {signature}) -> {model.__name__}:"]
    lines.append(f'    """{(model.__doc__ or "").strip().splitlines()[0]}')
    lines += ["", "    Parameters", "    ----------"]
    for key, field in ordered:
        unit = f" [{_unit(key)}]" if _typed(field.annotation) == "Quantity" else ""
        text = f"{field.description}{unit}, as in ``{(field.examples or [key])[0]}``."
        lines += [f"    {key}", *(f"        {part}" for part in _wrapped(text))]
    lines += ['    """', f"    return build({model.__name__}, {place!r}, locals())", ""]
    return "\n".join(lines)


def _unit(key: str) -> str:
    if key.endswith("_deg"):
        return "deg"
    if key in ("lead", "leading_lead"):
        return "mm/rev"
    return "MPa" if key in ("pressure", "plug_strength", "socket_strength") else "mm"


def _wrapped(text: str, width: int = 90) -> list[str]:
    lines = [""]
    for word in text.split(" "):
        if len(lines[-1]) + len(word) > width:
            lines.append("")
        lines[-1] = f"{lines[-1]} {word}".strip()
    return lines


def _module(name: str, place: tuple[str | int, ...]) -> str:
    rooms = {"plug": "plug", "graft": "tank", "socket": "socket" if name in WHOLE else "features"}
    return rooms.get(str(place[0]), "service")


def modules() -> dict[str, str]:
    """Text of each module, as `ruff format` leaves it."""
    rooms: dict[str, list[str]] = {name: [] for name in MODULES}
    doors: dict[str, list[str]] = {name: [] for name in rooms}
    for name, (model, place) in tables().items():
        room = _module(name, place)
        rooms[room].append(_call(name, model, place))
        doors[room].append(name)
    found = {}
    for room, calls in rooms.items():
        body = "\n\n".join(calls)
        every = [model.__name__ for model, _ in tables().values()]
        models = sorted(one for one in every if re.search(rf"\b{one}\b", body))
        parts = [
            f'"""{MODULES[room]}\n\nMade by `tests/house/make_tables.py`; do not edit.\n"""',
            "from __future__ import annotations",
            "from collections.abc import Sequence" * ("Sequence[" in body),
            "from typing import Literal" * ("Literal[" in body),
            f"from bayonet.designfile import {', '.join(models)}",
            "from bayonet.tables.build import "
            + ", ".join((["Quantity"] if "Quantity" in body else []) + ["build"]),
            body,
        ]
        found[f"{room}.py"] = _formatted("\n".join(part for part in parts if part))
    doc = FOLDER.joinpath("__init__.py").read_text("utf-8").split('"""')[1]
    names = sorted(name for one in doors.values() for name in one)
    imports = [
        f"from bayonet.tables.{room} import {', '.join(sorted(one))}"
        for room, one in sorted(doors.items())
    ]
    everything = [*names, "Quantity"]
    found["__init__.py"] = _formatted(
        f'"""{doc}"""\nfrom __future__ import annotations\n'
        + "from bayonet.tables.build import Quantity\n"
        + "\n".join(imports)
        + f"\n__all__ = {everything!r}\n"
    )
    return found


def _formatted(text: str) -> str:
    for arguments in (["check", "--fix-only", "-q", "--select", "I,F401,RUF022"], ["format", "-q"]):
        text = subprocess.run(
            [sys.executable, "-m", "ruff", *arguments, "--stdin-filename",
             str(FOLDER / "x.py"), "-"],
            input=text, capture_output=True, text=True, check=True, cwd=FOLDER.parents[1],
        ).stdout  # fmt: skip
    return text


if __name__ == "__main__":
    for name, text in modules().items():
        (FOLDER / name).write_text(text, "utf-8")
