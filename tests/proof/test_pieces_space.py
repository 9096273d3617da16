"""Print-test rings over the whole design space: built exactly, moving as the socket, or refused."""

from __future__ import annotations

from typing import Any

import numpy as np
from designs import designs
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st

import bayonet
from bayonet.findings import Verdict
from bayonet.printing import ladder
from bayonet.printing.pieces import letters
from bayonet.printing.printer_profile import ProcessProfile
from bayonet.solids.fitting.test_ring import marked

PROFILE = ProcessProfile(
    name="bench", mean=np.array([-0.15, 0.08, 0.997]), covariance=np.diag([4e-4, 4e-4, 1e-6])
)


@settings(max_examples=14, deadline=None, derandomize=True, suppress_health_check=list(HealthCheck))
@given(designs(), st.booleans(), st.booleans())
def test_every_ring_is_built_or_refused(
    raw: dict[str, Any], with_seal: bool, compensated: bool
) -> None:
    """Plugs as drawn.

    With a calliper's uncertainty the tight end may jam on the whole socket's floor where a ring's
    sloped one, deeper at the lugs, lets it by; the finding then says so.
    """
    raw["plug"]["measured_with"] = "drawing"
    try:
        design = bayonet.from_mapping(raw)
    except bayonet.DesignError:
        assume(False)
    try:
        made = ladder.sample(
            design, steps_mm=(0.0, 0.05), with_seal=with_seal,
            profile=PROFILE if compensated else None,
        )  # fmt: skip
    except bayonet.DesignError as error:
        assert "lead-in" in str(error)  # the one reason left
        return
    found = {row.code: row for row in made.findings}
    assert found["print.same_motion"].verdict is Verdict.PASS
    for row in made.findings:
        assert row.message
        if row.verdict in (Verdict.LOOK, Verdict.FAIL):
            assert row.change
            assert row.source
    one = made.ladder[1]
    shape = made.drawn(one)
    solid = marked(
        shape, letters(one, shape, made.printer), depth_mm=made.mark_depth_mm,
        volume_mm3=made.volume_mm3(one),
    )  # fmt: skip
    assert solid.isValid()
