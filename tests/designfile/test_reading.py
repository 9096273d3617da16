"""Bad design files: every problem at once, each with line, field, value, rule and example."""

from __future__ import annotations

import math
from collections.abc import Callable
from pathlib import Path

import pytest

import bayonet
from bayonet.errors import DesignError, Problem

START = bayonet.starting_file()
EXAMPLES = Path(__file__).parents[2] / "examples"
VENT = (EXAMPLES / "brewery_vent.toml").read_text("utf-8")
DRAIN = (EXAMPLES / "irrigation_drain.toml").read_text("utf-8")
SENSOR = (EXAMPLES / "level_sensor.toml").read_text("utf-8")


def problems_of(text: str) -> tuple[Problem, ...]:
    with pytest.raises(DesignError) as caught:
        bayonet.loads(text, file="d.toml")
    return caught.value.problems


def changed(text: str, *pairs: tuple[str, str]) -> str:
    for old, new in pairs:
        assert old in text, old
        text = text.replace(old, new, 1)
    return text


def test_all_problems_come_at_once_in_the_files_order() -> None:
    text = changed(
        START,
        ('hand = "right"', 'hand = "rigth"'),
        ("shoulder_diameter = 50.0", 'shoulder_diameter = "50,0 mm"'),
        ("thickness = 3.5", "thicknes = 3.5"),
        ("width = 3.6", "width = -3.6"),
        ("wall = 4.0", "wall = { value = 4 , sigma = 1 }"),
    )
    found = problems_of(text)
    rows = text.splitlines()
    assert [p.field for p in found] == [
        "plug.hand",
        "plug.shoulder_diameter",
        "plug.lugs.thickness",
        "plug.lugs.thicknes",
        "plug.groove.width",
        "socket.wall",
    ]
    for problem in found:
        assert problem.file == "d.toml"
        assert problem.line is not None
        assert problem.rule
        assert problem.example
        if problem.field != "plug.lugs.thickness":
            assert problem.field.split(".")[-1] in rows[problem.line - 1]
    text_out = str(found[1])
    assert text_out.startswith("d.toml:")
    assert "50,0" in text_out
    assert "decimal point" in text_out


def test_an_unknown_key_suggests_the_nearest() -> None:
    (problem,) = problems_of(changed(START, ("wall = 4.0", "wal = 4.0")))
    assert "did you mean wall?" in problem.rule


