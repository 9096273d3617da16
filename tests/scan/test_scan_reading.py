"""Reading scans: every format against another program or the arrays written, and every bad file."""

from __future__ import annotations

import resource
import time
from collections.abc import Callable
from pathlib import Path

import generator as g
import generator_files as write
import generator_scan as s
import numpy as np
import pytest
import trimesh

from bayonet.errors import ScanError
from bayonet.scan.read.files import read


@pytest.fixture(scope="module")
def mesh() -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Corners to 1e-4 mm, so that text holds them whole; triangles; normals."""
    plug = g.random_plug(np.random.default_rng(5))
    found = s.scan(plug, s.Nuisance(), points=3000, seed=5, mesh=True)
    triangles = s.outward(found)
    assert triangles is not None
    used = np.unique(triangles)
    number = np.cumsum(np.isin(np.arange(len(found.xyz)), used)) - 1
    return found.xyz[used].round(4), number[triangles], found.normals[used]


Mesh = tuple[np.ndarray, np.ndarray, np.ndarray]
WRITERS: dict[str, Callable[[Path, Mesh], Path]] = {
    "binary.stl": lambda p, m: write.stl(p, m[0], m[1]),
    "text.stl": lambda p, m: write.stl_text(p, m[0], m[1]),
    "little.ply": lambda p, m: write.ply(p, m[0], m[1]),
    "big.ply": lambda p, m: write.ply(p, m[0], m[1], order=">"),
    "normals.ply": lambda p, m: write.ply(p, m[0], m[1], normals=m[2]),
    "cloud.ply": lambda p, m: write.ply(p, m[0]),
    "text.ply": lambda p, m: write.ply_text(p, m[0], m[1]),
    "mesh.obj": lambda p, m: write.obj(p, m[0], m[1]),
    "cloud.obj": lambda p, m: write.obj(p, m[0]),
    "plain.xyz": lambda p, m: write.text(p, m[0]),
    "comma.csv": lambda p, m: write.text(p, m[0], between=",", head="x,y,z"),
    "semicolon.csv": lambda p, m: write.text(p, m[0], between=";", head="X [mm];Y [mm];Z [mm]"),
    "tab.asc": lambda p, m: write.text(p, m[0], between="\t", head="# made by hand\n#X\tY\tZ"),
    "counted.pts": lambda p, m: write.text(p, m[0], head=str(len(m[0]))),
}


@pytest.mark.parametrize("name", WRITERS)
def test_every_format_gives_what_was_written(name: str, mesh: Mesh, tmp_path: Path) -> None:
    points = read(WRITERS[name](tmp_path / name, mesh))
    if name.endswith("stl"):
        soup = points.xyz_mm[points.triangles]
        assert np.allclose(soup, mesh[0][mesh[1]], atol=2e-5)
        assert len(points.xyz_mm) <= len(mesh[0])
    else:
        assert np.allclose(points.xyz_mm, mesh[0], atol=2e-5)
        has_faces = name not in ("cloud.ply", "cloud.obj") and name[-3:] in ("ply", "obj")
        assert (points.triangles is not None) == has_faces
        if has_faces:
            assert np.array_equal(points.triangles, mesh[1])
    assert "mm" in points.unit_note


@pytest.mark.parametrize("name", ["binary.stl", "text.stl", "little.ply", "big.ply", "mesh.obj"])
def test_agrees_with_another_reader(name: str, mesh: Mesh, tmp_path: Path) -> None:
    """The other reader is trimesh."""
    file = WRITERS[name](tmp_path / name, mesh)
    points, other = read(file), trimesh.load(file, process=False, force="mesh")
    ours = trimesh.Trimesh(points.xyz_mm, points.triangles, process=False)
    assert ours.area == pytest.approx(other.area, rel=1e-6)
    assert np.allclose(ours.bounds, other.bounds, atol=1e-5)


def test_reads_what_another_writer_wrote(tmp_path: Path) -> None:
    """Trimesh writes; a closed mesh comes back closed, corners merged."""
    ball = trimesh.creation.icosphere(subdivisions=4, radius=20.0)
    for name in ("a.stl", "a.ply", "a.obj"):
        ball.export(tmp_path / name)
        points = read(tmp_path / name)
        again = trimesh.Trimesh(points.xyz_mm, points.triangles, process=False)
        assert len(points.xyz_mm) == len(ball.vertices)
        assert again.is_watertight
        assert again.volume == pytest.approx(ball.volume, rel=1e-5)


def test_e57_is_in_metres(mesh: Mesh, tmp_path: Path) -> None:
    pye57 = pytest.importorskip("pye57")
    columns = {f"cartesian{axis}": mesh[0][:, i] / 1000 for i, axis in enumerate("XYZ")}
    with pye57.E57(str(tmp_path / "a.e57"), mode="w") as file:
        file.write_scan_raw(columns)
    points = read(tmp_path / "a.e57")
    assert np.allclose(points.xyz_mm, mesh[0], atol=1e-4)
    assert "metres by its standard" in points.unit_note


def test_columns_are_found_by_name_and_normals_by_length(mesh: Mesh, tmp_path: Path) -> None:
    xyz, _, normals = mesh
    other = np.column_stack([np.arange(len(xyz)), xyz[:, ::-1], np.full(len(xyz), 200)])
    points = read(write.text(tmp_path / "a.csv", other, between=",", head="id,z,y,x,intensity"))
    assert np.allclose(points.xyz_mm, xyz, atol=1e-4)
    assert points.normals is None
    points = read(write.text(tmp_path / "b.xyz", np.hstack([xyz, normals])))
    assert np.allclose(points.normals, normals, atol=1e-4)
    colours = np.hstack([xyz, np.random.default_rng(0).integers(0, 256, (len(xyz), 3))])
    assert read(write.text(tmp_path / "c.xyz", colours)).normals is None


def test_mixed_faces_become_fans(tmp_path: Path) -> None:
    """A square and a triangle: 2 + 1 triangles, in PLY of both kinds and in OBJ."""
    xyz = np.random.default_rng(1).normal(size=(600, 3)) * 20
    rows = "\n".join(f"{x:.5f} {y:.5f} {z:.5f}" for x, y, z in xyz)
    head = "ply\nformat {} 1.0\nelement vertex 600\n" + "".join(
        f"property {{}} {axis}\n" for axis in "xyz"
    )
    faces = "element face 2\nproperty list uchar int vertex_index\nend_header\n"
    (tmp_path / "a.ply").write_text(
        head.format("ascii", *["float"] * 3) + faces + rows + "\n4 0 1 2 3\n3 4 5 6\n"
    )
    kinds = b"\x04" + np.arange(4, dtype="<i4").tobytes() + b"\x03"
    (tmp_path / "b.ply").write_bytes(
        (head.format("binary_little_endian", *["double"] * 3) + faces).encode()
        + xyz.astype("<f8").tobytes() + kinds + np.arange(4, 7, dtype="<i4").tobytes()
    )  # fmt: skip
    (tmp_path / "c.obj").write_text(
        "\n".join("v " + row for row in rows.split("\n")) + "\nf 1/1 2/2 3/3 4/4\nf 5 6 7\n"
    )
    for name in ("a.ply", "b.ply", "c.obj"):
        points = read(tmp_path / name)
        assert points.triangles is not None
        assert sorted(points.triangles.tolist()) == [[0, 1, 2], [0, 2, 3], [4, 5, 6]]


@pytest.mark.parametrize(
    ("scale", "unit", "words"),
    [
        (1.0, None, "unit mm, guessed"),
        (1 / 25.4, None, "unit in, guessed"),
        (1 / 1000, None, "unit m, guessed"),
        (1 / 25.4, "in", "as given"),
        (0.1, "cm", "as given"),
    ],
)
def test_unit_is_guessed_with_its_reason(
    scale: float, unit: str | None, words: str, mesh: Mesh, tmp_path: Path
) -> None:
    points = read(write.ply(tmp_path / "a.ply", mesh[0] * scale), units=unit)
    assert np.allclose(points.xyz_mm, mesh[0], atol=1e-3)
    assert words in points.unit_note


def _ball(count: int, radius: float = 20.0) -> np.ndarray:
    way = np.random.default_rng(3).normal(size=(count, 3))
    return radius * way / np.linalg.norm(way, axis=1, keepdims=True)


def _cut(path: Path, name: str, share: float, mesh: Mesh) -> Path:
    whole = WRITERS[name](path / name, mesh)
    data = whole.read_bytes()
    whole.write_bytes(data[: int(share * len(data))])
    return whole


def _bytes(path: Path, name: str, data: bytes) -> Path:
    (path / name).write_bytes(data)
    return path / name


def _spoiled(path: Path, value: float) -> Path:
    xyz = _ball(2000)
    xyz[77, 1] = value
    return write.ply(path / "bad.ply", xyz)


BAD: dict[str, tuple[Callable[[Path, Mesh], Path], str]] = {
    "missing": (lambda p, m: p / "none.stl", "No such file"),
    "folder": (lambda p, m: p, "is a folder"),
    "empty": (lambda p, m: _bytes(p, "a.stl", b""), "is empty"),
    "blank": (lambda p, m: _bytes(p, "a.xyz", b" \n\n"), "is empty"),
    "cut binary stl": (lambda p, m: _cut(p, "binary.stl", 0.6, m), "truncated"),
    "cut text stl": (lambda p, m: _cut(p, "text.stl", 0.6, m), "breaks off after"),
    "cut binary ply": (lambda p, m: _cut(p, "little.ply", 0.6, m), "truncated"),
    "cut cloud ply": (lambda p, m: _cut(p, "cloud.ply", 0.6, m), "truncated"),
    "cut text ply": (lambda p, m: _cut(p, "text.ply", 0.9, m), "truncated"),
    "cut ply head": (lambda p, m: _cut(p, "little.ply", 0.0005, m), "end_header"),
    "cut pts": (lambda p, m: _cut(p, "counted.pts", 0.6, m), "line|truncated"),
    "nan": (lambda p, m: _spoiled(p, np.nan), "1 of 2000 points are not finite.* point 78"),
    "inf": (lambda p, m: _spoiled(p, np.inf), "not finite"),
    "nan in text": (
        lambda p, m: _bytes(p, "a.xyz", b"1 2 3\n" * 900 + b"1 nan 3\n"),
        "not finite.* point 901",
    ),
    "coplanar": (lambda p, m: write.ply(p / "a.ply", _ball(2000) * [1, 1, 0]), "one plane"),
    "collinear": (lambda p, m: write.ply(p / "a.ply", _ball(2000) * [1, 0, 0]), "one line"),
    "one place": (lambda p, m: write.ply(p / "a.ply", _ball(2000) * 0 + 1), "one place"),
    "few": (lambda p, m: write.ply(p / "a.ply", _ball(40)), "40 points"),
    "ragged": (lambda p, m: _bytes(p, "a.xyz", b"1 2 3\n" * 9 + b"4 5\n"), "line 10: 2 values"),
    "words": (
        lambda p, m: _bytes(p, "a.csv", b"x,y,z\n" + b"1,2,3\n" * 9 + b"4,five,6\n"),
        "line 11, column 2: 'five'",
    ),
    "decimal commas": (lambda p, m: _bytes(p, "a.xyz", b"1,5 2,5 3,5\n" * 9), "decimal comma"),
    "decimal commas in csv": (
        lambda p, m: _bytes(p, "a.csv", b"1,5;2,5;3,5\n" * 9),
        "decimal comma",
    ),
    "huge stl": (
        lambda p, m: _bytes(p, "a.stl", b"\x00" * 80 + b"\xff\xff\xff\xff" + b"\x00" * 500),
        "declares 4294967295 triangles.* truncated",
    ),
    "no triangles": (lambda p, m: _bytes(p, "a.stl", b"\x00" * 84), "empty"),
    "huge ply": (
        lambda p, m: _bytes(
            p, "a.ply",
            b"ply\nformat binary_little_endian 1.0\nelement vertex 999999999999\n"
            b"property float x\nproperty float y\nproperty float z\nend_header\n" + b"0" * 999,
        ),
        "declares 999999999999 vertex.* false count",
    ),
    "huge text ply": (
        lambda p, m: _bytes(
            p, "a.ply",
            b"ply\nformat ascii 1.0\nelement vertex 999999999999\n"
            b"property float x\nproperty float y\nproperty float z\nend_header\n1 2 3\n",
        ),
        "false count",
    ),
    "ply without x": (
        lambda p, m: _bytes(
            p, "a.ply",
            b"ply\nformat ascii 1.0\nelement vertex 1\nproperty float a\nend_header\n1\n",
        ),
        "no plain x, y, z",
    ),
    "ply of an unknown type": (
        lambda p, m: _bytes(
            p, "a.ply", b"ply\nformat ascii 1.0\nelement vertex 1\nproperty real x\nend_header\n1\n"
        ),
        "unknown type 'real'",
    ),
    "face beyond": (
        lambda p, m: write.ply(p / "a.ply", _ball(900), np.array([[0, 1, 900]])),
        "names vertex 900, of 900",
    ),
    "obj cut": (lambda p, m: _bytes(p, "a.obj", b"v 1 2 3\n" * 600 + b"v 1 2"), "truncated"),
    "obj relative": (
        lambda p, m: _bytes(p, "a.obj", b"v 1 2 3\nv 3 4 5\nv 3 4 6\n" * 300 + b"f -1 -2 -3\n"),
        "relative",
    ),
    "junk": (
        lambda p, m: _bytes(p, "a.xyz", np.random.default_rng(0).bytes(50_000)),
        "none of STL, PLY",
    ),
    "junk named stl": (
        lambda p, m: _bytes(p, "a.stl", np.random.default_rng(0).bytes(50_000)),
        "truncated, or not an STL",
    ),
    "step": (lambda p, m: _bytes(p, "a.stl", b"ISO-10303-21;\nHEADER;"), "STEP model"),
    "3mf": (lambda p, m: _bytes(p, "a.3mf", b"PK\x03\x04" + b"\x00" * 99), "zip package"),
    "prose": (lambda p, m: _bytes(p, "a.txt", b"The quick brown fox.\n" * 99), "no line of three"),
    "between units": (lambda p, m: write.ply(p / "a.ply", _ball(2000, 4.0)), "--units"),
    "cut e57": (lambda p, m: _bytes(p, "a.e57", b"ASTM-E57" + b"\x01" * 999), "E57"),
}  # fmt: skip


@pytest.mark.parametrize("case", BAD)
def test_bad_file_is_refused_in_one_clear_line(case: str, mesh: Mesh, tmp_path: Path) -> None:
    make, words = BAD[case]
    file = make(tmp_path, mesh)
    with pytest.raises(ScanError, match=words) as caught:
        read(file)
    assert str(caught.value).startswith(str(file))
    assert "\n" not in str(caught.value)


def test_wrong_extension_is_no_hindrance(mesh: Mesh, tmp_path: Path) -> None:
    file = write.ply(tmp_path / "a.stl", mesh[0], mesh[1])
    assert "binary PLY" in read(file).unit_note


def test_a_unit_that_makes_no_sense_is_refused(mesh: Mesh, tmp_path: Path) -> None:
    file = write.ply(tmp_path / "a.ply", mesh[0] / 25.4)
    with pytest.raises(ScanError, match="is mm its unit"):
        read(file, units="mm")
    with pytest.raises(ScanError, match="use one of mm, in"):
        read(file, units="furlong")


@pytest.mark.parametrize("name", WRITERS)
def test_damage_never_gets_past_the_one_error(name: str, mesh: Mesh, tmp_path: Path) -> None:
    """Cut anywhere, and bytes changed anywhere: points or the one error, nothing else."""
    data = WRITERS[name](tmp_path / name, mesh).read_bytes()
    rng = np.random.default_rng(sum(name.encode()))
    refused = 0
    for trial in range(24):
        damaged = bytearray(data)
        if trial % 2:
            del damaged[int(rng.integers(len(data))) :]
        reach = len(damaged) if trial % 4 < 2 else min(len(damaged), 400)
        for place in rng.integers(0, max(reach, 1), 6 if trial % 3 else 0):
            if place < len(damaged):
                damaged[place] = int(rng.integers(256))
        file = _bytes(tmp_path, f"damaged-{name}", bytes(damaged))
        try:
            assert len(read(file).xyz_mm) > 0
        except ScanError:
            refused += 1
    assert refused >= 8


def test_time_grows_like_the_file_and_memory_stays_bounded(tmp_path: Path) -> None:
    """Ten times the points: at most 22 times the CPU time (10 is linear); memory per point."""
    spent = []
    for count in (60_000, 600_000):
        file = write.ply(tmp_path / f"{count}.ply", _ball(count))
        start = time.process_time()
        read(file)
        spent.append(time.process_time() - start)
    assert spent[1] < 22 * max(spent[0], 0.004)
    before = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    with pytest.raises(ScanError):
        read(BAD["huge stl"][0](tmp_path, (np.zeros(0),) * 3))
    assert resource.getrusage(resource.RUSAGE_SELF).ru_maxrss - before < 50_000  # kB
