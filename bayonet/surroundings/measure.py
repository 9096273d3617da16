"""Closest places of tank, valve and hand to what stands round them."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bayonet.surroundings import way
from bayonet.surroundings.boxes import BoxTree
from bayonet.surroundings.closest import TOLERANCE_MM, Ball, Nearest, between
from bayonet.surroundings.convex import Body
from bayonet.surroundings.envelope import to_bodies
from bayonet.surroundings.reading import Around
from bayonet.tank import Frame, Hand, Place, Step, Triple

Array = NDArray[np.float64]
Progress = Callable[[str], None]

PLACES = 3
"""Most places listed for each thing and file."""

LOOKED = 6.0
"""How far is looked, in limits; farther counts as nothing near."""

STEP_ERROR_MM = 0.02
"""Greatest error of the clearances along the way in [mm]."""

_APART_MM = 25.0
_RIM = 1.05
_STARTS_DEG = 10.0
_LIFTS, _TURNS = 31, 13


@dataclass(frozen=True, kw_only=True)
class Thing:
    """Something that must stay clear, and by what it is measured.

    Parameters
    ----------
    body : str
        ``tank``, ``insertion``, ``turn``, ``seated`` or ``hand``.
    bodies : tuple of Body
        Convex, in the fitting's coordinates.
    mesh : BoxTree or None
        Triangles in the tank's coordinates.
    mesh_part : str
        What they are.
    """

    body: str
    bodies: tuple[Body, ...] = ()
    mesh: BoxTree | None = None
    mesh_part: str = ""


def nearest(
    theirs: BoxTree, thing: Thing, frame: Frame, *, within_mm: float,
    tolerance_mm: float = TOLERANCE_MM, without: tuple[Ball, ...] = (),
) -> tuple[Nearest, str]:  # fmt: skip
    """The nearest place of a thing to triangles, and its part."""
    found, part = to_bodies(theirs, thing.bodies, frame, within_mm=within_mm,
                            tolerance_mm=tolerance_mm, without=without)  # fmt: skip
    if thing.mesh is not None:
        other = between(theirs, thing.mesh, within_mm=min(within_mm, found.distance_mm),
                        tolerance_mm=tolerance_mm, without=without)  # fmt: skip
        if other.distance_mm < found.distance_mm:
            return other, thing.mesh_part
    return found, part


def places(
    around: Around, thing: Thing, frame: Frame, *, within_mm: float, count: int = PLACES
) -> tuple[Place, ...]:
    """The closest places of a thing, each apart from the ones before.

    Parameters
    ----------
    around : Around
    thing : Thing
    frame : Frame
    within_mm : float
        Farther places do not count, but the first is looked for at any distance [mm].
    count : int

    Returns
    -------
    tuple of Place
        Nearest first.
    """
    found: list[Place] = []
    without: tuple[Ball, ...] = ()
    for _ in range(3 * count):
        reach = within_mm if found else np.inf
        near, part = nearest(around.tree, thing, frame, within_mm=reach, without=without)
        if not np.isfinite(near.distance_mm):
            break
        if not any(_on_rim(ball, near) for ball in without):
            found.append(_place(around, thing.body, part, near, frame))
            if len(found) == count:
                break
        without = (*without, Ball(middle=near.theirs, radius_mm=_APART_MM))
    return tuple(found)


def _on_rim(ball: Ball, near: Nearest) -> bool:
    """Whether a place is only where a place already known goes on."""
    return float(np.linalg.norm(near.theirs - ball.middle)) < _RIM * ball.radius_mm


def _place(around: Around, body: str, part: str, near: Nearest, frame: Frame) -> Place:
    theirs, ours = frame.to_fitting(near.theirs), frame.to_fitting(near.ours)
    return Place(
        body=body, part=part, file=around.about.file, distance_mm=near.distance_mm,
        error_mm=near.error_mm + around.about.error_mm, theirs=triple(near.theirs),
        ours=triple(near.ours), theirs_fitting=triple(theirs), ours_fitting=triple(ours),
    )  # fmt: skip


def triple(vector: Array) -> Triple:
    """A vector as three floats."""
    return (float(vector[0]), float(vector[1]), float(vector[2]))


def least(
    trees: Sequence[BoxTree], thing: Thing, frame: Frame, *, within_mm: float,
    tolerance_mm: float = TOLERANCE_MM,
) -> float:  # fmt: skip
    """Least distance of a thing to several heaps of triangles; inf beyond the reach [mm]."""
    found = np.inf
    for theirs in trees:
        near, _ = nearest(theirs, thing, frame, within_mm=min(within_mm, found),
                          tolerance_mm=tolerance_mm)  # fmt: skip
        found = min(found, near.distance_mm)
    return float(found)


def best_start(
    trees: Sequence[BoxTree], valve: way.Valve, held: Hand, frame: Frame, *, within_mm: float
) -> float:
    """Theta at which the bars of a free tool start with most room, in steps of 10 deg [deg].

    A hand without bars starts anywhere: 0.
    """
    if not way.has_bars(held):
        return 0.0
    if not held.free:
        return -valve.sign * valve.turn_deg
    starts = np.arange(0.0, 360.0, _STARTS_DEG).tolist()
    room = [
        least(trees, Thing(body="hand", bodies=way.hand(valve, held, start_deg=start, bars=True)),
              frame, within_mm=within_mm, tolerance_mm=0.1)
        for start in starts
    ]  # fmt: skip
    return float(starts[int(np.argmax(room))])


def steps(
    trees: Sequence[BoxTree], valve: way.Valve, at: Callable[[float, float], Thing], frame: Frame,
    *, within_mm: float,
) -> tuple[Step, ...]:  # fmt: skip
    """Clearance of the valve along its way in: along the axis, then the turn.

    Parameters
    ----------
    trees : sequence of BoxTree
    valve : Valve
    at : callable
        The valve at a lift [mm] and turn towards lock [deg].
    frame : Frame
    within_mm : float
    """
    lifts = np.linspace(valve.travel_mm, valve.ramp_mm, _LIFTS)
    turned = np.linspace(0.0, valve.turn_deg, _TURNS)[1:]
    way_in = [(float(lift), 0.0) for lift in lifts]
    way_in += [(valve.ramp_mm * (1.0 - t / valve.turn_deg), float(t)) for t in turned.tolist()]
    return tuple(
        Step(lift_mm=lift, turn_deg=angle,
             distance_mm=least(trees, at(lift, angle), frame, within_mm=within_mm,
                               tolerance_mm=STEP_ERROR_MM))
        for lift, angle in way_in
    )  # fmt: skip
