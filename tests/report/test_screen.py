"""The first screen: everything that fails or wants reading stands on it, and it is one screen."""

from __future__ import annotations

import io
from pathlib import Path

import pytest
from rich.console import Console

import bayonet
from bayonet.checks import explain, summary
from bayonet.report.terminal import explained, screen

SENSOR = Path(__file__).parents[2] / "examples" / "level_sensor.toml"
LINES = 50
"""A window of usual height, common practice, no source."""


def shown(result: bayonet.Result, width: int) -> list[str]:
    console = Console(file=io.StringIO(), width=width, highlight=False)
    screen.show(result, console, next_step="go on", written=("Wrote to out.",))
    assert isinstance(console.file, io.StringIO)
    return console.file.getvalue().splitlines()


@pytest.fixture(scope="module")
def looking() -> bayonet.Result:
    return bayonet.check(bayonet.load(SENSOR))


@pytest.fixture(scope="module")
def failing() -> bayonet.Result:
    design = bayonet.load(SENSOR).with_(
        {"socket.clearance.axial": 0.02, "socket.boss_diameter": 42.0}
    )
    return bayonet.check(design)


@pytest.mark.parametrize("width", [80, 120])
def test_a_design_that_passes_is_one_screen(looking: bayonet.Result, width: int) -> None:
    lines = shown(looking, width)
    assert len(lines) <= LINES
    assert max(map(len, lines)) <= width
    assert lines[1].startswith("LOOK  Nothing fails")
    text = "\n".join(lines)
    assert "Next: go on" in text
    assert "Wrote to out." in text
    for one in looking.findings:
        listed = sum(line.startswith((f"look {one.code} ", f"open {one.code} ")) for line in lines)
        assert listed == (one.verdict.value in ("look", "open")), one.code


def test_what_fails_stands_in_full_with_what_to_do(failing: bayonet.Result) -> None:
    lines = shown(failing, 80)
    assert lines[1].startswith("FAIL  This design fails")
    squeezed = "".join("".join(lines).split())
    fails = [one for one in failing.findings if one.verdict is bayonet.Verdict.FAIL]
    assert len(fails) >= 2
    for one in fails:
        assert one.code in "\n".join(lines)
        message = "".join(one.message.split())
        assert message[-20:] in squeezed, "told to its end"
        assert "".join(one.change.split()) in squeezed
    mends = next(one for one in fails if one.mends)
    assert f"set {mends.mends[0][0]} = " in "\n".join(lines)


def test_sizes_margins_and_readings_are_the_results_own(looking: bayonet.Result) -> None:
    found = summary(looking)
    rows = {row.key: row for row in looking.design.socket.dimensions()}
    assert [row == rows[row.key] for row in found.sizes] == [True] * 5
    by = {one.chain.key: one.cpk for one in looking.study.figures if one.chain.has_limits}
    three = sorted(by, key=by.__getitem__)[:3]
    assert [one.code for one in found.margins] == [f"tolerance.{key}" for key in three]
    assert found.readings[0].field == "body.0.diameter"
    text = looking["tolerance.joint_yield"].message
    assert found.readings[0].meaning in text, "as the joint yield names it"


def test_a_size_measured_well_is_not_named_again(looking: bayonet.Result) -> None:
    first = summary(looking).readings[0]
    known = looking.design.with_({f"plug.{first.field}": {"value": 32.0, "u": 0.0005}})
    assert first.field not in [one.field for one in summary(bayonet.check(known)).readings]


def test_an_explanation_moves_the_margin_as_a_hand_calculation(looking: bayonet.Result) -> None:
    """The shoulder's seat is (shoulder - opening) / 2: 0.1 mm of shoulder is 0.05 mm of seat."""
    found = explain(looking, "clearance.shoulder_seat")
    by = {one.name: one for one in found.movers}
    assert by["plug.shoulder_diameter"].moves == pytest.approx(0.05)
    assert found.formula
    console = Console(file=io.StringIO(), width=80)
    explained.show(found, console)
    assert isinstance(console.file, io.StringIO)
    assert "plug.shoulder_diameter" in console.file.getvalue()


def test_a_chain_explains_itself_by_its_slopes(looking: bayonet.Result) -> None:
    """Squeeze = 1 - depth / section: 0.04 mm of groove radius of 2.59 mm is about 1.5 %."""
    found = explain(looking, "tolerance.squeeze")
    groove = next(one for one in found.movers if one.name == "groove diameter")
    assert abs(groove.moves) == pytest.approx(100 * groove.step / 2 / 2.59, rel=0.1)


def test_an_unknown_code_names_near_ones(looking: bayonet.Result) -> None:
    with pytest.raises(KeyError, match=r"near it: seal\.squeeze"):
        explain(looking, "squeeze")


def test_in_inches_sizes_and_margins_are_inches() -> None:
    """The shoulder's seat, the boss: 1 in = 25.4 mm (international yard and pound, 1959)."""
    mm, inch = bayonet.load(SENSOR), bayonet.load(SENSOR).with_({"design.units": "in"})
    text = "\n".join(shown(bayonet.check(inch), 120))
    row = next(one for one in mm.socket.dimensions() if one.key == "sealing_bore_diameter")
    assert f"{row.value / 25.4:.4f}" in text
    assert " mm\n" not in text.split("Key sizes")[1].split("All findings")[0]
