"""The O-ring: named, given, or the best standard size for the measured groove."""

from __future__ import annotations

import dataclasses
import itertools
import math
from dataclasses import dataclass

from bayonet.designfile import ProblemList, SealTable
from bayonet.errors import TableError
from bayonet.mechanics import ring as formula
from bayonet.parts.plug import Plug
from bayonet.standards import RingSize, as568, glands, iso3601

SAME_SECTION_MM = 0.06
IDEAL_STRETCH = 0.02
"""2 % ideal, 1 to 5 % usual for a radial ring on a male part: Apple Rubber Products, Seal Design
Guide, "Dimensional Considerations"."""

STRETCH_RANGE = (0.01, 0.05)
USUAL_FILL = 0.75
"""Usual fill, and the most at nominal size: 75 to 85 %, The O-Ring Store LLC, "Basic Design
Rules" (web page id=104)."""
MOST_FILL = 0.85
LEAST_SQUEEZE = 0.10
"""About 10 to 40 % static: Apple Rubber Products, Seal Design Guide, "O-Ring Installation"."""
MOST_SQUEEZE = 0.30
"""30 % static: Mechanical Engineers' Handbook (Kutz, ed.), vol. 3, Seal Technology, p. 290."""
LOOK_AT_STRETCH = (-0.03, 0.10)
"""Rings further off do not stay on, or tear, when mounted: common practice, no source."""
AVAILABILITY = "whether it is on a shelf is the maker's to say"


@dataclass(frozen=True, kw_only=True)
class Ring:
    """The ring a socket is made for [mm]; tolerances are plus or minus.

    ``why`` says how it was chosen; ``is_guess`` that the tool chose it from the groove.
    """

    name: str
    inside_diameter_mm: float
    inside_diameter_tol_mm: float
    section_mm: float
    section_tol_mm: float
    source: str
    provenance: str
    why: str
    is_guess: bool = False

    @property
    def has_tolerances(self) -> bool:
        """Whether its section and inside diameter are known to a tolerance."""
        return math.isfinite(self.section_tol_mm + self.inside_diameter_tol_mm)


@dataclass(frozen=True, kw_only=True)
class Candidate:
    """A standard ring judged against a groove.

    Parameters
    ----------
    size : RingSize
    stretch, fill : float
        On the nominal groove, at the target squeeze [-].
    badness : float
        0 for an ideal ring; each rule broken adds about 1.
    firsts : float
        Share of the corners of the groove's uncertainty at which it comes out best [-].
    faults : tuple of str
        What is wrong with it, in plain words.
    """

    size: RingSize
    stretch: float
    fill: float
    badness: float
    firsts: float
    faults: tuple[str, ...]


def resolve(plug: Plug, seal: SealTable, problems: ProblemList) -> Ring | None:
    """The ring for a plug: the one named, the one given, or the best that fits.

    Parameters
    ----------
    plug : Plug
    seal : SealTable
    problems : ProblemList
        Receives what is wrong.

    Returns
    -------
    Ring or None
        None for a problem.
    """
    if plug.ring_groove is None:
        return None
    if seal.ring is not None:
        try:
            return _of_size(ring_by_name(seal.ring), "named in the file")
        except TableError as error:
            problems.add(("socket", "seal", "ring"), str(error))
            return None
    if seal.ring_inside_diameter is not None and seal.ring_section is not None:
        return _given(seal)
    if plug.groove_kind != "radial":
        return _section_only(plug, seal) if seal.ring_section is not None else None
    section = None if seal.ring_section is None else seal.ring_section.value
    ranked = rank(plug, section_mm=section)
    if ranked:
        best = ranked[0]
        why = f"best of {len(ranked)} that fit the groove{_better(plug, best, section)}"
        return dataclasses.replace(_of_size(best.size, why), is_guess=True)
    if seal.ring_section is not None:
        return _section_only(plug, seal)
    problems.add(("socket", "seal"), "no standard ring fits the groove: give ring_section")
    return None


def ring_by_name(designation: str) -> RingSize:
    """A ring by AS568 number or by its two sizes in mm.

    Raises
    ------
    TableError
        If AS568 has no such number, or a size lies outside ISO 3601-1.

    Examples
    --------
    >>> ring_by_name("22.4x2.65").section_mm, round(ring_by_name("-118").section_mm, 2)
    (2.65, 2.62)
    """
    metric = iso3601.size_mm(designation)
    return as568.ring(designation) if metric is None else iso3601.size(*metric)


def _better(plug: Plug, best: Candidate, section_mm: float | None) -> str:
    """What to say where the best inch ring breaks a rule and a metric one would not."""
    metric = metric_for(_groove_of(plug), section_mm=section_mm)
    if not best.faults or not metric or metric[0].faults:
        return ""
    other = metric[0].size.designation
    return f" though {best.faults[0]}; a ring of {other} mm breaks no rule ({AVAILABILITY})"


