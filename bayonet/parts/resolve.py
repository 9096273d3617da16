"""From the design file's plug table to a `Plug` in mm and degrees. Judges nothing: see `rules`."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

from bayonet.designfile import Groove, Lugs, Measured, OneLug, PlugTable
from bayonet.mechanics import advance_mm, lead_mm_per_rev
from bayonet.parts.lugs import FORMS, HalfAngle, Lug, LugSizes, LugZone
from bayonet.parts.plug import BodyStepMm, GrooveMm, Plug
from bayonet.parts.spread import PlugSpread, spread_of


def plug(table: PlugTable) -> Plug:
    """Resolve the ``[plug]`` table.

    Parameters
    ----------
    table : PlugTable
        As read; its own rules hold, and the lugs' form is known (`rules.check_form`).

    Returns
    -------
    Plug
        Lugs sorted by centre angle, each with the zone its production may fill.
    """
    spread = spread_of(table)
    body = _body(table, spread)
    turn = table.turn_deg.value if table.turn_deg else 360.0 * (table.turn_fraction or 0.0)
    return Plug(
        hand=table.hand,
        turn_deg=turn,
        shoulder_radius_mm=table.shoulder_diameter.value / 2.0,
        shoulder_thickness_mm=table.shoulder_thickness.value,
        nose_chamfer_mm=table.nose_chamfer.value,
        body=body,
        lugs=tuple(_lugs(table.lugs, spread=spread, inner_radius_mm=_lug_root(table.lugs, body))),
        ring_groove=None if table.groove is None else _groove(table.groove, spread),
        lug_axis_zone_mm=spread.coaxiality_mm / 2.0,
        step_axis_zone_mm=spread.step_coaxiality_mm / 2.0,
    )


def _body(table: PlugTable, spread: PlugSpread) -> tuple[BodyStepMm, ...]:
    steps: list[BodyStepMm] = []
    start = 0.0
    for step in table.body:
        steps.append(
            BodyStepMm(
                radius_mm=step.diameter.value / 2.0,
                from_depth_mm=start,
                to_depth_mm=step.to_depth.value,
                radius_zone_mm=step.diameter.half_zone(spread.diameter_mm(step.diameter.value))
                / 2.0,
                depth_zone_mm=step.to_depth.half_zone(spread.length_mm(step.to_depth.value)),
            )
        )
        start = step.to_depth.value
    return tuple(steps)


def _lug_root(lugs: Lugs, body: tuple[BodyStepMm, ...]) -> float:
    depth = lugs.bearing_depth.value
    return next((step.radius_mm for step in body if depth < step.to_depth_mm), body[-1].radius_mm)


def _lugs(lugs: Lugs, *, spread: PlugSpread, inner_radius_mm: float) -> Iterable[Lug]:
    if lugs.each is not None:
        listed = list(lugs.each)
    else:
        count = lugs.count or 0
        first = lugs.first_at_deg.value
        listed = [
            OneLug.model_construct(centre_deg=Measured(value=first + 360.0 * i / count))
            for i in range(count)
        ]
    made = (_lug(one, lugs, spread=spread, root_mm=inner_radius_mm) for one in listed)
    return sorted(made, key=lambda lug: lug.centre_deg)


def _lug(one: OneLug, common: Lugs, *, spread: PlugSpread, root_mm: float) -> Lug:
    own_width = one.width is not None or one.width_deg is not None
    width, width_deg = (one.width, one.width_deg) if own_width else (common.width, common.width_deg)
    outer = one.outer_diameter or common.outer_diameter
    thickness = one.thickness or common.thickness
    pin = (one.diameter or common.diameter) if common.form == "pin" else None
    depth = one.bearing_depth or common.bearing_depth
    radius = outer.value / 2.0
    half, side_zone = _half(width, width_deg, common.sides, radius, spread)
    thicker = thickness.half_zone(spread.length_mm(thickness.value))
    if pin is not None:
        thicker = pin.half_zone(spread.diameter_mm(pin.value))
        side_zone = thicker / 2.0
    widest = half.grown(side_zone, at_radius_mm=radius)
    lead = lead_given(common, mean_diameter_mm=radius + root_mm)
    leading, reach = leading_lead_given(common, lead), _widest(widest, root_mm, radius)
    bearing = depth.half_zone(spread.length_mm(depth.value))
    return Lug(
        centre_deg=one.centre_deg.value % 360.0,
        shape=FORMS[common.form].of_sizes(
            LugSizes(
                half=half,
                outer_radius_mm=radius,
                thickness_mm=thickness.value,
                bearing_depth_mm=depth.value,
                lead_mm_per_rev=lead.value,
                leading_lead_mm_per_rev=None if leading is lead else leading.value,
            )
        ),
        zone=LugZone(
            side_mm=side_zone,
            position_deg=one.centre_deg.half_zone(spread.angle_deg(radius)),
            bearing_mm=bearing,
            leading_mm=bearing + thicker,
            ends_mm=0.0 if pin else float(advance_mm(lead.half_zone(spread), reach)),
            leading_ends_mm=0.0 if pin else float(advance_mm(leading.half_zone(spread), reach)),
            outer_radius_mm=outer.half_zone(spread.diameter_mm(outer.value)) / 2.0,
        ),
    )


def _widest(half: HalfAngle, root_mm: float, outer_mm: float) -> float:
    """Half-width where it is widest in angle: at the body, or as near as its sides come [deg]."""
    at_root = float(half.at(root_mm))
    return at_root if math.isfinite(at_root) else float(half.at(outer_mm))


def _half(
    width: Measured | None,
    width_deg: Measured | None,
    sides: str,
    radius_mm: float,
    spread: PlugSpread,
) -> tuple[HalfAngle, float]:
    """Half-width of a lug, and the zone of one side [mm] at the outer radius."""
    if width_deg is not None:
        half_deg = width_deg.value / 2.0
        half_mm = radius_mm * math.sin(math.radians(min(half_deg, 90.0)))
        across = spread.length_mm(2.0 * half_mm)
        zone = math.radians(width_deg.half_zone(math.degrees(across / radius_mm))) * radius_mm / 2.0
    else:
        assert width is not None, "the lugs table requires a width"
        half_mm = width.value / 2.0
        half_deg = math.degrees(math.asin(min(half_mm / radius_mm, 1.0)))
        zone = width.half_zone(spread.length_mm(width.value)) / 2.0
    if sides == "parallel":
        return HalfAngle(deg=0.0, offset_mm=half_mm), zone
    return HalfAngle(deg=half_deg, offset_mm=0.0), zone


@dataclass(frozen=True, kw_only=True)
class LeadGiven:
    """A lead of the lugs' flanks as the file gives it: itself, or as an angle.

    Parameters
    ----------
    measured : Measured
        [mm/rev] or [deg]; 0 mm/rev where the file gives neither.
    path : str
        Its field below ``plug``.
    value : float
        [mm/rev]
    per_unit : float
        Change of the lead per unit of what was measured [mm/rev per unit].
    """

    measured: Measured
    path: str
    value: float
    per_unit: float

    def half_zone(self, spread: PlugSpread) -> float:
        """How far leads of the production may lie off, plus or minus [mm/rev]."""
        return self.per_unit * self.measured.half_zone(spread.lead_mm_per_rev / self.per_unit)


def lead_given(lugs: Lugs, *, mean_diameter_mm: float) -> LeadGiven:
    """The lead of the lugs' flanks, from the lead or the lead angle at a mean diameter.

    Parameters
    ----------
    lugs : Lugs
    mean_diameter_mm : float

    Returns
    -------
    LeadGiven

    Examples
    --------
    45 deg at a diameter of 10 mm: a lead of 31.4 mm/rev, which 1 deg more makes 2 pi 10 / 57.3
    mm/rev longer.

    >>> from bayonet.designfile import Lugs, Measured
    >>> angle = Lugs.model_construct(lead=None, lead_angle_deg=Measured(value=45.0))
    >>> given = lead_given(angle, mean_diameter_mm=10.0)
    >>> round(given.value, 2), round(given.per_unit, 4)
    (31.42, 1.0966)
    """
    if lugs.lead_angle_deg is not None:
        angle = lugs.lead_angle_deg.value
        around = math.pi * mean_diameter_mm / math.cos(math.radians(angle)) ** 2
        return LeadGiven(
            measured=lugs.lead_angle_deg,
            path="lugs.lead_angle_deg",
            value=lead_mm_per_rev(angle, mean_diameter_mm=mean_diameter_mm),
            per_unit=math.radians(1.0) * around,
        )
    lead = lugs.lead or Measured(value=0.0)
    return LeadGiven(measured=lead, path="lugs.lead", value=lead.value, per_unit=1.0)


def leading_lead_given(lugs: Lugs, bearing: LeadGiven) -> LeadGiven:
    """The lead of the leading flanks: their own where the file gives one, else that of the others.

    Parameters
    ----------
    lugs : Lugs
    bearing : LeadGiven
        Of the bearing flanks.

    Returns
    -------
    LeadGiven
        ``bearing`` itself where the file gives none.
    """
    own = lugs.leading_lead
    if own is None:
        return bearing
    return LeadGiven(measured=own, path="lugs.leading_lead", value=own.value, per_unit=1.0)


def _groove(groove: Groove, spread: PlugSpread) -> GrooveMm:
    radius = groove.diameter.value / 2.0
    first = groove.at_depth.value if groove.at_depth is not None else radius
    depth = groove.at_depth or groove.depth or groove.width
    return GrooveMm(
        kind=groove.kind,
        radius_mm=radius,
        start_mm=first,
        end_mm=first + groove.width.value,
        cut_mm=groove.depth.value if groove.depth is not None else 0.0,
        corner_radius_mm=groove.corner_radius.value,
        radius_zone_mm=groove.diameter.half_zone(spread.diameter_mm(groove.diameter.value)) / 2.0,
        depth_zone_mm=depth.half_zone(spread.length_mm(depth.value)),
        width_zone_mm=groove.width.half_zone(spread.length_mm(groove.width.value)),
        axis_zone_mm=spread.groove_coaxiality_mm / 2.0,
    )
