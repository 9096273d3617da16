"""From files and options to findings, a map and pictures; the tank is a plain mesh here."""

from __future__ import annotations

import json
import struct
from pathlib import Path

import numpy as np
import pytest
import trimesh
from click.testing import CliRunner

import bayonet
from bayonet.checks.tank import surroundings as judge
from bayonet.cli import main
from bayonet.errors import ScanError, TankError
from bayonet.findings import Finding, Verdict
from bayonet.jobs import surroundings
from bayonet.report.sheets import clockings
from bayonet.report.sheets import surroundings as sheet
from bayonet.shapes.mesh import TriangleMesh
from bayonet.surroundings.picture_scene import Scene
from bayonet.tank.placement import frame_at
from bayonet.tank.surroundings import AroundWishes, Clearances, RoundPart

FRAME = frame_at((0, 0, 20), (0, 0, 1))
KNOB = (RoundPart(from_mm=0.0, to_mm=30.0, from_radius_mm=25.0, to_radius_mm=25.0),)


def tank() -> TriangleMesh:
    """A slab, its top 20 mm under the mouth."""
    box = trimesh.creation.box(extents=(300, 300, 10))
    return TriangleMesh(vertices=np.array(box.vertices) - np.array([0, 0, 5.0]),
                        triangles=np.array(box.faces), chord_mm=0.0)  # fmt: skip


def write(path: Path, *meshes: trimesh.Trimesh, scale: float = 1.0) -> Path:
    corners = np.concatenate([m.triangles for m in meshes]) * scale
    record = np.zeros(len(corners), dtype=[("n", "<f4", 3), ("c", "<f4", (3, 3)), ("a", "<u2")])
    record["c"] = corners
    path.write_bytes(b" " * 80 + struct.pack("<I", len(corners)) + record.tobytes())
    return path


def post(x: float, y: float = 0.0, height: float = 200.0) -> trimesh.Trimesh:
    made = trimesh.creation.box(extents=(10, 10, height))
    made.apply_translation([x, y, 20 + height / 2])
    return made


def look(sensor: bayonet.Design, clock_deg: float = 0.0, **wishes: object
         ) -> tuple[Clearances, Scene, dict[str, Finding]]:  # fmt: skip
    asked = AroundWishes(**{"tilt_deg": 0.0, **wishes})
    inputs = surroundings.read(sensor, asked)
    frame = frame_at((0, 0, 20), (0, 0, 1), clock_deg=clock_deg)
    found, shown = surroundings.clearances(inputs, asked, frame=frame, tank=tank(), boss_mm=25.0,
                                     proud_mm=20.0, clock_deg=clock_deg)  # fmt: skip
    return found, shown, {one.code: one for one in judge.findings(found)}


def test_one_post_beside_the_knob(sensor: bayonet.Design, tmp_path: Path) -> None:
    """By hand: face of the post at 40 mm, knob 25, fingers 50: 15 mm, and 10 mm inside them."""
    scan = write(tmp_path / "post.stl", post(45.0))
    found, shown, rows = look(sensor, files=(str(scan),), envelope=KNOB, hand="fingers",
                              tilt_deg=8.0)  # fmt: skip
    for body in ("insertion", "turn", "seated"):
        row = rows[f"clearance.surroundings.{body}"]
        assert (row.verdict, row.value) == (Verdict.PASS, pytest.approx(15.0, abs=2e-3))
    hand = rows["clearance.surroundings.hand"]
    assert hand.verdict is Verdict.FAIL
    assert hand.value == pytest.approx(-18.0, abs=2e-2)  # the hand above the fingers is 58
    assert rows["clearance.surroundings.tank"].value == pytest.approx(20.0, abs=2e-3)
    assert min(s.distance_mm for s in found.steps) == pytest.approx(15.0, abs=0.05)
    assert found.map is not None
    assert found.map.distance_mm[0][0] == pytest.approx(-18.0, abs=0.3)
    for name in ("a", "b"):
        sheet.write(found, shown, name="x", svg=tmp_path / f"{name}.svg",
                    png=tmp_path / f"{name}.png")  # fmt: skip
        clockings.write(found, name="x", up="the tank's +X", clock_deg=0.0,
                         svg=tmp_path / f"{name}m.svg", png=tmp_path / f"{name}m.png")  # fmt: skip
    for kind in (".svg", ".png", "m.svg", "m.png"):
        assert (tmp_path / f"a{kind}").read_bytes() == (tmp_path / f"b{kind}").read_bytes()


def test_a_connector_clears_at_some_clockings_and_the_proposal_holds(
    sensor: bayonet.Design, tmp_path: Path
) -> None:
    """A valve's own mesh, a connector to +x at lock, a post on its way; the proposal is tried."""
    head = trimesh.creation.cylinder(radius=17.0, height=30.0, sections=24)
    head.apply_translation([0, 0, 15])
    plug = trimesh.creation.box(extents=(40.0, 12.0, 12.0))
    plug.apply_translation([30.0, 0, 20.0])
    valve = write(tmp_path / "valve.stl", head, plug)
    scan = write(tmp_path / "post.stl", post(50.0))
    words = {"files": (str(scan),), "valve": str(valve), "tilt_deg": 0.0}
    found, _, rows = look(sensor, **words)
    assert rows["clearance.surroundings.seated"].verdict is Verdict.FAIL
    assert found.map is not None
    assert found.map.depends_on_clock
    (row,) = found.map.distance_mm
    good = [value >= 5.0 for value in row]
    assert any(good)
    assert not all(good)
    assert found.proposals
    best = found.proposals[0]
    assert f"--clock {best.clock_deg:g}" in rows["clearance.surroundings.seated"].change
    _, _, again = look(sensor, clock_deg=best.clock_deg, **words)
    for body in ("insertion", "turn", "seated"):
        assert again[f"clearance.surroundings.{body}"].verdict is Verdict.PASS, best


