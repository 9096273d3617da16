"""Designs side by side: what differs stands there, what does not is left out."""

from __future__ import annotations

import json
from pathlib import Path

import numpy as np
import pytest
from click.testing import CliRunner

import bayonet
from bayonet.checks import Comparison, compare, variants
from bayonet.cli import main

STARTING = bayonet.starting_file()


@pytest.fixture(scope="module")
def found() -> Comparison:
    design = bayonet.loads(STARTING)
    fields = {"socket.wall": [5.0, 6.5], "plug.lugs.count": [3, 8]}
    return compare(variants(design, fields))


def test_a_variant_that_cannot_be_drawn_is_a_column_with_its_reason(found: Comparison) -> None:
    """Eight lugs of 29 deg turned by 62 deg: 91 deg each, of 45 deg there are."""
    assert found.names == ("wall 5.0, count 3", "wall 5.0, count 8", "wall 6.5, count 3",
                           "wall 6.5, count 8")  # fmt: skip
    assert [bool(one) for one in found.problems] == [False, True, False, True]
    assert found.about("verdict")[0].values[1] == "refused"


def test_a_wall_1_5_mm_thicker_is_a_boss_3_mm_larger(found: Comparison) -> None:
    table = found.table()
    boss = table["boss_diameter"]
    assert boss[2] - boss[0] == pytest.approx(3.0)
    assert np.isnan(boss[1])
    changed = {one.key for one in found.about("size") if one.values[0] != one.values[2]}
    assert changed == {"boss_diameter"}, "nothing else hangs on the wall"
    assert [one.key for one in found.about("input")] == ["socket.wall"]


def test_margins_are_the_chains_own(found: Comparison) -> None:
    result = found.results[0]
    assert result is not None
    for one in found.about("margin"):
        figures = result.study.of(one.key.removeprefix("tolerance."))
        scale = 100.0 if figures.chain.unit == "-" else 1.0
        assert one.values[0] == pytest.approx(scale * figures.worst_room)


def test_by_command_with_a_page(tmp_path: Path) -> None:
    one, other, out = tmp_path / "a é.toml", tmp_path / "b.toml", tmp_path / "out"
    one.write_text(STARTING, "utf-8")
    other.write_text(STARTING.replace("wall = 4.0", "wall = 5.0"), "utf-8")
    done = CliRunner().invoke(main, ["compare", str(one), str(other), "--out", str(out)])
    assert done.exit_code == 0, done.output
    assert "socket.wall" in done.output
    text = (out / "compare.html").read_text("utf-8")
    assert text.count("<img ") == 2
    assert "a é: look" in text
    assert "can injure" in text


def test_varied_on_the_command_line(tmp_path: Path) -> None:
    file = tmp_path / "a.toml"
    file.write_text(STARTING, "utf-8")
    shown = CliRunner().invoke(main, ["compare", str(file), "--vary", "socket.wall=4..5", "--json"])
    rows = json.loads(shown.output)
    assert rows["designs"] == ["wall 4", "wall 5"]
    for wrong in ("socket.wall", "socket.wall=5..4", "socket.wall=1..900", "socket.wall=4"):
        refused = CliRunner().invoke(main, ["compare", str(file), "--vary", wrong])
        assert refused.exit_code == 2, wrong
