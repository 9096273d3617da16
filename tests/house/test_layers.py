"""Imports point downwards only, and the CAD kernel is loaded in one room."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from pathlib import Path

import pytest

PACKAGE = Path(__file__).parents[2] / "bayonet"
ROOMS = (
    "errors", "units", "standards", "mechanics", "model", "developed", "tolerance", "strength",
    "checks", "tune", "scan", "solids", "exchange", "report", "job", "jobs", "commands", "cli",
)  # fmt: skip
KERNEL = {"cadquery", "OCP"}


def _room(file: Path) -> str:
    return file.relative_to(PACKAGE).parts[0].removesuffix(".py")


def _modules() -> list[Path]:
    return sorted(PACKAGE.rglob("*.py"))


def _imports(file: Path) -> Iterator[str]:
    for node in ast.walk(ast.parse(file.read_text("utf-8"))):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{file}: relative import"
            assert node.module is not None
            yield node.module
            yield from (f"{node.module}.{alias.name}" for alias in node.names)


@pytest.mark.parametrize("file", _modules(), ids=lambda f: str(f.relative_to(PACKAGE)))
def test_imports_point_downwards(file: Path) -> None:
    room = _room(file)
    if room in ("__init__", "__main__", "data"):
        return
    assert room in ROOMS, f"{room} has no place in the order of rooms"
    for name in _imports(file):
        parts = name.split(".")
        if parts[0] != "bayonet" or len(parts) < 2 or parts[1] == "__version__":
            continue
        assert ROOMS.index(parts[1]) <= ROOMS.index(room), f"{file.name} imports {name} upwards"


@pytest.mark.parametrize("file", _modules(), ids=lambda f: str(f.relative_to(PACKAGE)))
def test_only_solids_imports_the_kernel(file: Path) -> None:
    if _room(file) == "solids":
        return
    used = {name.split(".")[0] for name in _imports(file)} & KERNEL
    assert not used, f"{file} imports {used}"


def test_no_module_is_longer_than_the_limit() -> None:
    long = {f.name: n for f in _modules() if (n := len(f.read_text("utf-8").splitlines())) > 400}
    assert not long
