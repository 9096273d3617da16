"""Look-ups in the standards room as rows for people and programs. Computes nothing of its own."""

from __future__ import annotations

import itertools
import math
from typing import Any

from rich import box
from rich.table import Table

from bayonet.errors import TableError
from bayonet.parts import (
    AVAILABILITY,
    Candidate,
    RadialGroove,
    metric_for,
    rank_for,
    ring_by_name,
    ring_name,
)
from bayonet.standards import (
    as568,
    extrusion,
    glands,
    iso286,
    iso2768,
    materials,
    provenance,
    strength,
)

Rows = list[dict[str, Any]]

_DIGITS = 4
_EACH = 6  # rings shown of each kind: neighbours in section differ by hairs


def as_table(rows: Rows) -> Table:
    """Rows as a table; the keys of the first are the headings."""
    table = Table(box=box.HORIZONTALS, pad_edge=False)
    for key in rows[0]:
        is_number = isinstance(rows[0][key], float)
        table.add_column(
            key.replace("_", " "), justify="right" if is_number else "left", overflow="fold"
        )
    for row in rows:
        table.add_row(*(_text(value) for value in row.values()))
    return table


def _text(value: Any) -> str:
    if value is None:
        return "-"
    return (
        f"{value:.{_DIGITS}g}"
        if isinstance(value, float) and abs(value) < 1
        else (f"{value:.3f}".rstrip("0").rstrip(".") if isinstance(value, float) else str(value))
    )


def ring(designation: str) -> Rows:
    """One size, by AS568 number or as inside diameter by section."""
    size = ring_by_name(designation)
    return [
        {
            "size": ring_name(size),
            "inside_mm": round(size.inside_diameter_mm, _DIGITS),
            "inside_tol_mm": round(size.inside_diameter_tol_mm, _DIGITS),
            "section_mm": round(size.section_mm, _DIGITS),
            "section_tol_mm": round(size.section_tol_mm, _DIGITS),
            "provenance": size.provenance,
            "source": size.source,
        }
    ]


def groove(diameter_mm: float, width_mm: float, body_diameter_mm: float) -> Rows:
    """Rings for a radial groove, inch and metric, best first; each says what is wrong with it."""
    if not 0.0 < diameter_mm < body_diameter_mm < math.inf or not 0.0 < width_mm < math.inf:
        raise TableError("the groove must be smaller than the body, and have a width")
    need = RadialGroove(
        radius_mm=diameter_mm / 2, width_mm=width_mm, body_radius_mm=body_diameter_mm / 2
    )
    both = [*rank_for(need)[:_EACH], *metric_for(need)[:_EACH]]
    found = sorted(both, key=lambda one: (len(one.faults), one.badness))
    if not found:
        raise TableError("no AS568 ring fits that groove, and none of a metric section")
    return [
        {
            "size": ring_name(one.size),
            "section_mm": round(one.size.section_mm, 2),
            "stretch_pct": round(100 * one.stretch, 1),
            "fill_pct": round(100 * one.fill, 0),
            "fit": "fits" if not one.faults else f"breaks {len(one.faults)}",
            "remarks": "; ".join([*one.faults, *_shelf(one)]),
        }
        for one in found
    ]


def _shelf(one: Candidate) -> tuple[str, ...]:
    return () if one.size.designation.startswith("-") else (AVAILABILITY,)


def gland(section_mm: float, *, face: bool) -> Rows:
    """The printed glands of every chart that has the section."""
    kind: glands.Kind = "face" if face else "radial"
    rows: Rows = []
    refusals = []
    for chart in ("a", "b", "metric"):
        try:
            one = glands.gland(section_mm, kind=kind, chart=chart)
        except TableError as error:
            refusals.append(str(error))
            continue
        rows.append(
            {
                "chart": chart,
                "depth_mm": f"{one.depth_least_mm:.2f} to {one.depth_most_mm:.2f}",
                "width_mm": f"{one.width_least_mm:.2f} to {one.width_most_mm:.2f}",
                "squeeze_pct": None
                if one.squeeze_least_pct is None
                else f"{one.squeeze_least_pct:g} to {one.squeeze_most_pct:g}",
                "provenance": one.provenance,
                "source": one.source,
            }
        )
    if not rows:
        raise TableError("; ".join(refusals))
    return rows


