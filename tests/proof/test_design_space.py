"""Over the whole legal design space: what `check` passes, `make` builds; the rest is an error."""

from __future__ import annotations

from typing import Any

import numpy as np
from designs import designs
from hypothesis import HealthCheck, example, given, settings
from second_engine import Pair, manifold_of

import bayonet
from bayonet import solids
from bayonet.checks.motion.proof import prove
from bayonet.checks.run import before_chains
from bayonet.developed.motion import poses_along
from bayonet.findings import worst
from bayonet.solids.kernel import mesh

SLOW = settings(
    deadline=None,
    derandomize=True,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.filter_too_much],
)  # fmt: skip


def _drawn(raw: dict[str, Any]) -> bayonet.Design | None:
    try:
        return bayonet.from_mapping(raw)
    except bayonet.DesignError as error:
        assert error.problems
        assert all(problem.rule and problem.field for problem in error.problems)
        return None


@settings(SLOW, max_examples=18)
@given(designs())
def test_checking_never_crashes_and_always_gives_reasons(raw: dict[str, Any]) -> None:
    design = _drawn(raw)
    if design is None:
        return
    result = bayonet.check(design)
    for finding in result.findings:
        assert finding.message
        assert "nan" not in finding.message
        if finding.verdict is bayonet.Verdict.FAIL:
            assert finding.change
    motion = result.proof.nominal
    if motion.path:
        line = np.array(motion.path)
        assert line[:, 1].min() >= -1e-9
        assert line[-1, 0] == motion.furthest_deg


@settings(SLOW, max_examples=60)
@given(designs())
def test_what_can_be_drawn_is_built_exactly(raw: dict[str, Any]) -> None:
    """Through the gate: one solid, valid, volume as the closed form, and a closed mesh.

    The socket's mesh is the one that is written; the plug is only written as STEP.
    """
    design = _drawn(raw)
    if design is None:
        return
    assert mesh.meshed(solids.socket(design.socket), chord_mm=0.05).is_watertight()
    manifold_of(solids.plug(design.plug), chord_mm=0.05)


@settings(SLOW, max_examples=25)
@given(designs())
def test_what_the_polygons_let_through_the_meshes_let_through(raw: dict[str, Any]) -> None:
    design = _drawn(raw)
    if design is None:
        return
    proof = prove(design.plug, design.socket)
    if worst(before_chains(design, proof)) is bayonet.Verdict.FAIL:
        return
    plug, socket = solids.plug(design.plug), solids.socket(design.socket)
    pair = Pair(manifold_of(socket), manifold_of(plug), 0.0, design.socket.sign)
    poses = poses_along(proof.nominal.path, 40)
    touching = 0.004 * 600.0 if design.socket.seating == "clamp" else 1e-3
    assert max(pair.overlaps(poses[:-1])) <= 1e-3
    assert pair.overlap_mm3(poses[-1]) <= touching


@settings(max_examples=60, deadline=None)
@given(designs())
@example({})
@example({"plug": 3, "socket": []})
@example({"plug": {"lugs": {"each": [1]}}, "socket": {"track": {"detent": "high"}}})
def test_broken_files_are_errors_never_crashes(raw: dict[str, Any]) -> None:
    """Drop or spoil one table after another."""
    for table in list(raw):
        for key in list(raw[table]) if isinstance(raw[table], dict) else []:
            for spoilt in (None, -1, "x", {}, [], float("nan"), True, {"value": "1,5"}):
                broken = {**raw, table: {**raw[table], key: spoilt}}
                try:
                    bayonet.from_mapping(broken)
                except bayonet.DesignError as error:
                    assert error.problems
    if not raw:
        assert _drawn(raw) is None
