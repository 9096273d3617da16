"""All checks of a design, in the order a person would read them."""

from __future__ import annotations

from dataclasses import dataclass

from bayonet.checks import clearance, motion, shape
from bayonet.checks.finding import Finding, Verdict, worst
from bayonet.checks.proof import Proof, prove
from bayonet.model.design import Design
from bayonet.model.resolve import spread_of
from bayonet.standards import processes

CAUTIONS = (
    "Geometry and motion are checked. Strength, seal and temperature are not: see the findings"
    " marked not evaluated.",
    "A part under pressure or with hot fluid can injure. Proof-test it, follow the local code,"
    " and let a licensed engineer and a qualified welder judge what they must.",
    "Printed parts are for trying the fit. Do not pressurise them.",
)


@dataclass(frozen=True, kw_only=True)
class Result:
    """What the checks found.

    Parameters
    ----------
    design : Design
    findings : tuple of Finding
    proof : Proof
        The motion the findings rest on.
    assumptions : tuple of str
        What was taken for granted, each with its source.
    cautions : tuple of str
    """

    design: Design
    findings: tuple[Finding, ...]
    proof: Proof
    assumptions: tuple[str, ...]
    cautions: tuple[str, ...] = CAUTIONS

    @property
    def verdict(self) -> Verdict:
        """The worst verdict of all findings."""
        return worst(self.findings)


def check(design: Design) -> Result:
    """Judge a design; loads no geometry kernel.

    Parameters
    ----------
    design : Design

    Returns
    -------
    Result

    Examples
    --------
    >>> import bayonet
    >>> bayonet.check(bayonet.loads(bayonet.starting_file())).verdict.value
    'warn'
    """
    proof = prove(design.plug, design.socket)
    found = (
        *motion.findings(design.plug, design.socket, proof),
        *clearance.findings(design.plug, design.socket),
        *shape.findings(design.plug, design.socket),
        *_not_evaluated(),
    )
    return Result(design=design, findings=found, proof=proof, assumptions=_assumptions(design))


def _not_evaluated() -> tuple[Finding, ...]:
    return (
        Finding(
            code="seal.ring",
            verdict=Verdict.NOT_EVALUATED,
            message="squeeze over the limits, stretch, fill and temperature: not in this version",
        ),
        Finding(
            code="load.pressure",
            verdict=Verdict.NOT_EVALUATED,
            message="strength of lugs, roof and boss under pressure: not in this version",
        ),
    )


def _assumptions(design: Design) -> tuple[str, ...]:
    spread = spread_of(design.spec.plug)
    limits, gaps = design.socket.tolerance, design.socket.clearance
    return (
        f"Other plugs lie within ±{spread.diameter_mm:g} mm (diameters), ±{spread.length_mm:g}"
        f" mm (depths, widths) and ±{spread.angle_deg:g} deg of this one where the file gives no"
        f" limits of its own ({design.spec.plug.made_by}; {processes.SOURCE}).",
        f"The socket is made within ±{limits.diameter_mm:g} mm (diameters), ±{limits.length_mm:g}"
        f" mm (depths, widths) and ±{limits.angle_deg:g} deg"
        f" ({design.socket.process}; {processes.SOURCE}, or the file).",
        f"Clearances: body {gaps.body_diametral_mm:g} mm on diameter, lug radial"
        f" {gaps.lug_radial_mm:g}, side {gaps.lug_side_mm:g}, axial {gaps.axial_mm:g}, floor"
        f" {gaps.floor_mm:g}, nose {gaps.nose_mm:g} mm.",
        "A flank may lie anywhere within its zone, so lead and form errors inside it are covered;"
        " tilt, eccentricity and heat are not.",
    )
