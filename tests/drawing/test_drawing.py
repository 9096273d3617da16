"""The drawing: everything can be read, says what the record says, and is sound as DXF."""

from __future__ import annotations

import io
import math
import re
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import ezdxf
import pytest
from conftest import EXAMPLES
from drawing.legible import faults

import bayonet
from bayonet.dimensions import Record, figure
from bayonet.drawing import Drawing, dxf, pages
from bayonet.drawing.symbols import size_text, zone_text
from bayonet.errors import DesignError
from bayonet.jobs import draw as job

_LEFT = ("plug.hand", "left")


@dataclass(frozen=True)
class Made:
    """A drawing with what it was made from."""

    result: bayonet.Result
    record: Record
    drawing: Drawing
    doc: Any
    strokes: pages.Strokes


def _made(design: bayonet.Design, **how: Any) -> Made:
    result = bayonet.check(design.with_({"production.samples": 8192}))
    how = {"paper": "a3", "projection": "first", "inch": False, **how}
    record, drawing = job.drawn(result, **how)
    doc = dxf.document(drawing)
    return Made(result, record, drawing, doc, pages.strokes_of(doc, drawing))


@pytest.fixture(scope="module")
def sensor_made() -> Made:
    return _made(bayonet.load(EXAMPLES / "level_sensor.toml"))


@pytest.fixture(scope="module")
def drain_made() -> Made:
    return _made(bayonet.load(EXAMPLES / "irrigation_drain.toml"), paper="tabloid", inch=True)


@pytest.fixture(scope="module")
def both(sensor_made: Made, drain_made: Made) -> tuple[Made, Made]:
    return sensor_made, drain_made


def _words(made: Made) -> list[str]:
    return [word.text for word in made.strokes.texts]


def test_everything_can_be_read(both: tuple[Made, Made]) -> None:
    for made in both:
        assert not list(faults(made.strokes, made.drawing))


def test_a_fault_is_found(sensor_made: Made) -> None:
    """The reader's own check: a word put on another one, and one off the sheet."""
    strokes = pages.Strokes(lines=sensor_made.strokes.lines, filled=[],
                            texts=list(sensor_made.strokes.texts))  # fmt: skip
    first = strokes.texts[0]
    strokes.texts.append(pages.DrawnText(text="X", x=first.x, y=first.y, height=2.0,
                                         turned_deg=0.0))  # fmt: skip
    strokes.texts.append(pages.DrawnText(text="X", x=-50.0, y=0.0, height=3.0, turned_deg=0.0))
    found = " ".join(faults(strokes, sensor_made.drawing))
    assert "on" in found
    assert "2.00 mm high" in found
    assert "off the sheet" in found


def test_every_dimension_stands_on_a_view_and_in_the_table(both: tuple[Made, Made]) -> None:
    for made in both:
        words = _words(made)
        inch = made is both[1]
        for one in made.record.dimensions:
            assert one.number in made.drawing.shown, one.key
            assert str(one.number) in words
            assert any(figure(one, inch=inch) in word for word in words), one.key
        for control in made.record.controls:
            assert str(control.number) in words
            assert any(zone_text(control) in word for word in words)


def test_true_dimensions_measure_what_the_record_says(both: tuple[Made, Made]) -> None:
    """Geometry drawn from the solid's own numbers, texts from the record: they must agree."""
    for made in both:
        inch = made is both[1]
        texts = {size_text(one, inch=inch): one for one in made.record.dimensions}
        texts |= {size_text(one, inch=False): one for one in made.record.dimensions}
        found = set()
        for entity in made.doc.modelspace().query("DIMENSION"):
            one = texts[entity.dxf.text]
            measured = entity.dxf.actual_measurement
            if entity.dimtype == 5 or entity.dimtype == 2:
                measured = math.degrees(measured)
            assert measured == pytest.approx(one.nominal, abs=2e-6), one.key
            found.add(one.number)
        assert len(found) >= 12


def test_linear_dimensions_span_their_size_in_the_model(sensor_made: Made) -> None:
    """The file is at part size: the points of a linear dimension are as far apart as it says."""
    record = sensor_made.record
    bore = record.find("track_bore_diameter")
    assert bore is not None
    text = size_text(bore, inch=False)
    entity = next(e for e in sensor_made.doc.modelspace().query("DIMENSION") if e.dxf.text == text)
    apart = math.dist(entity.dxf.defpoint2, entity.dxf.defpoint3)
    assert apart == pytest.approx(32.2, abs=1e-6)


