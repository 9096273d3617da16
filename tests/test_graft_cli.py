"""Grafting as a person meets it: files in and out, names, colours, units, refusals."""

from __future__ import annotations

import json
import runpy
from pathlib import Path

import cadquery as cq
import numpy as np
import pytest
import tanks
import trimesh
from click.testing import CliRunner, Result

import bayonet
from bayonet.cli import main
from bayonet.solids.graft import tank

ROOT = Path(__file__).parents[1]
SENSOR = str(ROOT / "examples" / "level_sensor.toml")


def call(*arguments: object) -> Result:
    return CliRunner().invoke(main, [str(one) for one in arguments], catch_exceptions=False)


@pytest.fixture
def plant(tmp_path: Path) -> Path:
    file = tmp_path / "plant.step"
    tanks.assembly(file)
    return file


def test_assembly_keeps_names_colours_and_bytes(plant: Path, tmp_path: Path) -> None:
    for name in ("a", "b"):
        done = call("graft", SENSOR, "--tank", plant, "--at", "1000,150,60", "--out",
                    tmp_path / name)  # fmt: skip
        assert done.exit_code == 0, done.output
    for file in sorted((tmp_path / "a").iterdir()):
        assert file.read_bytes() == (tmp_path / "b" / file.name).read_bytes(), file.name
    before, after = tank.read(plant), tank.read(tmp_path / "a" / "tank_with_socket.step")
    assert [one.name for one in after.solids] == ["vessel", "bracket"]
    for old, new in zip(before.solids, after.solids, strict=True):
        assert new.colour == pytest.approx(old.colour, abs=1e-6)
    assert tank.volume_of(after.solids[1].solid) == pytest.approx(27000.0, rel=1e-9)
    assert after.solids[0].solid.BoundingBox().ymax == pytest.approx(150.0 + 22.5, abs=1e-3)
    mesh = trimesh.load(tmp_path / "a" / "tank_with_socket.stl")
    assert mesh.is_watertight
    data = json.loads((tmp_path / "a" / "graft.json").read_text("utf-8"))
    assert np.array(data["fitting_to_tank"])[:3, 3] == pytest.approx([1000, 172.5, 60], abs=1e-4)
    room = {row["code"]: row for row in data["findings"]}
    assert room["graft.other_solid"]["value"] == pytest.approx(50.0, abs=1e-3)  # 135 - 60 - 25


def test_a_face_colour_survives(tmp_path: Path) -> None:
    """A red lid on the box: still red beside its new boss."""
    solid = tanks.box()
    lid = solid.faces(">Z")
    one = tank.TankSolid(name="box", solid=solid, face_colours=((lid, (1.0, 0.0, 0.0, 1.0)),))
    from bayonet.solids.graft import join, tank_step
    from bayonet.solids.graft import spot as snap
    from bayonet.solids.kernel import step

    design = bayonet.load(SENSOR)
    whole = tank.Tank(file="", solids=(one,))
    spot = snap.spot(whole, at=(0, 0, 110), face=None)
    made = join.graft(whole, spot, design.socket, join.Wishes(), shoulder_mm=25.0)
    file = tmp_path / "t.step"
    tank_step.write(made.tank, file, head=step.StepHead(product="t", description="t"))
    (read,) = tank.read(file).solids
    ((face, colour),) = read.face_colours
    assert colour[:3] == pytest.approx((1.0, 0.0, 0.0))
    assert face.Center().z == pytest.approx(110.0)


def test_an_inch_file_is_read_in_mm(tmp_path: Path) -> None:
    file = tmp_path / "inch.step"
    tanks.in_inches(tanks.box(), file)
    assert "INCH" in file.read_text()
    (read,) = tank.read(file).solids
    assert read.solid.BoundingBox().xlen == pytest.approx(300.0, abs=1e-3)
    assert tank.volume_of(read.solid) == pytest.approx(tank.volume_of(tanks.box()), rel=1e-6)


