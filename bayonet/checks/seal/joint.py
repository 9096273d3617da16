"""Does the joint of ring and body hold the fluid, where the fluid reaches it?"""

from __future__ import annotations

from collections.abc import Iterator

from bayonet.findings import Finding, Verdict, at_least
from bayonet.parts import LEAST_SQUEEZE_MM, Design, JointSeal
from bayonet.standards import as568


def findings(design: Design) -> Iterator[Finding]:
    """Judge the joint of a socket of two parts; nothing for one piece.

    Parameters
    ----------
    design : Design

    Yields
    ------
    Finding
        `seal.joint`: fails where the fluid reaches a joint without a ring, or where its ring may be
        left with too little squeeze.
    """
    joint = design.socket.joint
    if joint is None or design.plug.groove_kind is None:  # nothing seals, here or elsewhere
        return
    if joint.seal is not None:
        yield _squeeze(joint.seal, joint.flatness_mm + design.socket.tolerance.length_mm)
        return
    dry = not joint.wetted
    yield Finding(
        code="seal.joint",
        verdict=Verdict.PASS if dry else Verdict.FAIL,
        message=(
            "the joint of ring and body lies outside the seal: no fluid reaches it"
            if dry
            else "the fluid reaches the joint of ring and body, and nothing seals it"
        ),
        source="layout of the seal",
        change="" if dry else 'seal = "ring" in [socket.joint]',
        mends=() if dry else (("socket.joint.seal", "ring"),),
    )


def _squeeze(seal: JointSeal, open_mm: float) -> Finding:
    """Least squeeze of the ring in the joint, groove and seat at their limits."""
    size = as568.ring(seal.name.removeprefix("AS568"))
    left = size.section_mm - size.section_tol_mm - seal.depth_mm - open_mm
    usual = 100.0 * (1.0 - seal.depth_mm / seal.section_mm)
    return at_least(
        left,
        LEAST_SQUEEZE_MM,
        code="seal.joint",
        message=(
            f"{seal.name} in the joint, groove {2 * seal.inner_radius_mm:.2f} to"
            f" {2 * seal.outer_radius_mm:.2f} mm, {seal.depth_mm:.2f} deep: squeeze {usual:.0f} %,"
            f" at least {left:.2f} mm"
        ),
        unit="mm",
        source=seal.source,
        change="flatter seats, closer limits, or a thicker section",
    )
