"""Do the screws of a socket of two parts hold? Separation, thread in the body, torque."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from bayonet.errors import DesignError
from bayonet.findings import PRACTICE, Finding, Mends, Verdict, at_least, left_open
from bayonet.parts import Design, changed
from bayonet.standards import bolt_names
from bayonet.strength import LOAD_FACTOR, JointLoad, StrengthStudy, strength_of
from bayonet.tolerance.chains import Study

MODES = ("screws", "ring_plate")
"""Ways to give way that more or larger screws mend."""

_MOST_SCREWS = 24


def findings(
    design: Design, found: StrengthStudy, better: Callable[[], Mends]
) -> Iterator[Finding]:
    """Judge the screwed joint of ring and body; nothing for one piece.

    Parameters
    ----------
    design : Design
    found : StrengthStudy
        With a working pressure and both materials known.
    better : callable
        Gives what `stronger` finds, asked for only where something does not hold.

    Yields
    ------
    Finding
    """
    load = found.joint
    if load is None:
        return
    if isinstance(load, str):
        yield left_open("load.joint_opens", load)
        return
    opens = load.separation(found.proof_n + found.clamp_n) < LOAD_FACTOR
    yield _opens(found, load, better() if opens else ())
    yield _thread(design, load)
    yield _torque(load)


def stronger(design: Design, study: Study | None, found: StrengthStudy) -> Mends:
    """More or larger screws with which joint and ring hold, the fewest and smallest first.

    Parameters
    ----------
    design : Design
    study : Study or None
    found : StrengthStudy
        Whose screws or ring do not hold.

    Returns
    -------
    tuple of (str, value)
        Fields to set; empty for one piece, or where none is found.
    """
    joint = design.socket.joint
    if joint is None or not isinstance(found.joint, JointLoad):
        return ()
    now, names = joint.bolts, bolt_names()
    for name in names[names.index(now.bolt.name) :]:
        for count in (now.count, 2 * now.count, 3 * now.count):
            if count > _MOST_SCREWS:
                continue
            way: Mends = (("socket.joint.bolts", count), ("socket.joint.thread", name))
            if _holds(design, study, found, way):
                return way
    return ()


def _holds(design: Design, study: Study | None, found: StrengthStudy, way: Mends) -> bool:
    freed = (("socket.boss_diameter", None), ("socket.boss_height", None))
    try:
        other = strength_of(changed(design, (*freed, *way)), study, None, clamp_n=found.clamp_n)
    except DesignError:
        return False
    load, force = other.joint, other.proof_n + other.clamp_n
    if not isinstance(load, JointLoad) or load.separation(force) < LOAD_FACTOR:
        return False
    working = found.working_mpa or 0.0
    ours = [mode for mode in other.modes if mode.key in MODES]
    return all(mode.allowed_mpa >= working for mode in ours)


def shown(value: float | int | str | None) -> str:
    """A value as a line of the design file has it."""
    return f'"{value}"' if isinstance(value, str) else f"{value:g}" if value is not None else ""


def _opens(found: StrengthStudy, load: JointLoad, way: Mends) -> Finding:
    """At proof pressure, the clamp of the seating added."""
    force = found.proof_n + found.clamp_n
    times = load.separation(force)
    bolts = load.joint.bolts
    return at_least(
        times,
        LOAD_FACTOR,
        code="load.joint_opens",
        message=(
            f"{bolts.count} screws {bolts.bolt.name} {load.grade.name}: {load.heat_words}; the"
            f" worst carries {load.per_newton * force:.0f} of {force:.0f} N at proof pressure with"
            f" prying; the joint opens at {times:.3g} times that"
        ),
        unit="",
        source=f"Shigley eq. 8-30; factor {LOAD_FACTOR:g}: {PRACTICE}",
        change=(
            ", ".join(f"{field.rpartition('.')[2]} = {shown(value)}" for field, value in way)
            or "a higher property class, or a circle nearer the lugs"
        ),
        mends=way,
    )


def _thread(design: Design, load: JointLoad) -> Finding:
    bolts = load.joint.bolts
    needed = LOAD_FACTOR * load.strip_mm
    return at_least(
        bolts.engagement_mm,
        needed,
        code="load.thread",
        message=(
            f"{bolts.engagement_mm:g} mm of thread in {design.spec.service.socket_material}; with"
            f" {load.strip_mm:.1f} it yields as the screw reaches its proof load"
        ),
        unit="mm",
        source=f"sheared area of the body's thread, von Mises; factor {LOAD_FACTOR:g}: {PRACTICE}",
        change=f"engagement = {needed + 0.05:.1f} or more, or thread inserts",
        mends=(("socket.joint.engagement", round(needed + 0.05, 1)),),
    )


def _torque(load: JointLoad) -> Finding:
    bolts = load.joint.bolts
    return Finding(
        code="load.screw_torque",
        verdict=Verdict.PASS,
        message=(
            f"tighten the {bolts.bolt.name} screws crosswise in two rounds to {load.torque_nm:.2g}"
            f" N m, nut factor {bolts.nut_factor:g}: {100 * bolts.preload_share:g} % of proof load;"
            " the factor scatters by a third, so try it on the screws you use"
        ),
        value=load.torque_nm,
        unit="N m",
        source=f"Shigley eq. 8-27, table 8-15 (from memory); {PRACTICE}",
    )
