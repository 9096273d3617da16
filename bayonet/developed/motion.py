"""What the free region says of the way in: entry, turn, lock, play, and one path as witness."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import shapely
from shapely.geometry import LineString, Polygon

from bayonet.developed.fitting import Fitting
from bayonet.developed.region import FreeRegion, Window, free_region
from bayonet.developed.slabs import way_between

Pose = tuple[float, float]

_STEP = 1e-6  # beside a corner of the region [deg, mm]
_TOUCH = 1e-7  # contact within which two poses count as one [deg, mm]
_PATH_ROOM = 1e-5  # [deg, mm] a path may cut a corner by
_BEYOND_DEG = 12.0
_STEEPEST = 1e-3  # fall of a roof that is no detent but rounding [mm/deg]


@dataclass(frozen=True, kw_only=True)
class Motion:
    """How a plug can move in a socket, from one free region.

    Angles [deg] from the inserted orientation towards lock, lifts [mm] of the shoulder.

    Parameters
    ----------
    region : FreeRegion
    entered : Polygon or None
        The piece the plug comes into by entering as meant; None where it cannot enter at all.
    furthest_deg : float
        Furthest turn within that piece; NaN where it cannot enter.
    seated_deg : float
        Furthest turn with the shoulder on the mouth face; NaN where it never seats.
    play_mm : float
        Lift left at the furthest turn.
    hold_mm : float
        How far a plug pushed out at lock must dip to be turned back: the detent's grip.
    back_deg : float
        How far a plug pushed out at lock can turn back without dipping; all the way where
        nothing holds it.
    seated_back_deg : float
        How far a plug with its shoulder on the mouth turns back before anything touches.
    narrowest_mm : float
        Least room in lift on the way, after leaving the slots.
    path : tuple of (phi, delta)
        A way from outside to the furthest turn, inside the region; empty where there is none.
    """

    region: FreeRegion
    entered: Polygon | None
    furthest_deg: float
    seated_deg: float
    play_mm: float
    hold_mm: float
    back_deg: float
    seated_back_deg: float
    narrowest_mm: float
    path: tuple[Pose, ...]


def in_lift(fitting: Fitting) -> float:
    """Lift just below which the first lug is in its slot [mm]."""
    return fitting.lowest_mm - fitting.top_mm - _STEP


def analyse(fitting: Fitting, *, end_deg: float) -> Motion:
    """Follow the plug from outside to the end of its turn.

    Parameters
    ----------
    fitting : Fitting
    end_deg : float
        Turn at which the stop is meant to be [deg]; only sets how far to look.

    Returns
    -------
    Motion
    """
    window = Window(-_BEYOND_DEG, end_deg + _BEYOND_DEG, in_lift(fitting))
    region = free_region(fitting, window)
    entered = _entered(region)
    if entered is None:
        return _nothing(region)
    furthest = entered.bounds[2]
    seated = _seated(entered)
    play = max(lift for phi, lift in entered.exterior.coords if phi >= furthest - _TOUCH)
    turning = _turning_columns(entered, window)
    tops = [top for _, _, top in turning] or [play]
    return Motion(
        region=region,
        entered=entered,
        furthest_deg=furthest,
        seated_deg=seated,
        play_mm=play,
        hold_mm=play - min(tops) if play - min(tops) > _TOUCH else 0.0,
        back_deg=_back(turning, furthest),
        seated_back_deg=_seated_back(entered),
        narrowest_mm=min((top - low for _, low, top in turning), default=0.0),
        path=_path(entered, turning, window),
    )


def _entered(region: FreeRegion) -> Polygon | None:
    """The piece of the meant slots that gets furthest in, wherever beside turn 0 it opens."""
    window, found = region.window, []
    for piece in region.outside():
        top = piece.intersection(
            LineString([(-_BEYOND_DEG, window.lift_mm), (_BEYOND_DEG, window.lift_mm)]).buffer(
                _TOUCH, cap_style="flat"
            )
        )
        if not top.is_empty:
            beside = max(top.bounds[0], -top.bounds[2], 0.0)
            found.append((round(piece.bounds[1], 6), beside, piece))
    return min(found, key=lambda one: one[:2], default=(0.0, 0.0, None))[2]


def _nothing(region: FreeRegion) -> Motion:
    nan = float("nan")
    return Motion(
        region=region, entered=None, furthest_deg=nan, seated_deg=nan, play_mm=nan, hold_mm=nan,
        back_deg=nan, seated_back_deg=nan, narrowest_mm=nan, path=(),
    )  # fmt: skip


def _seated(piece: Polygon) -> float:
    low = piece.bounds[1]
    if low > _TOUCH:
        return float("nan")
    at_mouth = piece.intersection(shapely.box(piece.bounds[0], -1.0, piece.bounds[2], _TOUCH))
    return float(at_mouth.bounds[2])


def _seated_back(piece: Polygon) -> float:
    """Length of the last stretch of turn with the shoulder on the mouth [deg]."""
    low, _, high, _ = piece.bounds
    cut = piece.intersection(LineString([(low - 1.0, _TOUCH), (high + 1.0, _TOUCH)]))
    spans = [part.bounds for part in getattr(cut, "geoms", [cut]) if not part.is_empty]
    start, end = max(((b[0], b[2]) for b in spans), key=lambda span: span[1], default=(0.0, 0.0))
    return float(end - max(start, 0.0))


def _column(piece: Polygon, phi: float) -> tuple[float, float]:
    """Lowest stretch of free lift at a turn: (from, to); both 0 where only touching."""
    line = LineString([(phi, piece.bounds[1] - 1.0), (phi, piece.bounds[3] + 1.0)])
    cut = piece.intersection(line)
    parts = list(getattr(cut, "geoms", [cut]))
    spans = sorted((part.bounds[1], part.bounds[3]) for part in parts if not part.is_empty)
    return spans[0] if spans else (0.0, 0.0)


def _turning_columns(piece: Polygon, window: Window) -> list[tuple[float, float, float]]:
    """Free lift (phi, from, to) at and beside each corner, from lock back to the slot."""
    corners = {phi for phi, _ in piece.exterior.coords if phi >= 0.0}
    beside = sorted((phi + side for phi in corners for side in (_STEP, 0.0, -_STEP)), reverse=True)
    columns = []
    for phi in beside:
        if not 0.0 <= phi <= piece.bounds[2]:
            continue
        low, top = _column(piece, phi)
        if top >= window.lift_mm - _TOUCH:
            break
        columns.append((phi, low, top))
    return columns


def _back(turning: list[tuple[float, float, float]], furthest: float) -> float:
    """How far a plug pushed out at lock turns back before it must dip [deg].

    It follows the roof: what stops it is a roof that comes down again, a detent.
    """
    phi_at, height = furthest, -1.0
    for phi, _, top in turning:
        if height >= 0.0 and top < height - _TOUCH - _STEEPEST * (phi_at - phi):
            return furthest - phi_at
        phi_at, height = phi, max(height, top)
    return furthest


def _path(
    piece: Polygon, turning: list[tuple[float, float, float]], window: Window
) -> tuple[Pose, ...]:
    """Midway between roof and floor, then straight out of the slot at phi = 0, or round about."""
    middle = [(phi, (low + top) / 2.0) for phi, low, top in reversed(turning)]
    start_lift = middle[0][1] if middle else piece.bounds[1]
    poses = [(0.0, window.lift_mm), (0.0, start_lift), *middle]
    path = _thinned(poses)
    if piece.buffer(_PATH_ROOM).covers(LineString(path)):
        return tuple(path)
    goal = max(piece.exterior.coords, key=lambda pose: (round(pose[0], 7), -pose[1]))
    return way_between(piece, _opening(piece, window), (float(goal[0]), float(goal[1])))


def _opening(piece: Polygon, window: Window) -> Pose:
    """Middle of the first stretch of the window's top that the piece reaches."""
    top = [phi for phi, lift in piece.exterior.coords if lift >= window.lift_mm - _TOUCH]
    inner = min(top, key=abs)
    return float(inner), window.lift_mm


def _thinned(poses: list[Pose]) -> list[Pose]:
    """Drop poses that differ from the one before by no more than the step beside a corner."""
    kept = poses[:1]
    for pose in poses[1:]:
        if max(abs(pose[0] - kept[-1][0]), abs(pose[1] - kept[-1][1])) > 4 * _STEP:
            kept.append(pose)
    kept[-1] = poses[-1]
    return kept


def poses_along(path: tuple[Pose, ...], count: int) -> tuple[Pose, ...]:
    """Poses evenly spread along a path, both ends and every corner included.

    Parameters
    ----------
    path : tuple of (phi, delta)
    count : int
        Least number of poses.

    Returns
    -------
    tuple of (phi, delta)
    """
    points = np.asarray(path)
    run = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(points, axis=0).T))])
    at = np.unique(np.concatenate([run, np.linspace(0.0, run[-1], count)]))
    phi, delta = (np.interp(at, run, values) for values in points.T)
    return tuple(zip(phi.tolist(), delta.tolist(), strict=True))
