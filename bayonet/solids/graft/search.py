"""The nearest place on a face that takes a boss, where the one asked for does not."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator

import numpy as np
from cadquery import Vertex

from bayonet.errors import BayonetError
from bayonet.parts import Socket
from bayonet.solids.graft.join import foot_radius_mm, plain, stand
from bayonet.solids.graft.room import distance, room, wall_edges
from bayonet.solids.graft.spot import Spot, on_face, reach_of
from bayonet.solids.graft.tank import Tank
from bayonet.solids.kernel import guarded
from bayonet.tank import Triple, Wishes, frame_at

_RINGS, _WAYS, _MOST_TRIED = 14, 16, 16


@guarded("looking for a place that works")
def nearest(
    tank: Tank,
    spot: Spot,
    socket: Socket,
    wishes: Wishes,
    *,
    shoulder_mm: tuple[float, float],
    gap_mm: float,
    progress: Callable[[str], None],
) -> tuple[Triple, float] | None:
    """Try places round a spot, the nearest first, by the same distances as the findings.

    Returns
    -------
    ((float, float, float), float) or None
        A point for ``at``, rounded to 0.1 mm, and its distance from the spot [mm]; None where
        none of the places tried works.
    """
    socket = plain(socket)
    radius = foot_radius_mm(socket, wishes)
    host = tank.solids[spot.solid].solid
    edges = wall_edges(host, (spot.face,))
    tried = 0
    for candidate in _around(spot, radius / 3.0):
        vertex = Vertex.makeVertex(*candidate.point)
        if distance(vertex, edges) < radius + gap_mm:
            continue
        tried += 1
        if tried > _MOST_TRIED:
            return None
        progress(f"looking for a place that works, try {tried}")
        if _works(tank, candidate, socket, wishes, shoulder_mm=shoulder_mm, gap_mm=gap_mm):
            return candidate.point, math.dist(candidate.point, spot.point)
    return None


def _works(
    tank: Tank,
    spot: Spot,
    socket: Socket,
    wishes: Wishes,
    *,
    shoulder_mm: tuple[float, float],
    gap_mm: float,
) -> bool:
    try:
        where = stand(tank, spot, socket, wishes, shoulder_mm=shoulder_mm[0])
    except BayonetError:
        return False
    if not where.wall.is_whole:
        return False
    others = [
        (one.name, solid)
        for i, (one, solid) in enumerate(zip(tank.solids, where.solids, strict=True))
        if i != spot.solid
    ]
    found = room(where.solids[spot.solid], others, socket, where, shoulder_mm=shoulder_mm,
                 reach_mm=reach_of(tank))  # fmt: skip
    gaps = (found.seam_mm, found.opening_mm, found.other_wall_mm, found.other_solid_mm,
            found.within_mm)  # fmt: skip
    free = found.inside_mm >= socket.bore[-1][0] / 2.0
    return found.blocked == 0.0 and free and all(gap >= gap_mm for gap in gaps)


def _around(spot: Spot, step_mm: float) -> Iterator[Spot]:
    """Places on the same face, nearest first."""
    frame = frame_at(spot.point, spot.normal)
    angles = 2.0 * math.pi * np.arange(_WAYS) / _WAYS
    seen: set[Triple] = set()
    found: list[tuple[float, Spot]] = []
    for ring in range(1, _RINGS + 1):
        for angle in angles.tolist():
            local = [ring * step_mm * math.cos(angle), ring * step_mm * math.sin(angle), 0.0]
            placed = on_face(spot, frame.to_tank(local), farthest_mm=ring * step_mm)
            if placed is not None and placed.point not in seen:
                seen.add(placed.point)
                found.append((math.dist(placed.point, spot.point), placed))
    found.sort(key=lambda row: (round(row[0], 3), row[1].point))
    yield from (placed for _, placed in found)
