"""From the measuring sheet to the first design file: letters, sketch, answers, starting files."""

from __future__ import annotations

import math
import re
import subprocess
import sys
import tomllib
from pathlib import Path

import pytest
from click.testing import CliRunner
from pypdf import PdfReader

import bayonet
from bayonet.cli import main
from bayonet.designfile import bare_lengths, kind_of, lines_of
from bayonet.errors import UnitError
from bayonet.measuring import SEALS, answer, letters_of, sketch, starting_file
from bayonet.report.documents.sketch import sketch_svg

LETTERS = {seal: letters_of(seal) for seal in SEALS}


@pytest.mark.parametrize(
    ("seal", "units"), [("radial", "in"), ("shoulder_face", "mm"), ("nose_face", "mm")]
)
def test_an_untouched_file_fails_nothing(seal: str, units: str) -> None:
    design = bayonet.loads(starting_file(seal=seal, units=units))
    assert design.plug.ring_groove is not None
    assert design.plug.ring_groove.kind == seal
    failing = [f.code for f in bayonet.check(design).findings if f.verdict.value == "fail"]
    assert failing == []


def test_the_file_in_inches_is_the_same_part() -> None:
    """1 in = 25.4 mm (international yard and pound, 1959); four places are 1.3 um."""
    mm, inch = (bayonet.loads(starting_file(units=unit)) for unit in ("mm", "in"))
    assert inch.plug.shoulder_radius_mm == pytest.approx(mm.plug.shoulder_radius_mm, abs=2e-3)
    assert inch.plug.groove.end_mm == pytest.approx(mm.plug.groove.end_mm, abs=4e-3)
    text = starting_file(units="in")
    commented = re.findall(r"# (boss_diameter|boss_height|grip_diameter) = ([\d.]+)", text)
    assert len(commented) >= 2
    assert all(float(value) < 5.0 for _, value in commented), "an inch file's examples are inches"


@pytest.mark.parametrize("seal", SEALS)
def test_every_letter_is_in_the_file_on_its_line(seal: str) -> None:
    text = starting_file(seal=seal)
    lines, where = text.splitlines(), {".".join(map(str, p)): n for p, n in lines_of(text).items()}
    for one in LETTERS[seal]:
        if one.field in where:
            assert re.search(rf"# ([A-Z], )*{one.letter}\b", lines[where[one.field] - 1]), one


@pytest.mark.parametrize("seal", SEALS)
def test_letters_name_fields_of_the_file(seal: str) -> None:
    letters = [one.letter for one in LETTERS[seal]]
    assert len(set(letters)) == len(letters)
    for one in LETTERS[seal]:
        if one.kind == "length":
            assert kind_of(one.field) == "length", one.field


@pytest.mark.parametrize("seal", SEALS)
def test_the_sketch_shows_each_letter_once_and_measures_what_it_says(seal: str) -> None:
    plug = bayonet.loads(starting_file(seal=seal)).plug
    marks = {m.letter: m for view in sketch(plug).views for m in view.marks}
    shown = {letter[0] for letter in marks}
    wanted = {one.letter for one in LETTERS[seal]} - {"N"}
    absent = set() if len(plug.body) > 1 else {"D", "E"}
    assert shown == wanted - absent
    spans = {k: math.dist(m.start, m.end) for k, m in marks.items() if m.end is not None}
    lug = plug.lugs[0]
    assert spans["A"] == pytest.approx(2 * plug.shoulder_radius_mm)
    assert spans["F"] == pytest.approx(2 * lug.outer_radius_mm)
    assert spans["J"] == pytest.approx(lug.bearing_depth_mm)
    assert spans["G"] == pytest.approx(
        2 * lug.outer_radius_mm * math.sin(math.radians(float(lug.half.at(lug.outer_radius_mm))))
    )
    assert spans["B"] == pytest.approx(2 * plug.body[0].radius_mm)
    if plug.ring_groove is not None:
        wide = plug.ring_groove.end_mm - plug.ring_groove.start_mm
        assert spans["M"] == pytest.approx(wide)
    assert abs(marks["Q"].arc_deg or 0.0) == plug.turn_deg
    assert (marks["Q"].arc_deg or 0.0) < 0.0, "right hand: clockwise seen from outside"
    svg = sketch_svg(sketch(plug))
    assert sorted(re.findall(r'data-letter="(\w+)"', svg)) == sorted(marks)


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_the_sheet_has_every_letter_and_its_size(tmp_path: Path, paper: str) -> None:
    """ISO 216: A4 is 210 x 297 mm; ANSI/ASME Y14.1: A, letter, is 8.5 x 11 in (from memory)."""
    out = tmp_path / "ø sheet"
    done = CliRunner().invoke(main, ["measure", "--out", str(out), "--paper", paper])
    assert done.exit_code == 0, done.output
    pages = PdfReader(out / "measuring_sheet.pdf").pages
    wide, high = (float(side) / 72.0 for side in pages[0].mediabox[2:])
    want = (210 / 25.4, 297 / 25.4) if paper == "a4" else (8.5, 11.0)
    assert (wide, high) == pytest.approx(want, abs=0.01)
    text = " ".join(page.extract_text() for page in pages)
    for one in LETTERS["radial"]:
        assert one.asks.split()[0] in text
    assert "2 arcsin(G / F)" in text
    assert "--ask" in done.output


