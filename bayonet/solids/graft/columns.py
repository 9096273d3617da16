"""The wall under a boss, as columns along the fitting's axis: an account apart from booleans."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from cadquery import Face, Shape
from numpy.typing import NDArray

from bayonet.solids.kernel import through

Array = NDArray[np.float64]

_RADII, _ANGLES = 12, 40


@dataclass(frozen=True, kw_only=True)
class Disc:
    """Points over a disc round the axis, with the share of its area each stands for.

    Gauss-Legendre in the radius, equal steps in the angle: for smooth columns the sum converges
    faster than any power of the number of points.
    """

    xy: Array
    area: Array

    def integral(self, heights: Array) -> float:
        """Volume of columns of these heights [mm3]."""
        return float(self.area @ heights)


def disc(
    outer_mm: float, *, inner_mm: float = 0.0, radii: int = _RADII, angles: int = _ANGLES
) -> Disc:
    """A disc, or a ring.

    Examples
    --------
    A paraboloid of height 1 on a disc of radius 2, pi r^2 h / 2 by Archimedes.

    >>> d = disc(2.0)
    >>> bool(abs(d.integral(1 - (d.xy**2).sum(axis=1) / 4) - 2 * np.pi) < 1e-12)
    True
    """
    nodes, weights = np.polynomial.legendre.leggauss(radii)
    radius = inner_mm + (outer_mm - inner_mm) * (nodes + 1.0) / 2.0
    ring = weights * (outer_mm - inner_mm) / 2.0 * radius * 2.0 * math.pi / angles
    angle = 2.0 * math.pi * (np.arange(angles) + 0.37) / angles
    xy = np.stack(
        [np.outer(radius, np.cos(angle)).ravel(), np.outer(radius, np.sin(angle)).ravel()], axis=1
    )
    return Disc(xy=xy, area=np.repeat(ring, angles))


def circle(radius_mm: float, *, points: int) -> Disc:
    """Points round a circle; they stand for no area."""
    angle = 2.0 * math.pi * (np.arange(points) + 0.37) / points
    xy = radius_mm * np.stack([np.cos(angle), np.sin(angle)], axis=1)
    return Disc(xy=xy, area=np.zeros(points))


AXIS = Disc(xy=np.zeros((1, 2)), area=np.zeros(1))
"""The axis alone."""


@dataclass(frozen=True, kw_only=True)
class Wall:
    """The wall at points of a disc; heights along the fitting's axis, + out of the tank [mm].

    ``outside`` and ``inside`` are NaN where the line meets no wall; the faces are those met.
    """

    disc: Disc
    outside: Array
    inside: Array
    outer_faces: tuple[Face, ...]
    inner_faces: tuple[Face, ...]

    @property
    def is_whole(self) -> bool:
        """Whether every line meets the wall."""
        return not bool(np.isnan(self.outside).any())


def look_down(
    host: Shape, *, near_mm: float, from_mm: float, reach_mm: float
) -> Callable[[Disc], Wall]:
    """A look along the axis on the wall nearest to a height.

    Parameters
    ----------
    host : cadquery.Shape
        In the fitting's frame.
    near_mm : float
        Height of the wall's outside on the axis [mm].
    from_mm : float
        Height the look starts at [mm].
    reach_mm : float
        How far down it goes [mm].
    """
    rays = through(host)

    def look(where: Disc) -> Wall:
        found = np.full((len(where.xy), 2), np.nan)
        outer: dict[Face, None] = {}
        inner: dict[Face, None] = {}
        for row, (x, y) in enumerate(where.xy.tolist()):
            stretches = rays.inside((x, y, from_mm), (0.0, 0.0, -1.0), reach_mm=reach_mm)
            if stretches:
                top, low = min(
                    stretches, key=lambda pair: abs(from_mm - pair[0].distance_mm - near_mm)
                )
                found[row] = from_mm - top.distance_mm, from_mm - low.distance_mm
                outer.setdefault(top.face)
                inner.setdefault(low.face)
        return Wall(
            disc=where,
            outside=found[:, 0],
            inside=found[:, 1],
            outer_faces=tuple(outer),
            inner_faces=tuple(inner),
        )

    return look
