"""Learning a printer: two rounds come within its repeatability; contradictions are said."""

from __future__ import annotations

import math
from pathlib import Path

import numpy as np
import pytest

import bayonet
from bayonet.errors import DesignError
from bayonet.findings import Verdict
from bayonet.parts.socket import Socket
from bayonet.printing import piece, printer_profile, results
from bayonet.printing.bar import Gauge
from bayonet.printing.calibration import calibrate, felt_of
from bayonet.printing.compensation import PrintedSize, as_printed
from bayonet.printing.piece import Piece
from bayonet.printing.pieces import drawn
from bayonet.printing.printer_profile import ProcessProfile
from bayonet.printing.results import FeltResult, Results, SizeResult

SENSOR = Path("examples/level_sensor.toml")
PRINTS = Path("examples/level_sensor_prints.csv")
STEPS = (0.0, 0.1, 0.2, 0.3)
U = 0.02


def ladder_of(design: bayonet.Design) -> tuple[Piece, ...]:
    return piece.ladder(
        design.plug, design.socket, steps_mm=STEPS, with_seal=False, printer=design.spec.printer
    )


def printed_and_measured(
    design: bayonet.Design,
    truth: PrintedSize,
    rng: np.random.Generator,
    *,
    profile: ProcessProfile | None,
    repeats: float = 0.05,
) -> Results:
    """Print the ladder on a printer of known truth; measure and turn a plug of nominal size."""

    def size(kind: results.Kind, nominal: float, printed: float) -> SizeResult:
        measured = printed + rng.normal(0, repeats) + rng.normal(0, U)
        return SizeResult(line=1, kind=kind, nominal_mm=nominal, measured_mm=measured, u_mm=U)

    sizes, felt = [], []
    body = max(step.radius_mm for step in design.plug.body)
    for one in ladder_of(design):
        file = drawn(one.socket, profile)
        part = as_printed(file, truth)
        sizes += [
            size("hole", 2 * file.bore[-1][0], 2 * part.bore[-1][0]),
            size("boss", 2 * file.boss_radius_mm, 2 * part.boss_radius_mm),
            size("length", file.boss_height_mm, part.boss_height_mm),
        ]
        gap = part.track_bore_radius_mm - body + rng.normal(0, 0.02)
        felt.append(FeltResult(line=1, step_mm=one.step_mm, felt=felt_of(gap), torque_nm=None))
    bar = Gauge() if profile is None else Gauge().drawn(profile.size)
    sizes += [size(kind, nominal, truth.printed(nominal, kind)) for kind, nominal, _ in bar.sizes()]
    return Results(sizes=tuple(sizes), felt=tuple(felt))


def functional_sizes(shape: Socket) -> np.ndarray:
    """What decides the fit: bore, track wall, roof and floor, outside, height, and slot width."""
    track = shape.tracks[0]
    slot = 2 * math.radians(float(track.slot.at(20.0))) * 20.0  # at the lug's radius
    return np.array([2 * shape.track_bore_radius_mm, 2 * track.outer_radius_mm, track.roof[-1][1],
                     track.floor[-1][1], 2 * shape.boss_radius_mm, shape.boss_height_mm,
                     slot])  # fmt: skip


def two_rounds(truth: PrintedSize, seed: int, repeats: float) -> ProcessProfile:
    design = bayonet.load(SENSOR)
    rng = np.random.default_rng(seed)
    profile = None
    for _ in range(2):
        seen = printed_and_measured(design, truth, rng, profile=profile, repeats=repeats)
        profile = calibrate(design, seen, before=profile).profile
    assert profile is not None
    return profile


def test_two_rounds_end_within_the_printers_repeatability() -> None:
    """Sixty printers. A slot side is told by small holes alone, so one in twenty may lie out."""
    repeats, rng = 0.05, np.random.default_rng(2)
    meant = ladder_of(bayonet.load(SENSOR))[0].socket
    intended, off = functional_sizes(meant), []
    for seed in range(60):
        hole, boss, scale = rng.uniform([-0.45, -0.2, 0.992], [0.25, 0.3, 1.006])
        truth = PrintedSize(hole_mm=hole, boss_mm=boss, scale=scale)
        profile = two_rounds(truth, seed, repeats)
        left = functional_sizes(as_printed(drawn(meant, profile), truth)) - intended
        before = functional_sizes(as_printed(meant, truth)) - intended
        assert np.abs(left).max() < max(np.abs(before).max(), repeats)
        off.append(np.abs(left))
    worst, slots = np.array(off)[:, :-1].max(), np.array(off)[:, -1]
    assert worst <= repeats
    assert np.mean(slots <= repeats) >= 0.95


def test_stated_uncertainty_is_honest() -> None:
    """Over 60 printers drawn from the prior, errors over their own u: chi-square, 3 a printer."""
    design = bayonet.load(SENSOR)
    rng = np.random.default_rng(11)
    total = 0.0
    for _ in range(60):
        hole, boss, scale = rng.normal([0, 0, 1], printer_profile.PRIOR_U)
        truth = PrintedSize(hole_mm=hole, boss_mm=boss, scale=scale)
        seen = printed_and_measured(design, truth, rng, profile=None)
        profile = calibrate(design, Results(sizes=seen.sizes, felt=())).profile
        error = np.array([hole, boss, scale]) - profile.mean
        total += error @ np.linalg.solve(profile.covariance, error)
    assert 180 - 4 * math.sqrt(360) < total < 180 + 4 * math.sqrt(360)


