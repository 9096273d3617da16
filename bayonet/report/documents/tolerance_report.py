"""What the tolerance report says, block by block. Words and figures only; computes nothing."""

from __future__ import annotations

import math

from bayonet.checks import Result, number_text, ppm_text, rate_text, share_text, shown_in
from bayonet.checks.making import Measurement, measurements
from bayonet.dimensions import Dimension, figure, limits_text, record_of
from bayonet.findings import HEADINGS, Finding, Verdict, margin_text, sentence
from bayonet.parts import NamedDimension
from bayonet.report.documents.blocks import (
    Block,
    Grid,
    Heading,
    NewPage,
    Picture,
    Points,
    Report,
    Together,
    Words,
)
from bayonet.report.documents.load import load_blocks
from bayonet.report.documents.seal import seal_blocks
from bayonet.report.sheets.chains import grouped, strip
from bayonet.standards import ENOUGH
from bayonet.tolerance.advice import Step, Tolerance, loop_of, opened, tolerances_of
from bayonet.tolerance.chains import ChainFigures
from bayonet.tolerance.fitting import described_states

_ALWAYS = 1e-6  # a quantity that cannot vary has no picture


def tolerance_report(
    result: Result, drawings: tuple[Picture, ...] = (), *, load: Picture | None = None
) -> Report:
    """The report a machinist reads at the bench.

    Parameters
    ----------
    result : Result
    drawings : tuple of Picture
        Views of the part, shown on the first page.
    load : Picture or None
        Sheet of loads and torques, shown before the findings.

    Returns
    -------
    Report
    """
    design = result.design
    blocks: tuple[Block, ...] = (
        *_head(result, drawings),
        *_what_matters(result),
        NewPage(),
        *_dimensions(result),
        *_change(result),
        NewPage(),
        *_chains(result),
        NewPage(),
        *load_blocks(result, load),
        *seal_blocks(result),
        *_findings(result),
        *_measuring(result),
        *_rests_on(result),
    )
    return Report(
        title=f"Tolerance report: {design.name}",
        foot=f"{design.name}, revision {design.revision}. Lengths in mm, at"
        f" {design.spec.service.assembly_c:g} °C unless said otherwise.",
        blocks=blocks,
        banner=" ".join(result.headline),
    )


def _head(result: Result, drawings: tuple[Picture, ...]) -> list[Block]:
    design, socket = result.design, result.design.socket
    hand = "right hand (clockwise locks)" if socket.sign < 0 else "left hand"
    ring = socket.ring.name if socket.ring else "none"
    found = result.study
    blocks: list[Block] = [
        Heading(text=f"Socket for: {design.name}", level=1),
        Words(
            text=f"Tolerance report, revision {design.revision}. Layout {socket.layout},"
            f" {len(socket.tracks)} lugs, {hand}, seating {socket.seating}, {socket.process};"
            f" ring {ring}."
        ),
        *(Words(text=line, kind="caution") for line in result.headline),
        Words(text=_closing(result), kind="caution"),
        Words(
            text=f"{share_text(found.joint_yield)} of all pairs of plug and socket pass every"
            f" requirement ({ppm_text(*found.fails.ppm)} fail; asked for:"
            f" {share_text(design.spec.production.yield_share)} good). States of service:"
            f" {described_states(design)}."
        ),
    ]
    if design.spec.design.note:
        blocks.append(Words(text=f"Note: {design.spec.design.note}", kind="small"))
    return [*blocks, *drawings]


def _closing(result: Result) -> str:
    fails = [f for f in result.findings if f.verdict is Verdict.FAIL]
    if fails:
        return f"This design fails {len(fails)} of its checks: do not make it. See Findings."
    looks = sum(f.verdict is Verdict.LOOK for f in result.findings)
    still = sum(f.verdict is Verdict.OPEN for f in result.findings)
    more = f" {looks} want a look, {still} are open: see Findings." if looks or still else ""
    if result.design.socket.process == "printed":
        return f"No check fails.{more} See Cautions."
    return f"No check fails.{more} Proof-test the part before use; see Cautions."


