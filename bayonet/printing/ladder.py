"""A set of print-test pieces, judged: do they move as the socket, can they be printed and told?

No CAD kernel. Findings speak of the intended sizes; `Sample.drawn` holds those of the files.
"""

from __future__ import annotations

import dataclasses
import itertools
import math
from collections.abc import Iterator

from bayonet.cautions import PRINTED_CAUTION
from bayonet.checks import Result
from bayonet.checks.making import printing
from bayonet.checks.motion import clearances, motion_of, prove
from bayonet.designfile import PrinterTable, SocketTable
from bayonet.developed import Motion, volume
from bayonet.findings import PRACTICE, Finding, Verdict, at_least, at_most, left_open
from bayonet.parts import Design, Plug, Socket, limits_of, tolerances_of
from bayonet.printing import piece, plate
from bayonet.printing.bar import Gauge
from bayonet.printing.piece import Piece
from bayonet.printing.pieces import Sample, drawn, lettering, letters, mark_depth_mm
from bayonet.printing.printer_profile import ProcessProfile
from bayonet.standards import SOURCE
from bayonet.tolerance.fitting import sideways

_ALIKE = 1e-6
_GUIDED_ALIKE_MM = 0.02  # a hand does not feel less
_LARGEST_STEP_MM = 2.0
_LOCK_DEG = 0.5
_LEAST_MARK_LINES = 1.5
_RADIAL = ("clearance.lug_radial", "clearance.body")


def _volume(one: Piece, shape: Socket, printer: PrinterTable) -> float:
    area = math.fsum(letter.area for letter in letters(one, shape, printer))
    return volume.of_socket(shape) - area * mark_depth_mm(printer)


def usual_steps(
    socket: Socket, *, count: int, step_mm: float, first_mm: float | None = None
) -> tuple[float, ...]:
    """Steps of a ladder: one below the design's own clearance where a gap is left, then wider.

    Parameters
    ----------
    socket : Socket
    count : int
    step_mm : float
    first_mm : float or None
        The first step, where it shall be another one.

    Returns
    -------
    tuple of float

    Examples
    --------
    See `tests/checks/test_ladder.py`: a least gap of 0.1 mm leaves no step of -0.1.
    """
    first = first_mm
    if first is None:
        first = -step_mm if -step_mm > piece.least_step(socket) + _ALIKE else 0.0
    return tuple(round(first + number * step_mm, 3) + 0.0 for number in range(count))


def sample(
    design: Design,
    *,
    steps_mm: tuple[float, ...],
    with_seal: bool = False,
    profile: ProcessProfile | None = None,
) -> Sample:
    """Derive and judge the print-test pieces of a design.

    Parameters
    ----------
    design : Design
    steps_mm : tuple of float
        Clearance added per side, a piece a step [mm].
    with_seal : bool
        Keep the surface the ring seals on.
    profile : ProcessProfile or None
        Compensate the files for it.

    Returns
    -------
    Sample

    Raises
    ------
    DesignError
        If a step closes a gap, two steps carry one mark, or a piece cannot be drawn.
    """
    _check_steps(design.socket, steps_mm)
    printer = design.spec.printer
    pieces = piece.ladder(
        design.plug, design.socket, steps_mm=(0.0, *steps_mm), with_seal=with_seal, printer=printer
    )
    rungs = tuple(sorted(pieces[1:], key=lambda one: one.step_mm))
    outside = 2.0 * drawn(pieces[0].socket, profile).boss_radius_mm
    gauge = Gauge() if profile is None else Gauge().drawn(profile.size)
    made = Sample(
        design=design,
        profile=profile,
        with_seal=with_seal,
        ring=pieces[0],
        ladder=rungs,
        gauge=gauge,
        plate=plate.laid_out(
            len(rungs),
            outside,
            bed_width_mm=printer.bed_width.value,
            bar_mm=(gauge.length_mm, gauge.width_mm),
        ),
        volumes_mm3=tuple(
            _volume(one, drawn(one.socket, profile), printer) for one in (pieces[0], *rungs)
        ),
        findings=(),
        assumptions=_assumptions(design),
    )
    return dataclasses.replace(made, findings=tuple(_findings(made)))


def _check_steps(socket: Socket, steps: tuple[float, ...]) -> None:
    least = piece.least_step(socket)
    for step in steps:
        if not step > least:
            rule = f"a step of {step:+g} mm closes a gap: more than {least:+.3g} mm, please"
            raise piece.refused("steps", rule)
        if not step <= _LARGEST_STEP_MM:
            rule = f"a step of {step:+g} mm: {_LARGEST_STEP_MM:g} mm at most, please"
            raise piece.refused("steps", rule)
    if not steps or len({Piece(step_mm=step, socket=socket).mark for step in steps}) < len(steps):
        raise piece.refused("steps", "steps must differ by 0.01 mm or more, to be told apart")


