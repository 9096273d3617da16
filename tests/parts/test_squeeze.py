"""The squeeze taken where none is given lies in the printed band of every section and layout."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any, cast

import pytest

import bayonet
from bayonet.parts.ring import Ring
from bayonet.parts.sealing import usual_squeeze

# Squeeze in per cent as printed: static radial and static axial (face), by section in inches.
BANDS = {
    "radial": {0.070: (18, 32), 0.103: (14, 25), 0.139: (14, 23), 0.210: (14, 21), 0.275: (13, 20)},
    "face": {0.070: (19, 33), 0.103: (19, 29), 0.139: (20, 30), 0.210: (20, 28), 0.275: (20, 27)},
}


def ring_of(section_mm: float) -> Ring:
    return Ring(
        name="x", inside_diameter_mm=50.0, inside_diameter_tol_mm=0.3, section_mm=section_mm,
        section_tol_mm=0.1, source="", provenance="", why="",
    )  # fmt: skip


@pytest.mark.parametrize("kind", ["radial", "shoulder_face", "nose_face"])
@pytest.mark.parametrize("inches", [0.070, 0.103, 0.139, 0.210, 0.275])
def test_default_lies_well_inside_the_sections_band(kind: str, inches: float) -> None:
    plug = cast(Any, SimpleNamespace(groove_kind=kind))
    low, high = BANDS["radial" if kind == "radial" else "face"][inches]
    got = 100 * usual_squeeze(plug, ring_of(25.4 * inches))
    assert low + 3 <= got <= high - 3


def test_a_section_no_chart_has_takes_a_fifth() -> None:
    """10 to 30 %: the middle."""
    plug = cast(Any, SimpleNamespace(groove_kind="radial"))
    assert usual_squeeze(plug, ring_of(4.3)) == pytest.approx(0.20)


@pytest.mark.parametrize("name", ["level_sensor", "irrigation_drain"])
def test_a_radial_bore_is_made_for_it(name: str, request: pytest.FixtureRequest) -> None:
    """Layouts A and B: squeeze 19.5 % (section 0.103 in) and 18.5 % (0.139 in)."""
    from bayonet.parts.design import changed

    fixture = {"level_sensor": "sensor", "irrigation_drain": "drain"}[name]
    design: bayonet.Design = request.getfixturevalue(fixture)
    free = changed(design, [("socket.seal.squeeze", None), ("socket.seal.bore_diameter", None)])
    (got,) = (f for f in bayonet.check(free).findings if f.code == "seal.squeeze")
    assert got.value == pytest.approx({"sensor": 19.5, "drain": 18.5}[fixture], abs=1e-6)
    assert got.verdict.value == "pass"
