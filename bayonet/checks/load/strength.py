"""Does it hold the pressure? What gives way first, at what pressure, and what to change."""

from __future__ import annotations

import functools
import math
from collections.abc import Callable, Iterator

from bayonet.cautions import PRINTED_CAUTION
from bayonet.checks.load import joint
from bayonet.errors import DesignError
from bayonet.findings import (
    PRACTICE,
    Finding,
    Mends,
    Verdict,
    at_least,
    at_most,
    left_open,
)
from bayonet.parts import Design, changed
from bayonet.strength import NOTCH_SOURCE, Mode, Shares, StrengthStudy, strength_of
from bayonet.tolerance.chains import Study

_FORMULAS = {
    "lug_shear": "Shigley eq. 8-12",
    "lug_bending": "Shigley eq. 8-11",
    "flank": "mean bearing stress, Shigley eq. 8-10",
    "roof_shear": "Shigley eq. 8-12",
    "roof_bending": "Shigley eq. 8-11",
    "line_contact": "Hertz, Shigley eq. 3-73 to 3-77; EN 1993-1-8, 3.13.2 (4) (both from memory)",
    "boss_wall": "pull on the net section and bending of a strip",
    "boss_hoop": "Lame, von Mises",
    "ring_plate": "annular plate as Roark table 11.2 case 1a, and a beam between two screws",
    "screws": "Shigley eq. 8-17, 8-22 and 8-29",
}
_MOST_WALL_FACTOR = 8.0

Change = tuple[str, Mends]


def findings(design: Design, study: Study | None, found: StrengthStudy) -> tuple[Finding, ...]:
    """Judge the strength of lugs, roof and boss.

    Parameters
    ----------
    design : Design
    study : Study or None
        The dimension chains `found` rests on; used again where a change is tried.
    found : StrengthStudy

    Returns
    -------
    tuple of Finding
    """
    if found.why_no_modes:
        return (left_open("load.weakest", found.why_no_modes), *_printed(design, found))
    if found.working_mpa is None:
        weakest = found.weakest
        assert weakest is not None
        words = f"{weakest.title} allows {_pressure(weakest.allowed_mpa)}; give service.pressure"
        return (left_open("load.weakest", words), *_printed(design, found))
    better = functools.cache(lambda: joint.stronger(design, study, found))
    changes = {mode.key: _change(design, study, found, mode, better) for mode in found.modes}
    return (
        _first(found, changes),
        _share(design, found),
        *_materials(found),
        *(_mode(found, mode, changes[mode.key]) for mode in found.modes),
        *_pins(design, found),
        *joint.findings(design, found, better),
        *_proof(design, found),
        *_creep(found),
        *_weld(design),
        *_printed(design, found),
    )


def _first(found: StrengthStudy, changes: dict[str, Change]) -> Finding:
    """What gives way first, at what pressure, and what to change."""
    first, weakest, working = found.first, found.weakest, found.working_mpa
    assert first is not None
    assert weakest is not None
    assert working is not None
    change, mends = changes[weakest.key]
    times = first.gives_way_mpa / working
    return at_least(
        weakest.allowed_mpa,
        working,
        code="load.weakest",
        message=(
            f"first, {first.title} ({first.body.part}), at {_pressure(first.gives_way_mpa)},"
            f" {_times(times)} the working pressure; with safety and proof test"
            f" {_pressure(weakest.allowed_mpa)} is allowed ({weakest.title})"
        ),
        unit="MPa",
        source=_source(weakest),
        change=change,
        mends=mends,
    )


def _mode(found: StrengthStudy, mode: Mode, changed_by: Change) -> Finding:
    """One way to give way, at whichever of working and proof pressure leaves less."""
    working, proof = found.working_mpa, found.proof_mpa
    assert working is not None
    assert proof is not None
    cases = (
        ("working", mode.stress_mpa(working), mode.body.working_mpa),
        ("proof", mode.stress_mpa(proof), mode.body.proof_mpa),
    )
    when, stress, allowed = max(cases, key=lambda case: case[1] / case[2])
    note = f"; {mode.note}" if mode.note else ""
    change, mends = changed_by
    return at_most(
        stress,
        allowed,
        code=f"load.{mode.key}",
        message=(
            f"{mode.title}: {stress:.3g} of {allowed:.3g} MPa at {when} pressure"
            f" ({mode.body.part}); gives way at {_pressure(mode.gives_way_mpa)}{note}"
        ),
        unit="MPa",
        source=_source(mode),
        change=change,
        mends=mends,
    )


