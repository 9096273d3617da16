"""All checks of a design, in the order a person would read them."""

from __future__ import annotations

import difflib
import math
from collections.abc import Callable
from dataclasses import dataclass, replace

from bayonet.checks import chains
from bayonet.checks.headline import cautions_of, headline_of, marks_of
from bayonet.checks.load import beside, handling
from bayonet.checks.load import strength as load
from bayonet.checks.making import casting, machining, measuring, printing, walls, ways_to_make
from bayonet.checks.motion import Proof, clearances, prove, way_in
from bayonet.checks.seal import gland as seal
from bayonet.checks.seal import joint, lead_in, silent
from bayonet.checks.seal import service as seal_service
from bayonet.checks.verified import verified
from bayonet.designfile import usual
from bayonet.findings import PRACTICE, SEVERITY, Finding, Verdict, worst
from bayonet.parts import Design, spread_of, usual_squeeze
from bayonet.standards import Measures
from bayonet.strength import NOTCH, NOTCH_SOURCE, StrengthStudy, strength_of
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
        found = [one for one in self.findings if one.code == code]
        if not found:
            codes = list(dict.fromkeys(one.code for one in self.findings))
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
    result = judge(design, progress=progress)
    if result.verdict is not Verdict.FAIL:
        return result
    tried = verified(
        design,
        result.findings,
        lambda other: judge(other).findings,
        chains.proposals_of(design, result.study),
    )
    return replace(result, findings=tried)


def judge(design: Design, *, progress: Callable[[float], None] = lambda _: None) -> Result:
    """As `check`, proposals not tried: for who tries changes by the dozen."""
    proof = prove(design.plug, design.socket)
    study = chains.study_of(design, progress=progress)
    strength = strength_of(design, study, bench_of(design, proof))
    found = (
        *(
            chains.entering(design, one, proof, study) if one.code == "motion.enters" else one
            for one in before_chains(design, proof)
        ),
        *chains.findings(design, study),
        *of_strength(design, study, strength),
        *measuring.findings(design.socket),
    )
    return Result(
        design=design, findings=_by_room(found), proof=proof, study=study, strength=strength,
        assumptions=_assumptions(design), cautions=cautions_of(design),
    )  # fmt: skip


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
    if design.plug.groove.kind != "radial" and design.socket.ring is not None:
        found.append("the squeezed face ring")
    if pressure is not None and pressure.value > 0.0:
        found.append("working pressure (as long as there is any)")
    return " or ".join(found)


def _seal(design: Design, proof: Proof) -> tuple[Finding, ...]:
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
    if ring is None or not math.isfinite(ring.section_tol_mm + ring.inside_diameter_tol_mm):
        return None
    return gland.state(design.plug, design.socket, ring, play_mm=_play(design, proof))


_PRESET = "preset of the process; common practice, no source"


def _squeeze_assumed(design: Design) -> tuple[str, ...]:
    seal = design.spec.socket.seal
    if seal.squeeze is not None or seal.bore_diameter is not None or design.socket.ring is None:
        return ()
    target = 100 * usual_squeeze(design.plug, design.socket.ring)
    return (f"Target squeeze {target:g} %, the middle of what its section is allowed.",)


def _measured_with(design: Design) -> str:
    """What plain numbers of the plug are taken to be uncertain by."""
    told, plug = design.spec.plug.measured_with, design.plug
    across, down = 2.0 * plug.lug_body.radius_mm, plug.lugs[0].bearing_depth_mm
    rows: tuple[tuple[str, Measures, float], ...] = (
        ("diameters, widths and thicknesses", "outside", across),
        ("depths and the groove's width", "depth", down),
    )
    gauges = [(words, usual(told, kind, size)) for words, kind, size in rows]
    known = [f"{words} {g.expanded_u:g} mm ({g.name}: {g.source})" for words, g in gauges if g]
    if not known:
        return "Plain sizes of the plug are taken as exact: measured_with names no instrument."
    return (
        f"Plain sizes of the plug are uncertain (k = 2) by what a {told} measures with:"
        f" {'; '.join(known)}. Give u, readings with their resolution, or measured_with. A plain"
        " lead or angle is taken as exact."
    )


