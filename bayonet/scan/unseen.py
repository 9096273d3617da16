"""Lugs a scan leaves out: how many there must be, told by the symmetry of those it shows."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from bayonet.scan.faces import Shape
from bayonet.scan.refine import Refined

_SAME_DEG = 0.8
_CELL_DEG = 3.0


@dataclass(frozen=True, kw_only=True)
class Completed:
    """``total`` lugs of an even spacing, or None where the spacing is uneven.

    ``place`` is the number of each seen lug in that set, ``sure`` whether both its sides were seen.
    """

    total: int | None
    place: tuple[int, ...]
    sure: tuple[bool, ...]
    hidden: np.ndarray

    @property
    def hidden_deg(self) -> float:
        """Angle in which nothing was seen [deg]."""
        return float(self.hidden.sum()) * _CELL_DEG

    @property
    def gap_deg(self) -> float:
        """Widest stretch in which nothing was seen [deg]."""
        if self.hidden.all():
            return 360.0
        turned = np.roll(self.hidden, -int(np.argmin(self.hidden)))
        runs = np.split(turned, np.flatnonzero(np.diff(turned.astype(int))) + 1)
        return max(float(run.sum()) for run in runs) * _CELL_DEG


def completed(end: Refined, shape: Shape, unseen: np.ndarray) -> Completed:
    """The smallest even set that the seen lugs fit and whose other places nothing was seen at.

    ``unseen`` marks cells of angle, any number, where neither a lug nor the body under it showed.
    """
    centres = np.array([end.values[f"lug.{i}.centre_deg"] for i in range(shape.lugs)])
    sure = np.array([_sure(end, i) for i in range(shape.lugs)])
    hidden = _hidden(end)
    hidden = hidden | unseen.reshape(len(hidden), -1).all(axis=1)
    first = centres[int(np.argmax(sure))]
    for total in range(max(shape.lugs, 2), 9):
        turns = (centres - first) * total / 360.0
        away = np.abs(turns - np.round(turns)) * 360.0 / total
        place = np.round(turns).astype(int) % total
        if (away[sure] > _SAME_DEG).any() or (away > 12.0).any() or len(set(place)) < len(place):
            continue
        missing = [first + 360.0 * k / total for k in range(total) if k not in set(place)]
        if all(hidden[int((at % 360.0) // _CELL_DEG)] for at in missing):
            return Completed(total=total, place=tuple(place.tolist()),
                             sure=tuple(sure.tolist()), hidden=hidden)  # fmt: skip
    return Completed(total=None, place=tuple(range(shape.lugs)),
                     sure=tuple(sure.tolist()), hidden=hidden)  # fmt: skip


def _sure(end: Refined, number: int) -> bool:
    """Whether both sides of a lug were seen."""
    return min(end.labelled.count(f"lug.{number}.side{way:+d}") for way in (-1, 1)) >= 10


def _hidden(end: Refined) -> np.ndarray:
    """Cells of angle in which no turned face shows a point."""
    names = np.array([name.startswith(("body", "groove", "rim")) for name in end.labelled.names])
    face = end.labelled.face
    theta = end.labelled.theta[(face >= 0) & names[face]] % 360.0
    count = np.bincount((theta // _CELL_DEG).astype(int), minlength=int(360 / _CELL_DEG))
    return np.asarray(count[: int(360 / _CELL_DEG)] < 0.05 * np.median(count[count > 0]))
