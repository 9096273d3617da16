"""Rules between the tables of a design file that concern the plug alone.

What breaks one of these cannot be drawn, so it is refused; a design that can be drawn but is a
bad one gets a finding instead (`bayonet.checks`).
"""

from __future__ import annotations

import itertools
import math

from bayonet.designfile import Groove, Lugs, Path, ProblemList, SealTable
from bayonet.parts.lugs import FORMS, Lug
from bayonet.parts.plug import Plug

_BODY: Path = ("plug", "body")
_LUGS: Path = ("plug", "lugs")
_GROOVE: Path = ("plug", "groove")
_OF_A_RING = ("ring", "ring_section", "ring_inside_diameter", "squeeze", "bore_diameter")


def check_form(lugs: Lugs, problems: ProblemList) -> None:
    """The lugs' form must be one of the table of forms.

    Parameters
    ----------
    lugs : Lugs
    problems : ProblemList
    """
    if lugs.form not in FORMS:
        rule = f"must be one of {', '.join(sorted(FORMS))}"
        problems.add((*_LUGS, "form"), rule, example='form = "block"')


def check_seal(groove: Groove | None, seal: SealTable, problems: ProblemList) -> None:
    """What seals must be there, and nothing may be said of what is not.

    Parameters
    ----------
    groove : Groove or None
        Of the plug.
    seal : SealTable
    problems : ProblemList
    """
    table: Path = ("socket", "seal")
    if seal.kind == "ring" and groove is None:
        rule = "a ring seals, but the plug has no groove: give [plug.groove], or say what seals"
        problems.add((*table, "kind"), rule, example='kind = "none"')
    if (seal.kind == "gasket") != (seal.gasket is not None):
        rule = (
            "a gasket seals: give [socket.seal.gasket]"
            if seal.kind == "gasket"
            else f"{seal.kind} seals, not a gasket: leave [socket.seal.gasket] out"
        )
        problems.add((*table, "kind"), rule, example="")
    if seal.kind == "ring":
        return
    if groove is not None:
        rule = f"the plug has a groove for a ring, but {seal.kind} seals: leave one of them out"
        problems.add((*table, "kind"), rule, example='kind = "ring"')
    for key in _OF_A_RING:
        if getattr(seal, key) is not None:
            problems.add((*table, key), f"where {seal.kind} seals there is no ring", example="")


def check_plug(plug: Plug, problems: ProblemList) -> None:
    """Note every rule the plug's geometry breaks.

    Parameters
    ----------
    plug : Plug
        As resolved from the file.
    problems : ProblemList
        Receives what is found.
    """
    _body(plug, problems)
    if len(problems):
        return  # the other rules stand on a sensible body
    _lug_sizes(plug, problems)
    _lug_zones(plug, problems)
    _lug_spacing(plug, problems)
    _lug_depths(plug, problems)
    if plug.groove_kind == "radial":
        _radial_groove(plug, problems)
    elif plug.groove_kind is not None:
        _face_groove(plug, problems)
    if plug.groove_kind is not None:
        _groove_zones(plug, problems)
    _nose(plug, problems)


def _groove_zones(plug: Plug, problems: ProblemList) -> None:
    """Limits and spread must leave something of the groove."""
    groove = plug.groove
    if not groove.width_zone_mm < (groove.end_mm - groove.start_mm) / 2.0:
        problems.add((*_GROOVE, "width"), "limits and spread swallow the groove's width")
    if not groove.radius_zone_mm < groove.radius_mm / 4.0:
        problems.add((*_GROOVE, "diameter"), "limits and spread swallow the groove")
    if groove.kind != "radial" and not groove.depth_zone_mm < groove.cut_mm / 2.0:
        problems.add((*_GROOVE, "depth"), "limits and spread swallow the groove's depth")


