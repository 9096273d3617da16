"""One least-squares refinement of the whole parametric plug on all points of its faces."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bayonet.scan.fit.frame_points import Spots, spots
from bayonet.scan.fit.keys import Key, body_key, lug_key
from bayonet.scan.fit.labels import Labelled, State, labelled
from bayonet.scan.fit.margins import Margins, first_margins, margins_of
from bayonet.scan.fit.surface import FLANKS, FLARE, FORM, POSE, Rates, faces

Array = NDArray[np.float64]

_DAMPING = 1e-3  # 1 / mm^2, a thousandth of one point's: keeps what nothing tells
GATES = 4.0  # standard deviations
LEAST_MM = 1e-4  # 0.1 um: models have no noise
_SIDE_MM = 0.35  # three times a usual noise
_FLARE_TOLD = 0.2  # of a whole flare: known to a fifth, radial and parallel are told apart
_TURNED, _COARSE, _FINE = (0.9, 0.5, 0.3), (0.7, 0.5, 0.35, 0.2), (0.1, 0.02)  # mm


@dataclass(frozen=True, kw_only=True)
class Normal:
    """Normal equations: information matrix per unit of variance, right side, sum of squares."""

    information: Array
    right: Array
    squares: float
    count: int


def rate_rows(rates: Rates, c: Spots, place: Mapping[str, int]) -> tuple[list[int], Array]:
    """Columns and rows of one face's Jacobian."""
    gx, gy, gz = rates.slope
    x, y, z = c.r * c.cos, c.r * c.sin, -c.depth
    columns = [place[name] for name in (*POSE, *rates.by)]
    rows = np.empty((len(columns), len(c.r)))
    rows[0], rows[1], rows[2] = -gx, -gy, -gz
    rows[3] = z * gy - y * gz
    rows[4] = x * gz - z * gx
    for number, rate in enumerate(rates.by.values(), start=5):
        rows[number] = rate
    return columns, rows


def normal(rows: Sequence[Labelled], state: State, scale: float | None) -> Normal:
    """Normal equations of labelled points; with a scale, far points count less (biweight)."""
    size, v = len(state.names), state.values
    place = {name: i for i, name in enumerate(state.names)}
    information, right = np.zeros((size, size)), np.zeros(size)
    squares, count = 0.0, 0
    for one in rows:
        if not len(one.off):
            continue
        columns, jac = rate_rows(one.face.rates(one.spots, v), one.spots, place)
        weighted = jac
        if scale is not None:
            weighted = jac * np.maximum(1.0 - (one.off / scale) ** 2, 0.0) ** 2
        information[np.ix_(columns, columns)] += weighted @ jac.T
        right[columns] += weighted @ one.off
        squares += float(one.off @ one.off)
        count += len(one.off)
    return Normal(information=information, right=right, squares=squares, count=count)


def covariance(information: Array, free: Array) -> Array:
    """Of all parameters, per unit of variance, through a matrix with one column a free one."""
    return np.asarray(free @ np.linalg.inv(_damped(information, free)) @ free.T)


def _damped(information: Array, free: Array) -> Array:
    return np.asarray(free.T @ information @ free + _DAMPING * np.eye(free.shape[1]))


def solved(equations: Normal, free: Array) -> Array:
    """The step, through a matrix with one column a free parameter; unseen ones hardly move."""
    matrix = _damped(equations.information, free)
    return np.asarray(-free @ np.linalg.solve(matrix, free.T @ equations.right))


def columns_of(names: Sequence[str], fixed: NDArray[np.bool_]) -> Array:
    """One column a free parameter; flanks of all lugs have one slope and lean."""
    columns: dict[str, int] = {}
    places = []
    for name, still in zip(names, fixed, strict=True):
        own = Key(name).name
        key = own if own in ("slope", *FLANKS) else name
        places.append(None if still else columns.setdefault(key, len(columns)))
    found = np.zeros((len(places), len(columns)))
    for row, place in enumerate(places):
        if place is not None:
            found[row, place] = 1.0
    return found


def noise_of(rows: Sequence[Labelled]) -> float:
    """Standard deviation of residuals from their median size, per face then pooled."""
    sizes = [(_middle(np.abs(one.off)), len(one.off)) for one in rows if len(one.off) > 30]
    if not sizes:
        return LEAST_MM
    weights = np.array([count for _, count in sizes], dtype=float)
    median = np.array([size for size, _ in sizes])
    order = np.argsort(median)
    half = np.searchsorted(np.cumsum(weights[order]), weights.sum() / 2.0)
    return max(1.4826 * float(median[order][half]), LEAST_MM)


