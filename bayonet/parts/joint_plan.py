"""Every number of ring, body, bolts, dowel and joint seal, from socket and intent. No judgement."""

from __future__ import annotations

import dataclasses
import itertools
import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bayonet.designfile import JointTable, Path, ProblemList, SocketTable
from bayonet.errors import TableError
from bayonet.mechanics import steepest_swing_deg
from bayonet.parts.joint import Bolts, Dowel, Joint, JointSeal
from bayonet.parts.limits import SocketLimits
from bayonet.parts.plug import Plug
from bayonet.parts.run_outs import places_of, reach_mm, reliefs, webs
from bayonet.parts.socket import Track
from bayonet.standards import Bolt, as568, bolts, glands

Array = NDArray[np.float64]

MILLS_MM = (6.0, 5.0, 4.0, 3.0, 2.5, 2.0, 1.5, 1.0)
"""End mills tried where the file names none. Common practice, no source."""
MOST_SLENDER = 5.0
"""Length over diameter of an end mill that still stands. Common practice, no source."""
HEAD_BELOW_MM = 0.3
"""A sunk head stays this far below the mouth face. Common practice, no source."""
_USUAL_BOLTS = ((15.0, "M3"), (30.0, "M4"), (50.0, "M5"), (math.inf, "M6"))
_LAND_MM = 1.0
_RUN_OUT_PITCHES = 3.0
_BELOW_HOLE_MM = 2.0
_DOWEL_LENGTHS = 1.5
_SEAL_SECTION_MM = 1.78
_SAME_SECTION_MM = 0.05
_STEP_DEG = 1.0
_SEAT_STEP_MM = 0.05  # a ring's thickness is a number to measure
_FIELD: Path = ("socket", "joint")


@dataclass(frozen=True, kw_only=True)
class JointAsk:
    """What the plan of a joint is given.

    Parameters
    ----------
    plug : Plug
    table : SocketTable
    tracks : tuple of Track
        As designed, floors at the seat.
    limits : SocketLimits
    sign : {1, -1}
    lead_mm_per_rev : float
    seal_beyond_mm : float
        Radius on the mouth face that heads must stay outside of: shoulder or face seal; 0: none.
    runs_out_to_mm : float
        Radius the mill may reach on the mouth face: short of a face seal; infinite without one.
    wetted : bool
        Whether the fluid reaches the joint.
    problems : ProblemList
    """

    plug: Plug
    table: SocketTable
    tracks: tuple[Track, ...]
    limits: SocketLimits
    sign: int
    lead_mm_per_rev: float
    seal_beyond_mm: float
    runs_out_to_mm: float
    wetted: bool
    problems: ProblemList

    @property
    def joint(self) -> JointTable:
        """The joint's table, or its defaults."""
        return self.table.joint or JointTable()

    @property
    def wall_mm(self) -> float:
        """Radius of the outermost track's wall [mm]."""
        return max(track.outer_radius_mm for track in self.tracks)

    @property
    def seat_mm(self) -> float:
        """Depth of the seat [mm]."""
        return self.tracks[0].floor[-1][1]


def seated(
    tracks: tuple[Track, ...], table: SocketTable, problems: ProblemList
) -> tuple[Track, ...]:
    """The tracks with one level floor, the body's seat; what no ring can have is refused."""
    if table.construction == "one_piece":
        if table.joint is not None:
            rule = 'a joint needs two parts: construction = "ring_and_body", or no joint'
            problems.add(_FIELD, rule, example="")
        return tracks
    rows: tuple[tuple[bool, Path, str], ...] = (
        (table.process != "machined", ("socket", "process"),
         'ring and body are milled and turned: "machined", or construction = "one_piece"'),
        (table.cutter is not None, ("socket", "cutter"),
         "a ring's ramps are milled from below: name socket.joint.end_mill, no disc cutter"),
        (table.track.made_by == "erosion", ("socket", "track", "made_by"),
         "a ring's ramps are milled from below: leave it out"),
        (table.track.floor != "level", ("socket", "track", "floor"),
         'the floor is the body\'s flat seat: "level"'),
        (table.track.floor_slope_deg.value != 0.0, ("socket", "track", "floor_slope_deg"),
         "the floor is the body's flat seat: 0 deg"),
    )  # fmt: skip
    for wrong, path, rule in rows:
        if wrong:
            problems.add(path, rule, example="")
    if len(problems):
        return tracks
    deepest = max(depth for track in tracks for _, depth in track.floor)
    seat = _SEAT_STEP_MM * math.ceil(deepest / _SEAT_STEP_MM - 1e-9)
    return tuple(
        dataclasses.replace(track, floor=tuple((angle, seat) for angle, _ in track.floor))
        for track in tracks
    )


