"""How a point of the zone changes as knobs, or pairs of them, go through their places."""

from __future__ import annotations

import itertools
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bayonet.tolerance.chains.probes import PLACES, Knob, Places

Array = NDArray[np.float64]

_PAIRS_UPTO = 200  # pairs of knobs that are tried together


@dataclass(frozen=True, eq=False)
class Moves:
    """Some knobs in turn at each of their places, a column each: rows, columns and values to set.

    ``places``, shape (single variables, places), belong to the rows ``singles``; ``discs`` are the
    rows and the radius of each round zone.
    """

    count: int
    rows: Places
    columns: Places
    values: Array
    singles: Places
    places: Array
    discs: tuple[tuple[Places, float], ...]


def moves_of(knobs: tuple[Knob, ...]) -> Moves:
    """How a point changes as some knobs, single ones first, go through their places."""
    rows = [r for knob in knobs for r in knob.rows for _ in knob.places]
    starts = np.cumsum([0, *(len(knob.places) for knob in knobs)])
    columns = [
        at + n for at, knob in zip(starts, knobs, strict=False) for _ in knob.rows
        for n in range(len(knob.places))
    ]  # fmt: skip
    values = [knob.places.T.ravel() for knob in knobs]
    singles = [knob for knob in knobs if not knob.round]
    return Moves(
        count=int(starts[-1]),
        rows=np.array(rows, dtype=np.int64),
        columns=np.array(columns, dtype=np.int64),
        values=np.concatenate([np.empty(0), *values]),
        singles=np.array([knob.rows[0] for knob in singles], dtype=np.int64),
        places=np.array([knob.places[:, 0] for knob in singles]).reshape(len(singles), PLACES),
        discs=tuple((np.array(k.rows, dtype=np.int64), k.reach) for k in knobs if k.round),
    )


def pairs_of(knobs: tuple[Knob, ...]) -> Moves:
    """How a point changes as every two of some knobs go through all pairs of their places."""
    rows, columns, values, count = list[Places](), list[Places](), list[Array](), 0
    for one, other in list(itertools.combinations(knobs, 2))[:_PAIRS_UPTO]:
        a, b = len(one.places), len(other.places)
        pairs = np.vstack([np.repeat(one.places, b, axis=0).T, np.tile(other.places, (a, 1)).T])
        numbers = np.array([*one.rows, *other.rows], dtype=np.int64)
        rows.append(np.repeat(numbers, a * b))
        columns.append(np.tile(np.arange(count, count + a * b), len(numbers)))
        values.append(pairs.ravel())
        count += a * b
    return Moves(
        count=count,
        rows=np.concatenate([np.empty(0, dtype=np.int64), *rows]),
        columns=np.concatenate([np.empty(0, dtype=np.int64), *columns]),
        values=np.concatenate([np.empty(0), *values]),
        singles=np.empty(0, dtype=np.int64),
        places=np.empty((0, PLACES)),
        discs=(),
    )
