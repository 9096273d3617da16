"""What stays in a tank below a passage, or above it, given the direction of gravity."""

from __future__ import annotations

import math

import numpy as np
from cadquery import Shape, Solid, Vector
from numpy.typing import NDArray

from bayonet.solids.graft.columns import circle
from bayonet.solids.graft.join import Grafted, moved
from bayonet.solids.graft.measures import contains, hollow_solids
from bayonet.solids.graft.tank import volume_of
from bayonet.solids.kernel import guarded
from bayonet.tank import Drain, Triple, frame_at

_ANGLES = 72
_LEAST_MM = 1e-6


@guarded("measuring what stays in the tank")
def drain(grafted: Grafted, *, down: Triple) -> Drain | None:
    """Levels and volumes; None where the passage does not end in a closed hollow.

    Parameters
    ----------
    grafted : Grafted
    down : (float, float, float)
        Direction of gravity, tank coordinates.
    """
    rim = _rim(grafted)
    start = rim.mean(axis=0) - np.array([0.0, 0.0, 1.0])
    hollow = next(
        (one for one in hollow_solids(grafted.before) if contains(one, tuple(start))), None
    )
    if hollow is None:
        return None
    turn = grafted.frame.matrix()[:3, :3]
    up = -np.asarray(down, dtype=float) / np.linalg.norm(down)
    local = up @ turn
    upright = moved(hollow, frame_at((0.0, 0.0, 0.0), local))
    heights = rim @ local
    box = upright.BoundingBox()
    low, high = float(heights.min()), float(heights.max())
    return Drain(
        below_mm=max(0.0, low - box.zmin),
        above_mm=max(0.0, box.zmax - high),
        below_mm3=_slice(upright, box.zmin - 1.0, low),
        above_mm3=_slice(upright, high, box.zmax + 1.0),
        slope_deg=math.degrees(math.asin(max(-1.0, min(1.0, float(local[2]))))),
    )


def _rim(grafted: Grafted) -> NDArray[np.float64]:
    """Points of the passage's edge inside the tank, fitting's frame [mm]."""
    socket, where = grafted.socket, grafted.stand
    wall = where.look(circle(socket.bore[-1][0], points=_ANGLES))
    depth = np.minimum(wall.inside, -socket.boss_height_mm)
    return np.column_stack([wall.disc.xy, depth])


def _slice(body: Shape, low: float, high: float) -> float:
    if high - low <= _LEAST_MM:
        return 0.0
    box = body.BoundingBox()
    corner = Vector(box.xmin - 1.0, box.ymin - 1.0, low)
    slab = Solid.makeBox(box.xlen + 2.0, box.ylen + 2.0, high - low, corner)
    return sum(volume_of(one) for one in body.intersect(slab).Solids())
