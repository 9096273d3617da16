"""Dimensions nobody knows: what does not hang on them stands, the rest is open."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner

import bayonet
from bayonet.checks import PendingResult, judge, judge_unknown
from bayonet.cli import main
from bayonet.errors import DesignError
from bayonet.findings import Verdict
from bayonet.parts import Undetermined, load_or_pending
from bayonet.report.data.result import as_json

SENSOR = (Path(__file__).parents[2] / "examples" / "level_sensor.toml").read_text("utf-8")


def file_with(folder: Path, *changes: tuple[str, str]) -> Path:
    text = SENSOR
    for old, new in changes:
        assert text.count(old) == 1, old
        text = text.replace(old, new)
    path = folder / "plug.toml"
    path.write_text(text, "utf-8")
    return path


def judged(path: Path) -> PendingResult:
    pending = load_or_pending(path)
    assert isinstance(pending, Undetermined)
    return judge_unknown(pending)


@pytest.fixture(scope="module")
def groove(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Any]:
    """What the command prints of the sensor, its groove's width unknown."""
    path = file_with(tmp_path_factory.mktemp("g"), ("\nwidth = 3.6", '\nwidth = "unknown"'))
    done = CliRunner().invoke(main, ["check", str(path), "--json"])
    assert done.exit_code == 0
    content: dict[str, Any] = json.loads(done.output)
    return content


@pytest.fixture(scope="module")
def known() -> dict[str, Any]:
    rows = json.loads(as_json(judge(bayonet.loads(SENSOR))))["findings"]
    return {row["code"]: row for row in rows}


def test_what_does_not_need_a_grooves_width_stands(
    groove: dict[str, Any], known: dict[str, Any]
) -> None:
    """Lugs, tracks and walls come out to the last word as with the width that the plug has."""
    mine = {row["code"]: row for row in groove["findings"]}
    for code in ("motion.engagement", "motion.bearing_area", "clearance.lug_radial", "shape.roof"):
        assert mine[code] == known[code]


def test_no_yes_that_hangs_on_what_is_unknown(
    groove: dict[str, Any], known: dict[str, Any]
) -> None:
    """Every pass of the pending file is a pass, word for word, of the plug as it really is."""
    assert groove["verdict"] == "open"
    assert groove["unknown"][0]["field"] == "plug.groove.width"
    assert groove["headline"][0].endswith("plug.groove.width, which is unknown, is open.")
    passes = [row for row in groove["findings"] if row["verdict"] == "pass"]
    assert passes
    assert [row for row in passes if known.get(row["code"]) != row] == []
    fill = next(row for row in groove["findings"] if row["code"] == "seal.fill")
    assert fill["verdict"] == "open"
    assert fill["change"] == "measure plug.groove.width"
    assert fill["message"].endswith(" mm only")


def test_of_two_unknown_sizes_both_are_asked_for(tmp_path: Path) -> None:
    """A lug's thickness and its width; the ring hangs on neither."""
    found = judged(
        file_with(
            tmp_path, ("thickness = 3.5", 'thickness = "unknown"'),
            ('width = "10.0 mm"', 'width = "unknown"'),
        )
    )  # fmt: skip
    by = {one.code: one for one in found.findings}
    assert by["load.lug_shear"].verdict is Verdict.OPEN
    assert by["load.lug_shear"].change == "measure plug.lugs.width, plug.lugs.thickness"
    assert by["seal.stretch"].verdict is Verdict.PASS


def test_commands_that_need_every_size_say_so(tmp_path: Path) -> None:
    path = file_with(tmp_path, ("thickness = 3.5", 'thickness = "unknown"'))
    with pytest.raises(DesignError, match=r"plug\.lugs\.thickness = .* is unknown"):
        bayonet.load(path)


def test_nothing_can_be_drawn_with_it(tmp_path: Path) -> None:
    """Another mistake in the file is told beside the unknown."""
    changed = (("thickness = 3.5", 'thickness = "unknown"'), ("turn_deg = 80", "turn_deg = 359"))
    with pytest.raises(DesignError) as raised:
        judged(file_with(tmp_path, *changed))
    assert {"plug.lugs.thickness"} <= {one.field for one in raised.value.problems}
    assert len(raised.value.problems) > 1
