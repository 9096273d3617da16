"""Does every plug go in, turn, lock and come out? Judged from the free region and the radii."""

from __future__ import annotations

import dataclasses
import math
from collections.abc import Iterator

from bayonet.checks.motion import holding
from bayonet.checks.motion.entry import REGION, Pairs, enters, gets_in
from bayonet.checks.motion.holding import range_text
from bayonet.checks.motion.proof import Proof, lugs_of
from bayonet.developed import (
    WayRound,
    engagement,
    gap_to_roof_mm,
    least_engaged_turn,
)
from bayonet.findings import LIMITS, PRACTICE, Finding, Verdict, at_least, left_open
from bayonet.parts import Lug, Plug, Socket
from bayonet.tolerance.fitting import Extreme, zones

_REACHED_DEG = 1e-5
_CENTRED_MM = 0.005


def findings(plug: Plug, socket: Socket, proof: Proof, *, pressed: str = "") -> tuple[Finding, ...]:
    """Judge the motion of every plug of the zone.

    Parameters
    ----------
    plug : Plug
    socket : Socket
    proof : Proof
        Motion at nominal size and at both ends of the zone.
    pressed : str
        What pushes the locked plug outwards, and when; empty where nothing does.

    Returns
    -------
    tuple of Finding
    """
    tight = _pairs(plug, socket, "tightest")
    turns = _turns(tight, socket, proof)
    play = _axial_play(plug, socket) if socket.seating == "stop" else ()
    way = (enters(tight, proof), turns, *play, _orientation(proof))
    if turns.verdict is Verdict.FAIL:
        return (*way, *(left_open(code, _NOT_YET) for code in _AT_LOCK))
    held = (holding.held(socket, proof, pressed),) if socket.seating == "stop" else ()
    at_lock = (_seats(proof), _comes_out(socket, proof), *held)
    return (*way, *at_lock, *_engagement(plug, socket, proof))


_NOT_YET = "it does not reach lock: mend turns first"
_AT_LOCK = ("motion.seats", "motion.comes_out", "motion.engagement", "motion.bearing_area")


_EXTREMES: tuple[Extreme, ...] = ("nominal", "tightest", "loosest")


def _pairs(plug: Plug, socket: Socket, extreme: Extreme) -> Pairs:
    return tuple(zip(lugs_of(plug, socket, extreme), zones.tracks(socket, extreme), strict=True))


def expected_end(pairs: Pairs) -> float:
    """Turn at which the first lug meets its stop, from the dimensions alone [deg].

    Between parallel faces of unequal width the gap depends on the radius and is least at one
    end of the lug's height.
    """
    return min(
        track.reach_deg(radius) - float(lug.half.at(radius))
        for lug, track in pairs
        for radius in (track.inner_radius_mm, lug.outer_radius_mm)
    )


def _turns(tight: Pairs, socket: Socket, proof: Proof) -> Finding:
    if proof.short_mm > 0.0:  # of those that enter
        tight = tuple((lug, zones.opened(track, proof.short_mm)) for lug, track in tight)
    if socket.seating == "clamp":
        return _turns_to_tight(tight, socket, proof)
    expected, motion = expected_end(tight), proof.tightest
    in_place = abs(proof.nominal.furthest_deg - proof.end_deg) <= _REACHED_DEG
    good = in_place and motion.furthest_deg >= expected - _REACHED_DEG
    return Finding(
        code="motion.turns",
        verdict=Verdict.PASS if good else Verdict.FAIL,
        message=(
            f"every plug turns to its stop, at {_range_of_lock(proof)}"
            if good
            else _blocked(proof, expected)
        ),
        value=motion.furthest_deg if motion.entered is not None else None,
        limit=expected,
        margin=None if good else motion.furthest_deg - expected,
        unit="deg",
        source=REGION,
        change="" if good else _unblock(socket, proof),
    )


def _range_of_lock(proof: Proof) -> str:
    return range_text(
        proof.nominal.furthest_deg,
        proof.tightest.furthest_deg,
        proof.loosest.furthest_deg,
        "deg",
        2,
    )


def _blocked(proof: Proof, expected: float) -> str:
    nominal, tight = proof.nominal, proof.tightest
    if not (gets_in(nominal) and gets_in(tight)):
        return "cannot turn: it does not enter"
    if nominal.furthest_deg > proof.end_deg + _REACHED_DEG:
        return f"the plug turns on to {nominal.furthest_deg:.2f} deg, not {proof.end_deg:.2f}"
    if nominal.furthest_deg < proof.end_deg - _REACHED_DEG:
        return f"the plug is blocked at {nominal.furthest_deg:.2f} of {proof.end_deg:.2f} deg"
    return f"the tightest pair is blocked at {tight.furthest_deg:.2f} of {expected:.2f} deg"


def _unblock(socket: Socket, proof: Proof) -> str:
    if not gets_in(proof.tightest):
        return "mend enters first"
    if socket.detent_height_mm > 0.0:
        return "a lower detent, or more axial clearance; then more floor clearance"
    return "more axial clearance, less lead, or more floor clearance"