@pytest.mark.parametrize(
    ("text", "field", "rule"),
    [
        (changed(START, ("width = 10.0 ", "width = 42.0 ")), "plug.lugs.count", "overlap"),
        (
            changed(DRAIN, ("{ centre_deg = 84 }", "{ centre_deg = 20 }")),
            "plug.lugs.each",
            "overlap",
        ),
        (changed(START, ("at_depth = 16.5", "at_depth = 40")), "plug.groove.at_depth", "on the body"),
        (changed(START, ("at_depth = 16.5", "at_depth = 11")), "plug.groove.at_depth", "one body step"),
        (changed(START, ("at_depth = 16.5", "at_depth = 6")), "plug.groove.at_depth", "into the lugs"),
        (changed(START, ("corner_radius = 0.3", "corner_radius = 3")), "plug.groove.corner_radius", "less"),
        (changed(START, ("turn_deg = 62", "turn_deg = 110")), "plug.turn_deg", "runs into the slot"),
        (changed(START, ("turn_deg = 62", "turn_deg = 0.2"), ("dwell_deg = 50", "dwell_deg = 0")), "plug.turn_deg", "leave the slot"),
        (
            changed(START, ("# boss_diameter = 60.0", "boss_diameter = 40.0")),
            "socket.boss_diameter",
            "no wall",
        ),
        (
            changed(START, ("# boss_height = 30.0", "boss_height = 15.0")),
            "socket.boss_height",
            "more than",
        ),
        (
            changed(START, ("squeeze = 0.20", "squeeze = 0.4")),
            "socket.seal.squeeze",
            "too deep for the ring",
        ),
        (changed(START, ("ring_section = 2.62  ", 'ring = "999"  # ')), "socket.seal.ring", "no size"),
        (changed(START, ("ring_section = 2.62  ", 'ring = "118"\nring_section = 2.62  # ')), "socket.seal", "only one of"),
        (changed(SENSOR, ('"1.4 bar"', '"1,4 bar"')), "service.pressure", "decimal point"),
        (changed(SENSOR, ("lowest_c = -20", "lowest_c = 30")), "service", "follow each other"),
        (changed(START, ("lead = 6.0                      # per turn", "lead = 60.0 #"), ("dwell_deg = 50", "dwell_deg = 0")), "socket.track.lead", "above the face"),
        (changed(START, ("outer_diameter = 40.0", "outer_diameter = 30.0")), "plug.lugs.outer_diameter", "more than"),
        (changed(START, ("outer_diameter = 40.0", "outer_diameter = 60.0")), "plug.shoulder_diameter", "cover"),
        (changed(START, ("to_depth = 24.0", "to_depth = 12.0")), "plug.body[2].to_depth", "deeper"),
        (changed(START, ("# lead = 6.0                    #", "lead = 6.0 #"), ("bearing_depth = 5.0", "bearing_depth = 0.1")), "plug.lugs.bearing_depth", "below"),
        (changed(START, ("nose_chamfer = 1.0", "nose_chamfer = 9")), "plug.nose_chamfer", "plain nose"),
        (changed(START, ('process = "machined"', 'layout = "B"\nprocess = "machined"')), "socket.layout", "makes it A"),
        (changed(SENSOR, ("dwell_deg = 0", "dwell_deg = 95")), "socket.track.dwell_deg", "room for the ramp"),
        (changed(SENSOR, ("dwell_deg = 0", "detent = { height = 20, flank_angle_deg = 20 }")), "socket.track.detent", "does not fit"),
        (changed(SENSOR, ("dwell_deg = 0", "floor_slope_deg = 60")), "socket.track.floor_slope_deg", "lead-in"),
        (changed(SENSOR, ("wall = 4.0", "wall = 4.0\npassage_diameter = 40")), "socket.passage_diameter", "larger"),
        (changed(SENSOR, ("wall = 4.0", "wall = 4.0\nmouth_chamfer = 5")), "socket.mouth_chamfer", "less than"),
        (changed(DRAIN, ("outer_diameter = 54.0", "outer_diameter = 58.1")), "plug.lugs.outer_diameter", "pass"),
        (changed(DRAIN, ("bevel_width = 5.0", "bevel_width = 20.0")), "socket.mount.weld.bevel_width", "wall"),
        (changed(DRAIN, ("land = 1.5", "land = 90"), ("boss_diameter = 84.0", "boss_diameter = 84.0\nboss_height = 50")), "socket.mount.weld.land", "need"),
        (changed(START, ("squeeze = 0.20", "bore_diameter = 31")), "socket.seal.bore_diameter", "not touch"),
        (changed(START, ("# axial = 0.45", "# "), ("# [socket.clearance]", "[socket.clearance]\nbody = 9\n# ")), "plug.lugs.outer_diameter", "leaves nothing"),
        (changed(START, ("bearing_depth = 5.0", "bearing_depth = { value = 5.0, tol = 3.0 }")), "plug.lugs.thickness", "swallow"),
        (changed(START, ("wall = 4.0", "wall = 1e308")), "socket.wall", "larger than"),
        (changed(START, ("wall = 4.0", "wall = 1" + "0" * 400)), "socket.wall", "finite"),
        (changed(START, ("count = 3 ", "count = \"3\" ")), "plug.lugs.count", "whole number"),
        (changed(START, ('name = "My valve"', 'name = "a\\u0001b"')), "design.name", "control"),
        (changed(SENSOR, ("dwell_deg = 0", "detent = { height = 0.1, flank_angle_deg = 89.9 }")), "socket.track.detent.flank_angle_deg", "at most 75"),
        (changed(DRAIN, ("lead_in_angle_deg = 15", "lead_in_angle_deg = 2")), "socket.seal.lead_in_angle_deg", "long"),
        (changed(VENT, ("overtravel_deg = 22", "overtravel_deg = 0")), "socket.stop.overtravel_deg", "clamp"),
        (changed(VENT, ('floor = "parallel"', "dwell_deg = 5")), "socket.track.dwell_deg", "no dwell"),
        (changed(VENT, ('floor = "parallel"', "detent = { height = 0.1 }")), "socket.track.detent", "axial play"),
        (changed(VENT, ("lead = 9.0", "lead = 0")), "socket.track.lead", "ramp"),
        (changed(VENT, ("diameter = 50.0", "diameter = 44.0")), "plug.groove.diameter", "outside the entry slots"),
        (changed(VENT, ("diameter = 50.0", "diameter = 65.0")), "plug.groove.diameter", "in its face"),
        (changed(VENT, ("bolt_circle = 92", "bolt_circle = 70")), "socket.mount.flange.bolt_circle", "into the boss"),
        (changed(VENT, ("bolt_circle = 92", "bolt_circle = 106")), "socket.mount.flange.bolt_circle", "out of the flange"),
        (changed(VENT, ("bolts = 6", "bolts = 36\n"), ("bolt_hole = 6.6", "bolt_hole = 8.6")), "socket.mount.flange.bolts", "each other"),
        (changed(VENT, ("thickness = 8", "thickness = 80")), "socket.mount.flange.thickness", "height"),
        (changed(VENT, ("depth = 2.0", "depth = 7.0")), "plug.groove.depth", "cut into"),
        (changed(VENT, ("count = 2", "count = 9")), "plug.lugs.count", "8"),
        (changed(VENT, ("count = 2\n", "")), "plug.lugs", "give one of count, each"),
        (changed(VENT, ("width_deg = 40", "width_deg = 40\nwidth = 3")), "plug.lugs", "only one of"),
        (changed(VENT, ("turn_deg = 95", "turn_deg = 95\nturn_fraction = 0.2")), "plug", "only one of"),
    ],
)  # fmt: skip
def test_nonsense_is_refused_by_name(text: str, field: str, rule: str) -> None:
    found = problems_of(text)
    hits = [p for p in found if p.field == field]
    assert hits, [str(p) for p in found]
    import re

    assert any(re.search(rule, p.rule) for p in hits), [str(p) for p in hits]


