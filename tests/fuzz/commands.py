"""Command lines broken on purpose: options, numbers, names, files of the wrong kind."""

from __future__ import annotations

import contextlib
import hashlib
import tempfile
from pathlib import Path

import numpy as np
from click.testing import CliRunner

from bayonet.cli import main
from fuzz import step_files

EXAMPLES = Path(__file__).parents[2] / "examples"
FILES = ("level_sensor.toml", "brewery_vent.toml")
COMMANDS: tuple[tuple[str, ...], ...] = (
    ("check", "D"), ("check", "D", "--json"), ("make", "D", "--out", "O"), ("new", "O"),
    ("sample", "D", "--out", "O"), ("calibrate", "D", "D", "--out", "O"),
    ("scan", "D", "--out", "O"), ("tune", "D", "--write", "D"), ("graft", "D", "--out", "O"),
    ("faces", "D", "--out", "O"), ("schema",), ("table", "ring", "118"),
    ("table", "fit", "25", "H7/g6"), ("table", "general", "25"), ("table", "gap", "1"),
    ("table", "groove", "22", "3", "26"), ("table", "gland", "2.62"), ("table", "elastomer", "NBR"),
    ("faces", "T", "--out", "O"), ("graft", "D", "--tank", "T", "--at", "0,0,350", "--out", "O"),
    ("graft", "D", "--tank", "T", "--at", "0,0,350", "--around", "T", "--valve", "T", "--out", "O"),
)  # fmt: skip
_LONG = 100
MOST_SECONDS = 60  # for one that builds
OPTIONS = (
    "--chord-mm", "--paper", "--steps", "--step-mm", "--first-mm", "--profile", "--units",
    "--against", "--report", "--yield", "--cost", "--tank", "--at", "--face", "--toward", "--clock",
    "--proud", "--land", "--fillet", "--down", "--valve-bore", "--around", "--clear", "--valve",
    "--envelope", "--hand", "--travel", "--json", "--face", "--nothing", "-h",
    "--patience", "--accept-damaged", "--all", "--quiet", "--explain",
)  # fmt: skip
VALUES = (
    "T", "nan", "inf", "-1", "0", "1e400", "1e-200,0,0", "0,0,0", "1,2", "x", "", "D", ".", "/",
    "5 mm", "5x5,nanx3", "\u00b2", "fingers", "MISSING", "-", "a\u6f22", "9" * 400, "..",
    "/dev/null",
)  # fmt: skip


SOUND: dict[str, tuple[tuple[str, ...], ...]] = {
    "check": (("--all",), ("--quiet",), ("--json",), ("--explain", "load.allowed")),
    "make": (("--paper", "letter"), ("--chord-mm", "0.05"), ("--quiet",), ("--json",)),
    "sample": (("--steps", "3"), ("--step-mm", "0.1"), ("--with-seal",), ("--json",)),
    "faces": (("--patience", "2"), ("--json",)),
    "graft": (("--proud", "9"), ("--clock", "20"), ("--land", "6", "3"), ("--fillet", "2"),
              ("--toward", "0,0.1,1"), ("--down", "0,0,-1"), ("--valve-bore", "18"), ("--gap", "1"),
              ("--around", "T"), ("--valve", "T"), ("--envelope", "50x20"), ("--hand", "fingers"),
              ("--travel", "30"), ("--clear", "3"), ("--json",), ("--at", "150,0,100")),
}  # fmt: skip
"""Options that a command takes: a third of the cases have nothing worse."""


def broken(rng: np.random.Generator, number: int) -> list[str]:
    """Words of a command; D stands for a design, T for a tank, O for a place to write to.

    In a long run, after `_LONG` cases, tanks are built on.
    """
    words = list(COMMANDS[number % len(COMMANDS)])
    if number // len(COMMANDS) % 3 == 2:
        pairs = SOUND.get(words[0], (("--json",),))
        for index in rng.permutation(len(pairs))[: int(rng.integers(3))]:
            words += pairs[index]
        return _bounded(words, number)
    for _ in range(int(rng.integers(1, 4))):
        value = VALUES[int(rng.integers(len(VALUES)))]
        match int(rng.integers(3)):
            case 0:
                words += [OPTIONS[int(rng.integers(len(OPTIONS)))], value]
            case 1 if len(words) > 1:
                words[int(rng.integers(1, len(words)))] = value
            case _:
                words.append(value)
    return _bounded(words, number)


def _bounded(words: list[str], number: int) -> list[str]:
    """The words, refused by their last one where building what they ask for takes long."""
    builds = words[0] in ("make", "sample", "tune", "faces", "graft")
    late = number >= _LONG and words[0] in ("faces", "graft")
    return [*words, "--chord-mm", "nan"] if builds and not late else words


def _digest(file: Path) -> str:
    return hashlib.sha256(file.read_bytes()).hexdigest() if file.exists() else "gone"


def outcome(words: list[str]) -> str:
    """Run in a folder of its own; the design there must be as it was."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        design = folder / "design.toml"
        design.write_bytes((EXAMPLES / FILES[len(words) % 2]).read_bytes())
        tank = folder / "tank.step"
        tank.write_bytes(step_files.sound("vessel"))
        before = [_digest(one) for one in (design, tank)]
        put = {"D": str(design), "T": str(tank), "O": str(folder / "out"), ".": name, "..": name,
               "MISSING": str(folder / "missing"), "/": name}  # fmt: skip
        with contextlib.chdir(folder):
            done = CliRunner().invoke(main, [put.get(word, word) for word in words])
        if [_digest(one) for one in (design, tank)] != before:
            return "failure: an input is lost"
        if [one.name for one in folder.iterdir() if one.name.startswith(".bayonet")]:
            return "failure: leftovers"
    if done.exit_code not in (0, 1, 2):
        return f"failure: exit {done.exit_code}: {done.output[-200:]}"
    if done.exit_code == 2 and not (done.output or "").strip():
        return "failure: refused without a word"
    return {0: "taken", 1: "fails", 2: "refused"}[done.exit_code]
