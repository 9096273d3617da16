"""A judgement given step by step ends as the whole one, and its early words are not its last."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

import bayonet
from bayonet.checks import Corners, FirstLook, Result, judge, steps
from bayonet.findings import Verdict

EXAMPLES = Path(__file__).parents[2] / "examples"


@pytest.fixture(scope="module")
def walked() -> list[FirstLook | Corners | Result]:
    return list(steps(bayonet.load(EXAMPLES / "level_sensor.toml")))


def test_the_last_step_is_the_judgement(walked: list[FirstLook | Corners | Result]) -> None:
    last = walked[-1]
    assert isinstance(last, Result)
    assert last.findings == judge(last.design).findings


def test_the_motion_comes_first_and_needs_no_chain(
    walked: list[FirstLook | Corners | Result],
) -> None:
    first, _, last = walked
    assert isinstance(first, FirstLook)
    assert isinstance(last, Result)
    later = {one.code: one for one in last.findings}
    assert {one.code for one in first.findings} <= set(later)
    assert all(later[one.code] == one for one in first.findings if one.code != "motion.enters")


def test_corners_come_before_rates_and_no_sampled_part_is_outside_them(
    walked: list[FirstLook | Corners | Result],
) -> None:
    _, corners, last = walked
    assert isinstance(corners, Corners)
    assert isinstance(last, Result)
    source = np.random.default_rng(7)
    for figures in last.study.figures:
        key = figures.chain.key
        assert figures.worst == corners.worst[key]
        assert corners.room(figures.chain) == figures.worst_room
    lows = np.array([[v.low] for v in corners.chains.variables])
    highs = np.array([[v.half_width] for v in corners.chains.variables])
    parts = lows + (highs - lows) * source.random((len(lows), 400))
    for row, variable in enumerate(corners.chains.variables):
        if variable.disc:
            parts[row] /= np.sqrt(2.0)  # within the round zone
    for key, values in corners.chains.values(parts).items():
        assert values.min() >= corners.worst[key].low - 1e-9
        assert values.max() <= corners.worst[key].high + 1e-9


def test_a_gland_that_cannot_hold_the_ring_is_known_at_the_first_step() -> None:
    """A ring of 2.62 mm in a groove 2.0 mm wide: more ring than room."""
    text = bayonet.starting_file()
    narrow = text.replace("width = 3.6", "width = 2.0", 1)
    assert narrow != text
    first = next(steps(bayonet.loads(narrow)))
    assert isinstance(first, FirstLook)
    assert first.verdict is Verdict.FAIL
