"""Keys of a scan are made and asked in one place, and taken apart nowhere else."""

from __future__ import annotations

import json
import pickle
import re
from pathlib import Path

import pytest

from bayonet.scan.fit import Key, body_key, groove_key, lug_key

ROOM = Path(__file__).parents[2] / "bayonet" / "scan"


@pytest.mark.parametrize(
    ("key", "part", "number", "name", "unit"),
    [
        (lug_key(2, "bearing_depth"), "lug", 2, "bearing_depth", "mm"),
        (lug_key(0, "side+1"), "lug", 0, "side+1", "mm"),
        (lug_key(7, "width_deg"), "lug", 7, "width_deg", "deg"),
        (lug_key(1, "leading_lead"), "lug", 1, "leading_lead", "mm/rev"),
        (body_key(3, "to_depth"), "body", 3, "to_depth", "mm"),
        (groove_key("at_depth"), "groove", None, "at_depth", "mm"),
        (Key("shoulder_diameter"), "shoulder_diameter", None, "shoulder_diameter", "mm"),
    ],
)
def test_a_key_knows_what_it_is_made_of(
    key: Key, part: str, number: int | None, name: str, unit: str
) -> None:
    assert (key.part, key.number, key.name, key.unit) == (part, number, name, unit)
    assert key.is_lug == (part == "lug")
    if "." in key:
        assert key.base.of(name) == key
    if number is not None:
        assert key.numbered(5).number == 5
        assert key.numbered(5).numbered(number) == key


def test_a_key_is_its_text() -> None:
    key = lug_key(1, "thickness")
    assert {key: 1.0}["lug.1.thickness"] == 1.0
    assert json.dumps({key: [key]}) == '{"lug.1.thickness": ["lug.1.thickness"]}'
    assert pickle.loads(pickle.dumps(key)).number == 1
    assert f"{key}" == "lug.1.thickness"


def test_nobody_else_takes_keys_apart() -> None:
    apart = re.compile(
        r"""split\("\."|startswith\(\(?["'](lug|body|groove|pose)|f["'](lug|body|groove)\.\{"""
    )
    found = [
        f"{file.name}:{number}: {line.strip()}"
        for file in sorted(ROOM.rglob("*.py"))
        if file.name != "keys.py"
        for number, line in enumerate(file.read_text("utf-8").splitlines(), 1)
        if apart.search(line) and "group=" not in line
    ]
    assert not found
