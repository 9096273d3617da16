"""Loads and pairings beside the pressure: the stop, the flange, a push from the side, the metals.

Judged where a nameable source or a plain formula allows it; else open by name, with the reason.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np

from bayonet.findings import PRACTICE, Finding, Verdict, at_least, left_open
from bayonet.parts import Design
from bayonet.standards import Row, rows
from bayonet.strength import StrengthStudy, stop_torque_nmm

_STOP_SOURCE = "bearing, shear and bending of one lug: Shigley eq. 8-10, section 5-5, eq. 3-24"
_GALVANIC = "MIL-STD-889, galvanic series in sea water (from memory)"
_FAMILIES = {"6061-T6": "aluminium", "A356-T6": "aluminium", "304 stainless": "stainless steel"}
"""Metals of the table by their place in the galvanic series: those of one family lie together."""


def findings(design: Design, found: StrengthStudy) -> tuple[Finding, ...]:
    """Judge what loads the joint beside its pressure, and how its two materials go together.

    Parameters
    ----------
    design : Design
    found : StrengthStudy

    Returns
    -------
    tuple of Finding
    """
    return (
        _over_torque(design, found),
        *_flange(design, found),
        left_open(
            "load.side",
            "a push from the side, the weight of what hangs on the plug, and pipe loads: no such"
            " load is in the design file, and lugs and body are judged without it",
        ),
        _galling(design),
        _galvanic(design),
    )


def _over_torque(design: Design, found: StrengthStudy) -> Finding:
    """A strong hand or the tool at the stop, one lug taking all of it."""
    code, strong = "handling.over_torque", found.hand.strong_nm
    for made_of in (found.plug, found.socket):
        if isinstance(made_of, str):
            return left_open(code, f"torque at the stop: {made_of}")
    assert not isinstance(found.plug, str)
    assert not isinstance(found.socket, str)
    at, body = found.worst, design.plug.lug_body
    root = body.radius_mm - body.radius_zone_mm
    width = np.array([lug.shape.root(root).width_mm for lug in design.plug.lugs])
    lug = stop_torque_nmm(
        found.plug.working_mpa, radius_mm=at.radius_mm, height_mm=at.height_mm,
        thickness_mm=at.lug_thickness_mm, root_width_mm=width, arm_mm=at.lug_arm_mm,
        notch=found.plug.notch,
    )  # fmt: skip
    face = found.socket.working_mpa * at.radius_mm * at.height_mm * at.lug_thickness_mm
    weakest, part = min((float(lug.min()), "plug's lug"), (float(face.min()), "socket's stop"))
    return at_least(
        weakest / 1000.0,
        strong,
        code=code,
        message=(
            f"one lug against its stop stands {weakest / 1000.0:.1f} N m ({part}); a strong hand or"
            f" the tool does {strong:.1f} N m"
        ),
        unit="N m",
        source=f"{_STOP_SOURCE}; hand: {found.hand.source}",
        change=(
            f"a tool that slips at {0.001 * weakest:.1f} N m or less, stated on the part; a thicker"
            " or stronger lug"
        ),
    )


def _flange(design: Design, found: StrengthStudy) -> Iterator[Finding]:
    """Bolts and gasket: the load is known, what must bear it is not in the file."""
    flange = design.socket.flange
    if flange is None:
        return
    if found.proof_mpa is None:
        yield left_open("load.flange_bolts", "give service.pressure")
        yield left_open("load.gasket", "give service.pressure")
        return
    inside = flange.bolt_circle_radius_mm - flange.bolt_hole_radius_mm
    whole = found.proof_mpa * math.pi * inside**2
    yield left_open(
        "load.flange_bolts",
        f"at proof pressure up to {whole / flange.bolts:.0f} N a bolt before preload, if pressure"
        " reaches the bolt holes; class, preload and joint stiffness are not in the design file:"
        " VDI 2230 or EN 1591-1",
    )
    yield left_open(
        "load.gasket",
        "seating load, flatness and relaxation of the gasket under the flange are not in the design"
        " file: EN 1591-1, with the gasket maker's figures",
    )


def _kinds(design: Design) -> tuple[Row, Row] | str:
    """Rows of the table of kinds for plug and socket, or what is missing."""
    table = {row["material"].lower(): row for row in rows("material_kinds")}
    service, pair = design.spec.service, []
    for part, name in (("plug", service.plug_material), ("socket", service.socket_material)):
        if name is None:
            return f"give service.{part}_material"
        row = table.get(name.strip().lower())
        if row is None:
            return f"{name} is not in the table of materials"
        pair.append(row)
    return pair[0], pair[1]


def _galling(design: Design) -> Finding:
    """Metals that rub under load tear each other's skin; those below most of all."""
    pair = _kinds(design)
    if isinstance(pair, str):
        return left_open("handling.galling", f"whether the lugs gall: {pair}")
    names = f"{pair[0]['material']} on {pair[1]['material']}"
    metals = all(row["kind"].endswith("metal") for row in pair)
    return Finding(
        code="handling.galling",
        verdict=Verdict.LOOK if metals else Verdict.PASS,
        message=(
            f"{names}: soft metals slide on each other under load, and may gall and seize"
            if metals
            else f"{names}: a plastic does not gall"
        ),
        source=f"{PRACTICE}; galling is measured by ASTM G98",
        change=(
            "grease with solids that stays, unlike hardness, or a hard coat on one of them"
            if metals
            else ""
        ),
    )


def _galvanic(design: Design) -> Finding:
    """Two metals far apart in the series, wet and touching, and the baser one is eaten."""
    pair = _kinds(design)
    if isinstance(pair, str):
        return left_open("load.galvanic", f"corrosion of the pair: {pair}")
    names = [row["material"] for row in pair]
    families = [_FAMILIES.get(name) for name in names]
    words = f"{names[0]} and {names[1]}"
    if not all(row["kind"].endswith("metal") for row in pair):
        text, verdict = f"{words}: a plastic makes no cell", Verdict.PASS
    elif None in families:
        return left_open("load.galvanic", f"{words}: not placed in the galvanic series here")
    elif families[0] == families[1]:
        text, verdict = f"{words}: one family, close in the galvanic series", Verdict.PASS
    else:
        text = f"{words}: far apart in the galvanic series; wet, the aluminium is eaten"
        verdict = Verdict.LOOK
    return Finding(
        code="load.galvanic",
        verdict=verdict,
        message=text,
        source=_GALVANIC,
        change=(
            "anodise or paint both, keep them dry, or one family of metals"
            if verdict is Verdict.LOOK
            else ""
        ),
    )
