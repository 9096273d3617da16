"""What a picture of the nearest places shows: points of the surroundings and outlines of ours."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bayonet.surroundings.boxes import BoxTree
from bayonet.surroundings.convex import Body, Swing, Turned
from bayonet.surroundings.measure import Thing
from bayonet.tank import Frame

Array = NDArray[np.float64]

_FINE_MM = 3.0
_MOST_POINTS = 400_000
_GRID_MM = 0.6


@dataclass(frozen=True, kw_only=True)
class Outline:
    """One body in the two views.

    Parameters
    ----------
    body : str
        ``insertion``, ``turn``, ``seated`` or ``hand``.
    section : array, shape (n, 2)
        Half its section, radius and height [mm]; points only where ``filled`` is false.
    plan : array, shape (n, 2)
        Seen from outside, fitting's x and y [mm].
    filled : bool
    """

    body: str
    section: Array
    plan: Array
    filled: bool = True


@dataclass(frozen=True, kw_only=True)
class Scene:
    """All that is shown, in the fitting's coordinates [mm].

    Parameters
    ----------
    points : array, shape (n, 3)
        Of what stands round, the tank itself included.
    outlines : tuple of Outline
    clock_deg : float
    boss_mm, reach_mm : float
        Radius of the boss; how far out the views go.
    """

    points: Array
    outlines: tuple[Outline, ...]
    clock_deg: float
    boss_mm: float
    reach_mm: float


def scene(
    near: BoxTree | None, things: tuple[Thing, ...], frame: Frame, *, clock_deg: float,
    boss_mm: float, reach_mm: float,
) -> Scene:  # fmt: skip
    """Gather what a picture shows."""
    points = np.zeros((0, 3))
    if near is not None:
        points = _thinned(frame.to_fitting(sampled(near.corners)), reach_mm)
    outlines = []
    for thing in things:
        outlines += [_outline(thing.body, body) for body in thing.bodies]
        if thing.mesh is not None:
            outlines.append(_of_mesh(thing, frame))
    return Scene(points=points, outlines=tuple(outlines), clock_deg=clock_deg, boss_mm=boss_mm,
                 reach_mm=reach_mm)  # fmt: skip


def sampled(corners: Array) -> Array:
    """Points over triangles, close enough to look whole."""
    sides = np.linalg.norm(corners - np.roll(corners, 1, axis=1), axis=2).max(axis=1)
    parts = np.minimum(np.ceil(sides / _FINE_MM), 60).astype(int)
    found = [corners.reshape(-1, 3)]
    for count in np.unique(parts[parts > 1]).tolist():
        some = corners[parts == count]
        i, j = (part.ravel() for part in np.meshgrid(np.arange(count + 1), np.arange(count + 1)))
        inside = i + j <= count
        i, j = i[inside] / count, j[inside] / count
        weights = np.stack([1.0 - i - j, i, j], axis=1)
        some = some[: max(1, _MOST_POINTS // len(weights))]
        found.append(np.einsum("kw,nwd->nkd", weights, some).reshape(-1, 3))
    return np.concatenate(found)


def _thinned(points: Array, reach: float) -> Array:
    points = points[np.linalg.norm(points, axis=1) < 1.6 * reach]
    if not len(points):
        return points
    cells = np.round(points / _GRID_MM).astype(np.int64)
    _, first = np.unique(cells, axis=0, return_index=True)
    return np.asarray(points[np.sort(first)])


def _outline(name: str, body: Body) -> Outline:
    if isinstance(body, Turned):
        section = np.array(body.outline)
        angle = np.linspace(0.0, 2.0 * np.pi, 121)
        radius = section[:, 0].max()
        plan = radius * np.column_stack([np.cos(angle), np.sin(angle)])
        return Outline(body=name, section=section, plan=plan)
    assert isinstance(body, Swing)
    far = body.reach_mm + body.round_mm
    low, high = body.from_mm, body.to_mm
    section = np.array([(0.0, low), (far, low), (far, high), (0.0, high)])
    return Outline(body=name, section=section, plan=_plan_of(body))


def _plan_of(body: Swing) -> Array:
    """Rim of a swept bar, half a circle at each of its three corners."""
    first, last = np.radians([body.from_deg, body.from_deg + body.span_deg])
    turn = np.pi / 2.0
    arcs = []
    for start, end, angle in (
        (first - turn, first, first),
        (last, last + turn, last),
    ):
        way = np.linspace(start, end, 13)
        corner = body.reach_mm * np.array([np.cos(angle), np.sin(angle)])
        arcs.append(corner + body.round_mm * np.column_stack([np.cos(way), np.sin(way)]))
    outer = np.linspace(first, last, 41)
    far = body.reach_mm + body.round_mm
    rim = far * np.column_stack([np.cos(outer), np.sin(outer)])
    back = np.linspace(last + turn, first + 2.0 * np.pi - turn, 25)
    root = body.round_mm * np.column_stack([np.cos(back), np.sin(back)])
    return np.concatenate([arcs[0], rim, arcs[1], root])


def _of_mesh(thing: Thing, frame: Frame) -> Outline:
    assert thing.mesh is not None
    points = _thinned(frame.to_fitting(sampled(thing.mesh.corners)), 1e6)
    section = np.column_stack([np.hypot(points[:, 0], points[:, 1]), points[:, 2]])
    return Outline(body=thing.body, section=section, plan=points[:, :2], filled=False)
