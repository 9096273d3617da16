"""One least-squares refinement of the whole parametric plug on all points of its faces."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bayonet.scan.labels import Labelled, State, labelled
from bayonet.scan.margins import Margins, first_margins, margins_of
from bayonet.scan.scatter import scatter
from bayonet.scan.surface import FLARE, FORM, POSE, Rates, Spots, faces, spots

Array = NDArray[np.float64]

_DAMPING = 1e-3
_BLOCK = 400_000
_MANY = 150_000  # points margins are told from
_GATES = 4.0  # standard deviations
_LEAST_MM = 1e-4
_COARSE = (0.7, 0.6, 0.5, 0.4, 0.3, 0.2)  # mm
_SURE = 5.0  # standard uncertainties
_LEAST_FORM_MM = 1e-4


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
    columns = [place[name] for name in (*POSE, *rates.by)]
    rows = np.empty((len(columns), len(c.r)))
    rows[0], rows[1], rows[2] = -gx, -gy, -gz
    rows[3] = c.z * gy - c.y * gz
    rows[4] = c.x * gz - c.z * gx
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
        if not len(one.which):
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


def solved(equations: Normal, free: Array) -> Array:
    """The step, through a matrix with one column a free parameter; unseen ones hardly move."""
    matrix = free.T @ equations.information @ free + _DAMPING * np.eye(free.shape[1])
    return np.asarray(-free @ np.linalg.solve(matrix, free.T @ equations.right))


def columns_of(names: Sequence[str], fixed: NDArray[np.bool_]) -> Array:
    """One column a free parameter; all lugs have one slope."""
    columns: dict[str, int] = {}
    places = []
    for name, still in zip(names, fixed, strict=True):
        key = "slope" if name.endswith(".slope") else name
        places.append(None if still else columns.setdefault(key, len(columns)))
    found = np.zeros((len(places), len(columns)))
    for row, place in enumerate(places):
        if place is not None:
            found[row, place] = 1.0
    return found


def noise_of(rows: Sequence[Labelled]) -> float:
    """Standard deviation of residuals from their median size, per face then pooled."""
    sizes = [(np.median(np.abs(one.off)), len(one.off)) for one in rows if len(one.off) > 30]
    if not sizes:
        return _LEAST_MM
    weights = np.array([count for _, count in sizes], dtype=float)
    median = np.array([size for size, _ in sizes])
    order = np.argsort(median)
    half = np.searchsorted(np.cumsum(weights[order]), weights.sum() / 2.0)
    return max(1.4826 * float(median[order][half]), _LEAST_MM)


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
        width = max(gate, _GATES * sigma) if sigma else gate
        c = spots(xyz, state.rotation, state.origin)
        rows = labelled(c, state, found, width, margins, floor)
        sigma = noise_of(rows)
        scale = max(5.0 * sigma, gate)
        state = state.moved(_bounded(solved(normal(rows, state, scale), free)))
    return state, sigma


def _bounded(step: Array) -> Array:
    largest = float(np.abs(step).max()) if len(step) else 0.0
    return step if largest <= 2.0 else step * (2.0 / largest)


def passed(
    xyz: Array, state: State, *, gate: float, margins: Margins, floor: float
) -> tuple[Normal, list[list[Labelled]]]:
    """Normal equations over all points, in blocks that fit memory."""
    found = faces(state.shape)
    size = len(state.names)
    information, right, squares, count = np.zeros((size, size)), np.zeros(size), 0.0, 0
    blocks = []
    for start in range(0, len(xyz), _BLOCK):
        c = spots(xyz[start : start + _BLOCK], state.rotation, state.origin)
        rows = labelled(c, state, found, gate, margins, floor)
        part = normal(rows, state, None)
        information += part.information
        right += part.right
        squares += part.squares
        count += part.count
        blocks.append(rows)
    return Normal(information=information, right=right, squares=squares, count=count), blocks


@dataclass(frozen=True, kw_only=True)
class Ended:
    """What the last pass over all points leaves."""

    information: Array
    right: Array
    blocks: list[list[Labelled]]
    noise: float
    free: NDArray[np.bool_]
    margins: Margins
    scatter: Array


def flare_of(state: State, end: Ended) -> float:
    """How the sides' half-angle grows with the radius, by parallel sides' own rate (0 to 1)."""
    fixed = ~end.free & (np.array(state.names) != FLARE)
    equations = Normal(information=end.information, right=end.right, squares=0.0, count=0)
    step = solved(equations, columns_of(state.names, fixed))
    v, shape = state.values, state.shape
    rates = [
        np.tan(v[f"lug.{i}.half"]) / (0.5 * (v[f"lug.{i}.r"] + v[f"body.{shape.root}.r"]))
        for i in range(shape.lugs)
    ]
    return float(-step[state.names.index(FLARE)] / max(float(np.mean(rates)), 1e-6))


def joint_fit(
    xyz: Array,
    few: Array,
    state: State,
    *,
    reseed: Callable[[Array, State], State],
    again: bool = False,
) -> tuple[State, Ended]:
    """Coarse to fine on a sample, margins from the residuals along edges, then on all points."""
    still, form = _kinds(state)
    stiff = columns_of(state.names, still | form)
    if not again:
        lugs = np.array([name.startswith("lug.") for name in state.names])
        turned = columns_of(state.names, still | form | lugs)
        state, _ = settled(few, state, free=turned, margins=first_margins(state), floor=0.5,
                           gates=(0.9, 0.7, 0.5, 0.3, 0.2))  # fmt: skip
        state = reseed(few, state)
    wide = first_margins(state)
    state, sigma = settled(few, state, free=stiff, margins=wide, floor=0.5,
                           gates=(0.3, 0.2) if again else _COARSE)  # fmt: skip
    loose = columns_of(state.names, still)
    wide = first_margins(state)
    state, sigma = settled(few, state, free=loose, margins=wide, floor=0.5,
                           gates=(0.1, 0.05, 0.02), noise=sigma)  # fmt: skip
    margins = margins_of(few, state, sigma, wide)
    state, sigma = settled(few, state, free=loose, margins=margins, floor=2.5 * sigma,
                           gates=(0.02, 0.02), noise=sigma)  # fmt: skip
    margins = margins_of(few, state, sigma, margins)
    return _finished(xyz, state, sigma, margins, still, form)


def _kinds(state: State) -> tuple[NDArray[np.bool_], NDArray[np.bool_]]:
    """Parameters that are never fitted but asked for, and form errors."""
    names = np.array(state.names)
    last = np.array([name.rsplit(".", 1)[-1] for name in state.names])
    return (names == FLARE) | (last == "twist"), np.isin(last, FORM)


def on_all(xyz: Array, few: Array, state: State, end: Ended) -> tuple[State, Ended]:
    """The end of a fit to a sample, on all points."""
    still, form = _kinds(state)
    loose = columns_of(state.names, still)
    many = xyz[:: max(-(-len(xyz) // _MANY), 1)]
    margins, sigma = end.margins, end.noise
    for _ in range(2):
        margins = margins_of(many, state, sigma, margins)
        state, sigma = settled(few, state, free=loose, margins=margins, floor=2.5 * sigma,
                               gates=(0.02,), noise=sigma)  # fmt: skip
    return _finished(xyz, state, sigma, margins, still, form)


def _finished(
    xyz: Array, state: State, sigma: float, margins: Margins, still: NDArray[np.bool_],
    form: NDArray[np.bool_],
) -> tuple[State, Ended]:  # fmt: skip
    """Steps over all points; form errors that are not sure are taken out first."""
    fixed = still | form
    for turn in range(3):
        equations, blocks = passed(xyz, state, gate=_GATES * sigma, margins=margins,
                                   floor=2.5 * sigma)  # fmt: skip
        sigma = max(float(np.sqrt(equations.squares / max(equations.count, 1))), _LEAST_MM)
        if turn == 0:
            fixed = still | (form & ~_sure_form(equations, state, form, still, sigma))
            p = np.where(fixed & form, 0.0, state.p)
            state = State(shape=state.shape, names=state.names, p=p, rotation=state.rotation,
                          origin=state.origin)  # fmt: skip
        elif turn == 1:
            state = state.moved(solved(equations, columns_of(state.names, fixed)))
    return state, Ended(information=equations.information, right=equations.right, blocks=blocks,
                        noise=sigma, free=~fixed, margins=margins,
                        scatter=scatter(blocks, state, rate_rows))  # fmt: skip


def _sure_form(
    equations: Normal, state: State, form: NDArray[np.bool_], still: NDArray[np.bool_],
    sigma: float,
) -> NDArray[np.bool_]:  # fmt: skip
    """Ovality and taper that are there beyond doubt, cylinder by cylinder."""
    free = columns_of(state.names, still)
    matrix = free.T @ equations.information @ free + _DAMPING * np.eye(free.shape[1])
    spread = np.diag(free @ np.linalg.inv(matrix) @ free.T) * sigma**2
    sure = np.abs(state.p) > np.maximum(_SURE * np.sqrt(spread), _LEAST_FORM_MM)
    for at in np.flatnonzero(form):
        if state.names[at].endswith("oval_c"):
            sure[at] = sure[at + 1] = sure[at] or sure[at + 1]
    return np.asarray(sure & form)
