"""Does it seal? Ring, stretch, squeeze, fill and gap over the whole zone, on the bench."""

from __future__ import annotations

from collections.abc import Iterator

from bayonet.errors import TableError
from bayonet.findings import PRACTICE, Finding, Mends, Verdict, at_least, at_most
from bayonet.mechanics import ring as formula
from bayonet.parts import (
    FILL_SOURCE,
    LEAST_MM_SOURCE,
    LEAST_SQUEEZE_MM,
    LOOK_AT_STRETCH,
    MOST_FILL,
    MOST_SQUEEZE,
    STRETCH_RANGE,
    Design,
    Ring,
    allowed_squeeze,
    faults_of,
    rank,
)
from bayonet.standards import from_memory, iso286
from bayonet.tolerance.fitting import GlandState, Span

STRETCH_SOURCE = "1 to 5 % for a radial ring on a male part: Apple Rubber, Seal Design Guide"
_SURE = 0.75
_MOST_SQUASHED = 0.03


def findings(design: Design, bench: GlandState) -> tuple[Finding, ...]:
    """Judge the ring in its gland at the temperature of measuring.

    Parameters
    ----------
    design : Design
        With a known ring.
    bench : GlandState

    Returns
    -------
    tuple of Finding
    """
    ring = design.socket.ring
    assert ring is not None
    return (
        _which(design, ring),
        *_stretch(design, bench),
        *_section(ring, bench),
        *_squeeze(design, ring, bench),
        *_worst_side(design, bench),
        *_bore(design),
    )


def span_text(span: Span, *, scale: float = 1.0, unit: str = "", digits: int = 2) -> str:
    """A span as "nominal unit (least to most)"."""
    low, middle, high = (f"{scale * x:.{digits}f}" for x in (span.least, span.nominal, span.most))
    return f"{middle} {unit} ({low} to {high})"


def _which(design: Design, ring: Ring) -> Finding:
    message = f"{ring.name}, {ring.inside_diameter_mm:.2f} x {ring.section_mm:.2f} mm: {ring.why}"
    sure, change = True, ""
    if design.plug.groove_kind == "radial":
        ranked = rank(design.plug)
        mine = next((c for c in ranked if f"AS568{c.size.designation}" == ring.name), None)
        others = [c for c in ranked if c is not mine]
        faults = faults_of(design.plug, ring)
        sure = faults == ()
        if mine is not None:
            sure = sure and (mine.firsts >= _SURE or not ring.is_guess)
            message += f"; best at {100 * mine.firsts:.0f} % of the groove's uncertainty"
        if faults:
            message += f"; but {', '.join(faults)}"
        if others:
            runner = others[0]
            why = ", ".join(runner.faults) or f"stretch {100 * runner.stretch:.1f} %"
            message += f". Next: AS568{runner.size.designation} ({why})"
        if not sure:
            change = "measure the ring itself, or name it: ring = "
            change += f'"{ranked[0].size.designation}"' if ranked else '"-118"'
    return Finding(
        code="seal.ring",
        verdict=Verdict.PASS if sure else Verdict.LOOK,
        message=message,
        source=from_memory(ring.source, ring.provenance),
        change=change,
    )


def _stretch(design: Design, bench: GlandState) -> Iterator[Finding]:
    if design.plug.groove_kind != "radial":
        yield _between_walls(design)
        return
    low, high = STRETCH_RANGE
    value = bench.stretch.nominal
    margin = min(value - low, high - value)
    usable = LOOK_AT_STRETCH[0] <= value <= LOOK_AT_STRETCH[1]
    otherwise = Verdict.LOOK if usable else Verdict.FAIL
    change, mends = _other_ring(design) if margin < 0.0 else ("", ())
    yield Finding(
        code="seal.stretch",
        verdict=Verdict.PASS if margin >= 0.0 else otherwise,
        message=f"stretch {span_text(bench.stretch, scale=100, unit='%', digits=1)}",
        value=100 * value,
        limit=100 * (low if value - low < high - value else high),
        margin=100 * margin,
        unit="%",
        source=STRETCH_SOURCE,
        change=change,
        mends=mends,
    )


