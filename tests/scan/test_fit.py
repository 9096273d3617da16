"""The fit on generated scans: against the truth and the bound, and what it must refuse.

`evaluate.py` runs the same on as many plugs as asked, nuisances included.
"""

from __future__ import annotations

import json
from pathlib import Path

import evaluate
import generator as g
import generator_files as write
import generator_scan as s
import numpy as np
import pytest
from click.testing import CliRunner

import bayonet
from bayonet import solids
from bayonet.cli import main
from bayonet.errors import ScanError
from bayonet.scan.describe.comparison import compared
from bayonet.scan.describe.design_file import described
from bayonet.scan.describe.stated import known
from bayonet.scan.measure import fit
from bayonet.scan.read.files import read
from bayonet.scan.read.points import ScanPoints
from bayonet.solids.kernel import mesh

EXAMPLES = Path(__file__).parents[2] / "examples"


def _sensor() -> g.TruePlug:
    """The example's level sensor, written down here once more, in numbers."""
    p = {
        "shoulder_diameter": 50.0, "body.0.diameter": 32.0, "body.0.to_depth": 13.0,
        "body.1.diameter": 26.4, "body.1.to_depth": 24.0, "groove.diameter": 22.4,
        "groove.width": 3.6, "groove.at_depth": 16.5,
    }  # fmt: skip
    for i in range(3):
        own = {"centre_deg": 30.0 + 120.0 * i, "width_deg": 28.955, "outer_diameter": 40.0,
               "bearing_depth": 5.0, "thickness": 3.5, "lead": 6.0}  # fmt: skip
        p |= {f"lug.{i}.{name}": value for name, value in own.items()}
    return g.TruePlug(
        p=p, count=3, equal=True, hand="right", parallel=False, layout="A", groove="radial",
        steps=2, rounded=False, edge=0.2, step_edge=0.2, corner=0.3, lug_step=0, nose_chamfer=1.0,
        shoulder_thickness=4.0,
    )  # fmt: skip


@pytest.fixture(scope="module")
def clean() -> list[evaluate.Outcome]:
    scans = [
        evaluate.made(seed, points=40_000, clean=True, correlated=False, mesh=seed % 2 == 1)
        for seed in range(4)
    ]
    return [evaluate.judged(scan) for scan in scans]


def test_structure_of_clean_scans_is_right(clean: list[evaluate.Outcome]) -> None:
    for outcome in clean:
        wrong = [outcome.refused, outcome.crashed, *outcome.structure]
        assert not any(wrong), (outcome.seed, wrong)


def test_errors_of_clean_scans_stay_near_the_bound(clean: list[evaluate.Outcome]) -> None:
    """Rms over all parameters within 1.6 Cramer-Rao bounds, each within 5 bounds + 1 um."""
    rows = [row for outcome in clean for row in outcome.rows if np.isfinite(row.bound)]
    assert len(rows) > 100
    assert np.sqrt(np.mean([row.ratio**2 for row in rows])) < 1.6
    for row in rows:
        assert abs(row.error) < 5 * row.bound + 1e-3, row


def test_stated_uncertainty_holds(clean: list[evaluate.Outcome]) -> None:
    rows = [row for outcome in clean for row in outcome.rows]
    assert np.mean([abs(row.error) <= 2 * row.u for row in rows]) >= 0.9


def test_correlated_noise_is_found_and_stated() -> None:
    """Twice the white noise's uncertainty or more, and named in a warning."""
    plug = _sensor()
    found = []
    for field in (0.0, 0.02):
        nuisance = s.Nuisance(noise=0.02, field=field, field_length=3.0)
        scan = s.scan(plug, nuisance, points=40_000, seed=3)
        found.append(fit(evaluate.as_points(scan)))
    u = [{one.key: one.u for one in result.features}["body.0.diameter"] for result in found]
    assert u[1] > 2 * u[0]
    assert any("neighbouring points go together" in text for text in found[1].warnings)
    assert not any("neighbours agree" in text for text in found[0].warnings)


