"""One quantity, several views: zones of parts, the gland's grid, chains.

They differ only by what is named: the state of service, tilt, eccentricity. Random designs.
"""

from __future__ import annotations

import dataclasses
import math
import sys
from pathlib import Path
from typing import Any

import numpy as np
from hypothesis import HealthCheck, assume, given, settings

import bayonet
from bayonet.checks.chains import findings
from bayonet.checks.motion import clearances
from bayonet.developed import gap_to_roof_mm
from bayonet.errors import DesignError
from bayonet.parts import changed
from bayonet.tolerance.chains import ChainSet
from bayonet.tolerance.chains.corners import Extremes, worst_cases
from bayonet.tolerance.fitting import Span, additions, on_bench, state, state_names, zones
from bayonet.tolerance.fitting.additions import kind_of
from bayonet.tolerance.fitting.requirements import chains_of

sys.path.insert(0, str(Path(__file__).parents[1]))
from designs import designs

SERVICE = {
    "lowest_c": -15,
    "highest_c": 70,
    "plug_material": "PBT GF30",
    "socket_material": "6061-T6",
}
ROUNDING = 1e-9
_RANDOM = settings(
    max_examples=20, deadline=None, derandomize=True, database=None,
    suppress_health_check=[HealthCheck.filter_too_much, HealthCheck.too_slow],
)  # fmt: skip


def drawn(raw: dict[str, Any]) -> bayonet.Design:
    """The design, in heat and cold where it can be drawn at all."""
    try:
        return bayonet.from_mapping({**raw, "service": SERVICE})
    except DesignError:
        assume(False)
        raise


def bare(design: bayonet.Design, *keys: str) -> dict[str, Extremes]:
    """Worst cases of some chains on the bench, without tilt and eccentricity."""
    full, bench = only(chains_of(design), *keys), on_bench(design)
    kept = [i for i, variable in enumerate(full.variables) if not kind_of(variable)]

    def evaluate(deviations: Any, keys: Any) -> Any:
        every = np.zeros((len(full.variables), deviations.shape[1]))
        every[kept] = deviations
        return bench(every, keys)

    variables = tuple(full.variables[i] for i in kept)
    return worst_cases(ChainSet(variables=variables, chains=full.chains, evaluate=evaluate))


def only(chains: ChainSet, *keys: str) -> ChainSet:
    """Some of a set's chains."""
    return dataclasses.replace(chains, chains=tuple(c for c in chains.chains if c.key in keys))


@_RANDOM
@given(designs())
def test_radial_gaps_and_nose_are_the_chains_without_what_they_add(raw: dict[str, Any]) -> None:
    design = drawn(raw)
    found = {one.code: one.value for one in clearances.findings(design.plug, design.socket)}
    pairs = {
        "clearance.lug_radial": "lug_radial",
        "clearance.lugs_pass_seal": "lugs_pass_seal",
        "clearance.nose": "nose_gap",
    }
    chains = bare(design, *pairs.values())
    seen = {code: key for code, key in pairs.items() if code in found and key in chains}
    assert "clearance.lug_radial" in seen
    for code, key in seen.items():
        assert abs(found[code] - chains[key].low) < ROUNDING, code


def lock_gap(design: bayonet.Design, extreme: zones.Extreme) -> float:
    """Least gap of the zone's lugs to its roofs where the first meets its stop [mm]."""
    both = list(
        zip(
            zones.lugs(design.plug, extreme), zones.tracks(design.socket, extreme), strict=True
        )
    )  # fmt: skip
    turn = min(
        track.reach_deg(radius) - float(lug.half.at(radius))
        for lug, track in both
        for radius in (track.inner_radius_mm, lug.outer_radius_mm)
    )
    return min(gap_to_roof_mm(lug, track, turn_deg=turn) for lug, track in both)


