"""A second engine for motion: mesh booleans (manifold3d) on the STEP files as written.

Shares nothing with the polygon proof: it reads plug.step and socket.step back, meshes them and
moves the one through the other. The kernel is asked for the chord once: the fillets in the
plug's ring groove, which touch nothing, may miss it by a few hundredths; to hold them to it too
would make every other face fifteen times finer than asked.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cache
from pathlib import Path

import manifold3d
import numpy as np
import pytest
from cadquery import Solid

from bayonet.solids.kernel import mesh, step

Pose = tuple[float, float]

CHORD_MM = 0.004
MERGE_MM = 1e-6


@dataclass(frozen=True)
class Pair:
    """Meshes of socket and plug, the plug as at a known turn with its shoulder seated."""

    socket: manifold3d.Manifold
    plug: manifold3d.Manifold
    plug_turn_deg: float
    sign: int

    def overlap_mm3(self, pose: Pose) -> float:
        """Volume in which plug and socket overlap at a pose (phi, delta)."""
        phi, delta = pose
        moved = self.plug.rotate((0.0, 0.0, self.sign * (phi - self.plug_turn_deg)))
        return float((moved.translate((0.0, 0.0, delta)) ^ self.socket).volume())

    def overlaps(self, poses: Iterable[Pose]) -> list[float]:
        return [self.overlap_mm3(pose) for pose in poses]


def manifold_of(solid: Solid, *, chord_mm: float = CHORD_MM) -> manifold3d.Manifold:
    """Closed, of the solid's volume, every corner on its surface."""
    corners, _ = mesh.loose(solid, chord_mm=chord_mm)
    points = corners.reshape(-1, 3)
    _, first, numbers = np.unique(
        np.round(points / MERGE_MM), axis=0, return_index=True, return_inverse=True
    )
    triangles = numbers.reshape(-1, 3).astype(np.uint64)
    whole = manifold3d.Mesh64(points[first], triangles)
    whole.merge()  # corners that rounding put on either side of a step
    made = manifold3d.Manifold(whole)
    assert made.status() == manifold3d.Error.NoError
    assert made.volume() == pytest.approx(solid.Volume(), abs=chord_mm * solid.Area())
    return made


@cache
def from_files(folder: Path, *, plug_turn_deg: float, sign: int) -> Pair:
    """Read socket.step and plug.step of a folder."""
    return Pair(
        socket=manifold_of(step.read(folder / "socket.step")),
        plug=manifold_of(step.read(folder / "plug.step")),
        plug_turn_deg=plug_turn_deg,
        sign=sign,
    )
