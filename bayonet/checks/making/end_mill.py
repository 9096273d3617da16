"""The end mill of the entry slots: does it fit, and do its corners clear the lugs?"""

from __future__ import annotations

from collections.abc import Iterator

from bayonet import rounding
from bayonet.developed import Cutting
from bayonet.findings import Finding, at_least, at_most, left_open
from bayonet.mechanics import corner_extra_mm, largest_corner_mm
from bayonet.parts import Design
from bayonet.parts import cutter as cutters


def findings(design: Design, cut: Cutting) -> Iterator[Finding]:
    """Judge the end mill of the entry slots.

    Parameters
    ----------
    design : Design
    cut : Cutting

    Yields
    ------
    Finding
    """
    mill = cut.cutter.end_mill_mm
    width = min(cutters.slot_chord_mm(track) for track in cut.tracks)
    if mill is None:
        why = "no end mill is named for the entry slots: socket.cutter.end_mill"
        yield left_open("machining.end_mill", why)
        return
    yield at_most(
        mill,
        width,
        code="machining.end_mill",
        message=f"end mill Ø{mill:g} mm in an entry slot {width:.2f} mm wide at the bore",
        unit="mm",
        source="width of the slot",
        change=f"an end mill of at most {rounding.down(width, step=0.1):g} mm",
        mends=(("socket.cutter.end_mill", rounding.down(width, step=0.1)),),
    )
    gaps = design.socket.clearance
    side, radial = gaps.lug_side_mm, gaps.lug_radial_mm
    sharp = 2.0 * largest_corner_mm(side_gap_mm=side, radial_gap_mm=radial)
    extra = corner_extra_mm(mill / 2.0, side_gap_mm=side, radial_gap_mm=radial)
    wall = design.socket.boss_radius_mm - design.socket.track_radius_mm - extra
    inside = 2.0 * design.socket.track_radius_mm
    boss = rounding.up(inside + 2.0 * extra + design.socket.wall_mm, step=0.1)
    yield at_least(
        wall,
        design.socket.wall_mm / 2.0,
        code="machining.slot_corner",
        message=(
            f"the mill leaves corners of radius {mill / 2:g} mm, which sharp lugs clear up to"
            f" {sharp / 2:.2f}: run it {extra:.2f} mm beyond the wall along both slot sides"
            f" ({wall:.2f} mm of wall is left there)"
            if extra > 0.0
            else f"the mill's corners of radius {mill / 2:g} mm clear sharp lugs as they are"
        ),
        unit="mm",
        source="clearances at nominal size; the slot's corners are drawn sharp",
        change=f"a boss of {boss:g} mm or more, or a smaller end mill",
        mends=(("socket.boss_diameter", boss),),
    )
