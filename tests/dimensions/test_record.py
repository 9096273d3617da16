"""The one record against the socket it is of, sums by hand, and the figures as they are written."""

from __future__ import annotations

import math

import pytest
from conftest import EXAMPLES, NAMES
from hypothesis import given
from hypothesis import strategies as st

import bayonet
from bayonet.dimensions import Dimension, Record, figure, limits_text, printed, record_of


@pytest.fixture(scope="module")
def records() -> dict[str, tuple[bayonet.Result, Record]]:
    found = {}
    for name in NAMES:
        result = bayonet.check(
            bayonet.load(EXAMPLES / f"{name}.toml").with_({"production.samples": 8192})
        )
        found[name] = (result, record_of(result))
    return found


@pytest.mark.parametrize("name", NAMES)
def test_every_named_dimension_has_one_number(
    records: dict[str, tuple[bayonet.Result, Record]], name: str
) -> None:
    result, record = records[name]
    socket = result.design.socket
    by_key = {key: one for one in record.dimensions for key in one.keys}
    assert sum(len(one.keys) for one in record.dimensions) == len(by_key)
    for row in socket.dimensions():
        if row.key == "passage_diameter" and socket.nose_floor_mm is None:
            continue  # the last bore runs through: one surface, one dimension
        one = by_key[row.key]
        if one.key in ("track_slot_width", "track_stop", "track_centre"):
            continue  # below
        assert one.nominal == row.value
        assert (one.upper, one.lower) == (row.half_width or 0.0, -(row.half_width or 0.0))


def test_numbers_go_from_one_without_a_gap(
    records: dict[str, tuple[bayonet.Result, Record]],
) -> None:
    for _, record in records.values():
        numbers = [one.number for one in (*record.dimensions, *record.controls)]
        assert numbers == list(range(1, len(numbers) + 1))


def test_every_corner_of_the_bore_is_given(
    records: dict[str, tuple[bayonet.Result, Record]],
) -> None:
    for result, record in records.values():
        socket = result.design.socket
        diameters = [one.nominal for one in record.dimensions if one.kind == "diameter"]
        depths = [0.0] + [
            one.nominal for one in record.dimensions
            if one.kind == "depth" or one.key in ("boss_height", "mouth_chamfer")
        ]  # fmt: skip
        for radius, depth in socket.bore:
            wide = 2.0 * (radius - (socket.mouth_chamfer_mm if depth == 0.0 else 0.0))
            assert min(abs(wide - d) for d in diameters) < 1e-9
            assert min(abs(depth - d) for d in depths) < 1e-9


def test_parallel_slots_in_mm_radial_ones_in_degrees(
    records: dict[str, tuple[bayonet.Result, Record]],
) -> None:
    _, drain = records["irrigation_drain"]
    # lugs 12 and 14 wide, clearance 0.2 and half the zones a side: by the file
    widths = [one for one in drain.dimensions if one.key == "track_slot_width"]
    assert [(one.unit, one.tracks) for one in widths] == [("mm", (1, 2, 4)), ("mm", (3,))]
    assert widths[1].nominal - widths[0].nominal == pytest.approx(2.0)
    assert widths[0].upper == 0.05
    stop = drain.find("track_stop")
    assert stop is not None
    assert stop.nominal == pytest.approx(45.0)  # an eighth of a turn
    offset = drain.find("track_stop_offset")
    assert offset is not None
    assert (offset.nominal, offset.status) == (6.0, "exact")  # half a lug of 12
    _, sensor = records["level_sensor"]
    width = sensor.find("track_slot_width")
    assert width is not None
    assert width.unit == "deg"


def test_zones_by_hand(records: dict[str, tuple[bayonet.Result, Record]]) -> None:
    """Wall Ø40.5, ±0.1 deg: 40.5 tan 0.1 deg = 0.0707; tilt 0.03 deg over 12.816: 0.0067."""
    _, sensor = records["level_sensor"]
    position = sensor.control("position_slots")
    square = sensor.control("perpendicularity_bore")
    assert position is not None
    assert square is not None
    assert position.zone_mm == pytest.approx(0.0707, abs=5e-5)
    assert square.zone_mm == pytest.approx(0.0067, abs=5e-5)
    assert position.datums == ("A", "B", "C")
    assert position.places == 2  # slot 1 is the datum


def test_slots_count_from_the_first(records: dict[str, tuple[bayonet.Result, Record]]) -> None:
    _, sensor = records["level_sensor"]
    found = [one for one in sensor.dimensions if one.key == "track_centre"]
    assert [one.nominal for one in found] == pytest.approx([0.0, 120.0, 240.0])
    assert {one.status for one in found} == {"exact"}


def test_chains_of_a_dimension(records: dict[str, tuple[bayonet.Result, Record]]) -> None:
    _, sensor = records["level_sensor"]
    seal, boss = sensor.find("sealing_bore_diameter"), sensor.find("boss_diameter")
    assert seal is not None
    assert boss is not None
    assert "squeeze" in seal.chains
    assert boss.chains == ()


def test_inside_corner_is_no_more_than_the_least_gap(
    records: dict[str, tuple[bayonet.Result, Record]],
) -> None:
    for result, record in records.values():
        gap = next(f.worst.low for f in result.study.figures if f.chain.key == "lug_radial")
        corner = next(one for one in record.edges if one.feature == "track wall")
        assert 0.0 <= corner.high_mm <= max(gap, 0.0)
        assert corner.high_mm > gap - 0.05


@given(
    st.floats(0.01, 400.0), st.floats(0.002, 2.0), st.sampled_from(["mm", "deg"])
)  # fmt: skip
def test_writing_takes_little_of_the_limits(nominal: float, half: float, unit: str) -> None:
    one = Dimension(number=1, key="k", name="n", kind="length", nominal=nominal, lower=-half,
                    upper=half, unit=unit, feature="")  # type: ignore[arg-type]  # fmt: skip
    assert abs(printed(one) - nominal) <= max(0.05 * half, 5.1e-5)
    assert float(figure(one).rstrip("°")) == pytest.approx(printed(one), abs=1e-9)


def test_both_units() -> None:
    """1 in is 25.4 mm: 32.2 mm is 1.26772 in, 0.05 mm 0.00197 in."""
    one = Dimension(number=1, key="k", name="n", kind="diameter", nominal=32.2, lower=-0.05,
                    upper=0.05, feature="")  # fmt: skip
    assert figure(one, inch=True) == "Ø32.2 [1.2677 in]"
    assert limits_text(one, inch=True) == "±0.05 [±0.0020]"
    assert math.isclose(one.most, 32.25)