def plan(ask: JointAsk) -> Joint | None:
    """Decide the joint; None where a problem was noted.

    Parameters
    ----------
    ask : JointAsk

    Returns
    -------
    Joint or None
    """
    before, joint = len(ask.problems), ask.joint
    bolt = _bolt(ask)
    mill = _mill(ask)
    if bolt is None or mill is None:
        return None
    sink = bolt.head_height_mm + HEAD_BELOW_MM if joint.heads == "sunk" else 0.0
    if not sink + bolt.diameter_mm / 2.0 < ask.seat_mm:
        rule = (
            f"sunk heads of {bolt.name} need a ring thicker than"
            f" {sink + bolt.diameter_mm / 2.0:.4g} mm, and it is {ask.seat_mm:.4g}"
        )
        ask.problems.add((*_FIELD, "heads"), rule, example='heads = "proud"')
        return None
    seal = _seal(ask, mill)
    circle = _circle(ask, bolt, mill, seal, sink)
    count = joint.bolts or _usual_count(len(ask.tracks))
    head = (bolt.counterbore_mm if sink else bolt.head_diameter_mm) / 2.0
    ring = _ring_radius(ask, circle, head)
    length = 2.0 * bolt.diameter_mm if joint.engagement is None else joint.engagement.value
    cap = Bolts(
        bolt=bolt, property_class=joint.property_class, count=count, circle_radius_mm=circle,
        first_deg=_first(ask, circle, count, mill), sink_mm=sink, engagement_mm=length,
        hole_depth_mm=length + _RUN_OUT_PITCHES * bolt.pitch_mm,
        preload_share=joint.preload_share, nut_factor=joint.nut_factor,
    )  # fmt: skip
    made = Joint(
        seat_mm=ask.seat_mm, ring_radius_mm=ring, register_mm=joint.register_height.value,
        mill_radius_mm=mill / 2.0, mill_named=joint.end_mill is not None, bolts=cap,
        dowel=_dowel(ask, cap), seal=seal, wetted=ask.wetted,
        centring_mm=joint.centring_clearance.value, flatness_mm=joint.seat_flatness.value,
    )  # fmt: skip
    _check(ask, made)
    return made if len(ask.problems) == before else None


def least_height_mm(joint: Joint) -> float:
    """Least height of the whole socket that leaves metal below the joint's holes [mm]."""
    deepest = [joint.bolts.hole_depth_mm]
    if joint.dowel is not None:
        deepest.append(joint.dowel.body_depth_mm)
    return joint.seat_mm + max(deepest) + _BELOW_HOLE_MM


# ---- one number after the other ------------------------------------------------------------


def _bolt(ask: JointAsk) -> Bolt | None:
    name = ask.joint.thread or next(name for upto, name in _USUAL_BOLTS if ask.wall_mm < upto)
    try:
        bolt = bolts.bolt(name)
        bolts.bolt_class(ask.joint.property_class, bolt.diameter_mm)
    except TableError as error:
        field = "thread" if "bolt" in str(error) else "property_class"
        ask.problems.add((*_FIELD, field), str(error), example="")
        return None
    return bolt


def _slot_chord_mm(track: Track) -> float:
    wall = track.outer_radius_mm
    return 2.0 * wall * math.sin(math.radians(min(float(track.slot.at(wall)), 90.0)))


