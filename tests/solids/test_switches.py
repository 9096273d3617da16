"""Whoever else uses the CAD kernel in the same process finds its switches as they were."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import cadquery as cq
import pytest
from OCP.Interface import Interface_Static
from OCP.STEPCAFControl import STEPCAFControl_Controller

import bayonet
from bayonet import solids
from bayonet.solids.graft import tank, tank_step
from bayonet.solids.kernel import StepHead, step

KEYS = (
    "write.step.schema", "write.step.unit", "write.surfacecurve.mode", "xstep.cascade.unit",
)  # fmt: skip
THEIRS = ("AP203", "INCH", "On", "INCH")  # an inch user of another schema
HEAD = StepHead(product="part", description="test")


def _now() -> tuple[str, ...]:
    return tuple(Interface_Static.CVal_s(key) for key in KEYS)


@pytest.fixture(autouse=True)
def theirs() -> Iterator[None]:
    STEPCAFControl_Controller.Init_s()
    before = _now()
    for key, value in zip(KEYS, THEIRS, strict=True):
        assert Interface_Static.SetCVal_s(key, value)
    yield
    for key, value in zip(KEYS, before, strict=True):
        Interface_Static.SetCVal_s(key, value)


def test_writing_and_reading_a_part(sensor: bayonet.Design, tmp_path: Path) -> None:
    made = solids.socket(sensor)
    step.write(made, tmp_path / "a.step", head=HEAD)
    assert _now() == THEIRS
    assert b"AP242" in (tmp_path / "a.step").read_bytes()[:2000]
    again = step.read(tmp_path / "a.step")
    assert _now() == THEIRS
    assert again.Volume() == pytest.approx(made.Volume(), rel=1e-9)  # mm, whatever they work in


def test_writing_and_reading_a_tank(tmp_path: Path) -> None:
    box = cq.Workplane("XY").box(30.0, 20.0, 10.0).val()
    one = tank.TankSolid(name="box", solid=box)
    tank_step.write(tank.Tank(file="", solids=(one,)), tmp_path / "t.step", head=HEAD)
    assert _now() == THEIRS
    assert tank.read(tmp_path / "t.step").solids[0].solid.Volume() == pytest.approx(6000.0)
    assert tank.shape_of(tmp_path / "t.step").Volume() == pytest.approx(6000.0)
    assert _now() == THEIRS


def test_a_refused_file_leaves_them_too(tmp_path: Path) -> None:
    (tmp_path / "bad.step").write_text("ISO-10303-21;\nnonsense\n", "utf-8")
    with pytest.raises(bayonet.BayonetError):
        step.read(tmp_path / "bad.step")
    assert _now() == THEIRS