def _body(plug: Plug, problems: ProblemList) -> None:
    for index, step in enumerate(plug.body):
        if not step.to_depth_mm > step.from_depth_mm:
            rule = f"must be deeper than the step before it ({step.from_depth_mm:g} mm)"
            problems.add((*_BODY, index, "to_depth"), rule)
        if not step.radius_mm < plug.shoulder_radius_mm:
            rule = f"must be less than the shoulder diameter ({2 * plug.shoulder_radius_mm:g} mm)"
            problems.add((*_BODY, index, "diameter"), rule)


def _lug_sizes(plug: Plug, problems: ProblemList) -> None:
    body = plug.lug_body
    for lug in plug.lugs:
        if not lug.outer_radius_mm > body.radius_mm:
            rule = (
                f"the lug at {lug.centre_deg:g} deg, {2 * lug.outer_radius_mm:g} mm over all, must"
                f" be more than the body's {2 * body.radius_mm:g} mm there"
            )
            problems.add((*_LUGS, "outer_diameter"), rule)
        if not lug.half.offset_mm < body.radius_mm * math.sin(math.radians(80.0)):
            rule = f"parallel sides must meet the body (diameter {2 * body.radius_mm:g} mm)"
            problems.add((*_LUGS, "width"), rule)
        elif not _reach(plug, lug) < 80.0:
            problems.add((*_LUGS, "width"), "a lug must be narrower than 160 deg")
    if 2 * plug.shoulder_radius_mm < 2 * max(lug.outer_radius_mm for lug in plug.lugs):
        rule = "must cover the lugs: the shoulder seats on the mouth face outside the entry slots"
        problems.add(("plug", "shoulder_diameter"), rule)


def _lug_zones(plug: Plug, problems: ProblemList) -> None:
    """Limits and spread must leave something of a lug."""
    for lug in plug.lugs:
        zone = lug.zone
        half_mm = math.radians(float(lug.half.at(lug.outer_radius_mm))) * lug.outer_radius_mm
        side = zone.side_mm + math.radians(zone.position_deg) * lug.outer_radius_mm
        if not side < half_mm / 2.0:
            rule = f"limits and spread move its sides by {side:.3g} mm, half the lug or more"
            problems.add(problems.given((*_LUGS, "width"), (*_LUGS, "width_deg")), rule)
        ends = zone.ends_mm + zone.leading_ends_mm
        thinnest = lug.shape.root(plug.lug_body.radius_mm).thickness_mm
        if not thinnest > 0.0:
            rule = (
                f"its flanks run together: with leads of {lug.lead_mm_per_rev:g} and"
                f" {lug.floor_lead_mm_per_rev:g} mm/rev the thinner end would be {thinnest:.3g} mm"
            )
            problems.add((*_LUGS, "thickness"), rule)
        elif not zone.bearing_mm + zone.leading_mm + ends < thinnest:
            rule = f"limits and spread of its flanks ({zone.leading_mm:.3g} mm) swallow the lug"
            problems.add((*_LUGS, "thickness"), rule)
        if not zone.outer_radius_mm < lug.outer_radius_mm - plug.lug_body.radius_mm:
            problems.add((*_LUGS, "outer_diameter"), "limits and spread swallow the lug's height")


def _lug_spacing(plug: Plug, problems: ProblemList) -> None:
    path = problems.given((*_LUGS, "count"), (*_LUGS, "each"))
    for one, other in itertools.pairwise([*plug.lugs, plug.lugs[0]]):
        apart = (other.centre_deg - one.centre_deg) % 360.0
        gap = apart - _reach(plug, one) - _reach(plug, other)
        if not gap > 0.0:
            rule = (
                f"lugs overlap: those at {one.centre_deg:g} and {other.centre_deg:g} deg"
                f" need {-gap:.3g} deg more between them"
            )
            problems.add(path, rule)