def _mill(ask: JointAsk) -> float | None:
    """Diameter of the end mill: named, or the largest whose last pass keeps the roof's limits."""
    most = min(_slot_chord_mm(track) for track in ask.tracks) / 2.0
    given = ask.joint.end_mill
    if given is not None:
        if not given.value <= most:
            rule = f"must be at most half the entry slot's width at the wall ({most:.4g} mm)"
            ask.problems.add((*_FIELD, "end_mill"), rule, example=f"end_mill = {_down(most):g}")
            return None
        return given.value
    room = ask.runs_out_to_mm - ask.wall_mm
    fits = [one for one in MILLS_MM if one <= most and one / 2.0 <= room]
    if not fits:
        rule = (
            f"no usual end mill goes twice into the slot and clears the seal: {most:.4g} mm at most"
        )
        ask.problems.add((*_FIELD, "end_mill"), rule, example="")
        return None
    stands = [one for one in fits if ask.seat_mm / one <= MOST_SLENDER] or fits[:1]
    true = [one for one in stands if _overcut_mm(ask, one) <= ask.limits.roof_mm]
    return true[0] if true else stands[-1]


def _overcut_mm(ask: JointAsk, mill: float) -> float:
    swing = steepest_swing_deg(wall_mm=ask.wall_mm, mill_radius_mm=mill / 2.0)
    return ask.lead_mm_per_rev * swing / 360.0


def _usual_count(lugs: int) -> int:
    """As many bolts as lugs, or a multiple, that makes at least four."""
    return lugs * math.ceil(4 / lugs)


def _circle(ask: JointAsk, bolt: Bolt, mill: float, seal: JointSeal | None, sink: float) -> float:
    """Radius of the bolt circle [mm]."""
    given = ask.joint.bolt_circle
    if given is not None:
        return given.value / 2.0
    head = (bolt.counterbore_mm if sink else bolt.head_diameter_mm) / 2.0
    web = max(_LAND_MM, ask.table.wall.value / 4.0)
    least = [reach_mm(ask.tracks, mill / 2.0) + web + head]
    if seal is not None:
        least.append(seal.outer_radius_mm + web + bolt.clearance_hole_mm / 2.0)
    if ask.seal_beyond_mm:
        least.append(ask.seal_beyond_mm + _LAND_MM + head)
    if not sink:
        least.append(ask.plug.shoulder_radius_mm + _LAND_MM + head)
    return math.ceil(2.0 * max(least) - 1e-9) / 2.0


def _ring_radius(ask: JointAsk, circle: float, head: float) -> float:
    given = ask.joint.ring_diameter
    if given is not None:
        return given.value / 2.0
    edge = max(1.5 * _LAND_MM, ask.table.wall.value / 4.0)
    return math.ceil(2.0 * max(circle + head + edge, ask.plug.shoulder_radius_mm) - 1e-9) / 2.0


def _first(ask: JointAsk, circle: float, count: int, mill: float) -> float:
    """Where the first bolt stands: as far from all slots' corners as can be [deg]."""
    given = ask.joint.first_bolt_at_deg
    if given is not None:
        return given.value
    middles = np.array(
        [at for track in ask.tracks for _, at in places_of(track, mill / 2.0, ask.sign)]
    )
    tries = np.arange(0.0, 360.0 / count, _STEP_DEG)
    angles = np.radians(tries[:, None] + 360.0 / count * np.arange(count))
    at = circle * np.stack([np.cos(angles), np.sin(angles)], axis=-1)
    least = np.linalg.norm(at[:, :, None] - middles, axis=-1).min(axis=(1, 2))
    return float(tries[int(np.argmax(np.round(least, 6)))])


def _dowel(ask: JointAsk, cap: Bolts) -> Dowel | None:
    given = ask.joint.dowel_diameter
    diameter = cap.bolt.diameter_mm if given is None else given.value
    if diameter == 0.0:
        return None
    deep = min(_DOWEL_LENGTHS * diameter, ask.seat_mm - _LAND_MM)
    return Dowel(
        radius_mm=diameter / 2.0,
        at_deg=cap.first_deg + 180.0 / cap.count,
        circle_radius_mm=cap.circle_radius_mm,
        ring_depth_mm=deep,
        body_depth_mm=_DOWEL_LENGTHS * diameter,
        position_mm=ask.joint.dowel_position.value,
    )


