"""Can it be cut? The slot cutter, what it leaves of roof and stop, the end mill of the slots.

For a socket with ``process = "machined"``. Where the file names no cutter the socket is drawn
sharp and the findings are about the proposed one, the smallest that stands: what it cannot leave
right fails, for the part as drawn cannot be cut. Ways out are tried in `ways_to_make`.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace

import numpy as np

from bayonet import rounding
from bayonet.checks.making import end_mill, erosion, ring
from bayonet.checks.making.walls import thin_between_tracks
from bayonet.developed import Cutting, cutting
from bayonet.findings import PRACTICE, Finding, Verdict, at_least, at_most, left_open
from bayonet.mechanics import largest_corner_mm, largest_radius_mm
from bayonet.parts import RUN_OUT_MM, Design, Lug, Track, deepest_floor
from bayonet.parts import cutter as cutters

_SLENDER = 5.0  # neck length over neck diameter; common practice, no source
_OF_CHAINS = (
    "The proof of motion stands on the track as the cutter leaves it; the dimension chains take the"
    " stop for a plane, so what lug and wall diameters do to the turn is in the proof alone."
)
_SHAPE = "envelope over the cutter's edge"


def findings(design: Design, *, lock_deg: float) -> tuple[Finding, ...]:
    """Judge how a machined socket can be cut.

    Parameters
    ----------
    design : Design
    lock_deg : float
        Turn at which the plug is locked [deg]; NaN where it never is.

    Returns
    -------
    tuple of Finding
        None for another process.
    """
    if design.socket.process != "machined":
        return ()
    if design.spec.socket.track.made_by == "erosion":
        return erosion.findings(design)
    if design.socket.joint is not None:
        return ring.findings(design, design.socket.joint, lock_deg=lock_deg)
    cut = cutting.plan(design.plug, design.socket, design.spec.socket)
    found = (
        *_tool(design, cut),
        *_what_no_disc_makes(design, cut),
        _stop(cut),
        *_arc_ends(design, cut),
        _overcut(design, cut),
        _bearing(design, cut, lock_deg),
        *end_mill.findings(design, cut),
    )
    return found if cut.cutter.named else tuple(_of_no_named_cutter(one) for one in found)


def assumption(design: Design) -> tuple[str, ...]:
    """The cutter taken for granted where the file names none."""
    if design.socket.process != "machined":
        return ()
    if design.spec.socket.track.made_by == "erosion":
        return (erosion.ASSUMED,)
    if design.socket.joint is not None:
        return (ring.assumption(design.socket.joint),)
    if design.spec.socket.cutter is not None:
        return (_OF_CHAINS,)
    one = cutters.proposed(design.socket)
    return (
        f"No cutter is named: the socket is drawn sharp, and what is said of cutting it is for a"
        f" disc cutter Ø{2 * one.radius_mm:g} x {one.thickness_mm:g} mm, neck"
        f" Ø{2 * one.neck_radius_mm:g}, reach {one.reach_mm:g} mm, end mill Ø{one.end_mill_mm:g}"
        " (the smallest that stands; common practice, no source). Name yours in [socket.cutter]"
        " to have the socket built, and proven, as it leaves it.",
    )


def _of_no_named_cutter(finding: Finding) -> Finding:
    """Without mends that set a field of a cutter the file does not name."""
    fields = [field for field, _ in finding.mends]
    return replace(finding, mends=()) if any("cutter" in one for one in fields) else finding


def _pairs(cut: Cutting) -> list[tuple[Lug, Track]]:
    return list(zip(cut.lugs, cut.tracks, strict=True))


# ---- the tool itself -----------------------------------------------------------------------


def _tool(design: Design, cut: Cutting) -> Iterator[Finding]:
    socket, cutter = design.socket, cut.cutter
    bore, wall = socket.track_bore_radius_mm, socket.track_radius_mm
    better = cutters.proposed(socket)
    yield at_least(
        bore - cutter.radius_mm,
        RUN_OUT_MM,
        code="machining.pass_bore",
        message=(
            f"the Ø{2 * cutter.radius_mm:g} mm disc goes down the Ø{2 * bore:.2f} mm bore with"
            f" {bore - cutter.radius_mm:.2f} mm to spare all round"
        ),
        unit="mm",
        source=PRACTICE,
        change=f"a disc of at most {rounding.down(2 * (bore - RUN_OUT_MM), step=0.1):g} mm",
        mends=(("socket.cutter.diameter", 2 * better.radius_mm),),
    )
    neck = bore - (wall - cutter.radius_mm) - cutter.neck_radius_mm
    largest = rounding.down(2.0 * (neck + cutter.neck_radius_mm - RUN_OUT_MM), step=0.1)
    yield at_least(
        neck,
        RUN_OUT_MM,
        code="machining.neck",
        message=(
            f"cutting {wall - bore:.2f} mm deep, the Ø{2 * cutter.neck_radius_mm:g} mm neck stays"
            f" {neck:.2f} mm off the bore"
        ),
        unit="mm",
        source=PRACTICE,
        change=f"a neck of at most {largest:g} mm" if largest > 0 else "a larger disc",
        mends=(("socket.cutter.neck_diameter", largest),) if largest > 0 else (),
    )
    floor = deepest_floor(socket.tracks)
    yield at_least(
        cutter.reach_mm,
        floor,
        code="machining.reach",
        message=f"reach {cutter.reach_mm:g} mm; the floor lies {floor:.2f} mm below the mouth",
        unit="mm",
        source="the holder stays above the mouth",
        change=f"a reach of {rounding.up(floor, step=0.1):g} mm or more",
        mends=(("socket.cutter.reach", rounding.up(floor, step=0.1)),),
    )
    slender = cutter.reach_mm / (2.0 * cutter.neck_radius_mm)
    yield at_most(
        slender,
        _SLENDER,
        code="machining.slender",
        message=f"the neck is {slender:.1f} times as long as thick",
        unit="-",
        source=PRACTICE,
        change="a larger disc with a thicker neck, light cuts, and a last pass without infeed",
        otherwise=Verdict.LOOK,
    )
    yield _thickness(design, cut)
    yield _tooth_corner(design, cut)


def _thickness(design: Design, cut: Cutting) -> Finding:
    least, most = cutters.heights_mm(design.socket.tracks)
    least -= design.socket.limits.roof_mm + design.socket.limits.floor_mm
    count = cutting.passes(cut.cutter, design.socket.tracks)
    again = "one pass" if count == 1 else f"{count} passes, one above the other"
    return at_most(
        cut.cutter.thickness_mm,
        least,
        code="machining.thickness",
        message=(
            f"a {cut.cutter.thickness_mm:g} mm thick disc in a track {least:.2f} to {most:.2f} mm"
            f" high: {again}"
        ),
        unit="mm",
        source="least height of the track, at its limits",
        change=f"a disc at most {rounding.down(least, step=0.1):g} mm thick",
        mends=(("socket.cutter.thickness", rounding.down(least, step=0.1)),) if least > 0.1 else (),
    )


def _tooth_corner(design: Design, cut: Cutting) -> Finding:
    gaps = design.socket.clearance
    side, radial = min(gaps.axial_mm, gaps.floor_mm), gaps.lug_radial_mm
    most = largest_corner_mm(side_gap_mm=side, radial_gap_mm=radial)
    enough = rounding.down(most, step=0.1)
    return at_most(
        cut.cutter.corner_radius_mm,
        most,
        code="machining.tooth_corner",
        message=(
            f"teeth rounded by {cut.cutter.corner_radius_mm:g} mm leave that radius along the wall;"
            f" a sharp lug clears {most:.2f} mm"
        ),
        unit="mm",
        source="clearances at nominal size; the radius itself is not in the solid",
        change=f"teeth rounded by {enough:g} mm at most, or more radial clearance",
        mends=(("socket.cutter.corner_radius", enough),),
    )


def _what_no_disc_makes(design: Design, cut: Cutting) -> Iterator[Finding]:
    """Shapes of the track a flat disc cannot leave; a named cutter is refused with them."""
    socket = design.socket
    rows = []
    if socket.detent_height_mm > 0.0:
        swing = max(2.0 * float(t.cut.swing_deg(lug.outer_radius_mm)) for lug, t in _pairs(cut)
                    if t.cut is not None)  # fmt: skip
        rows.append(
            ("machining.detent", f"the disc covers {swing:.1f} deg even at the lug's outer edge and"
             " would cut the detent away", "another way to hold it locked, or a printed or cast"
             " insert")
        )  # fmt: skip
    if any(track.floor_slope != 0.0 for track in socket.tracks):
        rows.append(
            ("machining.floor_slope", "a disc leaves a flat floor, not a sloped one",
             "floor_slope_deg = 0")
        )  # fmt: skip
    elif any(track.floor[0][1] != track.floor[-1][1] for track in socket.tracks):
        rows.append(
            ("machining.floor", "a floor parallel to the ramp is not what an end-milled slot and a"
             " disc leave together", 'floor = "level"')
        )  # fmt: skip
    for code, message, change in rows:
        yield Finding(
            code=code, verdict=Verdict.FAIL, message=message, source=_SHAPE, change=change
        )
    spill = max(cutters.spill_deg(t, t.cut) for _, t in _pairs(cut) if t.cut is not None)
    yield at_most(
        spill,
        0.0,
        code="machining.plunge",
        message=(
            "the disc plunges inside the entry slot"
            if spill <= 0.0
            else f"plunged into the slot, the disc cuts {spill:.1f} deg beyond its far side"
        ),
        unit="deg",
        source=_SHAPE,
        change="a smaller disc",
    )


# ---- what it leaves ------------------------------------------------------------------------


def _stop(cut: Cutting) -> Finding:
    lug, track = max(_pairs(cut), key=lambda pair: cutting.extra_travel_deg(pair[1], pair[0]))
    extra = cutting.extra_travel_deg(track, lug)
    arc = math.radians(extra) * track.inner_radius_mm
    after = "is built to travel" if cut.cutter.named else "must travel"
    return Finding(
        code="machining.stop",
        verdict=Verdict.LOOK,
        message=(
            f"the stop becomes an arc of radius {cut.cutter.radius_mm:g} mm in plan view: the"
            f" cutter {after} {extra:.1f} deg further ({arc:.2f} mm at the bore) for the lug's"
            " outer corner to come home, and the lug stops on that corner, not on its face"
        ),
        value=extra,
        unit="deg",
        source=_SHAPE,
        change=(
            'a smaller disc, a lug rounded like the cutter, or construction = "ring_and_body";'
            " do not stop hard on the corner of a soft lug"
        ),
    )


def stop_travel_deg(design: Design) -> float:
    """How much further than the stop as drawn the cutter travels, at most of all tracks [deg]."""
    cut = cutting.plan(design.plug, design.socket, design.spec.socket)
    return max(cutting.extra_travel_deg(track, lug) for lug, track in _pairs(cut))


def short_of_deg(design: Design) -> float:
    """Angle by which the arc at the stop comes too near the next slot [deg]; 0 or less: none."""
    cut = cutting.plan(design.plug, design.socket, design.spec.socket)
    left, wanted = _left_after_arc(design, cut)
    return math.degrees((wanted - left) / design.socket.track_bore_radius_mm)


def _left_after_arc(design: Design, cut: Cutting) -> tuple[float, float]:
    """Metal between the arc at the stop and the next slot at the bore, and the least [mm]."""
    gap = cutting.gap_to_next_deg(cut.tracks, design.socket.sign)
    return math.radians(gap) * design.socket.track_bore_radius_mm, design.socket.wall_mm / 2.0


def _arc_ends(design: Design, cut: Cutting) -> Iterator[Finding]:
    """Material between the arc at the stop and the next slot; named cutters: shape's affair."""
    if cut.cutter.named:
        return
    left, wanted = _left_after_arc(design, cut)
    yield at_least(
        left,
        wanted,
        code="machining.between_tracks",
        message=(
            f"the arc at the stop leaves {left:.2f} mm to the next slot, at the bore"
            if left > 0.0
            else f"the arc at the stop breaks through into the next slot, by {-left:.2f} mm at the"
            " bore"
        ),
        unit="mm",
        source=f"half the wall; {PRACTICE}",
        change=(
            f"{math.degrees((wanted - left) / design.socket.track_bore_radius_mm):.1f}"
            ' deg less turn, fewer or narrower lugs, or construction = "ring_and_body"'
        ),
        otherwise=thin_between_tracks(left, design.socket),
    )


