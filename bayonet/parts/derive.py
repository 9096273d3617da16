"""From plug and intent to every dimension of the socket. No geometry kernel, no judgement.

What cannot be drawn is refused here, with all reasons at once; what can be drawn but is a bad
idea is found by `bayonet.checks`.
"""

from __future__ import annotations

import dataclasses
import math
from dataclasses import dataclass

from bayonet import rounding
from bayonet.designfile import Measured, ProblemList, SocketTable
from bayonet.mechanics import advance_mm, lead_mm_per_rev
from bayonet.parts import cutter, joint_plan, mount, track_shape
from bayonet.parts.bore import BorePlan, plan_bore
from bayonet.parts.gasket import gasket_of
from bayonet.parts.joint import Joint
from bayonet.parts.limits import SocketLimits, check_limits, limits_of, tolerances_of
from bayonet.parts.lugs import HalfAngle, Lug
from bayonet.parts.plug import Layout, Plug
from bayonet.parts.ring import resolve
from bayonet.parts.socket import (
    Polyline,
    Socket,
    Track,
    deepest_floor,
    least_gap_between,
)
from bayonet.standards import Clearances, socket_clearances

_ROUND_UP_MM = 0.5
_SPARE_MM = 0.02


def socket(plug: Plug, table: SocketTable, problems: ProblemList) -> Socket | None:
    """Derive the socket.

    Parameters
    ----------
    plug : Plug
        Sound by `bayonet.parts.rules`.
    table : SocketTable
        The user's intent.
    problems : ProblemList
        Receives every reason why it cannot be drawn.

    Returns
    -------
    Socket or None
        None where there is a problem.
    """
    clearance = _clearances(plug, table)
    layout = _layout(plug, table, problems)
    _check_seating(plug, table, problems)
    lead = _lead(plug, table)
    ring = resolve(plug, table.seal, problems)
    if len(problems):
        return None
    check_limits(plug, table, problems)
    radii = [lug.outer_radius_mm + clearance.lug_radial_mm for lug in plug.lugs]
    bore = plan_bore(
        plug, table, layout=layout, ring=ring, clearance=clearance,
        track_radii_mm=(min(radii), max(radii)), problems=problems,
    )  # fmt: skip
    if bore is None:
        return None
    maker = _TrackMaker(plug, table, clearance, bore, lead, problems)
    tracks = cutter.applied(tuple(maker.track(lug) for lug in plug.lugs), plug, table, problems)
    tracks = joint_plan.seated(tracks, table, problems)
    _check_spacing(plug, tracks, problems)
    if len(problems):
        return None
    floor = deepest_floor(tracks)
    bore = bore.closed_below(floor, table, problems)
    joint = _joint(plug, table, tracks, lead, layout, problems)
    if len(problems):
        return None
    bore = _deep_enough(bore, joint, table, problems)
    boss = _boss_radius(plug, table, max(radii), bore, joint, problems)
    flange, weld = mount.mount(table, boss_mm=boss, bore=bore, floor_mm=floor, problems=problems)
    if len(problems):
        return None
    return Socket(
        layout=layout,
        seating=table.seating,
        process=table.process,
        turn_deg=plug.turn_deg,
        sign=plug.sign,
        bore=bore.outline(),
        track_bore_radius_mm=bore.track_bore_radius_mm,
        ring=ring,
        seal_radius_mm=bore.seal_radius_mm,
        seal_from_mm=bore.seal_from_mm,
        seal_to_mm=bore.seal_to_mm,
        tracks=tracks,
        boss_radius_mm=boss,
        boss_height_mm=bore.end_mm,
        mouth_chamfer_mm=bore.mouth_chamfer_mm,
        passage_radius_mm=bore.passage_radius_mm,
        nose_floor_mm=bore.floor_under_nose_mm,
        lead_mm_per_rev=lead,
        detent_height_mm=table.track.detent.height.value if table.track.detent else 0.0,
        stop_overtravel_deg=table.stop.overtravel_deg.value,
        least_engagement=table.stop.least_engagement,
        wall_mm=table.wall.value,
        clearance=clearance,
        tolerance=tolerances_of(table),
        limits=limits_of(table),
        flange=flange,
        weld=weld,
        gasket=gasket_of(table),
        joint=joint,
        least_bearing=table.track.least_bearing,
    )


