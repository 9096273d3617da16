"""The socket's inner outline: sealing bore, lead-in, track bore, passage, by layout.

Radii and depths [mm]; depths count from the mouth face into the tank.
"""

from __future__ import annotations

import dataclasses
import math
from dataclasses import dataclass

from bayonet.designfile import ProblemList, SocketTable
from bayonet.parts.limits import tolerances_of
from bayonet.parts.plug import Layout, Plug
from bayonet.parts.ring import Ring
from bayonet.parts.sealing import face_gap, ring_radius, seal_radius
from bayonet.parts.socket import Polyline
from bayonet.standards import Clearances

LEAD_IN_BEYOND_RING_MM = 0.25
"""Radius the lead-in's mouth exceeds the free ring by [mm]; common practice, no source."""

_MOUTH_CHAMFER_MM = 0.5
_SAME_MM = 1e-9
_BODY_CLEARANCE = ("socket", "clearance", "body")


@dataclass(frozen=True, kw_only=True)
class BorePlan:
    """The bore as decided so far. ``upper`` runs from the mouth to the last bore's start."""

    upper: Polyline
    track_bore_radius_mm: float
    slot_top_mm: float
    seal_radius_mm: float | None
    seal_from_mm: float | None
    seal_to_mm: float | None
    tracks_end_by_mm: float
    nose_floor_mm: float
    least_end_mm: float
    passage_radius_mm: float
    mouth_chamfer_mm: float
    end_mm: float = math.nan

    @property
    def last_radius_mm(self) -> float:
        """Radius of the last bore before the passage [mm]."""
        return self.upper[-1][0]

    @property
    def greatest_radius_mm(self) -> float:
        """Greatest radius of the outline [mm]."""
        return max(radius for radius, _ in self.upper)

    @property
    def has_floor(self) -> bool:
        """Whether the passage is narrower than the last bore."""
        return self.passage_radius_mm < self.last_radius_mm

    def closed_below(self, floor_mm: float, table: SocketTable, problems: ProblemList) -> BorePlan:
        """Settle the boss's height, now that the deepest track floor is known [mm]."""
        if not floor_mm < self.tracks_end_by_mm:
            rule = (
                f"the tracks reach {floor_mm:.4g} mm but the sealing bore's lead-in starts at"
                f" {self.tracks_end_by_mm:.4g} mm: less slope or floor clearance,"
                " a steeper lead-in, or a smaller body clearance"
            )
            sloped = table.track.floor_slope_deg.value > 0.0
            key = ("track", "floor_slope_deg") if sloped else ("seal", "lead_in_angle_deg")
            problems.add(("socket", *key), rule, example="")
        wall = table.wall.value + tolerances_of(table).length_mm  # so that its limits leave it
        weld = table.mount.weld
        if weld is not None:
            rise = weld.bevel_width.value / math.tan(math.radians(weld.bevel_angle_deg.value))
            wall = max(wall, rise + weld.land.value + wall / 2.0)
        least = max(self.least_end_mm, floor_mm)
        usual = max(self.least_end_mm, floor_mm + wall)
        if self.has_floor:
            least = max(least, self.nose_floor_mm)
            usual = max(usual, self.nose_floor_mm + wall)
        else:
            usual = max(usual, self.nose_floor_mm)
        end = table.boss_height.value if table.boss_height else usual
        if not end > least:
            problems.add(("socket", "boss_height"), f"must be more than {least:.4g} mm")
        return dataclasses.replace(self, end_mm=end)

    def wider_below(self, seat_mm: float, by_mm: float) -> BorePlan:
        """The bore between the tracks made wider below a seat: there another part goes on.

        A register's play must not bring that part's bore before the ring's, which guides. Where
        one bore both guides and seals it stays as it is.

        Parameters
        ----------
        seat_mm, by_mm : float
            Depth from which, and by how much on the radius [mm].

        Returns
        -------
        BorePlan
        """
        bore = self.track_bore_radius_mm
        if self.seal_radius_mm is not None and abs(self.seal_radius_mm - bore) < _SAME_MM:
            return self
        above = [(r, d) for r, d in self.upper if d < seat_mm]
        below = [
            (r + by_mm if abs(r - bore) < _SAME_MM else r, d) for r, d in self.upper if d > seat_mm
        ]
        points = [*above, (bore, seat_mm), (bore + by_mm, seat_mm), *below]
        through = self.passage_radius_mm == self.last_radius_mm
        wider = dataclasses.replace(self, upper=tuple(points))
        return dataclasses.replace(
            wider, passage_radius_mm=wider.last_radius_mm if through else self.passage_radius_mm
        )

    @property
    def floor_under_nose_mm(self) -> float | None:
        """Depth of the floor under the plug's nose; None where the bore runs through [mm]."""
        return self.nose_floor_mm if self.has_floor else None

    def outline(self) -> Polyline:
        """The whole outline from mouth to the boss's end."""
        last, passage = self.last_radius_mm, self.passage_radius_mm
        if not self.has_floor:
            return (*self.upper, (last, self.end_mm))
        floor = self.nose_floor_mm
        return (*self.upper, (last, floor), (passage, floor), (passage, self.end_mm))


