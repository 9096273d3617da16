"""What else moves a seal in service: vacuum, moisture, wear, creep, heat on a clamp.

Judged where a nameable source allows; else open by name, with the reason.
"""

from __future__ import annotations

from collections.abc import Iterator

from bayonet.errors import TableError
from bayonet.findings import Finding, Verdict, at_most, left_open
from bayonet.parts import Design
from bayonet.standards import strength
from bayonet.tolerance.fitting import least_body_gap

_SOAKED = {
    "PA6": (0.02, 0.035),
    "PA66": (0.02, 0.035),
    "PA12": (0.002, 0.002),
}
"""Growth in length of polyamides when saturated with water [-], least and most. The source prints
2 and 3.5 % for PA6 and PA66, in an order that looks swapped: both hold for either."""
_SOAKED_SOURCE = 'Intech Power, "Effects of Moisture Absorption" (length at saturation)'


def findings(design: Design) -> tuple[Finding, ...]:
    """What the states of service do not hold.

    Parameters
    ----------
    design : Design
        With a known ring.

    Returns
    -------
    tuple of Finding
    """
    return (*_vacuum(design), *_moisture(design), *_wear(), *_creep(design), *_clamp(design))


def _vacuum(design: Design) -> Iterator[Finding]:
    if design.spec.service.vacuum is None:
        yield left_open(
            "seal.vacuum",
            "pressure from outside, as when a tank cools or is drained: give service.vacuum",
        )


def _moisture(design: Design) -> Iterator[Finding]:
    """Growth of a polyamide plug against the room its body has."""
    table = design.spec.service
    name = (table.plug_material or "").strip().upper()
    socket = (table.socket_material or "").strip().upper()
    if socket.startswith("PA") and not name.startswith("PA"):
        yield left_open(
            "seal.moisture", f"{socket} takes up water; a swelling socket is not judged"
        )
    if not name.startswith("PA"):
        return
    grade = name.split()[0]
    if grade not in _SOAKED:
        yield left_open("seal.moisture", f"no nameable growth in water for {table.plug_material}")
        return
    room = least_body_gap(design.plug, design.socket)[1]
    radius = max(step.radius_mm for step in design.plug.body)
    least, most = (share * radius for share in _SOAKED[grade])
    yield at_most(
        most,
        room,
        code="seal.moisture",
        message=(
            f"a plug of {table.plug_material} measured dry grows {least:.3f} to {most:.3f} mm on"
            f" radius when it is soaked with water; {room:.3f} mm is free within limits. Squeeze,"
            " fill and chains are judged as measured: soaked, it squeezes the ring more"
        ),
        unit="mm",
        source=_SOAKED_SOURCE,
        change="measure the plug as it comes out of the water, or give it room",
        otherwise=Verdict.LOOK,  # a plug measured as it serves has grown already
    )


def _wear() -> Iterator[Finding]:
    yield left_open(
        "seal.wear",
        "what turning wears off the ring: no nameable figure a turn; change the ring by the"
        " service it sees",
    )


def _creep(design: Design) -> Iterator[Finding]:
    """A plastic bore under lasting pressure gives way with time."""
    name = design.spec.service.socket_material
    if name is None or design.socket.seal_radius_mm is None:
        return
    try:
        plastic = "plastic" in strength.friction_names(name)
    except TableError:
        return
    if plastic:
        yield left_open(
            "seal.bore_creep",
            f"{name} creeps: the bore grows with time under pressure and heat; no creep modulus"
            " (ISO 899-1) and no stiffness in heat is tabled: the states count the short-term"
            " stiffness at room temperature",
        )


def _clamp(design: Design) -> Iterator[Finding]:
    if design.socket.seating != "clamp":
        return
    table = design.spec.service
    if table.lowest_c is None and table.highest_c is None:
        return
    yield left_open(
        "seal.clamp_heat",
        "clamp force lost or gained as plug and socket expand differently, and as the clamped"
        " parts creep: the stiffness of the whole clamp is not known",
    )
