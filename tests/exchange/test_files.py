"""Files on disk: watertight, within the chord stated, read by others, same bytes every time."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import lib3mf
import numpy as np
import pytest
import trimesh

import bayonet
from bayonet.developed import volume
from bayonet.errors import ExportError
from bayonet.exchange import stl, threemf
from bayonet.exchange.folder import appearing_in
from bayonet.jobs.design import Made
from bayonet.shapes.mesh import TriangleMesh

EXPECTED = {
    "developed.png", "developed.svg", "findings.json", "fitting.html", "fitup.png", "fitup.svg",
    "load.png", "load.svg", "plug.step", "report.html", "tolerance_report.pdf",
    "socket.3mf", "socket.step", "socket.stl",
}  # fmt: skip

TETRAHEDRON = TriangleMesh(
    vertices=np.array([[0, 0, 0], [3, 0, 0], [0, 3, 0], [0, 0, 3]], dtype=float),
    triangles=np.array([[0, 2, 1], [0, 1, 3], [1, 2, 3], [0, 3, 2]]),
    chord_mm=0.0,
)


def _digest(folder: Path) -> dict[str, bytes]:
    """All but the manifest, which names the command."""
    files = (file for file in folder.iterdir() if file.name != "manifest.json")
    return {file.name: file.read_bytes() for file in files}


def test_everything_is_there(made: dict[str, Made]) -> None:
    for one in made.values():
        there = {file.name for file in one.folder.iterdir()}
        assert set(one.files) == EXPECTED == there - {"manifest.json"}
        said = json.loads((one.folder / "findings.json").read_text("utf-8"))
        assert said["files"] == sorted(EXPECTED)
        assert said["verdict"] == one.result.verdict.value


@pytest.mark.parametrize("name", ["level_sensor", "irrigation_drain", "brewery_vent"])
def test_stl_by_trimesh(made: dict[str, Made], name: str) -> None:
    """Outside reference: trimesh reads the file and judges it."""
    read = trimesh.load(made[name].folder / "socket.stl", force="mesh")
    assert read.is_watertight
    assert read.is_winding_consistent
    assert read.body_count == 1
    exact = volume.of_socket(made[name].result.design.socket)
    assert abs(read.volume - exact) <= made[name].chord_mm * read.area


@pytest.mark.parametrize("name", ["level_sensor", "irrigation_drain", "brewery_vent"])
def test_3mf_by_the_consortiums_library(made: dict[str, Made], name: str) -> None:
    """Outside reference: lib3mf, the 3MF Consortium's own implementation."""
    wrapper = lib3mf.get_wrapper()
    model = wrapper.CreateModel()
    reader = model.QueryReader("3mf")
    reader.SetStrictModeActive(True)
    reader.ReadFromFile(str(made[name].folder / "socket.3mf"))
    assert reader.GetWarningCount() == 0
    objects = model.GetMeshObjects()
    assert objects.MoveNext()
    body = objects.GetCurrentMeshObject()
    assert body.IsManifoldAndOriented()
    assert body.IsValid()
    assert body.GetName().startswith("Socket: ")
    assert model.GetUnit() == lib3mf.ModelUnit.MilliMeter
    assert not objects.MoveNext()


