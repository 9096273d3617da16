"""The uncertainty of a size that was given as a plain number: that of the instrument named."""

from __future__ import annotations

import dataclasses
from typing import Any, Literal

from bayonet.designfile.measured import Measured
from bayonet.standards import gauges

Instrument = Literal["calliper", "micrometer", "coordinate measuring machine", "drawing"]

_NAMES = {
    "calliper": {"outside": "digital calliper", "depth": "depth calliper"},
    "micrometer": {"outside": "outside micrometer", "depth": "depth micrometer"},
    "coordinate measuring machine": dict.fromkeys(
        ("outside", "depth"), "coordinate measuring machine"
    ),
}

KINDS: dict[str, gauges.Measures] = {
    "diameter": "outside", "outer_diameter": "outside", "thickness": "outside",
    "width": "outside", "to_depth": "depth", "bearing_depth": "depth", "at_depth": "depth",
    "depth": "depth",
}  # fmt: skip
"""How the sizes of a plug are measured, by their field; a groove's width is told by depths, for
the inside jaws of a calliper do not go into it."""


def usual(instrument: Instrument, measures: gauges.Measures, size_mm: float) -> gauges.Gauge | None:
    """The instrument as the table of gauges has it; None for a drawing, or out of its range.

    Examples
    --------
    >>> usual("calliper", "outside", 40.0).expanded_u
    0.04
    """
    names = _NAMES.get(instrument, {})
    for gauge in gauges.gauges(measures, size_mm):
        if gauge.name == names.get(measures):
            return gauge
    return None


def as_measured(given: Measured, instrument: Instrument, measures: gauges.Measures) -> Measured:
    """A size with the uncertainty of the instrument, where it says nothing of its own.

    A declared ``u``, a resolution, a calibration, limits of a production or several samples say
    something; readings alone tell only their scatter, so that the instrument's comes on top.

    Parameters
    ----------
    given : Measured
    instrument : str
    measures : {"outside", "depth"}

    Returns
    -------
    Measured
    """
    own = (given.u, given.tol, given.resolution, given.calibration)
    if given.samples or any(one is not None for one in own):
        return given
    gauge = usual(instrument, measures, given.value)
    return given if gauge is None else dataclasses.replace(given, usual_u=gauge.expanded_u / 2.0)


def filled_in(table: Any, instrument: Instrument, *, by_depth: tuple[str, ...] = ()) -> Any:
    """A table of the plug with the uncertainty of its instrument in every plain size."""
    changes = {
        name: as_measured(value, instrument, "depth" if name in by_depth else KINDS[name])
        for name in type(table).model_fields
        if name in KINDS and isinstance(value := getattr(table, name), Measured)
    }
    return table.model_copy(update=changes)
