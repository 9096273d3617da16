r"""Tails of a sum of independent deviations, bounded ones included, by a saddlepoint."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache

import numpy as np
from numpy.typing import ArrayLike, NDArray

from bayonet.tolerance.chains.variable import TRAPEZOID_TOP, Variable

Array = NDArray[np.float64]

_HALVINGS = 24  # the exponent is level at the saddlepoint: half of the digits are enough
_FARTHEST = 40.0  # standard deviations; beyond them a tail is 0 in double precision
_NEAR, _OFF = 0.3, 6.5
"""Standard deviations within which the formula loses digits, and beyond which no tail of a sum
matters (a normal's is 4e-11): a normal is taken there."""

_SERIES = 1e-2


def tail(variables: Sequence[Variable], slopes: Array, room: ArrayLike) -> Array:
    r"""Share of parts at which a sum of deviations goes beyond some room above its mean.

    .. math:: P = 1 - \Phi(w) + \varphi(w) (1/u - 1/w), \quad
       w = \sqrt{2 (s r - K(s))}, \quad u = s \sqrt{K''(s)}, \quad K'(s) = r

    with K the cumulant generating function of the sum.

    Parameters
    ----------
    variables : sequence of Variable
        Those of a production; uncertainties are not looked at.
    slopes : array, shape (pieces, variables)
        Change of each sum per change of a variable.
    room : array, shape (pieces,)
        From the mean to the limit, positive towards greater sums [unit].

    Returns
    -------
    array, shape (pieces,)
        0 where the sum cannot go so far.

    References
    ----------
    .. [1] R. Lugannani, S. Rice, Adv. Appl. Prob. 12 (1980) 475; H. E. Daniels, Int. Stat. Rev. 55
       (1987) 37, eq. 4.9.

    Examples
    --------
    Eight uniforms on -0.5 to 0.5 above 3.2: Irwin and Hall give 0.8^8 / 8! = 4.161e-6, the formula
    1.4 % less: by hand s = 9.99544, w = 4.56531, u = 2.82198 and P = 4.1024e-6.

    >>> one = Variable(key="u", meaning="u", owner="socket", half_width=0.5, spread="uniform")
    >>> round(1e6 * float(tail([one] * 8, np.ones((1, 8)), [3.2])[0]), 4)
    4.1024
    """
    from scipy.special import ndtr

    room = np.asarray(room, dtype=float)
    scales = np.array([0.0 if v.spread == "uncertainty" else v.half_width for v in variables])
    sds = np.array([0.0 if v.spread == "uncertainty" else v.sd for v in variables])
    spread = np.sqrt(np.sum((slopes * sds) ** 2, axis=1))
    out = ndtr(-room / np.maximum(spread, 1e-12))
    far = np.flatnonzero((room > _NEAR * spread) & (room < _OFF * spread))
    if far.size:
        some = np.flatnonzero(np.abs(slopes[far] * scales).max(axis=0) > 0.0)
        moving = [variables[i] for i in some.tolist()]
        reach = slopes[np.ix_(far, some)] * scales[some]
        out[far] = _saddle(moving, reach, room[far], spread[far])
    return np.asarray(np.clip(out, 0.0, 1.0))


def _saddle(variables: Sequence[Variable], reach: Array, room: Array, spread: Array) -> Array:
    from scipy.special import ndtr

    low, high = np.zeros_like(room), np.full_like(room, _FARTHEST) / spread
    top = _cumulants(variables, reach, high)[1]
    for _ in range(_HALVINGS):
        middle = 0.5 * (low + high)
        short = _cumulants(variables, reach, middle)[1] < room
        low, high = np.where(short, middle, low), np.where(short, high, middle)
    k, _, curve = _cumulants(variables, reach, high)
    w = np.sqrt(np.maximum(2.0 * (high * room - k), 1e-12))
    u = high * np.sqrt(np.maximum(curve, 1e-300))
    density = np.exp(-0.5 * w**2) / np.sqrt(2.0 * np.pi)
    return np.asarray(np.where(top < room, 0.0, ndtr(-w) + density * (1.0 / u - 1.0 / w)))


def _cumulants(variables: Sequence[Variable], reach: Array, s: Array) -> tuple[Array, Array, Array]:
    """K and its first two derivatives with respect to s, summed over variables."""
    total = [np.zeros_like(s) for _ in range(3)]
    for spread in dict.fromkeys(v.spread for v in variables):
        columns = [i for i, v in enumerate(variables) if v.spread == spread]
        a = reach[:, columns]
        x = a * s[:, None]
        for share, kind in _PARTS.get(spread, ()):
            values = _KINDS[kind](share * x)
            for order in range(3):
                total[order] += (values[order] * (share * a) ** order).sum(axis=1)
    return total[0], total[1], total[2]


def _uniform(x: Array) -> tuple[Array, Array, Array]:
    """log(sinh x / x) and derivatives."""
    size = np.abs(x)
    safe = np.maximum(size, _SERIES)
    k = safe + np.log1p(-np.exp(-2.0 * safe)) - np.log(2.0 * safe)
    first = 1.0 / np.tanh(safe) - 1.0 / safe
    second = 1.0 / safe**2 - 1.0 / np.sinh(np.minimum(safe, 300.0)) ** 2
    small = size < _SERIES
    return (
        np.where(small, x**2 / 6.0, k),
        np.where(small, x / 3.0, np.sign(x) * first),
        np.where(small, 1.0 / 3.0, second),
    )


def _normal(x: Array) -> tuple[Array, Array, Array]:
    """A normal whose limits, 1, lie at three standard deviations."""
    return x**2 / 18.0, x / 9.0, np.full_like(x, 1.0 / 9.0)


@cache
def _gauss() -> tuple[Array, Array]:
    return np.polynomial.legendre.leggauss(24)


def _radius(x: Array) -> tuple[Array, Array, Array]:
    """Density 2 r on 0 to 1, about its mean: a uniform's K tilted by the weight r."""
    nodes, weights = _gauss()
    r, mass = 0.5 * (nodes + 1.0), 0.5 * weights * (nodes + 1.0)
    lift = x[..., None] * r
    most = lift.max(axis=-1)
    share = mass * np.exp(lift - most[..., None])
    whole = share.sum(axis=-1)
    first = (share * r).sum(axis=-1) / whole
    second = (share * r**2).sum(axis=-1) / whole - first**2
    return np.log(whole) + most - x * 2.0 / 3.0, first - 2.0 / 3.0, second


_KINDS = {"uniform": _uniform, "normal": _normal, "radius": _radius}
_WIDE, _NARROW = (1.0 + TRAPEZOID_TOP) / 2.0, (1.0 - TRAPEZOID_TOP) / 2.0
_PARTS = {
    "uniform": ((1.0, "uniform"),),
    "normal": ((1.0, "normal"),),
    "radius": ((1.0, "radius"),),
    "triangular": ((0.5, "uniform"), (0.5, "uniform")),
    "trapezoid": ((_WIDE, "uniform"), (_NARROW, "uniform")),
}
"""Each spread as a sum of independent simple ones, by their share of its half-width."""
