"""The report: figures of findings.json, one file that needs nothing, pages of both sizes."""

from __future__ import annotations

import json
import re
from html.parser import HTMLParser
from typing import Any

import pypdf
import pytest

import bayonet
from bayonet.jobs.design import Made
from bayonet.report.documents import html, pdf, tolerance_report
from bayonet.report.documents.blocks import Grid, Report

NAMES = ["level_sensor", "irrigation_drain", "brewery_vent"]


class Reader(HTMLParser):
    """Collects words and what the page would fetch."""

    def __init__(self) -> None:
        super().__init__()
        self.words: list[str] = []
        self.fetched: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        del tag
        self.fetched += [v or "" for k, v in attrs if k in ("src", "href", "data", "srcset")]

    def handle_data(self, data: str) -> None:
        self.words.append(data)


@pytest.fixture
def report(sensor: bayonet.Design) -> Report:
    return tolerance_report.tolerance_report(bayonet.check(sensor))


@pytest.mark.parametrize("name", NAMES)
def test_the_page_needs_nothing_and_says_what_the_findings_say(
    made: dict[str, Made], name: str
) -> None:
    text = (made[name].folder / "report.html").read_text("utf-8")
    reader = Reader()
    reader.feed(text)
    assert reader.fetched
    assert all(one.startswith("data:image/svg+xml;base64,") for one in reader.fetched)
    assert "<script" not in text
    words = " ".join(reader.words)
    said = json.loads((made[name].folder / "findings.json").read_text("utf-8"))
    for finding in said["findings"]:
        assert finding["message"] in words, finding["code"]
    for row in said["socket_dimensions"]:
        if row["half_width"]:
            assert f"{row['value']:.{3 if row['unit'] == 'mm' else 2}f}" in words
    for line in (*said["assumptions"], *said["cautions"]):
        assert line in words


@pytest.mark.parametrize("name", NAMES)
def test_every_chain_is_in_the_json_with_its_figures(made: dict[str, Made], name: str) -> None:
    said = json.loads((made[name].folder / "findings.json").read_text("utf-8"))["tolerance"]
    study = made[name].result.study
    assert said["joint_yield"] == pytest.approx(study.joint_yield, abs=1e-9)
    for row, one in zip(said["chains"], study.figures, strict=True):
        assert row["nominal"] == pytest.approx(one.nominal, abs=1e-9)
        assert row["worst_case"] == pytest.approx([one.worst.low, one.worst.high], abs=1e-9)
        assert row["outside"]["share"] == pytest.approx(one.out.value, abs=1e-9)
        assert row["contributors"][0]["key"] == one.first.contributors[0].key


@pytest.mark.parametrize(("paper", "box"), [("a4", (595.28, 841.89)), ("letter", (612.0, 792.0))])
def test_pages_of_both_sizes_and_the_same_bytes(
    report: Report, paper: pdf.Paper, box: tuple[float, float]
) -> None:
    """A4 is 210 x 297 mm (ISO 216), Letter 8.5 x 11 in (ANSI/ASME Y14.1)."""
    made = pdf.pages(report, paper=paper)
    sizes = {
        tuple(float(x) for x in found.split())
        for found in re.findall(rb"/MediaBox\s*\[0 0 ([\d.]+ [\d.]+)\]", made)
    }
    assert made.startswith(b"%PDF")
    assert len(sizes) == 1
    assert sizes.pop() == pytest.approx(box, abs=0.01)
    assert pdf.pages(report, paper=paper) == made


def test_odd_names_are_set_as_they_are(sensor: bayonet.Design) -> None:
    """What means something to the typesetter or to a browser stays plain text."""
    odd = 'A <b>#let x = 1</b> & $a_b$ *[@]* "q" \\ ~ `c` // /* -- 100 %'
    from bayonet.parts.design import changed

    found = tolerance_report.tolerance_report(
        bayonet.check(changed(sensor, [("design.name", odd)]))
    )
    assert pdf.pages(found).startswith(b"%PDF")
    reader = Reader()
    reader.feed(html.page(found))
    assert any(odd in words for words in reader.words)


def test_rows_that_do_not_pass_stand_out(sensor: bayonet.Design) -> None:
    from bayonet.parts.design import changed

    weak = changed(sensor, [("socket.clearance.axial", 0.02)])
    found = tolerance_report.tolerance_report(bayonet.check(weak))
    grids = [b for b in found.blocks if isinstance(b, Grid)]
    (matters,) = [g for g in grids if g.head[0] == "quantity"]
    names = {matters.rows[n][0]: matters.rows[n][-1] for n in matters.bold}
    assert names == {"axial play at lock": "fail"}


# ---- what the page says ----------------------------------------------------------------------


