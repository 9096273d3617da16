"""Polynomial arcs for curves the kernel has no exact form for: sin, cos and arcsin of an angle.

Interpolation at Chebyshev nodes, raised in degree until it is exact to rounding; written as one
Bezier span, so that no inner knot splits a face.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from functools import cache

import numpy as np
from numpy.typing import NDArray

from bayonet.errors import BuildError

Array = NDArray[np.float64]

ERROR_MM = 1e-12
GRID_MM = 1e-12
"""Poles lie on this grid [mm], a ten-thousandth of the kernel's own tolerance: rounding that
differs from machine to machine does not show, but where a pole falls on the middle of a step."""
_DEGREES = (1, 3, 5, 7, 9, 11, 13, 15, 17, 19, 21)
_PROBES = 41


def bezier(curve: Callable[[Array], Array], start: float, end: float) -> Array:
    """Bezier control points of a smooth curve.

    Parameters
    ----------
    curve : callable
        Maps parameters, shape (n,), to points, shape (n, dimensions).
    start, end : float
        Parameter range.

    Returns
    -------
    array, shape (degree + 1, dimensions)
        Of the least degree whose error at probes is below `ERROR_MM`, or at rounding.

    Raises
    ------
    BuildError
        If no degree up to 21 is good enough: the range is too long for one span.

    Examples
    --------
    A straight line needs its two ends only.

    >>> bezier(lambda t: np.column_stack([t, 2 * t]), 0.0, 3.0).round(12).tolist()
    [[0.0, 0.0], [3.0, 6.0]]
    """
    wanted = curve(start + (end - start) * np.linspace(0.0, 1.0, _PROBES))
    rounding = 1e-15 * float(np.abs(wanted).max())
    for degree in _DEGREES:
        nodes, to_series, to_poles, at_probes = _operators(degree)
        series = _product(to_series, curve(start + (end - start) * nodes))
        poles = _product(to_poles, series)  # in two steps: their product would lose digits
        poles = np.round(poles / GRID_MM) * GRID_MM
        error = float(np.abs(_product(at_probes, poles) - wanted).max())
        if error < ERROR_MM + GRID_MM + rounding * degree:
            poles[0], poles[-1] = wanted[0], wanted[-1]  # where neighbours meet it, to the bit
            return np.asarray(poles)
    raise BuildError("a helix or parallel side is too long for one polynomial span")


def raised(poles: Array, degree: int) -> Array:
    """The same Bezier curve at a higher degree; shape (degree + 1, dimensions).

    Examples
    --------
    >>> raised(np.array([[0.0], [2.0]]), 2).ravel().tolist()
    [0.0, 1.0, 2.0]
    """
    while len(poles) - 1 < degree:
        n = len(poles)
        share = np.arange(1, n)[:, None] / n
        inner = share * poles[:-1] + (1 - share) * poles[1:]
        poles = np.vstack([poles[:1], inner, poles[-1:]])
    return poles


@cache
def _operators(degree: int) -> tuple[Array, Array, Array, Array]:
    """Nodes on [0, 1]; maps from values there to a series, to poles, to values at probes."""
    count = degree + 1
    cosines = np.array([-math.cos(math.pi * (2 * j + 1) / (2 * count)) for j in range(count)])
    probes = np.linspace(0.0, 1.0, _PROBES)
    basis = [
        math.comb(degree, i) * probes**i * (1.0 - probes) ** (degree - i) for i in range(degree + 1)
    ]
    return (cosines + 1.0) / 2.0, _to_series(count), _series_to_poles(degree), np.stack(basis, 1)


def _to_series(count: int) -> Array:
    """From values at Chebyshev points to coefficients, in closed form: T_k is orthogonal there.

    c_k = (2 - [k = 0]) / n sum_j f(x_j) T_k(x_j), where T_k(x_j) = (-1)^k cos(k pi (2j+1) / 2n).
    """
    rows = [
        [
            (1.0 if k == 0 else 2.0)
            / count
            * (-1) ** k
            * math.cos(math.pi * (k * (2 * j + 1) % (4 * count)) / (2 * count))
            for j in range(count)
        ]
        for k in range(count)
    ]
    return np.array(rows)


def _product(operator: Array, values: Array) -> Array:
    """A matrix product in a fixed order of sums: BLAS would round by the processor it finds."""
    total = np.zeros((len(operator), values.shape[1]))
    for column, value in zip(operator.T, values, strict=True):
        total += column[:, None] * value[None, :]
    return total


def _series_to_poles(degree: int) -> Array:
    """From Chebyshev coefficients on [-1, 1] to Bezier poles on [0, 1], in exact integers.

    T_k = sum_i (-1)^(k-i) C(2k, 2i) t^i (1-t)^(k-i), raised to the degree.
    """
    rows = [
        [
            sum(
                (-1) ** (k - i) * math.comb(2 * k, 2 * i) * math.comb(degree - k, j - i)
                for i in range(max(0, j - degree + k), min(j, k) + 1)
            )
            / math.comb(degree, j)
            for k in range(degree + 1)
        ]
        for j in range(degree + 1)
    ]
    return np.array(rows)
