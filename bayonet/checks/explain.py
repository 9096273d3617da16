"""How one finding comes about: its formula, the numbers put in, and what moves it.

What moves it is found by moving each field of the design a little and judging again, so it holds
for every finding that has a value; a dimension chain brings its own slopes.
"""

from __future__ import annotations

import csv
import math
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import Any, Protocol

from bayonet.checks.chains import shown_in
from bayonet.checks.motion import prove
from bayonet.checks.run import Result, before_chains, found_by_code, judge
from bayonet.designfile import Measured
from bayonet.errors import DesignError
from bayonet.findings import Finding, finding_codes
from bayonet.parts import Design
from bayonet.tolerance.advice import current
from bayonet.tolerance.chains import ChainFigures

_FEWEST = 8192
_MOST = 12
_UNMOVED = 1e-9
_STEPS = {"deg": 1.0, "mm": 0.1}
_NOT_TRIED = ("production.", "printer.", "graft.", "design.", "plug.correlation")
_FAST = ("motion", "clearance", "shape", "machining", "casting", "seal", "print")
"""Headings whose findings need no dimension chains; `motion.enters` does."""


@dataclass(frozen=True, kw_only=True)
class Mover:
    """A number put in, and how it moves the value.

    Parameters
    ----------
    name : str
        Field of the design file, or what a chain calls the dimension.
    value : float or None
        Its present value [unit]; None for a deviation of a chain, whose nominal is 0.
    unit : str
    step : float
        Change tried, or half-width of its limits [unit].
    moves : float
        Change of the finding's margin for that step, of its value where it has no margin, or of
        the chain's worst value to either side [unit of the finding].
    """

    name: str
    value: float | None
    unit: str
    step: float
    moves: float


@dataclass(frozen=True, kw_only=True)
class Explained:
    """A finding and how it comes about.

    ``formula`` is empty where the code has none; ``movers`` are sorted, the strongest first.
    """

    finding: Finding
    judges: str
    formula: str
    movers: tuple[Mover, ...]


@cache
def formulas() -> Mapping[str, str]:
    """Formulas by code, in words and signs of a plain keyboard."""
    text = (files("bayonet.data") / "finding_formulas.csv").read_text("utf-8")
    return {row["code"]: row["formula"] for row in csv.DictReader(text.splitlines(), strict=True)}


class HasFindings(Protocol):
    """A result of a design, or of a graft, whose findings are told without what moves them."""

    @property
    def findings(self) -> tuple[Finding, ...]: ...  # noqa: D102


def explain(
    result: HasFindings, code: str, *, progress: Callable[[float], None] = lambda _: None
) -> Explained:
    """How a finding comes about.

    Parameters
    ----------
    result : Result or alike
    code : str
        As in ``seal.squeeze``.
    progress : callable
        Told the share done: findings of load and handling take a judgement a field.

    Returns
    -------
    Explained

    Raises
    ------
    KeyError
        Where the result has no such finding; the message names near codes.

    Examples
    --------
    A larger groove is a shallower gland by half: 0.1 mm on diameter is 0.05 mm of 2.59 mm, 1.9 %
    more squeeze, less 0.2 % by which it stretches the ring thinner: so much less room.

    >>> import bayonet
    >>> design = bayonet.loads(bayonet.starting_file())
    >>> design = design.with_({"socket.seal.bore_diameter": 26.55, "socket.seal.squeeze": None})
    >>> found = explain(bayonet.check(design), "seal.squeeze")
    >>> by = {one.name: one for one in found.movers}
    >>> round(by["plug.groove.diameter"].moves, 1)
    -1.7
    """
    finding = found_by_code(result.findings, code)
    if not isinstance(result, Result):
        return Explained(finding=finding, judges=_judges(code), formula="", movers=())
    figures = _chain_of(result, code)
    movers = _slopes(figures) if figures is not None else _moved(result, finding, progress)
    return Explained(
        finding=finding,
        judges=_judges(code),
        formula=formulas().get(code, "") or ("" if figures is None else _SUM),
        movers=tuple(sorted(movers, key=lambda one: -abs(one.moves))[:_MOST]),
    )


