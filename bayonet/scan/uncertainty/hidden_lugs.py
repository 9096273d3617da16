"""Lugs a scan leaves out: how many there must be, told by the symmetry of those it shows."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from bayonet.scan.fit import Key, Refined, Shape, lug_key
from bayonet.scan.uncertainty.coverage import width_deg

# places of an even set differ by less, by broken edges and noise
_SAME_DEG, _SAME_MM, _NOISES = 0.8, 0.1, 1.5
_CELL_DEG = 3.0  # as in coverage
# how far a place may be off at first, and the share of it a steady pitch keeps
_ROUGH_DEG, _MOST_OF = 12.0, 0.8
_SLIVER = 0.4  # of the widest lug: narrower, and body on one side only, it is a part of one
_PART = 0.6  # of the widest lug, by which the middle of a part of one may be off


@dataclass(frozen=True, kw_only=True)
class Completed:
    """``total`` lugs of an even spacing, or None where the spacing is uneven.

    ``place`` is the number of each seen lug in that set, ``sure`` whether both its sides were seen,
    ``first_deg`` where the set's first place is.
    """

    total: int | None
    place: tuple[int, ...]
    first_deg: float
    sure: tuple[bool, ...]
    hidden: np.ndarray
    fills: bool  # whether the lugs seen stand at all places of an even pitch, wide or narrow

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


def completed(end: Refined, shape: Shape, unseen: np.ndarray, whole: tuple[bool, ...]) -> Completed:
    """The smallest even set that the seen lugs fit and whose other places nothing was seen at.

    ``unseen`` marks cells of angle, any number, where neither a lug nor the body under it showed;
    ``whole`` the lugs that body was seen before and after: others' middles are not known well.
    """
    centres = np.array([end.values[lug_key(i, "centre_deg")] for i in range(shape.lugs)])
    wide = np.array([width_deg(end.values, lug_key(i)) for i in range(shape.lugs)])
    is_whole = np.array(whole)
    sure = np.array([_sure(end, i) for i in range(shape.lugs)])
    sure &= is_whole | (wide > _SLIVER * wide.max())
    outer = end.values[lug_key(0, "outer_diameter")] / 2.0
    same = max(_SAME_DEG, math.degrees((_SAME_MM + _NOISES * end.noise) / outer))
    rough = np.where(is_whole | sure, _ROUGH_DEG, max(_ROUGH_DEG, _PART * float(wide.max())))
    hidden = _hidden(end)
    hidden = hidden | unseen.reshape(len(hidden), -1).all(axis=1)
    first = float(centres[int(np.argmax(2 * sure + is_whole))])
    fills = bool((sure | is_whole).all()) and _fills(centres)
    for total in range(max(shape.lugs, 2), 9):
        turns = (centres - first) * total / 360.0
        away = np.abs(turns - np.round(turns)) * 360.0 / total
        place = np.round(turns).astype(int) % total
        if (away[sure] > same).any() or (away > rough).any() or len(set(place)) < len(place):
            continue
        missing = [first + 360.0 * k / total for k in range(total) if k not in set(place)]
        if all(hidden[int((at % 360.0) // _CELL_DEG)] for at in missing):
            return Completed(total=total, place=tuple(place.tolist()), first_deg=first,
                             sure=tuple(sure.tolist()), hidden=hidden,
                             fills=fills)  # fmt: skip
    return Completed(total=None, place=tuple(range(shape.lugs)), first_deg=first,
                     sure=tuple(sure.tolist()), hidden=hidden, fills=fills)  # fmt: skip


def _fills(centres: np.ndarray) -> bool:
    """Whether lugs stand near every place of a pitch of as many as they are.

    If one of n lugs were hidden, the others, taken for a set of n - 1, would drift off its pitch
    by 360 (n - 2) / (n (n - 1)) deg in all: by 39 deg for eight, by more for fewer. Less than most
    of half of that, to either side, is an odd lug's own place.

    Examples
    --------
    >>> bool(_fills(np.array([10.0, 133.0, 250.0])))
    True
    >>> bool(_fills(np.array([0.0, 90.0, 180.0])))
    False
    """
    count = len(centres)
    turns = np.sort(centres % 360.0) - 360.0 * np.arange(count) / count
    drift = 180.0 * (count - 1) / (count * (count + 1))
    return count > 1 and bool(np.abs(turns - np.median(turns)).max() < _MOST_OF * drift)


def _sure(end: Refined, number: int) -> bool:
    """Whether both sides of a lug were seen."""
    return min(end.labelled.count(lug_key(number, f"side{way:+d}")) for way in (-1, 1)) >= 10


def _hidden(end: Refined) -> np.ndarray:
    """Cells of angle in which no turned face shows a point."""
    turned = ("body", "groove", "rim")
    names = np.array([Key(name).part in turned for name in end.labelled.names])
    theta = end.labelled.theta[names[end.labelled.face]] % 360.0
    count = np.bincount((theta // _CELL_DEG).astype(int), minlength=int(360 / _CELL_DEG))
    return np.asarray(count[: int(360 / _CELL_DEG)] < 0.05 * np.median(count[count > 0]))
