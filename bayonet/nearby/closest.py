"""Least distance between two heaps of triangles, with a bound on its error."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bayonet.nearby.boxes import BoxTree, below
from bayonet.nearby.triangles import distance

Array = NDArray[np.float64]
Indices = NDArray[np.int64]

TOLERANCE_MM = 1e-3
"""Usual greatest error of a least distance [mm]."""

_CHUNK = 40_000


@dataclass(frozen=True, kw_only=True)
class Ball:
    """A ball within which triangles do not count."""

    middle: Array
    radius_mm: float


@dataclass(frozen=True, kw_only=True)
class Nearest:
    """The nearest places of two things.

    Parameters
    ----------
    distance_mm : float
        At these places [mm]; negative is the depth of one within the other, where that is known;
        inf where nothing lies within the reach asked for.
    error_mm : float
        The true least distance is at most this much less [mm].
    theirs, ours : array, shape (3,)
        Nearest point of the surroundings, and of what is measured from.
    """

    distance_mm: float
    error_mm: float
    theirs: Array
    ours: Array


NOTHING = Nearest(
    distance_mm=np.inf, error_mm=0.0, theirs=np.full(3, np.nan), ours=np.full(3, np.nan)
)


def between(
    theirs: BoxTree,
    ours: BoxTree,
    *,
    within_mm: float = np.inf,
    tolerance_mm: float = TOLERANCE_MM,
    without: tuple[Ball, ...] = (),
) -> Nearest:
    """Least distance between two heaps of triangles.

    Pairs of boxes are split, the nearest first; a pair is dropped once its boxes are not nearer
    than the least distance found, less the tolerance. What is left is measured exactly.

    Parameters
    ----------
    theirs, ours : BoxTree
    within_mm : float
        Greater distances are not looked for [mm].
    tolerance_mm : float
        Greatest error [mm].
    without : tuple of Ball
        Places of the surroundings already known.

    Returns
    -------
    Nearest
        0 where they meet.
    """
    search = _Search(theirs, ours, within_mm, tolerance_mm, without)
    return search.run()


@dataclass
class _Pairs:
    """Pairs of boxes of two levels, and how near each pair may be at least."""

    levels: tuple[int, int]
    first: Indices
    second: Indices
    least: Array

    def part(self, keep: Array | slice | Indices) -> _Pairs:
        return _Pairs(self.levels, self.first[keep], self.second[keep], self.least[keep])


class _Search:
    def __init__(
        self, theirs: BoxTree, ours: BoxTree, within: float, tolerance: float,
        without: tuple[Ball, ...],
    ) -> None:  # fmt: skip
        self.theirs, self.ours, self.without = theirs, ours, without
        self.tolerance = tolerance
        self.found = NOTHING
        self.limit = within  # distances of this and more do not matter
        self.dropped = np.inf  # least bound of what was dropped though nearer than the result

    def run(self) -> Nearest:
        start = _Pairs((self.theirs.top, self.ours.top), np.zeros(1, np.int64),
                       np.zeros(1, np.int64), np.zeros(1))  # fmt: skip
        stack = [start]
        while stack:
            pairs = self._hopeful(stack.pop())
            if not len(pairs.first):
                continue
            if len(pairs.first) > _CHUNK:
                order = np.argsort(pairs.least, kind="stable")
                stack.append(pairs.part(order[_CHUNK:]))
                pairs = pairs.part(order[:_CHUNK])
            if pairs.levels == (0, 0):
                self._measure(pairs)
            else:
                stack.append(self._split(pairs))
        found = self.found
        error = max(0.0, found.distance_mm - self.dropped) if found is not NOTHING else 0.0
        return Nearest(distance_mm=found.distance_mm, error_mm=error, theirs=found.theirs,
                       ours=found.ours)  # fmt: skip

    def _hopeful(self, pairs: _Pairs) -> _Pairs:
        """Those that may hold something nearer by more than the tolerance."""
        known = np.isfinite(self.found.distance_mm)
        keep = pairs.least < self.limit - (self.tolerance if known else 0.0)
        if known and not keep.all():
            self.dropped = min(self.dropped, float(pairs.least[~keep].min()))
        return pairs.part(keep)

    def _split(self, pairs: _Pairs) -> _Pairs:
        """The higher level's boxes replaced by those they hold."""
        a, b = pairs.levels
        if a >= b:
            first, row = below(pairs.first, len(self.theirs.middle[a - 1]))
            return self._bounded((a - 1, b), first, pairs.second[row])
        second, row = below(pairs.second, len(self.ours.middle[b - 1]))
        return self._bounded((a, b - 1), pairs.first[row], second)

    def _bounded(self, levels: tuple[int, int], first: Indices, second: Indices) -> _Pairs:
        a, b = levels
        middle, half = self.theirs.middle[a][first], self.theirs.half[a][first]
        apart = np.abs(middle - self.ours.middle[b][second])
        gap = np.maximum(apart - (half + self.ours.half[b][second]), 0.0)
        least = np.sqrt(np.einsum("ij,ij->i", gap, gap))
        for ball in self.without:
            far = np.linalg.norm(np.abs(middle - ball.middle) + half, axis=1)
            least[far <= ball.radius_mm] = np.inf
        return _Pairs(levels, first, second, least)

    def _measure(self, pairs: _Pairs) -> None:
        apart, one, other = distance(
            self.theirs.corners[pairs.first], self.ours.corners[pairs.second]
        )
        at = int(np.argmin(apart))
        if apart[at] < self.limit:
            self.limit = float(apart[at])
            self.found = Nearest(
                distance_mm=self.limit, error_mm=0.0, theirs=one[at], ours=other[at]
            )
