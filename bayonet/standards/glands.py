"""Charts of O-ring glands: static radial and face, inch (a, b) and metric.

Chart a: The O-Ring Store; b: Apple Rubber's Seal Design Guide; metric: orings.co.uk and Seal
Supply. Chart a also stands in the O-ring handbook ORD 5700, tables 4-2 and 4-3 (from memory).
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import Literal

from bayonet.errors import TableError
from bayonet.standards.as568 import MM_PER_INCH
from bayonet.standards.tables import Row, number, provenance, rows

Kind = Literal["radial", "face"]
Chart = Literal["a", "b", "metric"]

_INCH_TABLES: dict[tuple[str, str], str] = {
    ("a", "radial"): "chart_a_static_radial",
    ("a", "face"): "chart_a_face_liquid",
    ("b", "radial"): "chart_b_static_radial",
    ("b", "face"): "chart_b_static_axial",
}
_SAME_SECTION_MM = 0.02
_METRIC_LIMITS_MM = {"radial": (0.05, 0.25), "face": (0.1, 0.2)}
"""Limits above nominal of depth and width: heads of the tables of Seal Supply (radial) and
orings.co.uk (face)."""
_METRIC_RADIUS_TOL_MM = 0.2
"""Head of the same table of orings.co.uk."""


@dataclass(frozen=True, kw_only=True)
class Gland:
    """One printed gland [mm]; squeeze in per cent as printed, None where not printed."""

    chart: Chart
    kind: Kind
    section_mm: float
    section_tol_mm: float | None
    depth_least_mm: float
    depth_most_mm: float
    width_least_mm: float
    width_most_mm: float
    squeeze_least_pct: float | None
    squeeze_most_pct: float | None
    radius_most_mm: float | None
    source: str
    provenance: str


def gland(section_mm: float, *, kind: Kind = "radial", chart: Chart = "a") -> Gland:
    """The printed gland for a ring section.

    Parameters
    ----------
    section_mm : float
        Section of the ring [mm]; must be one the chart has, within 0.02 mm.
    kind : {"radial", "face"}
    chart : {"a", "b", "metric"}

    Returns
    -------
    Gland

    Raises
    ------
    TableError
        If the chart does not have that section.

    References
    ----------
    .. [1] Chart a: The O-Ring Store LLC, "O-Ring Groove Chart"; b: Apple Rubber Products, Seal
       Design Guide, illustration 4.11; metric: orings.co.uk, "Housing dimensions", and Seal
       Supply, "O-rings".

    Examples
    --------
    Chart a, static radial, section 0.103 in: depth 0.081 to 0.083 in.

    >>> found = gland(2.62)
    >>> round(found.depth_least_mm / 25.4, 3), round(found.depth_most_mm / 25.4, 3)
    (0.081, 0.083)
    """
    known = [one for one in charts() if one.chart == chart and one.kind == kind]
    nearest = min(known, key=lambda one: abs(one.section_mm - section_mm))
    if abs(nearest.section_mm - section_mm) <= _SAME_SECTION_MM:
        return nearest
    sections = ", ".join(f"{one.section_mm:.2f}" for one in known)
    raise TableError(f"chart {chart} ({kind}) has sections {sections} mm, not {section_mm:g}")


@cache
def charts() -> tuple[Gland, ...]:
    """Every static gland of the charts."""
    inch = [
        _inch(row, chart, kind)
        for (chart, kind), table in _INCH_TABLES.items()
        for row in rows("glands_inch")
        if row["table"] == table
    ]
    metric = [
        _metric(row, kind)
        for kind in ("radial", "face")
        for row in rows("glands_metric")
        if row[f"depth_{kind}_mm"] or (kind == "radial" and row["second_depth_mm"])
    ]
    return (*inch, *metric)


@cache
def metric_sections_mm() -> tuple[float, ...]:
    """Sections of the metric groove tables with a static radial groove [mm]."""
    return tuple(
        one.section_mm for one in charts() if (one.chart, one.kind) == ("metric", "radial")
    )


def _inch(row: Row, chart: str, kind: str) -> Gland:
    def mm(key: str) -> float:
        return float(row[key]) * MM_PER_INCH

    radius = number(row["radius_max_in"])
    return Gland(
        chart=chart,  # type: ignore[arg-type]
        kind=kind,  # type: ignore[arg-type]
        section_mm=mm("cs_in"),
        section_tol_mm=mm("cs_tol_in"),
        depth_least_mm=mm("gland_depth_min_in"),
        depth_most_mm=mm("gland_depth_max_in"),
        width_least_mm=mm("width0_min_in"),
        width_most_mm=mm("width0_max_in"),
        squeeze_least_pct=number(row["squeeze_min_pct"]),
        squeeze_most_pct=number(row["squeeze_max_pct"]),
        radius_most_mm=None if radius is None else radius * MM_PER_INCH,
        source=f"{row['source']}; {row['table'].replace('_', ' ')}",
        provenance=provenance(row["provenance"]),
    )


def _metric(row: Row, kind: str) -> Gland:
    """Both lists of a metric section: from the least either prints to the most either allows."""
    lists = ("{}_radial_mm", "second_{}_mm") if kind == "radial" else ("{}_face_mm",)
    depths, widths = (
        [float(row[name.format(what)]) for name in lists if row[name.format(what)]]
        for what in ("depth", "width")
    )
    deeper, wider = _METRIC_LIMITS_MM[kind]
    radius = number(row["radius_mm"])
    return Gland(
        chart="metric",
        kind=kind,  # type: ignore[arg-type]
        section_mm=float(row["section_mm"]),
        section_tol_mm=None,
        depth_least_mm=min(depths),
        depth_most_mm=max(depths) + deeper,
        width_least_mm=min(widths),
        width_most_mm=max(widths) + wider,
        squeeze_least_pct=None,
        squeeze_most_pct=None,
        radius_most_mm=None if radius is None else radius + _METRIC_RADIUS_TOL_MM,
        source=row["source"],
        provenance=provenance(row["provenance"]),
    )
