"""Tuned designs pass; costs fall; what cannot be reached is said; files are the user's own."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from test_cli import EXAMPLES, run

import bayonet
from bayonet.findings import Verdict
from bayonet.parts.design import changed
from bayonet.tolerance.fitting.requirements import chains_of
from bayonet.tune import cost
from bayonet.tune.allocate import Linear, allocate
from bayonet.tune.tuning import tune

Changes = list[tuple[str, Any]]
MICROMETER = ("plug.measured_with", "micrometer")
"""By a calliper the groove's depth alone takes more than one pair in a thousand."""


@pytest.mark.parametrize(
    ("name", "changes", "asked"),
    [
        ("level_sensor", [("socket.clearance.axial", 0.05)], 0.9999),
        ("irrigation_drain", [("socket.tolerance.diameter", 0.12)], 0.999),
        ("brewery_vent", [MICROMETER, ("socket.tolerance.length", 0.12)], 0.99999),
        ("brewery_vent", [("socket.tolerance.diameter", 0.10)], 0.999),
    ],
)  # fmt: skip
def test_applied_back_to_the_file_the_result_passes(
    name: str, changes: Changes, asked: float
) -> None:
    """Read anew from its own tables, it reaches the yield and nothing fails."""
    design = changed(bayonet.load(EXAMPLES / f"{name}.toml"), changes)
    found = tune(design, cost.usual(design.socket.process), yield_share=asked)
    assert found.reached, found.why
    again = bayonet.check(bayonet.from_mapping(found.design.raw))
    assert again.verdict is not Verdict.FAIL
    assert 1.0 - again.study.fails.high >= asked
    assert found.changes


def test_looser_grades_cost_less_and_a_higher_yield_more(sensor: bayonet.Design) -> None:
    table, chains = cost.usual("machined"), chains_of(sensor)
    costs = []
    for rate in (1e-2, 1e-3, 1e-4):
        found = allocate(sensor, chains, table, rate=rate)
        assert found is not None
        assert found.rate <= rate
        costs.append(found.cost)
    assert costs == sorted(costs)
    assert costs[0] < costs[-1]


def test_no_single_loosening_is_left(sensor: bayonet.Design) -> None:
    """The search stops only where every further step breaks the rate or the worst case."""
    from bayonet.tolerance.advice.grades import tolerances_of

    table, chains, rate = cost.usual("machined"), chains_of(sensor), 1e-4
    found = allocate(sensor, chains, table, rate=rate)
    assert found is not None
    linear = Linear(chains)
    halves = {group: choice.half_width for group, choice in found.chosen.items()}
    for tolerance in tolerances_of(sensor):
        choices = table.choices(tolerance)
        wider = [c for c in choices if c.half_width > halves[tolerance.group] * (1 + 1e-9)]
        if wider:
            new = linear.judged({**halves, tolerance.group: wider[0].half_width})
            assert new[0] > rate or new[1] > 0.0


def test_a_spread_of_plugs_that_no_socket_mends_is_said(sensor: bayonet.Design) -> None:
    wild = changed(sensor, [("plug.groove.diameter", {"value": 22.4, "tol": 0.9})])
    found = tune(wild, cost.usual("machined"), yield_share=0.9999)
    assert not found.reached
    assert "groove diameter of the plug. No centring and no grade" in found.why


def test_command_writes_a_file_that_checks_and_keeps_comments(tmp_path: Path) -> None:
    target = tmp_path / "better.toml"
    source, text = tmp_path / "vent.toml", (EXAMPLES / "brewery_vent.toml").read_text("utf-8")
    source.write_text(text.replace('made_by = "', 'measured_with = "micrometer"\nmade_by = "'))
    done = run("tune", source, "--yield", "0.9999", "--write", target, "--json")
    assert done.returncode == 0, done.stderr
    said = json.loads(done.stdout)
    text = target.read_text("utf-8")
    assert text.startswith(source.read_text("utf-8").splitlines()[0])
    result = bayonet.check(bayonet.load(target))
    assert result.verdict is not Verdict.FAIL
    assert result.study.joint_yield == pytest.approx(said["yield_after"], abs=1e-9)
    assert result.design.spec.production.yield_share == 0.9999
    assert run("tune", source, "--write", target).returncode == 2
    assert not list(tmp_path.glob(".*"))


@pytest.mark.parametrize(
    ("text", "rules"),
    [
        ("grade,cast\nIT7,1\n", ["needs the columns grade and machined"]),
        ("grade,machined\nIT7,-1\nIT99,2\n", ["more than 0", "must be one of IT5"]),
        ("grade,machined\nIT7,1\n", ["at least two grades"]),
        ("grade,machined\nIT7,1\nIT8,2\n", ["must not cost more"]),
        ("grade,machined\nIT7,nan\nIT8,2\n", ["more than 0"]),
    ],
)
def test_bad_cost_tables_are_refused_whole(tmp_path: Path, text: str, rules: list[str]) -> None:
    file = tmp_path / "cost.csv"
    file.write_text(text, "utf-8")
    with pytest.raises(bayonet.DesignError) as caught:
        cost.read(file, "machined")
    for rule in rules:
        assert rule in str(caught.value)
    assert str(file) in str(caught.value)


def test_the_users_own_costs_decide(sensor: bayonet.Design, tmp_path: Path) -> None:
    """Where fine grades cost no more, the finest is as good as any: nothing is loosened."""
    file = tmp_path / "flat.csv"
    file.write_text("grade,machined\nIT7,1\nIT8,1\nIT9,1\n", "utf-8")
    found = allocate(sensor, chains_of(sensor), cost.read(file, "machined"), rate=1e-3)
    assert found is not None
    assert {c.cost for c in found.chosen.values()} == {1.0}