@dataclass(frozen=True, kw_only=True)
class RadialGroove:
    """What a ring must fit: groove bottom, width and the body beside it, with zones [mm]."""

    radius_mm: float
    width_mm: float
    body_radius_mm: float
    radius_zone_mm: float = 0.0
    width_zone_mm: float = 0.0


def rank(plug: Plug, *, section_mm: float | None = None) -> tuple[Candidate, ...]:
    """Standard rings for a plug's radial groove, best first; see `rank_for`."""
    return rank_for(_groove_of(plug), section_mm=section_mm)


def _groove_of(plug: Plug) -> RadialGroove:
    groove = plug.groove
    return RadialGroove(
        radius_mm=groove.radius_mm,
        width_mm=groove.end_mm - groove.start_mm,
        body_radius_mm=plug.groove_body.radius_mm,
        radius_zone_mm=groove.radius_zone_mm,
        width_zone_mm=groove.width_zone_mm,
    )


def rank_for(groove: RadialGroove, *, section_mm: float | None = None) -> tuple[Candidate, ...]:
    """Standard rings for a radial groove, best first.

    Parameters
    ----------
    groove : RadialGroove
    section_mm : float or None
        Measured section, if the ring is at hand; others are left out.

    Returns
    -------
    tuple of Candidate
        Up to ten; none where nothing fits at all.

    Examples
    --------
    The groove of -118 at 2 % of stretch.

    >>> rank_for(RadialGroove(radius_mm=11.17, width_mm=3.6, body_radius_mm=13.1))[
    ...     0
    ... ].size.designation
    '-118'
    """
    sizes = [size for size in as568.sizes() if _is_section(size.section_mm, section_mm)]
    return _ranked(groove, sizes)


def metric_for(groove: RadialGroove, *, section_mm: float | None = None) -> tuple[Candidate, ...]:
    """Metric rings for a radial groove, best first: each section of the metric groove tables.

    The inside diameter is that of 2 % stretch, to 0.1 mm: makers' series differ, and whether such a
    ring is on a shelf is the maker's to say.

    Parameters
    ----------
    groove : RadialGroove
    section_mm : float or None
        Measured section; others are left out.

    Returns
    -------
    tuple of Candidate
        Up to ten.

    Examples
    --------
    A groove for a section of 3.0: 2.3 deep in its bore, 4.0 wide, 40 mm across at the bottom.

    >>> groove = RadialGroove(radius_mm=20.0, width_mm=4.0, body_radius_mm=22.2)
    >>> found = metric_for(groove, section_mm=3.0)
    >>> found[0].size.designation
    '39.2x3'
    """
    inside = round(20.0 * groove.radius_mm / (1.0 + IDEAL_STRETCH)) / 10.0
    sections = [s for s in glands.metric_sections_mm() if _is_section(s, section_mm)]
    return _ranked(groove, [iso3601.size(inside, section) for section in sections])


def _is_section(one_mm: float, measured_mm: float | None) -> bool:
    return measured_mm is None or abs(one_mm - measured_mm) <= SAME_SECTION_MM


def _ranked(groove: RadialGroove, sizes: list[RingSize]) -> tuple[Candidate, ...]:
    nominal = _judged(groove, sizes)
    corners = itertools.product((-1.0, 0.0, 1.0), repeat=2)
    wins = [_judged(_moved(groove, *corner), sizes)[:1] for corner in corners]
    firsts = [won[0][1].designation for won in wins if won]
    return tuple(
        Candidate(
            size=size,
            stretch=stretch,
            fill=fill,
            badness=badness,
            firsts=firsts.count(size.designation) / max(len(firsts), 1),
            faults=faults,
        )
        for badness, size, stretch, fill, faults in nominal[:10]
    )


def faults_of(plug: Plug, ring: Ring) -> tuple[str, ...] | None:
    """What is wrong with a ring in a plug's radial groove; None if it does not go on at all."""
    size = RingSize(
        designation=ring.name,
        inside_diameter_mm=ring.inside_diameter_mm,
        inside_diameter_tol_mm=ring.inside_diameter_tol_mm,
        section_mm=ring.section_mm,
        section_tol_mm=ring.section_tol_mm,
        source=ring.source,
        provenance=ring.provenance,
    )
    judged = _judged(_groove_of(plug), [size])
    return judged[0][-1] if judged else None


def _moved(groove: RadialGroove, radius: float, width: float) -> RadialGroove:
    return dataclasses.replace(
        groove,
        radius_mm=groove.radius_mm + radius * groove.radius_zone_mm,
        width_mm=groove.width_mm + width * groove.width_zone_mm,
    )


