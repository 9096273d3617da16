"""Where keys stand in a TOML text. Reference: `tomllib` itself says which keys there are."""

from __future__ import annotations

import tomllib
from pathlib import Path
from typing import Any

import pytest

from bayonet.designfile.toml_lines import line_at, lines_of
from bayonet.measuring import starting_file

EXAMPLES = sorted((Path(__file__).parents[2] / "examples").glob("*.toml"))

NASTY = '''# c
title = "x # y"  # "z
tabbed = "a\tb \\U0001F600 \\" c"
"key\\u0041" = 1
[a.b]
c.d = 1
"q.r" = { x = 1, y = { z = [1, 2, { w = """
m "quoted""" } ] } }
when = 1979-05-27 07:32:00
[[arr]]
n = 1
[[arr]]
n = 2
[arr.sub]
k = \'\'\'
z\'\'\'
v = [ # comment, with ] in it
 1,
 "a]b",
]
'''


def _paths(value: Any, path: tuple[Any, ...] = ()) -> list[tuple[Any, ...]]:
    if isinstance(value, dict):
        found = [_paths(item, (*path, key)) for key, item in value.items()]
    elif isinstance(value, list):
        found = [_paths(item, (*path, index)) for index, item in enumerate(value)]
    else:
        found = []
    return [*([path] if path else []), *(p for group in found for p in group)]


@pytest.mark.parametrize(
    "text", [NASTY, starting_file(), *(f.read_text("utf-8") for f in EXAMPLES)]
)
def test_every_key_tomllib_knows_has_its_line(text: str) -> None:
    lines = lines_of(text)
    rows = text.splitlines()
    for path in _paths(tomllib.loads(text)):
        assert path in lines
        names = [part for part in path if isinstance(part, str)]
        if isinstance(path[-1], str) and names[-1].isidentifier() and names[-1] != "keyA":
            assert names[-1] in rows[lines[path] - 1]


def test_nasty_lines_by_hand() -> None:
    lines = lines_of(NASTY)
    assert lines["a", "b", "c", "d"] == 6
    assert lines["a", "b", "q.r", "y", "z", 2, "w"] == 7
    assert lines["arr", 1, "n"] == 13
    assert lines["arr", 1, "sub", "v", 1] == 19
    assert line_at(lines, ("arr", 1, "sub", "missing")) == 14
    assert line_at(lines, ("nowhere",)) is None
