"""How long things take, and against what. Absolute times are for people; CI judges ratios only.

Run `pytest tests/benchmarks -n 0 --benchmark-enable` for a table.
"""

from __future__ import annotations

import math
import statistics
import time
import tracemalloc
from collections.abc import Callable
from pathlib import Path

import cadquery as cq
import numpy as np
import pytest
from OCP.BRepAdaptor import BRepAdaptor_Surface
from pytest_benchmark.fixture import BenchmarkFixture

import bayonet
from bayonet import solids
from bayonet.checks.motion.proof import motion_of
from bayonet.developed import contour, volume
from bayonet.parts import profile
from bayonet.parts.socket import Socket, Track
from bayonet.shapes import mirrored
from bayonet.solids.kernel import gate
from bayonet.solids.kernel.turn import turned
from bayonet.solids.kernel.wrap import wrapped
from bayonet.tolerance.chains.sampling import sample
from bayonet.tolerance.fitting.requirements import chains_of

FASTER_TO_CUT = 4.0
CLOSER_TO_THE_HELICOID = 1000.0


@pytest.fixture
def ramped() -> bayonet.Design:
    """The sensor with a parallel floor, which a pipe sweep can make too."""
    text = (Path(__file__).parents[2] / "examples" / "level_sensor.toml").read_text("utf-8")
    return bayonet.loads(text.replace("dwell_deg = 0", 'dwell_deg = 0\nfloor = "parallel"'))


def tools_of(socket: Socket) -> list[cq.Solid]:
    return [
        wrapped(mirrored(contour.of_track(t), sign=socket.sign, centre_deg=t.centre_deg))
        for t in socket.tracks
    ]


def boss_of(socket: Socket) -> cq.Solid:
    """The turned boss, its seam clear of the tracks."""
    seam = socket.tracks[0].centre_deg - socket.sign * 22.0
    return turned(profile.of_socket(socket), seam_deg=seam, what="boss")


def test_contour_and_free_region(benchmark: BenchmarkFixture, sensor: bayonet.Design) -> None:
    motion = benchmark(motion_of, sensor.plug, sensor.socket)
    assert motion.path


def test_one_track_tool(benchmark: BenchmarkFixture, sensor: bayonet.Design) -> None:
    track = sensor.socket.tracks[0]
    shape = mirrored(contour.of_track(track), sign=-1, centre_deg=30.0)
    assert benchmark(wrapped, shape).isValid()


def test_one_socket_cut(benchmark: BenchmarkFixture, sensor: bayonet.Design) -> None:
    assert benchmark(solids.socket, sensor.socket).isValid()


def test_whole_make(benchmark: BenchmarkFixture, sensor: bayonet.Design, tmp_path: Path) -> None:
    made = benchmark.pedantic(bayonet.make, (sensor, tmp_path / "out"), rounds=3)
    assert {"socket.step", "tolerance_report.pdf"} <= set(made.files)


# ---- the same socket as an ordinary pipe sweep -------------------------------------------


def swept(socket: Socket, track: Track) -> list[cq.Shape]:
    """Ramp by a rectangle swept along a helix, and the slot as a wedge: the usual way."""
    lead = socket.lead_mm_per_rev
    inner, outer = track.inner_radius_mm - 0.5, track.outer_radius_mm
    (_, _), (end, roof) = track.roof
    floor = track.floor[-1][1]
    start = track.floor[0][0]
    rise = lead * (end - start) / 360.0
    helix = cq.Wire.makeHelix(lead, rise, (inner + outer) / 2.0).translate(cq.Vector(0, 0, -roof))
    corners = [(inner, -floor), (outer, -floor), (outer, -roof), (inner, -roof)]
    section = cq.Wire.makePolygon([cq.Vector(x, 0, z) for x, z in corners], close=True)
    ramp = cq.Solid.sweep(section, [], helix, True, True)
    axis = (cq.Vector(0, 0, 0), cq.Vector(0, 0, 1))
    deep, half = track.floor[0][1], track.slot.deg
    wedge = cq.Solid.makeCylinder(outer, deep, cq.Vector(0, 0, -deep), axis[1], 2 * half)
    return [
        ramp.rotate(*axis, track.centre_deg + socket.sign * end),
        wedge.rotate(*axis, track.centre_deg - half),
    ]


