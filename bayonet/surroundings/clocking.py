"""Which clockings and tilts clear: the same distances at other placings of the socket.

A tilt leans the axis about the spot on the wall, the mouth staying as far from it as it is.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bayonet.surroundings import way
from bayonet.surroundings.boxes import BoxTree, tree
from bayonet.surroundings.closest import between
from bayonet.surroundings.convex import Body, Swing, Turned, without_hidden
from bayonet.surroundings.envelope import to_bodies
from bayonet.surroundings.measure import triple
from bayonet.tank import ClearMap, Frame, Hand, Proposal, frame_at

Array = NDArray[np.float64]

ERROR_MM = 0.2
"""How well the map is known [mm]."""

OWN_ERROR_MM = 0.5
"""The same with a valve's own mesh, its turn in chords included [mm]."""

_CLOCKS_DEG, _DIRECTIONS_DEG = 10.0, 30.0
_COARSE_CLOCKS_DEG, _COARSE_DIRECTIONS_DEG = 15.0, 45.0  # of a valve's own mesh
_RINGS = 4
_OWN_REACH = 2.0  # distances asked for, beyond which a valve's own mesh is not looked at
_STARTS_DEG = 30.0


@dataclass(frozen=True, kw_only=True)
class Placing:
    """What is placed and where from.

    Parameters
    ----------
    valve : Valve
    sweeps : tuple of array, shape (n, 3, 3)
        What a valve's own mesh sweeps, fitting's coordinates [mm].
    hand : Hand or None
    frame : Frame
        As asked for.
    clock_deg, proud_mm : float
        Of it [deg, mm].
    """

    valve: way.Valve
    sweeps: tuple[Array, ...]
    hand: Hand | None
    frame: Frame
    clock_deg: float
    proud_mm: float

    def at(self, *, clock_deg: float, tilt: tuple[float, float]) -> Frame:
        """The fitting's frame at another clocking and tilt (amount, direction) [deg]."""
        z = np.array(self.frame.z)
        spot = np.array(self.frame.origin) - self.proud_mm * z
        level = frame_at(spot, z)
        amount, to = np.radians(tilt)
        lean = np.cos(to) * np.array(level.x) + np.sin(to) * np.array(level.y)
        out = np.cos(amount) * z + np.sin(amount) * lean
        return frame_at(spot + self.proud_mm * out, out, clock_deg=clock_deg)


def clear_map(
    near: BoxTree | None, placing: Placing, *, cap_mm: float, clear_mm: float,
    tilt_deg: float, progress: Callable[[str], None],
) -> ClearMap:  # fmt: skip
    """Least distances over clockings and tilts.

    Parameters
    ----------
    near : BoxTree or None
        What stands round the tank, and the tank itself, within reach.
    placing : Placing
    cap_mm : float
        Greater distances are not told apart [mm].
    clear_mm : float
        Least distance asked for [mm].
    tilt_deg : float
        Greatest tilt [deg].
    progress : callable

    Returns
    -------
    ClearMap
        With a valve's own mesh no cell tells more than twice the distance asked for, and the mesh
        is measured only where it matters: where its round outline clears, or where something
        else does not, the cell holds that distance.
    """
    cells = _Cells(placing, cap_mm, clear_mm)
    turns = cells.depends_on_clock
    own = bool(placing.sweeps)
    step = _COARSE_CLOCKS_DEG if own else _CLOCKS_DEG
    clocks = np.arange(0.0, 360.0, step).tolist() if turns else [0.0]
    clocks = sorted({*clocks, placing.clock_deg % 360.0})
    tilts = tuple(_tilts(tilt_deg, _COARSE_DIRECTIONS_DEG if own else _DIRECTIONS_DEG))
    rows = []
    for number, tilt in enumerate(tilts):
        progress(f"clockings at tilt {number + 1} of {len(tilts)}")
        rows.append(cells.row(near, tilt, clocks))
    return ClearMap(
        clocks_deg=tuple(clocks), tilts=tilts, distance_mm=tuple(rows), cap_mm=cells.cap,
        error_mm=OWN_ERROR_MM if own else ERROR_MM, depends_on_clock=turns,
    )  # fmt: skip


def _tilts(most_deg: float, step_deg: float) -> Iterator[tuple[float, float]]:
    yield (0.0, 0.0)
    if most_deg > 0.0:
        for ring in range(1, _RINGS + 1):
            for to in np.arange(0.0, 360.0, step_deg).tolist():
                yield (most_deg * ring / _RINGS, to)


def reach_mm(placing: Placing) -> float:
    """Farthest point of valve and hand from the mouth's middle, over the whole way [mm]."""
    valve, held = placing.valve, placing.hand
    bodies = [*way.insertion(valve), *way.seated(valve)]
    bodies += [] if held is None else way.hand(valve, held, start_deg=0.0)
    far = [max(np.hypot(r, z) for r, z in b.outline) for b in bodies if isinstance(b, Turned)]
    far += [np.hypot(b.reach_mm + b.round_mm, max(abs(b.from_mm), abs(b.to_mm)))
            for b in bodies if isinstance(b, Swing)]  # fmt: skip
    far += [float(np.linalg.norm(swept, axis=2).max()) for swept in placing.sweeps]
    return float(max(far))


