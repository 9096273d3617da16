"""Files of print-test pieces as other programs read them; caution in every one of them."""

from __future__ import annotations

import itertools
import json
import zipfile
from collections.abc import Iterator
from pathlib import Path

import lib3mf
import numpy as np
import pytest
import trimesh
from shapely.geometry import Polygon

import bayonet
from bayonet.developed import volume
from bayonet.parts.design import changed
from bayonet.printing.pieces import drawn, letters
from bayonet.printing.printer_profile import ProcessProfile
from bayonet.solids.kernel import step

STEPS = (-0.05, 0.0, 0.08)
PROFILE = ProcessProfile(
    name="bench", mean=np.array([-0.2, 0.1, 0.996]), covariance=np.diag([4e-4, 4e-4, 1e-6])
)
EXPECTED = {
    "ladder.3mf", "ladder.stl", "results_form.csv", "ring.3mf", "ring.step", "ring.stl",
    "sample.json", "sample.png", "sample.svg",
}  # fmt: skip


@pytest.fixture(scope="module")
def rings(tmp_path_factory: pytest.TempPathFactory) -> bayonet.Sampled:
    """Three steps of the level sensor, drawn for a printer."""
    design = bayonet.load("examples/level_sensor.toml")
    folder = tmp_path_factory.mktemp("rings") / "out"
    return bayonet.sample(design, folder, steps_mm=STEPS, profile=PROFILE)


def objects_of(file: Path) -> Iterator[tuple[str, np.ndarray]]:
    """Name and place of each object on the plate, by the 3MF Consortium's own library."""
    model = lib3mf.get_wrapper().CreateModel()
    reader = model.QueryReader("3mf")
    reader.SetStrictModeActive(True)
    reader.ReadFromFile(str(file))
    assert reader.GetWarningCount() == 0
    assert model.GetUnit() == lib3mf.ModelUnit.MilliMeter
    items = model.GetBuildItems()
    while items.MoveNext():
        item = items.GetCurrent()
        mesh = model.GetMeshObjectByID(item.GetObjectResourceID())
        assert mesh.IsManifoldAndOriented()
        assert mesh.IsValid()
        yield mesh.GetName(), np.array(item.GetObjectTransform().Fields)[3]


def test_everything_is_there(rings: bayonet.Sampled) -> None:
    there = {file.name for file in rings.folder.iterdir()}
    assert set(rings.files) == EXPECTED == there - {"manifest.json"}
    said = json.loads((rings.folder / "sample.json").read_text("utf-8"))
    assert said["files"] == sorted(EXPECTED)
    assert [row["mark"] for row in said["ladder"]] == ["-0.05", "+0.00", "+0.08"]
    assert said["profile"]["name"] == "bench"


def test_the_plate_as_3mf(rings: bayonet.Sampled) -> None:
    found = list(objects_of(rings.folder / "ladder.3mf"))
    names = [*(f"ring, step {m}" for m in ("-0.05", "+0.00", "+0.08")), "bar"]
    assert [name for name, _ in found] == names
    places = np.array([place for _, place in found])
    laid = rings.sample.plate
    assert places[:, :2] == pytest.approx(np.array([*laid.places_mm, laid.bar_mm]), abs=1e-5)
    assert places[:, 2] == pytest.approx(0.0)
    assert [name for name, _ in objects_of(rings.folder / "ring.3mf")] == ["ring, step +0.00"]


@pytest.mark.parametrize("name", ["ladder.stl", "ring.stl"])
def test_the_meshes_by_trimesh(rings: bayonet.Sampled, name: str) -> None:
    """Outside reference: apart, closed, on the bed, and of the volume stated for each piece."""
    made = rings.sample
    bodies = trimesh.load(rings.folder / name, force="mesh").split(only_watertight=True)
    pieces = made.ladder if name == "ladder.stl" else (made.ring,)
    assert len(bodies) == len(pieces) + (len(pieces) > 1)
    if len(pieces) > 1:
        bar = min(bodies, key=lambda b: b.volume)
        assert bar.volume == pytest.approx(made.gauge.volume_mm3(), rel=2e-3)
        assert bar.bounds[0] == pytest.approx(np.zeros(3), abs=1e-5)
        assert np.ptp(bar.bounds[:, 0]) == pytest.approx((60.0 - 0.1) / 0.996, abs=1e-4)
    for one in pieces:
        place = made.plate.places_mm[made.ladder.index(one)] if len(pieces) > 1 else (0.0, 0.0)
        body = min(bodies, key=lambda b: np.hypot(*(b.bounds.mean(axis=0)[:2] - place)))
        shape = made.drawn(one)
        assert body.bounds[0, 2] == pytest.approx(0.0, abs=1e-5)
        assert body.bounds[1, 2] == pytest.approx(shape.boss_height_mm, abs=1e-4)
        stated = made.volume_mm3(one)
        assert abs(body.volume - stated) <= rings.chord_mm * body.area
        assert np.ptp(body.bounds[:, 0]) == pytest.approx(2 * shape.boss_radius_mm, abs=0.02)


