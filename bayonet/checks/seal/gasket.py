"""A flat gasket under the shoulder: squeezed enough everywhere, whole on its faces, tight."""

from __future__ import annotations

import math
from collections.abc import Iterator

from bayonet.checks.seal.gland import span_text
from bayonet.findings import LIMITS, PRACTICE, Finding, Verdict, at_least, at_most, left_open
from bayonet.mechanics import gasket as formula
from bayonet.parts import Design, Gasket
from bayonet.strength import gasket_contact_mpa
from bayonet.tolerance.fitting import Span, sideways

_RANGE = "the range its maker allows: socket.seal.gasket.squeeze"
_FORCE_SOURCE = "Gent 1958, Treloar 1975 (from memory), faces that let it slide"


def findings(design: Design, gasket: Gasket, play_mm: Span) -> Iterator[Finding]:
    """Judge a gasket at the temperature of measuring.

    Parameters
    ----------
    design : Design
    gasket : Gasket
    play_mm : Span
        Axial play at lock, over the zone: how far the gasket may push the plug out [mm].

    Yields
    ------
    Finding
    """
    pressed = squeeze_of(gasket, play_mm)
    yield at_least(
        pressed.least,
        gasket.least_squeeze,
        code="seal.gasket_squeeze",
        message=f"the gasket is squeezed {span_text(pressed, scale=100, unit='%', digits=1)}",
        unit="-",
        source=_RANGE,
        change="less axial clearance, or a thicker gasket",
    )
    yield at_most(
        pressed.most,
        gasket.most_squeeze,
        code="seal.gasket_most",
        message=f"squeezed {100 * pressed.most:.1f} % at most where the plug locks",
        unit="-",
        source=_RANGE,
        change="more axial clearance, or closer limits on its thickness",
        otherwise=Verdict.LOOK,
    )
    yield _position(design, gasket, play_mm.most)
    yield _holds(design, gasket, pressed.least)
    yield left_open(
        "seal.gasket_service",
        "heat, cold, creep and the fluid are not judged for a flat gasket: ask its maker, and"
        " proof-test at the ends of temperature",
    )


def squeeze_of(gasket: Gasket, play_mm: Span) -> Span:
    """Squeeze over the zone: the plug pushed out as far as its play lets it, or not at all [-].

    Examples
    --------
    Worked by hand in `tests/checks/test_gasket.py`.
    """
    low, middle, high = (
        float(formula.squeeze(gasket.thickness_mm + zone, gasket.least_height_mm + play))
        for zone, play in (
            (-gasket.thickness_zone_mm, play_mm.most),
            (0.0, play_mm.nominal),
            (gasket.thickness_zone_mm, play_mm.least),
        )
    )
    return Span(least=low, nominal=middle, most=high)


def _position(design: Design, gasket: Gasket, most_play_mm: float) -> Finding:
    plug, socket = design.plug, design.socket
    aside = sideways(plug, socket, play_mm=most_play_mm).aside_mm
    zone = socket.tolerance.diameter_mm / 2.0 + aside
    inner = gasket.inner_radius_mm - socket.slot_reach_mm - zone
    outer = min(plug.shoulder_radius_mm, socket.mouth_radius_mm) - gasket.outer_radius_mm - zone
    least = min(inner, outer)
    return at_least(
        least,
        0.0,
        code="seal.gasket_position",
        message=(
            f"the whole gasket stays {least:.2f} mm inside mouth face and shoulder"
            if least >= 0.0
            else f"the gasket reaches {-least:.2f} mm over"
            f" {'the entry slots' if inner < outer else 'the edge of its face'}"
        ),
        unit="mm",
        source=LIMITS,
        change="a gasket that fits between entry slots and edge, or a larger boss",
    )


def _holds(design: Design, gasket: Gasket, squeeze: float) -> Finding:
    """Pressure of the least squeezed, aged gasket against the fluid's."""
    seal, service = design.spec.socket.seal, design.spec.service
    missing = [
        name
        for name, given in (
            ("service.pressure", service.pressure),
            ("socket.seal.hardness", seal.hardness),
            ("socket.seal.compression_set", seal.compression_set),
        )
        if given is None
    ]
    if missing:
        why = f"whether the aged gasket presses harder than the fluid: give {', '.join(missing)}"
        return left_open("seal.gasket_holds", why)
    assert service.pressure is not None
    assert seal.compression_set is not None
    kept = squeeze * (1.0 - seal.compression_set)
    contact = gasket_contact_mpa(design, gasket, kept)
    least = contact[0] if not isinstance(contact, str) else math.nan
    proof = service.pressure.value * service.proof_factor
    return at_least(
        least,
        proof,
        code="seal.gasket_holds",
        message=(
            f"least squeezed and aged it presses {least:.2f} MPa, the fluid {proof:.2f} MPa at"
            " proof"
        ),
        unit="MPa",
        source=f"a gasket must press harder than what it holds: {PRACTICE}; {_FORCE_SOURCE}",
        change="more squeeze, a harder or a wider gasket, or less pressure",
    )
