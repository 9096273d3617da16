"""Every row of every table names a source a reader can look up, or says that it has none."""

from __future__ import annotations

import re
from importlib.resources import files

import pytest

from bayonet.standards.tables import printed, rows

DATA = files("bayonet.standards") / "data"
TABLES = sorted(
    entry.name.removesuffix(".csv") for entry in DATA.iterdir() if entry.name.endswith(".csv")
)
NOT_OF_PRINT = {
    "publications": "the list of sources itself",
    "material_kinds": "which words of one table mean a row of another",
}
KEYS = {row["key"] for row in printed("publications")}
MARKS = ("common practice, no source", "from memory")
NAMELESS = re.compile(
    r"published (table|guide|chart|design|study)|a (second|third) table|two makers|secondary page"
    r"|catalogue-style|data sheet values|open material card|handbook values",
    re.IGNORECASE,
)


@pytest.mark.parametrize("name", [t for t in TABLES if t not in NOT_OF_PRINT])
def test_every_row_names_its_source(name: str) -> None:
    for row, read in zip(printed(name), rows(name), strict=True):
        source = row["source"]
        named = re.findall(r"@(\w+)", source)
        assert set(named) <= KEYS, row
        is_memory = "memory" in "".join(v for k, v in row.items() if k.endswith("provenance"))
        assert named or any(mark in source for mark in MARKS) or is_memory, row
        assert "@" not in read["source"], read["source"]
        words = read["source"].replace("handbook values of 356.0", "").replace("data sheets", "")
        assert not NAMELESS.search(words), words
        if not named:
            stated = any(mark in source for mark in MARKS) or is_memory
            assert stated, f"{name}: {source}"


def test_every_publication_is_used_and_says_which_edition() -> None:
    used = {
        key
        for name in TABLES
        if name not in NOT_OF_PRINT
        for row in printed(name)
        for key in re.findall(r"@(\w+)", row["source"])
    }
    assert used == KEYS
    for row in printed("publications"):
        assert row["publication"], row
        assert row["edition"], row


def test_process_presets_say_that_they_have_no_source() -> None:
    head = (DATA / "processes.toml").read_text("utf-8").partition("[")[0]
    assert "common practice, no source" in head


def test_nothing_a_reader_sees_is_nameless() -> None:
    """No text of the package or its tests speaks of a source without saying which."""
    package = files("bayonet")
    found = [
        f"{path.name}: {match[0]}"
        for path in package.rglob("*")  # type: ignore[attr-defined]
        if path.suffix in (".py", ".toml", ".csv")
        for match in re.finditer(
            r"published (table|guide|chart|design guide)|two makers' tables|secondary page",
            path.read_text("utf-8"),
        )
    ]
    assert not found