def _what_matters(result: Result) -> list[Block]:
    rows: list[tuple[str, ...]] = []
    bold: set[int] = set()
    verdicts = {f.code: f.verdict for f in result.findings}
    for one in result.study.figures:
        verdict = verdicts.get(f"tolerance.{one.chain.key}")
        if verdict in (Verdict.FAIL, Verdict.LOOK):
            bold.add(len(rows))
        rows.append(
            (
                one.chain.title,
                one.chain.why,
                _limits(one),
                _number(one, one.nominal),
                f"{_number(one, one.worst.low)} to {_number(one, one.worst.high)}",
                rate_text(one) if one.chain.has_limits else "",
                verdict.value if verdict else "",
            )
        )
    return [
        Heading(text="What matters and why"),
        Grid(
            head=("quantity", "outside its limits", "limits", "nominal", "worst case", "outside",
                  ""),
            rows=tuple(rows),
            align=("left", "left", "left", "right", "right", "left", "left"),
            widths=(0.17, 0.27, 0.13, 0.09, 0.14, 0.14, 0.06),
            bold=frozenset(bold),
        ),
        Words(
            text="Worst case: every dimension at the limit that hurts most. Outside: share of all"
            " pairs, with its 95 % confidence interval.",
            kind="small",
        ),
    ]  # fmt: skip


def _number(one: ChainFigures, value: float) -> str:
    return number_text(one.chain, value)


def _limits(one: ChainFigures) -> str:
    unit = shown_in(one.chain)[1]
    low, high = one.chain.low, one.chain.high
    if low > -1e300 and high < 1e300:
        return f"{_number(one, low)} to {_number(one, high)} {unit}"
    if low > -1e300:
        return f"≥ {_number(one, low)} {unit}"
    return f"≤ {_number(one, high)} {unit}" if high < 1e300 else f"none asked [{unit}]"


# ---- dimensions ------------------------------------------------------------------------------


def _dimensions(result: Result) -> list[Block]:
    asked = {key: one for one in record_of(result).dimensions for key in one.keys}
    rows = [(asked.get(one.dimension.key), words, one) for words, one in _alike(result)]
    last = len(asked) + 1  # what is another one's surface has no number of its own
    rows.sort(key=lambda row: last if row[0] is None else row[0].number)
    classes = {_key(t): t for t in tolerances_of(result.design)}
    return [
        Heading(text="Dimensions of the socket"),
        Grid(
            head=(
                "no.", "dimension", "value", "limits", "grade", "finish", "measure with", "ratio",
            ),
            rows=tuple(_dimension(*row, classes) for row in rows),
            align=("right", "left", "right", "left", "left", "left", "left", "right"),
            widths=(0.03, 0.28, 0.11, 0.11, 0.07, 0.1, 0.24, 0.06),
            bold=frozenset(
                n for n, (*_, one) in enumerate(rows) if one.advice and not one.advice.is_enough
            ),
        ),
        Words(
            text="Numbers are those of the drawing. Depths count from the mouth face. Grade: the"
            " coarsest of ISO 286-1 within these"
            f" limits. Ratio: limits over expanded uncertainty of the gauge, {ENOUGH:g} or more"
            " wanted. Finish of sealing surfaces: 0.8 µm rms or better (32 microinch: O-ring"
            " handbook ORD 5700, section 4.0); others as the process leaves them.",
            kind="small",
        ),
    ]  # fmt: skip


