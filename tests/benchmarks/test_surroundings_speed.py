"""How distances to surroundings grow with their triangles, and against reading them."""

from __future__ import annotations

import time
from pathlib import Path

import numpy as np

from bayonet.surroundings import boxes, convex, envelope, reading
from bayonet.tank.placement import frame_at

FRAME = frame_at((0, 0, 0), (0, 0, 1))
BODIES = (convex.cylinder("a", 25.0, 0.0, 60.0), convex.cylinder("b", 58.0, 60.0, 180.0))


def ground(count: int) -> np.ndarray:
    """A wavy sheet of 2 count^2 triangles under the bodies."""
    u, v = np.meshgrid(*2 * [np.linspace(-600, 600, count + 1)], indexing="ij")
    p = np.stack([u, v, -40 + 15 * np.sin(u / 70) * np.cos(v / 90)], axis=-1)
    a, b, c, d = p[:-1, :-1], p[1:, :-1], p[1:, 1:], p[:-1, 1:]
    both = [np.stack([a, b, c], 2), np.stack([a, c, d], 2)]
    return np.concatenate([one.reshape(-1, 3, 3) for one in both])


def seconds(call: object, *arguments: object) -> float:
    """User CPU of the best of three: a busy machine changes it least."""
    found = []
    for _ in range(3):
        start = time.process_time()
        call(*arguments)  # type: ignore[operator]
        found.append(time.process_time() - start)
    return min(found)


def test_sorting_grows_with_the_number_and_a_search_hardly(tmp_path: Path) -> None:
    small, large = ground(100), ground(400)  # 20 000 and 320 000 triangles
    sort = [seconds(boxes.tree, one) for one in (small, large)]
    assert sort[1] < 16 * 3.0 * sort[0]
    trees = [boxes.tree(one) for one in (small, large)]
    search = [seconds(envelope.to_bodies, one, BODIES, FRAME) for one in trees]
    assert search[1] < 8.0 * search[0]
    record = np.zeros(len(large), dtype=[("n", "<f4", 3), ("c", "<f4", (3, 3)), ("a", "<u2")])
    record["c"] = large
    file = tmp_path / "ground.stl"
    file.write_bytes(b" " * 80 + np.uint32(len(large)).tobytes() + record.tobytes())
    assert search[1] < 2.0 * seconds(reading.read, file)
