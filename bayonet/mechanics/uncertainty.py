r"""Measurement uncertainty by JCGM 100 and tolerance factors by ISO 16269-6. No judgement."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike, NDArray

Array = NDArray[np.float64]
Shape = Literal["normal", "uniform", "triangular", "trapezoid"]

_STEP = 1e-3  # of a standard uncertainty, for numerical sensitivities
_NODES = 200


@dataclass(frozen=True, kw_only=True)
class Estimate:
    """A value, its standard uncertainty and the degrees of freedom of that uncertainty."""

    value: float
    u: float
    dof: float = math.inf


def type_a(readings: Sequence[float]) -> Estimate:
    r"""Mean of readings with the standard uncertainty of the mean.

    .. math:: u = s / \sqrt{n}, \quad \nu = n - 1

    Parameters
    ----------
    readings : sequence of float
        At least two [any unit].

    Returns
    -------
    Estimate

    Raises
    ------
    ValueError
        For fewer than two readings: their scatter is not known.

    References
    ----------
    .. [1] JCGM 100:2008, 4.2.

    Examples
    --------
    >>> found = type_a([9.0, 10.0, 11.0])
    >>> found.value, round(found.u, 6), found.dof
    (10.0, 0.57735, 2)
    """
    count = len(readings)
    if count < 2:
        raise ValueError("scatter needs at least two readings")
    values = np.asarray(readings, dtype=float)
    return Estimate(
        value=float(values.mean()), u=float(values.std(ddof=1)) / math.sqrt(count), dof=count - 1
    )


def type_b(half_width: float, shape: Shape = "uniform", *, top: float = 0.0) -> float:
    r"""Standard uncertainty of limits plus or minus a half-width.

    Uniform :math:`a/\sqrt 3`; triangular :math:`a/\sqrt 6`; trapezoid of relative top
    :math:`\beta`: :math:`a\sqrt{(1+\beta^2)/6}`; normal: a is taken for 95 %, :math:`a/1.96`.

    References
    ----------
    .. [1] JCGM 100:2008, 4.3.7 and 4.3.9.

    Examples
    --------
    A display of resolution 0.01 mm, half-width 0.005: 0.29 times the resolution (F.2.2.1).

    >>> round(type_b(0.005) / 0.01, 2)
    0.29
    """
    divisor = {
        "uniform": math.sqrt(3.0),
        "triangular": math.sqrt(6.0),
        "trapezoid": math.sqrt(6.0 / (1.0 + top**2)),
        "normal": 1.959963984540054,
    }[shape]
    return half_width / divisor


def combined(
    sensitivities: ArrayLike, uncertainties: ArrayLike, correlation: ArrayLike | None = None
) -> float:
    r"""Combined standard uncertainty: :math:`u_c^2 = \sum_{ij} c_i u_i r_{ij} u_j c_j`.

    References
    ----------
    .. [1] JCGM 100:2008, 5.1.2 and 5.2.2.

    Examples
    --------
    >>> combined([1.0, 1.0], [3.0, 4.0])
    5.0
    """
    parts = np.asarray(sensitivities, dtype=float) * np.asarray(uncertainties, dtype=float)
    if correlation is None:
        return float(np.sqrt(np.sum(parts**2)))
    return float(np.sqrt(parts @ np.asarray(correlation, dtype=float) @ parts))


def effective_dof(contributions: ArrayLike, dofs: ArrayLike) -> float:
    r"""Degrees of freedom of a combined uncertainty (Welch-Satterthwaite).

    .. math:: \nu = \left(\sum u_i^2\right)^2 / \sum u_i^4 / \nu_i

    References
    ----------
    .. [1] JCGM 100:2008, G.4.1.

    Examples
    --------
    >>> round(effective_dof([1.0, 1.0], [4.0, 4.0]), 9)
    8.0
    """
    squares = np.asarray(contributions, dtype=float) ** 2
    spread = float(np.sum(squares**2 / np.asarray(dofs, dtype=float)))
    return math.inf if spread == 0.0 else float(np.sum(squares)) ** 2 / spread


def coverage_factor(dof: float, *, probability: float = 0.95) -> float:
    """Student's factor for a two-sided interval.

    Parameters
    ----------
    dof : float
        Degrees of freedom, more than 0; infinite gives the normal factor.
    probability : float
        Between 0 and 1.

    References
    ----------
    .. [1] JCGM 100:2008, table G.2.

    Examples
    --------
    >>> round(coverage_factor(16, probability=0.99), 2), round(coverage_factor(1), 2)
    (2.92, 12.71)
    """
    from scipy.special import ndtri, stdtrit

    upper = (1.0 + probability) / 2.0
    return float(ndtri(upper) if math.isinf(dof) else stdtrit(dof, upper))


def propagated(
    model: Callable[..., float],
    estimates: Sequence[Estimate],
    *,
    correlation: ArrayLike | None = None,
) -> Estimate:
    """Propagate uncertainties through a model to first order, by central differences.

    Parameters
    ----------
    model : callable
        Takes one number per estimate.
    estimates : sequence of Estimate
    correlation : array, shape (n, n), or None
        Of the estimates; None is independent.

    Returns
    -------
    Estimate
        Degrees of freedom by Welch-Satterthwaite; infinite where inputs are correlated.

    References
    ----------
    .. [1] JCGM 100:2008, 5.1 and 5.2.

    Examples
    --------
    >>> found = propagated(lambda a, b: a * b, [Estimate(value=2, u=0.1), Estimate(value=5, u=0)])
    >>> found.value, round(found.u, 9)
    (10, 0.5)
    """
    centre = [one.value for one in estimates]
    slopes = []
    for index, one in enumerate(estimates):
        step = _STEP * one.u
        ends = [[*centre[:index], one.value + way, *centre[index + 1 :]] for way in (step, -step)]
        rise = model(*ends[0]) - model(*ends[1])
        slopes.append(rise / (2.0 * step) if step > 0.0 else 0.0)
    uncertainties = [one.u for one in estimates]
    parts = np.array(slopes) * np.array(uncertainties)
    dof = math.inf
    if correlation is None:
        dof = effective_dof(parts, [one.dof for one in estimates])
    return Estimate(value=model(*centre), u=combined(slopes, uncertainties, correlation), dof=dof)


def tolerance_factor(
    count: int, *, coverage: float = 0.99, confidence: float = 0.95, dof: int | None = None
) -> float:
    r"""Factor k of a two-sided normal tolerance interval mean plus or minus k s.

    The exact factor: with probability ``confidence`` the interval holds the share ``coverage``.
    It solves :math:`\int P(\chi^2_{n-1} > (n-1) r^2(z) / k^2)\, \varphi(z)\, dz = \gamma`,
    where r holds the share p about :math:`z / \sqrt n`.

    Parameters
    ----------
    count : int
        Samples, at least 2.
    coverage, confidence : float
        Between 0 and 1.
    dof : int, optional
        Degrees of freedom of the standard deviation where it is pooled over several
        characteristics of one common variance; left out: count - 1.

    Returns
    -------
    float

    Raises
    ------
    ValueError
        For fewer than two samples.

    References
    ----------
    .. [1] ISO 16269-6:2014, annex; mean and standard deviation unknown.

    Examples
    --------
    Older tables print 4.433 for ten samples, from an approximation; the exact factor is 4.437.

    >>> round(tolerance_factor(10), 3), round(tolerance_factor(5), 2)
    (4.437, 6.6)

    A known deviation (very many degrees of freedom) and a well-known mean: the normal 2.58.

    >>> round(tolerance_factor(10_000, dof=10_000_000), 2)
    2.58
    """
    from scipy.optimize import brentq
    from scipy.special import chdtrc

    if count < 2:
        raise ValueError("a tolerance interval needs at least two samples")
    freedom = count - 1 if dof is None else dof
    nodes, weights = np.polynomial.hermite_e.hermegauss(_NODES)
    weights = weights / weights.sum()
    reach = np.array([_half_share(z / math.sqrt(count), coverage) for z in np.abs(nodes)])

    def missing(factor: float) -> float:
        held = chdtrc(freedom, freedom * reach**2 / factor**2)
        return float(weights @ held) - confidence

    return float(brentq(missing, 1e-3, 1e4, xtol=1e-12))


def _half_share(shift: float, coverage: float) -> float:
    """Half-width about a shifted middle that holds a share of the standard normal."""
    from scipy.optimize import brentq
    from scipy.special import ndtr

    def short(half: float) -> float:
        return float(ndtr(shift + half) - ndtr(shift - half)) - coverage

    return float(brentq(short, 0.0, shift + 40.0, xtol=1e-13))
