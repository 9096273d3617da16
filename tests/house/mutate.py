"""Breaks random lines of one room on purpose, one at a time, and runs that room's tests.

    python tests/house/mutate.py tolerance              # 40 broken lines, its tests and the proof
    python tests/house/mutate.py seal --count 10 --seed 3

A line no test notices is printed: it needs a test that holds its number, or it does nothing. The
working copy is left alone: a copy of the repository is broken. Own code, for the tools at hand
break whole packages and cannot run a room's tests by room, or keep a fixed sample by a seed.
"""

from __future__ import annotations

import argparse
import ast
import os
import random
import shutil
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

ROOT = Path(__file__).parents[2]
ROOMS = {
    "standards": ("bayonet/standards", "tests/standards"),
    "mechanics": ("bayonet/mechanics", "tests/mechanics"),
    "designfile": ("bayonet/designfile", "tests/designfile tests/interface"),
    "parts": ("bayonet/parts", "tests/parts tests/designfile tests/checks"),
    "developed": ("bayonet/developed", "tests/developed tests/proof"),
    "chains": ("bayonet/tolerance/chains", "tests/tolerance"),
    "tolerance": ("bayonet/tolerance/fitting", "tests/tolerance"),
    "advice": ("bayonet/tolerance/advice", "tests/tolerance tests/tune"),
    "strength": ("bayonet/strength", "tests/strength"),
    "motion": ("bayonet/checks/motion", "tests/checks tests/proof"),
    "seal": ("bayonet/checks/seal", "tests/checks"),
    "making": ("bayonet/checks/making", "tests/checks"),
    "load": ("bayonet/checks/load", "tests/checks tests/strength"),
    "tune": ("bayonet/tune", "tests/tune"),
    "printing": ("bayonet/printing", "tests/printing tests/exchange"),
    "find": ("bayonet/scan/find", "tests/scan"),
    "fit": ("bayonet/scan/fit", "tests/scan"),
    "uncertainty": ("bayonet/scan/uncertainty", "tests/scan"),
    "read": ("bayonet/scan/read", "tests/scan"),
    "surroundings": ("bayonet/surroundings", "tests/surroundings"),
    "kernel": ("bayonet/solids/kernel", "tests/solids tests/proof"),
    "fitting": ("bayonet/solids/fitting", "tests/solids tests/proof"),
    "graft": ("bayonet/solids/graft", "tests/solids tests/test_graft_cli.py"),
    "exchange": ("bayonet/exchange", "tests/exchange"),
}
_SWAPS = {
    ast.Add: ast.Sub, ast.Sub: ast.Add, ast.Mult: ast.Div, ast.Div: ast.Mult, ast.Pow: ast.Mult,
    ast.Lt: ast.GtE, ast.LtE: ast.Gt, ast.Gt: ast.LtE, ast.GtE: ast.Lt, ast.Eq: ast.NotEq,
    ast.NotEq: ast.Eq, ast.And: ast.Or, ast.Or: ast.And, ast.Is: ast.IsNot, ast.IsNot: ast.Is,
}  # fmt: skip
_NAMES = {
    "min": "max", "max": "min", "minimum": "maximum", "maximum": "minimum", "sin": "cos",
    "cos": "sin", "floor": "ceil", "ceil": "floor", "any": "all", "all": "any",
}  # fmt: skip
NUMBER = 1.07
"""A number is made this much larger: what a slip of a digit does, and more than rounding."""


@dataclass(frozen=True, kw_only=True)
class Broken:
    """One broken line: where it stands, and the module's whole text with it."""

    file: Path
    line: int
    before: str
    after: str
    text: str


def breakable(tree: ast.AST) -> Iterator[ast.AST]:
    """Nodes of formulas and conditions inside functions; no words, no annotations."""
    for function in ast.walk(tree):
        if isinstance(function, (ast.FunctionDef, ast.Lambda)):
            body = function.body if isinstance(function.body, list) else [function.body]
            for statement in body:
                for node in ast.walk(statement):
                    if _can_break(node):
                        yield node


def _can_break(node: ast.AST) -> bool:
    if isinstance(node, ast.BinOp):
        strings = (ast.JoinedStr, ast.List, ast.Tuple)
        words = any(isinstance(side, strings) or _is_text(side) for side in (node.left, node.right))
        return type(node.op) in _SWAPS and not words
    if isinstance(node, ast.Compare):
        return type(node.ops[0]) in _SWAPS and not any(_is_text(c) for c in node.comparators)
    if isinstance(node, ast.Constant):
        return isinstance(node.value, float) and node.value != 0.0
    if isinstance(node, ast.Call):
        return _called(node) in _NAMES
    return isinstance(node, ast.BoolOp)


