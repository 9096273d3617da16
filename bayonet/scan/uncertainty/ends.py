"""The plug's two ends, measured when all else is fitted: shoulder thickness and nose chamfer."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bayonet.scan.fit import Refined, Shape, Spots, body_key

Array = NDArray[np.float64]

_LEAST = 40  # points
_BIN_MM = 0.1  # about the noise
_THINNEST_MM, _THICKEST_MM = 0.8, 40.0  # of a shoulder
_BESIDE = 0.15  # of the top's density, beyond the rim: then it is a table
_LARGEST_MM = 4.0  # leg of a nose chamfer
_ROUNDS = 6  # of a robust line; it settles in three
_SLOPE = math.radians(8.0)  # off 45 deg, in which a chamfer's face counts as one


@dataclass(frozen=True, kw_only=True)
class EndValue:
    """A length, its uncertainty by white noise, the share of its circle seen; or why there is none.

    ``value_mm`` is NaN where nothing tells it.
    """

    value_mm: float
    u_mm: float
    share: float
    note: str = ""


def _none(note: str) -> EndValue:
    return EndValue(value_mm=math.nan, u_mm=math.nan, share=0.0, note=note)


def shoulder_thickness(c: Spots, end: Refined) -> EndValue:
    """Distance from the shoulder to the plane that ends the rim on the mouth's side.

    A plane that goes on beyond the rim is a table the part stands on, or cannot be told from one.
    """
    rim = end.values.get("shoulder_diameter", math.nan) / 2.0
    if not math.isfinite(rim):
        return _none("the rim was not seen")
    r, height = c.r, -c.depth
    high = (height > _THINNEST_MM) & (height < _THICKEST_MM)
    inner = high & (r > 0.3 * rim) & (r < rim - 0.8)
    if inner.sum() < _LEAST:
        return _none("too few points show the shoulder's other face")
    count = np.bincount((height[inner] / _BIN_MM).astype(int))
    both = np.convolve(count, np.ones(3), "same")
    middle = (int(np.argmax(both)) + 0.5) * _BIN_MM
    sigma = max(end.noise, 1e-4)
    for reach in (0.3, 0.15, *[max(4.0 * sigma, 0.02)] * 3):
        own = inner & (np.abs(height - middle) < reach)
        if own.sum() < _LEAST:
            return _none("too few points show the shoulder's other face")
        middle = float(height[own].mean())
    if own.sum() < 0.3 * inner.sum():
        return _none("no flat face ends the rim")
    outside = high & (r > rim + 0.5) & (r < rim + 4.0) & (np.abs(height - middle) < 0.3)
    rings = ((rim + 4.0) ** 2 - (rim + 0.5) ** 2) / ((rim - 0.8) ** 2 - (0.3 * rim) ** 2)
    if outside.sum() > _BESIDE * rings * own.sum():
        return _none("what lies there goes on beyond the rim: a table")
    if not _reaches(height[high & (np.abs(r - rim) < 0.1)], middle):
        return _none("the rim was not seen up to the flat face above it")
    return _told(middle, sigma, c.theta[own])


def _reaches(rim_heights: Array, top: float) -> bool:
    """Whether the rim shows points up to the face, so that both belong together."""
    within = rim_heights[(rim_heights > 0.0) & (rim_heights < top)]
    return bool((within > 0.7 * top).sum() >= _LEAST / 4)


def _told(value: float, sigma: float, theta: Array) -> EndValue:
    share = len(np.unique(np.degrees(theta) % 360.0 // 3.0)) / 120.0
    return EndValue(value_mm=value, u_mm=sigma / math.sqrt(len(theta)), share=share)


def nose_chamfer(c: Spots, end: Refined, shape: Shape) -> EndValue:
    """Leg of a 45 degree chamfer between the last body and the nose.

    On it, the distances a from the body and b from the nose add up to the leg; the sum's scatter
    is sqrt(2) times the noise. An edge that is rounded, or of another angle, is none.
    """
    last = body_key(shape.bodies - 1)
    radius, nose = end.values[last.of("diameter")] / 2.0, end.values[last.of("to_depth")]
    sigma = max(end.noise, 1e-4)
    edge = max(3.5 * sigma, 0.03)
    beside = (c.r > radius - _LARGEST_MM) & (c.depth > nose - _LARGEST_MM)
    edges = c[np.flatnonzero(beside)]
    a, b, theta = radius - edges.r, nose - edges.depth, edges.theta
    near = (a > edge) & (b > edge) & (a < _LARGEST_MM) & (b < _LARGEST_MM)
    if near.sum() < _LEAST:
        return _none("no broken edge seen at the nose, or too few points on it")
    total = a + b
    count = np.bincount((total[near] / _BIN_MM).astype(int))
    leg = (int(np.argmax(np.convolve(count, np.ones(3), "same"))) + 0.5) * _BIN_MM
    reach = 0.3
    for _ in range(_ROUNDS):
        # as wide in a as in b, and so far from both ends that noise does not choose
        middle = leg - 2.0 * edge - min(6.0 * sigma, 0.3 * leg)
        own = near & (np.abs(total - leg) < reach) & (np.abs(a - b) < middle)
        if own.sum() < _LEAST:
            return _none("too few points show the nose's edge")
        leg = float(total[own].mean())
        reach = max(4.0 * math.sqrt(2.0) * sigma, 0.02)
    if not _is_chamfer((total[own] - leg) / math.sqrt(2.0), a[own] - b[own], sigma):
        return _none("the nose's edge is no chamfer of 45 deg")
    return _told(leg, math.sqrt(2.0) * sigma, theta[own])


def _is_chamfer(off: Array, along: Array, sigma: float) -> bool:
    """Whether points lie on one straight line at 45 degrees, as flat as the noise leaves it."""
    along = (along - along.mean()) / math.sqrt(2.0)
    spread = float(along @ along)
    if not spread > 0.0:
        return False
    slope = float(along @ off) / spread
    bow = np.polyfit(along, off, 2)[0] * float(np.abs(along).max()) ** 2
    uncertainty = sigma / math.sqrt(len(off))
    straight = abs(bow) < max(6.0 * uncertainty, 0.1 * float(np.abs(along).max()))
    return abs(slope) < max(_SLOPE, 4.0 * sigma / math.sqrt(spread)) and bool(
        off.std() < 1.5 * sigma + 0.005 and straight
    )
