"""Proposals that were tried: what a finding says to change is applied and judged before it is said.

A proposal stays only if its own finding then passes and no other comes out worse.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace

from bayonet.errors import DesignError
from bayonet.findings import SEVERITY, Finding, Mends, Verdict
from bayonet.parts import Design, changed

Judged = Callable[[Design], tuple[Finding, ...]]
Proposals = Mapping[str, tuple[tuple[str, Mends], ...]]


@dataclass(frozen=True, kw_only=True)
class _Outcome:
    """How a design comes out with a proposal applied; ``conflict`` is empty where it helps."""

    conflict: str


def verified(
    design: Design, found: tuple[Finding, ...], judged: Judged, others: Proposals
) -> tuple[Finding, ...]:
    """Findings with the proposals of those that fail tried, and taken out where they do not help.

    Parameters
    ----------
    design : Design
    found : tuple of Finding
    judged : callable
        Gives the findings of a design, none of them verified.
    others : mapping of str to tuple of (str, mends)
        By code, every single proposal with its words, where a finding has more than one.

    Returns
    -------
    tuple of Finding
    """
    before = _worst_by_code(found)
    tried: dict[Mends, _Outcome] = {}

    def outcome(one: Finding, mends: Mends) -> _Outcome:
        if mends not in tried:
            tried[mends] = _Outcome(conflict=_conflict(design, one, mends, before, judged))
        return tried[mends]

    def settled(one: Finding) -> Finding:
        if one.verdict is not Verdict.FAIL or not one.mends:
            return one
        all_of_it = others.get(one.code, ((one.change, one.mends),))
        results = [(text, mends, outcome(one, mends).conflict) for text, mends in all_of_it]
        helping = [(text, mends) for text, mends, conflict in results if not conflict]
        if helping:
            return replace(
                one, change="; or ".join(text for text, _ in helping), mends=helping[0][1]
            )
        why = "; ".join(f"{_words(mends)}: {conflict}" for _, mends, conflict in results)
        return replace(one, change=f"no single change helps ({why})", mends=())

    return tuple(settled(one) for one in found)


def _conflict(
    design: Design, one: Finding, mends: Mends, before: Mapping[str, Verdict], judged: Judged
) -> str:
    """What stands against a proposal, in words; empty where nothing does."""
    try:
        after = _worst_by_code(judged(changed(design, mends)))
    except DesignError as error:
        rules = [problem.rule for problem in error.problems]
        return f"cannot be drawn, {rules[0] if rules else error}"
    own = after.get(one.code, Verdict.PASS)
    if own is not Verdict.PASS:
        return f"{one.code} is {own.value} still"
    worse = list(_worse(before, after))
    return f"then {', '.join(worse)}" if worse else ""


def _worse(before: Mapping[str, Verdict], after: Mapping[str, Verdict]) -> Iterator[str]:
    for code, verdict in after.items():
        # what could not be judged before, as behind a motion that stuck, is worse if it fails
        was = before.get(code, Verdict.LOOK)
        if SEVERITY.index(verdict) > SEVERITY.index(was):
            yield f"{code} is {verdict.value}"


def _worst_by_code(found: tuple[Finding, ...]) -> dict[str, Verdict]:
    worst: dict[str, Verdict] = {}
    for one in found:
        known = worst.get(one.code, one.verdict)
        worst[one.code] = max(known, one.verdict, key=SEVERITY.index)
    return worst


def _words(mends: Mends) -> str:
    return ", ".join(
        f"without {field}" if value is None else f"{field} = {value}" for field, value in mends
    )
