"""Is there material where it must be? Walls, lands and roofs of the socket at nominal size."""

from __future__ import annotations

import math
from collections.abc import Iterator

from bayonet import rounding
from bayonet.findings import LIMITS, PRACTICE, Finding, Mends, Verdict, at_least
from bayonet.parts import Plug, Socket, deepest_floor, least_gap_between
from bayonet.tolerance.fitting import sideways

_LEAST_MOUTH_SHARE = 0.25


def findings(plug: Plug, socket: Socket, *, most_play_mm: float) -> tuple[Finding, ...]:
    """Judge the material left round the tracks.

    Parameters
    ----------
    plug : Plug
    socket : Socket
    most_play_mm : float
        Greatest axial play at lock [mm].

    Returns
    -------
    tuple of Finding
    """
    return (
        _wall(socket),
        _roof(socket),
        _below_floor(socket),
        *_under_nose(socket),
        *_weld_root(socket),
        *_flange_webs(socket),
        _between_tracks(socket),
        _mouth(socket),
        *([] if plug.ring_groove is None else [_ring_stays(plug, socket, most_play_mm)]),
    )


def _wall(socket: Socket) -> Finding:
    inside = max(socket.track_radius_mm, *(radius for radius, _ in socket.bore))
    limit = socket.tolerance.diameter_mm
    boss = rounding.up(2.0 * (inside + socket.wall_mm + limit), step=0.1)
    return enough_wall(
        socket.boss_radius_mm - inside,
        socket,
        within_mm=limit,
        code="shape.wall",
        what="between tracks or bores and the outside",
        change=f"boss_diameter {boss:g} mm or more",
        mends=(("socket.boss_diameter", boss),),
    )


def enough_wall(
    wall_mm: float, socket: Socket, *, within_mm: float, code: str, what: str, change: str,
    mends: Mends = (),
) -> Finding:  # fmt: skip
    """Whether a wall keeps what is asked for at its limits: one rule for the socket and its graft.

    Parameters
    ----------
    wall_mm : float
        As drawn [mm].
    socket : Socket
        Gives the wall asked for.
    within_mm : float
        Its limits, plus or minus [mm].
    code, what, change : str
        Of the finding; ``what`` says where the wall is.
    mends : tuple

    Returns
    -------
    Finding

    Examples
    --------
    4.04 mm within 0.05 leave 3.99: less than the 4 asked for, wherever the socket stands. See
    `tests/checks/test_agreement.py`.
    """
    least = wall_mm - within_mm
    return at_least(
        least,
        socket.wall_mm,
        code=code,
        message=f"wall {what} {wall_mm:.2f} mm, at least {least:.2f} mm within limits",
        unit="mm",
        source="socket.wall, at its limits",
        change=change,
        mends=mends,
    )


def _roof(socket: Socket) -> Finding:
    least = min(
        min(depth for _, depth in track.roof) - track.top_mm - socket.limits.roof_mm
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
        otherwise=Verdict.LOOK if least >= socket.wall_mm / 4.0 else Verdict.FAIL,
    )


def _below_floor(socket: Socket) -> Finding:
    floor, limit = deepest_floor(socket.tracks), socket.tolerance.length_mm
    height = rounding.up(floor + socket.wall_mm + limit, step=0.1)
    return enough_wall(
        socket.boss_height_mm - floor,
        socket,
        within_mm=limit,
        code="shape.below_floor",
        what="below the tracks",
        change=f"boss_height {height:g} mm or more",
        mends=(("socket.boss_height", height),),
    )


def _under_nose(socket: Socket) -> Iterator[Finding]:
    if socket.nose_floor_mm is None:
        return
    left = socket.boss_height_mm - socket.nose_floor_mm - 2.0 * socket.tolerance.length_mm
    enough = rounding.up(socket.nose_floor_mm + socket.wall_mm, step=0.1)
    yield at_least(
        left,
        socket.wall_mm / 2.0,
        code="shape.under_nose",
        message=f"the floor under the nose is at least {left:.2f} mm thick",
        unit="mm",
        source=f"half the wall; {PRACTICE}",
        change=f"boss_height {enough:g} mm or more",
        mends=(("socket.boss_height", enough),),
        otherwise=Verdict.LOOK if left > socket.wall_mm / 4.0 else Verdict.FAIL,
    )


