"""Faces of lugs of a form the fit does not know, told by what their residuals have in common.

Noise differs from lug to lug, and so does a scanner's smooth error; a form is on all of them.
Residuals of a kind of face are laid over each other, in shares of the face, and a surface of second
order is put through them. What of it the fit has no parameter for, and what stays whichever lug is
left out, is misfit. How much a smooth error may feign is told from the turned faces alone: on the
lugs the misfit itself would pass for one.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Mapping

import numpy as np
from numpy.typing import NDArray

from bayonet.scan.fit import joint
from bayonet.scan.fit.all_points import Ended
from bayonet.scan.fit.correlation import smooth
from bayonet.scan.fit.frame_points import Spots
from bayonet.scan.fit.keys import body_key, lug_key
from bayonet.scan.fit.labels import State, zones_of
from bayonet.scan.fit.margins import first_margins
from bayonet.scan.fit.refined import Misfit
from bayonet.scan.fit.surface import Face, faces, flank_depth, half_at, lug_angle

Array = NDArray[np.float64]

_TERMS = ("along", "across", "along x across", "along^2", "across^2")
_TESTED = {
    "lug.bearing": (2, 3, 4), "lug.leading": (2, 3, 4),  # a slope along and across is fitted
    "lug.side": (0, 1, 2, 3, 4), "lug.outer": (0, 1, 2, 3, 4),
}  # fmt: skip
_WORDS = {"lug.bearing": "bearing flank", "lug.leading": "leading flank", "lug.side": "sides",
          "lug.outer": "outside"}  # fmt: skip
_REACH_MM, _PART = 0.8, 0.25  # off the face, or so much of a thickness
_LEAST = 30  # points of one face
_SURE = 5.0  # standard deviations by white noise
_SMOOTH = 3.0  # times the smooth part's deviation, over the root of the faces
_LEAST_MM = 0.012  # over half a face: what edges of a scan lie off by
_ROUNDS, _WIDE = 6, 5.0


def misfits(end: Ended) -> Mapping[str, Misfit]:
    """Misfit by group of faces (lug.bearing, lug.leading, lug.side, lug.outer).

    Parameters
    ----------
    end : Ended
        Of the joint fit.
    """
    state = end.state
    zones = zones_of(end.cloud, state.values, state.shape, _REACH_MM)
    kinds: dict[str, list[tuple[Array, Array]]] = {}
    margins = first_margins(state)
    for face in faces(state.shape):
        if face.lug is not None:
            one = _over(face, end.cloud[zones[face.lug]], state, end.noise, margins)
            if one is not None:
                kinds.setdefault(face.group, []).append(one)
    if all(_told(own, _TESTED[group], end.noise, 0.0) is None for group, own in kinds.items()):
        return {}
    feigned = _turned_smooth(end)
    found = {}
    for group, own in kinds.items():
        told = _told(own, _TESTED[group], end.noise, feigned)
        if told is not None:
            term, size = told
            words = f"{_WORDS[group]} of no form this fit knows ({_TERMS[term]}: {size:+.3f} mm)"
            found[group] = Misfit(mm=abs(size), what=words)
    return found


def _over(face: Face, c: Spots, state: State, noise: float,
          margins: Mapping[tuple[str, str], float]) -> tuple[Array, Array] | None:  # fmt: skip
    """Terms and distances of the points near a face, clear of its edges."""
    v, i = state.values, face.lug or 0
    off = face.off(c, v)
    reach = max(min(_REACH_MM, _PART * v[lug_key(i, "thickness")]), 5.0 * noise)
    near = np.abs(off) < reach
    for edge, inset in face.insets(c, v).items():
        near &= inset > max(margins.get((face.group, edge), 0.5), 2.5 * noise)
    if near.sum() < _LEAST:
        return None
    c, off = c[np.flatnonzero(near)], off[near]
    a, b = _shares(face, c, state)
    return np.column_stack([np.ones(len(off)), a, b, a * b, a**2, b**2]), off


def _shares(face: Face, c: Spots, state: State) -> tuple[Array, Array]:
    """Where on a face points lie, from -1 to 1 along it and across it."""
    v, shape, i = state.values, state.shape, face.lug or 0
    root, outer = v[body_key(shape.root, "r")], v[lug_key(i, "r")]
    top, low = (flank_depth(shape, c, v, i, leading=one) for one in (False, True))
    along = lug_angle(c, v, i) / half_at(shape, v, i, c.r)
    up = (2.0 * c.r - root - outer) / (outer - root)
    down = (2.0 * c.depth - top - low) / np.maximum(low - top, 0.1)
    if face.group == "lug.side":
        return np.asarray(down), np.asarray(up)
    return np.asarray(along), np.asarray(down if face.group == "lug.outer" else up)


def _told(own: list[tuple[Array, Array]], tested: tuple[int, ...], noise: float, feigned: float
          ) -> tuple[int, float] | None:  # fmt: skip
    """The largest term that is surely there, and its size; None where there is none."""
    size, u = _surface(own, noise)
    lots = [own[:i] + own[i + 1 :] for i in range(len(own))] if len(own) > 1 else []
    rest = [_surface(lot, noise)[0] for lot in lots]
    limit = np.maximum(_SURE * u, max(_LEAST_MM, _SMOOTH * feigned / np.sqrt(len(own))))
    best: tuple[int, float] | None = None
    for term in tested:
        value = float(size[term + 1])
        stays = all(one[term + 1] * np.sign(value) > 0.5 * abs(value) for one in rest)
        if abs(value) > limit[term + 1] and stays and (best is None or abs(value) > abs(best[1])):
            best = term, value
    return best


def _surface(own: list[tuple[Array, Array]], noise: float) -> tuple[Array, Array]:
    """A surface of second order through the distances, robustly; and its terms' uncertainties."""
    rows = np.concatenate([one for one, _ in own])
    off = np.concatenate([one for _, one in own])
    step = np.zeros(rows.shape[1])
    square = np.eye(rows.shape[1])
    for turn in range(_ROUNDS):
        away = off - rows @ step
        scale = max(_WIDE * noise, 4.0 * float(np.median(np.abs(away))) * 0.6**turn)
        weight = np.maximum(1.0 - (away / scale) ** 2, 0.0) ** 2
        square = (rows * weight[:, None]).T @ rows + 1e-9 * np.eye(rows.shape[1])
        step = np.linalg.solve(square, (rows * weight[:, None]).T @ off)
    return step, noise * np.sqrt(np.diag(np.linalg.inv(square)))


def _turned_smooth(end: Ended) -> float:
    """Standard deviation of what neighbours err by together, on the turned faces [mm]."""
    seen = [one.face for one in end.rows if len(one.off)]
    turned = np.array([face.lug is None for face in seen])[end.cells.place[:, 0]]
    if not turned.any():
        return 0.0
    cells = dataclasses.replace(
        end.cells, rates=end.cells.rates[:, turned], off=end.cells.off[turned],
        count=end.cells.count[turned], middle=end.cells.middle[turned],
        place=end.cells.place[turned],
    )  # fmt: skip
    solve = joint.covariance(end.information, joint.columns_of(end.state.names, ~end.free))
    noise = float(np.sqrt(np.mean(np.concatenate(
        [one.off for one in end.rows if len(one.off) and one.face.lug is None]) ** 2)))  # fmt: skip
    return smooth(cells, solve, noise).sd_mm