def section_in_place_mm(plug: Plug, ring: Ring) -> float:
    """Section of the ring stretched into a radial groove, by constant volume [mm]."""
    groove = 2.0 * plug.groove.radius_mm
    return float(formula.section_by_volume(ring.section_mm, ring.inside_diameter_mm, groove))


_Row = tuple[float, RingSize, float, float, tuple[str, ...]]


def _judged(groove: RadialGroove, sizes: list[RingSize]) -> list[_Row]:
    """Every size that goes on the groove at all, best first."""
    rows = []
    for size in sizes:
        stretch = float(formula.stretch(2 * groove.radius_mm, size.inside_diameter_mm))
        if LOOK_AT_STRETCH[0] <= stretch <= LOOK_AT_STRETCH[1]:
            row = _row(size, stretch, groove)
            rows += [] if row is None else [row]
    return sorted(rows, key=lambda row: (row[0], row[1].designation))


def _row(size: RingSize, stretch: float, groove: RadialGroove) -> _Row | None:
    section = float(
        formula.section_by_volume(size.section_mm, size.inside_diameter_mm, 2 * groove.radius_mm)
    )
    depth = max(section * (1.0 - 0.20), groove.body_radius_mm - groove.radius_mm)
    squeeze = float(formula.squeeze(section, depth))
    if squeeze < LEAST_SQUEEZE / 2.0 or groove.width_mm < section:
        return None
    fill = float(formula.fill(section, gland_depth_mm=depth, gland_width_mm=groove.width_mm))
    faults = []
    badness = abs(stretch - IDEAL_STRETCH) / 0.03 + abs(fill - USUAL_FILL) / 0.15
    if not STRETCH_RANGE[0] <= stretch <= STRETCH_RANGE[1]:
        faults.append(f"stretch {100 * stretch:.1f} %, not 1 to 5 %")
        badness += 1.0
    if fill > MOST_FILL:
        faults.append(f"fills {100 * fill:.0f} % of the gland, more than 85 %")
        badness += 1.0 + 10.0 * (fill - MOST_FILL)
    if squeeze < LEAST_SQUEEZE:
        faults.append(f"squeeze reaches {100 * squeeze:.0f} % only: the groove is too deep for it")
        badness += 2.0
    return badness, size, stretch, fill, tuple(faults)


def ring_name(size: RingSize) -> str:
    """A size's name in full: ``AS568-118``, ``22.4x2.65 mm``."""
    inch = size.designation.startswith("-")
    return f"AS568{size.designation}" if inch else f"{size.designation} mm"


def _of_size(size: RingSize, why: str) -> Ring:
    return Ring(
        name=ring_name(size),
        inside_diameter_mm=size.inside_diameter_mm,
        inside_diameter_tol_mm=size.inside_diameter_tol_mm,
        section_mm=size.section_mm,
        section_tol_mm=size.section_tol_mm,
        source=size.source,
        provenance=size.provenance,
        why=why,
    )


def _given(seal: SealTable) -> Ring:
    assert seal.ring_inside_diameter is not None
    assert seal.ring_section is not None
    inside, section = seal.ring_inside_diameter, seal.ring_section
    agrees = [
        size.designation
        for size in as568.sizes()
        if abs(size.section_mm - section.value) <= size.section_tol_mm
        and abs(size.inside_diameter_mm - inside.value) <= size.inside_diameter_tol_mm
    ]
    known = f"given in the file; agrees with AS568{agrees[0]}" if agrees else "given in the file"
    return Ring(
        name=f"{inside.value:g} x {section.value:g} mm",
        inside_diameter_mm=inside.value,
        inside_diameter_tol_mm=inside.half_zone(_iso_inside(inside.value)),
        section_mm=section.value,
        section_tol_mm=section.half_zone(_iso_section(section.value)),
        source=f"the file; tolerances {iso3601.SOURCE} where it gives none",
        provenance="transcribed",
        why=known,
    )


def _section_only(plug: Plug, seal: SealTable) -> Ring:
    """A ring known by its section: its inside diameter is taken for 2 % of stretch."""
    assert seal.ring_section is not None
    section = seal.ring_section
    inside = 2.0 * plug.groove.radius_mm / (1.0 + IDEAL_STRETCH)
    return Ring(
        name=f"section {section.value:g} mm",
        inside_diameter_mm=inside,
        inside_diameter_tol_mm=_iso_inside(inside),
        section_mm=section.value,
        section_tol_mm=section.half_zone(_iso_section(section.value)),
        source=f"the file; inside diameter assumed for 2 % stretch; tolerances {iso3601.SOURCE}",
        provenance="transcribed",
        why="only its section is given",
    )


def _iso_section(section_mm: float) -> float:
    try:
        return iso3601.section_tolerance_mm(section_mm)
    except TableError:
        return math.nan


def _iso_inside(inside_mm: float) -> float:
    try:
        return iso3601.inside_diameter_tolerance_mm(inside_mm)
    except TableError:
        return math.nan