@dataclass(frozen=True)
class _Ask:
    """What a layout's planner is given; ``tracks_mm`` is the least and greatest track radius."""

    plug: Plug
    table: SocketTable
    ring: Ring | None
    clearance: Clearances
    tracks_mm: tuple[float, float]
    problems: ProblemList


def plan_bore(
    plug: Plug,
    table: SocketTable,
    *,
    layout: Layout,
    ring: Ring | None,
    clearance: Clearances,
    track_radii_mm: tuple[float, float],
    problems: ProblemList,
) -> BorePlan | None:
    """Decide the inner outline for a layout; None where a problem was noted.

    Parameters
    ----------
    plug : Plug
    table : SocketTable
    layout : {"A", "B", "C", "D"}
    ring : Ring or None
        None for a face seal whose ring is not known, and where the plug carries none.
    clearance : Clearances
    track_radii_mm : (float, float)
        Least and greatest track radius [mm].
    problems : ProblemList

    Returns
    -------
    BorePlan or None
    """
    planner = {"A": _layout_a, "B": _layout_b, "C": _layout_c, "D": _layout_d}[layout]
    plan = planner(_Ask(plug, table, ring, clearance, track_radii_mm, problems))
    if plan is None or len(problems):
        return None
    if not track_radii_mm[0] > plan.track_bore_radius_mm:
        rule = (
            f"the bore ({2 * plan.track_bore_radius_mm:.4g} mm) leaves nothing of the lug's track"
            f" ({2 * track_radii_mm[0]:.4g} mm)"
        )
        problems.add(problems.given(("plug", "lugs", "outer_diameter"), _BODY_CLEARANCE), rule)
        return None
    return _with_passage(plan, table, problems)


def _layout_a(ask: _Ask) -> BorePlan | None:
    plug, table, clearance, problems = ask.plug, ask.table, ask.clearance, ask.problems
    if ask.ring is None:
        return None
    ring = ask.ring
    seal = seal_radius(plug, table, ring, problems)
    if seal is None:
        return None
    gap = clearance.body_diametral_mm / 2.0
    bore = max(seal, max(step.radius_mm for step in plug.body) + gap)
    _check_deeper_bodies(plug, seal, plug.groove.start_mm, problems)
    margin = table.seal.margin.value
    seal_from = plug.groove.start_mm - clearance.axial_mm - margin
    entry = min(bore, ring_radius(plug, ring) + LEAD_IN_BEYOND_RING_MM)
    cone = (entry - seal) / math.tan(math.radians(table.seal.lead_in_angle_deg.value))
    chamfer = _chamfer(table, _MOUTH_CHAMFER_MM, bore, ask.tracks_mm[0], problems)
    lead_in_start = seal_from - cone
    steps = [(bore, lead_in_start), (entry, lead_in_start), (seal, seal_from)]
    return BorePlan(
        upper=(*_mouth(bore, chamfer), *_unrepeated(bore, steps)),
        track_bore_radius_mm=bore,
        slot_top_mm=0.0,
        seal_radius_mm=seal,
        seal_from_mm=seal_from,
        seal_to_mm=plug.groove.end_mm + margin,
        tracks_end_by_mm=lead_in_start,
        nose_floor_mm=plug.nose_depth_mm + clearance.nose_mm,
        least_end_mm=plug.groove.end_mm + margin,
        passage_radius_mm=math.nan,
        mouth_chamfer_mm=chamfer,
    )


