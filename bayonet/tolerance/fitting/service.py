"""What service changes: temperature, swell and pressure, as far as the tables tell."""

from __future__ import annotations

import dataclasses
from dataclasses import dataclass

from bayonet.errors import TableError
from bayonet.mechanics import bore_growth_mm
from bayonet.parts import Design
from bayonet.standards import extrusion, materials
from bayonet.tolerance.fitting.gland import BENCH, Conditions


@dataclass(frozen=True, kw_only=True)
class Growth:
    """Radial growth of the sealing bore under pressure [mm]; ``note`` where it is not known."""

    radial_mm: float
    note: str = ""
    provenance: str = ""


def at_temperature(design: Design, celsius: float, *, swell: float = 0.0) -> Conditions | str:
    """What a temperature changes, or why it cannot be told.

    Parameters
    ----------
    design : Design
    celsius : float
        [deg C]
    swell : float
        Of the ring's volume [-].

    Returns
    -------
    Conditions or str
    """
    name = design.spec.socket.seal.elastomer
    if name is None:
        return "give socket.seal.elastomer" + _missing_metals(design)
    metals = of_metals(design, celsius)
    if isinstance(metals, str):
        return metals
    try:
        ring = materials.elastomer(name)
    except TableError as error:
        return str(error)
    return dataclasses.replace(metals, ring_per_k=ring.expansion_per_k, swell=swell)


def of_metals(design: Design, celsius: float) -> Conditions | str:
    """As `at_temperature`, for plug and socket alone."""
    table = design.spec.service
    missing = _missing_metals(design)
    if missing:
        return f"give {missing.removeprefix(', ')}"
    try:
        plug = materials.material(table.plug_material or "")
        socket = materials.material(table.socket_material or "")
    except TableError as error:
        return str(error)
    if plug.expansion_per_k is None or socket.expansion_per_k is None:
        return "the table has no plain expansion for one of the materials"
    return Conditions(
        warmer_k=celsius - table.assembly_c,
        plug_per_k=plug.expansion_per_k,
        socket_per_k=socket.expansion_per_k,
    )


def _missing_metals(design: Design) -> str:
    table = design.spec.service
    rows = (
        ("service.plug_material", table.plug_material),
        ("service.socket_material", table.socket_material),
    )
    return "".join(f", {word}" for word, value in rows if value is None)


def growth(design: Design, pressure_mpa: float | None = None) -> Growth:
    """Growth of the sealing bore at a pressure, else the working one; none where none is given."""
    socket, working = design.socket, design.spec.service.pressure
    pressure = pressure_mpa if working is None or pressure_mpa is not None else working.value
    if socket.seal_radius_mm is None or pressure is None or not pressure > 0.0:
        return Growth(radial_mm=0.0)
    try:
        metal = materials.material(design.spec.service.socket_material or "")
    except TableError:
        return Growth(radial_mm=0.0, note=" (boss taken as rigid: no socket_material)")
    if metal.modulus_mpa is None or metal.poisson is None:
        return Growth(radial_mm=0.0, note=" (boss taken as rigid: no stiffness in the table)")
    grown = bore_growth_mm(
        pressure,
        inner_radius_mm=socket.seal_radius_mm,
        outer_radius_mm=socket.boss_radius_mm,
        modulus_mpa=metal.modulus_mpa,
        poisson=metal.poisson,
    )
    return Growth(radial_mm=float(grown), provenance=metal.provenance)


def allowed_gap(
    design: Design,
    *,
    hardness: int | None = None,
    celsius: float | None = None,
    pressure_mpa: float | None = None,
) -> tuple[float, str, str] | str:
    """Greatest diametral gap [mm], source and provenance; or why there is none.

    At the file's hardness, working pressure and hottest temperature, where no others are given.
    """
    seal, service, ring = design.spec.socket.seal, design.spec.service, design.socket.ring
    shore = hardness or seal.hardness
    hottest = service.assembly_c if service.highest_c is None else service.highest_c
    working = None if service.pressure is None else service.pressure.value
    pressure = working if pressure_mpa is None else pressure_mpa
    if pressure is None:
        return "give service.pressure"
    if shore is None:
        return "give socket.seal.hardness"
    if ring is None:
        return "no ring is given"
    try:
        allowed = extrusion.gap_limit(
            pressure,
            shore,
            section_mm=ring.section_mm,
            elastomer=seal.elastomer,
            celsius=hottest if celsius is None else celsius,
        )
    except TableError as error:
        return str(error)
    return allowed.diametral_mm, allowed.source, allowed.provenance


@dataclass(frozen=True, kw_only=True)
class State:
    """One state of service that chains are judged in."""

    name: str
    conditions: Conditions


def states(design: Design) -> tuple[tuple[State, ...], str]:
    """States of service chains are judged in, the bench first; and why heat is left out, if so.

    Parameters
    ----------
    design : Design

    Returns
    -------
    tuple
    """
    table = design.spec.service
    bench = State(name=f"{table.assembly_c:g} °C", conditions=BENCH)
    warm = [c for c in (table.lowest_c, table.highest_c) if c is not None]
    found, why = [bench], "" if warm else "give service.lowest_c and highest_c"
    for celsius in warm:
        swell = design.spec.socket.seal.swell if celsius == table.highest_c else 0.0
        at = at_temperature(design, celsius, swell=swell)
        if isinstance(at, str):
            why, at = at, of_metals(design, celsius)
        if isinstance(at, str):
            return (bench,), at
        found.append(State(name=f"{celsius:g} °C", conditions=at))
    return tuple(found), why
