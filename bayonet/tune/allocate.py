"""The cheapest grades that reach a yield, to first order: from the finest, loosened one by one."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bayonet.parts import Design
from bayonet.tolerance.advice import tolerances_of
from bayonet.tolerance.chains import ChainSet, slopes_at
from bayonet.tolerance.fitting import TOUCHES
from bayonet.tune.cost import Choice, CostTable

Array = NDArray[np.float64]

MOST_SHORT_MM = 0.1
"""How far the worst case may fall short before clearances are widened to cover it [mm, deg]."""

_EXACT_SHORT = ("body_in_seal", "lugs_pass_seal", "lug_overlap", "detent_pass", "detent_hold")


@dataclass(frozen=True, kw_only=True)
class Allocation:
    """Chosen step of every tolerance by group, and the rate it should give [-]."""

    chosen: dict[str, Choice]
    rate: float

    @property
    def cost(self) -> float:
        """Of all tolerances together [-]."""
        return sum(choice.cost for choice in self.chosen.values())


class Linear:
    """Every piece of every chain as mean and slopes; rates and worst cases follow."""

    def __init__(self, chains: ChainSet) -> None:
        self._variables = chains.variables
        middle, slopes = slopes_at(chains, chains.means())
        rooms, rows, names = [], [], []
        for chain in chains.chains:
            for side, limit in ((1.0, chain.low), (-1.0, chain.high)):
                if not np.isfinite(limit):
                    continue
                for value, slope in zip(middle[chain.key], slopes[chain.key], strict=True):
                    rooms.append(side * (value - limit))
                    rows.append(np.abs(slope))
                    names.append((chain.key, chain.source))
        self._rooms, self._slopes, self._names = np.array(rooms), np.array(rows), names
        self._ratios = np.array(
            [v.sd / v.half_width if v.half_width else 0.0 for v in chains.variables]
        )
        self._start = np.array([v.half_width for v in chains.variables])
        self._short = np.array([self._most_short(*name) for name in names])
        self._groups = [v.group for v in chains.variables]

    @staticmethod
    def _most_short(key: str, source: str) -> float:
        """How far a worst case may fall short: not at all where no clearance can cover it."""
        if source != TOUCHES:
            return np.inf
        return 0.0 if key in _EXACT_SHORT else MOST_SHORT_MM

    def judged(self, halves: dict[str, float]) -> tuple[float, float]:
        """Rate of pairs that fail [-], and how far the worst case falls short of what it may."""
        from scipy.special import ndtr

        half = self._start.copy()
        for row, group in enumerate(self._groups):
            if group in halves:
                # a round zone's half-width is half of its diameter
                share = 0.5 if group.endswith("coaxiality") else 1.0
                half[row] = share * halves[group]
        sd = np.sqrt(np.sum((self._slopes * half * self._ratios) ** 2, axis=1))
        rate = float(np.sum(ndtr(-self._rooms / np.maximum(sd, 1e-12))))
        reach = self._slopes @ half
        return rate, float(np.max(reach - self._rooms - self._short, initial=-np.inf))


def allocate(
    design: Design, chains: ChainSet, costs: CostTable, *, rate: float
) -> Allocation | None:
    """Grades for every tolerance of the socket.

    Parameters
    ----------
    design : Design
    chains : ChainSet
        Its chains.
    costs : CostTable
    rate : float
        Share of pairs that may fail [-].

    Returns
    -------
    Allocation or None
        None where even the finest grades do not reach the rate.

    References
    ----------
    .. [1] K. W. Chase, W. H. Greenwood, B. G. Loosli, L. F. Hauglund, Manufacturing Review 3
       (1990) 49: least cost tolerance allocation with discrete processes. Here a greedy search:
       of all single steps that keep the rate, the one that saves most for the rate it uses up.
    """
    linear = Linear(chains)
    steps = {t.group: costs.choices(t) for t in tolerances_of(design)}
    steps = {group: choices for group, choices in steps.items() if choices}
    at = dict.fromkeys(steps, 0)

    def judged(places: dict[str, int]) -> tuple[float, float]:
        return linear.judged({g: steps[g][n].half_width for g, n in places.items()})

    start_rate, start_short = judged(at)
    if not start_rate <= rate:
        return None
    now, allowed_short = start_rate, max(0.0, start_short)
    while True:
        best: tuple[float, str, float] | None = None
        for group, place in at.items():
            if place + 1 >= len(steps[group]):
                continue
            new_rate, short = judged({**at, group: place + 1})
            if not (new_rate <= rate and short <= allowed_short + 1e-12):
                continue
            saved = steps[group][place].cost - steps[group][place + 1].cost
            worth = saved / (max(new_rate - now, 0.0) / rate + 1e-3)
            if best is None or worth > best[0]:
                best = (worth, group, new_rate)
        if best is None:
            break
        at[best[1]] += 1
        now = best[2]
    return Allocation(chosen={g: steps[g][n] for g, n in at.items()}, rate=now)
