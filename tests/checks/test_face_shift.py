"""A face groove is pushed aside with its plug: the slots must stay inside the ring then too."""

from __future__ import annotations

from typing import Any

import pytest

import bayonet
from bayonet.parts.design import changed


def face(groove_mm: float) -> bayonet.Design:
    """Lugs over 40.0 mm in tracks of 40.5; body 32.0 in a bore of 32.8; groove from a diameter."""
    raw: dict[str, Any] = {
        "plug": {
            "hand": "right", "turn_deg": 60, "made_by": "machined", "shoulder_diameter": 64.0,
            "measured_with": "drawing",
            "body": [{"diameter": 32.0, "to_depth": 14.0}],
            "lugs": {"count": 3, "width_deg": 28.0, "outer_diameter": 40.0, "thickness": 5.0,
                     "bearing_depth": 5.0, "lead": 5.0},
            "groove": {"kind": "shoulder_face", "diameter": groove_mm, "width": 5.0,
                       "depth": {"value": 2.6, "tol": 0.05}, "corner_radius": 0.2},
        },
        "socket": {
            "seating": "clamp", "process": "machined", "clearance": {"body": 0.8},
            "stop": {"overtravel_deg": 20, "least_engagement": 0.5},
            "seal": {"ring_section": 3.53, "ring_inside_diameter": groove_mm + 0.3},
        },
    }  # fmt: skip
    return bayonet.from_mapping(raw)


def position(design: bayonet.Design) -> bayonet.Finding:
    (found,) = (f for f in bayonet.check(design).findings if f.code == "seal.position")
    return found


@pytest.mark.parametrize(("groove_mm", "verdict"), [(40.6, "fail"), (41.3, "fail"), (42.0, "pass")])
def test_the_groove_moves_with_the_plug(groove_mm: float, verdict: str) -> None:
    assert position(face(groove_mm)).verdict.value == verdict


def test_the_shift_by_hand() -> None:
    """Groove 42.0 against slots of 40.5: 0.75 mm; zones 0.02 (groove) and 0.025 (wall).

    Aside: bore 32.85 less body 31.96 is 0.445 mm on radius; tracks 0.02 off the bore, groove 0.01
    off the body (zones of 0.04 and 0.02 mm). Clamped, it cannot lean.
    """
    got = position(face(42.0))
    assert got.value == pytest.approx(0.75 - 0.045 - 0.445 - 0.02 - 0.01, abs=2e-3)


def test_more_clearance_is_more_shift() -> None:
    wide = changed(face(42.0), [("socket.clearance.body", 1.0)])
    before, after = position(face(42.0)).value, position(wide).value
    assert before is not None
    assert after == pytest.approx(before - 0.1, abs=1e-9)
