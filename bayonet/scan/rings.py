"""Cylinders of a turned part in its frame: radii at which its points face outwards or inwards."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

RADIAL = 0.9  # cosine of normal to radius
LEAST_POINTS = 40
AROUND = 120
_BIN_MM = 0.1
_WIDE_MM = 0.4
_LEAST_SHARE = 0.004
_GAP_MM = 0.7
_TOUCH_MM, _TOUCHES = 0.6, 0.2
_WHOLE, _PIECES = 0.95, 0.85  # share of the way round of the fullest


@dataclass(frozen=True, kw_only=True)
class Local:
    """Points in a plug's frame, with their normals' radial and axial parts."""

    r: Array
    theta: Array  # [deg], 0 to 360
    depth: Array
    radial: Array
    axial: Array


@dataclass(frozen=True, kw_only=True)
class Ring:
    """Points of one radius: a cylinder, or what lugs have outside."""

    r: float
    low: float
    high: float
    around: float  # share of the circle seen
    count: int
    member: NDArray[np.bool_] = field(repr=False)


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
    """Radii at which points face outwards or inwards, the most frequent first."""
    facing = np.flatnonzero(local.radial > RADIAL)
    left = np.ones(len(facing), dtype=bool)
    r, found = local.r[facing], []
    least = max(LEAST_POINTS, int(_LEAST_SHARE * len(facing)))
    bins = np.arange(0.0, float(np.percentile(r, 99.9)) + 3.0, _BIN_MM)
    for _ in range(24):
        count = np.histogram(r[left], bins)[0]
        near = np.convolve(count, np.ones(3), "same")
        peak = bins[int(np.argmax(near))] + _BIN_MM / 2
        close = left & (np.abs(r - peak) < _WIDE_MM)
        if close.sum() < least:
            break
        middle = float(np.median(r[close]))
        own = left & (np.abs(r - middle) < _WIDE_MM)
        left &= np.abs(r - middle) >= 1.5 * _WIDE_MM
        found += split(local, facing[own], middle)
    return found


def split(local: Local, member: NDArray[np.int64], r: float) -> list[Ring]:
    """One ring, or two of one radius: a full one, and lugs that happen to reach it."""
    order = member[np.argsort(local.depth[member])]
    breaks = np.flatnonzero(np.diff(local.depth[order]) > _GAP_MM) + 1
    runs = [run for run in np.split(order, breaks) if len(run) >= LEAST_POINTS]
    shares = [_around(local, run) for run in runs]
    most = max(shares, default=0.0)
    whole = [run for run, share in zip(runs, shares, strict=True) if share > _WHOLE * most]
    parts = [run for run, share in zip(runs, shares, strict=True) if share < _PIECES * most]
    if not (whole and parts):
        return [_ring(local, member, r)]
    return [_ring(local, np.concatenate(some), r) for some in (whole, parts)]


def _around(local: Local, member: NDArray[np.int64]) -> float:
    return len(np.unique((local.theta[member] * AROUND / 360.0).astype(int))) / AROUND


def _without_touch(local: Local, member: NDArray[np.int64]) -> NDArray[np.int64]:
    """Members at depths where the ring shows all round it; a fixture touches it on a line."""
    row = np.floor((local.depth[member] - local.depth[member].min()) / _TOUCH_MM).astype(int)
    cell = (local.theta[member] * AROUND / 360.0).astype(int) % AROUND
    seen = np.zeros((int(row.max()) + 1, AROUND), dtype=bool)
    seen[row, cell] = True
    around = seen.sum(axis=1)
    return np.asarray(member[around[row] > _TOUCHES * around.max()])


def _ring(local: Local, member: NDArray[np.int64], r: float) -> Ring:
    member = _without_touch(local, member)
    depth = local.depth[member]
    low, high = np.percentile(depth, [2.0, 98.0])
    count = np.bincount((local.theta[member] * AROUND / 360.0).astype(int) % AROUND,
                        minlength=AROUND)  # fmt: skip
    filled = int((count >= max(2.0, 0.15 * float(np.percentile(count, 90.0)))).sum())
    mask = np.zeros(len(local.r), dtype=bool)
    mask[member] = True
    return Ring(r=r, low=float(low), high=float(high), around=filled / AROUND,
                count=len(member), member=mask)  # fmt: skip
