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
import pytest
from hypothesis import HealthCheck, assume, given, settings

import bayonet
from bayonet.checks.chains import findings
from bayonet.checks.motion import clearances
from bayonet.checks.motion.way_in import axial_play_mm
from bayonet.errors import DesignError
from bayonet.parts import changed
from bayonet.tolerance.chains import ChainSet
from bayonet.tolerance.chains.corners import Extremes, worst_cases
from bayonet.tolerance.fitting import Span, additions, on_bench, state
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
    suppress_health_check=list(HealthCheck),
)  # fmt: skip


def drawn(raw: dict[str, Any]) -> bayonet.Design:
    """The design, in heat and cold where it can be drawn at all."""
    try:
        return bayonet.from_mapping({**raw, "service": SERVICE})
    except DesignError:
        assume(False)
        raise


def bare(design: bayonet.Design, *keys: str) -> dict[str, Extremes]:
    """Worst cases of some chains on the bench, centred, without tilt and eccentricity."""
    full, bench = only(chains_of(design), *keys), on_bench(design)
    kept = [i for i, variable in enumerate(full.variables) if not kind_of(variable)]

    def evaluate(deviations: Any, keys: Any) -> Any:
        every = np.zeros((len(full.variables), deviations.shape[1]))
        every[kept] = deviations
        return bench.centred(every, keys)

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


@_RANDOM
@given(designs())
def test_play_of_the_zone_holds_that_of_its_chain(raw: dict[str, Any]) -> None:
    """Never less than the chain's worst, and more by no more than leads off at both ends at once.

    The largest lug has both ends nearer the roof, a real one off in its lead has one. An error of
    the ramp's lead is one of depth up to the stop's nominal place, and nothing is made of the
    tenths of a degree beyond. The largest lug stands off its place both ways at once, so that it
    may meet a detent's flank behind it, too.
    """
    design = drawn(raw)
    assume(design.socket.seating == "stop")
    play, lugs = bare(design, "axial_play")["axial_play"], design.plug.lugs
    _, tight, loose = axial_play_mm(design.plug, design.socket)
    ends = max(lug.zone.ends_mm for lug in lugs)
    ramp = design.socket.limits.lead_mm_per_rev if design.socket.lead_mm_per_rev else 0.0
    ends += ramp * (max(2 * float(lug.half.at(18.0)) for lug in lugs) + 2.0) / 360.0
    beyond = ramp * 2 * design.socket.limits.stop_deg / 360.0 + ROUNDING
    # a wide lug stops early and a narrow one late; the zone has the tightest parts at either turn
    off = max(lug.zone.position_deg + math.degrees(lug.zone.side_mm / 10.0) for lug in lugs)
    swing = 2.0 * (off + design.socket.limits.stop_deg)
    lead = max(design.socket.lead_mm_per_rev, *(abs(lug.lead_mm_per_rev) for lug in lugs))
    apart = 2.0 * lead * swing / 360.0
    more = 2 * ends + apart + 1e-4
    assert play.low - design.socket.detent_height_mm - more <= tight <= play.low + beyond
    # a chain's greatest is the least of its lugs' own greatest: others may stop it that much early
    assert play.high - beyond - apart <= loose <= play.high + more


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
        off = design.plug.groove.axis_zone_mm  # the gland counts the groove's eccentricity
        assert abs(gland.worst_side_mm + off - chains["open_side"].low) < 1e-6
        assert abs(gland.gap_mm.most - chains["gap"].high) < 1e-6


@_RANDOM
@given(designs())
def test_what_a_chain_adds_is_named_in_full(raw: dict[str, Any]) -> None:
    """Worst case and additions together are the worst case on the bench of the parts alone."""
    design = drawn(raw)
    keys = ("lug_radial", "body_radial", "body_in_seal", "nose_gap", "gap")
    chains, bench = only(chains_of(design), *keys), on_bench(design)
    own, worst = bare(design, *keys), worst_cases(chains)
    for chain in chains.chains:
        if not chain.has_limits:
            continue

        class Figures:  # all that is asked of a chain's figures
            pass

        one: Any = Figures()
        one.chain, one.worst = chain, worst[chain.key]
        added = additions(chains, bench, one)
        total = sum(taken.takes for taken in added)
        if math.isinf(chain.high):
            assert abs(worst[chain.key].low + total - own[chain.key].low) < 1e-6, chain.key
        else:
            assert abs(worst[chain.key].high - total - own[chain.key].high) < 1e-6, chain.key


def test_a_finding_names_what_it_adds_and_in_which_state(sensor: bayonet.Design) -> None:
    """Lug to wall: the zone's 0.165 by hand, less all that is named, is the chain's worst.

    Wall 20.25 less 0.025, lug 20 with 0.08 of spread and 0.04 of 2 u on its diameter: 0.165.
    """
    result = bayonet.check(sensor)
    zone, message = result["clearance.lug_radial"].value, result["tolerance.lug_radial"].message
    assert zone == pytest.approx(0.165)
    counted = message.partition("of which ")[2].partition(" mm;")[0]
    parts = {
        name: float(value) for name, _, value in (x.rpartition(" ") for x in counted.split(", "))
    }
    assert {"at -20 °C", "eccentricity"} <= set(parts)
    worst = result.study.of("lug_radial").worst.low
    assert worst + sum(parts.values()) == pytest.approx(zone, abs=5e-4 * len(parts))
    still = changed(
        sensor,
        [
            *((f"service.{key}", None) for key in ("lowest_c", "highest_c", "pressure")),
            ("socket.seal.compression_set", None),
        ],
    )
    texts = [f.message for f in findings(still, bayonet.check(still).study)]
    assert not any("of which at" in text or "under pressure" in text for text in texts)