def _is_text(node: ast.AST) -> bool:
    return isinstance(node, ast.Constant) and isinstance(node.value, str)


def _called(node: ast.Call) -> str:
    return node.func.attr if isinstance(node.func, ast.Attribute) else getattr(node.func, "id", "")


def _break(node: ast.AST) -> None:
    if isinstance(node, (ast.BinOp, ast.BoolOp)):
        node.op = _SWAPS[type(node.op)]()  # type: ignore[assignment]
    elif isinstance(node, ast.Compare):
        node.ops[0] = _SWAPS[type(node.ops[0])]()
    elif isinstance(node, ast.Constant):
        node.value = node.value * NUMBER
    elif isinstance(node, ast.Call):
        name = _NAMES[_called(node)]
        if isinstance(node.func, ast.Attribute):
            node.func.attr = name
        else:
            node.func.id = name


def broken_lines(folder: Path, *, count: int, seed: int) -> list[Broken]:
    """A fixed sample of the room's lines, each broken in one place."""
    places = []
    for file in sorted(folder.rglob("*.py")):
        nodes = sum(1 for _ in breakable(ast.parse(file.read_text("utf-8"))))
        places += [(file, number) for number in range(nodes)]
    chosen = random.Random(seed).sample(places, min(count, len(places)))
    return [_broken(file, number) for file, number in chosen]


def _broken(file: Path, number: int) -> Broken:
    text = file.read_text("utf-8")
    tree = ast.parse(text)
    node = list(breakable(tree))[number]
    segment = ast.get_source_segment(text, node) or ""
    _break(node)
    return Broken(
        file=file, line=node.lineno, before=" ".join(segment.split()),  # type: ignore[attr-defined]
        after=ast.unparse(node), text=ast.unparse(tree),
    )  # fmt: skip


def noticed(copy: Path, one: Broken, tests: list[str], *, seconds: float) -> bool:
    """Whether the tests fail, or hang, with the broken line in a copy of the repository."""
    there = copy / one.file.relative_to(ROOT)
    whole = there.read_bytes()
    there.write_text(one.text, "utf-8")
    try:
        done = subprocess.run(
            [sys.executable, "-m", "pytest", "-q", "-x", "-n", "0", "-p", "no:cacheprovider",
             "--no-header", "--tb=no", *tests],
            cwd=copy, env={**os.environ, "PYTHONPATH": str(copy)}, timeout=seconds, check=False,
            stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL,
        )  # fmt: skip
    except subprocess.TimeoutExpired:
        return True
    finally:
        there.write_bytes(whole)
    return done.returncode != 0


def main() -> int:
    """Break, run, count; 1 where fewer than nine of ten are noticed."""
    asked = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    asked.add_argument("room", choices=sorted(ROOMS))
    asked.add_argument("--count", type=int, default=40)
    asked.add_argument("--seed", type=int, default=1)
    asked.add_argument("--seconds", type=float, default=600.0, help="longest run of the tests")
    asked.add_argument("--list", action="store_true", help="say what would be broken, run nothing")
    given = asked.parse_args()
    folder, tests = ROOMS[given.room]
    lines = broken_lines(ROOT / folder, count=given.count, seed=given.seed)
    escaped = []
    with tempfile.TemporaryDirectory() as place:
        copy = Path(place) / "copy"
        ignored = shutil.ignore_patterns(".git", ".venv*", "*cache*", ".hypothesis")
        shutil.copytree(ROOT, copy, ignore=ignored)
        for number, one in enumerate(lines, 1):
            start = time.monotonic()
            where = f"{one.file.relative_to(ROOT)}:{one.line}: {one.before} -> {one.after}"
            if given.list:
                print(where)
                continue
            wanted = [str(one.file.relative_to(ROOT)), *tests.split()]
            caught = noticed(copy, one, wanted, seconds=given.seconds)
            escaped += [] if caught else [where]
            word = "noticed" if caught else "ESCAPED"
            print(f"{number:3} {word} {time.monotonic() - start:4.0f} s  {where}", flush=True)
    share = 1.0 - len(escaped) / max(len(lines), 1)
    print(f"{given.room}: {len(lines) - len(escaped)} of {len(lines)} noticed, {share:.0%}")
    return 0 if share >= 0.9 else 1


if __name__ == "__main__":
    sys.exit(main())
