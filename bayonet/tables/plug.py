"""The plug and its parts.

Made by `tests/house/make_tables.py`; do not edit.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal

from bayonet.designfile import BodyStep, Correlation, Groove, Lugs, OneLug, PlugTable, Spread
from bayonet.tables.build import Quantity, build


def plug(
    *,
    hand: Literal["right", "left"],
    shoulder_diameter: Quantity,
    body: Sequence[BodyStep],
    lugs: Lugs,
    shoulder_thickness: Quantity = 4.0,
    turn_deg: Quantity | None = None,
    turn_fraction: float | None = None,
    nose_chamfer: Quantity = 0.0,
    made_by: Literal["moulded", "machined", "cast", "printed"] = "moulded",
    measured_with: Literal[
        "calliper", "micrometer", "coordinate measuring machine", "drawing"
    ] = "calliper",
    groove: Groove | None = None,
    spread: Spread | None = None,
    correlation: Sequence[Correlation] = (),
) -> PlugTable:
    """The male part as measured.

    Parameters
    ----------
    hand
        right: clockwise locks, seen from outside, as in ``hand = "right"``.
    shoulder_diameter
        Diameter of the shoulder that seats on the mouth face [mm], as in ``shoulder_diameter =
        48.0``.
    body
        Diameters from the shoulder inwards, as in ``body = [{ diameter = 30, to_depth = 20 }]``.
    lugs
        The lugs, as in ``[plug.lugs]``.
    shoulder_thickness
        Thickness of the shoulder, drawn only [mm], as in ``shoulder_thickness = 4.0``.
    turn_deg
        Rotation from entry to lock [deg], as in ``turn_deg = 90``.
    turn_fraction
        Rotation from entry to lock, in revolutions, as in ``turn_fraction = 0.25``.
    nose_chamfer
        Leg of the 45 deg chamfer on the nose [mm], as in ``nose_chamfer = 1.0``.
    made_by
        How plugs are made; sets their assumed spread, as in ``made_by = "moulded"``.
    measured_with
        What plain numbers were measured with; drawing: sizes that were not measured, as in
        ``measured_with = "calliper"``.
    groove
        The O-ring groove; left out where the plug carries no ring, as in ``[plug.groove]``.
    spread
        Spread of the production, as in ``[plug.spread]``.
    correlation
        Uncertainties that go together, as in ``correlation = [{ between = ["lugs.bearing_depth",
        "lugs.thickness"], r = -0.6 }]``.
    """
    return build(PlugTable, ("plug",), locals())


def body_step(*, diameter: Quantity, to_depth: Quantity) -> BodyStep:
    """One diameter of the plug's body.

    Parameters
    ----------
    diameter
        Body diameter [mm], as in ``diameter = 30.0``.
    to_depth
        Depth below the shoulder where it ends [mm], as in ``to_depth = 14.0``.
    """
    return build(BodyStep, ("plug", "body", 0), locals())


def lugs(
    *,
    outer_diameter: Quantity,
    thickness: Quantity,
    bearing_depth: Quantity,
    count: int | None = None,
    first_at_deg: Quantity = 0.0,
    each: Sequence[OneLug] | None = None,
    width: Quantity | None = None,
    width_deg: Quantity | None = None,
    form: str = "block",
    diameter: Quantity | None = None,
    sides: Literal["radial", "parallel"] = "radial",
    lead: Quantity | None = None,
    lead_angle_deg: Quantity | None = None,
    leading_lead: Quantity | None = None,
) -> Lugs:
    """The lugs: a count of equal ones, or ``each`` listed.

    Parameters
    ----------
    outer_diameter
        Diameter over the lugs; of flat-ended pins the circle their ends' edges run on [mm], as in
        ``outer_diameter = 38.0``.
    thickness
        Axial thickness [mm], as in ``thickness = 4.0``.
    bearing_depth
        Depth of the bearing flank below the shoulder, at the lug's middle [mm], as in
        ``bearing_depth = 5.0``.
    count
        Number of equal lugs, equally spaced, as in ``count = 3``.
    first_at_deg
        Angle of the first lug of an equal set [deg], as in ``first_at_deg = 0``.
    each
        Lugs one by one, as in ``each = [{ centre_deg = 0 }, { centre_deg = 100 }]``.
    width
        Width: between parallel sides, or the chord at the outer diameter of radial sides [mm], as
        in ``width = 12.0``.
    width_deg
        Angular width at the outer diameter [deg], as in ``width_deg = 24``.
    form
        Form of the lugs: a block between two flanks, or a round radial pin, as in ``form =
        "block"``.
    diameter
        Diameter of round pins, in place of width and thickness [mm], as in ``diameter = 6.0``.
    sides
        Whether the sides point to the axis or run parallel, as in ``sides = "radial"``.
    lead
        Advance of the flanks per revolution; leave out for flat lugs [mm/rev], as in ``lead =
        12.0``.
    lead_angle_deg
        Lead angle at the lug's mean diameter [deg], as in ``lead_angle_deg = 5.0``.
    leading_lead
        Advance of the leading flanks alone per revolution, 0 for flat ones; leave out where they
        run as the bearing flanks do [mm/rev], as in ``leading_lead = 0.0``.
    """
    return build(Lugs, ("plug", "lugs"), locals())


def one_lug(
    *,
    centre_deg: Quantity,
    width: Quantity | None = None,
    width_deg: Quantity | None = None,
    thickness: Quantity | None = None,
    outer_diameter: Quantity | None = None,
    diameter: Quantity | None = None,
    bearing_depth: Quantity | None = None,
) -> OneLug:
    """What one lug of a listed set has of its own; the rest comes from ``[plug.lugs]``.

    Parameters
    ----------
    centre_deg
        Angle of the lug's middle, counter-clockwise seen from outside [deg], as in ``centre_deg =
        120``.
    width
        Width across the lug [mm], as in ``width = 12.0``.
    width_deg
        Angular width [deg], as in ``width_deg = 24``.
    thickness
        Axial thickness [mm], as in ``thickness = 4.0``.
    outer_diameter
        Diameter over the lug [mm], as in ``outer_diameter = 38.0``.
    diameter
        Diameter of the pin [mm], as in ``diameter = 6.0``.
    bearing_depth
        Depth of its bearing flank [mm], as in ``bearing_depth = 5.0``.
    """
    return build(OneLug, ("plug", "lugs", "each", 0), locals())


def groove(
    *,
    diameter: Quantity,
    width: Quantity,
    kind: Literal["radial", "shoulder_face", "nose_face"] = "radial",
    at_depth: Quantity | None = None,
    depth: Quantity | None = None,
    corner_radius: Quantity = 0.0,
) -> Groove:
    """The groove that holds the O-ring.

    Parameters
    ----------
    diameter
        Diameter of the groove's bottom (radial), or of its inner wall (face) [mm], as in
        ``diameter = 25.0``.
    width
        Width of the groove: axial (radial) or radial (face) [mm], as in ``width = 3.6``.
    kind
        Round the body, in the shoulder's face, or in the nose's face, as in ``kind = "radial"``.
    at_depth
        Depth of the wall nearer the shoulder (radial groove) [mm], as in ``at_depth = 16.0``.
    depth
        How deep the groove is cut (face groove) [mm], as in ``depth = 2.0``.
    corner_radius
        Radius in the corners of its bottom [mm], as in ``corner_radius = 0.3``.
    """
    return build(Groove, ("plug", "groove"), locals())


def spread(
    *,
    diameter: Quantity | None = None,
    length: Quantity | None = None,
    angle_deg: Quantity | None = None,
    lead: Quantity | None = None,
    coaxiality: Quantity | None = None,
    step_coaxiality: Quantity | None = None,
    groove_coaxiality: Quantity | None = None,
    tilt_deg: Quantity | None = None,
    general: Literal["f", "m", "c", "v"] | None = None,
) -> Spread:
    """How far other plugs of the same production may lie from this one, plus or minus.

    Parameters
    ----------
    diameter
        Of diameters [mm], as in ``diameter = 0.05``.
    length
        Of depths, widths and thicknesses [mm], as in ``length = 0.05``.
    angle_deg
        Of lug positions [deg], as in ``angle_deg = 0.1``.
    lead
        Of the flanks' lead, per revolution [mm/rev], as in ``lead = 0.1``.
    coaxiality
        Diameter of the zone of the lugs' axis against the body's [mm], as in ``coaxiality =
        0.08``.
    step_coaxiality
        Diameter of the zone of each other body step's axis against that of the step with the lugs
        [mm], as in ``step_coaxiality = 0.05``.
    groove_coaxiality
        Diameter of the zone of the groove's axis against that of the body it is cut into [mm], as
        in ``groove_coaxiality = 0.05``.
    tilt_deg
        Of the lugs against the shoulder [deg], as in ``tilt_deg = 0.05``.
    general
        ISO 2768-1 class, for lengths, diameters and angles not given above, as in ``general =
        "m"``.
    """
    return build(Spread, ("plug", "spread"), locals())


def correlation(*, between: tuple[str, str], r: float) -> Correlation:
    """Two measured values whose uncertainties go together, as from one fit.

    Parameters
    ----------
    between
        Their fields, without plug, as in ``between = ["lugs.bearing_depth", "lugs.thickness"]``.
    r
        Coefficient of correlation, as in ``r = -0.6``.
    """
    return build(Correlation, ("plug", "correlation", 0), locals())
