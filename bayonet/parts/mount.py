"""Flange or weld preparation at the boss's end. No judgement."""

from __future__ import annotations

import math

from bayonet.designfile import FlangeMount, ProblemList, SocketTable, WeldMount
from bayonet.parts.bore import BorePlan
from bayonet.parts.socket import Flange, WeldPreparation


def mount(
    table: SocketTable, *, boss_mm: float, bore: BorePlan, floor_mm: float, problems: ProblemList
) -> tuple[Flange | None, WeldPreparation | None]:
    """Flange or weld preparation at the boss's end, where the file asks for one.

    Parameters
    ----------
    table : SocketTable
    boss_mm : float
        Radius of the boss [mm].
    bore : BorePlan
    floor_mm : float
        Depth of the deepest track [mm].
    problems : ProblemList

    Returns
    -------
    tuple of Flange or None, WeldPreparation or None
    """
    asked = table.mount
    flange = _flange(asked.flange, boss_mm, bore.end_mm, problems) if asked.flange else None
    weld = None
    if asked.weld:
        wall = boss_mm - bore.last_radius_mm
        weld = _weld(asked.weld, wall, bore.end_mm - floor_mm, problems)
    return flange, weld


def _flange(given: FlangeMount, boss_radius: float, height: float, problems: ProblemList) -> Flange:
    path = ("socket", "mount", "flange")
    radius, hole = given.diameter.value / 2.0, given.bolt_hole.value / 2.0
    circle = given.bolt_circle.value / 2.0
    if not given.thickness.value < height:
        problems.add((*path, "thickness"), f"must be less than the boss height ({height:.4g} mm)")
    if not circle - hole > boss_radius:
        rule = f"bolt holes run into the boss (diameter {2 * boss_radius:.4g} mm)"
        problems.add((*path, "bolt_circle"), rule)
    if not circle + hole < radius:
        problems.add((*path, "bolt_circle"), "bolt holes run out of the flange")
    if not circle * math.sin(math.pi / given.bolts) > hole:
        problems.add((*path, "bolts"), "bolt holes run into each other")
    return Flange(
        radius_mm=radius,
        thickness_mm=given.thickness.value,
        bolt_circle_radius_mm=circle,
        bolts=given.bolts,
        bolt_hole_radius_mm=hole,
    )


def _weld(given: WeldMount, wall: float, below: float, problems: ProblemList) -> WeldPreparation:
    """Preparation on the boss's end: within the wall round the bore, below the tracks."""
    path = ("socket", "mount", "weld")
    rise = given.bevel_width.value / math.tan(math.radians(given.bevel_angle_deg.value))
    if not given.bevel_width.value < wall:
        problems.add((*path, "bevel_width"), f"must be less than the wall there ({wall:.4g} mm)")
    if not rise + given.land.value < below:
        rule = f"bevel and land need {rise + given.land.value:.4g} mm; {below:.4g} mm is below"
        problems.add((*path, "land"), f"{rule} the tracks")
    return WeldPreparation(
        bevel_angle_deg=given.bevel_angle_deg.value,
        bevel_width_mm=given.bevel_width.value,
        land_mm=given.land.value,
    )
