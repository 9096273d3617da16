"""Advice is tried before it is given: what is printed helps, what does not help is said not to."""

from __future__ import annotations

from typing import Any

import pytest

import bayonet
from bayonet.findings import SEVERITY, Finding, Verdict
from bayonet.parts.design import changed

Changes = list[tuple[str, Any]]
SPOILT: list[Changes] = [
    [("socket.clearance.axial", 0.02)],
    [("socket.clearance.lug_radial", 0.02)],
    [("socket.seal.bore_diameter", 26.75), ("socket.seal.squeeze", None)],
    [("plug.body.0.diameter", {"readings": [31.8, 32.2]})],
    [("plug.groove.diameter", {"value": 22.4, "tol": 0.6})],
]


def worst(found: tuple[Finding, ...]) -> dict[str, Verdict]:
    known: dict[str, Verdict] = {}
    for one in found:
        known[one.code] = max(known.get(one.code, one.verdict), one.verdict, key=SEVERITY.index)
    return known


@pytest.mark.parametrize("changes", SPOILT, ids=lambda c: c[0][0])
def test_every_proposal_kept_helps_and_harms_nothing(
    sensor: bayonet.Design, changes: Changes
) -> None:
    result = bayonet.check(changed(sensor, changes))
    before = worst(result.findings)
    for one in result.findings:
        if one.verdict is not Verdict.FAIL or not one.mends:
            continue
        after = worst(bayonet.check(bayonet.mended(result.design, one)).findings)
        assert after.get(one.code, Verdict.PASS) is Verdict.PASS, one.change
        for code, verdict in after.items():
            was = before.get(code, Verdict.LOOK)
            assert SEVERITY.index(verdict) <= SEVERITY.index(was), (one.change, code)


def test_a_clearance_of_sixteen_millimetres_is_not_advice(sensor: bayonet.Design) -> None:
    """Two readings 0.4 apart: no bore holds such a body, and none is proposed."""
    result = bayonet.check(changed(sensor, SPOILT[3]))
    (found,) = [f for f in result.findings if f.code == "tolerance.body_radial"]
    assert found.verdict is Verdict.FAIL
    assert found.mends == ()
    assert "no single change helps" in found.change
    assert "cannot be drawn" in found.change


def test_a_bore_proposed_leaves_the_squeeze_out(sensor: bayonet.Design) -> None:
    result = bayonet.check(changed(sensor, [("socket.tolerance.sealing_bore", 0.4)]))
    for one in result.findings:
        fields = dict(one.mends)
        if "socket.seal.bore_diameter" in fields:
            assert fields["socket.seal.squeeze"] is None
