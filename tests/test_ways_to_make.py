"""Ways to make a socket: what is recommended is made, tried cutters, written files, bad lists."""

from __future__ import annotations

import json
import math
from pathlib import Path

import pytest
from click.testing import CliRunner

import bayonet
from bayonet.checks import Ways, best_cutter, chosen_of, compare_ways, way_of
from bayonet.cli import main
from bayonet.jobs.shelf import read
from bayonet.parts.design import changed

EXAMPLES = Path(__file__).parents[1] / "examples"
HEAD = "diameter,thickness,neck_diameter,reach,end_mill"


@pytest.fixture(scope="module")
def sensor_ways() -> Ways:
    return compare_ways(bayonet.load(EXAMPLES / "level_sensor.toml"))


def test_the_sensors_ring_is_recommended(sensor_ways: Ways) -> None:
    """No disc leaves its ramp; eroded it has one thing to look at, as a ring none."""
    by_name = {way.name: way for way in sensor_ways.ways}
    assert not by_name["one piece, disc cutter"].is_made
    assert by_name["one piece, disc cutter"].bearing == pytest.approx(8.2 / 106.7, abs=0.005)
    assert by_name["one piece, eroded"].is_good
    assert [one.code for one in by_name["one piece, eroded"].looks] == ["machining.erosion"]
    best = sensor_ways.best
    assert best is by_name["ring and body"]
    assert best.bearing == pytest.approx(1.0)
    assert (best.parts, best.looks) == (2, ())
    assert best.gives_way.startswith("the screws stretch")


def test_mass_and_outside_by_hand(sensor_ways: Ways) -> None:
    """The eroded one: 50 mm by 24.5 mm; its closed form times 2.70 g/cm3 of 6061."""
    way = next(one for one in sensor_ways.ways if one.name == "one piece, eroded")
    assert (way.diameter_mm, way.height_mm) == (50.0, 24.5)
    assert way.mass_g is not None
    solid = math.pi * 25.0**2 * 24.5 * 2.70e-3
    assert 0.5 * solid < way.mass_g < solid
    from bayonet.developed import volume

    assert way.design is not None
    assert way.mass_g == pytest.approx(volume.of_socket(way.design.socket) * 2.70e-3, rel=1e-3)


def test_a_ring_larger_than_the_boss_asked_for_says_so_and_gets_its_screws() -> None:
    """10 bar on a wide ring: the screws it is compared with are those that hold."""
    way = way_of(bayonet.load(EXAMPLES / "irrigation_drain.toml"), "ring and body")
    assert way.name == "ring and body, larger boss"
    assert way.fields["socket.boss_diameter"] is None
    assert "socket.joint.thread" in way.fields
    assert not [one for one in way.failing if one.code.startswith("load.")]


def test_nothing_is_recommended_where_everything_fails(sensor_ways: Ways) -> None:
    failing = [way for way in sensor_ways.ways if not way.is_good]
    none = chosen_of(failing)
    assert none.best is None
    assert "every way fails" in none.reason


def flat() -> bayonet.Design:
    """Flat lugs on a flat roof and less turn: what a disc leaves right."""
    sensor = bayonet.load(EXAMPLES / "level_sensor.toml")
    return changed(
        sensor,
        [("socket.track.made_by", None), ("plug.lugs.lead", 0.0), ("socket.track.lead", 0.0),
         ("plug.turn_deg", 50)],
    )  # fmt: skip


def test_the_best_cutter_of_a_list(tmp_path: Path) -> None:
    """One too large for the bore, one too small for the wall, two that do: the smaller."""
    shelf = tmp_path / "shop.csv"
    shelf.write_text(f"{HEAD}\n40,3,5,14,8\n8,3,3,14,8\n14,3,4,14,8\n12.5,3,3,14,8\n", "utf-8")
    found = best_cutter(flat(), read(shelf))
    assert found is not None
    cutter, share = found
    assert cutter.radius_mm == 6.25
    assert share == pytest.approx(1.0)
    sensor = bayonet.load(EXAMPLES / "level_sensor.toml")
    assert best_cutter(sensor, read(shelf)) is None


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("diameter,thickness\n1,2\n", "needs the columns"),
        (f"{HEAD}\n12,3,13,14,8\n", "less than diameter"),
        (f"{HEAD}\n12,x,3,14,8\n-1,3,3,14,8\n", "shop.csv:3"),
        (f"{HEAD}\n", "1 to 500"),
        ("", "needs the columns"),
    ],
)
def test_bad_lists_are_refused_by_line(tmp_path: Path, text: str, told: str) -> None:
    shelf = tmp_path / "shop.csv"
    shelf.write_text(text, "utf-8")
    with pytest.raises(bayonet.DesignError, match=told):
        read(shelf)


def test_the_command_writes_the_chosen_way(
    tmp_path: Path, sensor_ways: Ways, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The comparison itself is the fixture's."""
    monkeypatch.setattr("bayonet.checks.compare_ways", lambda *_, **__: sensor_ways)
    target = tmp_path / "chosen.toml"
    source = EXAMPLES / "level_sensor.toml"
    ran = CliRunner().invoke(main, ["ways", str(source), "--write", str(target), "--json"])
    assert ran.exit_code == 0, ran.output
    data = json.loads(ran.stdout)
    assert data["recommended"] == "ring and body"
    design = bayonet.load(target)
    assert design.socket.joint is not None
    assert design.spec.socket.track.made_by == "cutter"
    assert "# A level sensor" in target.read_text("utf-8")
    again = CliRunner().invoke(main, ["ways", str(source), "--write", str(target)])
    assert again.exit_code == 2
