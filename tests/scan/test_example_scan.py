"""The example's scan: made again with the same bytes, and measured for what its maker put in."""

from __future__ import annotations

import json
import runpy
import tomllib
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from click.testing import CliRunner

import bayonet
from bayonet.cli import main

ROOT = Path(__file__).parents[2]
SCAN = ROOT / "examples" / "level_sensor_scan.ply"
EXPORTED = ROOT / "exports" / "level_sensor_scan"
MAKER = runpy.run_path(str(ROOT / "examples" / "make_sensor_scan.py"))


@pytest.fixture(scope="module")
def told(tmp_path_factory: pytest.TempPathFactory) -> tuple[dict[str, Any], Path]:
    """What the command says of the example, and the description it writes."""
    out = tmp_path_factory.mktemp("scan") / "plug.toml"
    run = CliRunner().invoke(main, ["scan", str(SCAN), "--out", str(out), "--json"])
    assert run.exit_code == 0, run.output
    return json.loads(run.output)["scans"][0], out


def test_the_script_gives_the_same_bytes(tmp_path: Path) -> None:
    MAKER["write"](tmp_path / "scan.ply", MAKER["scan"]())
    assert (tmp_path / "scan.ply").read_bytes() == SCAN.read_bytes()
    assert SCAN.stat().st_size < 3_000_000


def test_what_was_put_in_comes_out(told: tuple[dict[str, Any], Path]) -> None:
    """Every dimension within 3.5 standard uncertainties + 0.2 um of the maker's own numbers."""
    scan, _ = told
    assert (scan["lugs"], scan["hand"], scan["groove"], scan["equal_lugs"]) == (
        MAKER["LUGS"], "right", "radial", True,
    )  # fmt: skip
    rows = {row["key"]: row for row in scan["dimensions"]}
    checked = 0
    for key, truth in MAKER["PART"].items():
        if key.endswith("centre_deg") or key == "ovality":
            continue
        names = [f"lug.{i}.{key.split('.')[1]}" for i in range(3)] if key[:4] == "lug." else [key]
        for name in names:
            row = rows[name]
            assert row["value"] == pytest.approx(truth, abs=3.5 * row["u"] + 2e-4), name
            checked += 1
    assert checked == 25
    assert scan["noise_mm"] == pytest.approx(MAKER["NOISE"], rel=0.03)


def test_form_is_told_apart(told: tuple[dict[str, Any], Path]) -> None:
    scan, _ = told
    form = {row["key"]: row for row in scan["form"]}
    oval = form["body.0.ovality"]
    assert oval["value"] == pytest.approx(MAKER["PART"]["ovality"], abs=3 * oval["u"] + 5e-4)
    assert form["body.1.ovality"]["value"] < 0.008
    assert any("body step 1 is oval" in text for text in scan["warnings"])
    for i in range(3):
        for kind in ("bearing", "leading"):
            row = form[f"lug.{i}.{kind}_lead"]
            assert row["value"] == pytest.approx(MAKER["PART"]["lug.lead"], abs=3.5 * row["u"])


def test_sides_that_no_view_reached_are_by_symmetry(told: tuple[dict[str, Any], Path]) -> None:
    scan, _ = told
    found = {row["key"]: row["found"] for row in scan["dimensions"]}
    widths = sorted(found[f"lug.{i}.width_deg"] for i in range(3))
    assert widths == ["by symmetry", "by symmetry", "measured"]
    assert all(found[f"lug.{i}.outer_diameter"] == "measured" for i in range(3))
    assert any("nothing was seen on" in text for text in scan["warnings"])


