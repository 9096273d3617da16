"""Gaps of the seal that used to be silent: named, judged where a source allows."""

from __future__ import annotations

import pytest
from test_findings import changed, finding, quick

from bayonet.parts.design import changed as with_fields

SENSOR, VENT = "level_sensor", "brewery_vent"


def test_a_nylon_plug_grows_more_than_its_clearance() -> None:
    """PA6, body 32.0: 2 to 3.5 % at saturation (Intech Power) is 0.32 to 0.56 mm on radius."""
    got = finding(changed(SENSOR, ('"A356-T6" ', '"PA6" ')), "seal.moisture")
    assert got.value == pytest.approx(0.035 * 16.0)
    assert got.verdict.value == "look"
    assert "0.320 to 0.560 mm" in got.message


def test_pa12_grows_a_fraction_of_that() -> None:
    """0.2 % of 16 mm on radius: less than is free at nominal size, more than within limits."""
    got = finding(changed(SENSOR, ('"A356-T6" ', '"PA12" ')), "seal.moisture")
    assert got.value == pytest.approx(0.032)
    assert got.limit == pytest.approx(0.0149, abs=1e-4), "as clearance.body says"
    assert got.verdict.value == "look"


@pytest.mark.parametrize(
    ("name", "pairs", "codes"),
    [
        (SENSOR, [], {"seal.vacuum", "seal.wear"}),
        (SENSOR, [('"6061-T6"', '"POM-C"')], {"seal.vacuum", "seal.wear", "seal.bore_creep"}),
        (SENSOR, [('"A356-T6" ', '"PA6-GF30" ')], {"seal.vacuum", "seal.wear", "seal.moisture"}),
        (SENSOR, [('"6061-T6"', '"PA12"')],
         {"seal.vacuum", "seal.wear", "seal.moisture", "seal.bore_creep"}),
        (VENT, [], {"seal.vacuum", "seal.wear", "seal.clamp_heat"}),
    ],
)  # fmt: skip
def test_what_is_not_judged_is_open_by_name(
    name: str, pairs: list[tuple[str, str]], codes: set[str]
) -> None:
    mine = {"seal.vacuum", "seal.wear", "seal.moisture", "seal.bore_creep", "seal.clamp_heat"}
    found = {f.code: f for f in quick(changed(name, *pairs)) if f.code in mine}
    assert set(found) == codes
    assert all(f.verdict.value == "open" and f.message for f in found.values())


def test_a_vacuum_given_is_judged() -> None:
    design = with_fields(changed(SENSOR), [("service.vacuum", "0.5 bar")])
    assert "seal.vacuum" not in {f.code for f in quick(design)}
