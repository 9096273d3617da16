"""The state that leaks is all together: leaning, cold, aged, under pressure. By hand."""

from __future__ import annotations

import json

import pytest
from test_findings import changed, finding

import bayonet
from bayonet.mechanics.ring import section_by_volume
from bayonet.parts.design import changed as with_fields
from bayonet.report.data.result import as_json
from bayonet.tolerance.fitting import Span, seal_states

NO_PLAY = Span(least=0.0, nominal=0.0, most=0.0)
SENSOR, DRAIN = "level_sensor", "irrigation_drain"
EXACT = ('made_by = "moulded"', 'made_by = "moulded"\nmeasured_with = "drawing"')
"""Plain sizes without a calliper's uncertainty: the hand calculation has production alone."""


@pytest.fixture
def sensor() -> bayonet.Design:
    return changed(SENSOR, EXACT)


def by_hand(design: bayonet.Design, *, celsius: float, mpa: float, lost: float) -> float:
    """Squeeze left on the open side of the level sensor [mm], from its printed dimensions alone.

    Ring -118 (AS568): 21.90 ± 0.25 x 2.62 ± 0.08 mm; groove 22.4, moulded plug ±0.08 on diameter;
    sealing bore within its limits; body 26.4 ± 0.05; EPDM 1.6e-4, A356 2.1e-5, 6061 2.36e-5 1/K;
    E 68 900 MPa, nu 0.33 (Lame).
    """
    heat = celsius - 20.0
    ring, plug, socket = 1 + 1.6e-4 * heat, 1 + 2.1e-5 * heat, 1 + 2.36e-5 * heat
    bore = design.socket.seal_radius_mm
    assert bore is not None
    bore += design.socket.limits.sealing_bore_mm / 2
    groove, body = (22.4 - 0.08) / 2, (26.4 - 0.05) / 2
    thin = (0.103 - 0.003) * 25.4, (0.862 - 0.010) * 25.4
    inner, outer = design.socket.seal_radius_mm, design.socket.boss_radius_mm
    assert inner is not None
    grown = mpa * inner / 68900 * ((outer**2 + inner**2) / (outer**2 - inner**2) + 0.33)
    section = float(section_by_volume(thin[0] * ring, thin[1] * ring, 2 * groove * plug))
    off = 0.08 / 2  # groove against its body: moulded preset, a zone of 0.08 mm
    lean = bore * socket + grown - body * plug + off * plug
    left = section - (bore * socket + grown - groove * plug) - lean
    at_bench = float(section_by_volume(*thin, 2 * groove)) - (bore - groove)
    return left - lost * (at_bench + bore - body + off)


@pytest.mark.parametrize(("lost", "verdict"), [(0.3, "look"), (0.6, "fail"), (0.1, "pass")])
def test_end_of_life_is_judged_leaning_cold_and_under_pressure(lost: float, verdict: str) -> None:
    """At -20 degC and 1.5 x 1.4 bar; concentric and warm, 60 % of set left 0.148 mm."""
    design = with_fields(changed(SENSOR, EXACT), [("socket.seal.compression_set", lost)])
    got = finding(design, "seal.end_of_life")
    assert got.value == pytest.approx(by_hand(design, celsius=-20, mpa=0.21, lost=lost), abs=1e-6)
    assert got.verdict.value == verdict
    assert "-20 °C, proof pressure 0.21 MPa" in got.message


def test_a_new_ring_too_is_judged_in_the_worst_state() -> None:
    design = changed(SENSOR, EXACT)
    got = finding(design, "seal.worst_state")
    assert got.value == pytest.approx(by_hand(design, celsius=-20, mpa=0.21, lost=0.0), abs=1e-6)


def test_every_corner_is_there_and_follows_its_own_physics(sensor: bayonet.Design) -> None:
    """3 temperatures x 3 pressures x 2 ages; each corner is the hand calculation's."""
    found = seal_states(sensor, NO_PLAY)
    assert len(found) == 18
    for one in found:
        hot_swell = one.celsius > 100  # swell fills, it does not count as squeeze
        hand = by_hand(sensor, celsius=one.celsius, mpa=one.pressure_mpa, lost=0.3 * one.aged)
        assert one.gland.worst_side_mm == pytest.approx(hand, abs=1e-6), one.name
        assert (one.gland.fill.most > 0.8) == hot_swell


