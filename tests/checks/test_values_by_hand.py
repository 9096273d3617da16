"""Values of findings that no other test asks for, from the numbers of the file by hand."""

from __future__ import annotations

import math

import pytest
from test_findings import changed, quick

import bayonet


@pytest.mark.parametrize(
    ("name", "code", "value"),
    [
        # axial 0.45 less detent 0.22
        ("irrigation_drain", "tolerance.detent_pass", 0.45 - 0.22),
        # floor 0.7 at the wall, which slopes down 30 deg over 0.6 of radial clearance to the lug
        ("brewery_vent", "tolerance.way_height", 0.7 + 0.6 * math.tan(math.radians(30.0))),
        # clearance.nose of machined parts
        ("irrigation_drain", "tolerance.nose_gap", 0.5),
        # sealing bore 57.65, lugs 54
        ("irrigation_drain", "tolerance.lugs_pass_seal", (57.65 - 54.0) / 2.0),
        # a turn of 80 and a lug of 28.5 deg: all of it is under the roof
        ("level_sensor", "tolerance.engagement", 100.0),
        # stop 22 deg beyond lock
        ("brewery_vent", "tolerance.tight_before_stop", 22.0),
        # turn 95 less slot half (20 + side 0.6 on 22.5: 1.53) and (0.75 - 0.5) of 40
        ("brewery_vent", "tolerance.tight_after_engaged", 95.0 - 21.53 - 10.0),
    ],
)
def test_chains_by_hand(name: str, code: str, value: float) -> None:
    """Nominal values; within 0.1 %, which heat of the file's mean temperature takes."""
    found = {f.code: f for f in bayonet.check(changed(name)).findings}[code]
    assert found.value == pytest.approx(value, rel=1e-3)


def test_what_needs_a_field_is_open_by_name(sensor: bayonet.Design, vent: bayonet.Design) -> None:
    found = {f.code: f for f in bayonet.check(bayonet.loads(bayonet.starting_file())).findings}
    assert found["tolerance.heat"].verdict == "open"
    assert "lowest_c" in found["tolerance.heat"].message
    rows = {f.code: f for f in quick(sensor)}
    assert rows["load.fatigue"].verdict == "open"
    assert rows["handling.unlock"].value == pytest.approx(rows["handling.lock"].value)
    up = {f.code: f.value for f in quick(vent)}
    assert up["handling.unlock"] > up["handling.lock"], "the ring pushes the ramp's friction up"


def test_the_cold_body_by_hand(sensor: bayonet.Design) -> None:
    """A356 21 and 6061 23.6e-6/K, 40 K colder: the smallest gap at the sealing bore shrinks."""
    rows = {f.code: f for f in quick(sensor)}
    shrinks = 16.1 * (23.6 - 21.0) * 1e-6 * 40.0
    warm = rows["clearance.body"].value
    assert warm is not None
    assert rows["seal.body_cold"].value == pytest.approx(warm - shrinks, abs=2e-4)
