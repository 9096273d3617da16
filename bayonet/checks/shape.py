"""Is there material where it must be? Walls, lands and roofs of the socket at nominal size."""

from __future__ import annotations

import math

from bayonet.checks.finding import Finding, Verdict, at_least
from bayonet.checks.motion import LIMITS, PRACTICE
from bayonet.model.plug import Plug
from bayonet.model.socket import Socket, deepest_floor, least_gap_between

_LEAST_MOUTH_SHARE = 0.25


def findings(plug: Plug, socket: Socket) -> tuple[Finding, ...]:
    """Judge the material left round the tracks.

    Parameters
    ----------
    plug : Plug
    socket : Socket

    Returns
    -------
    tuple of Finding
    """
    return (
        _wall(socket),
        _roof(socket),
        _below_floor(socket),
        _between_tracks(socket),
        _mouth(socket),
        _ring_stays(plug, socket),
    )


def _wall(socket: Socket) -> Finding:
    inside = max(socket.track_radius_mm, *(radius for radius, _ in socket.bore))
    wall = socket.boss_radius_mm - inside - socket.tolerance.diameter_mm
    return at_least(
        wall,
        socket.wall_mm - socket.tolerance.diameter_mm,
        code="shape.wall",
        message=f"least wall between tracks or bores and the outside {wall:.2f} mm",
        unit="mm",
        source="socket.wall, less its limits",
        change=f"boss_diameter {2 * (inside + socket.wall_mm):.1f} mm or more",
        mends=(("socket.boss_diameter", round(2 * (inside + socket.wall_mm) + 0.05, 1)),),
    )


def _roof(socket: Socket) -> Finding:
    least = min(
        min(depth for _, depth in track.roof) - track.top_mm - socket.tolerance.length_mm
        for track in socket.tracks
    )
    return at_least(
        least,
        socket.wall_mm / 2.0,
        code="shape.roof",
        message=f"the roof that holds the lugs is at least {least:.2f} mm thick",
        unit="mm",
        source=f"half the wall; {PRACTICE}",
        change="nothing on this plug, but less lead, a shallower groove margin or less clearance",
        otherwise=Verdict.WARN if least > 0.0 else Verdict.FAIL,
    )


def _below_floor(socket: Socket) -> Finding:
    left = socket.boss_height_mm - deepest_floor(socket.tracks) - socket.tolerance.length_mm
    return at_least(
        left,
        socket.wall_mm - socket.tolerance.length_mm,
        code="shape.below_floor",
        message=f"material below the tracks at least {left:.2f} mm",
        unit="mm",
        source="socket.wall, less its limits",
        change=f"boss_height {deepest_floor(socket.tracks) + socket.wall_mm:.1f} mm or more",
        mends=(
            ("socket.boss_height", round(deepest_floor(socket.tracks) + socket.wall_mm + 0.05, 1)),
        ),
    )


def _between_tracks(socket: Socket) -> Finding:
    gap, _, _ = least_gap_between(socket.tracks, socket.sign)
    least = math.radians(gap) * socket.track_bore_radius_mm
    return at_least(
        least,
        socket.wall_mm / 2.0,
        code="shape.between_tracks",
        message=f"wall between a stop and the next slot {least:.2f} mm",
        unit="mm",
        source=f"half the wall; {PRACTICE}",
        change="less overtravel or narrower slots",
        otherwise=Verdict.WARN,
    )


def _mouth(socket: Socket) -> Finding:
    taken = sum(2.0 * float(track.slot.at(track.outer_radius_mm)) for track in socket.tracks)
    left = 1.0 - taken / 360.0
    return at_least(
        left,
        _LEAST_MOUTH_SHARE,
        code="shape.mouth",
        message=f"{100 * left:.0f} % of the mouth is left between the slots",
        unit="-",
        source=PRACTICE,
        change="narrower slots",
        otherwise=Verdict.WARN,
    )


def _ring_stays(plug: Plug, socket: Socket) -> Finding:
    code = "seal.position"
    if socket.seal_from_mm is None or socket.seal_to_mm is None:
        return Finding(
            code=code,
            verdict=Verdict.NOT_EVALUATED,
            message="a face seal has no sealing bore",
        )
    zone = plug.groove.depth_zone_mm + socket.tolerance.length_mm
    above = plug.groove.start_mm - socket.clearance.axial_mm - zone - socket.seal_from_mm
    below = min(socket.seal_to_mm, socket.boss_height_mm) - plug.groove.end_mm - zone
    least = min(above, below)
    return at_least(
        least,
        0.0,
        code=code,
        message=f"the whole groove stays at least {least:.2f} mm inside the sealing bore",
        unit="mm",
        source=LIMITS,
        change="a larger seal margin",
    )
