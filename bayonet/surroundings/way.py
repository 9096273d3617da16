"""The valve's way in as convex bodies: insertion, turn, seat, and the hand that turns it.

The valve in plain shapes: round parts and arms. A valve's own mesh is in `sweep`.
Everything is in the fitting's coordinates; what is still inside the socket is left out, for there
only the socket is near.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bayonet.parts import Plug
from bayonet.surroundings.convex import Body, cone, swings, without_hidden
from bayonet.surroundings.convex import outside as over_mouth
from bayonet.tank import Arm, Hand, HandPart, RoundPart

Pair = tuple[float, float]
Array = NDArray[np.float64]

_SLICES, _SECTORS = 24, 36


@dataclass(frozen=True, kw_only=True)
class Valve:
    """What goes in.

    Parameters
    ----------
    parts : tuple of RoundPart
        Heights over the mouth face as locked; below it: what is in the socket then.
    arms : tuple of Arm
    turn_deg : float
        From entry to lock [deg].
    sign : int
        +1 where turning to lock increases theta.
    ramp_mm : float
        Lift of the shoulder at which the turn begins [mm].
    travel_mm : float
        Lift at which the way in begins [mm].
    outer, held : tuple of RoundPart
        Of a mesh: its outer size in slices, and the size a hand or tool holds.
    """

    parts: tuple[RoundPart, ...]
    arms: tuple[Arm, ...]
    turn_deg: float
    sign: int
    ramp_mm: float
    travel_mm: float
    outer: tuple[RoundPart, ...] = ()
    held: tuple[RoundPart, ...] = ()

    @property
    def top_mm(self) -> float:
        """Its outermost height, as locked [mm]."""
        tops = [part.to_mm for part in (*self.parts, *self.outer)]
        return max(*tops, *(arm.to_mm for arm in self.arms))

    def radius_mm(self, low: float, high: float) -> float:
        """Its greatest radius between two heights; of all of it outside where none is there."""
        outside = [part for part in (*self.parts, *self.held) if part.to_mm > 0.0]
        there = [part for part in outside if part.from_mm < high and part.to_mm > low]
        return max(max(p.from_radius_mm, p.to_radius_mm) for p in there or outside)


def plug_parts(plug: Plug) -> tuple[RoundPart, ...]:
    """The measured plug as round parts: shoulder, and body or lugs below it."""
    lugs = max(lug.outer_radius_mm for lug in plug.lugs)
    low, high = plug.lug_span_mm
    under = -plug.stands_off_mm
    rows = [(under - plug.shoulder_thickness_mm, under, plug.shoulder_radius_mm)]
    rows.append((low, high, lugs))
    rows += [(step.from_depth_mm, step.to_depth_mm, step.radius_mm) for step in plug.body]
    return tuple(
        RoundPart(from_mm=-end, to_mm=-start, from_radius_mm=radius, to_radius_mm=radius)
        for start, end, radius in rows
        if end > start
    )


def sizes_of(points_mm: Array) -> tuple[tuple[RoundPart, ...], tuple[RoundPart, ...]]:
    """The outer size of a mesh over the mouth face in slices, and the size a hand holds.

    What stands out over less than half the way round, as a connector does, is not held.

    Parameters
    ----------
    points_mm : array, shape (n, 3)
        Points spread over the mesh, fitting's coordinates [mm].
    """
    points = points_mm[points_mm[:, 2] >= 0.0]
    top = float(points[:, 2].max())
    edges = np.linspace(0.0, top, _SLICES + 1)
    radius = np.hypot(points[:, 0], points[:, 1])
    slices = np.minimum((points[:, 2] / top * _SLICES).astype(int), _SLICES - 1)
    turn = np.arctan2(points[:, 1], points[:, 0]) / (2.0 * np.pi) + 0.5
    sector = np.minimum((turn * _SECTORS).astype(int), _SECTORS - 1)
    most = np.zeros((_SLICES, _SECTORS))
    np.maximum.at(most, (slices, sector), radius)
    outer, held = most.max(axis=1), np.median(most, axis=1)
    rows = list(zip(edges.tolist(), edges[1:].tolist(), strict=False))
    return _slices(rows, outer), _slices(rows, held)


def _slices(rows: list[Pair], radius: Array) -> tuple[RoundPart, ...]:
    return tuple(
        RoundPart(from_mm=low, to_mm=high, from_radius_mm=r, to_radius_mm=r)
        for (low, high), r in zip(rows, radius.tolist(), strict=True)
        if r > 0.0
    )


def ramp_of(plug: Plug) -> float:
    """Advance of the steepest lug over the turn [mm]."""
    return max(0.0, *(lug.lead_mm_per_rev * plug.turn_deg / 360.0 for lug in plug.lugs))


def seated(valve: Valve) -> tuple[Body, ...]:
    """The valve as locked."""
    return without_hidden(tuple(_bodies(valve, (0.0, 0.0), (0.0, 0.0))))


def insertion(valve: Valve) -> tuple[Body, ...]:
    """All the valve sweeps on its way along the axis, at the angle of entry."""
    back = -valve.sign * valve.turn_deg
    return without_hidden(tuple(_bodies(valve, (valve.ramp_mm, valve.travel_mm), (back, back))))


def turn(valve: Valve) -> tuple[Body, ...]:
    """All it sweeps in the turn, the ramp's lift taken at every angle."""
    return without_hidden(
        tuple(_bodies(valve, (0.0, valve.ramp_mm), (-valve.sign * valve.turn_deg, 0.0)))
    )