def _pins(design: Design, found: StrengthStudy) -> Iterator[Finding]:
    """Round pins bear along a line; without the stiffness of both it cannot be told how hard."""
    if all(lug.round_mm is None for lug in design.plug.lugs):
        return
    if any(mode.key == "line_contact" for mode in found.modes):
        return
    soft = [
        f"{body.material} ({body.part})"
        for body in (found.plug, found.socket)
        if not isinstance(body, str) and None in (body.modulus_mpa, body.poisson)
    ]
    why = f"no modulus or Poisson's ratio of {' and '.join(soft)} in the table"
    yield left_open(
        "load.line_contact", f"how hard round pins press along their lines of contact: {why}"
    )


def _source(mode: Mode) -> str:
    return f"{mode.formula or _FORMULAS[mode.key]}; limits of {mode.body.material}: see materials"


def _materials(found: StrengthStudy) -> Iterator[Finding]:
    """What the limits of both materials are, and where they come from, said once."""
    for body in (found.plug, found.socket):
        if isinstance(body, str):
            continue
        notch = f", notch {body.notch:g}" if body.notch > 1.0 else ""
        yield Finding(
            code=f"load.{body.part}_material",
            verdict=Verdict.PASS,
            message=(
                f"{body.part} of {body.material} ({body.kind}): {body.working_mpa:.3g} MPa allowed"
                f" at working pressure, {body.proof_mpa:.3g} at proof, gives way at"
                f" {body.basis_mpa:.3g} ({body.factor_words}{notch})"
            ),
            value=body.working_mpa,
            unit="MPa",
            source=f"{body.source}; notch: {NOTCH_SOURCE}" if notch else body.source,
        )


def _share(design: Design, found: StrengthStudy) -> Finding:
    shared = found.shares
    assert shared is not None
    count, worst = len(shared.most), float(shared.most.max())
    even = 1.0 / count
    why = _why_share(shared, count)
    text = (
        f"{found.proof_n:.0f} N at proof pressure, {found.working_n:.0f} N at working, on"
        f" {2 * found.sealed_radius_mm:.2f} mm ({found.sealed_by})"
    )
    if found.clamp_n > 0.0:
        whose = "clamp" if design.socket.seating == "clamp" else "the squeezed seal"
        text += f", and up to {found.clamp_n:.0f} N of {whose}"
    return Finding(
        code="load.share",
        verdict=Verdict.PASS,
        message=f"{text}; the worst of {count} lugs carries {100 * worst:.0f} %"
        f" ({100 * even:.0f} % if even): {why}",
        value=100.0 * worst,
        unit="%",
        source="equilibrium; springs by Timoshenko's beam; lugs ahead by their zones",
    )


def _why_share(shared: Shares, count: int) -> str:
    if count <= 3 and shared.may_tilt:
        return "the plug tilts in its bore until all bear"
    ahead = f"a lug may stand {shared.ahead_mm:.3f} mm ahead"
    if not shared.elastic:
        return f"{ahead} and stiffness is not tabled, so nothing is taken to give"
    free = "can tilt" if shared.may_tilt else "is not free to tilt"
    return f"{ahead} and the plug {free}; what gives before the others bear is counted"


def _change(
    design: Design, study: Study | None, found: StrengthStudy, mode: Mode,
    better: Callable[[], Mends],
) -> Change:  # fmt: skip
    """What would mend a mode: a thicker wall where that helps, less pressure, better material."""
    working = found.working_mpa or 0.0
    if mode.allowed_mpa >= working:
        return "", ()
    parts: list[str] = []
    mends = _thicker(design, study, found, mode.key)
    if mode.key in joint.MODES:
        mends = better()
    if mends:
        words = (f"{field.rpartition('.')[2]} = {joint.shown(value)}" for field, value in mends)
        parts.append(", ".join(words))
    if mode.allowed_mpa > 0.0:
        parts.append(f"a working pressure of at most {_pressure(mode.allowed_mpa)}")
        stronger = mode.body.basis_mpa * working / mode.allowed_mpa
        parts.append(
            "screws of a higher property class"
            if mode.body.part == "screws"
            else f"a {mode.body.part} that yields at {stronger:.0f} MPa or more in service"
        )
    elif mode.body.part != "screws":
        parts.append("less hand torque: the clamp alone is too much")
    return "; or ".join(parts), mends


