"""What guides the plug sideways: lands of its body in the bores, and the float they leave.

Two questions, answered on their own safe side. *Can it find its way in?* The axis of the lugs may
stand off that of the tracks by the eccentricity of both parts; the plug makes up for as much of it
as its body is free to move, the least of all lands. *How far may it be pushed aside?* The body goes
as far as its bore lets it where the lugs are, unless another land holds it nearer, and the
eccentricity is added.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from bayonet.parts import Plug, Socket

Which = Literal["track_bore", "sealing_bore"]

_LEAST_LAND_MM = 1e-6


@dataclass(frozen=True, kw_only=True)
class Land:
    """A stretch of the body within a bore of one diameter, the shoulder seated.

    Parameters
    ----------
    step : int
        Which step of the body, from 0.
    bore : {"track_bore", "sealing_bore"}
    from_mm, to_mm : float
        Depths between which it guides.
    away_mm : float
        Least distance along the axis from the middle of the lugs; 0 where it spans them.
    """

    step: int
    bore: Which
    from_mm: float
    to_mm: float
    away_mm: float


@dataclass(frozen=True, kw_only=True)
class Sideways:
    """How far lugs may stand off their tracks' middle, sideways [mm].

    Parameters
    ----------
    eccentricity_mm : float
        Axis of the lugs against the body, and of the tracks against the bore, both at the ends of
        their zones.
    free_mm : float
        Least the body can move in its bores, over the zone and the whole way in; negative where
        steps of the body out of line force it aside.
    aside_mm : float
        Most the lugs are pushed aside at lock: float of the loosest pair and eccentricity.
    entering_mm : float
        The same on the way in, where the body may lean as much as one land lets it.
    rocking_mm : float
        Most by which lugs across from each other differ in depth as they pass the mouth, the body
        leaning as much as what is in the bore by then lets it; infinite where nothing is.
    """

    eccentricity_mm: float
    free_mm: float
    aside_mm: float
    entering_mm: float
    rocking_mm: float

    @property
    def left_mm(self) -> float:
        """Eccentricity the plug cannot make up for by moving aside [mm]."""
        return max(0.0, self.eccentricity_mm - self.free_mm)


def lands(plug: Plug, socket: Socket) -> tuple[Land, ...]:
    """Every land of the body, the one round the lugs first.

    Parameters
    ----------
    plug : Plug
    socket : Socket

    Returns
    -------
    tuple of Land

    Examples
    --------
    The starting file: the wider step in the bore between the tracks, 0.3 mm of the narrower one
    below its end at 13 mm before that bore ends at 13.3, the rest of it in the sealing bore.

    >>> import bayonet
    >>> design = bayonet.loads(bayonet.starting_file())
    >>> [(one.step, one.bore) for one in lands(design.plug, design.socket)]
    [(0, 'track_bore'), (1, 'track_bore'), (1, 'sealing_bore')]
    """
    found = []
    at = sum(plug.lug_span_mm) / 2.0
    for index, step in enumerate(plug.body):
        for bore, start, end in _bores(socket):
            low, high = max(step.from_depth_mm, start), min(step.to_depth_mm, end)
            if high - low > _LEAST_LAND_MM:
                away = max(low - at, at - high, 0.0)
                found.append(Land(step=index, bore=bore, from_mm=low, to_mm=high, away_mm=away))
    return tuple(sorted(found, key=lambda land: land.away_mm))


def _bores(socket: Socket) -> list[tuple[Which, float, float]]:
    """Cylinders of the bore that a body runs in: which, from depth, to depth [mm]."""
    found: list[tuple[Which, float, float]] = []
    for (r0, d0), (r1, d1) in zip(socket.bore, socket.bore[1:], strict=False):
        if r0 != r1:
            continue
        if socket.seal_radius_mm is not None and math.isclose(r0, socket.seal_radius_mm):
            found.append(("sealing_bore", d0, d1))
        elif math.isclose(r0, socket.track_bore_radius_mm):
            found.append(("track_bore", d0, d1))
    return found


def lean_at_lock(plug: Plug, play_mm: float) -> float:
    """Most slope of the plug's axis at lock: one side up by the play, the other seated [-].

    Lugs a third of a turn apart or further lie at least one radius apart across any direction.
    """
    return max(play_mm, 0.0) / min(lug.outer_radius_mm for lug in plug.lugs)


def sideways(plug: Plug, socket: Socket, *, play_mm: float) -> Sideways:
    """Float and eccentricity of a plug in its socket over the whole zone.

    Parameters
    ----------
    plug : Plug
    socket : Socket
    play_mm : float
        Most axial play at lock; lets the plug lean there.

    Returns
    -------
    Sideways
    """
    off = plug.lug_axis_zone_mm + socket.limits.coaxiality_mm / 2.0
    most = [(land, _gap(plug, socket, land)) for land in lands(plug, socket)]
    if not most:  # nothing guides it: as far as the bore round the lugs
        body = plug.lug_body
        gap = socket.track_bore_radius_mm - body.radius_mm + body.radius_zone_mm
        most = [(Land(step=0, bore="track_bore", from_mm=0.0, to_mm=1.0, away_mm=0.0), gap)]
    slope = min(2.0 * one / (land.to_mm - land.from_mm) for land, one in most)
    at_lock = min(slope, lean_at_lock(plug, play_mm))
    nearest, gap = most[0]  # on the way in, others may not have come to their bores yet
    in_bore = plug.body[nearest.step].to_depth_mm - sum(plug.lug_span_mm) / 2.0
    across = 2.0 * max(lug.outer_radius_mm for lug in plug.lugs)
    return Sideways(
        eccentricity_mm=off,
        free_mm=_free_mm(plug, socket),
        aside_mm=min(one + at_lock * land.away_mm for land, one in most) + off,
        entering_mm=gap + slope * nearest.away_mm + off,
        rocking_mm=across * 2.0 * gap / in_bore if in_bore > 0.0 else math.inf,
    )


def _free_mm(plug: Plug, socket: Socket) -> float:
    """Least the body can move; negative where steps out of line may force it aside.

    A step or bore out of line by e takes e of its own gap.
    """
    free = []
    for index, (_, worst) in enumerate(_step_gaps(plug, socket)):
        off = plug.step_axis_zone_mm if index else 0.0
        bore = least_bore(socket, plug.body[index].to_depth_mm)[0]
        if socket.seal_radius_mm is not None and math.isclose(bore, socket.seal_radius_mm):
            off += socket.limits.seal_coaxiality_mm / 2.0
        free.append(worst - off)
    return min(free)


def _gap(plug: Plug, socket: Socket, land: Land) -> float:
    """Radial gap of a land, the smallest body in the widest bore [mm]."""
    step, limits = plug.body[land.step], socket.limits
    if land.bore == "sealing_bore":
        bore = (socket.seal_radius_mm or 0.0) + limits.sealing_bore_mm / 2.0
    else:
        bore = socket.track_bore_radius_mm + limits.track_bore_mm / 2.0
    return max(0.0, bore - step.radius_mm + step.radius_zone_mm)


def least_body_gap(
    plug: Plug, socket: Socket, *, grows: tuple[float, float] = (1.0, 1.0)
) -> tuple[float, float]:
    """Least radial gap between body and bore on the whole way in: (nominal, worst) [mm].

    A point of the body at depth d passes every depth of the socket from 0 to d; in the worst
    case a step of the body lies deeper, and the bore's ledges shallower, by their zones.
    ``grows`` are the factors by which plug and socket have grown with heat.
    """
    nominal, worst = zip(*_step_gaps(plug, socket, grows=grows), strict=True)
    return min(nominal), min(worst)


def _step_gaps(
    plug: Plug, socket: Socket, *, grows: tuple[float, float] = (1.0, 1.0)
) -> list[tuple[float, float]]:
    """The same step by step of the body."""
    gaps = []
    for step in plug.body:
        body = step.radius_mm * grows[0]
        nominal = least_bore(socket, step.to_depth_mm)[0] * grows[1] - body
        deepest = step.to_depth_mm + step.depth_zone_mm + socket.tolerance.length_mm
        bore, limits = least_bore(socket, deepest, floor=step is not plug.body[-1])
        gaps.append((nominal, bore * grows[1] - limits / 2.0 - body - step.radius_zone_mm))
    return gaps


def least_bore(socket: Socket, depth_mm: float, *, floor: bool = True) -> tuple[float, float]:
    """Least radius of the bore from the mouth to a depth, and the limits of its diameter [mm].

    The floor under the nose is left out for the nose itself: see `clearance.nose`.
    """
    if not floor and socket.nose_floor_mm is not None:
        depth_mm = min(depth_mm, socket.nose_floor_mm - 1e-9)
    passed = [radius for radius, depth in socket.bore if depth < depth_mm]
    least = min([*passed, socket.bore_radius_at(depth_mm)])
    return least, _limits_of_bore(socket, least)


def _limits_of_bore(socket: Socket, radius_mm: float) -> float:
    """Limits of the diameter of the bore that has a radius [mm]."""
    if socket.seal_radius_mm is not None and math.isclose(radius_mm, socket.seal_radius_mm):
        return socket.limits.sealing_bore_mm
    if math.isclose(radius_mm, socket.track_bore_radius_mm):
        return socket.limits.track_bore_mm
    return socket.tolerance.diameter_mm