def test_a_worn_lug_is_flagged_and_not_averaged() -> None:
    scan = s.scan(_sensor(), s.Nuisance(noise=0.01, wear=0.9), points=60_000, seed=5)
    result = fit(evaluate.as_points(scan))
    worn = scan.plug.worn
    assert worn is not None
    told = {int(one.key.split(".")[1]): one.value for one in result.features
            if one.key.endswith("bearing_depth")}  # fmt: skip
    numbers = evaluate._true_numbers(scan, result)
    flagged = {numbers[lug] for lug, _ in result.flags}
    assert flagged == {worn[0]}
    others = [value for lug, value in told.items() if numbers[lug] != worn[0]]
    assert np.allclose(others, 5.0, atol=0.01)


def test_ovality_is_reported_apart() -> None:
    """Radius swings by 0.04: the largest less the smallest diameter is 4 x 0.04."""
    scan = s.scan(_sensor(), s.Nuisance(noise=0.01, oval=0.04), points=40_000, seed=6)
    result = fit(evaluate.as_points(scan))
    oval = next(one for one in result.form if one.key == "body.0.ovality")
    assert oval.value == pytest.approx(0.16, abs=0.01)
    body = next(one for one in result.features if one.key == "body.0.diameter")
    assert abs(body.value - 32.0) < max(2 * body.u, 0.003)


def test_our_own_plug_gives_our_own_numbers(tmp_path: Path) -> None:
    """B-rep, meshed by the kernel, written, read and fitted: within the stated U (k = 2)."""
    design = bayonet.load(EXAMPLES / "level_sensor.toml")
    made = mesh.meshed(solids.plug(design.plug), chord_mm=0.01)
    points = read(write.stl(tmp_path / "plug.stl", made.vertices, made.triangles))
    result = fit(points)
    assert (result.lugs, result.hand, result.groove, result.is_equal) == (
        3,
        "right",
        "radial",
        True,
    )
    told = {one.key: one for one in result.features}
    for key, truth in _sensor().p.items():
        if not key.endswith("centre_deg"):
            one = told[key]
            assert abs(one.value - truth) <= 2 * one.u + 2e-4, (key, one)
    spread = dict(zip(result.parameters, np.sqrt(np.diag(result.covariance)), strict=True))
    for key, u in spread.items():  # facets are part of both
        assert u == pytest.approx(told["lug.0.lead" if key == "lead" else key].u, rel=1e-6), key


def test_a_scan_that_ends_before_the_nose_tells_the_body_it_shows() -> None:
    """Cut 2 mm past the step: a diameter of 26.3, no depth of its end, and no groove."""
    scan = s.scan(_sensor(), s.Nuisance(noise=0.02), points=40_000, seed=4)
    depth = -((scan.xyz - scan.origin) @ scan.rotation)[:, 2]
    result = fit(ScanPoints(xyz_mm=scan.xyz[depth < 15.0], name="cut"))
    told = {one.key: one for one in result.features}
    assert told["body.1.diameter"].value == pytest.approx(26.4, abs=0.01)
    assert told["body.1.to_depth"].found == "not seen"
    assert result.groove == "none"


def test_a_coarse_mesh_of_a_model_is_read_within_its_facets() -> None:
    """Flat faces are exact there and round ones off by 0.05 mm: no gate may be set by the flat."""
    design = bayonet.load(EXAMPLES / "level_sensor.toml")
    made = mesh.meshed(solids.plug(design.plug), chord_mm=0.05)
    result = fit(ScanPoints(xyz_mm=made.vertices, triangles=made.triangles, name="coarse"))
    assert (result.lugs, result.hand, result.groove) == (3, "right", "radial")
    told = {one.key: one for one in result.features}
    for key, truth in _sensor().p.items():
        if not key.endswith("centre_deg"):
            assert abs(told[key].value - truth) <= 2 * told[key].u, (key, told[key])


