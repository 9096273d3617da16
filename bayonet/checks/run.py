"""All checks of a design, in the order a person would read them."""

from __future__ import annotations

import difflib
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace

from bayonet.checks import chains
from bayonet.checks.assumptions import assumptions_of
from bayonet.checks.chains import Corners
from bayonet.checks.headline import cautions_of, headline_of, marks_of
from bayonet.checks.load import beside, handling
from bayonet.checks.load import strength as load
from bayonet.checks.making import casting, machining, measuring, printing, walls, ways_to_make
from bayonet.checks.motion import Proof, clearances, prove, way_in
from bayonet.checks.seal import gasket, joint, lead_in, nothing, silent
from bayonet.checks.seal import gland as seal
from bayonet.checks.seal import service as seal_service
from bayonet.checks.verified import verified
from bayonet.findings import SEVERITY, Finding, Verdict, worst
from bayonet.parts import Design
from bayonet.strength import StrengthStudy, strength_of
from bayonet.tolerance.chains import Study
from bayonet.tolerance.fitting import SealState, gland, seal_states


@dataclass(frozen=True, kw_only=True)
class Result:
    """What the checks found.

    Parameters
    ----------
    design : Design
    findings : tuple of Finding
    proof : Proof
        The motion the findings rest on.
    study : Study
        The dimension chains the findings rest on.
    strength : StrengthStudy
        Loads, stresses and torques the findings rest on.
    assumptions : tuple of str
        What was taken for granted, each with its source.
    cautions : tuple of str
    """

    design: Design
    findings: tuple[Finding, ...]
    proof: Proof
    study: Study
    strength: StrengthStudy
    assumptions: tuple[str, ...]
    cautions: tuple[str, ...]

    @property
    def headline(self) -> tuple[str, ...]:
        """What must be read first; stands over every page, picture and file."""
        return headline_of(self.design, self.findings)

    @property
    def marks(self) -> tuple[str, ...]:
        """The same in a few words, for pictures."""
        return marks_of(self.design, self.verdict)

    @property
    def seal_states(self) -> tuple[SealState, ...]:
        """The gland in every state of service the seal was judged in; empty without a ring."""
        if bench_of(self.design, self.proof) is None:
            return ()
        return seal_states(self.design, _play(self.design, self.proof))

    @property
    def verdict(self) -> Verdict:
        """The worst verdict of all findings."""
        return worst(self.findings)

    def __getitem__(self, code: str) -> Finding:
        """The finding of a code, as in ``result["seal.squeeze"]``; of several, the worst.

        Raises
        ------
        KeyError
            Where this design has no such finding; the message names near codes.
        """
        return found_by_code(self.findings, code)


def found_by_code(findings: tuple[Finding, ...], code: str) -> Finding:
    """The finding of a code, of several the worst; KeyError with near codes where there is none."""
    found = [one for one in findings if one.code == code]
    if not found:
        codes = list(dict.fromkeys(one.code for one in findings))
        near = difflib.get_close_matches(code, codes, n=3, cutoff=0.4)
        raise KeyError(f"{code}: no such finding; near it: {', '.join(near) or 'none'}")
    return max(found, key=lambda one: SEVERITY.index(one.verdict))


def check(design: Design, *, progress: Callable[[float], None] = lambda _: None) -> Result:
    """Judge a design, and try what findings that fail propose; loads no geometry kernel.

    Parameters
    ----------
    design : Design
    progress : callable
        Told the share of the sampling done.

    Returns
    -------
    Result
        A finding that fails keeps only proposals with which it passes and none comes out worse.

    Examples
    --------
    >>> import bayonet
    >>> bayonet.check(bayonet.loads(bayonet.starting_file())).verdict.value
    'look'
    """
    return tried(judge(design, progress=progress))


def tried(result: Result) -> Result:
    """A judgement whose findings keep only proposals that were tried and mend.

    Of a design that does not fail, it is the result itself.
    """
    if result.verdict is not Verdict.FAIL:
        return result
    kept = verified(
        result.design,
        result.findings,
        lambda other: judge(other).findings,
        chains.proposals_of(result.design, result.study),
    )
    return replace(result, findings=kept)


@dataclass(frozen=True, kw_only=True)
class FirstLook:
    """What is known of a design before its dimension chains, which take longest.

    Parameters
    ----------
    design : Design
    proof : Proof
    findings : tuple of Finding
        `motion.enters` by its bound alone; the chains may yet say more of it.
    """

    design: Design
    proof: Proof
    findings: tuple[Finding, ...]

    @property
    def verdict(self) -> Verdict:
        """The worst verdict so far."""
        return worst(self.findings)


