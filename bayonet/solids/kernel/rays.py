"""Straight lines through solids: where they enter and leave material. No boolean operations."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
from cadquery import Face, Shape
from numpy.typing import ArrayLike, NDArray
from OCP.gp import gp_Dir, gp_Lin, gp_Pnt
from OCP.IntCurvesFace import IntCurvesFace_ShapeIntersector

Array = NDArray[np.float64]

_TOLERANCE_MM = 1e-7
_SAME_MM = 1e-6
_ASIDE = np.array([0.83, 0.55, -0.09]) * 3e-6


@dataclass(frozen=True)
class Hit:
    """A crossing: how far along the line [mm], and of which face."""

    distance_mm: float
    face: Face


Stretch = tuple[Hit, Hit]


@dataclass(frozen=True)
class Rays:
    """Casts lines through one shape; the kernel's preparation is done once."""

    _prepared: IntCurvesFace_ShapeIntersector

    def hits(self, start: ArrayLike, direction: ArrayLike, *, reach_mm: float) -> list[Hit]:
        """Where a line crosses the surface, nearest first; a crossing on an edge counts once."""
        origin, along = np.asarray(start, dtype=float), np.asarray(direction, dtype=float)
        line = gp_Lin(gp_Pnt(*origin.tolist()), gp_Dir(*along.tolist()))
        self._prepared.Perform(line, 0.0, reach_mm)
        if not self._prepared.IsDone():
            return []
        found = sorted(
            (
                Hit(self._prepared.WParameter(i), Face(self._prepared.Face(i)))
                for i in range(1, self._prepared.NbPnt() + 1)
            ),
            key=lambda hit: hit.distance_mm,
        )
        return [
            hit
            for i, hit in enumerate(found)
            if i == 0 or hit.distance_mm - found[i - 1].distance_mm > _SAME_MM
        ]

    def inside(self, start: ArrayLike, direction: ArrayLike, *, reach_mm: float) -> list[Stretch]:
        """Stretches of a line inside the solid; the line starts in the open.

        A line that grazes an edge crosses an odd number of times; it is cast again a few
        nanometres aside.
        """
        origin = np.asarray(start, dtype=float)
        for attempt in range(6):
            found = self.hits(origin + attempt * _ASIDE, direction, reach_mm=reach_mm)
            if len(found) % 2 == 0:
                return list(zip(found[::2], found[1::2], strict=True))
        return []


def through(shape: Shape) -> Rays:
    """Rays through a shape."""
    prepared = IntCurvesFace_ShapeIntersector()
    prepared.Load(shape.wrapped, _TOLERANCE_MM)
    return Rays(prepared)


def blocked_share(
    shapes: Iterable[Rays], point: ArrayLike, *, towards: ArrayLike | None, reach_mm: float
) -> float:
    """Share of the directions about a point that meet one of the shapes.

    Parameters
    ----------
    shapes : iterable of Rays
    point : array, shape (3,)
    towards : array, shape (3,), or None
        Only the half space this way; None takes all directions.
    reach_mm : float

    Returns
    -------
    float
        0 in the open, 1 in a closed room.
    """
    everyone = list(shapes)
    directions = _SPREAD
    if towards is not None:
        directions = directions[directions @ np.asarray(towards, dtype=float) > 0.15]
    met = [
        any(rays.hits(point, direction, reach_mm=reach_mm) for rays in everyone)
        for direction in directions
    ]
    return float(np.mean(met))


def _fibonacci(count: int) -> Array:
    """Directions spread evenly over the sphere (golden-angle spiral)."""
    number = np.arange(count) + 0.5
    height = 1.0 - 2.0 * number / count
    angle = np.pi * (1.0 + 5.0**0.5) * number
    ring = np.sqrt(1.0 - height**2)
    return np.stack([ring * np.cos(angle), ring * np.sin(angle), height], axis=1)


_SPREAD = _fibonacci(48)
