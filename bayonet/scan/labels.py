"""A plug as a vector of parameters in a frame, and which points of a scan lie on which face."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bayonet.scan.surface import POSE, Face, Shape, Spots, Values, lug_angle

Array = NDArray[np.float64]
Indices = NDArray[np.int64]
Margins = Mapping[tuple[str, str], float]


@dataclass(frozen=True, kw_only=True)
class State:
    """A shape with values of its parameters, and where it stands."""

    shape: Shape
    names: tuple[str, ...]
    p: Array
    rotation: Array
    origin: Array

    @property
    def values(self) -> dict[str, float]:
        """By name."""
        return dict(zip(self.names, self.p.tolist(), strict=True))

    def moved(self, step: Array) -> State:
        """After a step of all parameters; the pose is folded into the frame."""
        place = [self.names.index(name) for name in POSE]
        x, y, z, a, b = step[place]
        turn = _rotation(np.array([a, b, 0.0]))
        p = self.p + step
        p[place] = 0.0
        return State(
            shape=self.shape, names=self.names, p=p,
            origin=self.origin + self.rotation @ np.array([x, y, z]),
            rotation=self.rotation @ turn,
        )  # fmt: skip


def _rotation(vector: Array) -> Array:
    """Rodrigues' formula."""
    angle = float(np.linalg.norm(vector))
    if angle < 1e-15:
        return np.eye(3)
    x, y, z = vector / angle
    cross = np.array([[0.0, -z, y], [z, 0.0, -x], [-y, x, 0.0]])
    return np.asarray(np.eye(3) + np.sin(angle) * cross + (1.0 - np.cos(angle)) * cross @ cross)


@dataclass(frozen=True, kw_only=True)
class Labelled:
    """Points on one face: where they are in the scan, their residuals."""

    face: Face
    which: Indices
    off: Array
    spots: Spots


def labelled(
    c: Spots, state: State, found: Sequence[Face], gate: float, margins: Margins, floor: float
) -> list[Labelled]:
    """Each point to the nearest face it lies on, clear of that face's edges."""
    v = state.values
    best = np.full(len(c.r), gate)
    owner = np.full(len(c.r), -1)
    zones = zones_of(c, v, state.shape, gate)
    for number, face in enumerate(found):
        pool = None if face.lug is None else zones[face.lug]
        own = c if pool is None else c[pool]
        off = face.off(own, v)
        near = np.flatnonzero(np.abs(off) < gate)
        at = near if pool is None else pool[near]
        near, at = (one[np.abs(off[near]) < best[at]] for one in (near, at))
        inside = np.ones(len(near), dtype=bool)
        for edge, inset in face.insets(own[near], v).items():
            inside &= inset > margins.get((face.group, edge), floor)
        best[at[inside]] = np.abs(off[near[inside]])
        owner[at[inside]] = number
    rows = []
    for number, face in enumerate(found):
        which = np.flatnonzero(owner == number)
        own = c[which]
        rows.append(Labelled(face=face, which=which, off=face.off(own, v), spots=own))
    return rows


def zones_of(c: Spots, v: Values, shape: Shape, gate: float) -> list[Indices]:
    """Points that may be on each lug."""
    if not shape.lugs:
        return []
    root = v[f"body.{shape.root}.r"]
    reach = [abs(v[f"lug.{i}.slope"]) * 1.2 + 1.0 + gate for i in range(shape.lugs)]
    low = min(v[f"lug.{i}.bearing"] - reach[i] for i in range(shape.lugs))
    high = max(v[f"lug.{i}.bearing"] + v[f"lug.{i}.thickness"] + reach[i]
               for i in range(shape.lugs))  # fmt: skip
    wide = max(v[f"lug.{i}.r"] for i in range(shape.lugs)) + gate
    pool = np.flatnonzero((c.r > root) & (c.r < wide) & (c.depth > low) & (c.depth < high))
    own = c[pool]
    away = np.array([np.abs(lug_angle(own, v, i)) for i in range(shape.lugs)])
    nearest = np.argmin(away, axis=0)
    return [pool[nearest == i] for i in range(shape.lugs)]
