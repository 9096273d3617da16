"""The table of finding codes: complete, true to the source, and each code in some test."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from test_findings import quick

import bayonet
from bayonet.findings import HEADINGS, finding_codes
from bayonet.parts.design import changed as with_fields
from bayonet.strength.study import strength_of
from bayonet.tolerance.fitting import requirements, seal_requirements

ROOT = Path(__file__).parents[2]
CODES = {one.code: one for one in finding_codes()}
SHAPE = re.compile(rf"({'|'.join(HEADINGS)})(\.[a-z_]+){{1,2}}")
FAMILIES = {
    "handling": {"lock", "unlock", "detent"},
    "load": {"plug_material", "socket_material"},
    "seal": {"body_cold", "body_hot"},
    "calibrate": {"holes", "slots", "bosses", "lengths"},
    "print": {"plate_wide", "plate_deep"},
    "clearance": {f"{where}.{body}" for where in ("surroundings", "own_tank")
                  for body in ("insertion", "turn", "seated", "hand")},
}  # fmt: skip
"""Codes the source puts together from parts; chains and modes are read from their own tables."""


def literals() -> Iterator[tuple[str, str]]:
    """Every text of the package that reads as a code, and its room."""
    for file in sorted((ROOT / "bayonet").rglob("*.py")):
        if file.parts[-2] in ("sheets", "commands", "jobs") or "scan" in file.parts:
            continue
        room = ".".join(file.relative_to(ROOT / "bayonet").parts[:-1])
        for node in ast.walk(ast.parse(file.read_text("utf-8"))):
            if (
                isinstance(node, ast.Constant)
                and isinstance(node.value, str)
                and _reads(node.value)
            ):
                yield node.value, room


def _reads(text: str) -> bool:
    """Whether a text is a whole code: no file's name, no beginning of a code put together."""
    file = text.endswith((".json", ".png", ".svg"))
    return SHAPE.fullmatch(text) is not None and not file and not text.endswith("_")


def chain_keys() -> set[str]:
    """Keys of the chains as their modules' sources name them."""
    trees = [
        ast.parse(Path(room.__file__).read_text("utf-8"))
        for room in (requirements, seal_requirements)
    ]
    return {
        keyword.value.value
        for tree in trees for node in ast.walk(tree) if isinstance(node, ast.Call)
        for keyword in node.keywords
        if keyword.arg == "key" and isinstance(keyword.value, ast.Constant)
        and isinstance(keyword.value.value, str)
    }  # fmt: skip


def expected() -> set[str]:
    from bayonet.checks.load.strength import _FORMULAS

    families = {f"{room}.{what}" for room, those in FAMILIES.items() for what in those}
    modes = {f"load.{key}" for key in _FORMULAS}
    chains = {f"tolerance.{key}" for key in chain_keys()}
    return families | modes | chains | {code for code, _ in literals()}


def test_the_table_is_what_the_source_can_emit() -> None:
    there = set(CODES)
    assert there - expected() == set(), "in the table, emitted by nothing"
    assert expected() - there == set(), "emitted, not in bayonet/data/finding_codes.csv"


def test_every_code_has_one_row_words_and_a_room() -> None:
    assert len(CODES) == len(finding_codes())
    for one in finding_codes():
        assert SHAPE.fullmatch(one.code), one.code
        assert len(one.judges) > 8, one.code
        assert (ROOT / "bayonet" / one.room.replace(".", "/")).is_dir(), one.room


def test_what_the_examples_emit_is_in_the_table(example: bayonet.Design) -> None:
    emitted = {f.code for f in bayonet.check(example).findings}
    assert emitted <= set(CODES)
    modes = {f"load.{mode.key}" for mode in strength_of(example, None, None).modes}
    assert modes <= set(CODES)


@pytest.mark.parametrize("process", ["machined", "printed", "cast"])
def test_what_each_process_emits_is_in_the_table(example: bayonet.Design, process: str) -> None:
    other = with_fields(example, [("socket.process", process)])
    assert {f.code for f in quick(other)} <= set(CODES)


@pytest.mark.parametrize("code", sorted(CODES))
def test_every_code_stands_in_a_test(code: str) -> None:
    """In full, or for what its room's tests ask for by its second part."""
    words = (code, f'"{code.partition(".")[2]}"', code.replace(".", "_"))
    found = [
        file.name for file in (ROOT / "tests").rglob("*.py")
        if file.name != Path(__file__).name
        and any(word in file.read_text("utf-8") for word in words)
    ]  # fmt: skip
    assert found, f"{code} stands in no test"
