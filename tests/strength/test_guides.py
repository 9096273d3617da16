"""Every land of the body limits the tilt that lets the lugs share a load."""

from __future__ import annotations

import math
from pathlib import Path

import numpy as np
import pytest
from scipy.optimize import linprog

import bayonet
from bayonet.checks.motion import prove
from bayonet.checks.run import bench_of
from bayonet.parts.design import changed
from bayonet.strength.loads import tilt_free_deg
from bayonet.strength.study import StrengthStudy, strength_of
from bayonet.tolerance.fitting import lands

EXAMPLES = Path(__file__).parents[2] / "examples"


def study(design: bayonet.Design) -> StrengthStudy:
    proof = prove(design.plug, design.socket)
    return strength_of(design, None, bench_of(design, proof))


def by_programme(design: bayonet.Design) -> float:
    """Steepest line through every land, by linear programming, axes shifted the worst way [deg]."""
    plug, socket, worst = design.plug, design.socket, math.inf
    pairs = lands(plug, socket)
    gaps = []
    for one in pairs:
        seal = one.bore == "sealing_bore"
        bore = socket.seal_radius_mm if seal else socket.track_bore_radius_mm
        assert bore is not None
        limit = socket.limits.sealing_bore_mm if seal else socket.limits.track_bore_mm
        step = plug.body[one.step]
        gaps.append(bore - limit / 2 - step.radius_mm - step.radius_zone_mm)
    off = socket.limits.seal_coaxiality_mm / 2 + 0.08 / 2  # a moulded plug's further step
    for sign in (-1.0, 0.0, 1.0):
        rows, ends = [], []
        for one, gap in zip(pairs, gaps, strict=True):
            centre = sign * off if one.bore == "sealing_bore" else 0.0
            for z in (one.from_mm, one.to_mm):
                rows += [[1.0, z], [-1.0, -z]]
                ends += [gap + centre, gap - centre]
        found = linprog([0.0, -1.0], A_ub=rows, b_ub=ends, bounds=[(None, None)] * 2)
        worst = min(worst, math.degrees(math.atan(max(-found.fun, 0.0))) if found.success else 0.0)
    return worst


@pytest.mark.parametrize("body", [0.25, 0.3, 0.5, 1.0])
def test_tilt_is_the_steepest_line_through_all_lands(sensor: bayonet.Design, body: float) -> None:
    design = changed(sensor, [("socket.clearance.body", body)])
    assert tilt_free_deg(design) == pytest.approx(by_programme(design), abs=1e-9)


def test_a_wide_upper_land_alone_no_longer_frees_the_plug(sensor: bayonet.Design) -> None:
    """Upper land with 1 mm of clearance: by itself it lets the plug lean 4 deg.

    The lower land, 26.4 in the sealing bore of 26.55, is 0.073 - 0.01 (bore) - 0.025 (body) free on
    radius over 8.2 mm: 0.53 deg.
    """
    design = changed(sensor, [("socket.clearance.body", 1.0)])
    upper, _, lower = lands(design.plug, design.socket)
    step, socket = design.plug.body[1], design.socket
    assert socket.seal_radius_mm is not None
    gap = socket.seal_radius_mm - socket.limits.sealing_bore_mm / 2
    gap -= step.radius_mm + step.radius_zone_mm
    alone = math.degrees(math.atan(2 * gap / (lower.to_mm - lower.from_mm)))
    assert tilt_free_deg(design) == pytest.approx(alone, abs=1e-9)
    assert alone == pytest.approx(0.53, abs=0.005)
    top = socket.track_bore_radius_mm - socket.limits.track_bore_mm / 2
    top -= design.plug.body[0].radius_mm + design.plug.body[0].radius_zone_mm
    assert math.degrees(math.atan(2 * top / (upper.to_mm - upper.from_mm))) > 3.0


def test_a_tight_lower_land_makes_one_lug_carry_all(sensor: bayonet.Design) -> None:
    """The case seen: 33 % a lug beside a lower land that holds the plug straight.

    Three lugs share alike where the plug may tilt. Of 0.05 mm on radius 0.03 is left by the limits,
    over 8.2 mm 0.42 deg: less than the 0.14 mm at 18 mm (0.44 deg) the lugs ask for.
    """
    free = changed(sensor, [("socket.clearance.body", 1.0)])
    bore = free.socket.seal_radius_mm
    assert bore is not None
    raw = [("plug.body", [
        {"diameter": 32.0, "to_depth": 13.0},
        {"diameter": {"value": round(2 * bore - 0.10, 3), "tol": 0.02}, "to_depth": 24.0},
    ])]  # fmt: skip
    tight = study(changed(free, raw)).shares
    assert tight is not None
    assert not tight.may_tilt
    assert tight.rigid.tolist() == [1.0, 1.0, 1.0]
    assert np.all(tight.most > 0.9)