def test_files_that_are_no_tank_end_with_2(tmp_path: Path) -> None:
    text, garbage, surface = (tmp_path / f"{name}.step" for name in ("text", "garbage", "surface"))
    text.write_text("solid of another kind")
    garbage.write_text("ISO-10303-21;\nHEADER;\nnothing\n")
    cq.exporters.export(cq.Workplane(obj=cq.Face.makePlane(10, 10)), str(surface))
    for file, words in (
        (text, "not a STEP file"),
        (garbage, "is damaged"),
        (surface, "holds no solid"),
        (tmp_path / "none.step", "cannot be read"),
    ):
        done = call("graft", SENSOR, "--tank", file, "--at", "0,0,0", "--out", tmp_path / "out")
        assert done.exit_code == 2
        assert words in done.stderr
        assert not (tmp_path / "out").exists()


def test_bad_places_end_with_2(tmp_path: Path) -> None:
    file = tmp_path / "box.step"
    cq.exporters.export(cq.Workplane(obj=tanks.box()), str(file))
    for place, words in (
        (["--at", "0,0,200"], "90.00 mm from the point"),
        (["--face", "99"], "numbered 1 to 20"),
        ([], "say where"),
        (["--at", "0,0,110", "--proud", "nan"], "not a finite number"),
        (["--at", "0,0,110", "--toward", "1,0,0"], "no outside face that looks toward"),
        (["--at", "0,0"], "three finite numbers"),
        (["--at", "0,0,110", "--toward", "0,0,0"], "no direction"),
    ):
        done = call("graft", SENSOR, "--tank", file, *place, "--out", tmp_path / "out")
        assert done.exit_code == 2
        assert words in done.stderr
        assert not (tmp_path / "out").exists()


def test_faces_are_numbered_as_graft_takes_them(tmp_path: Path) -> None:
    file = tmp_path / "box.step"
    cq.exporters.export(cq.Workplane(obj=tanks.box()), str(file))
    done = call("faces", file, "--out", tmp_path / "f", "--json")
    rows = json.loads(done.stdout)
    assert len(rows) == 20
    assert sum(row["outside"] for row in rows) == 10
    top = next(row for row in rows if row["outside"] and row["normal"][2] > 0.9)
    assert top["area_mm2"] == pytest.approx(300 * 250 - (4 - np.pi) * 30**2)
    assert {p.name for p in (tmp_path / "f").iterdir()} == {
        "faces.json", "faces.png", "faces.svg", "manifest.json",
    }  # fmt: skip


def test_the_design_file_says_where() -> None:
    text = Path(SENSOR).read_text("utf-8")
    rows = '\n[graft]\ntank = "t.step"\nat = [1.0, 2.0, 3.0]\ndown = [0.0, 0.0, 0.0]\n'
    with pytest.raises(bayonet.DesignError, match=r"graft.down .*has no direction"):
        bayonet.loads(text + rows)
    table = bayonet.loads(text + rows.replace("down = [0.0, 0.0, 0.0]", "proud = 5.0")).spec.graft
    assert (table.wishes().at, table.wishes().proud_mm) == ((1.0, 2.0, 3.0), 5.0)


def test_the_example_tank_takes_its_sensor(tmp_path: Path) -> None:
    """The script of examples/, and exports/ as its own words make it. Pinned."""
    script = runpy.run_path(str(ROOT / "examples" / "make_header_tank.py"))
    script["main"](tmp_path / "header_tank.step")
    done = call("graft", SENSOR, "--tank", tmp_path / "header_tank.step", "--at", "60,-85,85",
                "--down", "0,0,-1", "--valve-bore", "20", "--out", tmp_path / "out")  # fmt: skip
    assert done.exit_code == 0, done.output
    pinned = json.loads((ROOT / "exports" / "header_tank" / "graft.json").read_text("utf-8"))
    fresh = json.loads((tmp_path / "out" / "graft.json").read_text("utf-8"))
    assert fresh["verdict"] == pinned["verdict"] == "look"
    keys = ("volume_change_mm3", "proud_mm", "hollow_mm3", "track_wall_mm")
    for key in keys:
        assert fresh["measures"][key] == pytest.approx(pinned["measures"][key], rel=1e-6)