def flank_error(shape: cq.Shape, lead: float) -> float:
    """Greatest departure of free-form flanks from z - lead theta / 2 pi = constant [mm]."""
    worst = 0.0
    for face in shape.Faces():
        if face.geomType() in ("PLANE", "CYLINDER", "CONE", "TORUS"):
            continue
        surface = BRepAdaptor_Surface(face.wrapped)
        u0, u1, v0, v1 = face._uvBounds()
        values = [
            surface.Value(float(u), float(v))
            for v in np.linspace(v0, v1, 5)
            for u in np.linspace(u0, u1, 60)
        ]
        theta = np.unwrap([math.atan2(p.Y(), p.X()) for p in values])
        level = np.array([p.Z() for p in values]) - lead * theta / (2 * math.pi)
        if np.ptp(level) < 0.05:  # a flank; the swept wall and bore are no constant
            worst = max(worst, float(np.ptp(level)) / 2.0)
    return worst


def seconds(job: Callable[[], object]) -> float:
    start = time.perf_counter()
    job()
    return time.perf_counter() - start


def ratio(job: Callable[[], object], other: Callable[[], object], pairs: int = 5) -> float:
    """Median of how much longer ``job`` takes, the two in turn so that load hits both."""
    return statistics.median(seconds(job) / seconds(other) for _ in range(pairs))


def test_against_an_ordinary_helical_sweep(ramped: bayonet.Design) -> None:
    socket = ramped.socket
    boss, exact = boss_of(socket), volume.of_socket(socket)
    ours = tools_of(socket)
    usual = [tool for track in socket.tracks for tool in swept(socket, track)]
    by_us = gate.cut(boss, ours, volume_mm3=exact, what="ours")
    by_sweep = boss.cut(*usual)
    assert by_sweep.Volume() == pytest.approx(exact, rel=1e-5), "the comparison is the same socket"

    longer = ratio(
        lambda: boss.cut(*usual),
        lambda: gate.cut(boss, ours, volume_mm3=exact, what="ours"),
    )
    assert longer >= FASTER_TO_CUT

    lead = socket.lead_mm_per_rev
    our_error = max(flank_error(by_us, lead), 1e-15)
    their_error = flank_error(by_sweep, lead)
    assert their_error > 0.0
    assert their_error >= CLOSER_TO_THE_HELICOID * our_error


DEVIATES_RATIO = 6.0
MEGABYTES = 250.0


def test_sampling_all_chains(benchmark: BenchmarkFixture, sensor: bayonet.Design) -> None:
    """A million pairs, every chain in every state of service."""
    chains = chains_of(sensor)
    found = benchmark(sample, chains, count=1_000_000, seed=1)
    assert found.count >= 1_000_000


def test_a_sampled_pair_costs_a_few_times_its_random_numbers(sensor: bayonet.Design) -> None:
    """Against numpy alone drawing as many normal deviates, in processor time of one thread."""
    chains, count = chains_of(sensor), 1 << 18
    sample(chains, count=count, seed=1)  # quantile tables are kept from here on

    def plain() -> None:
        source = np.random.default_rng(1)
        for _ in range(count // 8192):
            source.standard_normal((len(chains.variables), 8192))

    def processor(work: Callable[[], object]) -> float:
        start = time.process_time()
        work()
        return time.process_time() - start

    pairs = [
        (processor(lambda: sample(chains, count=count, seed=1)), processor(plain)) for _ in range(5)
    ]
    ratio = statistics.median(one / other for one, other in pairs)
    assert ratio < DEVIATES_RATIO


def test_sampling_keeps_to_fixed_memory(sensor: bayonet.Design) -> None:
    """Four times the pairs take no more memory: blocks are worked on and dropped."""
    chains = chains_of(sensor)
    peaks = []
    for count in (1 << 18, 1 << 20):
        tracemalloc.start()
        sample(chains, count=count, seed=1)
        peaks.append(tracemalloc.get_traced_memory()[1] / 1e6)
        tracemalloc.stop()
    assert peaks[1] < 1.2 * peaks[0] + 5.0
    assert peaks[1] < MEGABYTES
