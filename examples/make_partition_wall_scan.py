"""Make an invented scan of what stands round the header tank: a partition wall, a pipe, a shelf.

As a hand-held scanner leaves it: a mesh with holes and noise, in the tank's coordinates [mm].

    python examples/make_partition_wall_scan.py partition_wall_scan.stl
"""

from __future__ import annotations

import sys
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

STEP_MM, NOISE_MM, HOLES = 3.0, 0.15, 0.004
PIPE_RADIUS, PIPE_Y, PIPE_Z = 17.0, -205.0, 135.0


def grid(across: Array, along: Array, place: object) -> Array:
    """Triangles of a sheet: ``place`` takes two parameters to points."""
    u, v = np.meshgrid(across, along, indexing="ij")
    points = np.stack(place(u, v), axis=-1)  # type: ignore[operator]
    a, b, c, d = points[:-1, :-1], points[1:, :-1], points[1:, 1:], points[:-1, 1:]
    first = np.stack([a, b, c], axis=2).reshape(-1, 3, 3)
    return np.concatenate([first, np.stack([a, c, d], axis=2).reshape(-1, 3, 3)])


def steps(low: float, high: float) -> Array:
    """Grid lines between two ends."""
    return np.linspace(low, high, int((high - low) / STEP_MM) + 1)


def scene() -> Array:
    """Partition wall, pipe along it, shelf below."""
    wall = grid(steps(-220, 260), steps(-160, 300), lambda u, v: (u, -260.0 + 0 * u, v))
    shelf = grid(steps(-220, 260), steps(-260, -110), lambda u, v: (u, v, -160.0 + 0 * u))
    pipe = grid(
        steps(-220, 260), np.linspace(0.0, 2.0 * np.pi, 36),
        lambda u, t: (u, PIPE_Y + PIPE_RADIUS * np.cos(t), PIPE_Z + PIPE_RADIUS * np.sin(t)),
    )  # fmt: skip
    return np.concatenate([wall, shelf, pipe])


def main(path: Path) -> None:
    """Write the scan as binary STL."""
    rng = np.random.default_rng(7)
    corners = scene()
    corners += rng.normal(0.0, NOISE_MM, corners.shape)
    corners = corners[rng.random(len(corners)) > HOLES]
    record = np.zeros(
        len(corners), dtype=[("normal", "<f4", 3), ("corners", "<f4", (3, 3)), ("spare", "<u2")]
    )
    record["corners"] = corners
    head = b"partition wall, pipe and shelf, invented".ljust(80)
    path.write_bytes(head + np.uint32(len(record)).tobytes() + record.tobytes())


if __name__ == "__main__":
    main(Path(sys.argv[1] if len(sys.argv) > 1 else "partition_wall_scan.stl"))