@pytest.mark.parametrize(
    "content",
    [
        b"",
        b"\xff\xfe",
        b"[plug",
        b"a = " + b"1" * 5000,
        b"a = " + b"[" * 5000,
        b"a = 1\na = 2\n",
        b"x" * 1_100_000,
        b"\x00\x01",
        b"plug = 3\n",
    ],
)
def test_what_is_no_design_file_is_refused(content: bytes, tmp_path: Path) -> None:
    file = tmp_path / "d.toml"
    file.write_bytes(content)
    with pytest.raises(DesignError):
        bayonet.load(file)


@pytest.mark.parametrize("make", [lambda p: p / "missing.toml", lambda p: p])
def test_what_is_no_file_is_refused(make: Callable[[Path], Path], tmp_path: Path) -> None:
    with pytest.raises(DesignError, match="cannot be read"):
        bayonet.load(make(tmp_path))


def test_windows_line_ends_and_byte_order_mark_are_fine(tmp_path: Path) -> None:
    file = tmp_path / "d.toml"
    file.write_bytes(b"\xef\xbb\xbf" + START.replace("\n", "\r\n").encode())
    assert bayonet.load(file).socket == bayonet.loads(START).socket


def test_units_and_measured_forms_mean_the_same() -> None:
    text = changed(
        START,
        ("outer_diameter = 40.0", 'outer_diameter = "4 cm"'),
        ("turn_deg = 62", 'turn_deg = { value = "62 deg" }'),
        ("ring_section = 2.62", 'ring_section = { readings = [2.61, "2.63 mm"] }'),
    )
    one, other = bayonet.loads(text).socket, bayonet.loads(START).socket
    assert one.track_radius_mm == pytest.approx(other.track_radius_mm, abs=1e-12)
    assert one.turn_deg == pytest.approx(other.turn_deg, abs=1e-9)
    assert one.seal_radius_mm == pytest.approx(other.seal_radius_mm, abs=1e-12)


def test_uncertainty_is_kept_for_later() -> None:
    spec = bayonet.loads(SENSOR).spec
    assert spec.plug.lugs.outer_diameter.u == 0.02
    assert spec.plug.body[0].diameter.readings == (31.98, 32.02, 32.0)


def test_schema_accepts_the_examples_and_refuses_a_typo() -> None:
    """Outside reference: the jsonschema library."""
    import tomllib

    import jsonschema

    from bayonet.designfile.schema import design_schema

    schema = design_schema()
    jsonschema.Draft202012Validator.check_schema(schema)
    validator = jsonschema.Draft202012Validator(schema)
    for text in (START, VENT, DRAIN, SENSOR):
        validator.validate(tomllib.loads(text))
    wrong = tomllib.loads(changed(START, ("wall = 4.0", "wal = 4.0")))
    assert not validator.is_valid(wrong)
    wrong = tomllib.loads(changed(START, ("wall = 4.0", "wall = -4.0")))
    assert not validator.is_valid(wrong)


def test_named_dimensions_by_hand() -> None:
    """Slot 30.10 deg wide, plus or minus 0.05 mm of arc at radius 20.25; 0.2 mm a side as given."""
    given = "[socket.clearance]\nlug_side = 0.2\n\n[socket.track]"
    design = bayonet.loads(changed(SENSOR, ("[socket.track]", given)))
    rows = {row.key: row for row in design.socket.dimensions()}
    width = rows["track_1_slot_width"]
    assert width.value == pytest.approx(2 * (14.4775122 + math.degrees(0.2 / 20)), abs=1e-6)
    assert width.half_width == pytest.approx(math.degrees(0.05 / 20.25))
    assert rows["track_1_stop"].value == pytest.approx(80 + 14.4775122, abs=1e-6)
    assert rows["track_1_lead"].half_width == pytest.approx(0.05)
    assert rows["track_1_centre"].half_width == pytest.approx(0.1)
    assert rows["boss_height"].value == pytest.approx(24.5)
    assert len(rows) == len(design.socket.dimensions()), "keys are unique"