def _sprinkled(made: mesh.TriangleMesh, count: int) -> np.ndarray:
    """Points all over a mesh, 0.02 mm of noise along its normals."""
    rng = np.random.default_rng(1)
    a, b, c = np.moveaxis(made.vertices[made.triangles], 1, 0)
    cross = np.cross(b - a, c - a)
    area = np.linalg.norm(cross, axis=1)
    on = rng.choice(len(area), count, p=area / area.sum())
    u, v = rng.random((2, count, 1))
    over = u + v > 1.0
    u, v = np.where(over, 1.0 - u, u), np.where(over, 1.0 - v, v)
    noise = rng.normal(0.0, 0.02, (count, 1))
    flat = a[on] + u * (b[on] - a[on]) + v * (c[on] - a[on])
    return np.asarray(flat + noise * cross[on] / area[on, None])


LOW_BESIDE_A_FACE_GROOVE = {
    "hand": "left", "turn_deg": 26.0, "made_by": "machined", "shoulder_diameter": 41.5,
    "body": [{"diameter": 25.5, "to_depth": 13.0}],
    "groove": {"kind": "nose_face", "diameter": 14.5, "width": 3.0, "depth": 1.7},
    "lugs": {"sides": "radial", "outer_diameter": 33.5, "thickness": 2.0, "bearing_depth": 5.0,
             "count": 4, "lead": 9.0, "width_deg": 30.0},
}  # fmt: skip
OF_TWO_WIDTHS = {
    "hand": "right", "turn_deg": 115.0, "made_by": "cast", "shoulder_diameter": 67.0,
    "body": [{"diameter": 57.0, "to_depth": 10.0}, {"diameter": 50.0, "to_depth": 28.6}],
    "groove": {"diameter": 53.0, "at_depth": 5.0, "width": 3.6},
    "lugs": {"sides": "radial", "outer_diameter": 53.0, "thickness": 2.8, "bearing_depth": 20.7,
             "lead": 7.7, "width_deg": 41.6,
             "each": [{"centre_deg": 0.0}, {"centre_deg": 180.0, "width_deg": 51.3}]},
}  # fmt: skip


@pytest.mark.parametrize(
    ("plug", "is_equal"), [(LOW_BESIDE_A_FACE_GROOVE, True), (OF_TWO_WIDTHS, False)]
)
def test_low_lugs_of_plugs_the_kernel_made(plug: dict[str, object], is_equal: bool) -> None:
    """Walls of a face groove are no lugs; two lugs half a turn apart but not alike are uneven."""
    socket = {
        "seating": "stop", "process": "machined", "wall": 4.0, "passage_diameter": 10.0,
        "track": {"lead": 9.0}, "seal": {"ring_section": 2.62, "squeeze": 0.2},
    }  # fmt: skip
    design = bayonet.from_mapping({"design": {"name": "x"}, "plug": plug, "socket": socket})
    made = mesh.meshed(solids.plug(design.plug), chord_mm=0.01)
    result = fit(ScanPoints(xyz_mm=_sprinkled(made, 40_000), name="kernel"))
    told = compared(result.features, known(design), lugs=result.lugs, hand=result.hand,
                    groove=result.groove)  # fmt: skip
    assert not told.structure
    assert result.is_equal == is_equal
    for row in told.rows:
        assert not abs(row.difference) > row.expanded + 0.01, row


def test_from_a_noisy_partial_scan_to_a_proven_socket(tmp_path: Path) -> None:
    """Scan -> plug.toml -> make: files there, and the motion proof passes."""
    nuisance = s.Nuisance(noise=0.02, sector=(15.0, 285.0), outliers=0.01, top=False)
    scan = s.scan(_sensor(), nuisance, points=60_000, seed=2, mesh=True)
    triangles = s.outward(scan)
    assert triangles is not None
    file = write.ply(tmp_path / "part.ply", scan.xyz, triangles)
    out = tmp_path / "plug.toml"
    run = CliRunner().invoke(main, ["scan", str(file), "--out", str(out), "--json"])
    assert run.exit_code == 0, run.output
    told = json.loads(run.output)["scans"][0]
    assert (told["lugs"], told["hand"]) == (3, "right")
    assert any("nothing was seen on" in text for text in told["warnings"])
    made = bayonet.make(bayonet.load(out), tmp_path / "made")
    motion = [f for f in made.result.findings if f.code.startswith("motion.")]
    assert motion
    assert all(f.verdict.value != "fail" for f in motion)
    assert (tmp_path / "made" / "socket.step").exists()


