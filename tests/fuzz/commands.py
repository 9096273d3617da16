"""Command lines broken on purpose: options, numbers, names, files of the wrong kind."""

from __future__ import annotations

import hashlib
import tempfile
from pathlib import Path

import numpy as np
from click.testing import CliRunner

from bayonet.cli import main

EXAMPLES = Path(__file__).parents[2] / "examples"
FILES = ("level_sensor.toml", "brewery_vent.toml")
COMMANDS: tuple[tuple[str, ...], ...] = (
    ("check", "D"), ("check", "D", "--json"), ("make", "D", "--out", "O"), ("new", "O"),
    ("sample", "D", "--out", "O"), ("calibrate", "D", "D", "--out", "O"),
    ("scan", "D", "--out", "O"), ("tune", "D", "--write", "D"), ("graft", "D", "--out", "O"),
    ("faces", "D", "--out", "O"), ("schema",), ("table", "ring", "118"),
    ("table", "fit", "25", "H7/g6"), ("table", "general", "25"), ("table", "gap", "1"),
    ("table", "groove", "22", "3", "26"), ("table", "gland", "2.62"), ("table", "elastomer", "NBR"),
)  # fmt: skip
OPTIONS = (
    "--chord-mm", "--paper", "--steps", "--step-mm", "--first-mm", "--profile", "--units",
    "--against", "--report", "--yield", "--cost", "--tank", "--at", "--face", "--toward", "--clock",
    "--proud", "--land", "--fillet", "--down", "--valve-bore", "--around", "--clear", "--valve",
    "--envelope", "--hand", "--travel", "--json", "--face", "--nothing", "-h",
)  # fmt: skip
VALUES = (
    "nan", "inf", "-1", "0", "1e400", "1e-200,0,0", "0,0,0", "1,2", "x", "", "D", ".", "/", "5 mm",
    "5x5,nanx3", "\u00b2", "fingers", "MISSING", "-", "a\u6f22", "9" * 400, "..", "/dev/null",
)  # fmt: skip


def broken(rng: np.random.Generator, number: int) -> list[str]:
    """Words of a command; D stands for a design, O for a place to write to."""
    words = list(COMMANDS[number % len(COMMANDS)])
    for _ in range(int(rng.integers(1, 4))):
        value = VALUES[int(rng.integers(len(VALUES)))]
        match int(rng.integers(3)):
            case 0:
                words += [OPTIONS[int(rng.integers(len(OPTIONS)))], value]
            case 1 if len(words) > 1:
                words[int(rng.integers(1, len(words)))] = value
            case _:
                words.append(value)
    if words[0] in ("make", "sample", "tune"):
        words += ["--chord-mm", "nan"]  # a sound one of these takes minutes: it must be refused
    return words


def outcome(words: list[str]) -> str:
    """Run in a folder of its own; the design there must be as it was."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        design = folder / "design.toml"
        design.write_bytes((EXAMPLES / FILES[len(words) % 2]).read_bytes())
        before = hashlib.sha256(design.read_bytes()).hexdigest()
        put = {"D": str(design), "O": str(folder / "out"), "MISSING": str(folder / "missing"),
               ".": name, "..": name, "/": name}  # fmt: skip
        done = CliRunner().invoke(main, [put.get(word, word) for word in words])
        if not design.exists() or hashlib.sha256(design.read_bytes()).hexdigest() != before:
            return "failure: an input is lost"
        if [one.name for one in folder.iterdir() if one.name.startswith(".bayonet")]:
            return "failure: leftovers"
    if done.exit_code not in (0, 1, 2):
        return f"failure: exit {done.exit_code}: {done.output[-200:]}"
    if done.exit_code == 2 and not (done.output or "").strip():
        return "failure: refused without a word"
    return {0: "taken", 1: "fails", 2: "refused"}[done.exit_code]
