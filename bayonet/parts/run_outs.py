"""Where a mill runs out beyond the corners of slots and stops, and what metal is left beside."""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from bayonet.parts.joint import Joint, Relief
from bayonet.parts.socket import Track

Array = NDArray[np.float64]


def reliefs(track: Track, mill_mm: float) -> tuple[Relief, ...]:
    """Where the mill runs out beyond the corners of a track: both sides of its slot, its stop.

    Parameters
    ----------
    track : Track
    mill_mm : float
        Radius of the mill [mm].

    Returns
    -------
    tuple of Relief
    """
    wall = track.outer_radius_mm
    rows = (
        ("far side", track.slot, track.top_mm),
        ("near side", track.slot, track.top_mm),
        ("stop", track.end, _under_the_roof_mm(track, wall - 2.0 * mill_mm)),
    )
    return tuple(
        Relief(what=what, side=side, wall_mm=wall, mill_mm=mill_mm, top_mm=top)
        for what, side, top in rows
    )


def _under_the_roof_mm(track: Track, from_mm: float) -> float:
    """A depth under which no roof reaches before the stop, outside a radius [mm]."""
    (before, high), (last, low) = track.roof[-2:]
    furthest = float(track.end.at(max(from_mm, track.inner_radius_mm)))
    runs_on = (low - high) / (last - before) * max(furthest - last, 0.0)
    return max(depth for _, depth in track.roof) + max(runs_on, 0.0)


def reach_mm(tracks: tuple[Track, ...], mill_mm: float) -> float:
    """Greatest radius slots, tracks and their reliefs reach [mm]."""
    return max(one.reach_mm for track in tracks for one in reliefs(track, mill_mm))


def places_of(track: Track, mill_mm: float, sign: int) -> Iterator[tuple[Relief, Array]]:
    """Each relief of a track with its middle in x, y [mm]."""
    for one in reliefs(track, mill_mm):
        angle = math.radians(track.centre_deg + sign * one.angle_deg)
        yield one, one.radius_mm * np.array([math.cos(angle), math.sin(angle)])


def webs(joint: Joint, tracks: tuple[Track, ...], sign: int) -> dict[str, float]:
    """Metal left in plan view between what is cut, by what it stands between [mm].

    Parameters
    ----------
    joint : Joint
    tracks : tuple of Track
    sign : {1, -1}

    Returns
    -------
    dict of str to float
        Negative where they run into each other.
    """
    cap, ring = joint.bolts, joint.ring_radius_mm
    places, wall = cap.places(), max(track.outer_radius_mm for track in tracks)
    through = [
        (at, one.mill_mm)
        for track in tracks
        for one, at in places_of(track, joint.mill_radius_mm, sign)
    ]

    def to_slots(at: Array, radius: float) -> float:
        beside = min(float(np.linalg.norm(at - middle)) - mill for middle, mill in through)
        return min(beside, float(np.linalg.norm(at)) - wall) - radius

    rows = {
        "bolts and slots": min(to_slots(at, cap.head_radius_mm) for at in places),
        "bolts and the ring's edge": ring - cap.circle_radius_mm - cap.head_radius_mm,
        "bolts": 2.0 * cap.circle_radius_mm * math.sin(math.pi / cap.count)
        - 2.0 * cap.head_radius_mm,
    }
    dowel = joint.dowel
    if dowel is not None:
        at = dowel.place()
        rows["dowel and slots"] = to_slots(at, dowel.radius_mm)
        rows["dowel and bolts"] = (
            min(float(np.linalg.norm(at - bolt)) for bolt in places)
            - dowel.radius_mm - cap.head_radius_mm
        )  # fmt: skip
        rows["dowel and the ring's edge"] = ring - dowel.circle_radius_mm - dowel.radius_mm
    seal = joint.seal
    if seal is not None:
        rows["seal groove and slots"] = seal.inner_radius_mm - reach_mm(
            tracks, joint.mill_radius_mm
        )
        hole = max(cap.hole_radius_mm, 0.0 if dowel is None else dowel.radius_mm)
        rows["seal groove and bolts"] = cap.circle_radius_mm - hole - seal.outer_radius_mm
    return rows