ANSWERS = """My pump lid
calliper
moulded
machined
50
32.02 31.98 32.00
13
1.0354 in
0.9449
40 mm
10
3.5
5
22.4
16.5
3.6
unknown
5
5
unknown
unknown
62
1
3
right
0.3
"""


def test_questions_give_a_design_that_reads_and_remembers_the_unit(tmp_path: Path) -> None:
    file = tmp_path / "mine.toml"
    done = CliRunner().invoke(main, ["new", str(file), "--ask"], input=ANSWERS)
    assert done.exit_code == 0, done.output
    assert "0.9449" in done.output
    raw = tomllib.loads(file.read_text("utf-8"))
    assert raw["plug"]["body"][0]["diameter"] == {"readings": [32.02, 31.98, 32.0]}
    assert raw["plug"]["body"][1]["to_depth"] == "0.9449 in", "the unit was remembered"
    assert raw["plug"]["lugs"]["thickness"] == 3.5
    assert "lead" not in raw["plug"]["lugs"], "flat: both ends alike"
    assert "ring_section" not in raw["socket"]["seal"], "unknown: found from the groove"
    design = bayonet.loads(file.read_text("utf-8"))
    assert design.name == "My pump lid"
    assert bayonet.check(design)["seal.ring"].verdict.value == "pass"


def test_what_does_not_go_together_is_asked_again(tmp_path: Path) -> None:
    """Lugs inside the body: F is asked again, and nothing else."""
    file = tmp_path / "mine.toml"
    wrong = ANSWERS.replace("\n40 mm\n", "\n30 mm\n")
    done = CliRunner().invoke(main, ["new", str(file), "--ask"], input=f"{wrong}40\n")
    assert done.exit_code == 0, done.output
    assert "does not go together" in done.output
    assert bayonet.loads(file.read_text("utf-8")).plug.lugs[0].outer_radius_mm == 20.0


def test_what_is_needed_cannot_be_unknown(tmp_path: Path) -> None:
    given = ANSWERS.replace("\n50\n", "\nunknown\n50 +- 0.5\n", 1)
    file = tmp_path / "mine.toml"
    done = CliRunner().invoke(main, ["new", str(file), "--ask"], input=given)
    assert done.exit_code == 0, done.output
    assert "Needed." in done.output
    raw = tomllib.loads(file.read_text("utf-8"))
    assert raw["plug"]["shoulder_diameter"] == {"value": 50.0, "u": 0.2887}


@pytest.mark.parametrize("text", ["12,5", "wide", "32 +- 0", "1 2 3x", "5 furlong"])
def test_nonsense_is_no_answer(text: str) -> None:
    with pytest.raises(UnitError):
        answer(text, LETTERS["radial"][0], unit="mm")


def test_an_interrupted_dialogue_writes_nothing(tmp_path: Path) -> None:
    file = tmp_path / "mine.toml"
    done = CliRunner().invoke(main, ["new", str(file), "--ask"], input="name\n")
    assert done.exit_code != 0
    assert not file.exists()


def test_bare_numbers_are_inches_in_the_text_and_mm_in_python() -> None:
    text = starting_file().replace('units = "mm"', 'units = "in"').replace("wall = 4.0", "wall = 1")
    raw = tomllib.loads(text)
    assert dict(bare_lengths(raw))["socket.wall"] == 1.0
    inches = starting_file(units="in").replace("wall = 0.1575", "wall = 1")
    design = bayonet.loads(inches)
    assert design.socket.wall_mm == 25.4
    assert design.with_({"socket.wall": 5.0}).socket.wall_mm == 5.0
    assert bayonet.loads(design.with_({"socket.wall": 5.0}).to_toml()).socket.wall_mm == 5.0


def test_a_name_with_a_blank_is_told_as_it_must_be_typed(tmp_path: Path) -> None:
    file = tmp_path / "mein ventil é.toml"
    command = [sys.executable, "-m", "bayonet", "new", str(file)]
    done = subprocess.run(command, capture_output=True, text=True, check=True)
    assert f'bayonet check "{file}"' in done.stdout


def test_answers_in_inches_stand_in_a_file_of_inches_whatever_their_unit(tmp_path: Path) -> None:
    """One mm answer among inches, readings and a rough value: none is taken for another unit."""
    file = tmp_path / "mine.toml"
    inches = ANSWERS.replace("\n50\n32.02 31.98 32.00\n13\n", "\n50 mm\n32 +- 0.1\n13\n")
    done = CliRunner().invoke(main, ["new", str(file), "--ask", "--units", "in"], input=inches)
    assert done.exit_code == 0, done.output
    text = file.read_text("utf-8")
    design = bayonet.loads(text)
    assert design.units == "in"
    assert 'units = "in"' in text
    assert design.plug.shoulder_radius_mm == 25.0
    assert design.plug.body[0].radius_mm == 16.0
    assert design.plug.lugs[0].outer_radius_mm == 20.0
    assert design.socket.wall_mm == pytest.approx(4.0, abs=1e-3)