def _layout_b(ask: _Ask) -> BorePlan | None:
    plug, table, clearance, problems = ask.plug, ask.table, ask.clearance, ask.problems
    if ask.ring is None:
        return None
    ring = ask.ring
    if table.mouth_chamfer is not None:
        rule = "layout B has the sealing lead-in at the mouth; leave this out"
        problems.add(("socket", "mouth_chamfer"), rule, example="")
    seal = seal_radius(plug, table, ring, problems)
    if seal is None:
        return None
    if not seal >= ask.tracks_mm[1]:
        rule = (
            f"the lugs and their tracks ({2 * ask.tracks_mm[1]:.4g} mm) must pass the sealing bore"
            f" ({2 * seal:.4g} mm)"
        )
        problems.add(("plug", "lugs", "outer_diameter"), rule)
    _check_deeper_bodies(plug, seal, 0.0, problems)
    entry = max(ring_radius(plug, ring) + LEAD_IN_BEYOND_RING_MM, seal + LEAD_IN_BEYOND_RING_MM)
    cone = (entry - seal) / math.tan(math.radians(table.seal.lead_in_angle_deg.value))
    margin = table.seal.margin.value
    full_from = plug.groove.start_mm - clearance.axial_mm - margin
    if not cone <= full_from:
        rule = f"the lead-in is {cone:.4g} mm long but the ring needs full bore at {full_from:.4g}"
        problems.add(("socket", "seal", "lead_in_angle_deg"), rule)
    bore = _bore_below_seal(plug, clearance)
    step = max(plug.groove.end_mm + margin, _wide_body_end(plug) + clearance.nose_mm)
    return BorePlan(
        upper=((entry, 0.0), (seal, cone), (seal, step), (bore, step)),
        track_bore_radius_mm=bore,
        slot_top_mm=step,
        seal_radius_mm=seal,
        seal_from_mm=cone,
        seal_to_mm=step,
        tracks_end_by_mm=math.inf,
        nose_floor_mm=plug.nose_depth_mm + clearance.nose_mm,
        least_end_mm=step,
        passage_radius_mm=math.nan,
        mouth_chamfer_mm=0.0,
    )


def _layout_c(ask: _Ask) -> BorePlan | None:
    plug, table, clearance, problems = ask.plug, ask.table, ask.clearance, ask.problems
    bore = _bore_for_all(ask)
    on_nose = plug.groove_kind == "nose_face"
    chamfer = _chamfer(
        table, _MOUTH_CHAMFER_MM if on_nose else 0.0, bore, ask.tracks_mm[0], problems
    )
    if table.seal.bore_diameter is not None:
        rule = "a face seal has no sealing bore; leave this out"
        problems.add(("socket", "seal", "bore_diameter"), rule, example="")
    if on_nose and not _covers_nose_seal(plug, table):
        most = 2.0 * (plug.groove.start_mm - table.seal.margin.value)
        rule = f"the nose seals on the floor round it: at most {most:.4g} mm"
        problems.add(("socket", "passage_diameter"), rule)
    if not on_nose and not plug.groove.start_mm > ask.tracks_mm[1]:
        rule = (
            f"the ring must seal outside the entry slots, which reach {2 * ask.tracks_mm[1]:.4g} mm"
        )
        problems.add(("plug", "groove", "diameter"), rule)
    gap = clearance.nose_mm
    if on_nose and ask.ring is not None:
        gap = face_gap(plug, table, ask.ring, clearance, problems)
    return _one_bore(plug, bore, chamfer, nose_gap_mm=gap)