def _between_walls(design: Design) -> Finding:
    """A face ring must lie between its groove's walls without being forced."""
    ring, groove = design.socket.ring, design.plug.groove
    assert ring is not None
    stretched = float(formula.stretch(2 * groove.start_mm, ring.inside_diameter_mm))
    outside = ring.inside_diameter_mm + 2 * ring.section_mm
    squashed = outside / (2 * groove.end_mm) - 1.0
    good = stretched <= STRETCH_RANGE[1] and squashed <= _MOST_SQUASHED
    inside = 2 * groove.end_mm - 2 * ring.section_mm
    return Finding(
        code="seal.stretch",
        verdict=Verdict.PASS if good else Verdict.FAIL,
        message=(
            f"the ring, {ring.inside_diameter_mm:.2f} to {outside:.2f} mm,"
            f" {'lies between' if good else 'does not lie between'} the groove's walls,"
            f" {2 * groove.start_mm:.2f} and {2 * groove.end_mm:.2f} mm"
        ),
        value=100 * max(stretched, squashed),
        limit=100 * (STRETCH_RANGE[1] if stretched > squashed else _MOST_SQUASHED),
        margin=100 * min(STRETCH_RANGE[1] - stretched, _MOST_SQUASHED - squashed),
        unit="%",
        source=f"{STRETCH_SOURCE}; at most 3 % pressed in: {PRACTICE}",
        change="" if good else f"a ring of about {inside:.1f} mm inside diameter",
    )


def _other_ring(design: Design) -> tuple[str, Mends]:
    for candidate in rank(design.plug):
        if not candidate.faults:
            dash = candidate.size.designation
            others = ("ring_section", "ring_inside_diameter")
            out: Mends = tuple((f"socket.seal.{key}", None) for key in others)
            return f'ring = "{dash}"', (("socket.seal.ring", dash), *out)
    inside = 2 * design.plug.groove.radius_mm / 1.02
    return f"a ring of {inside:.1f} mm inside diameter (2 % stretch)", ()


def _section(ring: Ring, bench: GlandState) -> Iterator[Finding]:
    """Constant volume and the fit to measured rings, side by side."""
    stretch_pct = 100 * bench.stretch.nominal
    by_volume = 100 * (1 - bench.section_mm.nominal / ring.section_mm)
    by_fit = float(formula.section_loss_empirical_pct(stretch_pct))
    if by_fit != by_fit:
        return
    yield Finding(
        code="seal.section",
        verdict=Verdict.PASS,
        message=(
            f"stretched, the section is {bench.section_mm.nominal:.3f} mm: {by_volume:.1f} % less"
            f" by constant volume; the fit of O-ring handbook ORD 5700 (from memory) says"
            f" {by_fit:.1f} %"
        ),
        value=bench.section_mm.nominal,
        unit="mm",
        source="constant volume; O-ring handbook ORD 5700 fit (from memory, unconfirmed)",
    )


def _squeeze(design: Design, ring: Ring, bench: GlandState) -> Iterator[Finding]:
    least, most, source = allowed_squeeze(design.plug, ring)
    span = bench.squeeze
    margin = min(span.least - least, most - span.most)
    good = margin >= -1e-9
    inside = span.least >= least / 2 and span.most <= max(most, MOST_SQUEEZE) + 0.05
    otherwise = Verdict.LOOK if inside else Verdict.FAIL
    change, mends = ("", ()) if good else _centred(design, bench, (least, most))
    yield Finding(
        code="seal.squeeze",
        verdict=Verdict.PASS if good else otherwise,
        message=(
            f"squeeze {span_text(span, scale=100, unit='%', digits=1)};"
            f" allowed {100 * least:.0f} to {100 * most:.0f} %"
        ),
        value=100 * span.nominal,
        limit=100 * (least if span.least - least < most - span.most else most),
        margin=100 * margin,
        unit="%",
        source=source,
        change=change,
        mends=mends,
    )
    thinner = "a thinner ring, or less squeeze"
    yield at_most(
        bench.fill.most,
        MOST_FILL,
        code="seal.fill",
        message=f"ring fills {span_text(bench.fill, scale=100, unit='%', digits=0)} of the gland",
        unit="-",
        source=FILL_SOURCE,
        change=thinner,
        mends=bore_for_fill(design, bench, bench),
    )


