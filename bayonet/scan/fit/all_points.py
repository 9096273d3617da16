"""The end of the joint fit: steps over all points of the scan, on every core."""

from __future__ import annotations

import dataclasses
import os
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bayonet.scan.fit.frame_points import Spots, joined, spots
from bayonet.scan.fit.joint import (
    GATES,
    LEAST_MM,
    Fitted,
    Normal,
    columns_of,
    covariance,
    kinds,
    rate_rows,
    settled,
    solved,
)
from bayonet.scan.fit.keys import Key
from bayonet.scan.fit.labels import Labelled, State, labelled
from bayonet.scan.fit.margins import Margins, margins_of
from bayonet.scan.fit.residual_cells import Cells, cells_of, together
from bayonet.scan.fit.surface import faces
from bayonet.scan.read import thinned

Array = NDArray[np.float64]

_BLOCK = 65_536  # points: its arrays stay in the processor's cache; the same on every machine
_MANY = 150_000  # points margins are told from
_SURE = 5.0  # standard uncertainties
_LEAST_FORM_MM = 1e-4  # 0.1 um: below any scanner
_BARE = 0.15  # of the points of the fullest face of a kind; both flanks are one


@dataclass(frozen=True, kw_only=True)
class Ended:
    """What the last pass over all points leaves; ``cloud`` is all points in the fitted frame.

    ``dropped`` holds the form errors that were found, but not sure enough to be kept.
    """

    state: State
    information: Array
    rows: list[Labelled]
    cloud: Spots
    noise: float
    free: NDArray[np.bool_]
    cells: Cells
    dropped: Array


def on_all(xyz: Array, few: Array, fitted: Fitted) -> Ended:
    """The end of a fit to a sample, on all points.

    One step from where the sample left the parameters; form errors that are not sure are taken
    out of it first.
    """
    state, sigma, margins = fitted.state, fitted.noise, fitted.margins
    still, form = kinds(state)
    many = xyz[thinned(len(xyz), _MANY, np.random.default_rng(5))]
    margins = margins_of(many, state, sigma, margins)
    state, sigma = settled(few, state, free=columns_of(state.names, still), margins=margins,
                           floor=2.5 * sigma, gates=(0.02,), noise=sigma)  # fmt: skip
    rows, _ = passed(xyz, state, sigma, margins)
    equations, _ = _equations(rows, state)
    sigma = _noise(equations)
    fixed = still | (form & ~_sure_form(equations, state, form, still, sigma))
    change = np.where(fixed & form, -state.p, 0.0)
    moved = dataclasses.replace(equations, right=equations.right + equations.information @ change)
    state = dataclasses.replace(state, p=state.p + change)
    state = state.moved(solved(moved, columns_of(state.names, fixed)))
    rows, cloud = passed(xyz, state, sigma, margins)
    equations, cells = _equations(rows, state)
    return Ended(state=state, information=equations.information, rows=rows, cloud=cloud,
                 noise=_noise(equations), free=~fixed, cells=cells,
                 dropped=-change)  # fmt: skip


def passed(
    xyz: Array, state: State, noise: float, margins: Margins
) -> tuple[list[Labelled], Spots]:
    """Points on each face, and all points in a state's frame, block by block on every core.

    Blocks are of one size however many cores there are, so that results are the same.
    """
    found = faces(state.shape)

    def part(start: int) -> tuple[Spots, list[Labelled]]:
        c = spots(xyz[start : start + _BLOCK], state.rotation, state.origin)
        return c, labelled(c, state, found, GATES * noise, margins, 2.5 * noise)

    with ThreadPoolExecutor(max_workers=os.cpu_count()) as pool:
        parts = list(pool.map(part, range(0, len(xyz), _BLOCK)))
    rows = [
        Labelled(face=face, off=np.concatenate([own[number].off for _, own in parts]),
                 spots=joined([own[number].spots for _, own in parts]))
        for number, face in enumerate(found)
    ]  # fmt: skip
    return _without_outliers(rows), joined([c for c, _ in parts])


def _without_outliers(rows: list[Labelled]) -> list[Labelled]:
    """Lugs' faces with next to nothing on them, by what others of their kind hold, left empty.

    A hidden side's few outliers would place it, and through it all lugs of an even set.
    """
    most: dict[str, int] = {}
    for one in rows:
        most[_kind(one)] = max(most.get(_kind(one), 0), len(one.off))
    none = np.zeros(0, dtype=np.int64)
    return [
        dataclasses.replace(one, off=one.off[none], spots=one.spots[none])
        if one.face.lug is not None
        and len(one.off) < _BARE * most[_kind(one)]
        else one
        for one in rows
    ]  # fmt: skip


def _kind(one: Labelled) -> str:
    return "lug.flank" if one.face.group in ("lug.bearing", "lug.leading") else one.face.group


def _equations(rows: list[Labelled], state: State) -> tuple[Normal, Cells]:
    """Normal equations, and rates and residuals by cells of the surface."""
    size, v = len(state.names), state.values
    place = {name: i for i, name in enumerate(state.names)}

    def part(numbered: tuple[int, Labelled]) -> tuple[list[int], Array, Array, Cells]:
        number, one = numbered
        columns, jac = rate_rows(one.face.rates(one.spots, v), one.spots, place)
        own = cells_of(columns, jac, one.off, one.spots, face=number, size=size)
        return columns, jac @ jac.T, jac @ one.off, own

    seen = [one for one in rows if len(one.off)]
    information, right, cells = np.zeros((size, size)), np.zeros(size), []
    with ThreadPoolExecutor(max_workers=os.cpu_count()) as pool:
        for columns, own, side, some in pool.map(part, enumerate(seen)):
            information[np.ix_(columns, columns)] += own
            right[columns] += side
            cells.append(some)
    total = sum(float(one.off @ one.off) for one in seen)
    count = sum(len(one.off) for one in seen)
    return Normal(information=information, right=right, squares=total, count=count), together(cells)


def _noise(equations: Normal) -> float:
    return max(float(np.sqrt(equations.squares / max(equations.count, 1))), LEAST_MM)


def _sure_form(
    equations: Normal, state: State, form: NDArray[np.bool_], still: NDArray[np.bool_],
    sigma: float,
) -> NDArray[np.bool_]:  # fmt: skip
    """Ovality and taper that are surely there, cylinder by cylinder."""
    spread = np.diag(covariance(equations.information, columns_of(state.names, still))) * sigma**2
    sure = np.abs(state.p) > np.maximum(_SURE * np.sqrt(spread), _LEAST_FORM_MM)
    for at in np.flatnonzero(form):
        if Key(state.names[at]).name == "oval_c":
            sure[at] = sure[at + 1] = sure[at] or sure[at + 1]
    return np.asarray(sure & form)