def test_chains_and_gland_agree_on_the_worst_corner(sensor: bayonet.Design) -> None:
    """Two ways through the code: sampled chains' worst corner, and the gland's own corners."""
    worst = {f.chain.key: f.worst.low for f in bayonet.check(sensor).study.figures}
    assert worst["aged_side"] == pytest.approx(finding(sensor, "seal.end_of_life").value, abs=1e-9)
    assert worst["open_side"] == pytest.approx(finding(sensor, "seal.worst_state").value, abs=1e-9)


def test_lost_contact_fails_by_rate(sensor: bayonet.Design) -> None:
    bad = with_fields(sensor, [("socket.seal.compression_set", 0.95)])
    assert bayonet.check(bad)["tolerance.aged_side"].verdict.value == "fail"


def test_the_gap_is_read_hot_at_proof_pressure(drain: bayonet.Design) -> None:
    """Daemar's .139 row (0.010 in to 500 psi, 0.006 in to 1500) read at 1.5 x 10 bar and heat.

    15 bar is 218 psi: 0.254 mm cool; at 95 degC it is read at 435 psi, still 0.254; at 40 bar
    proof 60 bar is 870 psi: 0.006 in.
    """
    assert finding(drain, "seal.gap").limit == pytest.approx(0.254, abs=5e-4)
    harder = with_fields(drain, [("service.pressure", "40 bar")])
    got = finding(harder, "seal.gap")
    assert got.limit == pytest.approx(0.006 * 25.4, abs=5e-4)
    assert got.verdict.value == "fail"
    assert "proof pressure 6 MPa" in got.message


def test_working_passes_where_proof_does_not(drain: bayonet.Design) -> None:
    """30 bar is 435 psi (0.010 in), its proof of 45 bar 653 psi (0.006 in)."""
    found = {
        factor: finding(
            with_fields(drain, [("service.pressure", "30 bar"), ("service.proof_factor", factor)]),
            "seal.gap",
        )
        for factor in (1.0, 1.5)
    }
    assert found[1.0].limit == pytest.approx(0.254, abs=5e-4)
    assert found[1.5].limit == pytest.approx(0.1524, abs=5e-4)
    assert found[1.0].verdict.value == "pass"
    assert found[1.5].verdict.value == "fail"


def test_vacuum_is_a_state_of_its_own(sensor: bayonet.Design) -> None:
    """A tank that cools: 0.9 bar outside over inside; the bore does not grow."""
    sucked = with_fields(sensor, [("service.vacuum", "0.9 bar"), ("service.pressure", None)])
    found = seal_states(sucked, NO_PLAY)
    assert {one.pressure_mpa for one in found} == {0.0, -0.09}
    got = finding(sucked, "seal.gap")
    assert "vacuum 0.09 MPa" in got.message
    assert got.limit == pytest.approx(0.009 * 25.4, abs=5e-4)


def test_negative_pressure_is_refused_with_the_way_out() -> None:
    with pytest.raises(bayonet.DesignError, match=r"service\.vacuum"):
        changed(SENSOR, ('"1.4 bar"', '"-0.3 bar"'))


def test_the_table_of_states_is_in_the_json(sensor: bayonet.Design) -> None:
    rows = json.loads(as_json(bayonet.check(sensor)))["seal_states"]
    assert len(rows) == 18
    worst = min(rows, key=lambda row: row["squeeze_left_leaning_mm"])
    assert worst["name"] == "-20 °C, proof pressure 0.21 MPa, ring aged"
    assert worst["squeeze_left_leaning_mm"] == pytest.approx(0.059, abs=5e-4)
    hot = [r for r in rows if r["celsius"] == 110 and r["pressure_mpa"] > 0.2]
    assert all(r["gap_limit_mm"] == pytest.approx(0.009 * 25.4, abs=1e-6) for r in hot)