def _thicker(design: Design, study: Study | None, found: StrengthStudy, key: str) -> Mends:
    """The least wall or boss that mends a boss, in steps of 0.5 mm; nothing for lugs and roof."""
    if not key.startswith("boss_"):
        return ()
    socket = design.socket
    diameter = design.spec.socket.boss_diameter is not None
    field = "socket.boss_diameter" if diameter else "socket.wall"
    now = 2.0 * socket.boss_radius_mm if diameter else socket.wall_mm
    most = now + 2.0 * _MOST_WALL_FACTOR * socket.wall_mm
    low, high = math.floor(2.0 * now), math.ceil(2.0 * most)
    if not _holds(design, study, found, ((field, high / 2.0),), key):
        return ()
    while high - low > 1:
        middle = (low + high) // 2
        if _holds(design, study, found, ((field, middle / 2.0),), key):
            high = middle
        else:
            low = middle
    return ((field, high / 2.0),)


def _holds(
    design: Design, study: Study | None, found: StrengthStudy, change: Mends, key: str
) -> bool:
    try:
        other = strength_of(changed(design, change), study, None, clamp_n=found.clamp_n)
    except DesignError:
        return False
    working = found.working_mpa or 0.0
    return any(mode.key == key and mode.allowed_mpa >= working for mode in other.modes)


def _proof(design: Design, found: StrengthStudy) -> Iterator[Finding]:
    """How to test it; never said of a printed part, which must not be put under pressure."""
    if design.socket.process == "printed":
        return
    assert found.proof_mpa is not None
    yield Finding(
        code="load.proof_test",
        verdict=Verdict.PASS,
        message=(
            f"proof-test with water, never with gas, at {_pressure(found.proof_mpa)}: vent all air,"
            " keep people away, raise in steps, hold, look for leaks only after lowering to"
            " working pressure; measure bore and lugs before and after. The local code sets"
            " pressure, time and witness"
        ),
        value=found.proof_mpa,
        unit="MPa",
        source=f"service.proof_factor; procedure: {PRACTICE}",
    )


def _creep(found: StrengthStudy) -> Iterator[Finding]:
    """Lasting load on plastics, and repeated load on anything, are not in the tables."""
    plastics = [
        one.part for one in (found.plug, found.socket)
        if not isinstance(one, str) and one.kind == "plastic"
    ]  # fmt: skip
    if plastics:
        parts = " and ".join(plastics)
        why = f"creep of the {parts} under lasting load: no creep strength in the table"
        yield left_open("load.creep", f"{why}. Ask the material's maker, or test for the time")
    yield left_open(
        "load.fatigue", "repeated pressure: judged for steady pressure only; no fatigue data tabled"
    )


def _weld(design: Design) -> Iterator[Finding]:
    weld = design.socket.weld
    if weld is None:
        return
    thickness = weld.bevel_width_mm / math.tan(math.radians(weld.bevel_angle_deg)) + weld.land_mm
    yield left_open(
        "load.weld",
        f"the preparation gives a weld of up to {thickness:.1f} mm depth; throat, filler, heat"
        " zone (6061-T6 loses about half its strength there, from memory) and testing are for the"
        " local code, a licensed engineer and a qualified welder",
    )


def _printed(design: Design, found: StrengthStudy) -> Iterator[Finding]:
    """A printed socket is for the fit only, whatever the formulas say of its strength."""
    if design.socket.process != "printed":
        return
    words = f"{_printed_words(found)}. {PRINTED_CAUTION}"
    if design.spec.service.pressure is None:
        yield left_open("print.strength", f"{words} No service.pressure is given.")
        return
    yield Finding(
        code="print.strength",
        verdict=Verdict.FAIL,
        message=f"{words} It is not for the service.pressure of this file.",
        value=found.working_mpa,
        limit=0.0,
        margin=None if found.working_mpa is None else -found.working_mpa,
        unit="MPa",
        source=f"layers, creep and voids are not tabled well enough to vouch for it; {PRACTICE}",
        change="leave service.pressure out and use the print for the fit, or make it by machining",
        mends=(("service.pressure", None),),
    )


def _printed_words(found: StrengthStudy) -> str:
    body = found.socket
    modes = [mode for mode in found.modes if mode.body.part == "socket"]
    if isinstance(body, str) or not modes:
        why = found.why_no_modes or "strength is not known"
        return f"a printed part is taken as weak between its layers ({why})"
    worst = min(modes, key=lambda mode: mode.allowed_mpa)
    return (
        f"{body.material} with {100 * body.layers:.0f} % of its strength between layers:"
        f" {worst.title} allows {_pressure(worst.allowed_mpa)} by calculation, creep not counted"
    )


def _pressure(mpa: float) -> str:
    """A pressure as people read it: bar as well."""
    if math.isinf(mpa):
        return "no pressure in reach"
    return f"{mpa:.3g} MPa ({10 * mpa:.3g} bar)"


def _times(factor: float) -> str:
    return f"{factor:.2g} times" if factor < 100.0 else f"{factor:.0f} times"
