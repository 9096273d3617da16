"""The spread of plugs to come: fit class, general class, moulding group, samples."""

from __future__ import annotations

import pytest

import bayonet
from bayonet.designfile.measured import read
from bayonet.parts.design import changed


def test_a_fit_class_gives_middle_and_limits() -> None:
    """34 c11 is 33.88 to 33.72 (Shigley, example 7-7)."""
    got = read({"value": 34.0, "fit": "c11"}, kind="length")
    assert got.value == pytest.approx(33.80)
    assert got.tol == pytest.approx(0.08)


def test_samples_give_a_statistical_tolerance_interval() -> None:
    """ISO 16269-6: n = 5, 99 % at 95 %: k = 6.598 (exact; older tables 6.60)."""
    got = read({"samples": [9.9, 10.0, 10.1, 10.0, 10.0], "resolution": 0.01}, kind="length")
    assert got.value == pytest.approx(10.0)
    assert got.tol == pytest.approx(6.598 * 0.0707107, rel=1e-3)
    assert got.half_zone(99.0) == pytest.approx(got.tol + 1.96 * 0.01 / 12**0.5, rel=1e-3)


def test_calibration_joins_the_uncertainty() -> None:
    """0.003 and 0.004 make 0.005 (JCGM 100, 5.1.2); twice that widens the zone at 95 %."""
    got = read({"value": 10, "resolution": 0.003 * 12**0.5, "calibration": 0.004}, kind="length")
    assert got.uncertainty.u == pytest.approx(0.005)
    assert got.expanded == pytest.approx(1.96 * 0.005, rel=1e-3)


def test_general_class_by_size(sensor: bayonet.Design) -> None:
    """ISO 2768-1 m: 0.3 over 30 to 120 mm, 0.1 to 6 mm; an angle beside 10 to 50 mm, 0.5 deg."""
    design = changed(sensor, [("plug.spread", {"general": "m"})])
    lug = design.plug.lugs[0]
    assert lug.zone.outer_radius_mm == pytest.approx((0.3 + 0.04) / 2)
    assert lug.zone.bearing_mm == pytest.approx(0.1 + 0.03)
    assert lug.zone.position_deg == pytest.approx(0.5)


def test_own_limits_go_before_the_table(sensor: bayonet.Design) -> None:
    design = changed(sensor, [("plug.spread", {"general": "m", "length": 0.02})])
    assert design.plug.lugs[0].zone.bearing_mm == pytest.approx(0.02 + 0.03)


def test_a_moulding_is_kept_by_stated_limits(sensor: bayonet.Design) -> None:
    """No table of moulding groups could be read from a source that can be named."""
    with pytest.raises(bayonet.DesignError, match="moulding"):
        changed(sensor, [("plug.spread", {"moulding": "TG5"})])
    design = changed(sensor, [("plug.spread", {"length": 0.06})])
    assert design.plug.lugs[0].zone.bearing_mm == pytest.approx(0.06 + 0.03)


def test_each_feature_may_have_its_own_limits(sensor: bayonet.Design) -> None:
    """And only that feature's zone and dimension change."""
    design = changed(sensor, [("socket.tolerance.roof", 0.02)])
    rows = {row.key: row.half_width for row in design.socket.dimensions()}
    assert rows["track_1_roof_depth"] == 0.02
    assert rows["track_1_floor_depth"] == 0.05
    assert design.socket.limits.roof_mm == 0.02


def test_limits_as_large_as_a_lug_are_refused(sensor: bayonet.Design) -> None:
    with pytest.raises(bayonet.DesignError, match="half a lug"):
        changed(sensor, [("socket.tolerance.roof", 1.8)])


def test_half_a_lug_is_half_a_lug(sensor: bayonet.Design) -> None:
    """A slot zone of +-0.55 on a lug 2 mm wide is a quarter of it and stands; +-1 is half."""
    lugs = [("plug.lugs.width", 2.0), ("plug.lugs.width_deg", None)]
    for zone in (0.55, 0.99):
        narrow = changed(sensor, [*lugs, ("socket.tolerance.slot_width", zone)])
        assert narrow.socket.limits.slot_width_mm == zone
    with pytest.raises(bayonet.DesignError, match=r"slot_width.*half a lug"):
        changed(sensor, [*lugs, ("socket.tolerance.slot_width", 1.01)])