def _overcut(design: Design, cut: Cutting) -> Finding:
    socket, limit = design.socket, design.socket.limits.roof_mm
    lead = socket.lead_mm_per_rev

    def at_bore(pair: tuple[Lug, Track]) -> float:
        radius = np.array(pair[1].inner_radius_mm)
        return float(cutting.overcut_profile(pair[1], pair[0], radius, lead_mm_per_rev=lead))

    lug, track = max(_pairs(cut), key=at_bore)
    worst = at_bore((lug, track))
    wall, bore = track.outer_radius_mm, track.inner_radius_mm
    largest = largest_radius_mm(
        limit, lead_mm_per_rev=lead, bore_mm=bore, wall_mm=wall, true_mm=lug.outer_radius_mm
    )
    least = wall - bore + RUN_OUT_MM  # a disc without a neck
    usable = largest > least
    middle = float(
        cutting.overcut_profile(
            track, lug, np.array((bore + lug.outer_radius_mm) / 2.0), lead_mm_per_rev=lead
        )
    )
    return at_most(
        worst,
        limit,
        code="machining.overcut",
        message=(
            f"the disc cuts the ramp {worst:.3f} mm beyond the true helicoid at the bore,"
            f" {middle:.3f} half way up the lug, 0 at its outer edge"
            if lead
            else "no lead: the disc leaves a true plane"
        ),
        unit="mm",
        source=f"{_SHAPE}; limits of the roof",
        change=(
            f"a disc of at most {rounding.down(2 * largest, step=0.1):g} mm"
            if usable
            else "no disc that still reaches the wall: let the lugs lock on a dwell, or less lead"
        ),
        mends=(("socket.cutter.diameter", rounding.down(2 * largest, step=0.1)),) if usable else (),
        otherwise=Verdict.LOOK,
    )