def steps(
    design: Design, *, progress: Callable[[float], None] = lambda _: None
) -> Iterator[FirstLook | Corners | Result]:
    """Judge a design and give what is known as soon as it is: motion, worst corners, all.

    Who asks may stop after any of them. The last is what `judge` gives.

    Parameters
    ----------
    design : Design
    progress : callable
        Told the share of the sampling done.

    Examples
    --------
    >>> import bayonet
    >>> [type(one).__name__ for one in steps(bayonet.loads(bayonet.starting_file()))]
    ['FirstLook', 'Corners', 'Result']
    """
    proof = prove(design.plug, design.socket)
    first = before_chains(design, proof)
    yield FirstLook(design=design, proof=proof, findings=first)
    corners = chains.corners_of(design)
    yield corners
    study = chains.study_of(design, progress=progress, corners=corners)
    strength = strength_of(design, study, bench_of(design, proof))
    found = (
        *(
            chains.entering(design, one, proof, study) if one.code == "motion.enters" else one
            for one in first
        ),
        *chains.findings(design, study),
        *of_strength(design, study, strength),
        *measuring.findings(design.socket),
    )
    yield Result(
        design=design, findings=_by_room(found), proof=proof, study=study, strength=strength,
        assumptions=assumptions_of(design), cautions=cautions_of(design),
    )  # fmt: skip


def judge(design: Design, *, progress: Callable[[float], None] = lambda _: None) -> Result:
    """As `check`, proposals not tried: for who tries changes by the dozen."""
    *_, last = steps(design, progress=progress)
    assert isinstance(last, Result)
    return last


def with_finding(result: Result, found: Finding) -> Result:
    """A result with one finding more, in its room."""
    return replace(result, findings=_by_room((*result.findings, found)))


def before_chains(design: Design, proof: Proof) -> tuple[Finding, ...]:
    """All findings that need no dimension chains, which take longest.

    Parameters
    ----------
    design : Design
    proof : Proof

    Returns
    -------
    tuple of Finding
    """
    found = (
        *way_in.findings(design.plug, design.socket, proof, pressed=_pressed(design)),
        *clearances.findings(design.plug, design.socket),
        *walls.findings(design.plug, design.socket, most_play_mm=_play(design, proof).most),
        *machining.findings(design, lock_deg=proof.nominal.furthest_deg),
        *casting.findings(design),
        *_seal(design, proof),
        *joint.findings(design),
        *_printing(design, proof),
    )
    return ways_to_make.with_ways_out(design, proof, ways_to_make.as_it_bears(design, found))


def _pressed(design: Design) -> str:
    """What pushes the locked plug outwards, and when; empty where nothing does."""
    pressure = design.spec.service.pressure
    found = []
    if design.plug.groove_kind != "radial" and design.socket.ring is not None:
        found.append("the squeezed face ring")
    if design.socket.gasket is not None:
        found.append("the squeezed gasket")
    if pressure is not None and pressure.value > 0.0:
        found.append("working pressure (as long as there is any)")
    return " or ".join(found)


def _seal(design: Design, proof: Proof) -> tuple[Finding, ...]:
    if design.socket.gasket is not None:
        return tuple(gasket.findings(design, design.socket.gasket, _play(design, proof)))
    if design.plug.ring_groove is None:
        return (nothing.nothing_seals(design.spec.service),)
    bench = bench_of(design, proof)
    if bench is None:
        if design.socket.ring is None:
            why = "no ring is given: nothing of the seal is judged"
        else:
            why = "the ring is outside ISO 3601-1: give tol for its section and inside diameter"
        change = "socket.seal.ring, or ring_section and ring_inside_diameter with tol"
        return (
            Finding(
                code="seal.ring", verdict=Verdict.LOOK, message=why, source="the design file",
                change=change,
            ),
        )  # fmt: skip
    return (
        *seal.findings(design, bench),
        *lead_in.findings(design),
        *seal_service.findings(
            design, bench, _play(design, proof), seal_states(design, _play(design, proof))
        ),
        *silent.findings(design),
    )


def _printing(design: Design, proof: Proof) -> tuple[Finding, ...]:
    if design.socket.process != "printed":
        return ()
    play = _play(design, proof)
    return printing.findings(
        design.socket, design.spec.printer, least_play_mm=play.least, play_mm=play.nominal
    )


def _play(design: Design, proof: Proof) -> gland.Span:
    """Axial play at lock; none where the ramp clamps."""
    if design.socket.seating == "clamp" or proof.tightest.entered is None:
        return gland.Span(least=0.0, nominal=0.0, most=0.0)
    least, usual, most = (m.play_mm for m in (proof.tightest, proof.nominal, proof.loosest))
    return gland.Span(least=least, nominal=usual, most=most)


def _by_room(found: tuple[Finding, ...]) -> tuple[Finding, ...]:
    """Findings of one room together, rooms in the order they come up in."""
    rooms = list(dict.fromkeys(one.code.partition(".")[0] for one in found))
    return tuple(sorted(found, key=lambda one: rooms.index(one.code.partition(".")[0])))


def of_strength(design: Design, study: Study | None, found: StrengthStudy) -> tuple[Finding, ...]:
    """All findings of load and handling."""
    return (
        *load.findings(design, study, found),
        *handling.findings(design, found),
        *beside.findings(design, found),
    )


def bench_of(design: Design, proof: Proof) -> gland.GlandState | None:
    """The gland at the temperature of measuring; None where the ring is not known."""
    ring = design.socket.ring
    if ring is None or not ring.has_tolerances:
        return None
    return gland.state(design.plug, design.socket, ring, play_mm=_play(design, proof))
