"""What each feature of the socket is made to: its own limits, or those of its kind."""

from __future__ import annotations

import dataclasses
import math
from dataclasses import dataclass

from bayonet.designfile import JointTable, ProblemList, SocketTable, value_or
from bayonet.parts.plug import Plug
from bayonet.standards import HalfWidths, socket_tolerances


@dataclass(frozen=True, kw_only=True)
class SocketLimits:
    """Half-widths by feature. Diameters, widths and depths [mm]; positions [deg].

    ``coaxiality_mm`` is the diameter of the zone that holds the tracks' axis,
    ``seal_coaxiality_mm`` that of the sealing bore's, both against the bore between the tracks;
    ``tilt_deg`` is that of the tracks against the mouth face.
    """

    track_bore_mm: float
    sealing_bore_mm: float
    track_wall_mm: float
    slot_width_mm: float
    slot_position_deg: float
    stop_deg: float
    roof_mm: float
    floor_mm: float
    nose_floor_mm: float
    lead_mm_per_rev: float
    coaxiality_mm: float
    seal_coaxiality_mm: float
    tilt_deg: float


def tolerances_of(table: SocketTable) -> HalfWidths:
    """Limits by kind: of the file, else of the process."""
    usual, own = socket_tolerances(table.process), table.tolerance
    return HalfWidths(
        diameter_mm=value_or(own.diameter, usual.diameter_mm),
        length_mm=value_or(own.length, usual.length_mm),
        angle_deg=value_or(own.angle_deg, usual.angle_deg),
        lead_mm_per_rev=value_or(own.lead, usual.lead_mm_per_rev),
        coaxiality_mm=value_or(own.coaxiality, usual.coaxiality_mm),
        step_coaxiality_mm=usual.step_coaxiality_mm,
        tilt_deg=value_or(own.tilt_deg, usual.tilt_deg),
    )


def limits_of(table: SocketTable) -> SocketLimits:
    """Limits by feature: its own where the file gives them, else those of its kind.

    Parameters
    ----------
    table : SocketTable

    Returns
    -------
    SocketLimits
    """
    own, usual = table.tolerance, tolerances_of(table)
    one = SocketLimits(
        track_bore_mm=value_or(own.track_bore, usual.diameter_mm),
        sealing_bore_mm=value_or(own.sealing_bore, usual.diameter_mm),
        track_wall_mm=value_or(own.track_wall, usual.diameter_mm),
        slot_width_mm=value_or(own.slot_width, usual.length_mm),
        slot_position_deg=value_or(own.slot_position_deg, usual.angle_deg),
        stop_deg=value_or(own.stop_deg, usual.angle_deg),
        roof_mm=value_or(own.roof, usual.length_mm),
        floor_mm=value_or(own.floor, usual.length_mm),
        nose_floor_mm=value_or(own.nose_floor, usual.length_mm),
        lead_mm_per_rev=usual.lead_mm_per_rev,
        coaxiality_mm=usual.coaxiality_mm,
        seal_coaxiality_mm=value_or(own.seal_coaxiality, usual.step_coaxiality_mm),
        tilt_deg=usual.tilt_deg,
    )
    return one if table.construction == "one_piece" else _joined(one, table.joint or JointTable())


def _joined(one: SocketLimits, joint: JointTable) -> SocketLimits:
    """Limits of a socket of two parts: what lies across the joint is also off by the joint.

    The seat is the track's floor, so its flatness adds there. The floor under the nose is off by
    the ring's thickness too. The sealing bore stands aside by the play of the register, and by a
    lean of flatness over the seat, which at the depth of a bore no deeper than the seat is wide
    moves it by no more than the flatness again.
    """
    flat = joint.seat_flatness.value
    return dataclasses.replace(
        one,
        floor_mm=one.floor_mm + flat,
        nose_floor_mm=one.nose_floor_mm + one.floor_mm + flat,
        seal_coaxiality_mm=one.seal_coaxiality_mm + joint.centring_clearance.value + 2.0 * flat,
    )


def check_limits(plug: Plug, table: SocketTable, problems: ProblemList) -> None:
    """Limits must leave something of every slot and track.

    Half a lug may be lost at each end of a zone: half its width, at its outer radius, and half its
    thickness. (A lug's ``half`` is half its width already.)
    """
    half_width = min(
        math.radians(float(lug.half.at(lug.outer_radius_mm))) * lug.outer_radius_mm
        for lug in plug.lugs
    )
    half_thick = min(lug.thickness_mm for lug in plug.lugs) / 2.0
    radius, limits, kind = plug.lug_body.radius_mm, limits_of(table), tolerances_of(table)
    rows = (
        ("length", kind.length_mm, min(half_width, half_thick), "half a lug"),
        ("slot_width", limits.slot_width_mm, half_width, "half a lug"),
        ("roof", limits.roof_mm, half_thick, "half a lug"),
        ("floor", limits.floor_mm, half_thick, "half a lug"),
        ("angle_deg", math.radians(kind.angle_deg) * radius, half_width, "half a lug"),
        ("slot_position_deg", math.radians(limits.slot_position_deg) * radius, half_width,
         "half a lug"),
        ("stop_deg", math.radians(limits.stop_deg) * radius, half_width, "half a lug"),
        ("diameter", kind.diameter_mm, radius / 4.0, "a quarter of the bore"),
        ("track_bore", limits.track_bore_mm, radius / 4.0, "a quarter of the bore"),
        ("sealing_bore", limits.sealing_bore_mm, radius / 4.0, "a quarter of the bore"),
        ("track_wall", limits.track_wall_mm, radius / 4.0, "a quarter of the bore"),
    )  # fmt: skip
    by_kind = {"length", "angle_deg", "diameter"}
    for key, value, most, what in rows:
        own = key in by_kind or getattr(table.tolerance, key) is not None
        if own and not value < most:
            problems.add(("socket", "tolerance", key), f"is as large as {what}")