def _seal(ask: JointAsk, mill: float) -> JointSeal | None:
    """The ring in the joint: the smallest size whose groove clears tracks and reliefs."""
    asked = ask.joint.seal
    if asked == "none" or (asked is None and not ask.wetted):
        return None
    wanted = _SEAL_SECTION_MM if ask.joint.seal_section is None else ask.joint.seal_section.value
    inside = reach_mm(ask.tracks, mill / 2.0) + _LAND_MM
    for size in as568.sizes():
        if abs(size.section_mm - wanted) > _SAME_SECTION_MM:
            continue
        chart = glands.gland(size.section_mm, kind="face")
        width = (chart.width_least_mm + chart.width_most_mm) / 2.0
        outer = size.outside_diameter_mm / 2.0  # pressed outwards: the ring lies on the outer wall
        if outer - width >= inside:
            return JointSeal(
                name=f"AS568{size.designation}", inside_diameter_mm=size.inside_diameter_mm,
                section_mm=size.section_mm, inner_radius_mm=outer - width, outer_radius_mm=outer,
                depth_mm=(chart.depth_least_mm + chart.depth_most_mm) / 2.0,
                source=chart.source,
            )  # fmt: skip
    rule = (
        f"AS568 has no ring of section {wanted:g} mm whose groove lies outside {2 * inside:.4g} mm"
    )
    ask.problems.add((*_FIELD, "seal_section"), rule, example="seal_section = 2.62")
    return None


def _down(value: float) -> float:
    return math.floor(10.0 * value) / 10.0


def _check(ask: JointAsk, joint: Joint) -> None:
    """Refuse what runs into each other, or a register that is deeper than the ring."""
    if not joint.register_mm < joint.seat_mm:
        rule = f"must be less than the ring's thickness ({joint.seat_mm:.4g} mm)"
        ask.problems.add((*_FIELD, "register_height"), rule)
    fields = {"bolts": "bolt_circle", "dowel": "dowel_diameter", "seal": "seal_section"}
    for what, left in webs(joint, ask.tracks, ask.sign).items():
        if not left > 0.0:
            field = "ring_diameter" if "edge" in what else fields[what.partition(" ")[0]]
            rule = f"{what} run into each other by {-left:.3g} mm"
            ask.problems.add((*_FIELD, field), rule, example="")
    if joint.dowel is not None and not joint.dowel.ring_depth_mm > 0.0:
        ask.problems.add((*_FIELD, "dowel_diameter"), "the ring is too thin for a dowel")
    for track in ask.tracks:
        _check_stop(ask, track, joint.mill_radius_mm)


def _check_stop(ask: JointAsk, track: Track, mill: float) -> None:
    """The run-out at a stop must lie beside that of the slot, or their volumes would mix."""
    near, stop = (one for one in reliefs(track, mill) if one.what != "far side")
    apart = math.radians(stop.angle_deg - near.angle_deg) * track.outer_radius_mm
    if not apart > 2.0 * mill:
        rule = f"a mill of {2 * mill:g} mm does not fit between slot and stop ({apart:.3g} mm)"
        ask.problems.add((*_FIELD, "end_mill"), rule, example="")
    gaps = [
        np.linalg.norm(a - b) - 2.0 * mill
        for (one, a), (two, b) in itertools.product(
            places_of(track, mill, ask.sign),
            (p for other in ask.tracks if other is not track
             for p in places_of(other, mill, ask.sign)),
        )
    ]  # fmt: skip
    if gaps and not min(gaps) > 0.0:
        rule = f"a mill of {2 * mill:g} mm leaves nothing between a stop and the next slot"
        ask.problems.add((*_FIELD, "end_mill"), rule, example="")
