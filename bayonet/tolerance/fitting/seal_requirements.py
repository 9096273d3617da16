"""Chains of the seal: what ring or gasket must keep over all pairs."""

from __future__ import annotations

import math
from collections.abc import Iterator

from bayonet.parts import (
    FILL_SOURCE,
    LEAST_MM_SOURCE,
    LEAST_SQUEEZE_MM,
    MOST_FILL,
    Design,
    allowed_squeeze,
)
from bayonet.standards import from_memory
from bayonet.tolerance.chains import Chain
from bayonet.tolerance.fitting.assembly import Assembly
from bayonet.tolerance.fitting.requirement import Requirement
from bayonet.tolerance.fitting.seal_states import pressures
from bayonet.tolerance.fitting.service import allowed_gap


def of_seal(design: Design) -> Iterator[Requirement]:
    """Squeeze, fill, open side and gap of a ring; squeeze of a gasket."""
    ring, socket = design.socket.ring, design.socket
    if (gasket := socket.gasket) is not None:
        yield Requirement(
            chain=Chain(
                key="gasket_squeeze", title="squeeze of the gasket", unit="-",
                low=gasket.least_squeeze, high=gasket.most_squeeze,
                source="socket.seal.gasket.squeeze", why="less leaks; more crushes it",
                field="socket.clearance.axial", field_slope=-1.0 / gasket.thickness_mm,
            ),
            quantity=Assembly.gasket_squeeze,
            states="bench",
        )  # fmt: skip
    if ring is None or not ring.has_tolerances:
        return
    least, most, source = allowed_squeeze(design.plug, ring)
    radial = socket.seal_radius_mm is not None
    yield Requirement(
        chain=Chain(
            key="squeeze", title="squeeze of the ring", unit="-", low=least, high=most,
            source=source, why="less leaks; more cannot be put together and ages early",
            field="socket.seal.bore_diameter" if radial else "",
            field_slope=-0.5 / ring.section_mm if radial else 0.0,
        ),
        quantity=Assembly.squeeze,
        states="bench",
    )  # fmt: skip
    yield Requirement(
        chain=Chain(
            key="fill", title="ring in its gland", unit="-", high=MOST_FILL, source=FILL_SOURCE,
            why="fuller and the swollen ring bursts its gland",
        ),
        quantity=Assembly.fill,
    )  # fmt: skip
    if not radial:
        return
    yield Requirement(
        chain=Chain(
            key="open_side", title="squeeze left on the open side", unit="mm",
            low=LEAST_SQUEEZE_MM, source=LEAST_MM_SOURCE,
            why="less leaks when the plug lies against one side of its bore",
        ),
        quantity=Assembly.open_side,
        states="seal",
    )  # fmt: skip
    if design.spec.socket.seal.compression_set is not None:
        yield Requirement(
            chain=Chain(
                key="aged_side", title="contact of the aged ring on the open side", unit="mm",
                low=0.0, source="the ring must touch its bore",
                why="below that the aged ring has lost its bore on one side",
            ),
            quantity=Assembly.open_side,
            states="aged",
        )  # fmt: skip
    allowed = allowed_gap(design, pressure_mpa=max(map(abs, pressures(design))) or None)
    limit = math.inf if isinstance(allowed, str) else allowed[0]
    yield Requirement(
        chain=Chain(
            key="gap", title="gap the ring bridges, on diameter", unit="mm", high=limit,
            source=allowed if isinstance(allowed, str) else from_memory(allowed[1], allowed[2]),
            why="wider and the pressure pushes the ring into the gap",
        ),
        quantity=Assembly.seal_gap,
        states="seal",
    )  # fmt: skip
