"""Least distance between two heaps of triangles, with a bound on its error."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bayonet.surroundings.boxes import BoxTree, below
from bayonet.surroundings.triangles import distance

Array = NDArray[np.float64]
Indices = NDArray[np.int64]

TOLERANCE_MM = 1e-3
"""Usual greatest error of a least distance [mm]."""

_CHUNK = 40_000
_DIVERS = 400


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
        Greater distances, and less by no more than the tolerance, are not looked for [mm].
    tolerance_mm : float
        Greatest error: nothing is nearer than what is found by more [mm].
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

    def part(self, keep: NDArray[np.bool_] | slice | Indices) -> _Pairs:
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

    def run(self) -> Nearest:
        start = _Pairs((self.theirs.top, self.ours.top), np.zeros(1, np.int64),
                       np.zeros(1, np.int64), np.zeros(1))  # fmt: skip
        self._dive(start)
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
        return self.found

    def _slack(self) -> float:
        return self.tolerance if np.isfinite(self.limit) else 0.0

    def _apart_at_least(self, pairs: _Pairs) -> Array:
        """Bound for pairs of triangles: how far their planes part them."""
        one, other = self.theirs.corners[pairs.first], self.ours.corners[pairs.second]
        least = pairs.least
        for normal in (self.theirs.normal[0][pairs.first], self.ours.normal[0][pairs.second]):
            here = np.einsum("nij,nj->ni", one, normal)
            there = np.einsum("nij,nj->ni", other, normal)
            above = there.min(axis=1) - here.max(axis=1)
            least = np.maximum(least, np.maximum(above, here.min(axis=1) - there.max(axis=1)))
        return least

    def _dive(self, pairs: _Pairs) -> None:
        """A first good distance: down along the pairs whose middles are nearest."""
        while pairs.levels != (0, 0):
            pairs = self._split(pairs)
            a, b = pairs.levels
            step = self.theirs.middle[a][pairs.first] - self.ours.middle[b][pairs.second]
            open_ = np.isfinite(pairs.least)
            apart = np.where(open_, np.einsum("ij,ij->i", step, step), np.inf)
            pairs = pairs.part(np.argsort(apart, kind="stable")[:_DIVERS])
        self._measure(pairs.part(pairs.least < self.limit))

    def _hopeful(self, pairs: _Pairs) -> _Pairs:
        """Those that may hold something nearer by more than the tolerance."""
        return pairs.part(self._kept(pairs.least))

    def _kept(self, least: Array) -> NDArray[np.bool_]:
        return least < self.limit - self._slack()

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
        near = np.flatnonzero(least < self.limit)
        least[near] = np.maximum(least[near], self._over_planes(levels, first[near], second[near]))
        for ball in self.without:
            far = np.linalg.norm(np.abs(middle - ball.middle) + half, axis=1)
            least[far <= ball.radius_mm] = np.inf
        return _Pairs(levels, first, second, least)

    def _over_planes(self, levels: tuple[int, int], first: Indices, second: Indices) -> Array:
        """Bound from the planes near which the boxes' contents lie.

        Along the normal of the first the second is as thick as along its own, and a little more
        for the angle between: tight where walls run side by side, however they lean.
        """
        a, b = levels
        theirs, ours = self.theirs, self.ours
        step = ours.middle[b][second] - theirs.middle[a][first]
        one, other = theirs.normal[a][first], ours.normal[b][second]
        span, across = theirs.span[a][first], ours.span[b][second]
        facing = np.einsum("ij,ij->i", one, other) < 0.0
        other = np.where(facing[:, None], -other, other)
        across = np.where(facing[:, None], -across[:, ::-1], across)
        lean = one - other
        chord = np.sqrt(np.einsum("ij,ij->i", lean, lean))
        best = np.zeros(len(first))
        for normal, half in ((one, ours.half[b][second]), (other, theirs.half[a][first])):
            more = chord * np.sqrt(np.einsum("ij,ij->i", half, half))
            along = np.einsum("ij,ij->i", step, normal)
            above = along + across[:, 0] - span[:, 1] - more
            under = span[:, 0] - along - across[:, 1] - more
            best = np.maximum(best, np.maximum(above, under))
        return best

    def _measure(self, pairs: _Pairs) -> None:
        pairs = pairs.part(self._kept(self._apart_at_least(pairs)))
        if not len(pairs.first):
            return
        apart, one, other = distance(
            self.theirs.corners[pairs.first], self.ours.corners[pairs.second]
        )
        for ball in self.without:
            apart[np.linalg.norm(one - ball.middle, axis=1) <= ball.radius_mm] = np.inf
        at = int(np.argmin(apart))
        if apart[at] < self.limit:
            self.limit = float(apart[at])
            self.found = Nearest(
                distance_mm=self.limit, error_mm=self.tolerance, theirs=one[at],
                ours=other[at],
            )  # fmt: skip
