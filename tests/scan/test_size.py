"""A plug six times larger, or a sixth as large, is measured as well as one of the usual size."""

from __future__ import annotations

import dataclasses
import re

import evaluate
import generator as g
import generator_scan as s
import numpy as np
import pytest

from bayonet.scan.fit import ScanResult
from bayonet.scan.measure import fit, working_unit_mm
from bayonet.scan.read import ScanPoints


@pytest.fixture(scope="module")
def scan() -> ScanPoints:
    return evaluate.as_points(
        evaluate.made(0, points=30_000, clean=True, correlated=False, mesh=False)
    )


@pytest.fixture(scope="module")
def usual(scan: ScanPoints) -> ScanResult:
    return fit(scan)


@pytest.mark.parametrize("times", [6.0, 0.16])
def test_size_changes_nothing_but_lengths(
    scan: ScanPoints, usual: ScanResult, times: float
) -> None:
    """Refused before: "the shoulder was not seen" at 6, "no lugs" at 0.16."""
    found = fit(dataclasses.replace(scan, xyz_mm=scan.xyz_mm * times))
    assert (found.lugs, found.hand, found.groove, found.sides) == (
        usual.lugs, usual.hand, usual.groove, usual.sides,
    )  # fmt: skip
    other = {one.key: one for one in usual.features}
    assert {one.key for one in found.features} == set(other)
    for one in found.features:
        length = 1.0 if one.unit == "deg" else times
        before = other[one.key]
        assert one.found == before.found
        if one.found == "not seen":
            continue
        assert one.u == pytest.approx(before.u * length, rel=0.5)
        assert one.value == pytest.approx(before.value * length, abs=3.0 * one.u), one.key
    assert found.noise_mm == pytest.approx(usual.noise_mm * times, rel=0.05)


@pytest.mark.parametrize("power", [-2, 2])
def test_a_power_of_two_rounds_nothing(scan: ScanPoints, usual: ScanResult, power: int) -> None:
    """Measured in the same unit, so every number is that of the usual size, to the last bit."""
    times = 2.0**power
    assert working_unit_mm(scan.xyz_mm) == 1.0
    assert working_unit_mm(scan.xyz_mm * times) == times
    found = fit(dataclasses.replace(scan, xyz_mm=scan.xyz_mm * times))
    lengths = [times if one.unit != "deg" else 1.0 for one in usual.features]
    before = np.array([one.value for one in usual.features]) * np.array(lengths)
    np.testing.assert_array_equal([one.value for one in found.features], before)
    np.testing.assert_array_equal(found.residual_mm, usual.residual_mm * times)
    np.testing.assert_array_equal(found.origin_mm, usual.origin_mm * times)
    scale = np.array([1.0 if key.endswith("_deg") else times for key in usual.parameters])
    np.testing.assert_array_equal(found.covariance, usual.covariance * np.outer(scale, scale))


def test_words_are_in_millimetres() -> None:
    """A worn flank's loss is said in mm whatever the unit of the search."""
    plug = g.random_plug(np.random.default_rng(4), count=3, equal=True, groove="radial", layout="A")
    worn = s.scan(plug, s.Nuisance(noise=0.01, wear=0.9), points=60_000, seed=5)
    points = evaluate.as_points(worn)
    said = []
    for times in (1.0, 4.0):
        flags = fit(dataclasses.replace(points, xyz_mm=points.xyz_mm * times)).flags
        said.append([float(n) for _, words in flags for n in re.findall(r"[+-][\d.]+", words)])
    assert said[0]
    assert said[1] == pytest.approx([4.0 * number for number in said[0]], abs=2.5e-3)
