"""What contradicts itself is said, never settled in silence."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

import bayonet
from bayonet.errors import DesignError, ScanError
from bayonet.findings import Verdict
from bayonet.printing import results
from bayonet.surroundings import reading

EXAMPLES = Path(__file__).parents[1] / "examples"
SENSOR = (EXAMPLES / "level_sensor.toml").read_text("utf-8")


def correlated(*rows: tuple[str, str, float]) -> str:
    lines = [f'{{ between = ["{a}", "{b}"], r = {r} }}' for a, b, r in rows]
    return SENSOR.replace("[plug]\n", f"[plug]\ncorrelation = [{', '.join(lines)}]\n", 1)


A, B, C = "lugs.thickness", "lugs.bearing_depth", "lugs.outer_diameter"


@pytest.mark.parametrize(
    ("rows", "words"),
    [
        ([("lugs.thicknes", B, 0.5)], "'lugs.thicknes' is no measured value"),
        ([("body.7.diameter", B, 0.5)], "'body.7.diameter' is no measured value"),
        ([("lugs.width_deg", B, 0.5)], "'lugs.width_deg' is no measured value"),
        ([(A, B, 0.5), (B, A, -0.5)], "already given in row 1"),
        ([(A, A, 0.5)], "two different fields"),
        # corr(A,B) = corr(B,C) = 0.9 leaves corr(A,C) at least 0.9^2 - (1 - 0.9^2) = 0.62
        ([(A, B, 0.9), (B, C, 0.9), (A, C, 0.6)], "not positive definite"),
    ],
)
def test_impossible_correlations_are_refused(
    rows: list[tuple[str, str, float]], words: str
) -> None:
    with pytest.raises(DesignError, match=words):
        bayonet.loads(correlated(*rows))


def test_a_possible_triple_is_sampled() -> None:
    design = bayonet.loads(correlated((A, B, 0.9), (B, C, 0.9), (A, C, 0.63)))
    assert len(design.spec.plug.correlation) == 3
    bayonet.check(design)


@pytest.mark.parametrize(
    ("felt", "verdict"),
    [
        (("loose", "will not turn"), Verdict.FAIL),
        (("tight", "loose"), Verdict.FAIL),
        (("snug", "free"), Verdict.PASS),  # one class on: scatter
        (("free", "free"), Verdict.PASS),
    ],
)
def test_a_piece_felt_two_ways(felt: tuple[str, str], verdict: Verdict) -> None:
    rows = "".join(f"felt,0.1,{word}\n" for word in felt)
    from bayonet.printing import calibrate

    done = calibrate(bayonet.loads(SENSOR), results.loads(f"kind,step,felt\n{rows}"))
    found = {one.code: one for one in done.findings}["calibrate.order"]
    assert found.verdict is verdict, found.message


HEAD = "kind,nominal,measured,step,felt,note\n"


@pytest.mark.parametrize(
    ("text", "words"),
    [
        (HEAD + 'hole,32,31.9,,,"open\nhole,20,19.9,,,\n', "swallows the rows|quote left open"),
        (HEAD + 'hole,32,31.9,,,"open\nhole,20,19.9,,,"\n', "swallows the rows"),
        (HEAD + f"hole,32,31.9,,,{'x' * 200_000}\n", "cell too long"),
        (HEAD + "hole,32,31.9,,,\n" * 2_001, "more than 2000 rows"),
        (HEAD + f"{'y' * 5000},32,31.9,,,\n", "must be hole"),
    ],
)
def test_results_that_are_no_table(text: str, words: str) -> None:
    with pytest.raises(DesignError, match=words) as caught:
        results.loads(text)
    assert len(str(caught.value)) < 400


def test_a_note_may_hold_line_ends() -> None:
    read = results.loads(HEAD + 'hole,32,31.9,,,"first\n\nsecond"\nboss,20,20.1,,,\n')
    assert [one.line for one in read.sizes] == [2, 5]
    assert read.sizes[0].note == "first\nsecond"


def test_a_results_file_is_never_cut(tmp_path: Path) -> None:
    file = tmp_path / "results.csv"
    file.write_text(HEAD + "hole,32,31.9,,,\n" + "# remark\n" * 120_000, "utf-8")
    with pytest.raises(DesignError, match="larger than 1000000 bytes"):
        results.load(file)


@pytest.mark.parametrize(
    ("rows", "words"),
    [
        (np.array([[60.0, 0.0, 0.0]]), "1 bare points say nothing"),
        (np.random.default_rng(1).random((500, 3)) * 1e30, "at most 1e\\+06"),
    ],
)
def test_surroundings_that_are_none(tmp_path: Path, rows: np.ndarray, words: str) -> None:
    file = tmp_path / "around.xyz"
    np.savetxt(file, rows)
    with pytest.raises(ScanError, match=words):
        reading.read(file)