def _lug_depths(plug: Plug, problems: ProblemList) -> None:
    low, high = plug.lug_span_mm
    body = plug.lug_body
    if not low > 0.0:
        rule = f"the bearing flank must lie below the shoulder; it reaches {low:.4g} mm"
        problems.add((*_LUGS, "bearing_depth"), rule)
    elif not (low >= body.from_depth_mm and high <= body.to_depth_mm):
        rule = (
            f"lugs ({low:.4g} to {high:.4g} mm deep) must stand on one body step; this one runs"
            f" from {body.from_depth_mm:g} to {body.to_depth_mm:g} mm"
        )
        problems.add((*_LUGS, "thickness"), rule)


def _radial_groove(plug: Plug, problems: ProblemList) -> None:
    groove = plug.groove
    step = next((s for s in plug.body if groove.start_mm < s.to_depth_mm), plug.body[-1])
    if not groove.start_mm > 0.0 or not groove.end_mm < plug.nose_depth_mm:
        rule = f"the groove must lie on the body, which ends at {plug.nose_depth_mm:g} mm"
        problems.add((*_GROOVE, "at_depth"), rule)
        return
    if not (groove.start_mm > step.from_depth_mm and groove.end_mm < step.to_depth_mm):
        rule = f"the groove must lie within one body step; it crosses {step.to_depth_mm:g} mm"
        problems.add((*_GROOVE, "at_depth"), rule)
    if not groove.radius_mm < step.radius_mm:
        rule = f"must be less than the body's {2 * step.radius_mm:g} mm there"
        problems.add((*_GROOVE, "diameter"), rule)
    low, high = plug.lug_span_mm
    if groove.start_mm < high and groove.end_mm > low:
        rule = f"the groove runs into the lugs ({low:.4g} to {high:.4g} mm deep)"
        problems.add((*_GROOVE, "at_depth"), rule)
    _corner(step.radius_mm - groove.radius_mm, plug, problems)


def _face_groove(plug: Plug, problems: ProblemList) -> None:
    groove = plug.groove
    if groove.kind == "shoulder_face":
        least, most = plug.body[0].radius_mm, plug.shoulder_radius_mm
        thickness = plug.shoulder_thickness_mm
    else:
        least, most = 0.0, plug.body[-1].radius_mm - plug.nose_chamfer_mm
        thickness = plug.body[-1].to_depth_mm - plug.body[-1].from_depth_mm
    if not (groove.start_mm > least and groove.end_mm < most):
        rule = f"the groove must lie in its face, between {2 * least:g} and {2 * most:g} mm"
        problems.add((*_GROOVE, "diameter"), rule)
    if not groove.cut_mm < thickness:
        problems.add((*_GROOVE, "depth"), f"must be less than the {thickness:g} mm it is cut into")
    _corner(groove.cut_mm, plug, problems)


def _corner(depth_mm: float, plug: Plug, problems: ProblemList) -> None:
    groove = plug.groove
    most = min(depth_mm, (groove.end_mm - groove.start_mm) / 2.0)
    if groove.corner_radius_mm > 0.0 and not groove.corner_radius_mm < most:
        rule = f"must be less than the groove's depth and half its width ({most:.4g} mm)"
        problems.add((*_GROOVE, "corner_radius"), rule)


def _nose(plug: Plug, problems: ProblemList) -> None:
    last = plug.body[-1]
    _, lug_end = plug.lug_span_mm
    groove_end = plug.groove.end_mm if plug.groove_kind == "radial" else 0.0
    start = max(
        last.from_depth_mm,
        groove_end,
        lug_end if plug.lug_body is last else 0.0,
    )
    most = min(last.radius_mm, last.to_depth_mm - start)
    if plug.nose_chamfer_mm > 0.0 and not plug.nose_chamfer_mm < most:
        rule = f"must be less than the plain nose that is left for it ({most:.4g} mm)"
        problems.add(("plug", "nose_chamfer"), rule)


def _reach(plug: Plug, lug: Lug) -> float:
    """Half-width of a lug where it is widest in angle, at the body [deg]."""
    reach = float(lug.half.at(plug.lug_body.radius_mm))
    return reach if math.isfinite(reach) else 90.0
