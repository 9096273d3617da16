"""Loads and pairings beside the pressure: by hand, and each way they can come out."""

from __future__ import annotations

import math

import pytest
from test_findings import finding, quick

import bayonet
from bayonet.parts.design import changed
from bayonet.strength import stop_torque_nmm
from bayonet.strength.study import strength_of


def test_each_way_a_lug_fails_at_its_stop_by_hand() -> None:
    """100 MPa at radius 20: bearing 4 x 3; shear 0.577 x 2 x 3; bending 3 x 2^2 / 6 over arm 5."""
    wide = {"radius_mm": 20.0, "height_mm": 4.0, "thickness_mm": 3.0}
    assert stop_torque_nmm(100.0, **wide, root_width_mm=10.0, arm_mm=2.0) == pytest.approx(24000.0)
    assert stop_torque_nmm(100.0, **wide, root_width_mm=2.0, arm_mm=0.1) == pytest.approx(6924.0)
    bent = stop_torque_nmm(100.0, **wide, root_width_mm=2.0, arm_mm=5.0)
    assert bent == pytest.approx(20.0 * 100.0 * 3.0 * 4.0 / 6.0 / 5.0)
    notched = stop_torque_nmm(100.0, **wide, root_width_mm=2.0, arm_mm=5.0, notch=2.0)
    assert notched == pytest.approx(bent / 2.0)


def test_three_hundred_newton_metres_by_tool_do_not_pass(sensor: bayonet.Design) -> None:
    tool = changed(sensor, [("service.hand_torque_nm", 300.0)])
    found = finding(tool, "handling.over_torque")
    assert found.verdict == "fail"
    assert found.limit == 300.0
    at, body = strength_of(tool, None, None).worst, strength_of(tool, None, None).plug
    assert not isinstance(body, str)
    face = body.working_mpa * at.height_mm[0] * at.lug_thickness_mm[0] * at.radius_mm[0]
    assert found.value is not None
    assert found.value <= float(face) / 1000.0 + 1e-9
    assert finding(sensor, "handling.over_torque").verdict == "pass"
    unknown = changed(sensor, [("service.plug_material", None)])
    assert finding(unknown, "handling.over_torque").verdict == "open"


def test_bolts_and_gasket_are_open_with_what_is_known(vent: bayonet.Design) -> None:
    """0.05 MPa x 1.5 on a circle inside the holes, (92 - 6.6) / 2: 429.6 N; 71.6 a bolt of six."""
    bolts = finding(vent, "load.flange_bolts")
    assert bolts.verdict == "open"
    a_bolt = 0.075 * math.pi * (42.7) ** 2 / 6
    assert f"{a_bolt:.0f} N a bolt" in bolts.message
    assert finding(vent, "load.gasket").verdict == "open"
    bare = changed(vent, [("service.pressure", None)])
    assert finding(bare, "load.flange_bolts").message == "give service.pressure"


def test_what_has_no_flange_has_no_bolts(sensor: bayonet.Design) -> None:
    codes = {f.code for f in quick(sensor)}
    assert not codes & {"load.flange_bolts", "load.gasket"}
    assert finding(sensor, "load.side").verdict == "open"


@pytest.mark.parametrize(
    ("plug", "socket", "galling", "galvanic"),
    [
        ("304 stainless", "304 stainless", "look", "pass"),
        ("304 stainless", "6061-T6", "look", "look"),
        ("A356-T6", "6061-T6", "look", "pass"),
        ("POM-C", "304 stainless", "pass", "pass"),
        (None, "6061-T6", "open", "open"),
        ("unobtainium", "6061-T6", "open", "open"),
    ],
)
def test_pairs_of_materials(
    sensor: bayonet.Design, plug: str | None, socket: str, galling: str, galvanic: str
) -> None:
    pair = [("service.plug_material", plug), ("service.socket_material", socket)]
    design = changed(sensor, pair)
    assert finding(design, "handling.galling").verdict == galling
    assert finding(design, "load.galvanic").verdict == galvanic
