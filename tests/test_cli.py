"""The command line as a person and as a machine meet it."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

import bayonet

EXAMPLES = Path(__file__).parents[1] / "examples"
SENSOR = EXAMPLES / "level_sensor.toml"


def run(*arguments: object, **env: str) -> subprocess.CompletedProcess[str]:
    plain = {k: v for k, v in os.environ.items() if k not in ("NO_COLOR", "FORCE_COLOR")}
    return subprocess.run(
        [sys.executable, "-m", "bayonet", *map(str, arguments)],
        capture_output=True,
        text=True,
        env={**plain, "COLUMNS": "100", **env},
        check=False,
    )


@pytest.fixture
def failing(tmp_path: Path) -> Path:
    """A design that can be drawn and fails: the detent is higher than the play."""
    file = tmp_path / "failing.toml"
    text = SENSOR.read_text("utf-8").replace("dwell_deg = 0", "detent = { height = 0.5 }")
    file.write_text(text, "utf-8")
    return file


@pytest.fixture
def refused(tmp_path: Path) -> Path:
    file = tmp_path / "refused.toml"
    file.write_text(SENSOR.read_text("utf-8").replace("wall", "wal"), "utf-8")
    return file


def test_new_check_make(tmp_path: Path) -> None:
    file, out = tmp_path / "v.toml", tmp_path / "deep" / "out"
    assert run("new", file).returncode == 0
    again = run("new", file)
    assert again.returncode == 2
    assert "exists already" in again.stderr
    checked = run("check", file)
    assert checked.returncode == 0
    assert "Nothing fails" in checked.stdout
    made = run("make", file, "--out", out)
    assert made.returncode == 0, made.stderr
    assert (out / "socket.step").exists()
    assert "socket.3mf" in made.stdout
    assert not list(out.parent.glob(".*")), "nothing temporary stays"


def test_a_failing_design_is_written_marked_and_ends_with_1(failing: Path, tmp_path: Path) -> None:
    assert run("check", failing).returncode == 1
    out = tmp_path / "out"
    made = run("make", failing, "--out", out)
    assert made.returncode == 1
    assert "This design fails" in made.stdout
    assert b"FAIL" in (out / "socket.step").read_bytes()[:400]
    assert b"FAIL" in (out / "socket.stl").read_bytes()[:80]
    assert json.loads((out / "findings.json").read_text("utf-8"))["verdict"] == "fail"


def test_bad_input_ends_with_2_and_writes_nothing(refused: Path, tmp_path: Path) -> None:
    for command in (["check", refused], ["make", refused, "--out", tmp_path / "out"]):
        done = run(*command)
        assert done.returncode == 2
        assert "did you mean wall?" in done.stderr
        assert f"{refused}:" in done.stderr
        assert "Traceback" not in done.stderr
    assert not (tmp_path / "out").exists()


def test_json_is_json_in_every_case(failing: Path, refused: Path) -> None:
    good = json.loads(run("check", SENSOR, "--json").stdout)
    assert good["verdict"] == "look"
    assert all({"code", "verdict", "message"} <= set(row) for row in good["findings"])
    assert json.loads(run("check", failing, "--json").stdout)["verdict"] == "fail"
    bad = json.loads(run("check", refused, "--json").stdout)
    assert bad["verdict"] == "bad input"
    assert bad["problems"][0]["field"] == "socket.wal"


def test_no_colour_where_it_is_not_wanted() -> None:
    assert "\x1b[" not in run("check", SENSOR).stdout, "not a terminal"
    refused = run("check", SENSOR, FORCE_COLOR="1", NO_COLOR="1").stdout
    assert not any(f"\x1b[{colour}m" in refused for colour in range(30, 38))
    assert "\x1b[33m" in run("check", SENSOR, FORCE_COLOR="1").stdout


def test_schema_is_a_schema() -> None:
    assert json.loads(run("schema").stdout)["title"] == "bayonet design file"


@pytest.mark.parametrize(
    "arguments", [["make", SENSOR], ["check"], ["nonsense"], ["check", "none"]]
)
def test_misuse_ends_with_2(arguments: list[object]) -> None:
    done = run(*arguments)
    assert done.returncode == 2
    assert done.stderr
    assert "Traceback" not in done.stderr


def test_a_folder_that_cannot_be_written_ends_with_2(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("x")
    done = run("make", SENSOR, "--out", tmp_path / "file")
    assert done.returncode == 2
    assert "not a folder" in done.stderr


def test_the_facade_is_what_it_says() -> None:
    for name in bayonet.__all__:
        assert getattr(bayonet, name) is not None
    public = {name for name in vars(bayonet) if not name.startswith("_")}
    modules = {name for name in public if type(getattr(bayonet, name)).__name__ == "module"}
    # `tables` is a room of its own that is offered as it is
    assert public - modules - {"annotations", "TYPE_CHECKING", "Any"} | {"tables"} == set(
        bayonet.__all__
    )


@pytest.mark.parametrize(
    ("arguments", "expected"),
    [
        (["ring", "118"], "21.895"),  # AS568-118: 0.862 in
        (["groove", "22.34", "3.6", "26.2"], "AS568-118"),
        (["gland", "2.62"], "2.06 to 2.11"),  # chart a: 0.081 to 0.083 in
        (["gland", "2.62", "--face"], "19 to 29"),  # chart b, static axial
        (["fit", "25", "H7/g6"], "41"),  # printed clearance 7 to 41 um
        (["fit", "50", "H7"], "25"),  # ISO 286-2
        (["general", "25"], "0.2"),  # ISO 2768-1 m
        (["elastomer", "NBR"], "121"),
        (["gap", "1.0", "--section", "3.53"], "0.254"),  # to 500 psi a section of 0.139: 0.010 in
        (["gap", "1.0"], "0.203"),  # section of 0.070 in: 0.008 in
    ],
)
def test_tables(arguments: list[str], expected: str) -> None:
    shown = run("table", *arguments, COLUMNS="160")
    assert shown.returncode == 0, shown.stderr
    assert expected in shown.stdout
    rows = json.loads(run("table", *arguments, "--json").stdout)
    assert rows
    assert all(isinstance(row, dict) for row in rows)


@pytest.mark.parametrize(
    "arguments",
    [["ring", "999"], ["groove", "30", "3", "20"], ["gland", "2.16"], ["fit", "600", "H7"],
     ["fit", "50", "Q7"], ["general", "0.1"], ["elastomer", "cheese"], ["gap", "50"]],
)  # fmt: skip
def test_tables_never_guess(arguments: list[str]) -> None:
    refused = run("table", *arguments)
    assert refused.returncode == 2
    assert "error: " in refused.stderr
    assert "Traceback" not in refused.stderr