def _turns_to_tight(tight: Pairs, socket: Socket, proof: Proof) -> Finding:
    """Clamp seating: the angle at which it becomes tight floats within a window."""
    least = max(
        least_engaged_turn(lug, track, share=socket.least_engagement) for lug, track in tight
    )
    stop = expected_end(tight)
    early, late = proof.tightest.furthest_deg, proof.loosest.furthest_deg
    margin = min(early - least, stop - late)
    good = margin > 0.0
    return Finding(
        code="motion.tight_window",
        verdict=Verdict.PASS if good else Verdict.FAIL,
        message=(
            f"becomes tight at {_range_of_lock(proof)}; window {least:.2f} to {stop:.2f} deg"
            if early == early
            else "never becomes tight: it does not enter"
        ),
        value=proof.nominal.furthest_deg if math.isfinite(early) else None,
        limit=least if early - least < stop - late else stop,
        margin=margin if math.isfinite(margin) else None,
        unit="deg",
        source=REGION,
        change="" if good else "more overtravel or lead, or closer limits on the flank depths",
    )


def _seats(proof: Proof) -> Finding:
    tight = proof.tightest
    good = tight.seated_deg >= tight.furthest_deg - _REACHED_DEG
    return Finding(
        code="motion.seats",
        verdict=Verdict.PASS if good else Verdict.FAIL,
        message=(
            "the shoulder rests on the mouth face at lock"
            if good
            else "the shoulder does not reach the mouth face at lock"
        ),
        value=tight.play_mm if good else None,
        limit=0.0,
        margin=tight.play_mm if good else None,
        unit="mm",
        source=REGION,
        change="" if good else "more axial or floor clearance",
    )


def _comes_out(socket: Socket, proof: Proof) -> Finding:
    motion = proof.tightest
    good = bool(motion.path)
    past = " under the detent" if socket.detent_height_mm > 0.0 else ""
    dip = f", after dipping {motion.hold_mm:.3f} mm{past}" if motion.hold_mm else ""
    return Finding(
        code="motion.comes_out",
        verdict=Verdict.PASS if good else Verdict.FAIL,
        message=(
            f"lock and entry lie in one piece of the free region: it comes out the way it went"
            f" in{dip}"
            if good
            else "no way back from the end of the turn to the entry"
        ),
        value=motion.narrowest_mm if good else None,
        limit=0.0,
        margin=motion.narrowest_mm if good else None,
        unit="mm",
        source=REGION,
        change="" if good else "see motion.turns",
    )


def _orientation(proof: Proof) -> Finding:
    """Only the meant way round may lock, the plug loose and wherever it may stand."""
    reach = proof.sideways.entering_mm
    where = f"the smallest plug up to {reach:.2f} mm aside in the widest tracks"
    ways = proof.ways_round
    yes = [one for one in ways or () if one.locks == "yes"]
    unsure = [one for one in ways or () if one.locks == "open"]
    if proof.loosest.entered is None:
        verdict, text = Verdict.FAIL, "the meant orientation does not enter"
    elif yes:
        verdict, text = Verdict.LOOK, _also_locks(yes)
    elif ways is None:
        verdict = Verdict.OPEN
        text = (
            "other ways round: lugs stand, or rock, so far apart in depth that they may enter one"
            " after the other"
        )
    elif unsure:
        at = ", ".join(f"{one.at_deg:.0f}" for one in unsure)
        verdict = Verdict.OPEN
        text = (
            f"the plug may go in {at} deg round from the meant orientation,"
            f" {min(one.aside_mm for one in unsure):.2f} mm aside; whether it then locks is not"
            f" settled ({where})"
        )
    else:
        verdict, text = Verdict.PASS, f"only the meant orientation locks: {where}"
    return Finding(
        code="motion.orientation",
        verdict=verdict,
        message=text,
        value=None if verdict is Verdict.OPEN else float(len(yes)),
        limit=None if verdict is Verdict.OPEN else 0.0,
        margin=None if verdict is Verdict.OPEN else -float(len(yes)),
        unit="" if verdict is Verdict.OPEN else "wrong ways round",
        source=REGION,
        change=_other_ways_change(proof) if verdict is not Verdict.PASS else "",
    )


def _also_locks(yes: list[WayRound]) -> str:
    at = ", ".join(f"{one.at_deg:.0f}" for one in yes)
    aside = min(one.aside_mm for one in yes)
    if aside < _CENTRED_MM:
        return f"not polarised: it also locks {at} deg round from the meant orientation"
    return (
        f"not polarised: a small plug pushed {aside:.2f} mm aside also locks {at} deg round from"
        " the meant orientation"
    )


def _other_ways_change(proof: Proof) -> str:
    marked = "mark the meant orientation on the boss"
    ways = proof.ways_round or ()
    if any(one.aside_mm >= _CENTRED_MM for one in ways):
        return f"less body clearance, or lugs that differ more; {marked}"
    return marked