def _layout_d(ask: _Ask) -> BorePlan | None:
    """No ring: one bore for all of the body, as wide as its widest step needs."""
    bore = _bore_for_all(ask)
    chamfer = _chamfer(ask.table, _MOUTH_CHAMFER_MM, bore, ask.tracks_mm[0], ask.problems)
    return _one_bore(ask.plug, bore, chamfer, nose_gap_mm=ask.clearance.nose_mm)


def _bore_for_all(ask: _Ask) -> float:
    """Radius of a bore that the widest step of the body goes into [mm]."""
    widest = max(step.radius_mm for step in ask.plug.body)
    return widest + ask.clearance.body_diametral_mm / 2.0


def _one_bore(plug: Plug, bore: float, chamfer: float, *, nose_gap_mm: float) -> BorePlan:
    """A bore without a sealing bore in it."""
    return BorePlan(
        upper=_mouth(bore, chamfer),
        track_bore_radius_mm=bore,
        slot_top_mm=0.0,
        seal_radius_mm=None,
        seal_from_mm=None,
        seal_to_mm=None,
        tracks_end_by_mm=math.inf,
        nose_floor_mm=plug.nose_depth_mm + nose_gap_mm,
        least_end_mm=0.0,
        passage_radius_mm=math.nan,
        mouth_chamfer_mm=chamfer,
    )


def _unrepeated(bore: float, steps: list[tuple[float, float]]) -> list[tuple[float, float]]:
    """Leave out points that do not change the outline's direction."""
    (_, lead_in_start), (entry, _), (seal, seal_from) = steps
    if not entry > seal:
        return [(bore, lead_in_start)] if bore <= seal else [steps[0], (seal, seal_from)]
    return steps if entry < bore else [steps[0], steps[2]]


def _covers_nose_seal(plug: Plug, table: SocketTable) -> bool:
    if table.passage_diameter is None:
        return False
    return table.passage_diameter.value / 2.0 <= plug.groove.start_mm - table.seal.margin.value


def _mouth(bore_mm: float, chamfer_mm: float) -> Polyline:
    if chamfer_mm > 0.0:
        return ((bore_mm + chamfer_mm, 0.0), (bore_mm, chamfer_mm))
    return ((bore_mm, 0.0),)


def _chamfer(
    table: SocketTable, usual: float, bore: float, track_mm: float, problems: ProblemList
) -> float:
    chamfer = usual if table.mouth_chamfer is None else table.mouth_chamfer.value
    if table.mouth_chamfer is None:
        return min(chamfer, max(0.0, (track_mm - bore) / 2.0))
    if chamfer > 0.0 and not chamfer < track_mm - bore:
        rule = f"must be less than the depth of the entry slots ({track_mm - bore:.4g} mm)"
        problems.add(("socket", "mouth_chamfer"), rule)
    return chamfer


def _check_deeper_bodies(plug: Plug, seal: float, depth: float, problems: ProblemList) -> None:
    for index, step in enumerate(plug.body):
        if step.to_depth_mm > depth and not step.radius_mm < seal:
            rule = f"must be less than the sealing bore ({2 * seal:.4g} mm) it goes into"
            problems.add(("plug", "body", index, "diameter"), rule)


def _bore_below_seal(plug: Plug, clearance: Clearances) -> float:
    deep = [step.radius_mm for step in plug.body if step.to_depth_mm >= plug.lug_body.to_depth_mm]
    return max(deep) + clearance.body_diametral_mm / 2.0


def _wide_body_end(plug: Plug) -> float:
    """Depth at which the body is down to the lugs' diameter [mm]."""
    lug_body = plug.lug_body
    wide = [
        step.to_depth_mm
        for step in plug.body
        if step.to_depth_mm < lug_body.to_depth_mm and step.radius_mm > lug_body.radius_mm
    ]
    return max(wide, default=0.0)


def _with_passage(plan: BorePlan, table: SocketTable, problems: ProblemList) -> BorePlan:
    last = plan.last_radius_mm
    passage = last if table.passage_diameter is None else table.passage_diameter.value / 2.0
    if not passage <= last:
        rule = f"must not be larger than the last bore ({2 * last:.4g} mm)"
        problems.add(("socket", "passage_diameter"), rule)
        return plan
    return dataclasses.replace(plan, passage_radius_mm=passage)
