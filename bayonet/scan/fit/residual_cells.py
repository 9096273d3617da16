"""Sums of rates and residuals over small cells of the surface."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bayonet.scan.fit.frame_points import Spots

Array = NDArray[np.float64]
Indices = NDArray[np.int64]

_CELL_MM = 1.5  # the shortest length a field is told at


@dataclass(frozen=True, kw_only=True)
class Cells:
    """Cells of one face, or of all: a column a cell."""

    rates: Array  # (parameters, m), summed over the points of each cell
    off: Array  # (m,), summed residuals [mm]
    count: Array
    middle: Array  # (m, 3) [mm]
    place: Indices  # (m, 3): face, along, across

    @property
    def size_mm(self) -> float:
        """Edge of a cell."""
        return _CELL_MM


def cells_of(columns: Sequence[int], jac: Array, off: Array, c: Spots, *, face: int, size: int
             ) -> Cells:  # fmt: skip
    """One face's points in cells by arc and by whichever of depth and radius spreads more.

    Parameters
    ----------
    columns : sequence of int
        Parameters, of ``size``, that the rows of ``jac`` belong to.
    jac : array (k, n)
        Rates of distances by these parameters.
    off : array (n,)
        Residuals [mm].
    c : Spots
    face : int
        Number of the face, to tell cells apart.
    """
    across = c.depth if np.ptp(c.depth) > np.ptp(c.r) else c.r
    along = c.theta * float(c.r.mean())
    first, second = (np.floor((one - one.min()) / _CELL_MM).astype(np.int64)
                     for one in (along, across))  # fmt: skip
    row = int(second.max()) + 1
    number = first * row + second
    count = np.bincount(number)
    used = np.flatnonzero(count)

    def total(values: Array) -> Array:
        return np.asarray(np.bincount(number, weights=values)[used])

    rates = np.zeros((size, len(used)))
    rates[columns] = [total(one) for one in jac]
    share = count[used].astype(float)
    middle = np.column_stack([total(one) / share for one in (c.r * c.cos, c.r * c.sin, -c.depth)])
    place = np.column_stack([np.full(len(used), face), used // row, used % row])
    return Cells(rates=rates, off=total(off), count=share, middle=middle, place=place)


def together(parts: Sequence[Cells]) -> Cells:
    """Cells of all faces."""
    return Cells(
        rates=np.concatenate([one.rates for one in parts], axis=1),
        off=np.concatenate([one.off for one in parts]),
        count=np.concatenate([one.count for one in parts]),
        middle=np.concatenate([one.middle for one in parts]),
        place=np.concatenate([one.place for one in parts]),
    )  # fmt: skip
