"""Marks: areas by hand, characters apart and unlike each other."""

from __future__ import annotations

import itertools

import pytest
import shapely

from bayonet.developed.characters import Lettering, along_arc, strokes

FIVE = Lettering(height_mm=5.0, stroke_mm=0.8)  # 3 wide

# outline less what is left standing; the bars are 0.8, the two windows (5 - 3 x 0.8) / 2 = 1.3 high
AREAS = {
    "0": 3 * 5 - 1.4 * 3.4,
    "1": 0.8 * 5,
    "2": 3 * 5 - 2 * 2.2 * 1.3,
    "3": 3 * 5 - 2 * 2.2 * 1.3,
    "4": 3 * 5 - 1.4 * 2.1 - 2.2 * 2.1,
    "5": 3 * 5 - 2 * 2.2 * 1.3,
    "6": 3 * 5 - 2.2 * 1.3 - 1.4 * 1.3,
    "7": 0.8 * 5 + 2.2 * 0.8,
    "8": 3 * 5 - 2 * 1.4 * 1.3,
    "9": 3 * 5 - 1.4 * 1.3 - 2.2 * 1.3,
    "+": 2 * 3 * 0.8 - 0.8**2,
    "-": 3 * 0.8,
    ".": 0.8**2,
}


@pytest.mark.parametrize(("character", "area"), AREAS.items())
def test_areas_by_hand(character: str, area: float) -> None:
    shape = strokes(character, FIVE)
    assert shape.area == pytest.approx(area, rel=1e-12)
    assert shape.is_valid
    assert len(shape.interiors) == {"0": 1, "6": 1, "8": 2, "9": 1}.get(character, 0)


def test_no_two_characters_look_alike() -> None:
    for one, other in itertools.combinations(AREAS, 2):
        unlike = strokes(one, FIVE).symmetric_difference(strokes(other, FIVE)).area
        assert unlike > 0.8 * 0.8, (one, other)


@pytest.mark.parametrize("radius", [8.0, 10.0, 30.0])
def test_a_text_round_a_small_circle_keeps_its_characters_apart(radius: float) -> None:
    placed = along_arc("+0.80", FIVE, radius_mm=radius)
    for one, other in itertools.combinations(placed, 2):
        assert one.distance(other) > 0.3
    whole = shapely.union_all(placed)
    inner = radius - 2.5
    assert whole.distance(shapely.Point(0, 0)) > 0.9 * inner
    # reads clockwise from the left, so left to right at 12 o'clock
    assert placed[0].centroid.x < 0 < placed[-1].centroid.x
