"""Imports point downwards only, through doors, and the CAD kernel is loaded in one room."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from pathlib import Path

import pytest

PACKAGE = Path(__file__).parents[2] / "bayonet"
ROOMS = (
    "errors", "cell", "part21", "inputs", "units", "rounding", "cautions", "findings",
    "standards", "mechanics", "shapes", "tank",
    "designfile", "tables", "parts.lugs", "parts", "measuring", "developed", "tolerance.chains",
    "tolerance.fitting",
    "tolerance.advice", "tolerance", "strength", "checks.motion", "checks.seal", "checks.making",
    "checks.load", "checks.tank", "checks", "dimensions", "tune", "printing", "scan.read",
    "scan.find", "scan.fit", "scan.uncertainty", "scan", "scan.describe", "surroundings",
    "solids.kernel",
    "solids.fitting", "solids.graft", "solids", "exchange", "report.data", "report.terminal",
    "report.sheets", "report.documents", "report.page", "report", "jobs", "commands", "cli",
)  # fmt: skip
MODULES_ARE_DOORS = ("jobs", "commands", "report.sheets")
"""Rooms whose `__init__` re-exports nothing, because each module loads heavy libraries."""
KERNEL = {"cadquery", "OCP"}


def _modules() -> list[Path]:
    return sorted(PACKAGE.rglob("*.py"))


def _name(file: Path) -> str:
    return ".".join(file.relative_to(PACKAGE).with_suffix("").parts).removesuffix(".__init__")


NAMES = {_name(file): file for file in _modules()}


def _room(name: str) -> str:
    """The room a module lives in; a package is its own room, a top-level module too."""
    if name not in NAMES or NAMES[name].name == "__init__.py" or "." not in name:
        return name
    return name.rpartition(".")[0]


def _imports(file: Path) -> Iterator[tuple[str, str]]:
    """Each imported module of the package, and the dotted text it was named by."""
    for node in ast.walk(ast.parse(file.read_text("utf-8"))):
        if isinstance(node, ast.Import):
            yield from ((alias.name, alias.name) for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{file}: relative import"
            assert node.module is not None
            for alias in node.names:
                full = f"{node.module}.{alias.name}"
                inner = full.removeprefix("bayonet.") in NAMES
                yield (full if inner else node.module), node.module


def _ours(file: Path) -> Iterator[tuple[str, str]]:
    for name, text in _imports(file):
        if name.startswith("bayonet."):
            yield name.removeprefix("bayonet."), text.removeprefix("bayonet.")


@pytest.mark.parametrize("name", NAMES)
def test_imports_point_downwards(name: str) -> None:
    room = _room(name)
    if name in ("__init__", "__main__") or room == "data":
        return
    assert room in ROOMS, f"{room} has no place in the order of rooms"
    for other, _ in _ours(NAMES[name]):
        below = _room(other)
        own_door = NAMES[name].name == "__init__.py" and below == room
        in_order = ROOMS.index(below) <= ROOMS.index(room)
        assert own_door or in_order, f"{name} imports {other} upwards"


@pytest.mark.parametrize("name", NAMES)
def test_other_rooms_are_entered_by_their_doors(name: str) -> None:
    for other, text in _ours(NAMES[name]):
        inner = text in NAMES and _room(text) != text  # from bayonet.room.module import ...
        if not inner or _room(text) == _room(name) or _room(text) in MODULES_ARE_DOORS:
            continue
        raise AssertionError(f"{name} reaches into {text}: import it from {_room(other)}")


@pytest.mark.parametrize("room", [r for r in ROOMS if NAMES[r].name == "__init__.py"])
def test_a_room_says_what_lives_there(room: str) -> None:
    doc = ast.get_docstring(ast.parse(NAMES[room].read_text("utf-8")))
    assert doc is not None
    assert len(doc) > 40, f"{room}: {doc!r}"


@pytest.mark.parametrize("name", NAMES)
def test_only_solids_imports_the_kernel(name: str) -> None:
    if _room(name).partition(".")[0] == "solids":
        return
    used = {text.split(".")[0] for _, text in _imports(NAMES[name])} & KERNEL
    assert not used, f"{name} imports {used}"


def test_no_module_is_longer_than_the_limit() -> None:
    long = {f.name: n for f in _modules() if (n := len(f.read_text("utf-8").splitlines())) > 400}
    assert not long
