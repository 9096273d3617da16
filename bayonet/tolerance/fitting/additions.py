"""What a chain's worst case counts beside the limits of the parts' own dimensions.

The same quantity is looked at twice: over the zones of the parts as they are on the bench, and in
its chain, which has eccentricity, tilt, the place the plug takes and states of service besides.
Both are one function (`assembly`, `geometry`); this says by how much they differ, and by what.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from bayonet.parts import Design
from bayonet.tolerance.chains import ChainFigures, ChainSet, Evaluate, Variable, governing
from bayonet.tolerance.fitting.requirements import Evaluation, states_of

SHOWN = 5e-4
"""An addition below it is not named: half the last digit people are shown of a gap [mm]."""

MOVED_OVER = "plug moved over in its clearance"


@dataclass(frozen=True, kw_only=True)
class Addition:
    """One thing a chain counts, and what it takes of the room at the worst corner [unit]."""

    name: str
    takes: float


@dataclass(frozen=True, kw_only=True)
class OnBench:
    """The chains of a design in the state of the bench alone.

    Parameters
    ----------
    evaluate : callable
        As that of `chains_of`, see `ChainSet`.
    centred : callable
        The same with the plug in the middle of its bores.
    states : dict of tuple of str
        By a chain's key the states it is judged in, in the order of its rows.
    """

    evaluate: Evaluate
    centred: Evaluate
    states: dict[str, tuple[str, ...]]


def on_bench(design: Design) -> OnBench:
    """The chains of a design on the bench, for what the rest adds to them."""
    return OnBench(
        evaluate=Evaluation(design, bench=True),
        centred=Evaluation(design, bench=True, centred=True),
        states=states_of(design),
    )


def kind_of(variable: Variable) -> str:
    """What a deviation is: eccentricity, tilt, or empty for a part's own dimension.

    Examples
    --------
    >>> tilt = Variable(
    ...     key="track_tilt_x",
    ...     meaning="",
    ...     owner="socket",
    ...     half_width=1.0,
    ...     spread="uniform",
    ...     disc="track_tilt",
    ... )
    >>> kind_of(tilt)
    'tilt'
    """
    if not variable.disc:
        return ""
    return "tilt" if "tilt" in variable.disc else "eccentricity"


def additions(chains: ChainSet, bench: OnBench, one: ChainFigures) -> tuple[Addition, ...]:
    """What one chain's worst case counts beside the parts' own limits, the bench as it is.

    Parameters
    ----------
    chains : ChainSet
    bench : OnBench
        `on_bench` of the same design.
    one : ChainFigures
        Of one of these chains.

    Returns
    -------
    tuple of Addition
        The state that governs, tilt, eccentricity, the plug moved over in its clearance, in the
        order they are taken off; together with the worst value they give that of the parts alone,
        at the same corner.
    """
    key, low_side = one.chain.key, one.worst.low - one.chain.low <= one.chain.high - one.worst.high
    sides = ((one.worst.high, one.worst.at_high), (one.worst.low, one.worst.at_low))
    worst, point = sides[low_side]
    without = [point]
    for kind in ("tilt", "eccentricity"):
        off = np.array([kind_of(variable) == kind for variable in chains.variables])
        without.append(np.where(off, 0.0, without[-1]))
    points = np.array(without).T
    rows = bench.evaluate(points, (key,))[key]
    values = np.broadcast_to(governing(one.chain, rows), len(without)).tolist()
    alone = governing(one.chain, bench.centred(points[:, -1:], (key,))[key])
    values.append(float(np.ravel(alone)[0]))
    at = np.array(chains.evaluate(points[:, :1], (key,))[key]).reshape(-1)
    where = f"at {bench.states[key][int(np.abs(at - worst).argmin()) // len(rows)]}"
    names, sign = (where, "tilt", "eccentricity", MOVED_OVER), 1.0 if low_side else -1.0
    steps = zip(names, [worst, *values], values, strict=False)
    return tuple(
        Addition(name=name, takes=sign * (value - before)) for name, before, value in steps
    )


def named(found: tuple[Addition, ...], *, scale: float = 1.0) -> tuple[Addition, ...]:
    """Those worth a word, in the unit people are shown.

    Examples
    --------
    >>> [
    ...     one.name
    ...     for one in named(
    ...         (Addition(name="tilt", takes=0.03), Addition(name="service", takes=1e-6))
    ...     )
    ... ]
    ['tilt']
    """
    return tuple(
        Addition(name=one.name, takes=scale * one.takes)
        for one in found
        if math.isfinite(one.takes) and abs(scale * one.takes) >= SHOWN
    )