def _cloud(xyz: np.ndarray) -> ScanPoints:
    return ScanPoints(xyz_mm=xyz, name="thing")


def _ball(count: int) -> np.ndarray:
    way = np.random.default_rng(0).normal(size=(count, 3))
    return 20.0 * way / np.linalg.norm(way, axis=1, keepdims=True)


@pytest.mark.parametrize(
    "make",
    [
        lambda rng: rng.uniform(-20, 20, (8000, 3)),
        lambda rng: rng.uniform(-20, 20, (8000, 3)) * [1, 1, 0] + rng.normal(0, 0.02, (8000, 3)),
        lambda rng: _ball(8000),
        lambda rng: np.abs(rng.uniform(-1, 1, (8000, 3))) ** 0.05 * 20,
    ],
    ids=["outliers alone", "a table alone", "a ball", "a box"],
)
def test_what_is_no_plug_is_refused(make: object) -> None:
    with pytest.raises(ScanError, match="thing: "):
        fit(_cloud(make(np.random.default_rng(1))))


def test_uneven_lugs_half_hidden_are_refused_not_guessed() -> None:
    plug = g.random_plug(np.random.default_rng(6), count=4, equal=False, layout="A")
    middle = plug.p["lug.2.centre_deg"]
    scan = s.scan(plug, s.Nuisance(sector=(middle + 45, middle + 315)), points=40_000, seed=1)
    try:
        result = fit(evaluate.as_points(scan))
    except ScanError:
        return
    assert result.lugs == 4
    assert {one.found for one in result.features if one.key.startswith("lug.")} >= {"by symmetry"}


def test_description_names_what_only_the_user_knows() -> None:
    scan = s.scan(_sensor(), s.Nuisance(), points=40_000, seed=2)
    points = evaluate.as_points(scan)
    text = described(fit(points), points)
    assert "turn_deg" in text
    assert "CHECK: no scan tells the turn" in text
    assert "measured, seen 100%" in text


def _part(folder: Path, name: str, seed: int) -> Path:
    scan = s.scan(_sensor(), s.Nuisance(noise=0.01), points=25_000, seed=seed, mesh=True)
    triangles = s.outward(scan)
    assert triangles is not None
    return write.ply(folder / name, scan.xyz, triangles)


def test_command_compares_and_pools(tmp_path: Path) -> None:
    files = [str(_part(tmp_path, f"{i}.ply", i)) for i in range(2)]
    drawing = bayonet.load(EXAMPLES / "level_sensor.toml").with_({"plug.measured_with": "drawing"})
    example = tmp_path / "drawing.toml"
    example.write_text(drawing.to_toml(), "utf-8")
    run = CliRunner().invoke(main, ["scan", files[0], "--against", str(example), "--json"])
    assert run.exit_code == 0, run.output
    against = json.loads(run.output)["against"]
    assert {row["verdict"] for row in against["rows"]} == {"agrees"}
    drain = str(EXAMPLES / "irrigation_drain.toml")
    run = CliRunner().invoke(main, ["scan", files[0], "--against", drain])
    assert run.exit_code == 1
    out, report = tmp_path / "plug.toml", tmp_path / "report.html"
    run = CliRunner().invoke(main, ["scan", *files, "--out", str(out), "--report", str(report)])
    assert run.exit_code == 0, run.output
    assert "Several samples" in report.read_text()
    spread = bayonet.load(out).spec.plug.spread
    assert spread.diameter is not None
    assert 0.0 < spread.diameter.value < 0.1


def test_bad_input_writes_nothing(tmp_path: Path) -> None:
    bad = tmp_path / "bad.stl"
    bad.write_bytes(b"\x00" * 80 + b"\xff\xff\xff\xff" + b"\x00" * 500)
    out = tmp_path / "plug.toml"
    arguments = ["scan", str(bad), "--out", str(out), "--report", str(tmp_path / "rep")]
    run = CliRunner().invoke(main, arguments)
    assert run.exit_code == 2
    assert str(bad) in run.output
    assert [file.name for file in tmp_path.iterdir()] == ["bad.stl"]