class Rows(HTMLParser):
    """Cells of every table row."""

    def __init__(self) -> None:
        super().__init__()
        self.rows: list[list[str]] = []
        self.inside = False

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        del attrs
        if tag == "tr":
            self.rows.append([])
        self.inside = tag in ("td", "th")
        if self.inside:
            self.rows[-1].append("")

    def handle_endtag(self, tag: str) -> None:
        del tag
        self.inside = False

    def handle_data(self, data: str) -> None:
        if self.inside:
            self.rows[-1][-1] += data


def number_in(text: str) -> float | None:
    """The number a margin's cell begins with."""
    found = re.match(r"[+-]?\d+(\.\d+)?(?= |$)", text)
    return float(found.group()) if found else None


def said_margin(row: dict[str, Any]) -> bool:
    return row["margin"] is not None and row["unit"] not in ("", "wrong ways round")


@pytest.mark.parametrize("name", NAMES)
def test_each_row_of_the_page_is_a_finding_of_the_json(made: dict[str, Made], name: str) -> None:
    """Verdict, message, margin with its sign, source: cell by cell, by the test's own reading."""
    page = Rows()
    page.feed((made[name].folder / "report.html").read_text("utf-8"))
    (start,) = [n for n, row in enumerate(page.rows) if row[:3] == ["", "about", "result"]]
    said = json.loads((made[name].folder / "findings.json").read_text("utf-8"))["findings"]
    rows = page.rows[start + 1 : start + 1 + len(said)]
    for cells, row in zip(rows, said, strict=True):
        verdict, _, message, margin, source = cells
        assert verdict == row["verdict"]
        assert message.startswith(row["message"].rstrip(".") + ".")
        assert (row["change"] in message) or not row["change"]
        assert source == row["source"]
        if not said_margin(row):
            assert margin == "", row["code"]
            continue
        shown = number_in(margin)
        assert shown is not None, (row["code"], margin)
        assert shown == pytest.approx(row["margin"], rel=0.006, abs=1e-9), row["code"]
        assert margin.endswith(row["unit"]) or row["unit"] == "-"


@pytest.mark.parametrize("name", NAMES)
def test_the_pages_say_every_finding(made: dict[str, Made], name: str) -> None:
    """Text read back from the PDF by a library that knows nothing of this one."""
    folder = made[name].folder
    pages = pypdf.PdfReader(folder / "tolerance_report.pdf").pages
    text = squeezed(" ".join(page.extract_text() for page in pages))
    for row in json.loads((folder / "findings.json").read_text("utf-8"))["findings"]:
        assert squeezed(row["message"])[:60] in text, row["code"]


def squeezed(text: str) -> str:
    """Without spaces and line breaks, which the setting of a page may put anywhere."""
    return re.sub(r"\s+", "", text)


ODD = {
    "a power of ten": r"\d[eE][+-]\d",
    "two full stops": r"[^.]\.\.(?!\.)",
    "one number as a range": r"(?<![\d.])(\d+(?:\.\d+)?) to \1(?![\d.]) on the (?:lugs|ring)",
    "a mark twice": r"\(from memory\)[^;,]{0,3}\(from memory\)",
    "none as a number": r"less than none",
    "a word of another vocabulary": r"\b(FAILS|not evaluated|warning:)",
}


@pytest.mark.parametrize("what", ODD)
@pytest.mark.parametrize("name", NAMES)
def test_no_page_says_anything_odd(made: dict[str, Made], name: str, what: str) -> None:
    reader = Reader()
    reader.feed((made[name].folder / "report.html").read_text("utf-8"))
    words = " ".join(one for one in reader.words if "{" not in one)
    assert not re.findall(ODD[what], words)


def test_a_negative_margin_keeps_its_sign(sensor: bayonet.Design) -> None:
    from bayonet.parts.design import changed

    weak = bayonet.check(changed(sensor, [("socket.clearance.axial", 0.02)]))
    said = {f.code: f for f in weak.findings}["motion.axial_play"]
    assert said.margin is not None
    assert said.margin < 0.0
    page = Rows()
    page.feed(html.page(tolerance_report.tolerance_report(weak)))
    (row,) = [r for r in page.rows if len(r) == 5 and r[1] == "Motion: axial play"]
    assert row[3].startswith("-")
    assert number_in(row[3]) == pytest.approx(said.margin, rel=0.006)


def test_rates_near_one_are_no_powers_of_ten() -> None:
    from bayonet.checks import ppm_text

    assert ppm_text(1e6, 1e6, 1e6) == "100 % (100 to 100)"
    assert ppm_text(995_000.0, 990_000.0, 1e6) == "100 % (99 to 100)"
    assert ppm_text(1234.5, 1200.0, 1300.0) == "1234 ppm (1200 to 1300)"
