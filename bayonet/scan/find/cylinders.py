"""Cylinders of a turned part in its frame: radii at which its points face outwards or inwards."""

from __future__ import annotations

from dataclasses import dataclass, field, replace

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
Indices = NDArray[np.int64]

RADIAL = 0.9  # cosine of normal to radius
LEAST_POINTS = 25  # a radius to a fifth of the noise; fewer are chance
_BIN_MM = 0.1  # about the noise, so that a cylinder fills two or three
_WIDE_MM = 0.4  # four times a usual noise, and ovality
_CLAIM_MM = 0.6  # what belongs to no other ring: noise and broken edges
_GAP_MM = 0.7  # shorter than any groove or lug pitch along the axis
_SPARSE = 8.0  # usual steps of depth, from which a gap counts where points are few
_MOST = 40  # rings; a stop for scans of something else
# of the densest ring, and shorter than any face: fillets and outliers
_THIN, _SHORT_MM = 0.02, 0.25
_A_CELL = 5  # points expected: an empty cell by chance is one in 150
# 15 deg to tell a half from a whole, 3 deg to tell lugs from a ring
_FEWEST_CELLS, _MOST_CELLS = 24, 120


@dataclass(frozen=True, kw_only=True)
class Local:
    """Points in a plug's frame, with their normals' radial and axial parts."""

    r: Array
    theta: Array  # [deg], 0 to 360
    depth: Array
    radial: Array
    axial: Array

    def sunk(self, depth: float) -> Local:
        """In a frame whose depths are smaller by so much."""
        return replace(self, depth=self.depth - depth)


@dataclass(frozen=True, kw_only=True)
class Ring:
    """Points of one radius on one stretch of depth: a cylinder, or what lugs have outside."""

    r: float
    low: float
    high: float
    around: float  # share of the circle seen
    count: int
    member: NDArray[np.bool_] = field(repr=False)

    @property
    def middle(self) -> float:
        """Depth half way."""
        return (self.low + self.high) / 2.0

    @property
    def density(self) -> float:
        """Points per area where any were seen."""
        return self.count / (self.r * max(self.high - self.low, 0.5) * max(self.around, 0.02))

    def sunk(self, depth: float) -> Ring:
        """In a frame whose depths are smaller by so much."""
        return replace(self, low=self.low - depth, high=self.high - depth)


def local_of(xyz: Array, normal: Array, rotation: Array, origin: Array) -> Local:
    """Points in a frame."""
    x, y, z = ((xyz - origin) @ rotation).T
    r = np.maximum(np.hypot(x, y), 1e-9)
    own = normal @ rotation
    return Local(
        r=r,
        theta=np.degrees(np.arctan2(y, x)) % 360.0,
        depth=-z,
        radial=np.abs((own[:, 0] * x + own[:, 1] * y) / r),
        axial=np.abs(own[:, 2]),
    )


def rings(local: Local) -> list[Ring]:
    """Radii at which points face outwards or inwards, the most frequent first.

    A radius claims its points on its own stretch of depth only: another cylinder, or lugs, of
    nearly the same radius may stand elsewhere.
    """
    facing = np.flatnonzero(local.radial > RADIAL)
    left = np.ones(len(facing), dtype=bool)
    r, depth, found = local.r[facing], local.depth[facing], []
    bins = np.arange(0.0, float(np.percentile(r, 99.9)) + 3.0, _BIN_MM) if len(r) else np.zeros(0)
    for _ in range(_MOST if len(r) else 0):
        count = np.histogram(r[left], bins)[0]
        near = np.convolve(count, np.ones(3), "same")
        peak = bins[int(np.argmax(near))] + _BIN_MM / 2
        close = np.flatnonzero(left & (np.abs(r - peak) < _WIDE_MM))
        if len(close) < LEAST_POINTS:
            break
        runs = _runs(depth, close)
        for run in runs:
            low, high = depth[run].min() - 0.3, depth[run].max() + 0.3
            level = np.flatnonzero(left & (depth > low) & (depth < high))
            middle = _own_peak(r[level], peak)
            own = level[np.abs(r[level] - middle) < _WIDE_MM]
            if len(own) < LEAST_POINTS:
                continue
            found.append(_ring(local, facing[own], middle))
            left[level[np.abs(r[level] - middle) < _CLAIM_MM]] = False
        left[close] = False
    return _dense(found)


def _dense(found: list[Ring]) -> list[Ring]:
    """Without what outliers make: a few points over a long way."""
    most = max((one.density for one in found), default=0.0)
    kept = [one for one in found
            if one.density > _THIN * most and one.high - one.low > _SHORT_MM]  # fmt: skip
    return sorted(kept, key=lambda one: -one.count)


def _runs(depth: Array, which: Indices) -> list[Indices]:
    """Stretches of depth without a gap, those with enough points."""
    order = which[np.argsort(depth[which])]
    step = np.diff(depth[order])
    breaks = np.flatnonzero(step > max(_GAP_MM, _SPARSE * float(np.median(step)))) + 1
    return [run for run in np.split(order, breaks) if len(run) >= LEAST_POINTS]


def _own_peak(r: Array, near: float) -> float:
    """Most frequent radius on one stretch of depth, near the one of all depths."""
    own = r[np.abs(r - near) < 2.0 * _WIDE_MM]
    edges = np.arange(near - 2.0 * _WIDE_MM, near + 2.0 * _WIDE_MM + _BIN_MM, _BIN_MM)
    count = np.convolve(np.histogram(own, edges)[0], np.ones(3), "same")
    peak = edges[int(np.argmax(count))] + _BIN_MM / 2
    return float(np.median(own[np.abs(own - peak) < _WIDE_MM]))


def _ring(local: Local, member: Indices, r: float) -> Ring:
    low, high = np.percentile(local.depth[member], [2.0, 98.0])
    cells = int(np.clip(len(member) // _A_CELL, _FEWEST_CELLS, _MOST_CELLS))
    count = np.bincount((local.theta[member] * cells / 360.0).astype(int) % cells,
                        minlength=cells)  # fmt: skip
    filled = int((count >= max(1.0, 0.1 * float(np.percentile(count, 90.0)))).sum())
    mask = np.zeros(len(local.r), dtype=bool)
    mask[member] = True
    return Ring(r=r, low=float(low), high=float(high), around=filled / cells,
                count=len(member), member=mask)  # fmt: skip
