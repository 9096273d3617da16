"""What moves each piece of each chain, and where to start the search for its worst case."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bayonet.tolerance.chains.chain import ChainSet

Array = NDArray[np.float64]
Places = NDArray[np.int64]
Flags = NDArray[np.bool_]

SEED = 20
SAME = 1e-13
"""A change below it is rounding."""

RIM = np.radians(np.arange(0.0, 360.0, 45.0))
"""Places on the rim of a round zone [rad]."""

_PROBES = 8
_CORNERS = 120  # random corners looked at before the search, all chains together
_BETWEEN = (0.5, 0.25, 0.75)  # of the way from low to high, beside both ends
PLACES = 2 + len(_BETWEEN)
"""Places of a single variable."""
_BENT = 1e-9  # a rim on which a piece is straight, to rounding


@dataclass(frozen=True, eq=False)
class Knob:
    """A variable, or the two of a round zone, with the places that are tried.

    ``places`` has shape (places, len(rows)); a variable's first two are its limits.
    """

    rows: tuple[int, ...]
    places: Array

    @property
    def round(self) -> bool:
        """Whether it is a round zone."""
        return len(self.rows) > 1

    @property
    def first(self) -> tuple[int, int, int, int]:
        """Numbers of the places tried first: ends, middle and quarter, or the rim's quarters."""
        return (0, 4, 2, 6) if self.round else (0, 1, 2, 3)

    @property
    def reach(self) -> float:
        """Width of its limits, or radius of its zone."""
        return float(np.ptp(self.places[:2])) if not self.round else float(self.places.max())


def knobs_of(chains: ChainSet) -> tuple[Knob, ...]:
    """Every variable, and every round zone, of a set of chains."""
    knobs: list[Knob] = []
    discs: dict[str, list[int]] = {}
    for row, variable in enumerate(chains.variables):
        if variable.disc:
            discs.setdefault(variable.disc, []).append(row)
            continue
        low, high = variable.low, variable.half_width
        between = [low + share * (high - low) for share in _BETWEEN]
        knobs.append(Knob((row,), np.array([[low], [high], *([b] for b in between)])))
    for rows in discs.values():
        radius = chains.variables[rows[0]].half_width
        rim = radius * np.column_stack([np.cos(RIM), np.sin(RIM)])
        knobs.append(Knob(tuple(rows), np.vstack([rim, np.zeros((1, 2))])))
    return tuple(knobs)


class Probes:
    """Where each piece is high and low, and what moves it, from one evaluation of all chains."""

    def __init__(self, chains: ChainSet) -> None:
        self.knobs = knobs_of(chains)
        count = len(chains.variables)
        source = np.random.default_rng(SEED)
        halves = np.array([[v.half_width] for v in chains.variables])
        lows = np.array([[v.low] for v in chains.variables])
        bases = lows + (halves - lows) * source.random((count, _PROBES))
        bases[:, 0] = 0.0
        corners = np.where(source.random((count, _CORNERS)) < 0.5, lows, halves)
        for knob in self.knobs:
            if knob.round:
                bases[list(knob.rows)] *= np.sqrt(0.5)  # within the disc
                picked = source.integers(0, len(RIM), _CORNERS)
                corners[list(knob.rows)] = knob.places[picked].T
        # every probe with each knob in turn at four of its places
        tried = [knob.places[list(knob.first)] for knob in self.knobs]
        moved = np.repeat(bases, 4 * len(tried), axis=1)
        moved = moved.reshape(count, _PROBES, len(tried), 4)
        for number, knob in enumerate(self.knobs):
            moved[list(knob.rows), :, number] = tried[number].T[:, None]
        self.starts = np.concatenate([bases, corners], axis=1)
        everything = np.concatenate([self.starts, moved.reshape(count, -1)], axis=1)
        self._values = chains.pieces(everything, chains.keys)

    def pieces(self, key: str) -> int:
        """How many pieces a chain has."""
        return len(self._values[key])

    def at_starts(self, key: str) -> Array:
        """Value of every piece at every start, shape (pieces, starts)."""
        return self._values[key][:, : self.starts.shape[1]]

    def of_knobs(self, key: str) -> tuple[Places, Flags, Flags]:
        """What each knob does to each piece, one alone moved at each probe.

        Returns
        -------
        tuple
            Its place with the least and with the greatest value, shape (pieces, 2, probes,
            knobs); whether it moves the piece at all, and whether these places depend on the
            probe or lie between its ends, so that other knobs may have a say, (pieces, knobs).
        """
        values = self._values[key]
        tried = values[:, self.starts.shape[1] :].reshape(len(values), _PROBES, len(self.knobs), 4)
        base = values[:, :_PROBES, None, None]
        both = np.concatenate([tried, np.broadcast_to(base, tried[..., :1].shape)], axis=-1)
        moves = (np.ptp(both, axis=-1) > SAME).any(axis=1)
        ends = np.stack([tried.argmin(axis=-1), tried.argmax(axis=-1)], axis=1)
        flat = (np.ptp(tried, axis=-1) <= SAME)[:, None]
        first = np.array([knob.first for knob in self.knobs])
        places = np.take_along_axis(first[None, None, None], ends[..., None], axis=-1)[..., 0]
        differ = ((ends != ends[:, :, :1]) & ~flat).any(axis=(1, 2))
        rising = np.diff(tried[..., [0, 3, 2, 1]], axis=-1)
        turns = (rising.min(axis=-1) <= SAME) & (rising.max(axis=-1) >= -SAME)
        between = (turns & ~flat[:, 0]).any(axis=1)
        bent = np.abs(tried[..., :2].sum(axis=-1) - tried[..., 2:].sum(axis=-1)) > _BENT
        bent_rim = (bent | flat[:, 0]).any(axis=1)
        ring = np.array([knob.round for knob in self.knobs])
        return places, moves, moves & np.where(ring, bent_rim, differ | between)
