"""Exit codes, poor terminals, interrupts, pipes, crashes: the program at its edge."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import click
import pytest
from click.testing import CliRunner

from bayonet.cli import main
from bayonet.commands import boundary

ROOT = Path(__file__).parents[1]
SENSOR = ROOT / "examples" / "level_sensor.toml"


def start(*arguments: object, **env: str) -> subprocess.Popen[bytes]:
    return subprocess.Popen(
        [sys.executable, "-m", "bayonet", *map(str, arguments)],
        stdout=subprocess.PIPE, stderr=subprocess.PIPE,
        env={**os.environ, "COLUMNS": "100", **env}, cwd=ROOT,
    )  # fmt: skip


@pytest.mark.parametrize("encoding", ["cp437", "cp1252", "ascii"])
def test_any_encoding_prints(encoding: str) -> None:
    done = start("check", SENSOR, PYTHONIOENCODING=encoding, COLUMNS="0")
    out, err = done.communicate()
    assert done.returncode == 0, err
    assert "Nothing fails" in out.decode(encoding)
    assert err == b""


def test_ctrl_c_ends_with_130_and_one_line(tmp_path: Path) -> None:
    text = SENSOR.read_text("utf-8") + "\n[production]\nsamples = 100000000\n"
    long = tmp_path / "long.toml"
    long.write_text(text, "utf-8")
    # a suite run in a shell's background has Ctrl-C ignored, and its children inherit that
    before = signal.signal(signal.SIGINT, signal.default_int_handler)
    run = start("make", long, "--out", tmp_path / "out")
    signal.signal(signal.SIGINT, before)
    until = time.monotonic() + 60
    while not (tmp_path / "out").exists() and time.monotonic() < until:
        time.sleep(0.1)
    time.sleep(0.5)
    run.send_signal(signal.SIGINT)
    out, err = run.communicate(timeout=60)
    assert run.returncode == 130, err
    assert err.decode().strip() == "interrupted"
    assert out == b""
    assert not (tmp_path / "out").exists()


def test_a_closed_pipe_is_quiet() -> None:
    run = start("schema")
    assert run.stdout is not None
    assert run.stderr is not None
    run.stdout.close()
    err = run.stderr.read()
    run.stderr.close()
    assert run.wait() == 141, err
    assert err == b""


def test_a_fault_of_the_program_ends_with_70_and_a_crash_file(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    import tempfile

    monkeypatch.setattr(tempfile, "tempdir", str(tmp_path))

    @click.command()
    @click.argument("file")
    def broken(file: str) -> None:
        raise KeyError(file)

    program = boundary.Program(commands={"broken": broken})
    done = CliRunner().invoke(program, ["broken", str(SENSOR)])
    assert done.exit_code == 70
    (crash,) = tmp_path.glob("bayonet-crash-*.txt")
    assert str(crash) in done.stderr
    assert len(done.stderr.strip().splitlines()) == 1
    text = crash.read_text("utf-8")
    import hashlib

    import bayonet

    assert bayonet.__version__ in text
    assert hashlib.sha256(SENSOR.read_bytes()).hexdigest() in text
    assert "Traceback" in text


def test_help_tells_the_exit_codes() -> None:
    told = " ".join(CliRunner().invoke(main, ["--help"]).output.split())
    for words in ("0 nothing fails", "1 a finding fails", "2 bad input", "70 an error", "130"):
        assert words in told


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (["make", SENSOR, "--out", "out", "--chord-mm", "nan"], "not a finite number"),
        (["sample", SENSOR, "--out", "out", "--first-mm", "inf"], "not a finite number"),
        (["graft", SENSOR, "--out", "out", "--down", "1e-200,0,0"], "has no direction"),
        (["graft", SENSOR, "--out", "out", "--tank", "t.step", "--land", "6", "3", "--fillet", "2"],
         "only one of land, fillet"),
        (["calibrate", SENSOR, "results.csv", "--out", "results.csv"], "is also read"),
        (["scan", "scan.ply", "--out", "design.toml"], "exists already"),
        (["make", "pipe", "--out", "out"], "pipe or device"),
        (["scan", "pipe"], "pipe or device"),
        (["check", "loop"], "cannot be read"),
        (["make", os.fsdecode(b"\xff.toml"), "--out", "out"], "not UTF-8"),
        (["make", SENSOR, "--out", os.fsdecode(b"\xff")], "not UTF-8"),
    ],
)  # fmt: skip
def test_bad_words_end_with_2_at_once_and_nothing_is_lost(
    words: list[object], told: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    for name in ("results.csv", "design.toml", "scan.ply"):
        Path(name).write_text("a person's work")
    os.mkfifo("pipe")
    Path("loop").symlink_to("loop")
    done = CliRunner().invoke(main, [os.fspath(one) for one in words])  # type: ignore[call-overload]
    assert done.exit_code == 2, done.output
    assert told in done.output
    for name in ("results.csv", "design.toml", "scan.ply"):
        assert Path(name).read_text() == "a person's work"
    assert not Path("out").exists()
