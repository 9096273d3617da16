"""What can hurt: it fails, and stands first on screen, page, picture and file."""

from __future__ import annotations

import json
import re
import struct
import subprocess
import sys
import zipfile
from pathlib import Path

import pypdf
import pytest
from test_findings import changed, finding, quick

import bayonet
from bayonet.parts.design import changed as with_fields

LATCH = "a latch that a spanner must lift"
PRINT = [("socket.process", "printed"), ("service.safeguard", None)]


@pytest.mark.parametrize(
    ("fields", "verdict"),
    [
        ([("service.safeguard", None)], "fail"),
        ([], "look"),
        ([("service.safeguard", None), ("service.pressure", "0.5 bar")], "look"),
        ([("service.safeguard", None), ("service.pressure", "0.51 bar")], "fail"),
        ([("service.pressure", None)], "open"),
        ([("service.safeguard", None), ("service.pressure", "900 bar")], "pass"),
        ([("service.lug_friction", None), ("service.plug_material", None)], "open"),
    ],
)
def test_what_a_hand_can_open_under_pressure(
    sensor: bayonet.Design, fields: list[tuple[str, object]], verdict: str
) -> None:
    """2014/68/EU Article 1(1): pressure equipment is above 0.5 bar; UG-35 asks for a safeguard."""
    assert finding(with_fields(sensor, fields), "handling.under_pressure").verdict == verdict


def test_a_safeguard_says_what_it_is(sensor: bayonet.Design) -> None:
    with pytest.raises(bayonet.DesignError, match="must name a vent"):
        with_fields(sensor, [("service.safeguard", "somebody stands by")])
    named = with_fields(sensor, [("service.safeguard", LATCH)])
    assert LATCH in finding(named, "handling.under_pressure").message


def test_the_headline_says_what_a_hand_can_open(sensor: bayonet.Design) -> None:
    (line,) = bayonet.check(with_fields(sensor, [("service.safeguard", LATCH)])).headline
    assert "flies out" in line
    assert LATCH in line
    (bare,) = bayonet.check(with_fields(sensor, [("service.safeguard", None)])).headline
    assert "No vent, latch or interlock is named" in bare
    unknown = [("service.plug_material", None), ("service.lug_friction", None)]
    (unsure,) = bayonet.check(with_fields(sensor, unknown)).headline
    assert "is open" in unsure
    assert bayonet.check(with_fields(sensor, [("service.pressure", None)])).headline == ()


@pytest.mark.parametrize("material", ["6061-T6", "PA12 SLS", "PLA", None])
def test_a_printed_socket_is_never_passed_for_pressure(
    sensor: bayonet.Design, material: str | None
) -> None:
    design = with_fields(sensor, [*PRINT, ("service.socket_material", material)])
    rows = {f.code: f for f in quick(design)}
    assert rows["print.strength"].verdict == "fail"
    assert "load.proof_test" not in rows
    without = bayonet.mended(design, rows["print.strength"])
    assert finding(without, "print.strength").verdict == "open"


@pytest.fixture(scope="module")
def printed(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """What `make` writes for a printed socket."""
    folder = tmp_path_factory.mktemp("printed")
    made = bayonet.make(with_fields(changed("level_sensor"), PRINT), folder)
    assert made.result.verdict == "fail"
    return folder


def test_a_printed_part_says_so_first_in_every_file(printed: Path) -> None:
    assert b"FIT ONLY: do not pressurise" in (printed / "socket.step").read_bytes()[:100]
    assert (printed / "socket.stl").read_bytes()[:80].startswith(b"FIT ONLY: do not pressurise")
    with zipfile.ZipFile(printed / "socket.3mf") as packed:
        model = packed.read("3D/3dmodel.model").decode("utf-8")
    assert re.search(r'<metadata name="Title">FIT ONLY: do not pressurise', model)
    assert re.search(r'<object [^>]*name="FIT ONLY: do not pressurise', model)
    said = json.loads((printed / "findings.json").read_text("utf-8"))
    assert said["headline"][0].startswith("Fit only, do not pressurise")
    page = (printed / "report.html").read_text("utf-8")
    assert page.index("Fit only, do not pressurise") < page.index("<h1>")


def test_nothing_written_of_a_printed_part_tells_to_test_it(printed: Path) -> None:
    for name in ("findings.json", "report.html"):
        text = (printed / name).read_text("utf-8").lower()
        assert "proof-test the part" not in text, name
        assert "proof-test it" not in text, name
        assert "proof-test with water" not in text, name


def test_every_page_says_it(printed: Path) -> None:
    pages = pypdf.PdfReader(printed / "tolerance_report.pdf").pages
    assert len(pages) > 3
    for page in pages:
        assert "Fit only, do not pressurise" in " ".join(page.extract_text().split())


def test_pictures_of_a_printed_part_are_not_those_of_a_machined_one(printed: Path) -> None:
    """Every sheet carries the mark: a second text in the colour of warnings, drawn as paths."""
    for name in ("developed", "fitup", "load"):
        svg = (printed / f"{name}.svg").read_text("utf-8")
        assert "FIT ONLY: do not pressurise" in svg, name
        png = (printed / f"{name}.png").read_bytes()
        assert struct.unpack(">I", png[16:20])[0] > 500


def test_the_screen_says_it_first(tmp_path: Path) -> None:
    file = tmp_path / "p.toml"
    text = (Path(__file__).parents[2] / "examples" / "level_sensor.toml").read_text("utf-8")
    file.write_text(text.replace('process = "machined"', 'process = "printed"'), "utf-8")
    done = subprocess.run(
        [sys.executable, "-m", "bayonet", "check", str(file)],
        capture_output=True, text=True, check=False,
    )  # fmt: skip
    assert done.returncode == 1
    assert done.stdout.index("Fit only, do not pressurise") < done.stdout.index("Key sizes")
