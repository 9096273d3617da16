"""A design file with dimensions nobody knows: what can be judged without them, and what cannot.

The file is judged at several values of what is unknown, wherever it can be drawn at all. A finding
that comes out word for word alike at all of them does not hang on it and stands; every other is
open, and says at which values it would pass.
"""

from __future__ import annotations

import itertools
from collections import Counter
from collections.abc import Callable, Iterable
from dataclasses import dataclass

import numpy as np

from bayonet.checks.run import Result, judge
from bayonet.designfile import is_angle
from bayonet.errors import DesignError, Problem
from bayonet.findings import Finding, Verdict, finding_codes, plain, worst
from bayonet.parts import Design, Undetermined, from_mapping, with_values

_TRIED = 6  # values at which the whole file is judged
_GRID = 40  # values of one unknown at which drawing is tried
_DRAWS = 400  # the same for several unknowns together
_LEAST_MM, _MOST_MM = 0.2, 250.0


@dataclass(frozen=True, kw_only=True)
class PendingResult:
    """What is found of a file with unknown dimensions; `Result` for the rest.

    Parameters
    ----------
    design : Design
        One of the designs tried: only its name and revision mean anything.
    unknown : tuple of str
        Dotted fields.
    tried : tuple of tuple of float
        Their values, a row a trial [mm], [deg].
    findings, assumptions, headline, cautions
        As of a `Result`.
    """

    design: Design
    unknown: tuple[str, ...]
    tried: tuple[tuple[float, ...], ...]
    findings: tuple[Finding, ...]
    assumptions: tuple[str, ...]
    headline: tuple[str, ...]
    cautions: tuple[str, ...]

    @property
    def verdict(self) -> Verdict:
        """Fail where a finding fails whatever the unknown is; else open, never pass."""
        found = worst(self.findings)
        return found if found is Verdict.FAIL else Verdict.OPEN


def judge_unknown(
    pending: Undetermined, *, progress: Callable[[float], None] = lambda _: None
) -> PendingResult:
    """Judge a file with unknown dimensions as far as it can be judged.

    Parameters
    ----------
    pending : Undetermined
    progress : callable
        Told the share of the trials done.

    Returns
    -------
    PendingResult

    Raises
    ------
    DesignError
        If no value tried gives anything that can be drawn; carries what is wrong with the last.

    Examples
    --------
    Worked in `tests/checks/test_pending.py`.
    """
    designs = _drawable(pending)
    results = []
    for done, (_, design) in enumerate(designs, 1):
        results.append(judge(design))
        progress(done / len(designs))
    values = tuple(row for row, _ in designs)
    return PendingResult(
        design=designs[0][1],
        unknown=pending.unknown,
        tried=values,
        findings=_merged(pending.unknown, values, results),
        assumptions=(
            *_tried_words(pending.unknown, values),
            *_alike(r.assumptions for r in results),
        ),
        headline=(
            f"Not judged as a whole: what hangs on {_names(pending.unknown)}, is open.",
            *_alike(r.headline for r in results),
        ),
        cautions=results[0].cautions,
    )


def _drawable(pending: Undetermined) -> list[tuple[tuple[float, ...], Design]]:
    """Values, and designs drawn with them, spread over all that can be drawn."""
    found: list[tuple[tuple[float, ...], Design]] = []
    last: DesignError | None = None
    for row in _candidates(pending.unknown):
        try:
            found.append((row, from_mapping(with_values(pending, row))))
        except DesignError as error:
            last = error
    if len(found) < 2:
        problems = last.problems if last else []
        rule = "unknown, and at hardly any value can the rest of the file be drawn: measure it"
        raise DesignError(
            [
                *(Problem(file=pending.file, line=None, field=one, value='"unknown"', rule=rule)
                  for one in pending.unknown),
                *(one for one in problems if one.field not in pending.unknown),
            ]
        )  # fmt: skip
    at = np.unique(np.linspace(0, len(found) - 1, _TRIED).round().astype(int))
    return [found[index] for index in at.tolist()]


