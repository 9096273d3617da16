"""Axes of body steps, groove and bores that do not coincide: by hand and by trying every shift."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

import bayonet
from bayonet.parts.design import changed
from bayonet.tolerance.fitting.deviations import deviations_of
from bayonet.tolerance.fitting.requirements import chains_of


def at(design: bayonet.Design, **off: float) -> np.ndarray:
    """A point of the zone at which only some deviations differ from 0, shape (variables, 1)."""
    known = deviations_of(design)
    point = np.zeros((len(known.variables), 1))
    for name, value in off.items():
        (row,) = known.terms[name]
        point[row] = value
    return point


def value(design: bayonet.Design, key: str, **off: float) -> float:
    return float(chains_of(design).values(at(design, **off))[key][0])


def test_two_eccentric_steps_in_two_bores_by_hand(sensor: bayonet.Design) -> None:
    """Radial gaps 0.1 (body 32.0 in 32.2) and g (26.4 in the sealing bore) share the offset."""
    seal = sensor.socket.seal_radius_mm
    assert seal is not None
    cold = changed(sensor, [("service.lowest_c", None), ("service.highest_c", None)])
    room = 0.1 + seal - 13.2
    assert value(cold, "body_in_both") == pytest.approx(room, abs=1e-9)
    moved = value(cold, "body_in_both", body_2_axis_x=0.03, seal_axis_y=0.04)
    assert moved == pytest.approx(room - 0.05, abs=1e-9)
    along = value(cold, "body_in_both", body_2_axis_x=0.03, seal_axis_x=0.03)
    assert along == pytest.approx(room, abs=1e-9), "both on one axis again"


def test_eccentric_beyond_both_gaps_fails(sensor: bayonet.Design) -> None:
    """A step 0.4 mm off its datum (zone 0.8) cannot go into two bores 0.26 mm wide together."""
    bad = changed(sensor, [("plug.spread.step_coaxiality", 0.8)])
    found = {f.code: f for f in bayonet.check(bad).findings}
    assert found["tolerance.body_in_both"].verdict.value == "fail"
    good = {f.code: f for f in bayonet.check(sensor).findings}
    assert good["tolerance.body_in_both"].verdict.value == "pass"


def _three_steps() -> bayonet.Design:
    raw: dict[str, Any] = {
        "plug": {
            "hand": "right", "turn_deg": 60, "shoulder_diameter": 60.0, "made_by": "machined",
            "body": [{"diameter": 32.0, "to_depth": 14.0}, {"diameter": 31.9, "to_depth": 20.0},
                     {"diameter": 31.8, "to_depth": 26.0}],
            "lugs": {"count": 3, "width": 8.0, "outer_diameter": 40.0, "thickness": 4.0,
                     "bearing_depth": 5.0},
            "groove": {"kind": "shoulder_face", "diameter": 46.0, "width": 3.6, "depth": 2.0},
        },
        "socket": {"process": "machined", "clearance": {"body": 0.2},
                   "seal": {"ring_section": 2.62, "ring_inside_diameter": 46.2}},
    }  # fmt: skip
    return bayonet.from_mapping(raw)


def test_three_steps_never_pass_where_no_shift_exists() -> None:
    """Second engine: every shift of a fine grid is tried for 60 random sets of axes."""
    design = _three_steps()
    gaps = np.array([0.1, 0.15, 0.2])
    grid = np.linspace(-0.25, 0.25, 201)
    x, y = np.meshgrid(grid, grid)
    generator = np.random.default_rng(4)
    passes = goes = 0
    for _ in range(60):
        axes = np.vstack([np.zeros(2), generator.uniform(-0.2, 0.2, (2, 2))])
        off = {
            f"body_{i + 1}_axis_{a}": float(axes[i][j]) for i in (1, 2) for j, a in enumerate("xy")
        }
        passed = value(design, "body_in_both", **off) >= 0.0
        free = np.all(
            [np.hypot(x + a[0], y + a[1]) <= g for a, g in zip(axes, gaps, strict=True)], 0
        )
        passes, goes = passes + passed, goes + bool(free.any())
        assert free.any() or not passed, axes
    assert 0.75 * goes < passes <= goes, "safe, and not far on the safe side"
    assert goes < 60


def test_an_eccentric_groove_opens_one_side(sensor: bayonet.Design) -> None:
    """0.03 and 0.04 mm off: 0.05 mm less squeeze on the open side, whatever the clearance."""
    rigid = changed(
        sensor,
        [(f"service.{k}", None) for k in ("lowest_c", "highest_c", "pressure")],
    )
    lost = value(rigid, "open_side") - value(
        rigid, "open_side", groove_axis_x=0.03, groove_axis_y=-0.04
    )
    assert lost == pytest.approx(0.05, abs=1e-12)


def test_axes_come_from_file_or_preset(sensor: bayonet.Design) -> None:
    """A moulded plug's preset zone is 0.08 mm wide, so 0.04 mm off; a machined socket's 0.02."""

    def half(design: bayonet.Design, key: str) -> float:
        return {v.key: v for v in deviations_of(design).variables}[key].half_width

    assert half(sensor, "groove_axis_x") == pytest.approx(0.04)
    assert half(sensor, "seal_axis_y") == pytest.approx(0.01)
    own = changed(
        sensor,
        [("plug.spread.groove_coaxiality", 0.1), ("socket.tolerance.seal_coaxiality", 0.06)],
    )
    assert half(own, "groove_axis_x") == pytest.approx(0.05)
    assert half(own, "seal_axis_y") == pytest.approx(0.03)
    assert half(own, "body_2_axis_x") == pytest.approx(0.04)