def _joint(
    plug: Plug, table: SocketTable, tracks: tuple[Track, ...], lead: float, layout: Layout,
    problems: ProblemList,
) -> Joint | None:  # fmt: skip
    """The joint of a socket of two parts.

    The fluid reaches it where the plug seals nearer the mouth than the tracks, or in their plane.
    """
    if table.construction == "one_piece":
        return None
    on_face = plug.groove_kind == "shoulder_face"
    ask = joint_plan.JointAsk(
        plug=plug, table=table, tracks=tracks, limits=limits_of(table), sign=plug.sign,
        lead_mm_per_rev=lead,
        seal_beyond_mm=plug.groove.end_mm + table.seal.margin.value if on_face else 0.0,
        runs_out_to_mm=plug.groove.start_mm - 2.0 * table.seal.margin.value
        if on_face else math.inf,
        wetted=layout == "B" or on_face, problems=problems,
    )  # fmt: skip
    return joint_plan.plan(ask)


def _deep_enough(
    bore: BorePlan, joint: Joint | None, table: SocketTable, problems: ProblemList
) -> BorePlan:
    """The boss made as high as the joint's holes need; a stated height must be enough."""
    if joint is None:
        return bore
    bore = bore.wider_below(joint.seat_mm, joint.centring_mm / 2.0 + joint.flatness_mm)
    least = joint_plan.least_height_mm(joint)
    if table.boss_height is None:
        return dataclasses.replace(bore, end_mm=max(bore.end_mm, least))
    if not bore.end_mm >= least:
        rule = f"the joint's holes need {least:.4g} mm: higher, or less engagement"
        problems.add(("socket", "boss_height"), rule)
    return bore


def _clearances(plug: Plug, table: SocketTable) -> Clearances:
    """Clearances as given; else the process's, widened to what limits and spread add up to."""
    usual, own, limits = socket_clearances(table.process), table.clearance, limits_of(table)
    zones = [lug.zone for lug in plug.lugs]
    radius = max(lug.outer_radius_mm for lug in plug.lugs)
    leads = [max(lug.lead_mm_per_rev, lug.floor_lead_mm_per_rev) for lug in plug.lugs]
    lead = max(_lead(plug, table), *leads)
    position = max(zone.position_deg for zone in zones)
    turned = position + limits.slot_position_deg
    side = limits.slot_width_mm / 2.0 + max(zone.side_mm for zone in zones)
    side += math.radians(turned) * radius
    eccentric = plug.lug_axis_zone_mm + limits.coaxiality_mm / 2.0
    eccentric += _forced(plug, limits)
    side += eccentric  # moves sides on one side of the plug nearer, on the other farther off
    roof = limits.roof_mm + max(zone.bearing_mm + zone.ends_mm for zone in zones)
    swing = position + max(limits.slot_position_deg, limits.stop_deg)
    climb = float(advance_mm(lead, swing + math.degrees(side / radius)))
    roof += climb
    slope = math.tan(math.radians(table.track.floor_slope_deg.value))
    floor = limits.floor_mm + max(zone.leading_mm + zone.leading_ends_mm for zone in zones)
    floor += climb + slope * limits.track_wall_mm / 2.0
    bore = max(limits.track_bore_mm, limits.sealing_bore_mm)
    body = bore + 2.0 * max(step.radius_zone_mm for step in plug.body)
    radial = limits.track_wall_mm / 2.0 + max(zone.outer_radius_mm for zone in zones) + eccentric
    nose = limits.nose_floor_mm + max(step.depth_zone_mm for step in plug.body)
    axial = usual.axial_mm
    if (gasket := gasket_of(table)) is not None:  # pushed out it keeps the middle of its range
        axial = gasket.thickness_mm * (gasket.most_squeeze - gasket.least_squeeze) / 2.0

    def chosen(given: Measured | None, of_process: float, least: float) -> float:
        return (
            given.value
            if given is not None
            else max(of_process, rounding.up(least + _SPARE_MM, step=0.01))
        )

    return Clearances(
        body_diametral_mm=chosen(own.body, usual.body_diametral_mm, body),
        lug_radial_mm=chosen(own.lug_radial, usual.lug_radial_mm, radial),
        lug_side_mm=chosen(own.lug_side, usual.lug_side_mm, side),
        axial_mm=0.0 if table.seating == "clamp" else chosen(own.axial, axial, roof),
        floor_mm=chosen(own.floor, usual.floor_mm, floor),
        nose_mm=chosen(own.nose, usual.nose_mm, nose),
    )


