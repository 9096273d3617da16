"""The examples pass, and exports/ is what one documented command gives."""

from __future__ import annotations

from pathlib import Path

import pytest

import bayonet
from bayonet.job import Made

ROOT = Path(__file__).parents[1]
EXPORTED = ROOT / "exports" / "coolant_level_sensor"


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


@pytest.mark.parametrize("name", ["plug.step", "socket.step", "findings.json", "socket.stl"])
def test_exports_are_what_make_gives(made: dict[str, Made], name: str) -> None:
    """Pinned: regenerate with the command in README, and say why in the change notes.

    Pictures and zip containers depend on the libraries' versions and are held by size only.
    """
    fresh = made["coolant_level_sensor"].folder / name
    assert (EXPORTED / name).read_bytes() == fresh.read_bytes()


def test_exports_are_complete(made: dict[str, Made]) -> None:
    assert {f.name for f in EXPORTED.iterdir()} == set(made["coolant_level_sensor"].files)
