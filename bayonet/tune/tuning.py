"""Tuning of a design: centre what is off, allocate grades, widen clearances, prove the result."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass

from bayonet.checks import Result, judge
from bayonet.errors import DesignError
from bayonet.findings import Verdict
from bayonet.parts import Design, changed, refuse_two_parts
from bayonet.tolerance.advice import centred, current, tolerances_of
from bayonet.tolerance.fitting import chains_of
from bayonet.tune.allocate import allocate
from bayonet.tune.cost import CostTable

Progress = Callable[[str], None]
Change = tuple[str, float | None]

_ROUNDS = 6
_MENDS = 8
_SAFETY = 0.5  # of the allowed rate; halved again each time the proof finds it too high


@dataclass(frozen=True, kw_only=True)
class Changed:
    """One field of the design file: value before and after, and the grade it stands for."""

    field: str
    before: float
    after: float
    unit: str
    grade: str = ""


@dataclass(frozen=True, kw_only=True)
class Tuned:
    """What tuning gave.

    Parameters
    ----------
    design : Design
    before, after : Result
    changes : tuple of Changed
    cost_before, cost_after : float
        Relative cost of all tolerances; NaN where one lies between the steps of the table.
    reached : bool
        Whether the result reaches the yield and no check fails.
    why : str
        What stands in the way, where it does not.
    """

    design: Design
    before: Result
    after: Result
    changes: tuple[Changed, ...]
    cost_before: float
    cost_after: float
    reached: bool
    why: str = ""


def tune(
    design: Design, costs: CostTable, *, yield_share: float, progress: Progress = lambda _: None
) -> Tuned:
    """Change nominals and tolerances so that a yield is reached at least cost.

    Parameters
    ----------
    design : Design
    costs : CostTable
    yield_share : float
        Share of pairs that must pass everything [-].
    progress : callable
        Told what is being done, in a few words.

    Returns
    -------
    Tuned
        Where the yield cannot be reached, the best that was found and why.

    Examples
    --------
    See `tests/tune/test_tuning.py`.
    """
    refuse_two_parts(design, "tune", "its limits do not know what the joint adds to them")
    aimed = changed(design, [("production.yield_share", yield_share)])
    progress("judging the design as it is")
    before = judge(aimed)
    best = before
    rate = _SAFETY * (1.0 - yield_share)
    for number in range(_ROUNDS):
        progress(f"allocating, round {number + 1}")
        result = _one_round(before, costs, rate)
        if result is None:
            break
        if _passes(result):
            best = result
            break
        if _is_better(result, best):
            best = result
        rate *= 0.4
    return _result(before, best, costs)


def _one_round(before: Result, costs: CostTable, rate: float) -> Result | None:
    """Centre, allocate, then mend what the proof still finds; None where nothing is enough."""
    centre = _centred(before, rate)
    chosen = allocate(centre, chains_of(centre), costs, rate=rate)
    if chosen is None:
        return None
    frozen = [(field, value) for field, value in current(centre).items() if _is_gap(field)]
    limits: list[Change] = [
        (f"socket.tolerance.{group}", choice.half_width) for group, choice in chosen.chosen.items()
    ]
    try:
        tight = changed(centre, [*_usable(centre, frozen), *limits])
    except DesignError:
        return None
    return _mended(tight)


def _is_gap(field: str) -> bool:
    return field.startswith("socket.clearance.")


def _usable(design: Design, fields: Iterable[tuple[str, float]]) -> list[Change]:
    """Clearances that the design's seating knows."""
    skip = {"socket.clearance.axial"} if design.socket.seating == "clamp" else set()
    return [(field, value) for field, value in fields if field not in skip]


def _centred(before: Result, rate: float) -> Design:
    """Nominals moved so that each chain's spread lies inside, or in the middle of, its limits."""
    design = before.design
    for one in before.study.figures:
        if one.out.high <= rate / 4.0:
            continue
        move = centred(design, one, allowed=rate)
        if move is None:
            continue
        changes: list[Change] = [(move.field, move.value)]
        if move.field == "socket.seal.bore_diameter":
            changes.append(("socket.seal.squeeze", None))
        try:
            design = changed(design, changes)
        except DesignError:
            continue
    return design


def _mended(design: Design) -> Result:
    """Proposals of failing findings applied, clearances only, until none is left."""
    result = judge(design)
    for _ in range(_MENDS):
        failing = [
            f
            for f in result.findings
            if f.verdict is Verdict.FAIL and f.mends and all(_is_gap(m[0]) for m in f.mends)
        ]
        if not failing:
            break
        for finding in failing:
            try:
                design = changed(design, finding.mends)
            except DesignError:
                continue
        result = judge(design)
    return result


def _passes(result: Result) -> bool:
    asked = result.design.spec.production.yield_share
    return result.verdict is not Verdict.FAIL and 1.0 - result.study.fails.high >= asked


def _is_better(one: Result, other: Result) -> bool:
    def rank(result: Result) -> tuple[int, float]:
        fails = sum(f.verdict is Verdict.FAIL for f in result.findings)
        return fails, result.study.fails.value

    return rank(one) < rank(other)


def _result(before: Result, after: Result, costs: CostTable) -> Tuned:
    reached = _passes(after)
    return Tuned(
        design=after.design,
        before=before,
        after=after,
        changes=_changes(before.design, after.design, costs),
        cost_before=_cost(before.design, costs),
        cost_after=_cost(after.design, costs),
        reached=reached,
        why="" if reached else _why(after),
    )


def _why(result: Result) -> str:
    failing = [f.message for f in result.findings if f.verdict is Verdict.FAIL]
    worst = result.study.worst
    if worst is None or not worst.first.contributors:
        return failing[0] if failing else "the confidence interval of the rate is too wide"
    top = worst.first.contributors[0]
    what = " of the plug" if top.owner == "plug" else ""
    return (
        f"{worst.chain.title} fails most; most of it comes from {top.meaning}{what}. No centring"
        " and no grade that was tried is enough; another ring or bore was not tried"
    )


def _changes(before: Design, after: Design, costs: CostTable) -> tuple[Changed, ...]:
    rows = []
    old = {t.group: t for t in tolerances_of(before)}
    for new in tolerances_of(after):
        was = old[new.group].half_width
        if abs(new.half_width - was) > 1e-9:
            same = [c for c in costs.choices(new) if abs(c.half_width - new.half_width) < 1e-9]
            rows.append(
                Changed(
                    field=f"socket.tolerance.{new.group}", before=was, after=new.half_width,
                    unit=new.unit, grade=same[0].label if same and new.mm_per_unit else "",
                )
            )  # fmt: skip
    now = current(after)
    for field, was in current(before).items():
        if abs(now[field] - was) > 1e-9:
            unit = "deg" if field.endswith("_deg") else "mm"
            rows.append(Changed(field=field, before=was, after=now[field], unit=unit))
    return tuple(rows)


def _cost(design: Design, costs: CostTable) -> float:
    """Cost of all tolerances: each as the coarsest step no wider than it."""
    total = 0.0
    for tolerance in tolerances_of(design):
        choices = costs.choices(tolerance)
        fits = [c for c in choices if c.half_width <= tolerance.half_width * (1 + 1e-6)]
        if choices:
            total += (fits[-1] if fits else choices[0]).cost
    return total
