"""One uncertain deviation of a part: its limits, how it is spread within them, its sampling.

A variable is a deviation: 0 is nominal. Dimensions are sums of a nominal and deviations.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike, NDArray

from bayonet.mechanics import Shape, type_b

Array = NDArray[np.float64]
Spread = Shape | Literal["radius", "uncertainty"]
Owner = Literal["plug", "socket", "ring", "assembly"]

NORMAL_SIGMAS = 3.0
"""Limits of a normal spread lie at plus or minus three standard deviations (Cp = 1; common
practice, no source)."""

TRAPEZOID_TOP = 0.5


@dataclass(frozen=True, kw_only=True)
class Variable:
    """A deviation of one dimension of one part.

    Parameters
    ----------
    key : str
        Stable name.
    meaning : str
        In words a machinist uses.
    owner : {"plug", "socket", "ring", "assembly"}
        Whose it is.
    half_width : float
        Limits, plus or minus [unit]; for a ``radius`` it lies between 0 and this.
    spread : str
        How parts lie within the limits. ``radius``: distance from the middle of a disc that is
        filled evenly. ``uncertainty``: of a measured value, Student's distribution of scale ``u``.
    unit : str
    u, dof : float
        Of a ``uncertainty``: its standard uncertainty [unit] and degrees of freedom.
    disc : str
        Name of the round zone it shares with another variable, as x and y; empty for none.
    most : float
        Of an uncertainty: beyond this the value is impossible, and is taken to lie there [unit].
        Student's distribution of two readings reaches thousands of u.
    group : str
        Tolerance of the design file it belongs to, for what to tighten; empty for none.

    Examples
    --------
    >>> width = Variable(key="w", meaning="width", owner="plug", half_width=0.3, spread="normal")
    >>> width.sd
    0.09999999999999999
    """

    key: str
    meaning: str
    owner: Owner
    half_width: float
    spread: Spread
    unit: str = "mm"
    u: float = 0.0
    dof: float = math.inf
    most: float = math.inf
    disc: str = ""
    group: str = ""

    @property
    def low(self) -> float:
        """Least deviation within the limits [unit]."""
        return 0.0 if self.spread == "radius" else -self.half_width

    @property
    def mean(self) -> float:
        """Mean deviation [unit]."""
        return 2.0 / 3.0 * self.half_width if self.spread == "radius" else 0.0

    @property
    def sd(self) -> float:
        """Standard deviation [unit]; of few readings' uncertainty, half its 95 % half-width."""
        if self.spread == "radius":
            return self.half_width * math.sqrt(1.0 / 2.0 - 4.0 / 9.0)
        if self.spread == "uncertainty":
            return min(max(self.u, self.half_width / 2.0), self.most)
        if self.spread == "normal":
            return self.half_width / NORMAL_SIGMAS
        return type_b(self.half_width, self.spread, top=TRAPEZOID_TOP)

    @property
    def is_normal(self) -> bool:
        """Whether it is a multiple of a standard normal variate."""
        return self.spread == "normal" or (self.spread == "uncertainty" and math.isinf(self.dof))

    @property
    def scale(self) -> float:
        """Deviation per unit of `standard_quantile` [unit]."""
        if self.spread == "uncertainty":
            return self.u
        return self.half_width / NORMAL_SIGMAS if self.spread == "normal" else self.half_width

    def quantile(self, probability: ArrayLike) -> Array:
        """Deviation below which a share of all parts lies [unit]."""
        return self.within(self.scale * standard_quantile(self.spread, self.dof, probability))

    def within(self, deviation: Array) -> Array:
        """A deviation, or the end of what is possible where it lies beyond [unit]."""
        if math.isinf(self.most):
            return deviation
        return np.asarray(np.clip(deviation, -self.most, self.most))


def standard_quantile(spread: Spread, dof: float, probability: ArrayLike) -> Array:
    r"""Quantile of a spread of unit scale.

    Normal and uncertainty: of the standard normal or Student's distribution. Uniform, triangular
    and trapezoid: on -1 to 1. Radius: :math:`\sqrt{p}`.

    Parameters
    ----------
    spread : str
    dof : float
        Of an uncertainty.
    probability : float or array
        Between 0 and 1.

    Returns
    -------
    array

    References
    ----------
    .. [1] JCGM 101:2008, 6.4 (distributions) and C (inverse of the distribution function).

    Examples
    --------
    >>> [float(standard_quantile("uniform", 1, p)) for p in (0.0, 0.75)]
    [-1.0, 0.5]
    >>> round(float(standard_quantile("uncertainty", 1, 0.975)), 2)
    12.71
    """
    from scipy.special import ndtri, stdtrit

    p = np.asarray(probability, dtype=float)
    if spread == "normal" or (spread == "uncertainty" and math.isinf(dof)):
        return np.asarray(ndtri(p))
    if spread == "uncertainty":
        return np.asarray(stdtrit(dof, p))
    if spread == "radius":
        return np.asarray(np.sqrt(p))
    tail = np.minimum(p, 1.0 - p)
    away = 1.0 - _from_edge(spread, tail)
    return np.where(p < 0.5, -away, away)


def _from_edge(spread: Spread, tail: Array) -> Array:
    """Distance from the nearer limit of a bounded spread on -1 to 1."""
    if spread == "uniform":
        return 2.0 * tail
    top = TRAPEZOID_TOP if spread == "trapezoid" else 0.0
    # density rises over 1 - top to the height h = 1 / (1 + top)
    sloped = (1.0 - top) / (2.0 * (1.0 + top))
    rising = np.sqrt(2.0 * tail * (1.0 - top**2))
    level = (1.0 - top) + (tail - sloped) * (1.0 + top)
    return np.where(tail <= sloped, rising, level)


def share_above(spread: Spread, at: float) -> float:
    """Share of parts above a deviation, of a bounded spread of unit half-width.

    Parameters
    ----------
    spread : str
        Uniform, triangular and trapezoid lie on -1 to 1, radius on 0 to 1.
    at : float
        Deviation over the half-width.

    Returns
    -------
    float
        The inverse of `standard_quantile`, from 1.

    Examples
    --------
    >>> [share_above("uniform", at) for at in (-1.0, 0.5, 2.0)], share_above("triangular", 0.5)
    ([1.0, 0.25, 0.0], 0.125)
    >>> round(share_above("radius", 0.8), 12)
    0.36
    """
    if spread == "radius":
        return 1.0 - min(max(at, 0.0), 1.0) ** 2
    if at < 0.0:
        return 1.0 - share_above(spread, -at)
    edge = max(1.0 - at, 0.0)
    if spread == "uniform":
        return edge / 2.0
    top = TRAPEZOID_TOP if spread == "trapezoid" else 0.0
    if edge <= 1.0 - top:
        return edge**2 / (2.0 * (1.0 - top**2))
    return (1.0 - top) / (2.0 * (1.0 + top)) + (edge - (1.0 - top)) / (1.0 + top)
