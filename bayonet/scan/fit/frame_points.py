"""Points in the plug's frame: z out of the tank, shoulder at 0, depth = -z; angles in rad."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]


@dataclass(frozen=True, kw_only=True)
class Spots:
    """Points in the plug's frame; distances need these three, rates the rest, made when asked."""

    r: Array
    theta: Array
    depth: Array

    def __getitem__(self, which: NDArray[np.int64]) -> Spots:
        return Spots(r=self.r[which], theta=self.theta[which], depth=self.depth[which])

    @cached_property
    def cos(self) -> Array:
        """Of the angle."""
        return np.cos(self.theta)

    @cached_property
    def sin(self) -> Array:
        """Of the angle."""
        return np.sin(self.theta)


def spots(xyz: Array, rotation: Array, origin: Array) -> Spots:
    """Points of a scan in a frame: ``local = (xyz - origin) @ rotation``."""
    x, y, z = np.ascontiguousarray(((xyz - origin) @ rotation).T)
    return Spots(r=np.maximum(np.hypot(x, y), 1e-9), theta=np.arctan2(y, x), depth=-z)


def joined(parts: Sequence[Spots]) -> Spots:
    """All points of several lots."""
    if len(parts) == 1:
        return parts[0]
    return Spots(r=np.concatenate([one.r for one in parts]),
                 theta=np.concatenate([one.theta for one in parts]),
                 depth=np.concatenate([one.depth for one in parts]))  # fmt: skip


def turned_from(theta: Array, centre: float) -> Array:
    """Angle from another [rad], within half a turn."""
    away = theta - centre
    away -= 2.0 * np.pi * np.rint(away / (2.0 * np.pi))
    return np.asarray(away)