_SUM = "nominal value plus the sum of slope x deviation over all dimensions, searched for its worst"


def _judges(code: str) -> str:
    return next((one.judges for one in finding_codes() if one.code == code), "")


def _chain_of(result: Result, code: str) -> ChainFigures | None:
    heading, _, key = code.partition(".")
    if heading != "tolerance":
        return None
    return next((one for one in result.study.figures if one.chain.key == key), None)


def _slopes(one: ChainFigures) -> Iterator[Mover]:
    scale, _ = shown_in(one.chain)
    total = one.worst.high - one.worst.low
    for link in one.first.contributors:
        moves = scale * link.worst_case_share * total / 2.0
        if abs(moves) > _UNMOVED:
            step = moves / (scale * link.slope) if link.slope else 0.0
            yield Mover(name=link.meaning, value=None, unit="", step=abs(step), moves=moves)


def _moved(result: Result, finding: Finding, progress: Callable[[float], None]) -> Iterator[Mover]:
    if finding.value is None:
        return
    base = result.design.with_({"production.samples": _FEWEST})
    start = _value(base, finding.code)
    fields = _numbers(result.design)
    for done, (name, field) in enumerate(fields.items(), start=1):
        step = _STEPS.get(field.unit, 0.1 * abs(field.value))
        moved = _try(base, name, field.at(field.value + step), finding.code)
        progress(done / len(fields))
        if moved is not None and start is not None and abs(moved - start) > _UNMOVED:
            yield Mover(
                name=name, value=field.value, unit=field.unit, step=step, moves=moved - start
            )


@dataclass(frozen=True, kw_only=True)
class _Field:
    """A number of the design file: its value [unit], and what else was said of it."""

    value: float
    unit: str
    measured: Measured | None = None

    def at(self, value: float) -> Any:
        """Another value, with the same uncertainty and limits."""
        one = self.measured
        if one is None or (one.u is None and one.tol is None and not one.readings):
            return value
        limits = {} if one.tol is None else {"tol": one.tol}
        return {"value": value, "u": one.uncertainty.u, **limits}


def _try(design: Design, field: str, value: Any, code: str) -> float | None:
    try:
        return _value(design.with_({field: value}), code)
    except DesignError:
        return None


def _value(design: Design, code: str) -> float | None:
    """Margin of the finding in a design, else its value; None where it has no such finding."""
    if code.partition(".")[0] in _FAST and code != "motion.enters":
        found = before_chains(design, prove(design.plug, design.socket))
    else:
        found = judge(design).findings
    values = [
        one.value if one.margin is None else one.margin
        for one in found
        if one.code == code and one.value is not None
    ]
    return values[0] if values and math.isfinite(values[0]) else None


def _numbers(design: Design) -> dict[str, _Field]:
    """Every number of the design file and every gap the socket took."""
    found = dict(_leaves(design.spec, design.raw, ""))
    for name, value in current(design).items():
        if name not in found and name != "socket.seal.bore_diameter":
            found[name] = _Field(value=value, unit="deg" if name.endswith("_deg") else "mm")
    return {name: one for name, one in found.items() if not name.startswith(_NOT_TRIED)}


def _leaves(spec: Any, raw: Any, path: str) -> Iterator[tuple[str, _Field]]:
    """Numbers a person wrote, as read: mm, degrees, MPa."""
    if isinstance(spec, Measured):
        unit = "deg" if path.endswith("_deg") else _unit(path)
        yield path, _Field(value=spec.value, unit=unit, measured=spec)
    elif isinstance(raw, Mapping):
        for key, item in raw.items():
            inner = getattr(spec, key, None)
            yield from _leaves(inner, item, f"{path}.{key}" if path else key)
    elif isinstance(raw, (list, tuple)) and isinstance(spec, (list, tuple)):
        for number, (one, item) in enumerate(zip(spec, raw, strict=True)):
            yield from _leaves(one, item, f"{path}.{number}")
    elif isinstance(spec, float):
        yield path, _Field(value=spec, unit="°C" if path.endswith("_c") else "")


def _unit(path: str) -> str:
    return "MPa" if any(word in path for word in ("pressure", "strength", "vacuum")) else "mm"