def _centred(design: Design, bench: GlandState, allowed: tuple[float, float]) -> tuple[str, Mends]:
    """The bore that puts the squeeze in the middle of what is allowed."""
    socket = design.socket
    if socket.seal_radius_mm is None:
        return "another depth of groove; the socket cannot mend a face seal's squeeze alone", ()
    off = (bench.squeeze.least - allowed[0]) - (allowed[1] - bench.squeeze.most)
    bore = 2 * (socket.seal_radius_mm + off / 2 * bench.section_mm.nominal)
    text, mends = bore_of(bore)
    if bench.squeeze.most - bench.squeeze.least > allowed[1] - allowed[0]:
        text += ", and closer limits on bore and groove: their spread alone is too wide"
        return text, ()
    return text, mends


def bore_of(diameter_mm: float) -> tuple[str, Mends]:
    """A sealing bore as a change of the design file, for people and for programs."""
    value = round(float(diameter_mm), 3)
    mends: Mends = (("socket.seal.bore_diameter", value), ("socket.seal.squeeze", None))
    return f"bore_diameter = {value:g}", mends


def sane_bore(design: Design, bench: GlandState, diameter_mm: float) -> Mends:
    """A sealing bore as a proposal, only if its squeeze is allowed and the body passes it."""
    ring, radius = design.socket.ring, diameter_mm / 2.0
    if ring is None or design.socket.seal_radius_mm is None:
        return ()
    least, most, _ = allowed_squeeze(design.plug, ring)
    moved = (design.socket.seal_radius_mm - radius) / bench.section_mm.nominal
    allowed = least <= bench.squeeze.least + moved and bench.squeeze.most + moved <= most
    passes = bench.gap_mm.least / 2.0 + radius - design.socket.seal_radius_mm > 0.0
    return bore_of(diameter_mm)[1] if allowed and passes else ()


def bore_for_fill(design: Design, bench: GlandState, at: GlandState) -> Mends:
    """The bore at which the fullest gland is as full as is allowed."""
    radius = design.socket.seal_radius_mm
    if radius is None:
        return ()
    depth = at.section_mm.nominal * (1.0 - at.squeeze.nominal)
    deeper = depth * (at.fill.most / MOST_FILL - 1.0) * 1.15
    return sane_bore(design, bench, 2 * (radius + max(deeper, 0.0)))


def _worst_side(design: Design, bench: GlandState) -> Iterator[Finding]:
    if design.socket.seal_radius_mm is None:
        return
    yield at_least(
        bench.worst_side_mm,
        LEAST_SQUEEZE_MM,
        code="seal.worst_side",
        message=f"with the plug against one side, {bench.worst_side_mm:.3f} mm of squeeze is left",
        unit="mm",
        source=LEAST_MM_SOURCE,
        change="more squeeze, or a body closer to the bore",
        mends=_for_worst_side(design, bench),
        otherwise=Verdict.LOOK if bench.worst_side_mm > 0.0 else Verdict.FAIL,
    )


def _for_worst_side(design: Design, bench: GlandState) -> Mends:
    """A smaller bore gains squeeze and loses clearance: twice over."""
    radius = design.socket.seal_radius_mm
    short = LEAST_SQUEEZE_MM - bench.worst_side_mm
    return () if radius is None else sane_bore(design, bench, 2 * (radius - short / 2) - 0.002)


def _bore(design: Design) -> Iterator[Finding]:
    """The sealing bore as a machinist would be told it."""
    socket = design.socket
    if socket.seal_radius_mm is None:
        return
    size, half = 2 * socket.seal_radius_mm, socket.limits.sealing_bore_mm
    grade = widest_grade(size, 2 * half)
    offer = ""
    if grade is not None:
        limits = iso286.limits(size - half, grade)
        band = f"(0 / +{1000 * limits.upper_mm:.0f} um)"
        offer = f"; widest class within it {size - half:.2f} {grade} {band}"
    yield Finding(
        code="seal.bore",
        verdict=Verdict.PASS,
        message=(
            f"sealing bore {size:.2f} ±{half:g} mm{offer}; finish 0.8 um rms or better,"
            " no marks along the axis"
        ),
        value=size,
        unit="mm",
        source=f"{iso286.SOURCE}; 32 microinch rms: O-ring handbook ORD 5700, section 4.0",
    )


def widest_grade(size_mm: float, width_mm: float) -> str | None:
    """The widest hole class H that is no wider than a width; None where there is none."""
    grades = ("6", "7", "8", "9", "10", "11", "12")
    try:
        widths = {grade: iso286.grade_um(size_mm, grade) / 1000 for grade in grades}
    except TableError:
        return None
    inside = [grade for grade, width in widths.items() if width <= width_mm + 1e-9]
    return f"H{inside[-1]}" if inside else None
