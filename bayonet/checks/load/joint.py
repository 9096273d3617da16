"""Do the screws of a socket of two parts hold? Separation, thread in the body, torque."""

from __future__ import annotations

from collections.abc import Iterator

from bayonet.findings import PRACTICE, Finding, Verdict, at_least, left_open
from bayonet.parts import Design
from bayonet.strength import LOAD_FACTOR, JointLoad, StrengthStudy


def findings(design: Design, found: StrengthStudy) -> Iterator[Finding]:
    """Judge the screwed joint of ring and body; nothing for one piece.

    Parameters
    ----------
    design : Design
    found : StrengthStudy
        With a working pressure and both materials known.

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
    yield _opens(found, load)
    yield _thread(design, load)
    yield _torque(load)


def _opens(found: StrengthStudy, load: JointLoad) -> Finding:
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
        change="more or larger screws, a higher property class, or a circle nearer the lugs",
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
