"""Ways out for a socket that cannot be cut as drawn, each applied and judged before it is named."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterable, Iterator
from dataclasses import replace

from bayonet.checks.making import casting, machining, walls
from bayonet.checks.making.ring import least_bearing
from bayonet.checks.motion import Proof, clearances, prove, way_in
from bayonet.errors import DesignError
from bayonet.findings import Finding, Mends, Verdict, at_least
from bayonet.parts import Design, changed

_SWING_SPARE_DEG = 2.0  # dwell beyond lug and disc, so that limits do not bring the ramp under
_TURN_STEP_DEG = 1.0
_NAMED = 2  # ways named beside a finding; more would not be read
_BAD = (Verdict.FAIL, Verdict.LOOK)


def as_it_bears(design: Design, found: Iterable[Finding]) -> tuple[Finding, ...]:
    """Findings with `motion.bearing_area` as the cutter leaves it, where it leaves less.

    The motion is proven on the track as drawn; beside a roof that bears on a thin edge its whole
    area must not be claimed.

    Parameters
    ----------
    design : Design
    found : iterable of Finding
        Those of motion and machining among them.

    Returns
    -------
    tuple of Finding
    """
    found = tuple(found)
    cut = next((one for one in found if one.code == "machining.bearing"), None)
    if cut is None or cut.verdict is not Verdict.FAIL or design.spec.socket.cutter is not None:
        return found
    return tuple(
        _less(one, cut, least_bearing(design))
        if one.code == "motion.bearing_area" and one.limit is not None
        else one
        for one in found
    )


def _less(drawn: Finding, cut: Finding, wanted: float) -> Finding:
    area = math.nan if drawn.limit is None else drawn.limit / wanted
    share = cut.value if cut.value is not None else 0.0
    return at_least(
        share * area,
        wanted * area,
        code=drawn.code,
        message=(
            f"lugs and roof overlap {area:.1f} mm² in all as drawn; as a disc cutter leaves the"
            f" roof, {share * area:.1f} mm² of it bears"
        ),
        unit=drawn.unit,
        source=drawn.source,
        change=cut.change,
        mends=cut.mends,
    )


def with_ways_out(design: Design, proof: Proof, found: Iterable[Finding]) -> tuple[Finding, ...]:
    """Findings of machining that fail, with changes that were tried and let it be made.

    Parameters
    ----------
    design : Design
    proof : Proof
    found : iterable of Finding
        Of the whole design; only failing ones of machining, and `motion.bearing_area` where
        machining takes it, are given another change.

    Returns
    -------
    tuple of Finding
    """
    found = tuple(found)
    failing = {one.code for one in found if _cannot_be_cut(one)}
    if not failing or design.spec.socket.track.made_by == "erosion":
        return found
    ways = tuple(itertools.islice(_working(design, proof, failing), _NAMED))
    if not ways:
        said = "no change of the socket alone was found that lets it be made: another plug"
        return tuple(_other(one, said, ()) if one.code in failing else one for one in found)
    words = "; or ".join(_words(way) for way in ways)
    told = f"{words} (tried: it can then be made)"
    bears = next((way for way in ways if _bears(design, way)), ())
    by_code = {**dict.fromkeys(failing, ways[0]), "motion.bearing_area": bears}
    return tuple(
        _other(one, told, by_code[one.code])
        if one.code in by_code and one.verdict is Verdict.FAIL
        else one
        for one in found
    )


def _bears(design: Design, way: Mends) -> bool:
    """Whether the flank bears too: a track that can be made may still meet it along an edge."""
    other = changed(design, way)
    return "motion.bearing_area" not in _faults(other, prove(other.plug, other.socket))


def _cannot_be_cut(finding: Finding) -> bool:
    """The cutter's own sizes have their own mends; these are about the track's shape."""
    own = ("machining.reach", "machining.tooth_corner", "machining.end_mill", "machining.neck",
           "machining.thickness", "machining.pass_bore", "machining.slot_corner")  # fmt: skip
    of_ring = ("machining.ring_bearing", "machining.webs", "machining.blind_holes",
               "machining.register")  # fmt: skip
    failing = finding.verdict is Verdict.FAIL and finding.code.startswith("machining.")
    failing = failing and finding.code not in of_ring
    return failing and not (finding.code in own and finding.mends)


def _other(finding: Finding, change: str, mends: Mends) -> Finding:
    return replace(finding, change=change, mends=mends)


def _words(way: Mends) -> str:
    return ", ".join(
        f"without {field.partition('.')[2]}" if value is None else f"{field} = {_shown(value)}"
        for field, value in way
        if field != "plug.turn_fraction"
    )


def _shown(value: float | int | str) -> str:
    return f'"{value}"' if isinstance(value, str) else f"{value:g}"


def _working(design: Design, proof: Proof, failing: set[str]) -> Iterator[Mends]:
    before = _faults(design, proof)
    for way in _candidates(design):
        try:
            other = changed(design, way)
        except DesignError:
            continue
        new = prove(other.plug, other.socket)
        after = _faults(other, new)
        made = not any(code.startswith(("machining.", "casting.")) and verdict is Verdict.FAIL
                       for code, verdict in after.items())  # fmt: skip
        healed = not failing & set(after)
        harmed = any(verdict is Verdict.FAIL and before.get(code) is not Verdict.FAIL
                     for code, verdict in after.items())  # fmt: skip
        if made and healed and not harmed:
            yield way


def _faults(design: Design, proof: Proof) -> dict[str, Verdict]:
    """Verdicts of motion, shape and making that are no pass; an edge that bears is a failure."""
    found = (
        *way_in.findings(design.plug, design.socket, proof),
        *clearances.findings(design.plug, design.socket),
        *walls.findings(design.plug, design.socket, most_play_mm=0.0),
        *machining.findings(design, lock_deg=proof.nominal.furthest_deg),
        *casting.findings(design),
    )
    faults = {one.code: one.verdict for one in found if one.verdict in _BAD}
    if faults.get("motion.bearing_area") is Verdict.LOOK:
        faults["motion.bearing_area"] = Verdict.FAIL
    return faults


def _candidates(design: Design) -> Iterator[Mends]:
    """Changes of the socket in the order a machinist would like them."""
    plain = _plain_shape(design)
    dwell = (("socket.track.dwell_deg", _dwell(design)),)
    turns = [_turned(design, turn) for turn in _turns(design)]
    with_dwell = dwell if design.socket.lead_mm_per_rev != 0.0 else ()
    if plain:
        yield plain
    if with_dwell:
        yield (*plain, *with_dwell)
    for turn in turns:
        yield (*plain, *turn)
        if with_dwell:
            yield (*plain, *with_dwell, *turn)
    gone: Mends = (("socket.cutter", None),) if design.spec.socket.cutter is not None else ()
    if design.socket.joint is None:
        yield (*gone, *plain, ("socket.construction", "ring_and_body"))
    yield (*gone, ("socket.track.made_by", "erosion"))
    yield (*gone, ("socket.process", "cast"))


def _plain_shape(design: Design) -> Mends:
    table = design.spec.socket.track
    rows: list[tuple[str, float | int | str | None]] = []
    if table.detent is not None:
        rows.append(("socket.track.detent", None))
    if table.floor_slope_deg.value != 0.0:
        rows.append(("socket.track.floor_slope_deg", 0.0))
    if table.floor != "level":
        rows.append(("socket.track.floor", "level"))
    return tuple(rows)


def _dwell(design: Design) -> float:
    """Dwell as wide as the widest lug and the disc's swing."""
    extra = machining.stop_travel_deg(design)
    widest = max(2.0 * float(lug.half.at(design.socket.track_bore_radius_mm))
                 for lug in design.plug.lugs)  # fmt: skip
    return float(round(widest + extra + _SWING_SPARE_DEG))


def _turns(design: Design) -> tuple[float, ...]:
    """Less turn: by what the arc at the stop is short of, if that leaves any."""
    short = machining.short_of_deg(design)
    turn = design.plug.turn_deg - _TURN_STEP_DEG * (1 + short // _TURN_STEP_DEG)
    return (round(turn, 3),) if short > 0.0 and turn > _TURN_STEP_DEG else ()


def _turned(design: Design, turn_deg: float) -> Mends:
    now: Mends = (("plug.turn_deg", turn_deg),)
    fraction = design.spec.plug.turn_fraction is not None
    return (("plug.turn_fraction", None), *now) if fraction else now