def test_covariance_is_that_of_the_stated_uncertainties(
    told: tuple[dict[str, Any], Path],
) -> None:
    """Named, symmetric, positive; diagonal the squares of u; depth and thickness go against."""
    scan, _ = told
    names = scan["covariance"]["parameters"]
    matrix = np.array(scan["covariance"]["matrix"])
    assert matrix.shape == (len(names),) * 2
    assert np.allclose(matrix, matrix.T)
    spread = np.sqrt(np.diag(matrix))
    assert np.linalg.eigvalsh(matrix / np.outer(spread, spread)).min() > -1e-9
    rows = {row["key"]: row for row in scan["dimensions"]} | {
        "lead": next(row for row in scan["dimensions"] if row["key"] == "lug.0.lead")
    }
    for name, u in zip(names, spread, strict=True):
        assert u == pytest.approx(rows[name]["u"], rel=1e-6), name
    assert {"lead", "groove.width", "shoulder_diameter"} <= set(names)
    best = min(
        (row for row in scan["dimensions"] if row["key"].endswith("thickness")),
        key=lambda row: row["u"] if row["key"].startswith("lug") else np.inf,
    )["key"].rsplit(".", 1)[0]
    i, j = names.index(f"{best}.thickness"), names.index(f"{best}.bearing_depth")
    assert -1.0 < matrix[i, j] / (spread[i] * spread[j]) < -0.3


def test_the_description_is_a_design_with_its_correlations(
    told: tuple[dict[str, Any], Path],
) -> None:
    _, out = told
    design = bayonet.load(out)
    assert bayonet.check(design).verdict is not bayonet.Verdict.FAIL
    assert design.plug.shoulder_thickness_mm == pytest.approx(4.02, abs=0.003)
    assert design.plug.nose_chamfer_mm == pytest.approx(1.0, abs=0.01)
    pairs = {frozenset(one.between): one.r for one in design.spec.plug.correlation}
    assert pairs[frozenset(("lugs.thickness", "lugs.bearing_depth"))] < -0.3


def _against(file: Path) -> dict[str, str]:
    run = CliRunner().invoke(main, ["scan", str(SCAN), "--against", str(file), "--json"])
    assert run.exit_code == 0, run.output
    return {row["key"]: row["verdict"] for row in json.loads(run.output)["against"]["rows"]}


def test_the_part_agrees_with_its_drawing(tmp_path: Path) -> None:
    """A drawing's sizes are exact; held against what a calliper measured, some cannot be told."""
    example = ROOT / "examples" / "level_sensor.toml"
    drawing = bayonet.load(example).with_({"plug.measured_with": "drawing"})
    (tmp_path / "drawing.toml").write_text(drawing.to_toml(), "utf-8")
    rows = _against(tmp_path / "drawing.toml")
    assert set(rows.values()) == {"agrees"}
    assert set(_against(example).values()) == {"agrees", "cannot tell"}
    assert {"shoulder_thickness", "nose_chamfer"} <= rows.keys()


def test_exported_description_is_what_the_scan_gives(told: tuple[dict[str, Any], Path]) -> None:
    """Pinned: values within a fifth of their uncertainty, whatever the last digits."""
    fresh = tomllib.loads(told[1].read_text("utf-8"))["plug"]
    kept = tomllib.loads((EXPORTED / "plug.toml").read_text("utf-8"))["plug"]
    _same({key: one for key, one in fresh.items() if key != "correlation"},
          {key: one for key, one in kept.items() if key != "correlation"})  # fmt: skip
    names = {"deviation.png", "map.png", "plug.toml", "profile.png", "residuals.png"}
    there = {file.name for file in EXPORTED.iterdir()} - {"manifest.json"}
    assert there == names | {"scan_report.html"}


def _same(one: Any, other: Any) -> None:
    if isinstance(one, dict) and "value" in one:
        assert one["value"] == pytest.approx(other["value"], abs=0.2 * one["u"])
        assert one["u"] == pytest.approx(other["u"], rel=0.1)
    elif isinstance(one, dict):
        assert one.keys() == other.keys()
        for key in one:
            _same(one[key], other[key])
    elif isinstance(one, list):
        assert len(one) == len(other)
        for a, b in zip(one, other, strict=True):
            _same(a, b)
    else:
        assert one == other