def test_sound_and_the_same_bytes(sensor_made: Made) -> None:
    first = dxf.text_of(sensor_made.doc)
    assert dxf.text_of(dxf.document(sensor_made.drawing)) == first
    again = ezdxf.read(io.StringIO(first.decode()))
    audit = again.audit()
    assert not audit.errors
    assert not audit.fixes
    assert again.dxfversion >= "AC1024"  # R2010
    assert again.units == 4  # mm
    kinds = {entity.dxf.layer for entity in again.modelspace()}
    assert {"OUTLINE", "HIDDEN", "CENTRE", "HATCH", "DIMENSION", "TOLERANCE", "FRAME"} <= kinds
    assert again.linetypes.get("HIDDEN").pattern_tags.tags
    strokes = pages.strokes_of(dxf.document(sensor_made.drawing), sensor_made.drawing)
    svg = pages.svg_of(sensor_made.strokes, sensor_made.drawing)
    assert pages.svg_of(strokes, sensor_made.drawing) == svg


def test_pdf_says_the_same(sensor_made: Made) -> None:
    import pypdf

    data = pages.pdf_of(sensor_made.strokes, sensor_made.drawing, title='A "title" \\ of it')
    reader = pypdf.PdfReader(io.BytesIO(data))
    assert len(reader.pages) == len(sensor_made.drawing.sheets)
    text = re.sub(r"\s+", "", " ".join(page.extract_text() for page in reader.pages))
    for one in sensor_made.record.dimensions:
        assert re.sub(r"\s+", "", figure(one, inch=False)) in text, one.key
    width = float(reader.pages[0].mediabox.width) / 72.0 * 25.4
    assert width == pytest.approx(420.0, abs=0.1)  # A3 (ISO 216)


def test_the_report_has_the_drawing_s_numbers(both: tuple[Made, Made]) -> None:
    from bayonet.report.documents import tolerance_report
    from bayonet.report.documents.blocks import Grid

    for made in both:
        report = tolerance_report.tolerance_report(made.result)
        (grid,) = [b for b in report.blocks if isinstance(b, Grid) and b.head[1] == "dimension"]
        told = {row[0]: row[1] for row in grid.rows if row[0]}
        for key, words in (("sealing_bore_diameter", "sealing bore"),
                           ("track_roof_depth", "roof at the stop")):  # fmt: skip
            one = made.record.find(key)
            assert one is not None
            assert words in told[str(one.number)]


def test_hands_differ(sensor_made: Made) -> None:
    left = _made(bayonet.load(EXAMPLES / "level_sensor.toml").with_(dict([_LEFT])))
    words = {True: " ".join(_words(sensor_made)), False: " ".join(_words(left))}
    assert "clockwise (right hand)" in words[True]
    assert "RIGHT HAND" in words[True]
    assert "locks to the right" in words[True]
    assert "counter-clockwise (left hand)" in words[False]
    assert "LEFT HAND" in words[False]
    assert "locks to the left" in words[False]
    assert not list(faults(left.strokes, left.drawing))


def test_tracks_seen_from_outside_turn_the_way_the_arrow_says(sensor_made: Made) -> None:
    """Clockwise from outside: the dashed wall lies at smaller theta than its slot, at 30 deg."""
    socket = sensor_made.result.design.socket
    assert socket.sign < 0
    wall = socket.tracks[0].outer_radius_mm
    arcs = [
        entity for entity in sensor_made.doc.modelspace().query("ARC")
        if entity.dxf.layer == "HIDDEN" and abs(entity.dxf.radius - wall) < 1e-6
    ]  # fmt: skip
    ends = [(arc.dxf.start_angle % 360.0, arc.dxf.end_angle % 360.0) for arc in arcs]
    # slot half 15.337, stop 94.478 from the file's clearances: 30 - 94.48 to 30 - 15.34
    assert any(
        a == pytest.approx(295.5225, abs=1e-3) and b == pytest.approx(14.6631, abs=1e-3)
        for a, b in ends
    )


def test_two_parts_are_not_drawn_as_one() -> None:
    class Socket:
        joint = object()

    class Design:
        socket, name = Socket(), "ring and body"

    with pytest.raises(DesignError, match="not drawn yet"):
        job.refuse_two_parts(Design())  # type: ignore[arg-type]


def test_command(tmp_path: Path) -> None:
    from click.testing import CliRunner

    from bayonet.cli import main

    vent = EXAMPLES / "brewery_vent.toml"
    done = CliRunner().invoke(main, ["draw", str(vent), "--out", str(tmp_path / "d"),
                                     "--projection", "third"])  # fmt: skip
    assert done.exit_code in (0, 1), done.output
    names = {file.name for file in (tmp_path / "d").iterdir()}
    assert {"drawing.pdf", "drawing.svg", "drawing.dxf", "manifest.json"} <= names
    assert "third angle" in (tmp_path / "d" / "drawing.svg").read_text("utf-8")