def at(valve: Valve, *, lift_mm: float, turned_deg: float) -> tuple[Body, ...]:
    """The valve at one place of its way."""
    angle = valve.sign * (turned_deg - valve.turn_deg)
    return without_hidden(tuple(_bodies(valve, (lift_mm, lift_mm), (angle, angle))))


def hand(valve: Valve, held: Hand, *, start_deg: float, bars: bool = False) -> tuple[Body, ...]:
    """A hand or tool over the turn.

    Parameters
    ----------
    valve : Valve
    held : Hand
    start_deg : float
        Theta at which its bars start [deg].
    bars : bool
        Only its bars.
    """
    swing = valve.turn_deg if held.swing_deg is None else min(held.swing_deg, valve.turn_deg)
    end = start_deg + valve.sign * swing
    found: list[Body] = []
    for part in held.parts:
        if bars and part.reach_mm is None:
            continue
        found += _held(valve, part, start_deg, end)
    return without_hidden(found)


def outline(valve: Valve) -> tuple[Body, ...]:
    """A round outline of the valve's outer size over its whole way, at any angle."""
    return tuple(
        cone("valve", (part.from_radius_mm, part.from_mm), (part.to_radius_mm, part.to_mm),
             lift_mm=(0.0, valve.travel_mm))
        for part in valve.outer
    )  # fmt: skip


def has_bars(held: Hand) -> bool:
    """Whether it matters where a hand or tool starts."""
    return any(part.reach_mm is not None for part in held.parts)


def _held(valve: Valve, part: HandPart, start: float, end: float) -> tuple[Body, ...]:
    base = valve.top_mm if part.base == "top" else 0.0
    low, high = max(base + part.from_mm, 0.5), base + part.to_mm + valve.ramp_mm
    if not high > low:
        return ()
    if part.reach_mm is not None and part.width_mm is not None:
        turned = 180.0 if part.reach_mm < 0.0 else 0.0
        return swings(
            part.name, reach_mm=abs(part.reach_mm), width_mm=part.width_mm, heights_mm=(low, high),
            from_deg=start + turned, to_deg=end + turned,
        )  # fmt: skip
    radius = part.radius_mm
    if radius is None:
        radius = valve.radius_mm(low, high) + (part.beyond_mm or 0.0)
    return (cone(part.name, (radius, low), (radius, high)),)


def _bodies(valve: Valve, lift: Pair, angle: Pair) -> Iterator[Body]:
    for part in valve.parts:
        name = "valve" if part.to_mm > 0.0 else "plug"
        body = over_mouth(
            cone(name, (part.from_radius_mm, part.from_mm), (part.to_radius_mm, part.to_mm),
                 lift_mm=lift)
        )  # fmt: skip
        if body is not None:
            yield body
    for arm in valve.arms:
        yield from swings(
            "arm", reach_mm=arm.reach_mm, width_mm=arm.width_mm,
            heights_mm=(max(arm.from_mm + lift[0], 0.0), arm.to_mm + lift[1]),
            from_deg=arm.at_deg + angle[0], to_deg=arm.at_deg + angle[1],
        )  # fmt: skip
