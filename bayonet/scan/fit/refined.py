"""The end of the joint fit in dimensions: values, information, labelled points."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from bayonet.scan.fit.faces import Values
from bayonet.scan.fit.keys import LEAD, LEADING_LEAD, Key

Array = NDArray[np.float64]

POSE = ("pose.x", "pose.y", "pose.z", "pose.turn_x", "pose.turn_y")
_RIDGE = 1e-12  # of a scaled matrix: a thousand times rounding


@dataclass(frozen=True, kw_only=True)
class Pose:
    """Rotation (columns: local axes) and origin."""

    rotation: Array
    origin: Array


@dataclass(frozen=True, kw_only=True)
class Labelled:
    """Points on faces, face by face: which each lies on, and its distance [mm]."""

    r: Array
    theta: Array  # [deg]
    depth: Array
    face: NDArray[np.int64]  # rising
    residual: Array
    names: tuple[str, ...]

    @cached_property
    def _starts(self) -> NDArray[np.int64]:
        return np.searchsorted(self.face, np.arange(len(self.names) + 1))

    def count(self, name: str) -> int:
        """Points on the faces of a name."""
        return sum(stop - start for start, stop in self._runs(name))

    def of(self, name: str) -> NDArray[np.int64]:
        """Numbers of the points on the faces of a name (two may share one)."""
        runs = [np.arange(start, stop) for start, stop in self._runs(name)]
        return np.concatenate(runs) if runs else np.zeros(0, dtype=np.int64)

    def _runs(self, name: str) -> list[tuple[int, int]]:
        own = [i for i, other in enumerate(self.names) if other == name]
        return [(int(self._starts[i]), int(self._starts[i + 1])) for i in own]


@dataclass(frozen=True, kw_only=True)
class Misfit:
    """What a kind of face has that the fit does not know.

    Parameters
    ----------
    mm : float
        From the middle of the face to its edge; the largest of the terms [mm].
    what : str
        In words.
    """

    mm: float
    what: str


@dataclass(frozen=True, kw_only=True)
class Refined:
    """The end of the fit."""

    pose: Pose
    values: Values
    keys: tuple[str, ...]
    information: Array  # J'J
    labelled: Labelled
    noise: float
    scatter: Array  # covariance of J'r beyond white noise [mm^2]
    correlation_mm: float = 0.0
    smooth_mm: float = 0.0  # standard deviation of what neighbours err by together
    against: Mapping[int, tuple[str, ...]] = field(default_factory=dict)  # flanks, by lug
    misfit: Mapping[str, Misfit] = field(default_factory=dict)  # by group of faces


def prior(keys: tuple[str, ...]) -> Array:
    """Weak information that holds what no point tells near its first guess, 1 / sd^2."""
    found = []
    for key in keys:
        wide = 0.0
        if key in (LEAD, LEADING_LEAD):
            wide = 8.0
        elif Key(key).name.endswith("flank_deg"):
            wide = 45.0
        elif Key(key).part != "pose":
            wide = 3.0 if Key(key).is_angle else 0.7
        found.append(1.0 / wide**2 if wide else 0.0)
    return np.array(found)


def inverse(square: Array) -> Array:
    """Inverse of a scaled symmetric matrix; zero rows where the diagonal is zero."""
    scale = np.sqrt(np.diag(square))
    known = scale > 1e-9
    found = np.zeros_like(square)
    within = scale[known]
    small = square[np.ix_(known, known)] / np.outer(within, within)
    small = small + _RIDGE * np.eye(len(small))
    found[np.ix_(known, known)] = np.linalg.inv(small) / np.outer(within, within)
    return found