def _forced(plug: Plug, limits: SocketLimits) -> float:
    """How far steps of the body, or bores, out of line may force the plug aside [mm]."""
    steps = plug.step_axis_zone_mm if len(plug.body) > 1 else 0.0
    return steps + (limits.seal_coaxiality_mm / 2.0 if plug.groove_kind == "radial" else 0.0)


def _layout(plug: Plug, table: SocketTable, problems: ProblemList) -> Layout:
    """Layout as the plug makes it plain; a stated one must agree."""
    shown: Layout
    if plug.groove_kind is None:
        shown = "D"
    elif plug.groove_kind != "radial":
        shown = "C"
    else:
        shown = "B" if plug.groove.start_mm < plug.lug_span_mm[0] else "A"
    if table.layout is not None and table.layout != shown:
        why = {
            "A": "the groove lies deeper than the lugs",
            "B": "the groove lies nearer the shoulder than the lugs",
            "C": "the groove is in a face",
            "D": "it carries no ring",
        }[shown]
        problems.add(("socket", "layout"), f"the plug makes it {shown}: {why}")
    return shown


def _lead(plug: Plug, table: SocketTable) -> float:
    track = table.track
    if track.lead is not None:
        return track.lead.value
    if track.lead_angle_deg is not None:
        mean = max(lug.outer_radius_mm for lug in plug.lugs) + plug.lug_body.radius_mm
        return lead_mm_per_rev(track.lead_angle_deg.value, mean_diameter_mm=mean)
    return plug.lugs[0].lead_mm_per_rev


def _check_seating(plug: Plug, table: SocketTable, problems: ProblemList) -> None:
    if table.seating == "stop":
        return
    if table.seal.kind == "gasket":
        rule = "how far clamp seating squeezes a gasket is not reckoned: let it turn to a stop"
        problems.add(("socket", "seating"), rule, example='seating = "stop"')
    track: tuple[str, str] = ("socket", "track")
    if not _lead(plug, table) > 0.0:
        rule = "clamp seating needs a ramp: a lead of more than 0 mm/rev on the track or the lugs"
        problems.add((*track, "lead"), rule)
    if table.track.dwell_deg.value > 0.0:
        problems.add((*track, "dwell_deg"), "clamp seating pulls down on a ramp: no dwell")
    if table.track.detent is not None:
        problems.add((*track, "detent"), "clamp seating leaves no axial play for a detent")
    if not table.stop.overtravel_deg.value > 0.0:
        rule = "clamp seating needs room between tight and the stop: more than 0 deg"
        problems.add(("socket", "stop", "overtravel_deg"), rule, example="overtravel_deg = 20")


