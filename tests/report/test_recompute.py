"""findings.json is enough: a second implementation gives its figures, from the file alone."""

from __future__ import annotations

import ast
import copy
import json
import math
from pathlib import Path
from typing import Any

import numpy as np
import pytest
import recompute

import bayonet
from bayonet.checks import judge
from bayonet.parts import changed
from bayonet.report.data.inputs import chain_formulas
from bayonet.report.data.result import as_json

ROOT = Path(__file__).parents[2]
NAMES = ("level_sensor", "irrigation_drain", "brewery_vent")
COUNT = 1 << 12
WIDE = {  # limits so wide that faults are common enough to be counted
    "level_sensor": {"socket.clearance.lug_side": 0.15, "socket.clearance.axial": 0.1},
    "irrigation_drain": {"plug.spread.length": 0.35, "socket.tolerance.coaxiality": 0.3},
    "brewery_vent": {"plug.spread.length": 0.3, "production.clocking_deg": 8.0},
}  # fmt: skip


def written(name: str, changes: dict[str, Any]) -> dict[str, Any]:
    design = bayonet.load(ROOT / "examples" / f"{name}.toml")
    if changes:
        design = changed(design, tuple(changes.items()))
    content: dict[str, Any] = json.loads(as_json(judge(design)))
    return content


@pytest.fixture(scope="module", params=NAMES)
def both(request: pytest.FixtureRequest) -> tuple[dict[str, Any], dict[str, Any]]:
    return written(request.param, {}), written(request.param, WIDE[request.param])


def disagreements(content: dict[str, Any]) -> list[str]:
    """Chains whose nominal, mean, scatter or rate another reader of the file does not find."""
    zero = {row["key"]: np.zeros(1) for row in content["inputs"]["deviations"]}
    nominal = recompute.values(content, zero)
    parts = recompute.values(content, recompute.drawn(content["inputs"], COUNT, seed=3))
    found = []
    for row in content["tolerance"]["chains"]:
        key, told, x = row["key"], row["sampled"], parts[row["key"]]
        low, high = recompute.limits(row)
        rate, out = row["outside"]["share"], float(((x < low) | (x > high)).mean())
        own = math.sqrt(max(rate, 3.0 / COUNT) / COUNT)
        good = (
            abs(nominal[key][0] - row["nominal"]) < 1e-6
            and abs(x.mean() - told["mean"]) < 4.5 * told["sd"] / math.sqrt(COUNT) + 1e-7
            and abs(x.std() - told["sd"]) < 0.05 * told["sd"] + 1e-7
            and abs(out - rate) < 4.5 * own + row["outside"]["high_95"] - rate
        )
        found += [] if good else [key]
    return found


def test_every_chain_is_worked_out_again(both: tuple[dict[str, Any], dict[str, Any]]) -> None:
    for content in both:
        assert disagreements(content) == []


def test_yield_and_verdicts_are_worked_out_again(
    both: tuple[dict[str, Any], dict[str, Any]],
) -> None:
    """The wide limits fail some per cent of pairs, so that the count tells."""
    plain, wide = both
    again = recompute.rates(wide, count=COUNT, seed=5)[""]
    fails = wide["tolerance"]["fails"]
    assert fails["share"] > 0.003
    assert again == pytest.approx(
        fails["share"],
        abs=4.5 * math.sqrt(fails["share"] / COUNT) + fails["high_95"] - fails["low_95"],
    )
    for content in both:
        asked = content["inputs"]["yield_asked"]
        told = {one["code"]: one["verdict"] for one in content["findings"]}
        rows = {row["key"]: row for row in content["tolerance"]["chains"]}
        for key, row in rows.items():
            if f"tolerance.{key}" in told:
                assert told[f"tolerance.{key}"] == recompute.verdict(row["outside"], asked), key
        together = recompute.verdict(content["tolerance"]["fails"], asked)
        assert told["tolerance.joint_yield"] == together
    assert plain["inputs"]["chains"]


def test_no_pass_beyond_its_limit_and_no_chain_without_formula_and_source(
    both: tuple[dict[str, Any], dict[str, Any]],
) -> None:
    """A margin below zero never passes, but for rates, whose worst case may lie outside."""
    for content in both:
        for one in content["findings"]:
            margin, is_rate = one["margin"], one["code"].startswith("tolerance.")
            if margin is not None and not is_rate and one["verdict"] == "pass":
                assert margin > -1e-6, one["code"]
            if one["code"].removeprefix("tolerance.") in recompute.CHAINS:
                assert one["formula"], one["code"]
                assert one["source"], one["code"]


def test_a_plug_without_a_ring_and_a_leading_flank_of_its_own() -> None:
    changes = {"plug.groove": None, "socket.seal": {"kind": "none"}, "plug.lugs.leading_lead": 2.0}
    content = written("level_sensor", changes)
    assert content["inputs"]["plug"]["groove"] is None
    assert content["inputs"]["plug"]["lugs"][0]["leading_lead"] == 2.0
    assert disagreements(content) == []


def test_a_wrong_input_is_told(both: tuple[dict[str, Any], dict[str, Any]]) -> None:
    """A deviation left out of one size, another expansion, another limit: each is seen."""
    plain = both[0]
    if plain["layout"] != "A":
        return  # one design will do
    for spoil in (
        lambda told: told["sums"].update(track_bore=[]),
        lambda told: told["deviations"][0].update(half_width=0.5),
        lambda told: told["plug"]["lugs"][0].update(bearing_depth=5.3),
    ):  # fmt: skip
        wrong = copy.deepcopy(plain)
        spoil(wrong["inputs"])
        assert disagreements(wrong)


def test_it_imports_no_part_of_this_package() -> None:
    tree = ast.parse((ROOT / "tests" / "recompute.py").read_text("utf-8"))
    names = {
        name
        for node in ast.walk(tree)
        if isinstance(node, (ast.Import, ast.ImportFrom))
        for name in ([node.module] if isinstance(node, ast.ImportFrom) else
                     [alias.name for alias in node.names])
    }  # fmt: skip
    assert not [name for name in names if name and name.startswith("bayonet")]


def test_every_chain_has_its_formula_and_no_formula_is_without_a_chain() -> None:
    assert set(chain_formulas()) == set(recompute.CHAINS)