def _alike(result: Result) -> list[tuple[str, Measurement]]:
    """Measured dimensions; those of several tracks that are the same come once."""
    found: list[tuple[str, Measurement]] = []
    seen: dict[tuple[str, float, float | None], int] = {}
    for one in measurements(result.design.socket):
        row = one.dimension
        name, _, rest = row.meaning.partition(": ")
        if not rest or not name.startswith("track "):
            found.append((row.meaning, one))
            continue
        key = (rest, round(row.value, 6), row.half_width)
        if key in seen:
            words, first = found[seen[key]]
            found[seen[key]] = (words.replace(": ", f", {name.removeprefix('track ')}: ", 1), first)
        else:
            seen[key] = len(found)
            found.append((row.meaning, one))
    return [(words.replace("track ", "tracks ", 1) if ", " in words.partition(":")[0] else words,
             one) for words, one in found]  # fmt: skip


def _key(one: Tolerance) -> str:
    """Key of the named dimension a tolerance belongs to, tracks numbered away."""
    return {
        "track_bore": "track_bore_diameter", "sealing_bore": "sealing_bore_diameter",
        "track_wall": "track_diameter", "slot_width": "track_slot_width",
        "slot_position_deg": "track_centre", "stop_deg": "track_stop", "roof": "track_roof_depth",
        "floor": "track_floor_depth", "nose_floor": "nose_floor_depth",
    }.get(one.group, "")  # fmt: skip


def _dimension(
    asked: Dimension | None, words: str, one: Measurement, classes: dict[str, Tolerance]
) -> tuple[str, ...]:
    row = one.dimension
    digits = 2 if row.unit == "deg" else 3
    sign = "Ø" if row.key.endswith("diameter") else ""
    unit = {"mm": "", "deg": "°", "mm/rev": " /rev"}[row.unit]
    numberless = "_".join(p for p in row.key.split("_") if not p.isdigit())
    found = classes.get(numberless)
    gauge, ratio = "no gauge in the table", ""
    if one.advice is not None:
        u = f"{one.advice.gauge.expanded_u:g} {one.advice.gauge.unit}"
        gauge, ratio = f"{one.advice.gauge.name} (U {u})", f"{one.advice.ratio:.1f}"
    value, limits = f"{sign}{row.value:.{digits}f}{unit}", f"±{row.half_width:.3g}{unit}"
    if asked is not None and _is_otherwise(asked, row):
        words += f" ({value} {limits} about the axis)"
        value, limits = figure(asked), limits_text(asked) or asked.status
    return (
        "" if asked is None else str(asked.number), words, value, limits,
        (found.grade or "") if found else "",
        _finish(row), gauge, ratio,
    )  # fmt: skip


def _is_otherwise(asked: Dimension, row: NamedDimension) -> bool:
    """Whether the drawing asks for it from another datum, or in another unit."""
    same = math.isclose(asked.nominal, row.value, abs_tol=1e-9)
    return asked.status == "exact" or not same


def _finish(row: NamedDimension) -> str:
    return "0.8 µm rms" if row.key == "sealing_bore_diameter" else ""


def _change(result: Result) -> list[Block]:
    weak = [
        f"{sentence(f.message)} Change: {f.change}"
        for f in result.findings
        if f.code.startswith("tolerance.") and f.change
    ]
    allowed = 1.0 - result.design.spec.production.yield_share
    wider = [_wider(step) for step in opened(result.design, result.study, allowed=allowed)]
    blocks: list[Block] = [Heading(text="What to change")]
    blocks.append(Points(lines=tuple(weak)) if weak else Words(text="No chain needs a change."))
    if wider:
        blocks.append(Words(text="May be made a grade wider, one at a time, without harm:"))
        blocks.append(Points(lines=tuple(wider)))
    return blocks


def _wider(step: Step) -> str:
    one = step.tolerance
    grade = f", about {step.grade}" if step.grade.startswith("IT") else ""
    return f"{one.meaning}: ±{one.half_width:.3g} to ±{step.half_width:.3g} {one.unit}{grade}"


# ---- chains ----------------------------------------------------------------------------------