def test_what_is_learnt_of_holes_slots_and_lengths_by_normal_equations(
    sensor: bayonet.Design,
) -> None:
    """Covariance as in JCGM 102:2011, 6.2 and any text on least squares: (P + A'WA) inverse.

    A hole, a boss and a length measured; prior 0.3 mm, 0.3 mm, 0.005; each size known to its own
    u and to how the printer repeats. A row is (hole, boss, size) by what its error is made of.
    """
    text = (
        "kind,nominal,measured,u,step,felt,torque\nhole,32.8,32.57,0.02,,,\n"
        "boss,50.0,49.95,0.03,,,\nlength,25.0,24.93,0.02,,,\n"
    )
    found = {f.code: f for f in calibrate(sensor, results.loads(text)).findings}
    repeats = sensor.spec.printer.repeatability.value
    rows = np.array([[1.0, 0.0, 32.8], [0.0, 1.0, 50.0], [0.0, 0.0, 25.0]])
    weights = np.diag([1.0 / (u**2 + repeats**2) for u in (0.02, 0.03, 0.02)])
    prior = np.diag([1.0 / u**2 for u in (0.30, 0.30, 0.005)])
    covariance = np.linalg.inv(prior + rows.T @ weights @ rows)
    socket = sensor.socket
    track = socket.tracks[0]
    radius = track.outer_radius_mm
    chord = 2.0 * radius * math.sin(math.radians(float(track.slot.at(radius))))
    for word, row in (
        ("holes", [1.0, 0.0, 2.0 * radius]),
        ("slots", [1.0, 0.0, chord]),
        ("lengths", [0.0, 0.0, socket.boss_height_mm]),
    ):
        u = math.sqrt(np.array(row) @ covariance @ np.array(row))
        assert found[f"calibrate.{word}"].value == pytest.approx(u, rel=1e-6), word


def test_felt_results_alone_tell_the_holes(sensor: bayonet.Design) -> None:
    """Gaps 0.1 + step; holes 0.3 too small take 0.15 a side: tight at 0.1, free from 0.2 on."""
    rows = [(0.0, "will not turn"), (0.1, "tight"), (0.2, "free"), (0.3, "free"), (0.5, "loose")]
    felt = tuple(
        FeltResult(line=1, step_mm=step, felt=word, torque_nm=None)  # type: ignore[arg-type]
        for step, word in rows
    )
    done = calibrate(sensor, Results(sizes=(), felt=felt))
    at_wall = np.array([1.0, 0.0, 2 * sensor.socket.track_radius_mm])
    shift = float(at_wall @ (done.profile.mean - [0, 0, 1]))
    u = math.sqrt(at_wall @ done.profile.covariance @ at_wall)
    assert abs(shift + 0.3) < 2 * u
    assert u < 0.13  # the prior's is 0.36
    found = {row.code: row for row in done.findings}
    assert "nothing in the results tells it" in found["calibrate.bosses"].message
    assert found["calibrate.agreement"].verdict is Verdict.PASS


def test_felt_results_of_compensated_pieces_are_held_against_their_profile(
    sensor: bayonet.Design,
) -> None:
    """Drawn for holes -0.3 and felt as intended: nothing new, and no contradiction."""
    before = ProcessProfile(
        name="x", mean=np.array([-0.3, 0.1, 0.995]), covariance=np.diag([0.01, 0.01, 1e-6])
    )
    felt = tuple(
        FeltResult(line=1, step_mm=step, felt=felt_of(0.1 + step), torque_nm=None)
        for step in (-0.08, -0.03, 0.0, 0.1, 0.3)
    )
    done = calibrate(sensor, Results(sizes=(), felt=felt), before=before)
    assert done.verdict is not Verdict.FAIL
    assert done.profile.mean[0] == pytest.approx(-0.3, abs=0.04)
    assert done.profile.u[0] < before.u[0]
    assert (done.profile.sizes, done.profile.felt) == (0, 5)


def base() -> str:
    return (
        "kind,nominal,measured,u,step,felt,torque\n"
        "hole,32.2,31.98,0.02,,,\nhole,32.4,32.19,0.02,,,\nhole,32.6,32.37,0.02,,,\n"
        "boss,50,50.1,0.02,,,\nboss,50,50.12,0.02,,,\nlength,16,16.01,0.02,,,\n"
    )


