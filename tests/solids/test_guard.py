"""What the kernel throws leaves `bayonet.solids` as the package's own error, by every door."""

from __future__ import annotations

import ast
import importlib
import inspect
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import cadquery as cq
import pytest
from OCP.BRepPrimAPI import BRepPrimAPI_MakeBox
from OCP.gp import gp_Pnt
from OCP.Standard import Standard_Failure
from OCP.StdFail import StdFail_NotDone

import bayonet
from bayonet.errors import KernelError
from bayonet.solids.kernel import guarded

PACKAGE = Path(bayonet.__file__).parent
SOLIDS = "bayonet.solids"


def test_the_kernels_errors_share_no_class() -> None:
    """The reason for telling them by their module; where this fails, `guard` can be simpler."""
    assert not issubclass(StdFail_NotDone, Standard_Failure)


@pytest.mark.parametrize("fault", ["flat box", "nothing", "thrown"])
def test_what_the_kernel_throws_is_told_in_words(fault: str) -> None:
    @guarded("building a box")
    def build() -> Any:
        if fault == "flat box":  # no height: the kernel throws
            return BRepPrimAPI_MakeBox(gp_Pnt(0, 0, 0), gp_Pnt(1, 1, 0)).Shape()
        if fault == "nothing":
            return cq.Shape.cast(cq.Solid.makeBox(1, 1, 1).wrapped.__class__())
        raise StdFail_NotDone("BRep_API: command not done")

    with pytest.raises(KernelError, match="building a box: the CAD kernel gave up"):
        build()


def test_a_bug_of_our_own_stays_one() -> None:
    @guarded("building a box")
    def build() -> None:
        raise IndexError("ours")

    with pytest.raises(IndexError):
        build()


def called_from_outside() -> Iterator[Any]:
    """Functions of `bayonet.solids` that other rooms call by their module."""
    for file in sorted(PACKAGE.rglob("*.py")):
        if "solids" in file.relative_to(PACKAGE).parts:
            continue
        tree = ast.parse(file.read_text("utf-8"))
        modules = {
            name.asname or name.name: f"{node.module}.{name.name}"
            for node in ast.walk(tree)
            if isinstance(node, ast.ImportFrom) and node.module is not None
            for name in node.names
            if f"{node.module}.{name.name}".startswith(SOLIDS)
        }
        for node in ast.walk(tree):
            if isinstance(node, ast.Attribute) and isinstance(node.value, ast.Name):
                room = modules.get(node.value.id)
                if room is not None and _is_module(room):
                    found = getattr(importlib.import_module(room), node.attr, None)
                    if inspect.isfunction(found):
                        yield found


def _is_module(name: str) -> bool:
    try:
        importlib.import_module(name)
    except ModuleNotFoundError:
        return False
    return True


def test_every_door_is_guarded() -> None:
    doors = {f"{one.__module__}.{one.__name__}": one for one in called_from_outside()}
    assert len(doors) > 20
    bare = [name for name, one in doors.items() if not hasattr(one, "__wrapped__")]
    assert not bare, f"put @guarded(what it does) over: {', '.join(sorted(bare))}"
