"""What a scan may claim: fixtures change nothing, what is not shown is not told, odd lugs named.

Each case is made so that its truth is known from the generator, not from the fit.
"""

from __future__ import annotations

import dataclasses

import evaluate
import generator_scan as s
import numpy as np
import pytest
from scipy.spatial.transform import Rotation
from test_fit import _sensor

from bayonet.errors import ScanError
from bayonet.scan.describe.design_file import described
from bayonet.scan.fit.result import ScanResult
from bayonet.scan.measure import fit
from bayonet.scan.read.points import ScanPoints


def _fitted(nuisance: s.Nuisance, *, points: int = 22_000, seed: int = 2) -> ScanResult:
    return fit(evaluate.as_points(s.scan(_sensor(), nuisance, points=points, seed=seed)))


@pytest.fixture(scope="module")
def free() -> ScanResult:
    return _fitted(s.Nuisance(noise=0.02, top=False))


@pytest.fixture(scope="module")
def held() -> dict[str, ScanResult]:
    """The same points of the part, and a fixture that touches it."""
    return {
        fixture: _fitted(s.Nuisance(noise=0.02, top=False, fixture=fixture))
        for fixture in ("table", "rim", "vice")
    }


@pytest.mark.parametrize("fixture", ["table", "rim", "vice"])
def test_a_touching_fixture_changes_nothing(
    free: ScanResult, held: dict[str, ScanResult], fixture: str
) -> None:
    """Same points of the part with and without: no dimension moves by over 3 u, none is lost.

    Nor is the sector it touches given up: the rim is seen nearly all round.
    """
    before = {one.key: one for one in free.features}
    for one in held[fixture].features:
        was = before[one.key]
        assert one.found == was.found, one.key
        if one.found == "measured" and not one.key.endswith("centre_deg"):
            assert abs(one.value - was.value) <= 3.0 * max(one.u, was.u), one.key
            assert one.u < 1.5 * was.u
    told = {one.key: one for one in held[fixture].features}
    assert told["shoulder_diameter"].coverage > 0.85


def _observed(nuisance: s.Nuisance, seed: int = 4) -> tuple[s.Scan, ScanResult, list[str]]:
    scan = s.scan(_sensor(), nuisance, points=25_000, seed=seed)
    result = fit(evaluate.as_points(scan))
    return scan, result, evaluate.observability_errors(scan, evaluate.by_true_key(scan, result))


def test_nothing_is_withheld_that_a_whole_scan_tells() -> None:
    _, result, wrong = _observed(s.Nuisance(noise=0.02))
    assert wrong == []
    assert {one.found for one in result.features} == {"measured"}


def test_flanks_that_face_away_are_not_told() -> None:
    """Seen from the tank's end alone: leading flanks and widths yes, bearing flanks no."""
    nuisance = s.Nuisance(noise=0.02, line_of_sight=(15.0, 65.0), top=False)
    scan, result, wrong = _observed(nuisance)
    names = {scan.faces[i].name for i in np.unique(scan.face) if i >= 0}
    assert not [name for name in names if name.endswith("bearing")]
    assert wrong == []
    found = {one.key: one.found for one in result.features}
    assert all(found[f"lug.{i}.thickness"] == "not seen" for i in range(3))
    assert all(found[f"lug.{i}.outer_diameter"] == "measured" for i in range(3))
    assert not [one for one in result.form if one.key.endswith("bearing_lead")]


def test_a_hidden_lug_is_by_symmetry_and_never_measured() -> None:
    """200 degrees seen: the lug in the dark is where the two others say, and said to be so."""
    scan, result, wrong = _observed(s.Nuisance(noise=0.02, sector=(-10.0, 190.0)))
    assert wrong == []
    told = evaluate.by_true_key(scan, result)
    assert result.lugs == 3
    assert {told[f"lug.2.{name}"].found for name in ("centre_deg", "thickness", "lead")} == {
        "by symmetry"
    }
    assert all(told[f"lug.{i}.thickness"].found == "measured" for i in (0, 1))
    assert told["lug.2.centre_deg"].value % 360.0 == pytest.approx(270.0, abs=0.05)


