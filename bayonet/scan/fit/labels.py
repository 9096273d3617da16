"""A plug as a vector of parameters in a frame, and which points of a scan lie on which face."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bayonet.scan.fit.frame_points import Spots, turned_from
from bayonet.scan.fit.keys import body_key, lug_key
from bayonet.scan.fit.surface import POSE, Face, Shape, Values

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
    """Points on one face, and their distances from it."""

    face: Face
    off: Array
    spots: Spots


def labelled(
    c: Spots, state: State, found: Sequence[Face], gate: float, margins: Margins, floor: float
) -> list[Labelled]:
    """Each point to the nearest face it lies on, clear of that face's edges."""
    v = state.values
    best = np.full(len(c.r), gate)
    owner = np.full(len(c.r), -1, dtype=np.int16)
    zones = zones_of(c, v, state.shape, gate)
    owns = [c[zone] for zone in zones]
    taken = []
    for number, face in enumerate(found):
        own = c if face.lug is None else owns[face.lug]
        off = face.off(own, v)
        size = np.abs(off)
        near = np.flatnonzero(size < (best if face.lug is None else gate))
        if face.lug is not None:
            near = near[size[near] < best[zones[face.lug][near]]]
        inside = np.ones(len(near), dtype=bool)
        for edge, inset in face.insets(own[near], v).items():
            inside &= inset > margins.get((face.group, edge), floor)
        near = near[inside]
        at = near if face.lug is None else zones[face.lug][near]
        best[at] = size[near]
        owner[at] = number
        taken.append((own, near, at, off[near]))
    rows = []
    for number, (face, (own, near, at, off)) in enumerate(zip(found, taken, strict=True)):
        mine = owner[at] == number
        rows.append(Labelled(face=face, off=off[mine], spots=own[near[mine]]))
    return rows


def zones_of(c: Spots, v: Values, shape: Shape, gate: float) -> list[Indices]:
    """Points that may be on each lug."""
    if not shape.lugs:
        return []
    root = v[body_key(shape.root, "r")]
    reach = [abs(v[lug_key(i, "slope")]) * 1.2 + 1.0 + gate for i in range(shape.lugs)]
    low = min(v[lug_key(i, "bearing")] - reach[i] for i in range(shape.lugs))
    high = max(v[lug_key(i, "bearing")] + v[lug_key(i, "thickness")] + reach[i]
               for i in range(shape.lugs))  # fmt: skip
    wide = max(v[lug_key(i, "r")] for i in range(shape.lugs)) + gate
    pool = np.flatnonzero((c.r > root) & (c.r < wide) & (c.depth > low) & (c.depth < high))
    theta = c.theta[pool]
    best, nearest = np.full(len(pool), np.inf), np.zeros(len(pool), dtype=np.int16)
    for i in range(shape.lugs):
        away = np.abs(turned_from(theta, v[lug_key(i, "centre")]))
        closer = away < best
        best[closer], nearest[closer] = away[closer], i
    return [pool[nearest == i] for i in range(shape.lugs)]