def test_the_mark_is_sunk_into_the_top_and_reads_from_above(rings: bayonet.Sampled) -> None:
    """Cut half way down the mark, and below it: the section lacks just the characters."""
    made = rings.sample
    mesh = trimesh.load(rings.folder / "ring.stl", force="mesh")
    shape = made.drawn(made.ring)
    height = shape.boss_height_mm
    for depth, sunk in ((0.3, True), (0.7, False)):
        section = mesh.section([0, 0, 1], [0, 0, height - depth])
        whole = Polygon()
        for loop in section.discrete:  # what lies in an odd number of loops is solid
            whole = whole.symmetric_difference(Polygon(loop[:, :2]))
        annulus = np.pi * (shape.boss_radius_mm**2 - shape.bore[-1][0] ** 2)
        mark = letters(made.ring, shape, made.printer)
        want = annulus - sum(letter.area for letter in mark) * sunk
        assert whole.area == pytest.approx(want, abs=0.6)
        for letter in mark:
            assert whole.intersection(letter).area == pytest.approx(
                0.0 if sunk else letter.area, abs=1e-3
            )


def test_the_step_file_is_the_compensated_ring_and_says_so(rings: bayonet.Sampled) -> None:
    made = rings.sample
    solid = step.read(rings.folder / "ring.step")
    assert solid.Volume() == pytest.approx(made.volume_mm3(made.ring), rel=1e-9)
    bore = (2 * made.ring.socket.track_bore_radius_mm + 0.2) / 0.996
    assert 2 * made.drawn(made.ring).track_bore_radius_mm == pytest.approx(bore)
    head = (rings.folder / "ring.step").read_text("ascii")[:1500].replace("\n", "")
    assert "Drawn for printer profile bench" in head
    found = next(row for row in made.findings if row.code == "print.compensated")
    assert "Findings speak of the intended sizes" in found.message


def test_every_output_carries_the_caution(rings: bayonet.Sampled) -> None:
    for name in sorted(EXPECTED - {"sample.png", "sample.svg"}):
        content = (rings.folder / name).read_bytes()
        if name.endswith(".3mf"):
            content = zipfile.ZipFile(rings.folder / name).read("3D/3dmodel.model")
        assert b"do not pressurise" in content[:4000].replace(b"\n", b"").lower(), name


def test_same_bytes_again(rings: bayonet.Sampled, tmp_path: Path) -> None:
    made = rings.sample
    bayonet.sample(made.design, tmp_path / "o", steps_mm=STEPS, profile=PROFILE)
    for name in EXPECTED:
        assert (tmp_path / "o" / name).read_bytes() == (rings.folder / name).read_bytes(), name


def test_the_form_can_be_read_back(rings: bayonet.Sampled) -> None:
    from bayonet.printing import results

    form = (rings.folder / "results_form.csv").read_text("utf-8")
    assert results.loads(form) == results.Results(sizes=(), felt=())
    filled = form.replace(",,,,,,+0.08 bore", ",32.4,,,,,+0.08 bore")
    (row,) = results.loads(filled).sizes
    shape = rings.sample.drawn(rings.sample.ladder[2])
    assert row.nominal_mm == pytest.approx(2 * shape.bore[-1][0], abs=5e-4)


@pytest.mark.parametrize("with_seal", [False, True])
def test_rings_of_the_other_layouts_pass_the_gate(
    drain: bayonet.Design, vent: bayonet.Design, with_seal: bool
) -> None:
    from bayonet.printing import ladder
    from bayonet.solids.fitting.test_ring import marked

    for design in (drain, vent):
        made = ladder.sample(design, steps_mm=(-0.03,), with_seal=with_seal, profile=PROFILE)
        one = made.ladder[0]
        shape = made.drawn(one)
        solid = marked(
            shape, letters(one, shape, made.printer), depth_mm=made.mark_depth_mm,
            volume_mm3=made.volume_mm3(one),
        )  # fmt: skip
        assert solid.isValid()


def test_make_draws_a_printed_socket_for_its_printer(
    sensor: bayonet.Design, tmp_path: Path
) -> None:
    printed = changed(sensor, [("socket.process", "printed"), ("socket.clearance", {"axial": 0.6})])
    made = bayonet.make(printed, tmp_path / "o", profile=PROFILE)
    solid = step.read(tmp_path / "o" / "socket.step")
    assert solid.Volume() == pytest.approx(
        volume.of_socket(drawn(printed.socket, PROFILE)), rel=1e-9
    )
    assert abs(solid.Volume() / volume.of_socket(printed.socket) - 1) > 1e-3
    head = (tmp_path / "o" / "socket.step").read_text("ascii")[:1500].replace("\n", "")
    assert "Drawn for printer profile bench" in head
    assert b"do not pressurise" in (tmp_path / "o" / "socket.stl").read_bytes()[:80]
    rooms = [row.code.partition(".")[0] for row in made.result.findings]
    assert made.result.findings[len(rooms) - 1 - rooms[::-1].index("print")].code == (
        "print.compensated"
    )
    assert len([room for room, _ in itertools.groupby(rooms) if room == "print"]) == 1
    rows = {row.key: row.value for row in printed.socket.dimensions()}
    said = json.loads((tmp_path / "o" / "findings.json").read_text("utf-8"))
    listed = {row["key"]: row["value"] for row in said["socket_dimensions"]}
    assert listed["boss_diameter"] == pytest.approx(rows["boss_diameter"])  # intended