@dataclass(frozen=True)
class _TrackMaker:
    plug: Plug
    table: SocketTable
    clearance: Clearances
    bore: BorePlan
    lead: float
    problems: ProblemList

    def track(self, lug: Lug) -> Track:
        """The track for one lug."""
        outer = lug.outer_radius_mm + self.clearance.lug_radial_mm
        slot = lug.half.grown(self.clearance.lug_side_mm, at_radius_mm=lug.outer_radius_mm)
        plan = self._plan(lug, slot)
        self._check(plan, slot, outer)
        roof = track_shape.roof(plan)
        floor = track_shape.floor(plan, parallel=self.table.track.floor == "parallel")
        self._check_roof(roof)
        return Track(
            centre_deg=lug.centre_deg,
            slot=slot,
            end=lug.half.turned(plan.end_deg),
            roof=roof,
            floor=floor,
            end_radius_mm=0.0 if self._sharp else track_shape.end_radius_mm(plan, roof, floor),
            top_mm=self.bore.slot_top_mm,
            inner_radius_mm=self.bore.track_bore_radius_mm,
            outer_radius_mm=outer,
            floor_slope=math.tan(math.radians(self.table.track.floor_slope_deg.value)),
        )

    @property
    def _sharp(self) -> bool:
        return self.table.cutter is not None or self.table.track.floor_slope_deg.value > 0.0

    def _plan(self, lug: Lug, slot: HalfAngle) -> track_shape.TrackPlan:
        inner = self.bore.track_bore_radius_mm
        over = self.table.stop.overtravel_deg.value
        end = self.plug.turn_deg + over
        lock = end if self.table.seating == "stop" else self.plug.turn_deg
        return track_shape.TrackPlan(
            lug=lug,
            lug_half_deg=float(lug.half.at(inner)),
            slot_half_deg=float(slot.at(inner)),
            lock_deg=lock,
            end_deg=end,
            lead_mm_per_rev=self.lead,
            dwell_deg=self.table.track.dwell_deg.value,
            axial_mm=self.clearance.axial_mm,
            floor_mm=self.clearance.floor_mm,
            detent=self._detent(),
            bore_radius_mm=inner,
            mean_radius_mm=(inner + lug.outer_radius_mm) / 2.0,
        )

    def _detent(self) -> track_shape.DetentShape | None:
        given = self.table.track.detent
        if given is None:
            return None
        return track_shape.DetentShape(
            height_mm=given.height.value,
            flank_angle_deg=given.flank_angle_deg.value,
            crest_deg=given.crest_deg.value,
            pocket_deg=given.pocket_deg.value,
        )

    def _check(self, plan: track_shape.TrackPlan, slot: HalfAngle, outer: float) -> None:
        """Refuse a track whose corners do not lie between slot and stop at every radius."""
        inner = self.bore.track_bore_radius_mm
        first = max(float(slot.at(inner)), float(slot.at(outer)))
        last = plan.end_deg + float(plan.lug.half.at(outer))
        if not math.isfinite(first) or first > 80.0:
            rule = f"the slot for it must meet the bore (diameter {2 * inner:.4g} mm)"
            self.problems.add(("plug", "lugs", "width"), rule)
            return
        if not last > first:
            rule = f"must be more than {first - last + plan.end_deg:.3g} deg to leave the slot"
            path = self.problems.given(("plug", "turn_deg"), ("plug", "turn_fraction"))
            self.problems.add(path, rule)
        if not first < track_shape.detent_start(plan):
            room = track_shape.detent_start(plan) - first
            rule = f"does not fit between slot and lock: {-room:.3g} deg short"
            self.problems.add(("socket", "track", "detent"), rule)
        dwell = track_shape.dwell_start(plan)
        if not first < dwell:
            most = plan.dwell_deg - (first - dwell)
            rule = f"must leave room for the ramp: less than {most:.3g} deg (or lead = 0)"
            self.problems.add(("socket", "track", "dwell_deg"), rule)
        elif math.isfinite(dwell) and not dwell < last:
            least = plan.dwell_deg + dwell - last
            rule = f"must be 0, or more than {least:.3g} deg to show along the whole parallel stop"
            self.problems.add(("socket", "track", "dwell_deg"), rule)

    def _check_roof(self, roof: Polyline) -> None:
        """Refuse a ramp that starts above the face it hangs from."""
        least = min(depth for _, depth in roof)
        face = self.bore.slot_top_mm + self.bore.mouth_chamfer_mm
        if not least > face:
            rule = (
                f"the roof would start {face - least:.4g} mm above the face it hangs from:"
                " less lead, or more dwell"
            )
            self.problems.add(("socket", "track", "lead"), rule)


def _check_spacing(plug: Plug, tracks: tuple[Track, ...], problems: ProblemList) -> None:
    """The end of a track must stay clear of the slot of the next one towards lock."""
    if len(problems):
        return
    gap, one, other = least_gap_between(tracks, plug.sign)
    if not gap > 0.0:
        rule = (
            f"the track from {one.centre_deg:g} deg runs into the slot at"
            f" {other.centre_deg:g} deg: turn at least {-gap:.3g} deg too long"
        )
        path = problems.given(("plug", "turn_deg"), ("plug", "turn_fraction"))
        problems.add(path, rule, example="")


def _boss_radius(
    plug: Plug, table: SocketTable, track_radius: float, bore: BorePlan, joint: Joint | None,
    problems: ProblemList,
) -> float:  # fmt: skip
    inside = max(track_radius, bore.greatest_radius_mm)
    if joint is not None:
        inside = joint.ring_radius_mm
    if table.boss_diameter is None:
        wall = table.wall.value + tolerances_of(table).diameter_mm  # so that its limits leave it
        wall = wall if joint is None else wall / 2.0  # a rim that centres, and bears nothing
        least = 2.0 * max(inside + wall, plug.shoulder_radius_mm)
        return rounding.up(least, step=_ROUND_UP_MM) / 2.0
    if not table.boss_diameter.value > 2.0 * inside:
        what = "tracks and bores reach" if joint is None else "the ring alone is"
        rule = f"leaves no wall: {what} {2 * inside:.4g} mm"
        problems.add(("socket", "boss_diameter"), rule)
    return table.boss_diameter.value / 2.0
