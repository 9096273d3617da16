"""The typed calls of `bayonet.tables` are those of the schema."""

from __future__ import annotations

import runpy
from pathlib import Path

MAKER = Path(__file__).with_name("make_tables.py")


def test_the_typed_calls_are_current() -> None:
    maker = runpy.run_path(str(MAKER))
    for name, text in maker["modules"]().items():
        there = (maker["FOLDER"] / name).read_text("utf-8")
        assert there == text, "a field changed: run python tests/house/make_tables.py"
