"""The gland's corners by hand, and what must move which way."""

from __future__ import annotations

import dataclasses

import pytest
from designs import as_drawn

import bayonet
from bayonet.mechanics.ring import section_by_volume
from bayonet.tolerance.fitting.gland import Conditions, Span, state

NO_PLAY = Span(least=0.0, nominal=0.0, most=0.0)


def test_corners_of_a_radial_gland_by_hand(sensor: bayonet.Design) -> None:
    """Groove 22.4 (zone 0.04 on radius), bore as solved (0.01), ring -118 with AS568 limits.

    The body beside it, 26.4, has its own limits of 0.05.
    """
    sensor = as_drawn(sensor)
    ring = sensor.socket.ring
    assert ring is not None
    assert ring.name == "AS568-118"
    got = state(sensor.plug, sensor.socket, ring, play_mm=NO_PLAY)
    bore = sensor.socket.seal_radius_mm
    assert bore is not None
    thin = float(section_by_volume(2.6162 - 0.0762, 21.8948 - ring.inside_diameter_tol_mm, 22.32))
    deep = bore + 0.01 - (11.2 - 0.04)
    assert got.squeeze.nominal == pytest.approx(0.20, abs=1e-9)
    assert got.squeeze.least == pytest.approx(1 - deep / thin, abs=1e-9)
    assert got.gap_mm.nominal == pytest.approx(2 * bore - 26.4)
    assert got.gap_mm.most == pytest.approx(2 * (bore + 0.01) - 2 * (13.2 - 0.025))
    off = 0.08 / 2  # moulded preset: the groove's axis lies within a zone of 0.08 mm
    assert got.worst_side_mm == pytest.approx(got.squeeze_mm.least - got.gap_mm.most / 2 - off)


def test_a_face_gland_by_hand(vent: bayonet.Design) -> None:
    """Cut 2.0, clamped: squeeze (2.6162 - 2.0) / 2.6162; play opens it."""
    vent = as_drawn(vent)
    ring = vent.socket.ring
    assert ring is not None
    got = state(vent.plug, vent.socket, ring, play_mm=NO_PLAY)
    assert got.squeeze.nominal == pytest.approx((2.6162 - 2.0) / 2.6162)
    assert got.squeeze.least == pytest.approx(1 - 2.04 / (2.6162 - 0.0762))
    loose = state(vent.plug, vent.socket, ring, play_mm=Span(least=0.1, nominal=0.2, most=0.3))
    assert loose.squeeze_mm.nominal == pytest.approx(2.6162 - 2.2)
    assert loose.squeeze_mm.least == pytest.approx(2.54 - 2.34)
    assert loose.squeeze_mm.most == pytest.approx(2.6924 - 1.96), "pressed in there is no gap"


def test_cold_takes_squeeze_and_heat_fills(sensor: bayonet.Design) -> None:
    """Rubber moves most.

    From s^2 (d + s) = V and V falling by 3 alpha dT, the section falls by
    3 alpha dT / (2 + s / (d + s)) while groove and bore stand still.
    """
    ring = sensor.socket.ring
    assert ring is not None
    rigid = Conditions(warmer_k=-40.0, ring_per_k=1.6e-4)
    bench = state(sensor.plug, sensor.socket, ring, play_mm=NO_PLAY)
    cold = state(sensor.plug, sensor.socket, ring, play_mm=NO_PLAY, at=rigid)
    lost = bench.squeeze_mm.nominal - cold.squeeze_mm.nominal
    section = bench.section_mm.nominal
    share = 3 * 40 * 1.6e-4 / (2 + section / (22.4 + section))
    assert lost == pytest.approx(share * section, rel=0.01)
    hot = state(
        sensor.plug, sensor.socket, ring, play_mm=NO_PLAY,
        at=dataclasses.replace(rigid, warmer_k=60.0, swell=0.05),
    )  # fmt: skip
    assert hot.fill.nominal > 1.05 * bench.fill.nominal


def test_everything_growing_alike_changes_no_share(sensor: bayonet.Design) -> None:
    """If ring, plug and socket expand together, squeeze and fill stay and lengths scale."""
    ring = sensor.socket.ring
    assert ring is not None
    alike = Conditions(warmer_k=100.0, ring_per_k=2e-5, plug_per_k=2e-5, socket_per_k=2e-5)
    bench = state(sensor.plug, sensor.socket, ring, play_mm=NO_PLAY)
    warm = state(sensor.plug, sensor.socket, ring, play_mm=NO_PLAY, at=alike)
    assert warm.squeeze.nominal == pytest.approx(bench.squeeze.nominal, abs=1e-9)
    assert warm.squeeze.least == pytest.approx(bench.squeeze.least, abs=1e-9)
    assert warm.gap_mm.nominal == pytest.approx(1.002 * bench.gap_mm.nominal)


def test_pressure_opens_the_gap(sensor: bayonet.Design) -> None:
    ring = sensor.socket.ring
    assert ring is not None
    grown = state(
        sensor.plug, sensor.socket, ring, play_mm=NO_PLAY, at=Conditions(bore_growth_mm=0.01)
    )
    bench = state(sensor.plug, sensor.socket, ring, play_mm=NO_PLAY)
    assert grown.gap_mm.most - bench.gap_mm.most == pytest.approx(0.02)
