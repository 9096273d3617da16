"""How measuring a scan grows with its points, and against reading them from a table.

`pytest tests/benchmarks/test_scan_speed.py -n 0 --benchmark-enable` prints seconds.
"""

from __future__ import annotations

import time
import tracemalloc
from collections.abc import Callable
from pathlib import Path

import generator as g
import generator_scan as s
import numpy as np
import pytest
from pytest_benchmark.fixture import BenchmarkFixture

from bayonet.scan.fit.result import ScanResult
from bayonet.scan.measure import fit
from bayonet.scan.read.files import read
from bayonet.scan.read.points import ScanPoints

SMALL, LARGE = 60_000, 360_000
BYTES_A_POINT = 1.5e9 / 4e6  # 1.5 GB at four million points


@pytest.fixture(scope="module")
def sizes() -> dict[int, np.ndarray]:
    """One plug as scanned by few and by many points: copies, each with noise of its own."""
    plug = g.random_plug(np.random.default_rng(444))
    scan = s.scan(plug, s.Nuisance(noise=0.02), points=SMALL, seed=444)
    rng = np.random.default_rng(0)
    copies = LARGE // SMALL
    xyz, normals = np.tile(scan.xyz, (copies, 1)), np.tile(scan.normals, (copies, 1))
    many = xyz + normals * rng.normal(0.0, 0.02, (len(xyz), 1))
    return {SMALL: scan.xyz, LARGE: many[rng.permutation(len(many))]}


def measured(xyz: np.ndarray) -> ScanResult:
    return fit(ScanPoints(xyz_mm=xyz, name="scan"))


def seconds(call: Callable[..., object], *arguments: object) -> float:
    """Processor time, which a busy machine changes least."""
    start = time.process_time()
    call(*arguments)
    return time.process_time() - start


def test_time_and_memory_grow_no_faster_than_points_and_time_is_a_few_times_reading(
    sizes: dict[int, np.ndarray], tmp_path: Path
) -> None:
    """Six times the points: three times the time at most (about 1.7 measured)."""
    tracemalloc.start()  # and loads what is loaded once
    try:
        measured(sizes[LARGE])
        peak = tracemalloc.get_traced_memory()[1]
    finally:
        tracemalloc.stop()
    assert peak < BYTES_A_POINT * LARGE
    few, many = seconds(measured, sizes[SMALL]), seconds(measured, sizes[LARGE])
    assert many < 3.0 * few
    table = tmp_path / "scan.xyz"
    np.savetxt(table, sizes[LARGE], fmt="%.4f")
    assert many < 20.0 * seconds(read, table)


def test_fit(benchmark: BenchmarkFixture, sizes: dict[int, np.ndarray]) -> None:
    plug = g.random_plug(np.random.default_rng(444))
    assert benchmark(measured, sizes[SMALL]).lugs == plug.count