def test_ends_are_measured_where_they_show_and_not_where_they_do_not(
    free: ScanResult, held: dict[str, ScanResult]
) -> None:
    """Thickness and chamfer of the whole scan; no thickness without the top, nor from a table."""
    bare = _fitted(s.Nuisance(noise=0.02))
    for result, found in ((bare, "measured"), (free, "not seen"), (held["table"], "not seen")):
        rows = {one.key: one for one in result.features}
        one = rows["shoulder_thickness"]
        assert one.found == found
        if found == "measured":
            assert one.value == pytest.approx(4.0, abs=3 * one.u + 2e-4)
        chamfer = rows["nose_chamfer"]
        assert chamfer.value == pytest.approx(1.0, abs=3.5 * chamfer.u + 5e-4)


def test_a_rounded_or_sharp_nose_is_no_chamfer() -> None:
    sharp = dataclasses.replace(_sensor(), nose_chamfer=0.0)
    scan = s.scan(sharp, s.Nuisance(noise=0.02), points=30_000, seed=1)
    rows = {one.key: one for one in fit(evaluate.as_points(scan)).features}
    assert rows["nose_chamfer"].found == "not seen"
    assert rows["nose_chamfer"].note


def _odd(**changed: float) -> tuple[s.Scan, ScanResult]:
    """The sensor with its second lug (150 deg) changed."""
    plug = _sensor()
    p = dict(plug.p)
    for name, value in changed.items():
        p[f"lug.1.{name}"] = value
    scan = s.scan(dataclasses.replace(plug, p=p), s.Nuisance(noise=0.01), points=30_000, seed=3)
    return scan, fit(evaluate.as_points(scan))


def test_a_lug_of_another_lead_is_named_and_not_averaged() -> None:
    """6 mm/rev, one of 9: the odd one has its own, the others theirs, and the file has theirs."""
    scan, result = _odd(lead=9.0)
    number = evaluate._true_numbers(scan, result)
    assert {number[lug] for lug, words in result.flags if "lead" in words} == {1}
    told = evaluate.by_true_key(scan, result)
    for i, truth in ((0, 6.0), (1, 9.0), (2, 6.0)):
        one = told[f"lug.{i}.lead"]
        assert one.value == pytest.approx(truth, abs=max(4 * one.u, 0.15)), i
    assert "disagrees" in told["lug.1.lead"].note
    points = evaluate.as_points(scan)
    assert "lead = { value = 6." in described(result, points).replace("5.9", "6.")
    assert "lead" not in result.parameters


@pytest.mark.parametrize(
    ("name", "value"), [("bearing_depth", 5.4), ("thickness", 3.1), ("outer_diameter", 39.4)]
)
def test_a_lug_that_differs_is_named_and_not_averaged(name: str, value: float) -> None:
    scan, result = _odd(**{name: value})
    number = evaluate._true_numbers(scan, result)
    assert {number[lug] for lug, _ in result.flags} == {1}
    told = evaluate.by_true_key(scan, result)
    for i in range(3):
        one = told[f"lug.{i}.{name}"]
        truth = value if i == 1 else _sensor().p[f"lug.0.{name}"]
        assert one.value == pytest.approx(truth, abs=max(4 * one.u, 0.003)), i
    text = described(result, evaluate.as_points(scan))
    line = next(line for line in text.splitlines() if line.startswith(f"{name} = {{"))
    written = float(line.split("value = ")[1].split(",")[0])
    assert written == pytest.approx(_sensor().p[f"lug.0.{name}"], abs=0.01)