@pytest.mark.parametrize("name", ["level_sensor", "irrigation_drain", "brewery_vent"])
def test_meshes_lie_within_the_chord_stated(made: dict[str, Made], name: str) -> None:
    """Points on the triangles against the socket's outlines in closed form, not the kernel.

    On every round face the distance from the axis tells the error; helical and level faces and
    bore outlines are all among the radii and depths of the socket.
    """
    one = made[name]
    assert one.chord_mm <= 0.01
    socket = one.result.design.socket
    mesh = trimesh.load(one.folder / "socket.stl", force="mesh")
    points, faces = trimesh.sample.sample_surface(mesh, 40_000, seed=1)
    normals = mesh.face_normals[faces]
    radius = np.hypot(points[:, 0], points[:, 1])
    upright = np.abs(normals[:, 2]) < 1e-4
    radial = np.abs((normals[:, :2] * points[:, :2]).sum(axis=1)) / radius > 0.995
    round_faces = radius[upright & radial]
    known = {r for r, _ in socket.bore} | {socket.boss_radius_mm, socket.track_radius_mm}
    known |= {track.outer_radius_mm for track in socket.tracks}
    if socket.weld:
        known.add(socket.boss_radius_mm - socket.weld.bevel_width_mm)
    if socket.flange:
        known.add(socket.flange.radius_mm)
        x, y = points[upright & radial, 0], points[upright & radial, 1]
        angles = 2 * np.pi * np.arange(socket.flange.bolts) / socket.flange.bolts
        centres = socket.flange.bolt_circle_radius_mm * np.exp(1j * angles)
        away = np.abs((x + 1j * y)[:, None] - centres).min(axis=1)
        round_faces = round_faces[away > socket.flange.bolt_hole_radius_mm + 0.1]
    distance = np.abs(round_faces[:, None] - np.array(sorted(known))).min(axis=1)
    assert len(distance) > 5_000
    assert distance.max() <= one.chord_mm * 1.0001 + 1e-6


def test_same_bytes_on_a_second_run_and_in_a_second_process(
    made: dict[str, Made], tmp_path: Path
) -> None:
    first = made["irrigation_drain"]
    bayonet.make(first.result.design, tmp_path / "again")
    assert _digest(tmp_path / "again") == _digest(first.folder)
    example = Path(__file__).parents[2] / "examples" / "irrigation_drain.toml"
    subprocess.run(
        [sys.executable, "-m", "bayonet", "make", example, "--out", tmp_path / "other"],
        check=True,
        capture_output=True,
    )
    assert _digest(tmp_path / "other") == _digest(first.folder)


def test_step_header_carries_no_clock_and_no_user(made: dict[str, Made]) -> None:
    text = (made["brewery_vent"].folder / "socket.step").read_text("ascii")
    head = text[: text.index("ENDSEC")]
    assert "AP242" in head
    assert "2000-01-01T00:00:00" in head
    assert "Open CASCADE" not in head


def test_a_mesh_knows_when_it_is_open() -> None:
    assert TETRAHEDRON.is_watertight()
    assert TETRAHEDRON.volume() == pytest.approx(27 / 6)
    for broken in (
        TETRAHEDRON.triangles[:-1],
        np.vstack([TETRAHEDRON.triangles[:-1], TETRAHEDRON.triangles[-1:, ::-1]]),
        np.vstack([TETRAHEDRON.triangles, TETRAHEDRON.triangles[-1:]]),
        np.vstack([TETRAHEDRON.triangles, [[0, 0, 1]]]),
    ):
        open_one = TriangleMesh(vertices=TETRAHEDRON.vertices, triangles=broken, chord_mm=0.0)
        assert not open_one.is_watertight()


def test_titles_with_markup_survive(tmp_path: Path) -> None:
    threemf.write(TETRAHEDRON, tmp_path / "t.3mf", title='a<b>&"c"')
    stl.write(TETRAHEDRON, tmp_path / "t.stl", title="düse")
    model = lib3mf.get_wrapper().CreateModel()
    model.QueryReader("3mf").ReadFromFile(str(tmp_path / "t.3mf"))
    objects = model.GetMeshObjects()
    assert objects.MoveNext()
    assert objects.GetCurrentMeshObject().GetName() == 'a<b>&"c"'
    assert trimesh.load(tmp_path / "t.stl", force="mesh").volume == pytest.approx(4.5)


def test_a_folder_appears_whole_or_not_at_all(tmp_path: Path) -> None:
    target = tmp_path / "out"

    def fail() -> None:
        with appearing_in(target) as room:
            (room / "half.txt").write_text("x")
            raise RuntimeError("stop")

    with pytest.raises(RuntimeError, match="stop"):
        fail()
    assert list(tmp_path.iterdir()) == []


def test_a_file_in_the_way_is_an_error(tmp_path: Path) -> None:
    (tmp_path / "out").write_text("x")
    with pytest.raises(ExportError, match="not a folder"), appearing_in(tmp_path / "out"):
        pass
