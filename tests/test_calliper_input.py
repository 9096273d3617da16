"""What somebody with a calliper types: readings apart, inches, limits, fits. Nothing may break.

Warnings are errors in these tests. The commands run in a process of their own with ``-W error``.
"""

from __future__ import annotations

import copy
import math
import os
import random
import subprocess
import sys
import tomllib
from pathlib import Path
from typing import Any

import pytest
import tanks

import bayonet
from bayonet.tune import cost, tune

ROOT = Path(__file__).parents[1]
BASES = [
    bayonet.starting_file(),
    *((ROOT / "examples" / f"{name}.toml").read_text("utf-8")
      for name in ("level_sensor", "irrigation_drain", "brewery_vent")),
]  # fmt: skip
TWO_READINGS = BASES[0].replace(
    "diameter = 22.4 ", "diameter = { readings = [22.38, 22.42], resolution = 0.01 } "
)
"""Two readings have one degree of freedom: their Student's tails reach past any real size."""


def size_mm(raw: object) -> float:
    if isinstance(raw, dict):
        raw = raw.get("value", (raw.get("readings") or [0.0])[0])
    if isinstance(raw, str):
        number, unit = raw.split()
        return float(number) * (25.4 if unit == "in" else 1.0)
    return float(raw)  # type: ignore[arg-type]


def measured(source: random.Random, size: float) -> Any:
    """A size as typed: 1 to 5 readings 0.01 to 0.3 apart, in mm or inches, limits, a fit."""
    inch = source.random() < 0.3
    apart, count = source.choice([0.01, 0.02, 0.05, 0.1, 0.2, 0.3]), source.randint(1, 5)
    values: list[Any] = [
        round((size + source.uniform(-apart, apart) / 2.0) / (25.4 if inch else 1.0), 3 + inch)
        for _ in range(count)
    ]
    if inch:
        values = [f"{value} in" for value in values]
    if source.random() < 0.3:
        values = values[:1] * count  # a calliper that shows the same each time
    kinds = {
        "readings": {"readings": values},
        "resolved": {"readings": values, "resolution": source.choice([0.01, 0.05, "0.001 in"])},
        "limits": {"value": values[0], "tol": source.choice([0.01, 0.05, 0.2, 0.5])},
        "fit": {"value": values[0], "fit": source.choice(["h9", "h11", "js12", "f7"])},
        "declared": {"value": values[0], "u": source.choice([0.005, 0.05, 0.2])},
        "samples": {"samples": values} if count > 1 else values[0],
        "plain": values[0],
    }
    return kinds[source.choice(list(kinds))]


def design_of(seed: int) -> dict[str, Any]:
    """One of the design files with some of the plug's sizes typed anew."""
    source = random.Random(seed)
    raw = copy.deepcopy(tomllib.loads(BASES[seed % len(BASES)]))
    plug = raw["plug"]
    places = [(step, key) for step in plug["body"] for key in ("diameter", "to_depth")]
    for table in (plug["lugs"], plug["groove"]):
        names = ("width", "outer_diameter", "thickness", "bearing_depth", "lead", "diameter",
                 "at_depth")  # fmt: skip
        places += [(table, key) for key in names if key in table]
    for table, key in source.sample(places, source.randint(1, len(places))):
        table[key] = measured(source, size_mm(table[key]))
    return raw


def design_or_none(seed: int) -> bayonet.Design | None:
    """None where the sizes contradict each other and are refused in plain words."""
    try:
        return bayonet.from_mapping(design_of(seed))
    except bayonet.DesignError as error:
        assert error.problems
        return None


@pytest.mark.parametrize("seed", range(24))
def test_every_input_is_judged_or_refused(seed: int) -> None:
    design = design_or_none(seed)
    if design is None:
        return
    result = bayonet.check(design)
    for one in result.study.figures:
        assert math.isfinite(one.sampled.mean), one.chain.key
        assert 0.0 <= one.out.low <= one.out.value <= one.out.high <= 1.0


@pytest.mark.parametrize("seed", [0, 1, 6])
def test_tuning_takes_it_too(seed: int) -> None:
    design = design_or_none(seed)
    assert design is not None
    tune(design, cost.usual(design.socket.process), yield_share=0.99)


def test_two_readings_of_the_groove() -> None:
    result = bayonet.check(bayonet.loads(TWO_READINGS))
    (squeeze,) = [f for f in result.findings if f.code == "tolerance.squeeze"]
    assert squeeze.verdict is not bayonet.Verdict.PASS


def test_every_command(tmp_path: Path) -> None:
    """No traceback and no warning from any command that reads a design file."""
    design, tank = tmp_path / "design.toml", tmp_path / "tank.step"
    design.write_text(TWO_READINGS, "utf-8")
    tanks.assembly(tank)
    calls = [
        ["check", design], ["check", design, "--json"], ["tune", design],
        ["make", design, "--out", tmp_path / "made"],
        ["sample", design, "--out", tmp_path / "pieces"],
        ["graft", design, "--tank", tank, "--at", "1000,150,60", "--out", tmp_path / "grafted"],
        ["scan", ROOT / "examples" / "level_sensor_scan.ply", "--against", design],
    ]  # fmt: skip
    for words in calls:
        done = subprocess.run(
            [sys.executable, "-W", "error", "-W", "ignore::DeprecationWarning", "-m", "bayonet",
             *map(str, words)],
            capture_output=True, text=True, check=False, env={**os.environ, "COLUMNS": "100"},
        )  # fmt: skip
        assert done.returncode in (0, 1), (words[0], done.stderr)
        assert "Traceback" not in done.stderr, (words[0], done.stderr)
        assert "Warning" not in done.stderr, (words[0], done.stderr)
