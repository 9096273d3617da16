"""Lugs ramped on one flank only: sums by hand, chains against polygons, a sweep with faults.

Sizes of the lugs are those of a plug that was once read with one lead for both flanks: 18 mm/rev
on the bearing flank, none on the leading one. Invented otherwise.
"""

from __future__ import annotations

import dataclasses
import math

import pytest
from second_engine import Pair, manifold_of

import bayonet
from bayonet import solids
from bayonet.checks.motion.proof import end_of, motion_of
from bayonet.developed.motion import poses_along
from bayonet.errors import DesignError
from bayonet.parts import changed
from bayonet.tolerance.fitting import zones
from bayonet.tolerance.fitting.requirements import chains_of

RAMPED = [
    ("plug.measured_with", "drawing"),
    ("plug.lugs.bearing_depth", 5.0),
    ("plug.lugs.thickness", 4.5),
    ("plug.lugs.lead", 18.0),
    ("plug.lugs.leading_lead", 0.0),
    ("socket.track.lead", 18.0),
    ("service.pressure", None),
    ("service.lowest_c", None),
    ("service.highest_c", None),
]


@pytest.fixture
def ramped(sensor: bayonet.Design) -> bayonet.Design:
    return changed(sensor, RAMPED)


def test_depths_by_hand(ramped: bayonet.Design) -> None:
    """At the lug's end, a deg from its middle, the bearing flank is 18 a / 360 deeper, no more."""
    lug, socket = ramped.plug.lugs[0], ramped.socket
    half = float(lug.half.at(18.0))
    assert float(lug.bearing_at(half, radius_mm=18.0)) == pytest.approx(5.0 + 18.0 * half / 360.0)
    assert float(lug.leading_at(half, radius_mm=18.0)) == pytest.approx(9.5)
    floor = socket.tracks[0].floor
    assert [depth for _, depth in floor] == pytest.approx([9.5 + socket.clearance.floor_mm] * 2)


def test_both_leads_given_alike_are_one_lug(ramped: bayonet.Design) -> None:
    """The same contour, so the same track; each lead then has its own error."""
    alike = changed(ramped, [("plug.lugs.leading_lead", 18.0)])
    one = changed(ramped, [("plug.lugs.leading_lead", None)])
    assert alike.socket == one.socket
    names = {v.key for v in chains_of(alike).variables}
    assert names - {v.key for v in chains_of(one).variables} == {"plug_leading_lead"}


def test_volume_by_hand(ramped: bayonet.Design) -> None:
    """Mean thickness times the ring's sector; the kernel's gate holds the solid to it."""
    lug, root = ramped.plug.lugs[0], ramped.plug.lug_body.radius_mm
    sector = math.radians(2.0 * float(lug.half.at(20.0))) * (20.0**2 - root**2) / 2.0
    assert lug.volume_mm3(inner_mm=root) == pytest.approx(4.5 * sector, rel=1e-12)
    assert solids.plug(ramped.plug).isValid()


def test_flanks_that_run_together_are_refused(ramped: bayonet.Design) -> None:
    """Half of 10 mm at radius 20 is asin(1/4) = 14.48 deg: 115 mm/rev would be 4.63 mm there."""
    with pytest.raises(DesignError, match=r"run together.*115 and 0 mm/rev.*-0.125 mm"):
        changed(ramped, [("plug.lugs.lead", 115.0), ("socket.track.lead", 115.0)])


@pytest.mark.parametrize("lead", [0.0, 0.5])
def test_chains_as_the_polygons_have_them(ramped: bayonet.Design, lead: float) -> None:
    """Leading flanks off in their lead take room over the floor, and none under the roof."""
    chains, plug = chains_of(ramped), ramped.plug
    point = chains.nominal().copy()
    point[[v.key for v in chains.variables].index("plug_leading_lead")] = lead
    lugs = tuple(
        dataclasses.replace(one, shape=one.shape.moved({"leading_lead": lead})) for one in plug.lugs
    )
    motion = motion_of(dataclasses.replace(plug, lugs=lugs), ramped.socket)
    values = chains.values(point)
    assert float(values["axial_play"][0]) == pytest.approx(motion.play_mm, abs=2e-4)
    stop = end_of(ramped.socket) + float(values["clocking"][0])
    assert stop == pytest.approx(motion.furthest_deg, abs=2e-4)
    half = float(plug.lugs[0].half.at(20.0))
    wanted = ramped.socket.clearance.floor_mm - lead * half / 360.0
    assert float(values["floor_gap"][0]) == pytest.approx(wanted, abs=1e-9)


def test_zone_holds_every_wedge(ramped: bayonet.Design) -> None:
    """Each flank's zone by its own lead: largest and smallest lug at both ends, by hand."""
    lug = ramped.plug.lugs[0]
    zone, reach = lug.zone, float(lug.half.at(18.0))
    large, small = (zones.lugs(ramped.plug, extreme)[0] for extreme in ("tightest", "loosest"))  # type: ignore[arg-type]
    off = 18.0 * zone.position_deg / 360.0
    for one, sign in ((large, 1.0), (small, -1.0)):
        up = lug.bearing_at(reach, radius_mm=18.0) - one.bearing_at(reach, radius_mm=18.0)
        down = one.leading_at(reach, radius_mm=18.0) - lug.leading_at(reach, radius_mm=18.0)
        assert float(up) == pytest.approx(sign * (zone.bearing_mm + zone.ends_mm + off))
        assert float(down) == pytest.approx(sign * (zone.leading_mm + zone.leading_ends_mm))


def test_the_second_engine_agrees_and_sees_every_fault(ramped: bayonet.Design) -> None:
    """200 poses free; then the lug as it would be with one lead, and five faults more, are seen."""
    plug, socket = ramped.plug, ramped.socket
    motion = motion_of(plug, socket)
    drawn = manifold_of(solids.socket(socket), chord_mm=0.02)
    pair = Pair(drawn, manifold_of(solids.plug(plug), chord_mm=0.02), 0.0, socket.sign)
    poses = poses_along(motion.path, 200)
    assert max(pair.overlaps(poses)[:-2]) == pytest.approx(0.0, abs=1e-6)
    lock, play = motion.furthest_deg, motion.play_mm
    assert pair.overlap_mm3((lock - 0.05, play - 0.02)) == pytest.approx(0.0, abs=1e-6)
    assert pair.overlap_mm3((lock - 0.05, play + 0.05)) > 0.1  # held, over the whole flank
    assert pair.overlap_mm3((lock + 1.0, play / 2)) > 0.1
    faults = (
        {"leading_lead_mm_per_rev": None},
        {"leading_lead_mm_per_rev": 40.0},
        {"lead_mm_per_rev": -18.0},
        {"bearing_depth_mm": 4.0},
        {"thickness_mm": 5.5},
        {"outer_radius_mm": 20.6},
    )
    for fault in faults:
        lugs = tuple(one.reshaped(**fault) for one in plug.lugs)
        wrong = dataclasses.replace(plug, lugs=lugs)
        swept = Pair(drawn, manifold_of(solids.plug(wrong), chord_mm=0.02), 0.0, socket.sign)
        overlap = max(swept.overlaps(poses[::20]))
        polygons = motion_of(wrong, socket)
        worse = not polygons.path or polygons.narrowest_mm < motion.narrowest_mm - 0.1
        if "outer_radius_mm" in fault:  # radial, so not in the developed plane
            worse = (
                chains_of(dataclasses.replace(ramped, plug=wrong)).values(
                    chains_of(ramped).nominal()
                )["lug_radial"][0]
                < 0.0
            )
        assert worse, fault
        assert overlap > 0.1, fault
