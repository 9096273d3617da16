"""A plug that carries no ring: one bore for all of it, and nothing said of a seal it has not."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

import bayonet
from bayonet.findings import Verdict

CAP: dict[str, Any] = {
    "design": {"name": "Cap of a lint box (invented)"},
    "plug": {
        "hand": "right", "turn_deg": 60, "shoulder_diameter": 56.0, "nose_chamfer": 1.0,
        "body": [
            {"diameter": 36.0, "to_depth": 12.0}, {"diameter": 30.0, "to_depth": 20.0},
        ],
        "lugs": {"count": 3, "width": 11.0, "outer_diameter": 45.0, "thickness": 4.0,
                 "bearing_depth": 6.0},
    },
    "socket": {
        "process": "machined", "wall": 5.0, "clearance": {"body": 0.4, "axial": 0.3},
        "track": {"lead": 6.0, "dwell_deg": 50, "made_by": "erosion"}, "seal": {"kind": "none"},
    },
}  # fmt: skip


def cap(*changes: tuple[str, Any]) -> bayonet.Design:
    return bayonet.from_mapping(CAP).with_(dict(changes))


def test_one_bore_as_wide_as_the_widest_step_needs() -> None:
    """36 with 0.4 of clearance: 36.4 through the whole boss; a narrower passage has a floor."""
    socket = cap().socket
    assert socket.layout == "D"
    assert socket.ring is None
    assert socket.seal_radius_mm is None
    assert {radius for radius, depth in socket.bore if depth > 1.0} == {18.2}
    below = cap(("socket.passage_diameter", 20.0)).socket
    assert below.nose_floor_mm == pytest.approx(20.0 + below.clearance.nose_mm)


def test_nothing_seals_is_said_first_and_fails_under_pressure() -> None:
    calm = bayonet.check(cap())
    assert calm.headline[0].startswith("Nothing seals")
    assert calm["seal.none"].verdict is Verdict.LOOK
    assert not {f.code for f in calm.findings} & {"seal.squeeze", "seal.position", "seal.ring"}
    pressed = bayonet.check(cap(("service.pressure", "2 bar")))
    assert pressed["seal.none"].verdict is Verdict.FAIL
    assert "pressure of 0.2 MPa" in pressed["seal.none"].message
    held = bayonet.check(cap(("service.pressure", "2 bar"), ("service.vacuum", "0.3 bar")))
    assert "vacuum of 0.03 MPa" in held["seal.none"].message


def test_pressure_loads_it_over_all_the_fluid_reaches() -> None:
    """0.2 MPa on the tracks' walls, 45.5 + 0.025 mm across: 325 N."""
    found = bayonet.check(
        cap(("service.pressure", "2 bar"), ("socket.clearance.lug_radial", 0.25))
    ).strength
    assert found.working_n == pytest.approx(0.2 * np.pi * (22.75 + 0.0125) ** 2, rel=2e-3)
    assert found.ring.drag_nm == (0.0, 0.0), "no ring, no rubbing"


@pytest.mark.parametrize(
    ("changes", "field", "words"),
    [
        ({"socket.seal.kind": "ring"}, "socket.seal.kind", "the plug has no groove"),
        ({"socket.seal.squeeze": 0.2}, "socket.seal.squeeze", "there is no ring"),
        ({"socket.layout": "A"}, "socket.layout", "it carries no ring"),
        (
            {"plug.groove": {"diameter": 26.0, "at_depth": 15.0, "width": 3.0}},
            "socket.seal.kind", "leave one of them out",
        ),
    ],
)  # fmt: skip
def test_what_contradicts_itself_is_refused(
    changes: dict[str, Any], field: str, words: str
) -> None:
    with pytest.raises(bayonet.DesignError) as error:
        cap(*changes.items())
    assert [p.field for p in error.value.problems] == [field]
    assert words in error.value.problems[0].rule