def _chains(result: Result) -> list[Block]:
    blocks: list[Block] = [
        Heading(text="The chains, one by one"),
        Words(
            text="Left: the dimensions that make the quantity, plug dark, socket light. Middle:"
            " sampled pairs. Right: who contributes.",
            kind="small",
        ),
    ]
    blocks.extend(
        _one_chain(result, one)
        for one in result.study.figures
        if one.chain.has_limits and one.worst.high - one.worst.low > _ALWAYS
    )
    return blocks


def _one_chain(result: Result, one: ChainFigures) -> Together:
    unit = shown_in(one.chain)[1]
    low, high = one.first.rss
    most = grouped(one)
    cpk = f"Cpk {one.cpk:.2f}; " if math.isfinite(one.cpk) else ""
    text = (
        f"{one.chain.title} {_limits(one)}: {one.chain.why}. Nominal {_number(one, one.nominal)};"
        f" root sum square (3 s) {_number(one, low)} to {_number(one, high)}; 95 %"
        f" {_between(one, 0.95)}; 99.73 % {_between(one, 0.9973)} {unit}. {cpk}"
        f"{rate_text(one)} outside, by {one.out.by}."
        + (f" Most comes from: {most[0][0]}." if most else "")
    )
    return Together(
        blocks=(
            Heading(text=one.chain.title, level=3),
            Picture(
                name=f"chain_{one.chain.key}",
                svg=strip(one, loop_of(result.design, one.chain.key)),
                words=text,
            ),
        )
    )


def _between(one: ChainFigures, share: float) -> str:
    low, high = one.sampled.interval(share)
    return f"{_number(one, low)} to {_number(one, high)}"


# ---- findings, measuring, foundations --------------------------------------------------------


def _findings(result: Result) -> list[Block]:
    return [
        Heading(text="Findings"),
        Grid(
            head=("", "about", "result", "margin", "source"),
            rows=tuple(_finding(f) for f in result.findings),
            align=("left", "left", "left", "right", "left"),
            widths=(0.06, 0.15, 0.42, 0.1, 0.27),
            bold=frozenset(
                n for n, f in enumerate(result.findings)
                if f.verdict in (Verdict.FAIL, Verdict.LOOK)
            ),
        ),
    ]  # fmt: skip


def _finding(finding: Finding) -> tuple[str, ...]:
    room, _, what = finding.code.partition(".")
    change = f" Change: {sentence(finding.change)}" if finding.change else ""
    return (
        finding.verdict.value,
        f"{HEADINGS.get(room, room)}: {what.replace('_', ' ')}",
        f"{sentence(finding.message)}{change}",
        margin_text(finding),
        finding.source,
    )


def _measuring(result: Result) -> list[Block]:
    weak = [m for m in measurements(result.design.socket) if m.advice and not m.advice.is_enough]
    lines = [
        f"{m.dimension.meaning}: best is a {m.advice.gauge.name}, ratio {m.advice.ratio:.1f}"
        for m in weak
        if m.advice
    ]
    blocks: list[Block] = [Heading(text="Measuring")]
    if lines:
        blocks.append(
            Words(text=f"No gauge of the table resolves these {ENOUGH:g} to 1; agree how to judge:")
        )
        blocks.append(Points(lines=tuple(lines)))
    else:
        blocks.append(
            Words(text=f"The gauge named beside each dimension resolves it {ENOUGH:g} to 1.")
        )
    blocks.append(
        Words(
            text="Uncertainties of gauges are common practice where no standard is named; use those"
            " of your own certificates. Measure at the temperature stated, sealing bore in at"
            " least three directions and at both ends.",
            kind="small",
        )
    )
    return blocks


def _rests_on(result: Result) -> list[Block]:
    return [
        Heading(text="Assumptions and their sources"),
        Points(lines=result.assumptions),
        Heading(text="Cautions"),
        *(Words(text=line, kind="caution") for line in result.cautions),
    ]