def test_a_tilted_shoulder_and_an_offset_body_are_told() -> None:
    """The shoulder's points leaning by 0.1 mm over 50, the small body's moved by 0.04."""
    scan = s.scan(_sensor(), s.Nuisance(noise=0.01), points=25_000, seed=8)
    local = (scan.xyz - scan.origin) @ scan.rotation
    names = np.array([face.name for face in scan.faces])[scan.face]
    shoulder = names == "shoulder"
    local[shoulder, 2] += 0.1 / 50.0 * local[shoulder, 0]
    local[names == "body.1", 1] += 0.04
    result = fit(ScanPoints(xyz_mm=local, name="odd"))
    form = {one.key: one for one in result.form}
    assert 0.04 < form["shoulder.squareness"].value < 0.11  # the common axis leans with it a little
    assert 0.03 < form["body.1.coaxiality"].value < 0.1
    assert any("not square" in text for text in result.warnings)
    assert any("common axis" in text for text in result.warnings)


@pytest.mark.parametrize(
    ("shift", "turn", "count"),
    [((80.0, 10.0, 5.0), 50.0, 15_000), ((0.0, 0.0, 60.0), 0.0, 15_000),
     ((70.0, 0.0, 0.0), 0.0, 5_000)],
    ids=["beside, leaning", "on one axis", "a sparser one"],
)  # fmt: skip
def test_two_parts_in_one_file_are_refused(
    shift: tuple[float, float, float], turn: float, count: int
) -> None:
    parts = []
    for seed, points in ((1, 15_000), (2, count)):
        scan = s.scan(_sensor(), s.Nuisance(noise=0.02), points=points, seed=seed)
        parts.append((scan.xyz - scan.origin) @ scan.rotation)
    moved = parts[1] @ Rotation.from_euler("x", turn, degrees=True).as_matrix() + shift
    with pytest.raises(ScanError, match=r"pair: two turned parts"):
        fit(ScanPoints(xyz_mm=np.vstack([parts[0], moved]), name="pair"))


def test_a_lug_that_was_overlooked_is_refused() -> None:
    """Points as high as the lugs where none was found, told by hand to the check itself."""
    from bayonet.scan.fit.faces import Shape
    from bayonet.scan.fit.refined import Labelled, Pose, Refined
    from bayonet.scan.uncertainty.overlooked_lugs import refuse_missed

    values = {"body.0.diameter": 32.0}
    for i, centre in enumerate((30.0, 150.0)):
        own = {"centre_deg": centre, "width_deg": 28.0, "outer_diameter": 40.0,
               "bearing_depth": 5.0, "thickness": 3.5}  # fmt: skip
        values |= {f"lug.{i}.{name}": value for name, value in own.items()}
    none = np.zeros(0)
    seen = Labelled(r=none, theta=none, depth=none, face=none.astype(int), residual=none, names=())
    end = Refined(pose=Pose(rotation=np.eye(3), origin=np.zeros(3)), values=values, keys=(),
                  information=np.zeros((0, 0)), scatter=np.zeros((0, 0)), noise=0.02,
                  labelled=seen)  # fmt: skip
    shape = Shape(lugs=2, bodies=1, root=0, groove="none", sign=-1, parallel=False)
    rng = np.random.default_rng(0)

    def lug(centre: float, count: int) -> np.ndarray:
        theta = centre + rng.uniform(-13, 13, count)
        return np.column_stack([20 + rng.normal(0, 0.02, count), theta, rng.uniform(5.5, 8, count)])

    two = np.vstack([lug(30, 200), lug(150, 200)])
    refuse_missed(two, end, shape, name="part")
    outliers = np.column_stack([np.full(12, 20.0), np.arange(0, 360, 30.0), np.full(12, 6.5)])
    refuse_missed(np.vstack([two, outliers]), end, shape, name="part")
    with pytest.raises(ScanError, match=r"part: something as high as the lugs stands at 2[67]\d"):
        refuse_missed(np.vstack([two, lug(270, 30)]), end, shape, name="part")