@_RANDOM
@given(designs())
def test_play_of_the_zone_holds_that_of_its_chain(raw: dict[str, Any]) -> None:
    """Never less than the chain's worst, and more by no more than leads off at both ends at once.

    The largest lug has both ends nearer the roof, a real one off in its lead has one.
    """
    design = drawn(raw)
    assume(design.socket.seating == "stop")
    play, lugs = bare(design, "axial_play")["axial_play"], design.plug.lugs
    tight, loose = lock_gap(design, "tightest"), lock_gap(design, "loosest")
    ends = max(lug.zone.ends_mm for lug in lugs)
    ramp = design.socket.limits.lead_mm_per_rev if design.socket.lead_mm_per_rev else 0.0
    ends += ramp * (max(2 * float(lug.half.at(18.0)) for lug in lugs) + 2.0) / 360.0
    assert play.low - 2 * ends - 1e-4 <= tight <= play.low + ROUNDING
    assert play.high - ROUNDING <= loose <= play.high + 2 * ends + 1e-4


@_RANDOM
@given(designs())
def test_the_gland_is_its_chains_without_what_they_add(raw: dict[str, Any]) -> None:
    design = drawn(raw)
    ring = design.socket.ring
    assume(ring is not None and math.isfinite(ring.section_tol_mm))
    assert ring is not None
    chains = bare(design, "squeeze", "fill", "open_side", "gap", "axial_play")
    assume("axial_play" not in chains or design.socket.seal_radius_mm is not None)
    none = Span(least=0.0, nominal=0.0, most=0.0)
    gland = state(design.plug, design.socket, ring, play_mm=none)
    if design.plug.groove.kind == "nose_face":
        return  # its gap is the nose's and the play's together: held by hand in test_gland
    squeeze, fill = chains["squeeze"], chains["fill"]
    assert abs(gland.squeeze.least - squeeze.low) < 1e-6
    assert abs(gland.squeeze.most - squeeze.high) < 1e-6
    assert abs(gland.fill.most - fill.high) < 1e-6
    if design.socket.seal_radius_mm is not None:
        assert abs(gland.worst_side_mm - chains["open_side"].low) < 1e-6
        assert abs(gland.gap_mm.most - chains["gap"].high) < 1e-6


@_RANDOM
@given(designs())
def test_what_a_chain_adds_is_named_in_full(raw: dict[str, Any]) -> None:
    """Worst case and additions together are the worst case on the bench of the parts alone."""
    design = drawn(raw)
    keys = ("lug_radial", "body_radial", "body_in_seal", "nose_gap", "gap")
    chains, bench = only(chains_of(design), *keys), on_bench(design)
    own, worst = bare(design, *keys), worst_cases(chains)
    names = state_names(design)
    for chain in chains.chains:
        if not chain.has_limits:
            continue

        class Figures:  # all that is asked of a chain's figures
            pass

        one: Any = Figures()
        one.chain, one.worst = chain, worst[chain.key]
        added = additions(chains, bench, one, states=names)
        total = sum(taken.takes for taken in added)
        if math.isinf(chain.high):
            assert abs(worst[chain.key].low + total - own[chain.key].low) < 1e-6, chain.key
        else:
            assert abs(worst[chain.key].high - total - own[chain.key].high) < 1e-6, chain.key


def test_a_finding_names_what_it_adds_and_in_which_state(sensor: bayonet.Design) -> None:
    """Lug to wall: the zone's least, less 0.06 mm of eccentricity and what the cold takes.

    Half of 0.08 (moulded lugs) and of 0.04 (machined tracks): 0.06. At -20 degC, 40 K colder than
    the bench, 20 mm of lug and 20.25 mm of wall differ by (20.25 a_s - 20 a_p) 40 mm.
    """
    result = bayonet.check(changed(sensor, [("production.samples", 10_000)]))
    message = result["tolerance.lug_radial"].message
    assert "of which at -20 °C 0.002, eccentricity 0.060 mm" in message
    zone = result["clearance.lug_radial"].value
    assert zone is not None
    assert abs(zone - 0.060 - 0.002 - result.study.of("lug_radial").worst.low) < 1e-3
    bench = changed(sensor, [("service.lowest_c", None), ("service.highest_c", None)])
    texts = [f.message for f in findings(bench, bayonet.check(bench).study)]
    assert not any("of which at" in text for text in texts if "pressure" not in text)
