"""Least distance from triangles to convex bodies, with a bound on its error."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from bayonet.surroundings.boxes import BoxTree, below
from bayonet.surroundings.closest import NOTHING, TOLERANCE_MM, Ball, Nearest
from bayonet.surroundings.convex import Body
from bayonet.tank import Frame

Array = NDArray[np.float64]
Indices = NDArray[np.int64]

_CHUNK = 60_000
_FIRST = 200  # boxes followed first, for a good distance to hold all others against
_MEASURED = 50  # triangles of each round measured at their corners too
_FIRST_LEVEL_BOXES = 64
_SMALL = 0.01


def to_bodies(
    theirs: BoxTree,
    bodies: Sequence[Body],
    frame: Frame,
    *,
    within_mm: float = np.inf,
    tolerance_mm: float = TOLERANCE_MM,
    without: tuple[Ball, ...] = (),
) -> tuple[Nearest, str]:
    """Least distance from triangles to several convex bodies together.

    At the middle of a box, and of a triangle, distance and slope give a bound from below over
    the whole of it; what may hold something nearer is split, down to parts of triangles.

    Parameters
    ----------
    theirs : BoxTree
        In the tank's coordinates.
    bodies : sequence of Body
        In the fitting's.
    frame : Frame
        The fitting's, in the tank's coordinates.
    within_mm : float
        Greater distances, and less by no more than the tolerance, are not looked for [mm].
    tolerance_mm : float
        Greatest error: nothing is nearer than what is found by more [mm].
    without : tuple of Ball
        Places of the surroundings already known, tank coordinates.

    Returns
    -------
    (Nearest, str)
        In the tank's coordinates, and the name of the nearest body. A negative distance is how
        deep something stands in one of the bodies.
    """
    best, name = NOTHING, ""
    for body in bodies:
        limit = min(within_mm, best.distance_mm)
        found = _Descent(theirs, body, frame, limit, tolerance_mm, without).run()
        if found.distance_mm < best.distance_mm:
            best, name = found, body.name
    return best, name


class _Descent:
    def __init__(
        self, theirs: BoxTree, body: Body, frame: Frame, limit: float, tolerance: float,
        without: tuple[Ball, ...],
    ) -> None:  # fmt: skip
        self.theirs, self.body, self.frame, self.without = theirs, body, frame, without
        self.turn = frame.matrix()[:3, :3]
        self.limit, self.tolerance = limit, tolerance
        self.found = NOTHING

    def run(self) -> Nearest:
        level = self.theirs.top
        while level > 0 and len(self.theirs.middle[level]) < _FIRST_LEVEL_BOXES:
            level -= 1
        boxes = np.arange(len(self.theirs.middle[level]))
        stack = [(level, boxes, self._over_boxes(level, boxes))]
        while stack:
            level, boxes, least = stack.pop()
            keep = self._hopeful(least)
            boxes, least = boxes[keep], least[keep]
            if not len(boxes):
                continue
            most = _FIRST if self.found is NOTHING else _CHUNK
            if len(boxes) > most:
                order = np.argsort(least, kind="stable")
                rest = order[most:]
                stack.append((level, boxes[rest], least[rest]))
                boxes = boxes[order[:most]]
            if level == 0:
                self._triangles(self.theirs.corners[boxes])
            else:
                boxes, _ = below(boxes, len(self.theirs.middle[level - 1]))
                stack.append((level - 1, boxes, self._over_boxes(level - 1, boxes)))
        return self.found

    def _hopeful(self, least: Array) -> NDArray[np.bool_]:
        keep: NDArray[np.bool_] = least < self.limit - (
            self.tolerance if np.isfinite(self.limit) else 0.0
        )
        return keep

    def _signed(self, points: Array) -> tuple[Array, Array]:
        value, slope = self.body.signed(self.frame.to_fitting(points))
        return value, slope @ self.turn.T

    def _over_boxes(self, level: int, boxes: Indices) -> Array:
        middle, half = self.theirs.middle[level][boxes], self.theirs.half[level][boxes]
        value, slope = self._signed(middle)
        least: Array = value - np.einsum("ij,ij->i", np.abs(slope), half)
        for ball in self.without:
            far = np.linalg.norm(np.abs(middle - ball.middle) + half, axis=1)
            least[far <= ball.radius_mm] = np.inf
        return least

    def _triangles(self, corners: Array) -> None:
        """Measure triangles, splitting those that may hold something nearer."""
        while len(corners):
            middle = corners.mean(axis=1)
            value, slope = self._signed(middle)
            off = corners - middle[:, None]
            least = value + np.einsum("nij,nj->ni", off, slope).min(axis=1)
            self._keep(middle, value, slope)
            for ball in self.without:
                known = np.linalg.norm(corners - ball.middle, axis=2).max(axis=1) <= ball.radius_mm
                small = np.abs(off).max(axis=(1, 2)) < _SMALL * ball.radius_mm
                small &= np.linalg.norm(middle - ball.middle, axis=1) <= ball.radius_mm
                least[known | small] = np.inf
            best = np.argsort(least, kind="stable")[:_MEASURED]
            points = corners[best].reshape(-1, 3)
            self._keep(points, *self._signed(points))
            corners = _quartered(corners[self._hopeful(least)])

    def _keep(self, points: Array, value: Array, slope: Array) -> None:
        for ball in self.without:
            inside = np.linalg.norm(points - ball.middle, axis=1) <= ball.radius_mm
            value = np.where(inside, np.inf, value)
        at = int(np.argmin(value))
        if value[at] < self.limit:
            self.limit = float(value[at])
            self.found = Nearest(
                distance_mm=self.limit, error_mm=self.tolerance, theirs=points[at],
                ours=points[at] - self.limit * slope[at],
            )  # fmt: skip


def _quartered(corners: Array) -> Array:
    a, b, c = corners[:, 0], corners[:, 1], corners[:, 2]
    ab, bc, ca = (a + b) / 2, (b + c) / 2, (c + a) / 2
    quarters = [(a, ab, ca), (ab, b, bc), (ca, bc, c), (ab, bc, ca)]
    return np.concatenate([np.stack(one, axis=1) for one in quarters])