@pytest.mark.parametrize(
    ("extra", "code", "words"),
    [
        ("hole,32.8,33.2,0.02,,,\n", "calibrate.sizes", "line 8 (hole 32.8)"),
        ("boss,50,49.2,0.02,,,\n", "calibrate.sizes", "contradict"),
        ("felt,,,,0.1,free,\nfelt,,,,0.2,tight,\n", "calibrate.order", "+0.2 (tight)"),
        ("felt,,,,0.1,snug,1.0\nfelt,,,,0.2,snug,2.0\n", "calibrate.order", "(2 N m)"),
        ("felt,,,,0.0,loose,\nfelt,,,,0.1,loose,\n", "calibrate.agreement", "contradict"),
        ("felt,,,,0.3,will not turn,\n", "calibrate.agreement", "contradict"),
    ],
)
def test_contradictions_are_said(sensor: bayonet.Design, extra: str, code: str, words: str) -> None:
    fine = calibrate(sensor, results.loads(base()))
    assert fine.verdict is not Verdict.FAIL
    done = calibrate(sensor, results.loads(base() + extra))
    row = next(row for row in done.findings if row.code == code)
    assert row.verdict is Verdict.FAIL
    assert words in row.message
    assert row.message in done.profile.contradictions
    assert done.verdict is Verdict.FAIL


def test_sizes_that_scatter_too_much_widen_the_uncertainty(sensor: bayonet.Design) -> None:
    calm = calibrate(sensor, results.loads(base() + "hole,32.8,32.57,0.02,,,\n")).profile
    wild = calibrate(sensor, results.loads(base() + "hole,32.8,33.2,0.02,,,\n")).profile
    assert wild.u[0] > 1.5 * calm.u[0]


def test_the_example_prints_agree(sensor: bayonet.Design) -> None:
    """Made with holes -0.22, bosses +0.10 and scale 0.997."""
    done = calibrate(sensor, results.load(PRINTS))
    assert done.verdict is Verdict.PASS
    off = (done.profile.mean - [-0.22, 0.10, 0.997]) / done.profile.u
    assert (np.abs(off) < 2).all()


def test_a_profile_survives_its_file(tmp_path: Path, sensor: bayonet.Design) -> None:
    odd = 'a "bench" \\ printer\nPETG'
    profile = calibrate(sensor, results.load(PRINTS), name=odd).profile
    (tmp_path / "p.toml").write_text(profile.text(), "utf-8")
    again = printer_profile.load(tmp_path / "p.toml")
    assert again.text() == profile.text()
    assert again.mean == pytest.approx(profile.mean, rel=1e-8)
    assert "Do not pressurise" in profile.text()


@pytest.mark.parametrize(
    ("change", "rule"),
    [
        (("scale = 0.99", "scale = 2.99"), "scale"),
        (("format = 1", "format = 9"), "format"),
        (("sizes", "size"), "size"),
        (("covariance = [\n    [0.00", "covariance = [\n    [-0.00"), "positive definite"),
        (("name = ", "name = ["), "not a process profile"),
    ],
)
def test_a_broken_profile_is_one_clear_error(
    tmp_path: Path, sensor: bayonet.Design, change: tuple[str, str], rule: str
) -> None:
    text = calibrate(sensor, results.load(PRINTS)).profile.text()
    assert change[0] in text
    (tmp_path / "p.toml").write_text(text.replace(*change), "utf-8")
    with pytest.raises(DesignError, match=rule):
        printer_profile.load(tmp_path / "p.toml")


@pytest.mark.parametrize(
    ("text", "rule"),
    [
        ("", "is empty"),
        ("kind,nominal,size\n", "columns"),
        ("nominal,measured\n1,2\n", "columns"),
        ("kind,nominal,measured\nslot,10,9.9\n", ":2: kind = slot: must be hole, boss, length"),
        ("kind,nominal,measured\nhole,,9.9\n", "nominal: is missing"),
        ("kind,nominal,measured\nhole,10,7\n", "more than a fifth"),
        ("kind,nominal,measured\n# x\nhole,10,abc\n", ":3: measured = abc"),
        ("kind,nominal,measured,u\nhole,10,9.9,0\n", "u = 0"),
        ("kind,nominal,measured\nhole,10,nan\n", "measured"),
        ("kind,step,felt\nfelt,0.1,wobbly\n", "must be one of: will not turn"),
        ("kind,step,felt\nfelt,,free\n", "step: is missing"),
        ("kind,step,felt,torque\nfelt,0.1,free,-2\n", "torque = -2"),
        ('kind,nominal,measured\nhole,10,"9,9"\n', "decimal point"),
        ("kind,nominal\nhole,10,9.9\n", "more cells"),
    ],
)  # fmt: skip
def test_bad_results_are_named_by_line(text: str, rule: str) -> None:
    with pytest.raises(DesignError) as caught:
        results.loads(text, file="r.csv")
    assert rule in str(caught.value)


def test_all_problems_of_a_results_file_come_together() -> None:
    with pytest.raises(DesignError) as caught:
        results.loads("kind,nominal,measured\nslot,1,1\nhole,10,7\nboss,x,3\n")
    assert len(caught.value.problems) == 3


def test_rows_not_filled_in_are_passed_over(sensor: bayonet.Design) -> None:
    read = results.loads("kind,nominal,measured,step,felt\nhole,32.2,,,\nfelt,,,0.1,\n")
    assert read == Results(sizes=(), felt=())
    assert calibrate(sensor, read).verdict is Verdict.FAIL
