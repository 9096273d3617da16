"""`bayonet sample` and `bayonet calibrate` as a person meets them, in one process."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from bayonet.cli import main

EXAMPLES = Path(__file__).parents[1] / "examples"
SENSOR = EXAMPLES / "level_sensor.toml"
PRINTS = EXAMPLES / "level_sensor_prints.csv"


def run(*arguments: object) -> Result:
    return CliRunner().invoke(main, [str(one) for one in arguments], env={"COLUMNS": "100"})


def test_print_measure_calibrate_print_again(tmp_path: Path) -> None:
    first = run("sample", SENSOR, "--out", tmp_path / "one", "--steps", 2)
    assert first.exit_code == 0, first.output
    assert "Do not pressurise" in first.output
    assert "+0.10" in first.output
    assert "cm³" in first.output
    learnt = run("calibrate", SENSOR, PRINTS, "--out", tmp_path / "deep" / "p.toml")
    assert learnt.exit_code == 0, learnt.output
    assert "holes -0.230 mm" in learnt.output
    design = tmp_path / "v.toml"
    text = SENSOR.read_text("utf-8") + '\n[printer]\nprofile = "deep/p.toml"\n'
    design.write_text(text, "utf-8")
    again = run("sample", design, "--out", tmp_path / "two", "--steps", 1, "--json")
    said = json.loads(again.output)
    assert said["profile"]["hole_offset_mm"] == pytest.approx(-0.230, abs=5e-4)
    assert said["ladder"][0]["bore_diameter_mm"] == pytest.approx(
        (32.2 + 0.2211) / 0.99679, abs=2e-3
    )


def test_contradictions_end_with_1_and_mark_the_profile(tmp_path: Path) -> None:
    bad = tmp_path / "r.csv"
    bad.write_text(PRINTS.read_text("utf-8") + "felt,,,,0.35,will not turn,,\n", "utf-8")
    done = run("calibrate", SENSOR, bad, "--out", tmp_path / "p.toml", "--json")
    assert done.exit_code == 1
    said = json.loads(done.output)
    assert said["verdict"] == "fail"
    assert said["profile"]["contradictions"]
    assert "contradict" in (tmp_path / "p.toml").read_text("utf-8")
    warned = run("sample", SENSOR, "--out", tmp_path / "o", "--steps", 1, "--profile",
                 tmp_path / "p.toml", "--json")  # fmt: skip
    codes = {f["code"]: f["verdict"] for f in json.loads(warned.output)["findings"]}
    assert codes["print.compensated"] == "look"


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (["sample", SENSOR, "--out", "OUT", "--first-mm", "-0.2"], "closes a gap"),
        (["sample", SENSOR, "--out", "OUT", "--profile", "none.toml"], "cannot be read"),
        (["sample", SENSOR, "--out", "."], "name a folder"),
        (["sample", SENSOR, "--out", "OUT", "--steps", "0"], "--steps"),
        (["calibrate", SENSOR, SENSOR, "--out", "OUT"], "columns"),
        (["calibrate", SENSOR, "none.csv", "--out", "OUT"], "cannot be read"),
    ],
)
def test_bad_input_ends_with_2_and_writes_nothing(
    arguments: list[object], words: str, tmp_path: Path
) -> None:
    out = tmp_path / "out"
    done = run(*(out if one == "OUT" else one for one in arguments))
    assert done.exit_code == 2
    assert words in done.output
    assert not out.exists()