def _bearing(design: Design, cut: Cutting, lock_deg: float) -> Finding:
    limit = design.socket.limits.roof_mm
    pairs = _pairs(cut)
    if not math.isfinite(lock_deg):
        return left_open("machining.bearing", "it does not lock")
    if design.socket.detent_height_mm > 0.0:
        return left_open("machining.bearing", "a disc would cut the detent away first")
    left = sum(cutting.bearing_mm2(g, t, turn_deg=lock_deg, within_mm=limit) for g, t in pairs)
    whole = sum(cutting.bearing_mm2(g, t, turn_deg=lock_deg, within_mm=math.inf) for g, t in pairs)
    lug, track = pairs[0]
    inner = cutting.bearing_from_mm(
        lug, track, lead_mm_per_rev=design.socket.lead_mm_per_rev, within_mm=limit
    )
    share = left / whole if whole > 0.0 else math.nan
    return at_least(
        share,
        ring.least_bearing(design),
        code="machining.bearing",
        message=(
            f"{left:.1f} of {whole:.1f} mm² under the roof come within {limit:g} mm of it at lock;"
            f" on the ramp that is from Ø{2 * inner:.2f} outwards"
        ),
        unit="-",
        source=f"{_SHAPE}; {PRACTICE}",
        change="a smaller disc, less lead, or a dwell as wide as the lugs and the disc's swing",
    )