def _candidates(unknown: tuple[str, ...]) -> list[tuple[float, ...]]:
    """Values to try: a grid for one unknown, else draws of a fixed seed, in rising order."""
    if len(unknown) == 1:
        share = np.linspace(0.0, 1.0, _GRID)[:, None]
    else:
        share = np.random.default_rng(1).random((_DRAWS, len(unknown)))
        share = share[np.argsort(share[:, 0])]
    columns = [
        1.0 + 358.0 * share[:, i] if is_angle(one)
        else _LEAST_MM * (_MOST_MM / _LEAST_MM) ** share[:, i]
        for i, one in enumerate(unknown)
    ]  # fmt: skip
    return [tuple(float(f"{value:.3g}") for value in row) for row in zip(*columns, strict=True)]


def _merged(
    unknown: tuple[str, ...], values: tuple[tuple[float, ...], ...], results: list[Result]
) -> tuple[Finding, ...]:
    """Findings alike in every trial as they are, the others open; in the order readers know."""
    counts = [Counter(one.code for one in result.findings) for result in results]
    by_code = [
        {code: [f for f in result.findings if f.code == code] for code in count}
        for result, count in zip(results, counts, strict=True)
    ]
    order = {one.code: (one.judges, i) for i, one in enumerate(finding_codes())}
    every = list(dict.fromkeys(f.code for result in results for f in result.findings))
    out: list[Finding] = []
    for code in every:
        trials = [found.get(code, []) for found in by_code]
        if all(one == trials[0] for one in trials):
            out += trials[0]
        else:
            judges = order[code][0] if code in order else code
            out.append(_open(code, judges, unknown, values, trials))
    rooms = list(dict.fromkeys(f.code.partition(".")[0] for f in results[0].findings))
    known = {room: i for i, room in enumerate(rooms)}
    return tuple(sorted(out, key=lambda f: known.get(f.code.partition(".")[0], len(rooms))))


def _open(
    code: str, judges: str, unknown: tuple[str, ...], values: tuple[tuple[float, ...], ...],
    trials: list[list[Finding]],
) -> Finding:  # fmt: skip
    good = [bool(one) and worst(tuple(one)) is Verdict.PASS for one in trials]
    return Finding(
        code=code,
        verdict=Verdict.OPEN,
        message=f"{judges}: hangs on {_names(unknown)}; {_passing(unknown, values, good)}",
        change=f"measure {', '.join(unknown)}",
    )


def _passing(
    unknown: tuple[str, ...], values: tuple[tuple[float, ...], ...], good: list[bool]
) -> str:
    """At which of the values tried a finding passes."""
    if not any(good):
        return f"passes at none of {len(values)} values tried"
    if len(unknown) > 1:
        return f"passes at {sum(good)} of {len(values)} combinations tried"
    unit = "deg" if is_angle(unknown[0]) else "mm"
    if all(good):
        return f"passes at all {len(values)} values tried"
    runs = []
    for ok, run in itertools.groupby(zip(good, values, strict=True), key=lambda one: one[0]):
        ends = [row[0] for _, row in run]
        if ok:
            low, high = plain(ends[0]), plain(ends[-1])
            runs.append(low if low == high else f"{low} to {high}")
    return f"of {len(values)} values tried it passes at {', '.join(runs)} {unit} only"


def _tried_words(
    unknown: tuple[str, ...], values: tuple[tuple[float, ...], ...]
) -> tuple[str, ...]:
    return tuple(
        f"{one} is unknown: the file was judged at {len(values)} values of it, from"
        f" {plain(min(row[i] for row in values))} to {plain(max(row[i] for row in values))}"
        f" {'deg' if is_angle(one) else 'mm'}, as far as the rest can be drawn with it; what comes"
        " out alike at all of them stands."
        for i, one in enumerate(unknown)
    )


def _names(unknown: tuple[str, ...]) -> str:
    return f"{', '.join(unknown)}, which {'are' if len(unknown) > 1 else 'is'} unknown"


def _alike(lines: Iterable[tuple[str, ...]]) -> tuple[str, ...]:
    """Lines that every trial has, in the order of the first."""
    first, *others = lines
    return tuple(line for line in first if all(line in other for other in others))
