"""Ways to make one socket, each drawn and judged, compared, and the one a shop would choose."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from bayonet.checks.run import FirstLook, Result, judge, steps
from bayonet.developed import volume
from bayonet.errors import DesignError
from bayonet.findings import Finding, Verdict
from bayonet.parts import Cutter, Design, changed
from bayonet.parts import cutter as cutters
from bayonet.standards import rows

_OF_MAKING = ("machining", "casting", "shape")
_OF_MOTION = ("motion", "clearance")
_ROUNDS = 3
"""Times a way is mended by its own proposals for screws and mill before it is compared."""
_OWN = ("socket.joint.",)
_OUTSIDE = ("socket.boss_diameter", "socket.boss_height")
"""Sizes of the file a way may be too large for: then it is judged without them, and says so."""
_SAME_SHARE = 0.05

Fields = Mapping[str, Any]


@dataclass(frozen=True, kw_only=True)
class Way:
    """One way to make the socket.

    Parameters
    ----------
    name : str
    fields : mapping
        Fields of the design file that choose it; None takes one out.
    design : Design or None
        None where it cannot be drawn.
    problem : str
        Why it cannot be drawn; else empty.
    findings : tuple of Finding
    parts, setups : int
        Parts, and clampings of all of them together.
    tools : str
    bearing : float or None
        Share of the area under the roof that bears as it is made [-]; None where not known.
    gives_way : str
        What gives way first when the pressure rises, and at what pressure.
    yield_share : float or None
        Share of pairs of plug and socket that pass every chain [-].
    mass_g : float or None
        Of all parts; None where the material's density is not known [g].
    diameter_mm, height_mm : float or None
        Of the whole socket, flange included [mm].
    """

    name: str
    fields: Fields
    design: Design | None
    problem: str
    findings: tuple[Finding, ...]
    parts: int
    setups: int
    tools: str
    bearing: float | None
    gives_way: str
    yield_share: float | None
    mass_g: float | None
    diameter_mm: float | None
    height_mm: float | None

    @property
    def failing(self) -> tuple[Finding, ...]:
        """Findings that fail."""
        return tuple(one for one in self.findings if one.verdict is Verdict.FAIL)

    @property
    def looks(self) -> tuple[Finding, ...]:
        """Findings of making that are to be looked at."""
        return tuple(
            one for one in self.findings
            if one.verdict is Verdict.LOOK and one.code.startswith(_OF_MAKING)
        )  # fmt: skip

    @property
    def is_made(self) -> bool:
        """Whether it can be drawn and made, and moves as it should."""
        bad = [one for one in self.failing if one.code.startswith((*_OF_MAKING, *_OF_MOTION))]
        return self.design is not None and not bad

    @property
    def is_good(self) -> bool:
        """Whether nothing fails at all."""
        return self.design is not None and not self.failing

    @property
    def why_not(self) -> str:
        """Why it is not good, in a few words; empty where it is."""
        if self.problem:
            return self.problem
        return "; ".join(one.message for one in self.failing[:2])


@dataclass(frozen=True, kw_only=True)
class Ways:
    """Every way that was tried, and the one a shop would choose.

    Parameters
    ----------
    ways : tuple of Way
    best : Way or None
        None where every way fails somewhere.
    reason : str
    """

    ways: tuple[Way, ...]
    best: Way | None
    reason: str


def compare_ways(
    design: Design,
    *,
    shelf: tuple[Cutter, ...] = (),
    progress: Callable[[str], None] = lambda _: None,
) -> Ways:
    """Draw and judge every way to make a design's socket, and choose one.

    Parameters
    ----------
    design : Design
    shelf : tuple of Cutter
        Disc cutters of the shop; the one that leaves most bearing is taken. Empty: the design's
        own, or the smallest that stands.
    progress : callable
        Told what is being done, in a few words.

    Returns
    -------
    Ways
        The recommended one has no finding that fails, the fewest to look at under making, then
        the most bearing, the fewest parts and the least mass.
    """
    found = []
    for name, fields, about in _candidates(design, shelf, progress):
        progress(f"judging: {name}")
        found.append(_judged(design, name, fields, *about))
    return chosen_of(found)


def way_of(design: Design, name: str) -> Way:
    """One way by its name, as `compare_ways` judges it.

    Raises
    ------
    KeyError
        If there is no such way.
    """
    rows = {key: (fields, about) for key, fields, about in _candidates(design, (), lambda _: None)}
    fields, about = rows[name]
    return _judged(design, name, fields, *about)


def chosen_of(found: list[Way]) -> Ways:
    """The ways with the one a shop would choose."""
    good = [way for way in found if way.is_good]
    best = min(good, key=_rank, default=None)
    return Ways(ways=tuple(found), best=best, reason=_reason(best, found))


def best_cutter(design: Design, shelf: Iterable[Cutter]) -> tuple[Cutter, float] | None:
    """The disc cutter of a shop that leaves most of the area under the roof bearing.

    Parameters
    ----------
    design : Design
        Of one piece, machined.
    shelf : iterable of Cutter

    Returns
    -------
    tuple of Cutter, float, or None
        The cutter and the share that bears [-]; None where none of them makes the socket without
        a finding of making that fails.
    """
    bests: list[tuple[float, float, Cutter]] = []
    for one in shelf:
        try:
            other = changed(design, [*_one_piece(design), *_cutter_fields(one)])
        except DesignError:
            continue
        first = next(iter(steps(other)))  # the chains, which take longest, are not asked
        assert isinstance(first, FirstLook)
        share = _bearing(other, first.findings)
        fails = [f for f in first.findings if f.verdict is Verdict.FAIL]
        if share is None or any(f.code.startswith((*_OF_MAKING, *_OF_MOTION)) for f in fails):
            continue
        bests.append((share, -one.radius_mm, one))
    if not bests:
        return None
    share, _, cutter = max(bests, key=lambda row: row[:2])
    return cutter, share


# ---- the ways ------------------------------------------------------------------------------

_About = tuple[int, int, str]


def _one_piece(design: Design) -> list[tuple[str, Any]]:
    """Machined from one piece; what belongs to another way taken out."""
    rows: list[tuple[str, Any]] = [
        ("socket.construction", "one_piece"), ("socket.joint", None),
        ("socket.track.made_by", None), ("socket.process", "machined"),
    ]  # fmt: skip
    return rows if design.spec.socket.cutter is None else [*rows, ("socket.cutter", None)]


def _cutter_fields(one: Cutter) -> list[tuple[str, Any]]:
    mill = [] if one.end_mill_mm is None else [("socket.cutter.end_mill", one.end_mill_mm)]
    return [
        ("socket.cutter.diameter", 2.0 * one.radius_mm),
        ("socket.cutter.thickness", one.thickness_mm),
        ("socket.cutter.neck_diameter", 2.0 * one.neck_radius_mm),
        ("socket.cutter.reach", one.reach_mm),
        ("socket.cutter.corner_radius", one.corner_radius_mm),
        *mill,
    ]


def _plain(design: Design) -> list[tuple[str, Any]]:
    """A flat level floor, which milling leaves."""
    table = design.spec.socket.track
    flat = table.floor_slope_deg.value != 0.0
    return [
        *([("socket.track.floor_slope_deg", None)] if flat else []),
        *([("socket.track.floor", None)] if table.floor != "level" else []),
    ]


def _candidates(
    design: Design, shelf: tuple[Cutter, ...], progress: Callable[[str], None]
) -> Iterable[tuple[str, Fields, _About]]:
    """Name, fields, and parts, setups and tools of every way."""
    if design.socket.process == "printed":
        yield "as it is: printed", {}, (1, 1, "printer")
    base = _one_piece(design)
    named = design.spec.socket.cutter
    chosen: Cutter | None = None if named is None else cutters.named(named)
    why = ""
    if shelf:
        progress(f"trying {len(shelf)} cutters")
        found = best_cutter(changed(design, _plain(design)) if _plain(design) else design, shelf)
        chosen, why = (None, ": none on the list") if found is None else (found[0], "")
    words = "disc cutter, end mill" if chosen is None else (
        f"disc cutter Ø{2 * chosen.radius_mm:g}, end mill"
    )  # fmt: skip
    disc = [*base, *_plain(design), *([] if chosen is None else _cutter_fields(chosen))]
    yield f"one piece, disc cutter{why}", dict(disc), (1, 2, words)
    ring = [*base, *_plain(design), ("socket.construction", "ring_and_body")]
    own = design.spec.socket.joint is not None
    ring = [row for row in ring if not (own and row[0] == "socket.joint")]
    yield "ring and body", dict(ring), (2, 5, "end mill, drills, tap, boring bar")
    yield (
        "one piece, eroded", dict([*base, ("socket.track.made_by", "erosion")]),
        (1, 2, "electrode shaped as a lug, turning head"),
    )  # fmt: skip
    yield (
        "one piece, cast", dict([*base, ("socket.process", "cast")]),
        (1, 2, "pattern, loose cores, turning"),
    )  # fmt: skip


def _judged(design: Design, name: str, fields: Fields, parts: int, setups: int, tools: str) -> Way:
    """Draw and judge a way; its own screws and mill are mended by their findings first."""
    wanted = dict(fields)
    try:
        other = changed(design, wanted.items()) if wanted else design
        result = judge(other)
        for _ in range(_ROUNDS):
            mend = _own_mend(result)
            if not mend:
                break
            wanted.update(mend)
            other = changed(design, wanted.items())
            result = judge(other)
    except DesignError as error:
        first = error.problems[0]
        if first.field in _OUTSIDE and first.field not in wanted:
            freed = {**fields, **dict.fromkeys(_OUTSIDE)}
            return _judged(design, f"{name}, larger boss", freed, parts, setups, tools)
        return Way(
            name=name, fields=wanted, design=None, problem=f"{first.field}: {first.rule}",
            findings=(), parts=parts, setups=setups, tools=tools, bearing=None, gives_way="",
            yield_share=None, mass_g=None, diameter_mm=None, height_mm=None,
        )  # fmt: skip
    flange = other.socket.flange
    radius = other.socket.boss_radius_mm if flange is None else flange.radius_mm
    return Way(
        name=name, fields=wanted, design=other, problem="", findings=result.findings, parts=parts,
        setups=setups, tools=tools, bearing=_bearing(other, result.findings),
        gives_way=_gives_way(result),
        yield_share=result.study.joint_yield, mass_g=_mass_g(other),
        diameter_mm=2.0 * radius, height_mm=other.socket.boss_height_mm,
    )  # fmt: skip


def _own_mend(result: Result) -> dict[str, Any]:
    """The first proposal of a failing finding that only sets fields of the joint."""
    for one in result.findings:
        own = one.mends and all(field.startswith(_OWN) for field, _ in one.mends)
        if one.verdict is Verdict.FAIL and own:
            return dict(one.mends)
    return {}


def _bearing(design: Design, findings: tuple[Finding, ...]) -> float | None:
    """Share that bears as it is made: of the machining, else of the track as drawn [-]."""
    by_code = {one.code: one for one in findings}
    for code in ("machining.ring_bearing", "machining.bearing"):
        if code in by_code and by_code[code].value is not None:
            return by_code[code].value
    drawn = by_code.get("motion.bearing_area")
    if drawn is None or drawn.value is None or not drawn.limit:
        return None
    asked = design.socket.least_bearing
    return drawn.value * (0.5 if asked is None else asked) / drawn.limit


def _gives_way(result: Result) -> str:
    first = result.strength.first
    if first is None:
        return ""
    if math.isinf(first.gives_way_mpa):
        return f"{first.title}, at no pressure in reach"
    return f"{first.title}, {10.0 * first.gives_way_mpa:.3g} bar"


def _mass_g(design: Design) -> float | None:
    name = design.spec.service.socket_material
    if name is None:
        return None
    own = [row for row in rows("materials") if row["material"].lower() == name.strip().lower()]
    dense = [float(row["density_kg_m3"]) for row in own if _is_plain(row["density_kg_m3"])]
    if not dense:
        return None
    socket = design.socket
    if socket.joint is None:
        whole = volume.of_socket(socket)
    else:
        whole = volume.of_ring(socket) + volume.of_body(socket)
    return whole * dense[0] * 1e-6


def _is_plain(text: str) -> bool:
    return text.replace(".", "", 1).isdigit()


# ---- the choice ----------------------------------------------------------------------------


def _rank(way: Way) -> tuple[float, ...]:
    bearing = 0.0 if way.bearing is None else way.bearing
    steps = round(bearing / _SAME_SHARE)
    return (len(way.looks), -steps, way.parts, way.setups, way.mass_g or 0.0)


def _reason(best: Way | None, ways: list[Way]) -> str:
    if best is None:
        return "every way fails somewhere: see what each fails on"
    looks = len(best.looks)
    told = [
        "nothing fails",
        "nothing to look at in making it" if not looks else f"{looks} to look at in making it",
    ]
    if best.bearing is not None:
        told.append(f"{100 * best.bearing:.0f} % of what is under the roof bears")
    failing = [f"{way.name} fails" for way in ways if not way.is_good]
    others = [
        f"{way.name} has {len(way.looks)} to look at"
        for way in ways if way.is_good and way is not best and len(way.looks) > looks
    ]  # fmt: skip
    return "; ".join([", ".join(told), *failing, *others])