def _weld_root(socket: Socket) -> Iterator[Finding]:
    if socket.weld is None:
        return
    inner = socket.bore[-1][0]
    left = socket.boss_radius_mm - socket.weld.bevel_width_mm - inner
    left -= socket.tolerance.diameter_mm
    yield at_least(
        left,
        socket.wall_mm / 2.0,
        code="shape.weld_root",
        message=f"at the weld's root the wall is at least {left:.2f} mm",
        unit="mm",
        source=f"half the wall; {PRACTICE}; the weld itself is for a qualified welder",
        change="a narrower bevel or a larger boss",
        otherwise=Verdict.LOOK if left > socket.wall_mm / 4.0 else Verdict.FAIL,
    )


def _flange_webs(socket: Socket) -> Iterator[Finding]:
    flange = socket.flange
    if flange is None:
        return
    circle, hole = flange.bolt_circle_radius_mm, flange.bolt_hole_radius_mm
    webs = (
        circle - hole - socket.boss_radius_mm,
        flange.radius_mm - circle - hole,
        2.0 * (circle * math.sin(math.pi / flange.bolts) - hole),
    )
    left = min(webs) - socket.tolerance.diameter_mm
    yield at_least(
        left,
        socket.wall_mm / 2.0,
        code="shape.flange_webs",
        message=f"metal beside the bolt holes at least {left:.2f} mm",
        unit="mm",
        source=f"half the wall; {PRACTICE}",
        change="a larger flange, another bolt circle, or fewer or smaller holes",
        otherwise=Verdict.LOOK if left > socket.wall_mm / 4.0 else Verdict.FAIL,
    )


def _between_tracks(socket: Socket) -> Finding:
    gap, _, _ = least_gap_between(socket.tracks, socket.sign)
    limits = socket.tolerance
    moved = 2.0 * math.radians(limits.angle_deg) * socket.track_bore_radius_mm
    nominal = math.radians(gap) * socket.track_bore_radius_mm
    least = nominal - moved - limits.length_mm / 2.0
    return at_least(
        least,
        socket.wall_mm / 2.0,
        code="shape.between_tracks",
        message=f"wall between a stop and the next slot {nominal:.2f} mm, at least {least:.2f} mm",
        unit="mm",
        source=f"half the wall; {PRACTICE}",
        change="less overtravel or narrower slots",
        otherwise=thin_between_tracks(least, socket),
    )


def thin_between_tracks(left_mm: float, socket: Socket) -> Verdict:
    """How bad a wall between stop and next slot is that is less than half the wall asked for.

    An eighth is still metal that bears on the lug before it; common practice, no source.
    """
    return Verdict.LOOK if left_mm >= socket.wall_mm / 8.0 else Verdict.FAIL


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
        otherwise=Verdict.LOOK,
    )


def _ring_stays(plug: Plug, socket: Socket, most_play_mm: float) -> Finding:
    groove, limits = plug.groove, socket.tolerance
    if socket.seal_from_mm is not None and socket.seal_to_mm is not None:
        zone = groove.depth_zone_mm + limits.length_mm
        ends = (
            groove.start_mm - most_play_mm - zone - socket.seal_from_mm,
            min(socket.seal_to_mm, socket.boss_height_mm)
            - groove.end_mm
            - zone
            - groove.width_zone_mm,
        )
        what = "the sealing bore"
    else:
        zone = groove.radius_zone_mm + limits.diameter_mm / 2.0
        zone += _face_shift_mm(plug, socket, most_play_mm)
        if groove.kind == "shoulder_face":
            inner, outer, what = socket.slot_reach_mm, socket.mouth_radius_mm, "the mouth face"
        else:
            inner, outer = socket.passage_radius_mm, socket.track_bore_radius_mm
            what = "the floor under the nose"
        ends = (
            groove.start_mm - inner - zone,
            outer - groove.end_mm - zone - groove.width_zone_mm,
        )
    return at_least(
        min(ends),
        0.0,
        code="seal.position",
        message=(
            f"the whole groove stays {min(ends):.2f} mm inside {what}"
            if min(ends) >= 0.0
            else f"the groove reaches {-min(ends):.2f} mm beyond {what}"
        ),
        unit="mm",
        source=LIMITS,
        change="a larger seal margin, or a larger boss",
    )


def _face_shift_mm(plug: Plug, socket: Socket, most_play_mm: float) -> float:
    """How far a face groove may lie off the middle of the slots or the floor it seals on [mm].

    The plug is pushed aside as far as its bores let it, and the groove may be eccentric to the
    body; of the lugs' own eccentricity the groove knows nothing.
    """
    aside = sideways(plug, socket, play_mm=most_play_mm).aside_mm
    return aside - plug.lug_axis_zone_mm + plug.groove.axis_zone_mm
