"""One quantity, one rule: the socket by itself and on its tank are judged alike."""

from __future__ import annotations

import pytest
from test_findings import changed, finding

import bayonet
from bayonet.checks.making import enough_wall
from bayonet.findings import Verdict
from bayonet.parts.design import changed as with_fields


@pytest.mark.parametrize(("wall", "verdict"), [(4.04, Verdict.FAIL), (4.06, Verdict.PASS)])
def test_a_wall_is_judged_at_its_limits_everywhere(
    sensor: bayonet.Design, wall: float, verdict: Verdict
) -> None:
    """Track wall 20.25; 4.04 within 0.05 leave 3.99 of the 4 asked for, 4.06 leave 4.01."""
    boss = 2.0 * (20.25 + wall)
    design = with_fields(sensor, [("socket.boss_diameter", boss)])
    own = finding(design, "shape.wall")
    socket = design.socket
    grafted = enough_wall(
        wall, socket, within_mm=socket.tolerance.diameter_mm, code="graft.track_wall", what="",
        change="",
    )  # fmt: skip
    assert own.value == pytest.approx(wall - 0.05)
    assert (own.verdict, own.limit, own.margin) == (
        grafted.verdict, grafted.limit, pytest.approx(grafted.margin)
    )  # fmt: skip
    assert own.verdict is verdict


def test_a_boss_left_to_the_program_keeps_its_wall_at_the_limits(example: bayonet.Design) -> None:
    free = [("socket.boss_diameter", None), ("socket.boss_height", None)]
    for wall in (2.0, 3.7, 5.5):
        design = with_fields(example, [*free, ("socket.wall", wall)])
        for code in ("shape.wall", "shape.below_floor"):
            found = finding(design, code)
            assert found.verdict is Verdict.PASS
            assert found.limit == wall


def test_a_wall_that_fails_is_mended_by_what_is_proposed() -> None:
    tight = changed("level_sensor", ("wall = 4.0", "wall = 4.0\nboss_diameter = 48.5"))
    bad = finding(tight, "shape.wall")
    assert bad.verdict is Verdict.FAIL
    assert finding(bayonet.mended(tight, bad), "shape.wall").verdict is Verdict.PASS
