"""The examples pass, and exports/ is what one documented command gives."""

from __future__ import annotations

from pathlib import Path

import pytest
import trimesh

import bayonet
from bayonet.jobs.design import Made
from bayonet.solids.kernel import step

ROOT = Path(__file__).parents[1]
EXPORTED = ROOT / "exports" / "level_sensor"


def test_examples_pass(example: bayonet.Design) -> None:
    failing = [f for f in bayonet.check(example).findings if f.verdict is bayonet.Verdict.FAIL]
    assert failing == []


def test_the_three_layouts_are_shown(
    sensor: bayonet.Design, drain: bayonet.Design, vent: bayonet.Design
) -> None:
    assert [d.socket.layout for d in (sensor, drain, vent)] == ["A", "B", "C"]


def test_the_starting_file_is_a_design_that_does_not_fail() -> None:
    design = bayonet.loads(bayonet.starting_file())
    assert bayonet.check(design).verdict is not bayonet.Verdict.FAIL


def test_exported_findings_are_what_make_gives(made: dict[str, Made]) -> None:
    """Pinned: regenerate with the command in README, and say why in the change notes."""
    fresh = made["level_sensor"].folder / "findings.json"
    assert (EXPORTED / "findings.json").read_text("utf-8") == fresh.read_text("utf-8")


@pytest.mark.parametrize("name", ["plug.step", "socket.step"])
def test_exported_solids_are_what_make_gives(made: dict[str, Made], name: str) -> None:
    """By shape, not by byte: the bytes may change with the kernel's version."""
    one = step.read(EXPORTED / name)
    other = step.read(made["level_sensor"].folder / name)
    assert one.Volume() == pytest.approx(other.Volume(), rel=1e-12)
    assert one.Area() == pytest.approx(other.Area(), rel=1e-9)
    assert len(one.Faces()) == len(other.Faces())


@pytest.mark.parametrize("name", ["socket.stl", "socket.3mf"])
def test_exported_meshes_are_what_make_gives(made: dict[str, Made], name: str) -> None:
    one = trimesh.load(EXPORTED / name, force="mesh")
    other = trimesh.load(made["level_sensor"].folder / name, force="mesh")
    assert one.is_watertight
    assert one.volume == pytest.approx(other.volume, rel=1e-4)


def test_exports_are_complete(made: dict[str, Made]) -> None:
    there = {f.name for f in EXPORTED.iterdir()} - {"manifest.json"}
    assert there == set(made["level_sensor"].files)


def test_exported_print_test_is_what_sample_gives(sensor: bayonet.Design) -> None:
    """Pinned: sizes, volumes and findings of the pieces, and the form to fill in."""
    from bayonet.printing.ladder import sample, usual_steps
    from bayonet.report.terminal import pieces

    folder = ROOT / "exports" / "level_sensor_print_test"
    there = {file.name for file in folder.iterdir()} - {"manifest.json"}
    files = tuple(sorted(there))
    made = sample(sensor, steps_mm=usual_steps(sensor.socket, count=5, step_mm=0.1))
    fresh = pieces.sample_json(made, files=files)
    assert (folder / "sample.json").read_text("utf-8") == fresh
    assert (folder / "results_form.csv").read_text("utf-8") == pieces.results_form(made)
    (ring,) = trimesh.load(folder / "ring.stl", force="mesh").split()
    assert ring.volume == pytest.approx(made.volume_mm3(made.ring), rel=1e-3)
