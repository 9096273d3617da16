"""What a disc cutter leaves of roof, stop and bearing, from its path. Plan view and depths only."""

from __future__ import annotations

import dataclasses
import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bayonet.designfile import SocketTable
from bayonet.developed.contour import depth_along, path_depths
from bayonet.mechanics import overcut_mm, swing_deg
from bayonet.parts import Cutter, CutterPath, Lug, Plug, Socket, Track
from bayonet.parts import cutter as cutters

Array = NDArray[np.float64]

_GRID = 181


@dataclass(frozen=True, kw_only=True)
class Cutting:
    """A cutter and the way it goes in each track.

    Parameters
    ----------
    cutter : Cutter
        As named, or as proposed.
    tracks : tuple of Track
        Each with its cutter's path, whether or not the socket is built so.
    lugs : tuple of Lug
        In the same order.
    """

    cutter: Cutter
    tracks: tuple[Track, ...]
    lugs: tuple[Lug, ...]

    @property
    def paths(self) -> tuple[CutterPath, ...]:
        """Path in each track."""
        return tuple(track.cut for track in self.tracks if track.cut is not None)


def plan(plug: Plug, socket: Socket, table: SocketTable) -> Cutting:
    """The cutter of the design file and its paths; where it names none, the proposed one.

    Parameters
    ----------
    plug : Plug
    socket : Socket
    table : SocketTable
        As read from the file.

    Returns
    -------
    Cutting
    """
    if table.cutter is not None:
        return Cutting(cutter=cutters.named(table.cutter), tracks=socket.tracks, lugs=plug.lugs)
    cutter = cutters.proposed(socket)
    tracks = tuple(
        dataclasses.replace(track, cut=cutters.path(track, lug, cutter))
        for track, lug in zip(socket.tracks, plug.lugs, strict=True)
    )
    return Cutting(cutter=cutter, tracks=tracks, lugs=plug.lugs)


def roof_depth(track: Track, angle_deg: Array, radius_mm: Array) -> Array:
    """Depth of the roof at angles from the slot's middle [deg] and radii [mm], as it is cut.

    Parameters
    ----------
    track : Track
        With a cutter's path, or sharp.
    angle_deg, radius_mm : array, broadcast
        Under the roof, not beyond the stop.

    Returns
    -------
    array
        [mm]. The envelope over the cutter's edge: on a roof that only goes down towards lock it is
        the path's depth one swing back.
    """
    angle, radius = np.broadcast_arrays(angle_deg, radius_mm)
    if track.cut is None:
        return depth_along(track.roof, angle)
    cut = track.cut
    back = np.clip(angle - cut.swing_deg(radius), cut.start_deg, cut.stop_deg)
    return depth_along(path_depths(track, cut), back)


def last_pass_lag_deg(radius_mm: Array, *, wall_mm: float, mill_mm: float) -> Array:
    """How far back along a roof milled from below its depth is taken from, at radii [deg].

    Close passes of a flat end mill leave a true helicoid: every radius is cut by the foremost
    point of some pass. The last pass must be true where it touches the wall, so that nothing is
    left there; all over its width the back of the mill then cuts a little too much.

    Parameters
    ----------
    radius_mm : array
        [mm].
    wall_mm, mill_mm : float
        Radius of the track's wall and of the mill [mm].

    Returns
    -------
    array
        [deg]; 0 inside the last pass.

    Examples
    --------
    A mill of radius 6 at 10, as `bayonet.mechanics.swing_deg`; at 3.9 it does not come.

    >>> last_pass_lag_deg(np.array([3.9, 8.0, 16.0]), wall_mm=16.0, mill_mm=6.0).round(2).tolist()
    [0.0, 36.87, 0.0]
    """
    radius = np.asarray(radius_mm, dtype=float)
    centre = wall_mm - mill_mm
    swing = swing_deg(radius, centre_mm=centre, cutter_radius_mm=mill_mm)
    return np.where(radius >= centre - mill_mm, swing, 0.0)


