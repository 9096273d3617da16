"""Can the shop measure what the drawing asks for? One gauge for each dimension."""

from __future__ import annotations

from dataclasses import dataclass

from bayonet.findings import Finding, Verdict
from bayonet.parts import NamedDimension, Socket
from bayonet.standards import ENOUGH, Advice, Measures, advice


@dataclass(frozen=True, kw_only=True)
class Measurement:
    """A dimension with limits and the gauge for it; None where the table has none."""

    dimension: NamedDimension
    advice: Advice | None


def measurements(socket: Socket) -> tuple[Measurement, ...]:
    """Every dimension that has limits, with its gauge.

    Parameters
    ----------
    socket : Socket

    Returns
    -------
    tuple of Measurement
    """
    wall = 2.0 * socket.track_radius_mm
    return tuple(
        Measurement(
            dimension=row,
            advice=advice(
                kind_of(row),
                size_mm=row.value if row.unit == "mm" else wall,
                half_width=row.half_width,
            ),
        )
        for row in socket.dimensions()
        if row.half_width
    )


def kind_of(row: NamedDimension) -> Measures:
    """How a dimension is got at: from inside, in the undercut, as a depth, an angle."""
    if row.unit == "mm/rev":
        return "lead"
    if row.unit == "deg":
        return "angle"
    if row.key.endswith(("roof_depth", "floor_depth")) and row.key.startswith("track"):
        return "undercut depth"
    if row.key.startswith("track_") and row.key.endswith("_diameter") and row.key[6].isdigit():
        return "undercut"
    if row.key in (
        "boss_diameter",
        "boss_height",
        "ring_diameter",
        "ring_thickness",
        "flange_diameter",
        "flange_thickness",
    ):
        return "outside"
    return "inside" if row.key.endswith("diameter") else "depth"


def findings(socket: Socket) -> tuple[Finding, ...]:
    """Whether every tolerance can be resolved four to one."""
    known = [one for one in measurements(socket) if one.advice is not None]
    if not known:
        return ()
    worst = min(known, key=lambda one: one.advice.ratio if one.advice else 0.0)
    found = worst.advice
    assert found is not None
    good = found.is_enough
    return (
        Finding(
            code="tolerance.measurable",
            verdict=Verdict.PASS if good else Verdict.LOOK,
            message=(
                f"every tolerance is at least {found.ratio:.1f} times what a gauge of the shop"
                " measures with"
                if good
                else f"{worst.dimension.meaning} is within ±{worst.dimension.half_width:.3g}"
                f" {worst.dimension.unit}, only {found.ratio:.1f} times what a"
                f" {found.gauge.name} measures with"
            ),
            value=found.ratio,
            limit=ENOUGH,
            margin=found.ratio - ENOUGH,
            unit="",
            source=f"test uncertainty ratio 4 to 1; gauge: {found.gauge.source}",
            change="" if good else "wider limits, or a finer gauge and its certificate",
        ),
    )
