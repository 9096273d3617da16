"""Other ways round in which a plug could be put in and lock, wherever its clearance lets it stand.

Two answers a way round, from two sides. *No*: every lug must pass the face the slots open in at one
and the same pose, where its whole width is level with that face; the poses (turn, shift) at which
it does are half-planes, one for each side of each lug and one for its tip against the track's wall;
where they share no shift within the body's reach, nothing enters. *Yes*: a shift they share, and
the free region of the lugs standing there reaches a turn at which they are held. What is neither is
left open, with both figures.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray
from shapely.geometry import LineString

from bayonet.developed import contour
from bayonet.developed.fitting import Fitting, Outline
from bayonet.developed.motion import in_lift
from bayonet.developed.region import Window, free_region
from bayonet.parts import Lug, Track

Array = NDArray[np.float64]
Locks = Literal["yes", "no", "open"]

_CORNERS = 48
"""Of the polygon about the disc of shifts: 0.2 % outside it."""
_BESIDE_DEG = 12.0
_MEETS_MM = 0.005
"""Within this of the least shift the bound allows, the pose that shows it is looked for first."""
_RADII = 5
_MEANT_DEG = 1e-6


@dataclass(frozen=True, kw_only=True)
class WayRound:
    """One way round that is not the meant one.

    Parameters
    ----------
    at_deg : float
        Turn of the plug from the meant orientation, towards lock [deg].
    locks : {"yes", "no", "open"}
        ``no`` is not listed by `ways_round`.
    aside_mm : float
        Least shift found at which it enters [mm]; 0 where it enters in the middle.
    turns_deg : float
        How far it was found to turn from there [deg]; 0 where it was not found to enter.
    """

    at_deg: float
    locks: Locks
    aside_mm: float
    turns_deg: float


@dataclass(frozen=True)
class _Seats:
    """Which lug stands in which slot, and the turns at which that may be [deg]."""

    slots: tuple[int, ...]
    low: float
    high: float


def ways_round(
    lugs: tuple[Lug, ...],
    tracks: tuple[Track, ...],
    *,
    sign: int,
    reach_mm: float,
    rocking_mm: float,
    held_share: float,
) -> tuple[WayRound, ...] | None:
    """Ways round other than the meant one that lock, or may.

    Parameters
    ----------
    lugs : tuple of Lug
        The smallest of the zone.
    tracks : tuple of Track
        The largest of the zone, their walls included.
    sign : {1, -1}
        +1 where lock lies towards greater theta.
    reach_mm : float
        How far the lugs may be shifted against the tracks, in any direction [mm].
    rocking_mm : float
        How far lugs may differ in depth by leaning, on the way in [mm].
    held_share : float
        Share of its width by which each lug must be under a roof to be held.

    Returns
    -------
    tuple of WayRound or None
        Sorted by angle; None where lugs stand, or rock, so far apart in depth that they need not
        be between the sides of their slots together, so that this cannot tell.

    Examples
    --------
    Three equal lugs lock three ways round: see `tests/developed/test_ways_round.py`.
    """
    found: dict[float, WayRound] = {}
    for seats in _assignments(lugs, tracks, sign, reach_mm):
        middle = (seats.low + seats.high) / 2.0
        if any(abs((middle - at + 180.0) % 360.0 - 180.0) < 1.0 for at in found):
            continue
        way = _judged(lugs, tracks, seats, sign=sign, reach_mm=reach_mm, held_share=held_share)
        if way is not None:
            found[way.at_deg] = way
    settled = any(way.locks == "yes" for way in found.values())
    if not settled and not _pass_together(lugs, tracks, rocking_mm):
        return None
    return tuple(found[at] for at in sorted(found))


def _pass_together(lugs: tuple[Lug, ...], tracks: tuple[Track, ...], rocking_mm: float) -> bool:
    """Whether at some lift every lug is between the sides of its slot.

    It is from where its leading flank has passed the face to where its bearing flank leaves the
    ledge that becomes the roof.
    """
    ledge = min(min(depth for _, depth in track.roof) - track.top_mm for track in tracks)
    top, end = -math.inf, math.inf
    for lug in lugs:
        at = lug.outer_radius_mm
        half = float(lug.half.at(at))
        top = max(top, *(float(lug.bearing_at(a, radius_mm=at)) for a in (half, -half)))
        end = min(end, *(float(lug.leading_at(a, radius_mm=at)) for a in (half, -half)))
    return bool(top - ledge + rocking_mm < end)


def _lock_angle(thing: Lug | Track, sign: int) -> float:
    return (sign * thing.centre_deg) % 360.0


def _room(lug: Lug, track: Track, reach_mm: float) -> tuple[Array, Array]:
    """Half-width of slot less that of lug at radii both have wherever it stands: [mm], [deg]."""
    inner = track.inner_radius_mm
    outer = max(min(lug.outer_radius_mm, track.outer_radius_mm) - reach_mm, inner)
    radii = np.linspace(inner, outer, _RADII)
    return radii, np.asarray(track.slot.at(radii)) - np.asarray(lug.half.at(radii))


def _assignments(
    lugs: tuple[Lug, ...], tracks: tuple[Track, ...], sign: int, reach_mm: float
) -> Iterator[_Seats]:
    """Every choice of a slot for each lug at a common turn, the meant one left out."""
    slack = math.degrees(2.0 * reach_mm / min(track.inner_radius_mm for track in tracks))

    def stretches(lug: Lug) -> list[tuple[int, float, float]]:
        out = []
        for index, track in enumerate(tracks):
            if track.outer_radius_mm + reach_mm < lug.outer_radius_mm:
                continue
            half = float(_room(lug, track, reach_mm)[1].min()) + slack
            centre = _lock_angle(track, sign) - _lock_angle(lug, sign)
            if half >= 0.0:
                out.append((index, centre - half, centre + half))
        return out

    each = [stretches(lug) for lug in lugs]

    def grow(chosen: tuple[int, ...], low: float, high: float) -> Iterator[_Seats]:
        if len(chosen) == len(lugs):
            yield _Seats(chosen, low, high)
            return
        for index, start, end in each[len(chosen)]:
            by = 360.0 * round(((low + high) - (start + end)) / 720.0)
            both = max(low, start + by), min(high, end + by)
            if both[0] <= both[1]:
                yield from grow((*chosen, index), *both)

    for index, start, end in each[0]:
        by = 360.0 * math.floor((start + end) / 720.0 + 1e-9)
        for seats in grow((index,), start - by, end - by):
            if seats.slots != tuple(range(len(lugs))):
                yield seats


def _judged(
    lugs: tuple[Lug, ...], tracks: tuple[Track, ...], seats: _Seats, *, sign: int, reach_mm: float,
    held_share: float,
) -> WayRound | None:  # fmt: skip
    normal, room = _half_planes(lugs, tracks, seats, sign, reach_mm)
    shifts = _clipped(normal, room, reach_mm)
    if shifts is None:
        return None
    pairs = [(lug, tracks[index]) for lug, index in zip(lugs, seats.slots, strict=True)]
    held = min(_held_at(lug, track, held_share) for lug, track in pairs)
    middle = (seats.low + seats.high) / 2.0
    apart = [_lock_angle(track, sign) - _lock_angle(lug, sign) - middle for lug, track in pairs]
    into = middle + float(np.mean([(one + 180.0) % 360.0 - 180.0 for one in apart]))
    centre, furthest = _least_shift(shifts), 0.0
    inwards = shifts.mean(axis=0) - centre
    near = min(1.0, _MEETS_MM / max(float(np.hypot(*inwards)), _MEETS_MM))
    for share in sorted({0.0, near, 0.5, 1.0}):
        shift = centre + share * inwards
        turns = _turned_to(lugs, tracks, seats, shift, sign=sign, held=held) - into
        furthest = max(furthest, turns)
        if turns >= held:
            break
    locks: Locks = "yes" if furthest >= held else "open"
    return WayRound(
        at_deg=round(into % 360.0, 6) % 360.0,
        locks=locks,
        aside_mm=float(np.hypot(*(shift if locks == "yes" else centre))),
        turns_deg=furthest,
    )


def _held_at(lug: Lug, track: Track, share: float) -> float:
    """Turn from the slot's middle at which a share of the lug's width is under that roof [deg]."""
    outer = min(lug.outer_radius_mm, track.outer_radius_mm)
    half = float(lug.half.at(outer))
    return float(track.slot.at(outer)) - half + 2.0 * half * share


def _half_planes(
    lugs: tuple[Lug, ...], tracks: tuple[Track, ...], seats: _Seats, sign: int, reach_mm: float
) -> tuple[Array, Array]:
    r"""Shifts s in the plug's own frame at which it may enter: normal @ s <= room [mm].

    Each side of each lug bounds the turn by a plane over the shift; a pair of a bound from below
    and one from above bounds the shift alone (Fourier and Motzkin). Tips against walls do so by
    themselves: :math:`2 R s \cdot u \le W^2 - R^2`, the shift's square left out.
    """
    above, below, normals, rooms = [], [], [], []
    middle = (seats.low + seats.high) / 2.0
    for lug, index in zip(lugs, seats.slots, strict=True):
        track = tracks[index]
        centre = _lock_angle(track, sign) - _lock_angle(lug, sign)
        centre += 360.0 * round((middle - centre) / 360.0)
        square = 90.0 + (lug.half.deg if lug.half.is_radial else 0.0)
        for radius, room in zip(*_room(lug, track, reach_mm), strict=True):
            per = math.degrees(1.0 / radius)
            above.append((centre + room, per * _unit(lug.centre_deg + sign * square)))
            below.append((centre - room, -per * _unit(lug.centre_deg - sign * square)))
        wall, tip = track.outer_radius_mm, lug.outer_radius_mm
        half = float(lug.half.at(tip))
        for turn in np.linspace(-half, half, _RADII):
            normals.append(_unit(lug.centre_deg + turn))
            rooms.append((wall**2 - tip**2) / (2.0 * tip))
    # a side moves nearly straight: what the square of the shift may add is given away
    spare = math.degrees((reach_mm / min(t.inner_radius_mm for t in tracks)) ** 2)
    for (high, up), (low, down) in itertools.product(above, below):
        normals.append(up - down)
        rooms.append(high - low + spare)
    return np.array(normals), np.array(rooms)


def _unit(theta_deg: float) -> Array:
    return np.array([math.cos(math.radians(theta_deg)), math.sin(math.radians(theta_deg))])


def _clipped(normals: Array, rooms: Array, reach_mm: float) -> Array | None:
    """The disc of shifts within all half-planes, as corners of a polygon; None where empty."""
    turn = np.radians(np.arange(_CORNERS) * 360.0 / _CORNERS)
    radius = max(reach_mm, 1e-9) / math.cos(math.pi / _CORNERS)
    polygon = radius * np.stack([np.cos(turn), np.sin(turn)], axis=1)
    for normal, room in zip(normals, rooms, strict=True):
        over = polygon @ normal - room
        if (over <= 0.0).all():
            continue
        polygon = _cut(polygon, over)
        if not len(polygon):
            return None
    return polygon


def _cut(polygon: Array, over: Array) -> Array:
    """What of a convex polygon lies where ``over`` is not positive (Sutherland and Hodgman)."""
    kept = []
    for i in range(len(polygon)):
        j = (i + 1) % len(polygon)
        if over[i] <= 0.0:
            kept.append(polygon[i])
        if (over[i] <= 0.0) != (over[j] <= 0.0):
            share = over[i] / (over[i] - over[j])
            kept.append(polygon[i] + share * (polygon[j] - polygon[i]))
    return np.array(kept)


def _least_shift(polygon: Array) -> Array:
    """The point of a convex polygon nearest to no shift at all."""
    follow = np.roll(polygon, -1, axis=0)
    x, y = polygon.T
    nx, ny = follow.T
    cross = x * ny - y * nx
    if (cross >= 0.0).all() or (cross <= 0.0).all():
        return np.zeros(2)
    along = follow - polygon
    share = np.clip(
        -(polygon * along).sum(axis=1) / np.maximum((along**2).sum(axis=1), 1e-30), 0, 1
    )
    points = polygon + share[:, None] * along
    return np.asarray(points[np.hypot(*points.T).argmin()])


def _turned_to(
    lugs: tuple[Lug, ...], tracks: tuple[Track, ...], seats: _Seats, shift: Array, *, sign: int,
    held: float,
) -> float:  # fmt: skip
    """Turn a plug shifted so, in its own frame, gets to once it has entered [deg]."""
    fitting = shifted(lugs, tracks, shift, sign=sign)
    window = Window(seats.low - _BESIDE_DEG, seats.high + held + _BESIDE_DEG, in_lift(fitting))
    entry = LineString([(seats.low, window.lift_mm), (seats.high, window.lift_mm)])
    best = -math.inf
    for piece in free_region(fitting, window).outside():
        if piece.distance(entry) <= 1e-6:
            best = max(best, piece.bounds[2])
    return best


def shifted(
    lugs: tuple[Lug, ...], tracks: tuple[Track, ...], shift_mm: Array, *, sign: int
) -> Fitting:
    """A fitting with its lugs shifted sideways, in the plug's own frame.

    Parameters
    ----------
    lugs, tracks : tuple
    shift_mm : array, shape (2,)
        x, y, towards theta 0 and 90 deg of the plug [mm].
    sign : {1, -1}

    Returns
    -------
    Fitting
        To first order of the shift: a point of a lug at radius r moves out by s u and round by
        s t / r. What is left out is s^2 / 2 r: 6 um for 0.5 mm at 20 mm.
    """
    bore = min(track.inner_radius_mm for track in tracks)
    shapes = [contour.of_track(track) for track in tracks]
    moved, seen = [], []
    for lug in lugs:
        out, tip = float(shift_mm @ _unit(lug.centre_deg)), _tip_mm(lug, shift_mm)
        radii = np.linspace(bore, max(tip, bore), _RADII)
        points = contour.of_lug(lug, inner_mm=bore).polygons(radii - out)
        theta = np.radians(lug.centre_deg + sign * points[..., 0])
        round_mm = sign * (shift_mm[1] * np.cos(theta) - shift_mm[0] * np.sin(theta))
        points[..., 0] += np.degrees(round_mm / radii[:, None]) + _lock_angle(lug, sign)
        moved.append(Outline(points, tip))
        seen.append(
            tuple(
                Outline(
                    shape.polygons(np.minimum(radii, track.outer_radius_mm))
                    + np.array([_lock_angle(track, sign), 0.0]),
                    track.outer_radius_mm,
                )
                for shape, track in zip(shapes, tracks, strict=True)
            )
        )
    top = min(track.top_mm for track in tracks)
    return Fitting(tuple(moved), seen[0], top, tuple(seen))


def _tip_mm(lug: Lug, shift_mm: Array) -> float:
    """Greatest radius any point of a shifted lug's outer edge reaches [mm]."""
    radius = lug.outer_radius_mm
    half = float(lug.half.at(radius))
    towards = math.degrees(math.atan2(shift_mm[1], shift_mm[0])) - lug.centre_deg
    nearest = min(max((towards + 180.0) % 360.0 - 180.0, -half), half)
    edge = radius * _unit(lug.centre_deg + nearest) + shift_mm
    return float(np.hypot(*edge))