def _assumptions(design: Design) -> tuple[str, ...]:
    spread = spread_of(design.spec.plug)
    plug = design.plug
    across, down = 2.0 * plug.lug_body.radius_mm, plug.lugs[0].bearing_depth_mm
    limits, gaps = design.socket.tolerance, design.socket.clearance
    return (
        _measured_with(design),
        f"Other plugs lie within ±{spread.diameter_mm(across):g} mm (diameters),"
        f" ±{spread.length_mm(down):g} mm (depths, widths) and ±{spread.angle_deg(across / 2):g}"
        f" deg of this one where the file gives no limits of its own ({design.spec.plug.made_by}:"
        f" {spread.words}).",
        f"The socket is made within ±{limits.diameter_mm:g} mm (diameters), ±{limits.length_mm:g}"
        f" mm (depths, widths) and ±{limits.angle_deg:g} deg"
        f" ({design.socket.process}: {_PRESET}, or the file).",
        f"Clearances: body {gaps.body_diametral_mm:g} mm on diameter, lug radial"
        f" {gaps.lug_radial_mm:g}, side {gaps.lug_side_mm:g}, axial {gaps.axial_mm:g}, floor"
        f" {gaps.floor_mm:g}, nose {gaps.nose_mm:g} mm.",
        *_squeeze_assumed(design),
        *machining.assumption(design),
        "The turn is what the socket's stop makes it; uncertainty of a measured turn changes"
        " nothing.",
        "Proof of motion: a flank may lie anywhere within its zone, so lead and form errors inside"
        " it are covered; tilt, eccentricity and heat are in the dimension chains.",
        *_of_chains(design),
        *_of_strength(design),
    )


def _of_strength(design: Design) -> tuple[str, ...]:
    """What load and handling take for granted."""
    service = design.spec.service
    grip = "given" if service.grip_diameter is not None else "taken as the shoulder's diameter"
    return (
        f"Load: proof pressure {service.proof_factor:g} times working pressure, pressure centred;"
        " factors of safety by the kind of material where the file gives none; sections at the"
        " least favourable end of every zone, the load on the part of a lug under its roof"
        f" ({PRACTICE}). Stress concentration {NOTCH:g} at sharp corners of cast and plastic"
        f" parts ({NOTCH_SOURCE}).",
        f"Handling: lugs and ring {service.lubrication}; grip {grip}.",
    )


def _of_chains(design: Design) -> tuple[str, ...]:
    """What the dimension chains take for granted."""
    made, limits = design.spec.production, design.socket.limits
    spread = spread_of(design.spec.plug)
    as_cut = (
        "A cutter is named: chains take the track without the arc and the overcut it leaves, which"
        " the proof of motion has.",
    )
    return (
        *(as_cut if design.spec.socket.cutter is not None else ()),
        f"Chains: plugs {made.plug_shape} within their limits (limits at three standard"
        f" deviations), the socket {made.socket_shape} within its own; the plug lies anywhere in"
        f" its clearance. Independent but where the file says otherwise ({PRACTICE}).",
        f"Axis of lugs within a zone of {spread.coaxiality_mm:g} mm, of tracks"
        f" {limits.coaxiality_mm:g} mm, of further body steps {spread.step_coaxiality_mm:g} mm, of"
        f" the groove {spread.groove_coaxiality_mm:g} mm, of the sealing bore"
        f" {limits.seal_coaxiality_mm:g} mm; tilt ±{spread.tilt_deg:g} and"
        f" ±{limits.tilt_deg:g} deg; lead ±{spread.lead_mm_per_rev:g} and"
        f" ±{limits.lead_mm_per_rev:g} mm/rev ({_PRESET}, or the file).",
    )
