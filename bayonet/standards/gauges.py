"""Gauges a shop has at hand, and the uncertainty they measure with: common practice mostly."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from bayonet.standards.tables import from_memory, rows

Measures = Literal[
    "inside", "outside", "depth", "undercut", "undercut depth", "width", "angle", "lead"
]
ENOUGH = 4.0
"""Test uncertainty ratio asked for: half the tolerance over the expanded uncertainty, 4 to 1
(ANSI/NCSL Z540.3 and ISO/IEC 17025 practice; from memory)."""


@dataclass(frozen=True, kw_only=True)
class Gauge:
    """A gauge: what it measures, with which expanded uncertainty (k = 2), how much effort."""

    name: str
    measures: str
    expanded_u: float
    unit: str
    effort: int
    source: str


@dataclass(frozen=True, kw_only=True)
class Advice:
    """The least gauge that resolves a tolerance, or the best there is; ``ratio`` is its TUR."""

    gauge: Gauge
    ratio: float

    @property
    def is_enough(self) -> bool:
        """Whether it resolves the tolerance four to one."""
        return self.ratio >= ENOUGH * (1.0 - 1e-9)


def gauges(measures: Measures, size_mm: float) -> tuple[Gauge, ...]:
    """Gauges for a kind of dimension and size, least effort first.

    References
    ----------
    .. [1] DIN 862, DIN 863, US Army TB 9-5210-207-24, Status Metrology Solutions; else common
       practice, no source.

    Examples
    --------
    >>> [gauge.name for gauge in gauges("outside", 40.0)][:2]
    ['digital calliper', 'outside micrometer']
    """
    found = [
        Gauge(
            name=row["gauge"],
            measures=row["measures"],
            expanded_u=float(row["expanded_u"]),
            unit=row["unit"],
            effort=int(row["effort"]),
            source=from_memory(row["source"], row["provenance"]),
        )
        for row in rows("gauges")
        if row["measures"] == measures and float(row["over_mm"]) < size_mm <= float(row["upto_mm"])
    ]
    return tuple(sorted(found, key=lambda gauge: (gauge.effort, gauge.name)))


def advice(measures: Measures, *, size_mm: float, half_width: float) -> Advice | None:
    """The least gauge that resolves a tolerance four to one; else the best there is.

    Parameters
    ----------
    measures : str
        Kind of dimension.
    size_mm : float
    half_width : float
        Of the tolerance [mm] or [deg].

    Returns
    -------
    Advice or None
        None where the table has no gauge for it.

    Examples
    --------
    A bore of 32 mm within 0.05 mm: 0.05 / 0.012 = 4.2 with an inside micrometer.

    >>> found = advice("inside", size_mm=32.0, half_width=0.05)
    >>> found.gauge.name, round(found.ratio, 1), found.is_enough
    ('inside micrometer', 4.2, True)
    """
    known = [
        Advice(gauge=gauge, ratio=half_width / gauge.expanded_u)
        for gauge in gauges(measures, size_mm)
    ]
    if not known:
        return None
    enough = [one for one in known if one.is_enough]
    return enough[0] if enough else max(known, key=lambda one: one.ratio)
