"""Worst cases: true corners of the zone, found for each piece of each chain on its own.

A corner is every deviation at one of its two limits; two deviations of a round zone go to its
rim together. With few variables every corner is tried; with many, the search starts from the
corners that the slopes at several places point to, and changes one variable at a time until no
change makes it worse. For quantities that rise or fall with each variable that is exact.
"""

from __future__ import annotations

import itertools
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bayonet.tolerance.chains.chain import Chain, ChainSet

Array = NDArray[np.float64]

_ALL_CORNERS_UPTO = 10
_PROBES = 8
_STARTS = 3
_ROUNDS = 12
_SEED = 20


@dataclass(frozen=True, kw_only=True)
class Extremes:
    """Least and greatest value of a chain over its whole zone [unit]."""

    low: float
    high: float


@dataclass(frozen=True)
class Knob:
    """A variable, or the two of a round zone, that a corner sets to one end or the other.

    ``ends`` has shape (2, len(rows)): the deviations at either end.
    """

    rows: tuple[int, ...]
    ends: Array


def worst_cases(chains: ChainSet) -> dict[str, Extremes]:
    """Least and greatest value of every chain.

    Parameters
    ----------
    chains : ChainSet

    Returns
    -------
    dict of Extremes by key

    Examples
    --------
    Shigley's stack 1-3: 0.005 with 0.010 of worst case; see
    `tests/tolerance/test_textbook_stacks.py`.
    """
    probes = _Probes(chains)
    return {chain.key: _extremes(chains, chain, probes) for chain in chains.chains}


def _extremes(chains: ChainSet, chain: Chain, probes: _Probes) -> Extremes:
    pieces = [probes.knobs(chain.key, piece) for piece in range(probes.pieces(chain.key))]
    if max(len(knobs) for knobs in pieces) <= _ALL_CORNERS_UPTO:
        lows, highs = _all_corners(chains, chain.key, pieces)
    else:
        lows, highs = (_climbed(chains, chain.key, pieces, probes, sign) for sign in (-1.0, 1.0))
    if np.isinf(chain.high):  # the chain is its least piece
        return Extremes(low=float(lows.min()), high=float(highs.min()))
    if np.isinf(chain.low):
        return Extremes(low=float(lows.max()), high=float(highs.max()))
    return Extremes(low=float(lows.min()), high=float(highs.max()))


class _Probes:
    """Which variables matter to which piece, and which way, from one evaluation of all chains."""

    def __init__(self, chains: ChainSet) -> None:
        self._chains = chains
        count = len(chains.variables)
        source = np.random.default_rng(_SEED)
        halves = np.array([[v.half_width] for v in chains.variables])
        lows = np.array([[v.low] for v in chains.variables])
        bases = lows + (halves - lows) * source.random((count, _PROBES))
        bases[:, 0] = 0.0
        self._halves, self._bases = halves, bases
        # every probe with each variable in turn at its low and its high limit
        points = np.repeat(bases, 2 * count, axis=1).reshape(count, _PROBES, count, 2)
        for row in range(count):
            points[row, :, row, 0] = lows[row, 0]
            points[row, :, row, 1] = halves[row, 0]
        values = chains.pieces(points.reshape(count, -1), chains.keys)
        self._rise = {
            key: np.diff(v.reshape(len(v), _PROBES, count, 2), axis=-1)[..., 0]
            for key, v in values.items()
        }

    def pieces(self, key: str) -> int:
        return len(self._rise[key])

    def rise(self, key: str, piece: int) -> Array:
        """Change of a piece from low to high limit of each variable, shape (probes, variables)."""
        return np.asarray(self._rise[key][piece])

    def knobs(self, key: str, piece: int) -> tuple[Knob, ...]:
        rise = self.rise(key, piece)
        matters = np.flatnonzero(np.abs(rise).max(axis=0) > 1e-13)
        knobs: list[Knob] = []
        discs: dict[str, list[int]] = {}
        for row in matters.tolist():
            variable = self._chains.variables[row]
            if variable.disc:
                discs.setdefault(variable.disc, []).append(row)
            else:
                knobs.append(Knob((row,), np.array([[variable.low], [variable.half_width]])))
        return (*knobs, *(self._rim(rows, rise) for rows in discs.values()))

    def _rim(self, rows: list[int], rise: Array) -> Knob:
        """The rim of a round zone in the direction that matters most to this piece."""
        slope = rise[:, rows].mean(axis=0)
        length = float(np.hypot.reduce(slope))
        towards = slope / length if length > 0.0 else np.eye(len(rows))[0]
        reach = self._halves[rows, 0] * towards
        return Knob(tuple(rows), np.array([-reach, reach]))


def _all_corners(chains: ChainSet, key: str, pieces: list[tuple[Knob, ...]]) -> tuple[Array, Array]:
    """Least and greatest value of each piece over every corner."""
    grids = [
        _points(chains, knobs, np.array(list(itertools.product((0, 1), repeat=len(knobs)))))
        for knobs in pieces
    ]
    values = chains.pieces(np.concatenate(grids, axis=1), (key,))[key]
    ends = np.cumsum([0, *(grid.shape[1] for grid in grids)])
    own = [values[i, ends[i] : ends[i + 1]] for i in range(len(pieces))]
    return np.array([row.min() for row in own]), np.array([row.max() for row in own])


def _climbed(
    chains: ChainSet, key: str, pieces: list[tuple[Knob, ...]], probes: _Probes, sign: float
) -> Array:
    """Most of ``sign`` times each piece, all pieces and starts climbing together."""
    choices, owners = [], []
    for piece, knobs in enumerate(pieces):
        rises = probes.rise(key, piece)[:_STARTS]
        for rise in rises:
            choices.append([int(sign * float(rise[list(k.rows)].sum()) > 0.0) for k in knobs])
            owners.append(piece)
    best = np.full(len(owners), -np.inf)
    for _ in range(_ROUNDS):
        tries = [
            np.abs(np.array(choice)[None] - np.vstack([np.zeros(len(choice)), np.eye(len(choice))]))
            for choice in choices
        ]
        grids = [
            _points(chains, pieces[owner], tried.astype(int))
            for owner, tried in zip(owners, tries, strict=True)
        ]
        values = sign * chains.pieces(np.concatenate(grids, axis=1), (key,))[key]
        ends = np.cumsum([0, *(grid.shape[1] for grid in grids)])
        gained = False
        for row, owner in enumerate(owners):
            own = values[owner, ends[row] : ends[row + 1]]
            at = int(np.argmax(own))
            gained |= bool(own[at] > best[row] + 1e-12 and at > 0)
            best[row] = max(best[row], float(own[at]))
            choices[row] = tries[row][at].astype(int).tolist()
        if not gained:
            break
    owned = np.array(owners)
    return np.array([sign * best[owned == piece].max() for piece in range(len(pieces))])


def _points(chains: ChainSet, knobs: tuple[Knob, ...], choices: Array) -> Array:
    """Deviations at corners, shape (variables, corners)."""
    points = np.zeros((len(chains.variables), len(choices)))
    for column, knob in enumerate(knobs):
        points[list(knob.rows)] = knob.ends[choices[:, column]].T
    return points
