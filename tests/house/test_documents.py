"""The documents are true where a machine can tell: rooms, lines, files and names they mention."""

from __future__ import annotations

import re
from pathlib import Path

import make_rooms
import pytest

ROOT = Path(__file__).parents[2]
DOCUMENTS = ("README.md", "DEVELOPERS.md")


def test_the_picture_of_the_rooms_is_current() -> None:
    text = make_rooms.TARGET.read_text("utf-8")
    assert text == make_rooms.picture(), "run python tests/house/make_rooms.py"


@pytest.mark.parametrize("name", DOCUMENTS)
def test_no_line_is_too_long_to_read(name: str) -> None:
    lines = (ROOT / name).read_text("utf-8").splitlines()
    assert not {i: len(line) for i, line in enumerate(lines, 1) if len(line) > 400}


@pytest.mark.parametrize("name", DOCUMENTS)
def test_linked_files_are_there(name: str) -> None:
    text = (ROOT / name).read_text("utf-8")
    linked = re.findall(r'\]\(([^)#]+)\)|(?:src|href)="([^"#]+)"', text)
    files = [one or other for one, other in linked if "://" not in (one or other)]
    assert files
    assert not [file for file in files if not (ROOT / file).exists()]


def test_modules_named_in_developers_are_there() -> None:
    text = (ROOT / "DEVELOPERS.md").read_text("utf-8")
    named = set(re.findall(r"`((?:bayonet|tests|examples)/[\w/.*]+)`", text))
    assert named
    assert not [one for one in named if not list(ROOT.glob(one))]


def test_the_python_of_the_readme_runs() -> None:
    text = (ROOT / "README.md").read_text("utf-8")
    blocks = re.findall(r"```python\n(.*?)```", text, re.S)
    assert blocks
    for block in blocks:
        exec(compile(block, "README.md", "exec"), {})