def _findings(made: Sample) -> Iterator[Finding]:
    plug, socket, ring = made.design.plug, made.design.socket, made.ring.socket
    proof = prove(plug, ring)
    yield _same_motion(plug, socket, ring)
    yield _guided(plug, socket, ring)
    yield _turns(proof.nominal, socket.turn_deg)
    clamp = socket.seating == "clamp"
    yield from printing.findings(
        ring,
        made.printer,
        least_play_mm=0.0 if clamp else proof.tightest.play_mm,
        play_mm=0.0 if clamp else proof.nominal.play_mm,
    )
    yield left_open(
        "print.strength", f"a test piece is for the fit alone, never for load. {PRINTED_CAUTION}"
    )
    yield _sure_steps(made)
    yield _told_apart(made)
    yield _mark(made)
    yield from _plate(made)
    yield from _profile(made)


def _same_motion(plug: Plug, socket: Socket, ring: Socket) -> Finding:
    """The piece must turn as the socket does, at nominal size and at both ends of the zone."""
    worst_off = 0.0
    for extreme in ("nominal", "tightest", "loosest"):
        one, other = (motion_of(plug, it, extreme, guides=socket) for it in (socket, ring))
        worst_off = max(worst_off, _apart(one, other))
    return at_most(
        worst_off,
        _ALIKE,
        code="print.same_motion",
        message=(
            "pushed aside as in the whole socket, the plug enters, turns, locks and plays alike"
            if worst_off <= _ALIKE
            else f"the ring does not move as the whole socket: {worst_off:.3g} apart"
        ),
        unit="deg, mm",
        source="free region of both, nominal and at both ends of the zone",
        change="a gentler steepest_overhang_deg",
    )


def _guided(plug: Plug, socket: Socket, ring: Socket) -> Finding:
    """A land the ring lacks, a sealing bore's mostly, may hold the plug nearer to the middle."""
    whole, short = (sideways(plug, one, play_mm=0.0).aside_mm for one in (socket, ring))
    return at_most(
        short - whole,
        _GUIDED_ALIKE_MM,
        code="print.guided",
        message=(
            f"the plug can stand {short:.2f} mm aside in the ring, {whole:.2f} mm in the whole"
            " socket"
            + ("" if short - whole <= _GUIDED_ALIKE_MM else ": the land that guides it is not here")
        ),
        unit="mm",
        source=f"loosest gaps of body and bores; {PRACTICE}",
        change="--with-seal; else the part will have less play sideways than the ring",
        otherwise=Verdict.LOOK,
    )


def _turns(motion: Motion, turn_deg: float) -> Finding:
    """A plug that does not reach lock at nominal size makes the pieces pointless."""
    return at_least(
        motion.furthest_deg,
        turn_deg - _LOCK_DEG,
        code="print.turns",
        message=(
            f"at step 0 and nominal size the plug enters and turns {motion.furthest_deg:.2f} deg of"
            f" {turn_deg:.2f}"
            if motion.path
            else "at step 0 the plug does not enter even at nominal size"
        ),
        unit="deg",
        source="free region of plug and ring",
        change="mend the design first: see bayonet check",
    )


def _apart(one: Motion, other: Motion) -> float:
    def numbers(motion: Motion) -> list[float]:
        return [motion.furthest_deg, motion.seated_deg, motion.play_mm, motion.hold_mm,
                motion.back_deg]  # fmt: skip

    if bool(one.path) != bool(other.path):
        return math.inf
    pairs = zip(numbers(one), numbers(other), strict=True)
    return max(0.0 if a != a and b != b else _gap(a, b) for a, b in pairs)


def _gap(a: float, b: float) -> float:
    return abs(a - b) if math.isfinite(a - b) else math.inf


def goes_for_sure(plug: Plug, shape: Socket) -> bool:
    """Whether every plug of the spread turns in every print within the printing limits."""
    usual = SocketTable(process="printed")
    printed = dataclasses.replace(shape, tolerance=tolerances_of(usual), limits=limits_of(usual))
    radial = {f.code: f.verdict for f in clearances.findings(plug, printed) if f.code in _RADIAL}
    return bool(motion_of(plug, printed, "tightest").path) and Verdict.FAIL not in radial.values()


def _sure_steps(made: Sample) -> Finding:
    plug = made.design.plug
    sure = [one.mark for one in made.ladder if goes_for_sure(plug, one.socket)]
    return Finding(
        code="print.steps",
        verdict=Verdict.PASS if sure else Verdict.LOOK,
        message=(
            f"within the usual limits of printing every plug turns from step {sure[0]} on; what"
            " turns below it, your printer shows"
            if sure
            else "at no step does every plug turn for sure within the usual limits of printing"
        ),
        value=float(len(sure)),
        limit=1.0,
        margin=float(len(sure)) - 1.0,
        unit="steps",
        source=SOURCE,
        change="" if sure else "more or larger steps",
    )