def fit(size_mm: float, classes: str) -> Rows:
    """Limits of each class, and the clearance of a hole with a shaft."""
    found = [iso286.limits(size_mm, one) for one in classes.split("/")]
    rows: Rows = [
        {
            "class": one.tolerance_class,
            "lower_um": round(1000 * one.lower_mm, 1),
            "upper_um": round(1000 * one.upper_mm, 1),
            "least_mm": round(one.least_mm, _DIGITS),
            "most_mm": round(one.most_mm, _DIGITS),
            "source": one.source,
        }
        for one in found
    ]
    if [one.tolerance_class[0].isupper() for one in found] == [True, False]:
        hole, shaft = found
        least, most = hole.least_mm - shaft.most_mm, hole.most_mm - shaft.least_mm
        rows.append(
            {
                "class": "clearance",
                "lower_um": round(1000 * least, 1),
                "upper_um": round(1000 * most, 1),
                "least_mm": round(least, _DIGITS),
                "most_mm": round(most, _DIGITS),
                "source": "hole less shaft",
            }
        )
    return rows


def general(size_mm: float) -> Rows:
    """General tolerances of a length by class; a class without one is left out."""
    rows: Rows = []
    for letter, word in (("f", "fine"), ("m", "medium"), ("c", "coarse"), ("v", "very coarse")):
        try:
            half = iso2768.tolerance(size_mm, letter)
        except TableError:
            continue
        rows.append(
            {"class": f"{letter} ({word})", "plus_minus_mm": half, "source": iso2768.SOURCE}
        )
    if not rows:
        raise TableError(f"{iso2768.SOURCE} has no length tolerance at {size_mm:g} mm")
    return rows


def elastomer(name: str) -> Rows:
    """One compound."""
    one = materials.elastomer(name)
    return [
        {
            "elastomer": one.name,
            "lowest_c": one.lowest_c,
            "highest_c": one.highest_c,
            "expansion_per_k": one.expansion_per_k,
            "provenance": one.provenance,
            "source": one.source,
        }
    ]


def gap(
    pressure_mpa: float,
    *,
    section_mm: float | None = None,
    elastomer: str | None = None,
    celsius: float | None = None,
) -> Rows:
    """Greatest diametral gap at a pressure, for each hardness; every inch section if none given."""
    inch = dict.fromkeys(round(size.section_mm, 2) for size in as568.sizes())
    sections = [s for s in inch if s >= 1.78] if section_mm is None else [section_mm]
    rows: Rows = []
    for shore, section in itertools.product((70, 90), sections):
        one = extrusion.gap_limit(
            pressure_mpa, shore, section_mm=section, elastomer=elastomer, celsius=celsius
        )
        rows.append(
            {
                "shore_a": str(shore),
                "section_mm": section,
                "gap_mm": round(one.diametral_mm, 3),
                "provenance": one.provenance,
                "source": one.source,
            }
        )
    return rows


def material(name: str | None = None) -> Rows:
    """Body materials with what strength is judged by; every printed row of one if it is named."""
    if name is not None:
        return [
            {
                "condition": row["condition"],
                "modulus_mpa": row["E_MPa"],
                "yield_mpa": row["yield_MPa"],
                "ultimate_mpa": row["ultimate_MPa"],
                "poisson": row["poisson"],
                "expansion_1e-6_per_k": row["cte_1e-6_per_K"],
                "provenance": row["provenance"],
                "source": row["source"],
            }
            for row in materials.rows_of(name)
        ]
    return [_one_material(known) for known in materials.names()]


def _one_material(name: str) -> dict[str, Any]:
    found, body = strength.strength(name), materials.material(name)
    return {
        "material": name,
        "kind": found.kind,
        "yield_mpa": found.yield_mpa,
        "ultimate_mpa": found.ultimate_mpa,
        "modulus_mpa": body.modulus_mpa,
        "expansion_per_k": body.expansion_per_k,
        "hottest_c": strength.hottest_c(name),
        "provenance": provenance(found.provenance, body.provenance),
    }
