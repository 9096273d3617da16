"""What plug and socket are made of, as strength needs it: limits at working and proof pressure."""

from __future__ import annotations

from dataclasses import dataclass

from bayonet.designfile import Measured
from bayonet.errors import TableError
from bayonet.parts import Design
from bayonet.standards import from_memory
from bayonet.standards import strength as table

NOTCH = 2.0
"""Stress concentration at the sharp corner of a lug or track, where it counts [-]."""
NOTCH_SOURCE = "common practice, no source; ductile wrought metal under steady load: none"


@dataclass(frozen=True, kw_only=True)
class Body:
    """Material of plug or socket.

    Parameters
    ----------
    part : str
        "plug" or "socket".
    material, kind : str
    basis_mpa : float
        Stress at which it gives way in service: yield, or tensile strength where that is less or
        nothing else is known; with heat and layers taken off [MPa].
    working_mpa, proof_mpa : float
        Allowed equivalent stress at working pressure, hot, and at proof pressure, cold [MPa].
    factor_words : str
        How they came about.
    notch : float
        Stress concentration that counts [-].
    modulus_mpa, poisson : float or None
    layers : float
        Share left between printed layers; 1 where it is not printed [-].
    source : str
    """

    part: str
    material: str
    kind: str
    basis_mpa: float
    working_mpa: float
    proof_mpa: float
    factor_words: str
    notch: float
    modulus_mpa: float | None
    poisson: float | None
    layers: float
    source: str


def body(design: Design, part: str) -> Body | str:
    """Material of a part, or why its strength cannot be told.

    Parameters
    ----------
    design : Design
    part : {"plug", "socket"}

    Returns
    -------
    Body or str
    """
    service = design.spec.service
    name = service.plug_material if part == "plug" else service.socket_material
    own = service.plug_strength if part == "plug" else service.socket_strength
    if name is None:
        return f"give service.{part}_material"
    try:
        printed = table.strength(name)
        factors = table.safety(printed.kind)
        hot = service.assembly_c if service.highest_c is None else service.highest_c
        heat = table.left_by_heat(name, max(hot, service.assembly_c))
    except TableError as error:
        return f"{part}: {error}"
    yields, breaks = (own.value, None) if own else (printed.yield_mpa, printed.ultimate_mpa)
    known = [value for value in (yields, breaks) if value is not None]
    if not known:
        return f"{part}: no strength of {name} in the table; give service.{part}_strength"
    layers = _layers(design, part, printed)
    if isinstance(layers, str):
        return layers
    on_yield = service.safety_on_yield or factors.on_yield
    on_break = service.safety_on_ultimate or factors.on_ultimate
    allowed = [
        value / factor
        for value, factor in ((yields, on_yield), (breaks, on_break))
        if value is not None
    ]
    left = heat.value * layers
    return Body(
        part=part,
        material=printed.material,
        kind=printed.kind,
        basis_mpa=min(known) * left,
        working_mpa=min(allowed) * left,
        proof_mpa=min(known) / factors.on_yield_at_proof * layers,
        factor_words=_factor_words(on_yield, on_break, heat.value, layers),
        notch=1.0 if printed.kind == "wrought metal" else NOTCH,
        modulus_mpa=printed.modulus_mpa,
        poisson=printed.poisson,
        layers=layers,
        source=_source(printed, factors, heat, own),
    )


def _layers(design: Design, part: str, printed: table.Strength) -> float | str:
    """Share of the strength between layers, for a printed part."""
    made = design.spec.plug.made_by if part == "plug" else design.socket.process
    if made != "printed":
        return 1.0
    if printed.between_layers is None:
        return f"{part}: no strength of {printed.material} between printed layers in the table"
    return printed.between_layers


def _factor_words(on_yield: float, on_break: float, heat: float, layers: float) -> str:
    words = f"safety {on_yield:g} on yield, {on_break:g} on tensile strength"
    if heat < 1.0:
        words += f", {100 * heat:.0f} % left by heat"
    if layers < 1.0:
        words += f", {100 * layers:.0f} % between layers"
    return words


def _source(
    printed: table.Strength, factors: table.Safety, heat: table.Share, own: Measured | None
) -> str:
    strength = "given" if own else from_memory("least of the table", printed.provenance)
    parts = [f"strength: {strength}", f"factors: {from_memory(factors.source, factors.provenance)}"]
    if heat.source:
        parts.append(f"heat: {from_memory(heat.source, heat.provenance)}")
    return "; ".join(parts)