class _Cells:
    def __init__(self, placing: Placing, cap: float, clear: float) -> None:
        own = _OWN_REACH * max(clear, ERROR_MM) if placing.sweeps else cap
        self.placing, self.cap, self.clear = placing, min(cap, own), clear
        valve, held = placing.valve, placing.hand
        whole = [*way.insertion(valve), *way.turn(valve), *way.seated(valve)]
        bare = [] if held is None else list(way.hand(valve, held, start_deg=0.0))
        self.round = without_hidden([b for b in (*whole, *bare) if isinstance(b, Turned)])
        self.arms = tuple(b for b in whole if not isinstance(b, Turned))
        self.outline = without_hidden(way.outline(valve))
        self.swept = tuple(tree(one) for one in placing.sweeps)
        self.bars = held is not None and way.has_bars(held)
        self.start = 0.0

    @property
    def depends_on_clock(self) -> bool:
        return bool(self.arms or self.placing.sweeps) or (
            self.placing.hand is not None and self.bars and not self.placing.hand.free
        )

    def row(self, near: BoxTree | None, tilt: tuple[float, float], clocks: list[float]
            ) -> tuple[float, ...]:  # fmt: skip
        if near is None:
            return (self.cap,) * len(clocks)
        frame = self.placing.at(clock_deg=0.0, tilt=tilt)
        common = self._least(near, self.round, frame, self.cap)
        held = self.placing.hand
        if self.bars and held is not None and held.free:
            common = self._best_start(near, held, frame, common)
        if not self.depends_on_clock:
            return (common,) * len(clocks)
        matters = common >= self.clear and bool(self.swept)
        plain = self._least(near, self.outline, frame, common) if matters else common
        close = self._close(near, frame, common) if plain < self.clear and matters else None
        values = []
        for clock in clocks:
            here = self.placing.at(clock_deg=clock, tilt=tilt)
            value = self._turned(near, here, common)
            if close is not None:
                value = self._own_mesh(close, here, value)
            elif matters:
                value = min(value, plain)
            values.append(value)
        return tuple(values)

    def _close(self, near: BoxTree, frame: Frame, reach: float) -> Array | None:
        """Triangles that may come within a reach of the valve at any clocking."""
        middle = frame.to_fitting(near.middle[0])
        radius = np.linalg.norm(near.half[0], axis=1) + reach
        swept = np.concatenate([one.corners.reshape(-1, 3) for one in self.swept])
        out = np.hypot(middle[:, 0], middle[:, 1]) - np.hypot(swept[:, 0], swept[:, 1]).max()
        over = np.maximum(-middle[:, 2], middle[:, 2] - swept[:, 2].max())
        there = (out < radius) & (over < radius)
        return near.corners[there] if there.any() else None

    def _own_mesh(self, close: Array, frame: Frame, value: float) -> float:
        theirs = tree(frame.to_fitting(close))
        for swept in self.swept:
            found = between(theirs, swept, within_mm=value, tolerance_mm=OWN_ERROR_MM - ERROR_MM)
            value = min(value, found.distance_mm)
            if value < self.clear:
                break
        return float(value)

    def _turned(self, near: BoxTree, frame: Frame, most: float) -> float:
        value = self._least(near, self.arms, frame, most)
        held, valve = self.placing.hand, self.placing.valve
        if self.bars and held is not None and not held.free:
            start = -valve.sign * valve.turn_deg
            bars = way.hand(valve, held, start_deg=start, bars=True)
            value = self._least(near, bars, frame, value)
        return value

    def _best_start(self, near: BoxTree, held: Hand, frame: Frame, most: float) -> float:
        """Of the angles a free bar may start at; ends once one leaves as much room as the rest."""
        best = -np.inf
        starts = np.arange(0.0, 360.0, _STARTS_DEG)
        for start in (starts[np.argsort((starts - self.start) % 360.0, kind="stable")]).tolist():
            bars = way.hand(self.placing.valve, held, start_deg=start, bars=True)
            value = self._least(near, bars, frame, most)
            if value > best:
                best, self.start = value, start
            if best >= most:
                break
        return float(min(best, most))

    def _least(self, near: BoxTree, bodies: Sequence[Body], frame: Frame, most: float) -> float:
        found, _ = to_bodies(near, bodies, frame, within_mm=most, tolerance_mm=ERROR_MM)
        return float(min(most, found.distance_mm))


def proposals(found: ClearMap, placing: Placing, clear_mm: float) -> tuple[Proposal, ...]:
    """Up to three placings that clear: least turned, least tilted, and with most room.

    Parameters
    ----------
    found : ClearMap
    placing : Placing
    clear_mm : float
        Least distance asked for [mm].
    """
    here = placing.clock_deg % 360.0
    good = [
        (tilt, clock, value)
        for tilt, row in zip(found.tilts, found.distance_mm, strict=True)
        for clock, value in zip(found.clocks_deg, row, strict=True)
        if value >= clear_mm
    ]
    if not good:
        return ()

    def off(clock: float) -> float:
        return min((clock - here) % 360.0, (here - clock) % 360.0)

    picks = [
        min(good, key=lambda g: (g[0][0], off(g[1]), -g[2])),
        min(good, key=lambda g: (off(g[1]), g[0][0], -g[2])),
        max(good, key=lambda g: (min(g[2], found.cap_mm), -g[0][0], -off(g[1]))),
    ]
    made = []
    for tilt, clock, value in dict.fromkeys(picks):
        frame = placing.at(clock_deg=clock, tilt=tilt)
        made.append(Proposal(
            clock_deg=clock, toward=triple(np.array(frame.z)), tilt_deg=tilt[0],
            tilt_to_deg=tilt[1], distance_mm=value,
        ))  # fmt: skip
    return tuple(made)
