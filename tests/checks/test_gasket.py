"""A flat gasket under the shoulder: where the plug stands, how far it is squeezed, what it loads.

3 mm thick, used between 15 and 35 %: the shoulder comes no nearer than 3 x 0.65 = 1.95 mm.
"""

from __future__ import annotations

import math
from typing import Any

import pytest

import bayonet
from bayonet.checks.motion import prove
from bayonet.checks.run import before_chains
from bayonet.findings import Verdict

CAP: dict[str, Any] = {
    "design": {"name": "Filler cap of a softener tank (invented)"},
    "plug": {
        "hand": "right", "turn_deg": 60, "shoulder_diameter": 60.0, "nose_chamfer": 1.0,
        "made_by": "machined", "measured_with": "drawing",
        "body": [{"diameter": 36.0, "to_depth": 20.0}],
        "lugs": {"count": 3, "width": 11.0, "outer_diameter": 45.0, "thickness": 4.0,
                 "bearing_depth": 8.0},
    },
    "socket": {
        "process": "machined", "wall": 8.5, "clearance": {"axial": 0.3},
        "track": {"lead": 9.0, "dwell_deg": 50, "made_by": "erosion"},
        "seal": {
            "kind": "gasket", "hardness": 50, "compression_set": 0.25,
            "gasket": {"thickness": 3.0, "inner_diameter": 48.0, "outer_diameter": 57.0,
                       "squeeze": [0.15, 0.35]},
        },
    },
}  # fmt: skip


def cap(*changes: tuple[str, Any]) -> bayonet.Design:
    return bayonet.from_mapping(CAP).with_(dict(changes))


def quick(design: bayonet.Design) -> dict[str, bayonet.Finding]:
    return {f.code: f for f in before_chains(design, prove(design.plug, design.socket))}


def test_the_plug_stands_on_its_gasket() -> None:
    """Lugs 8 under the shoulder lie 6.05 under the mouth face; the roof 0.3 above: 5.75."""
    design = cap()
    assert design.plug.stands_off_mm == pytest.approx(1.95)
    assert design.plug.lugs[0].bearing_depth_mm == pytest.approx(6.05)
    assert design.plug.nose_depth_mm == pytest.approx(18.05)
    assert design.socket.tracks[0].roof[-1][1] == pytest.approx(5.75)


def test_left_to_itself_it_keeps_the_middle_of_its_range() -> None:
    """A quarter of 3 mm lies midway between 15 and 35 %: the roof is 0.3 above the lugs."""
    assert cap(("socket.clearance", {})).socket.clearance.axial_mm == pytest.approx(0.3)


def test_squeeze_over_the_zone_by_hand() -> None:
    """Pushed out: 1 - (1.95 + 0.3) / 3 = 25 %; worst with the most play and the thinnest."""
    design = cap(("socket.seal.gasket.thickness", {"value": 3.0, "tol": 0.1}))
    proof = prove(design.plug, design.socket)
    found = quick(design)
    squeeze = found["seal.gasket_squeeze"]
    assert "25.0 %" in squeeze.message
    assert squeeze.value == pytest.approx(1.0 - (1.95 + proof.loosest.play_mm) / 2.9)
    most = found["seal.gasket_most"]
    assert most.value == pytest.approx(1.0 - (1.95 + proof.tightest.play_mm) / 3.1)


def test_the_chain_of_the_squeeze_is_the_same_figure() -> None:
    """Nominal 25 %; its worst case lies within the zone's, which has both ends of a lug off."""
    design = cap(("socket.seal.gasket.thickness", {"value": 3.0, "tol": 0.1}))
    result = bayonet.check(design)
    chain = result.study.of("gasket_squeeze")
    zone = result["seal.gasket_squeeze"].value
    assert chain.nominal == pytest.approx(0.25, abs=1e-6)
    assert zone is not None
    assert zone - 1e-4 <= chain.worst.low < 0.25 < chain.worst.high <= 0.40


def test_it_loads_the_lugs_without_any_pressure() -> None:
    """Hardness 50: E = 2.46 MPa (Gent 1958, from memory). Ring 48 to 57, 4.5 wide: S = 0.75.

    Stuck to its faces, squeezed 35 %: E_c = 4/3 E (1 + 0.75^2) = 5.13; (0.65^-2 - 0.65) / 3 =
    0.572: 2.94 MPa on 742 mm2.
    """
    design = cap(
        ("service.plug_material", "304 stainless"), ("service.socket_material", "304 stainless")
    )
    result = bayonet.check(design)
    modulus = 0.0981 * (56 + 7.62336 * 50) / (0.137505 * (254 - 2.54 * 50))
    stuck = 4 / 3 * modulus * (1 + 0.75**2)
    area = math.pi * (28.5**2 - 24.0**2)
    force = stuck / 3 * (0.65**-2 - 0.65) * area
    assert result.strength.clamp_n == pytest.approx(force, rel=1e-6)
    assert 2000 < force < 2300
    soft = cap(("socket.seal.hardness", None), ("service.plug_material", "304 stainless"))
    assert bayonet.check(soft)["handling.torque"].verdict is Verdict.OPEN


def test_it_must_press_harder_than_the_fluid() -> None:
    """Aged it keeps 3/4 of its least squeeze; sliding faces: E / 3 (l^-2 - l)."""
    found = quick(cap(("service.pressure", "1 bar")))
    least = found["seal.gasket_squeeze"].value
    assert least is not None
    left = 1.0 - 0.75 * least
    modulus = 0.0981 * (56 + 7.62336 * 50) / (0.137505 * (254 - 2.54 * 50))
    holds = found["seal.gasket_holds"]
    assert holds.value == pytest.approx(modulus / 3 * (left**-2 - left), rel=1e-6)
    assert holds.limit == pytest.approx(0.15), "1 bar at proof, 1.5 times"
    assert quick(cap(("service.pressure", "6 bar")))["seal.gasket_holds"].verdict is Verdict.FAIL
    open_ = quick(cap(("service.pressure", "1 bar"), ("socket.seal.compression_set", None)))
    assert open_["seal.gasket_holds"].verdict is Verdict.OPEN
    assert open_["seal.gasket_service"].verdict is Verdict.OPEN


def test_it_lies_outside_the_slots() -> None:
    """Tracks are 45.5 across; a gasket from 46 has less than the plug can be pushed aside."""
    assert quick(cap())["seal.gasket_position"].verdict is Verdict.PASS
    inside = quick(cap(("socket.seal.gasket.inner_diameter", 45.6)))["seal.gasket_position"]
    assert inside.verdict is Verdict.FAIL
    assert "over the entry slots" in inside.message


@pytest.mark.parametrize(
    ("changes", "field", "words"),
    [
        ({"socket.seating": "clamp", "socket.track.dwell_deg": 0,
          "socket.stop.overtravel_deg": 10}, "socket.seating", "is not reckoned"),
        ({"plug.lugs.bearing_depth": 1.5}, "socket.seal.gasket.thickness", "left for a roof"),
        ({"socket.seal.kind": "none"}, "socket.seal.kind", "leave [socket.seal.gasket] out"),
    ],
)  # fmt: skip
def test_what_cannot_be_is_refused(changes: dict[str, Any], field: str, words: str) -> None:
    with pytest.raises(bayonet.DesignError) as error:
        cap(*changes.items())
    assert [p.field for p in error.value.problems] == [field]
    assert words in error.value.problems[0].rule
