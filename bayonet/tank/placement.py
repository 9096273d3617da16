"""Where a socket stands on a tank: the fitting's frame as seen from the tank's. No kernel."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

Array = NDArray[np.float64]
Triple = tuple[float, float, float]

NEARLY_UPRIGHT = float(np.cos(np.radians(5.0)))
"""Of a direction's share along Z, from which on X takes Z's place as reference."""

SHORTEST_DIRECTION, LONGEST_DIRECTION = 1e-6, 1e12
"""Lengths between which three numbers give a direction: their squares stay far from the ends of
double precision, and no one means a direction by less."""


def is_direction(vector: Triple) -> bool:
    """Whether three numbers give a direction.

    Examples
    --------
    >>> is_direction((0.0, 0.0, -1.0)), is_direction((1e-200, 0.0, 0.0))
    (True, False)
    """
    return SHORTEST_DIRECTION <= math.hypot(*vector) <= LONGEST_DIRECTION


@dataclass(frozen=True, kw_only=True)
class Frame:
    """The fitting's frame in the tank's coordinates.

    Parameters
    ----------
    origin : (float, float, float)
        Middle of the mouth face [mm].
    x, y, z : (float, float, float)
        Unit vectors; z points out of the tank, theta counts from x towards y.
    """

    origin: Triple
    x: Triple
    y: Triple
    z: Triple

    def matrix(self) -> Array:
        """The 4 x 4 matrix that takes homogeneous fitting coordinates to the tank's [mm]."""
        matrix = np.eye(4)
        matrix[:3, 0], matrix[:3, 1], matrix[:3, 2] = self.x, self.y, self.z
        matrix[:3, 3] = self.origin
        return matrix

    def to_tank(self, points_mm: ArrayLike) -> Array:
        """Points of the fitting, shape (..., 3), in the tank's coordinates [mm].

        Examples
        --------
        >>> frame = frame_at((10, 0, 5), (1, 0, 0))
        >>> frame.to_tank([0.0, 0.0, 2.0]).tolist()
        [12.0, 0.0, 5.0]
        """
        turn = self.matrix()[:3, :3]
        return np.asarray(np.asarray(points_mm, dtype=float) @ turn.T + np.array(self.origin))

    def to_fitting(self, points_mm: ArrayLike) -> Array:
        """Points of the tank, shape (..., 3), in the fitting's coordinates [mm]."""
        turn = self.matrix()[:3, :3]
        return np.asarray((np.asarray(points_mm, dtype=float) - np.array(self.origin)) @ turn)


def frame_at(origin_mm: ArrayLike, outward: ArrayLike, *, clock_deg: float = 0.0) -> Frame:
    """The frame of a fitting whose mouth is at a point and looks along a direction.

    Theta = 0 is the tank's +Z as seen on the mouth face, turned by ``clock_deg``
    counter-clockwise seen from outside. Where the fitting looks within 5 deg of the tank's +Z or
    -Z there is no such direction, and the tank's +X takes its place.

    Parameters
    ----------
    origin_mm : array, shape (3,)
        Middle of the mouth face, tank coordinates [mm].
    outward : array, shape (3,)
        Out of the tank; any length but zero.
    clock_deg : float
        Turn of theta = 0 about the axis [deg].

    Returns
    -------
    Frame

    Raises
    ------
    ValueError
        If ``outward`` has no direction.

    Examples
    --------
    On a side wall that looks along +X, a quarter turn counter-clockwise from up is -Y.

    >>> frame = frame_at((0, 0, 0), (2, 0, 0), clock_deg=90)
    >>> [round(v, 9) + 0.0 for v in frame.x]
    [0.0, -1.0, 0.0]
    """
    z = np.asarray(outward, dtype=float)
    length = float(np.linalg.norm(z))
    if not (np.isfinite(length) and length > 1e-12):
        raise ValueError("a direction must have a length")
    z = z / length
    up = np.array([0.0, 0.0, 1.0])
    reference = np.array([1.0, 0.0, 0.0]) if abs(z @ up) > NEARLY_UPRIGHT else up
    start = reference - (reference @ z) * z
    start /= np.linalg.norm(start)
    angle = np.radians(clock_deg)
    x = np.cos(angle) * start + np.sin(angle) * np.cross(z, start)
    x /= np.linalg.norm(x)
    return Frame(
        origin=_triple(np.asarray(origin_mm, dtype=float)),
        x=_triple(x),
        y=_triple(np.cross(z, x)),
        z=_triple(z),
    )


def _triple(vector: Array) -> Triple:
    return (float(vector[0]), float(vector[1]), float(vector[2]))
