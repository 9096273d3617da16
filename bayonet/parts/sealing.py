"""The sealing surface that gives a ring its squeeze: a radial bore, or a face gap."""

from __future__ import annotations

import math

from bayonet.designfile import ProblemList, SocketTable
from bayonet.parts.plug import Plug
from bayonet.parts.ring import Ring, section_in_place_mm
from bayonet.parts.seal_limits import allowed_squeeze
from bayonet.standards import Clearances


def usual_squeeze(plug: Plug, ring: Ring) -> float:
    """Target squeeze of a static ring where none is given: middle of its section's band [-].

    Examples
    --------
    A section of 0.275 in, radial: the chart prints 13 to 20 %. See `tests/parts/test_squeeze.py`.
    """
    least, most, _ = allowed_squeeze(plug, ring)
    return round((least + most) / 2.0, 3)


def seal_radius(plug: Plug, table: SocketTable, ring: Ring, problems: ProblemList) -> float | None:
    r"""Radius of a radial sealing bore, as given, or from squeeze and ring [mm].

    .. math:: r_b = r_g + s' (1 - q)

    with groove radius :math:`r_g`, section in place :math:`s'` and squeeze :math:`q`.
    """
    seal = table.seal
    if seal.bore_diameter is not None:
        radius = seal.bore_diameter.value / 2.0
    else:
        squeeze = usual_squeeze(plug, ring) if seal.squeeze is None else seal.squeeze
        radius = plug.groove.radius_mm + section_in_place_mm(plug, ring) * (1.0 - squeeze)
    ring_outside = plug.groove.radius_mm + section_in_place_mm(plug, ring)
    if not radius < ring_outside:
        rule = f"the ring, {2 * ring_outside:.4g} mm over all in its groove, would not touch it"
        problems.add(("socket", "seal", "bore_diameter"), rule)
        return None
    body = plug.groove_body.radius_mm
    if not radius > body:
        path = problems.given(
            ("socket", "seal", "bore_diameter"),
            ("socket", "seal", "squeeze"),
            ("socket", "seal", "ring"),
            ("socket", "seal", "ring_section"),
        )
        section = section_in_place_mm(plug, ring)
        most = 1.0 - (body - plug.groove.radius_mm) / section
        rule = (
            f"gives a sealing bore of {2 * radius:.4g} mm, not larger than the body's"
            f" {2 * body:.4g} mm: the groove is too deep for the ring, whose squeeze must stay"
            f" below {most:.2f}"
        )
        problems.add(path, rule, example="")
        return None
    return radius


def ring_radius(plug: Plug, ring: Ring) -> float:
    """Outside radius of the largest ring in its groove, not squeezed [mm]."""
    largest = plug.groove.radius_mm + section_in_place_mm(plug, ring)
    zone = plug.groove.radius_zone_mm + ring.section_tol_mm
    return largest + (zone if math.isfinite(zone) else 0.0)


def face_gap(
    plug: Plug,
    table: SocketTable,
    ring: Ring,
    clearance: Clearances,
    problems: ProblemList,
) -> float:
    """Gap between nose and floor that squeezes the ring as asked when it is pushed out [mm]."""
    squeeze = usual_squeeze(plug, ring) if table.seal.squeeze is None else table.seal.squeeze
    gap = ring.section_mm * (1.0 - squeeze) - plug.groove.cut_mm - clearance.axial_mm
    if not gap > 0.0:
        rule = (
            f"the ring ({ring.section_mm:.4g} mm) stands out too little to be squeezed between nose"
            f" and floor: {-gap:.3g} mm short of the groove's depth and the axial play"
        )
        problems.add(("plug", "groove", "depth"), rule, example="")
    return gap