def _middle(values: Array) -> float:
    """Median, the upper of two."""
    half = len(values) // 2
    return float(np.partition(values, half)[half])


def settled(
    xyz: Array,
    state: State,
    *,
    free: Array,
    margins: Margins,
    floor: float,
    gates: Sequence[float],
    noise: float | None = None,
) -> tuple[State, float]:
    """Iterate with narrowing gates; returns the state and the noise."""
    found = faces(state.shape)
    sigma = noise or 0.0
    for gate in gates:
        width = max(gate, GATES * sigma) if sigma else gate
        c = spots(xyz, state.rotation, state.origin)
        rows = labelled(c, state, found, width, margins, floor)
        sigma = noise_of(rows)
        scale = max(5.0 * sigma, gate)
        state = state.moved(_bounded(solved(normal(rows, state, scale), free)))
    return state, sigma


def _bounded(step: Array) -> Array:
    largest = float(np.abs(step).max()) if len(step) else 0.0
    return step if largest <= 2.0 else step * (2.0 / largest)


def flare_of(few: Array, state: State, noise: float) -> float:
    """How the sides' half-angle grows with the radius, by parallel sides' own rate (0 to 1).

    Points are taken as wide and as near to edges as sides of the other kind would lie. Zero where
    the scan does not tell it.
    """
    still, _ = kinds(state)
    fixed = still & (np.array(state.names) != FLARE)
    c = spots(few, state.rotation, state.origin)
    rows = labelled(c, state, faces(state.shape), max(_SIDE_MM, GATES * noise),
                    first_margins(state), 2.5 * noise)  # fmt: skip
    equations, free = normal(rows, state, None), columns_of(state.names, fixed)
    step = solved(equations, free)
    spread = covariance(equations.information, free)
    v, shape = state.values, state.shape
    rates = [
        np.tan(v[lug_key(i, "half")]) / (0.5 * (v[lug_key(i, "r")] + v[body_key(shape.root, "r")]))
        for i in range(shape.lugs)
    ]
    at, whole = state.names.index(FLARE), max(float(np.mean(rates)), 1e-6)
    is_told = noise * math.sqrt(spread[at, at]) < _FLARE_TOLD * whole
    return float(-step[at] / whole) if is_told else 0.0


@dataclass(frozen=True, kw_only=True)
class Fitted:
    """A state fitted to a sample, what the noise is, and how near to edges points were taken."""

    state: State
    noise: float
    margins: Margins


def coarse(
    few: Array, fewer: Array, state: State, *, reseed: Callable[[Array, State], State]
) -> Fitted:
    """From first values: turned faces alone, then lugs' first values again, then all together.

    On a thin sample while faces are still far off.
    """
    still, form = kinds(state)
    lugs = np.array([Key(name).is_lug for name in state.names])
    turned = columns_of(state.names, still | form | lugs)
    state, _ = settled(fewer, state, free=turned, margins=first_margins(state), floor=0.5,
                       gates=_TURNED)  # fmt: skip
    return closer(few, fewer, reseed(few, state))


def closer(few: Array, fewer: Array, state: State) -> Fitted:
    """All parameters together, gates narrowing to the noise."""
    still, form = kinds(state)
    state, sigma = settled(fewer, state, free=columns_of(state.names, still | form),
                           margins=first_margins(state), floor=0.5, gates=_COARSE)  # fmt: skip
    wide = first_margins(state)
    state, sigma = settled(few, state, free=columns_of(state.names, still), margins=wide,
                           floor=0.5, gates=_FINE, noise=sigma)  # fmt: skip
    return Fitted(state=state, noise=sigma, margins=wide)


def with_margins(few: Array, near: Fitted) -> Fitted:
    """Points as near to edges as the residuals along these allow."""
    state, sigma, margins = near.state, near.noise, near.margins
    still, _ = kinds(state)
    margins = margins_of(few, state, sigma, margins)
    state, sigma = settled(few, state, free=columns_of(state.names, still), margins=margins,
                           floor=2.5 * sigma, gates=(0.02, 0.02), noise=sigma)  # fmt: skip
    margins = margins_of(few, state, sigma, margins)
    return Fitted(state=state, noise=sigma, margins=margins)


def kinds(state: State) -> tuple[NDArray[np.bool_], NDArray[np.bool_]]:
    """Parameters that are not fitted but asked for, and form errors."""
    names = np.array(state.names)
    last = np.array([Key(name).name for name in state.names])
    still = [one for one in FLANKS if one not in state.shape.flanks]
    return (names == FLARE) | np.isin(last, still), np.isin(last, FORM)