def _told_apart(made: Sample) -> Finding:
    steps = [one.step_mm for one in made.ladder]
    apart = min((b - a for a, b in itertools.pairwise(steps)), default=math.inf)
    repeats = made.printer.repeatability.value
    if math.isinf(apart):
        apart = repeats
    return at_least(
        apart,
        repeats,
        code="print.step_size",
        message=f"steps of {apart:g} mm against {repeats:g} mm from print to print",
        unit="mm",
        source=f"[printer] repeatability; {PRACTICE}",
        change=f"steps of {repeats:g} mm or more: finer ones cannot be told apart",
        otherwise=Verdict.LOOK,
    )


def _mark(made: Sample) -> Finding:
    style, _ = lettering(made.drawn(made.ring), made.printer)
    nozzle = made.printer.nozzle.value
    least = min(style.stroke_mm, style.island_mm)
    return at_least(
        least,
        _LEAST_MARK_LINES * nozzle,
        code="print.mark",
        message=(
            f"marks {style.height_mm:.1f} mm high, strokes {style.stroke_mm:.2f} mm, sunk"
            f" {made.mark_depth_mm:.2f} mm into the face that prints last"
        ),
        unit="mm",
        source=f"{_LEAST_MARK_LINES:g} lines of [printer] nozzle; {PRACTICE}",
        change="a finer nozzle or a larger wall",
        otherwise=Verdict.LOOK,
    )


def _plate(made: Sample) -> Iterator[Finding]:
    printer, laid = made.printer, made.plate
    for word, size, bed in (
        ("wide", laid.width_mm, printer.bed_width.value),
        ("deep", laid.depth_mm, printer.bed_depth.value),
    ):
        yield at_most(
            size,
            bed,
            code=f"print.plate_{word}",
            message=(
                f"the plate of {len(made.ladder)} rings and the bar is {size:.0f} mm {word},"
                f" the bed {bed:g} mm"
            ),
            unit="mm",
            source="[printer] bed",
            change="fewer steps, or print the plate in parts",
            otherwise=Verdict.LOOK,
        )


def _profile(made: Sample) -> Iterator[Finding]:
    if made.profile is None:
        return
    yield compensated(made.profile, made.ring.socket)


def compensated(profile: ProcessProfile, intended: Socket) -> Finding:
    """Says which sizes are which: findings intend, files draw."""
    bore = 2.0 * intended.track_bore_radius_mm
    file = profile.size.drawn(bore, "hole")
    clash = bool(profile.contradictions)
    return Finding(
        code="print.compensated",
        verdict=Verdict.LOOK if clash else Verdict.PASS,
        message=(
            f"files are drawn for {profile.name!r} ({profile.in_words()}): the bore of"
            f" {bore:.3f} mm is drawn {file:.3f}. Findings speak of the intended sizes"
            + (". Its results contradicted each other" if clash else "")
        ),
        value=file - bore,
        unit="mm",
        source="the process profile",
        change="measure again and calibrate anew" if clash else "",
    )


def with_compensation(result: Result, profile: ProcessProfile) -> Result:
    """A printed socket's findings, and which sizes its files hold, beside the others on printing.

    Parameters
    ----------
    result : Result
    profile : ProcessProfile

    Returns
    -------
    Result
    """
    rows = list(result.findings)
    last = max((i for i, row in enumerate(rows, 1) if row.code.startswith("print.")), default=0)
    rows.insert(last, compensated(profile, result.design.socket))
    return dataclasses.replace(result, findings=tuple(rows))


def _assumptions(design: Design) -> tuple[str, ...]:
    printer = design.spec.printer
    joined = (
        "The socket is a ring on a body: pieces show slots, tracks and stop in one piece, without"
        " the run-outs of the mill, screws and register.",
    )
    return (
        *(joined if design.socket.joint is not None else ()),
        f"Printer: nozzle {printer.nozzle.value:g} mm, layers {printer.layer_height.value:g} mm,"
        f" first layer flares {printer.first_layer_flare.value:g} mm, overhangs to"
        f" {printer.steepest_overhang_deg.value:g} deg, ceilings to"
        f" {printer.longest_bridge.value:g} mm, sizes repeat within"
        f" {printer.repeatability.value:g} mm ([printer], or {PRACTICE}).",
        "A step adds to each gap per side: body, track wall, slot sides, floor and, with a hard"
        " stop, the roof.",
        "Print time and material: your slicing program tells them.",
    )