def _axial_play(plug: Plug, socket: Socket) -> tuple[Finding]:
    usual, least, most = axial_play_mm(plug, socket)
    finding = at_least(
        least,
        0.0,
        code="motion.axial_play",
        message=f"axial play at lock {range_text(usual, least, most, 'mm')}",
        unit="mm",
        source=LIMITS,
        change=f"axial clearance {max(-least, 0.0) + 0.01:.2f} mm more",
        mends=(("socket.clearance.axial", round(socket.clearance.axial_mm - least + 0.01, 3)),),
    )
    return (finding,)


def axial_play_mm(plug: Plug, socket: Socket) -> tuple[float, float, float]:
    """Gap between lugs and roofs at the stop from the dimensions alone [mm].

    Nominal; least and most of the whole zone. A wide lug stops early and a narrow one late, and on
    a ramp the gap goes on changing with the turn: the largest lugs are looked at where the first
    and where the last of all plugs stop, and so are the smallest.
    """
    usual, tight, loose = (_pairs(plug, socket, extreme) for extreme in _EXTREMES)
    turns = (expected_end(tight), expected_end(loose))
    far = 2.0 * socket.limits.stop_deg
    opened = tuple((lug, zones.stop_moved(track, far)) for lug, track in tight)
    return (
        _lock_gap(usual, expected_end(usual)),
        min(_lock_gap(opened, turn) for turn in turns),
        max(_lock_gap(loose, turn) for turn in turns),
    )


def _lock_gap(pairs: Pairs, turn: float) -> float:
    """Least gap between lugs and roofs at a turn [mm]."""
    return min(gap_to_roof_mm(lug, track, turn_deg=turn) for lug, track in pairs)


def _away(lug: Lug, aside_mm: float) -> Lug:
    """A lug pushed away from its roof, towards the axis."""
    shape = lug.shape.moved({"outer_diameter": -2.0 * aside_mm})
    return dataclasses.replace(lug, shape=shape)


_FULL_FACE = "the lugs' own lead on the track, or a dwell as wide as the lugs"


def _why_an_edge(socket: Socket) -> str:
    if socket.tracks[0].cut is not None:
        return ": the disc cutter leaves the ramp true along the lugs' outer edge only"
    return ": flank and roof are not parallel and meet along an edge"


def _of_edge(socket: Socket, parallel: bool) -> Verdict:
    """A share that was asked for and is not reached fails; the usual one is to be looked at."""
    return Verdict.FAIL if socket.least_bearing is not None and not parallel else Verdict.LOOK


def _engagement(plug: Plug, socket: Socket, proof: Proof) -> Iterator[Finding]:
    turn = proof.tightest.furthest_deg
    # the earliest stop, and the widest slot: the least that is ever under the roof
    worst = [
        engagement(lug, track, turn_deg=turn) for lug, track in _pairs(plug, socket, "loosest")
    ]
    nominal = [
        engagement(lug, track, turn_deg=proof.nominal.furthest_deg)
        for lug, track in zip(plug.lugs, socket.tracks, strict=True)
    ]
    share = min(one.share for one in worst)
    degrees = min(one.overlap_deg for one in worst)
    yield at_least(
        share,
        socket.least_engagement,
        code="motion.engagement",
        message=f"{100 * share:.0f} % of each lug ({degrees:.1f} deg) is under the roof at lock",
        unit="-",
        source="socket.stop.least_engagement",
        change="more turn, or narrower slots",
    )
    area = sum(one.overlap_mm2 for one in nominal)
    bearing = sum(one.bearing_mm2 for one in nominal)
    aside = proof.sideways.aside_mm
    left = min(
        engagement(_away(lug, aside), track, turn_deg=turn).overlap_mm2
        for lug, track in _pairs(plug, socket, "loosest")
    )
    if any(lug.round_mm is not None for lug in plug.lugs):
        yield holding.along_lines(plug, socket, area=area, left=left, aside=aside)
        return
    wanted = 0.5 if socket.least_bearing is None else socket.least_bearing
    parallel = bearing >= wanted * area
    kept = left >= 0.5 * area / len(nominal)
    why = ("" if parallel else _why_an_edge(socket)) + ("" if kept else holding.LITTLE_LEFT)
    full = parallel and kept
    yield Finding(
        code="motion.bearing_area",
        verdict=Verdict.PASS if full else _of_edge(socket, parallel),
        message=(
            f"lugs and roof overlap {area:.1f} mm² in all; {bearing:.1f} mm² of it bears; a lug the"
            f" plug is pushed away from by {aside:.2f} mm keeps {left:.1f} mm²" + why
        ),
        value=bearing,
        limit=wanted * area,
        margin=bearing - wanted * area,
        unit="mm²",
        source=PRACTICE if socket.least_bearing is None else "socket.track.least_bearing",
        change="" if full else "less body clearance" if parallel else _FULL_FACE,
    )