def test_nothing_given_is_open_and_the_plug_alone_is_no_pass(
    sensor: bayonet.Design, tmp_path: Path
) -> None:
    assert judge.nothing_given()[0].verdict is Verdict.OPEN
    scan = write(tmp_path / "far.stl", post(140.0))
    _, _, rows = look(sensor, files=(str(scan),))
    assert rows["clearance.surroundings.seated"].verdict is Verdict.LOOK
    assert "--valve" in rows["clearance.surroundings.seated"].change
    assert rows["clearance.surroundings.hand"].verdict is Verdict.OPEN


def test_units_step_and_points(sensor: bayonet.Design, tmp_path: Path) -> None:
    """The same post in inches, and as bare points, is as near; points are marked."""
    inch = write(tmp_path / "inch.stl", post(45.0), scale=1 / 25.4)
    _, _, rows = look(sensor, files=(str(inch),), unit="in", envelope=KNOB)
    assert rows["clearance.surroundings.seated"].value == pytest.approx(15.0, abs=2e-3)
    cloud = tmp_path / "cloud.xyz"
    grid = np.stack(np.meshgrid([40.0], np.linspace(-5, 5, 11), np.linspace(20, 90, 71)), -1)
    np.savetxt(cloud, grid.reshape(-1, 3), fmt="%.4f")
    _, _, rows = look(sensor, files=(str(cloud),), envelope=KNOB)
    assert rows["clearance.surroundings.seated"].value == pytest.approx(15.0, abs=2e-3)
    assert rows["clearance.surroundings"].verdict is Verdict.LOOK


@pytest.mark.parametrize(
    ("wishes", "words"),
    [
        ({"files": ("missing.stl",)}, "missing.stl"),
        ({"hand": "tentacle"}, "fingers"),
        ({"hand": "own"}, "own_hand"),
        ({"valve": "missing.step"}, "missing.step"),
    ],
)
def test_bad_input_is_told(sensor: bayonet.Design, wishes: dict[str, object], words: str) -> None:
    with pytest.raises((ScanError, TankError), match=words):
        surroundings.read(sensor, AroundWishes(**wishes))


def test_bad_options_end_with_2_and_write_nothing(tmp_path: Path) -> None:
    design = Path(__file__).parents[2] / "examples" / "level_sensor.toml"
    broken = tmp_path / "scan.stl"
    broken.write_bytes(b" " * 80 + struct.pack("<I", 1000) + b"\0" * 100)
    for options in (["--around", str(broken)], ["--envelope", "56y20"], ["--hand", "tentacle"],
                    ["--envelope", "5x5", "--valve", "v.stl"], ["--clear", "nan"]):  # fmt: skip
        out = tmp_path / "out"
        done = CliRunner().invoke(
            main, ["graft", str(design), "--tank", "t.step", "--at", "0,0,0", "--out", str(out),
                   *options])  # fmt: skip
        assert done.exit_code == 2, (options, done.output)
        assert not out.exists()


def test_the_design_file_says_the_same() -> None:
    text = (Path(__file__).parents[2] / "examples" / "level_sensor.toml").read_text("utf-8")
    rows = """
[graft.around]
files = ["room.stl"]
clear = "0.25 in"
envelope = [{ diameter = 50, to_height = 12 }, { diameter = 34, from_height = 12, to_height = 40 }]
arms = [{ reach = 60, width = 18, from_height = 20, to_height = 38, at_deg = 90 }]
hand = "own"
[graft.around.own_hand]
parts = [{ name = "key", from_height = 0, to_height = 20, reach = 80, width = 10 }]
free = false
"""
    asked = bayonet.loads(text + rows).spec.graft.around.wishes()
    assert asked.clear_mm == pytest.approx(6.35)
    assert [part.to_radius_mm for part in asked.envelope] == [25.0, 17.0]
    assert asked.own_hand is not None
    assert not asked.own_hand.free
    with pytest.raises(bayonet.DesignError, match="to_height"):
        bayonet.loads(text + rows.replace("to_height = 12", "to_height = 0"))


def test_json_holds_no_machine_path(sensor: bayonet.Design, tmp_path: Path) -> None:
    from dataclasses import asdict

    scan = write(tmp_path / "post.stl", post(45.0))
    found, _, _ = look(sensor, files=(str(scan),), envelope=KNOB, tilt_deg=0.0)
    assert str(tmp_path) not in json.dumps(asdict(found))


def test_a_valve_of_bare_points_is_refused(sensor: bayonet.Design, tmp_path: Path) -> None:
    file = tmp_path / "valve.xyz"
    np.savetxt(file, np.random.default_rng(1).random((300, 3)) * 30.0)
    with pytest.raises(ScanError, match="bare points"):
        surroundings.read(sensor, AroundWishes(valve=str(file)))