def bearing_mm2(
    lug: Lug,
    track: Track,
    *,
    turn_deg: float,
    within_mm: float,
    lag_deg: Callable[[Array], Array] | None = None,
) -> float:
    """Area of bearing flank no further from the roof than its nearest point and a little more.

    Parameters
    ----------
    lug : Lug
    track : Track
    turn_deg : float
        Turn of the plug from its inserted orientation [deg].
    within_mm : float
        Gap still counted as bearing [mm].
    lag_deg : callable or None
        How far back a sharp roof's depth is taken from at radii, see `last_pass_lag_deg`.

    Returns
    -------
    float
        [mm2].

    Examples
    --------
    On a dwell a disc leaves a true plane, so all of a flat lug bears; see
    `tests/developed/test_cutting.py`.
    """
    radii = np.linspace(track.inner_radius_mm, lug.outer_radius_mm, _GRID)
    half = np.asarray(lug.half.at(radii))
    low = np.maximum(turn_deg - half, np.asarray(track.slot.at(radii)))
    high = np.maximum(np.minimum(turn_deg + half, [track.reach_deg(r) for r in radii]), low)
    share = (np.arange(_GRID) + 0.5) / _GRID
    angle = low[:, None] + (high - low)[:, None] * share
    flank = lug.bearing_at(angle - turn_deg, radius_mm=radii[:, None])
    back = 0.0 if lag_deg is None else lag_deg(radii)[:, None]
    gap = flank - roof_depth(track, angle - back, radii[:, None])
    near = (gap - gap.min() <= within_mm).mean(axis=1)
    return float(np.trapezoid(near * np.radians(high - low) * radii, radii))


def bearing_from_mm(lug: Lug, track: Track, *, lead_mm_per_rev: float, within_mm: float) -> float:
    """Radius outside which the roof is overcut by no more than a limit [mm].

    Parameters
    ----------
    lug : Lug
    track : Track
        With a cutter's path.
    lead_mm_per_rev : float
    within_mm : float

    Returns
    -------
    float
        [mm]; the bore's radius where all of it is within.
    """
    radii = np.linspace(track.inner_radius_mm, lug.outer_radius_mm, 2001)
    over = overcut_profile(track, lug, radii, lead_mm_per_rev=lead_mm_per_rev)
    return float(radii[np.argmax(over <= within_mm)])


def overcut_profile(track: Track, lug: Lug, radii_mm: Array, *, lead_mm_per_rev: float) -> Array:
    """Overcut of the roof at each radius, 0 at the lug's outer edge [mm]."""
    assert track.cut is not None
    return overcut_mm(
        lead_mm_per_rev, radii_mm, centre_mm=track.cut.centre_mm,
        cutter_radius_mm=track.cut.radius_mm, true_radius_mm=lug.outer_radius_mm,
    )  # fmt: skip


def extra_travel_deg(track: Track, lug: Lug) -> float:
    """How much further the cutter goes than to touch the stop at the bore [deg].

    So much later its arc lets the lug's outer corner come home.
    """
    assert track.cut is not None
    inner = float(track.cut.swing_deg(track.inner_radius_mm))
    return inner - float(track.cut.swing_deg(lug.outer_radius_mm))


def gap_to_next_deg(tracks: tuple[Track, ...], sign: int) -> float:
    """Least angle at the bore between the arc at a stop and the next slot [deg]."""
    ordered = sorted(tracks, key=lambda track: sign * track.centre_deg)
    gaps = [
        (sign * (after.centre_deg - one.centre_deg)) % 360.0
        - one.reach_deg(one.inner_radius_mm)
        - float(after.slot.at(one.inner_radius_mm))
        for one, after in zip(ordered, [*ordered[1:], ordered[0]], strict=True)
    ]
    return min(gaps)


def passes(cutter: Cutter, tracks: tuple[Track, ...]) -> int:
    """Axial passes the cutter needs for the tallest part of the tracks."""
    return math.ceil(cutters.heights_mm(tracks)[1] / cutter.thickness_mm - 1e-9)
