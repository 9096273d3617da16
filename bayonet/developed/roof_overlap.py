"""How much of a lug is under the roof at lock, and where it bears."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bayonet.developed import cutting
from bayonet.developed.contour import depth_along
from bayonet.parts import Lug, Track, facing_angles_deg

Array = NDArray[np.float64]

_TOUCHING_MM = 1e-3
_RADII = 9


@dataclass(frozen=True, kw_only=True)
class Engagement:
    """Overlap of one lug with its roof at one turn.

    Parameters
    ----------
    overlap_deg : float
        Angle of the lug under the roof, at the outer radius [deg].
    share : float
        The same as a share of the lug's width [-].
    radial_mm : float
        Lug outside the bore [mm].
    overlap_mm2 : float
        Area of bearing flank under the roof, seen along the axis [mm2].
    bearing_mm2 : float
        The part of it that touches when the plug is pulled out, to 1 um [mm2]; 0 where a flat
        lug meets a ramp along an edge.
    """

    overlap_deg: float
    share: float
    radial_mm: float
    overlap_mm2: float
    bearing_mm2: float


def engagement(lug: Lug, track: Track, *, turn_deg: float) -> Engagement:
    r"""Overlap of a lug with its roof.

    Parameters
    ----------
    lug : Lug
    track : Track
    turn_deg : float
        Turn of the plug from its inserted orientation [deg].

    Returns
    -------
    Engagement
        Areas are :math:`\int \Delta\theta(r)\, r\, dr` over the lug outside the bore.

    Examples
    --------
    A 90 deg lug from radius 10 to 12, wholly under a level roof: pi / 4 * (144 - 100) mm2, see
    `tests/developed/test_engagement.py`.
    """
    inner, outer = track.inner_radius_mm, lug.outer_radius_mm
    radii = np.linspace(inner, outer, _RADII) if outer > inner else np.array([outer, outer])
    spans = [_spans(lug, track, turn_deg, float(radius)) for radius in radii]
    overlap = np.array([span[0] for span in spans])
    touching = np.array([span[1] for span in spans])
    width = 2.0 * float(lug.half.at(outer))
    return Engagement(
        overlap_deg=float(overlap[-1]),
        share=float(overlap[-1]) / width,
        radial_mm=outer - inner,
        overlap_mm2=_area(overlap, radii),
        bearing_mm2=(
            _area(touching, radii)
            if track.cut is None
            else cutting.bearing_mm2(lug, track, turn_deg=turn_deg, within_mm=_TOUCHING_MM)
        ),
    )


def least_engaged_turn(lug: Lug, track: Track, *, share: float) -> float:
    """Turn at which a share of the lug's width is under the roof [deg]."""
    half = float(lug.half.at(lug.outer_radius_mm))
    return float(track.slot.at(lug.outer_radius_mm)) - half + 2.0 * half * share


def _area(angles_deg: Array, radii: Array) -> float:
    return float(np.trapezoid(np.radians(angles_deg) * radii, radii))


def _spans(lug: Lug, track: Track, turn: float, radius: float) -> tuple[float, float]:
    """Angle under the roof, and the part of it that touches [deg], at one radius."""
    angles = _under_roof(lug, track, turn, radius)
    if not len(angles):
        return 0.0, 0.0
    gap = _gap(lug, track, turn, angles, radius)
    touches = gap - gap.min() <= _TOUCHING_MM
    both = touches[:-1] & touches[1:]
    return float(angles[-1] - angles[0]), float(np.sum(np.diff(angles)[both]))


def _under_roof(lug: Lug, track: Track, turn: float, radius: float) -> Array:
    """Ends of the lug's part under the roof, and what may touch between them [deg]."""
    half = float(lug.half.at(radius))
    low = max(turn - half, float(track.slot.at(radius)))
    high = min(turn + half, float(track.end.at(radius)))
    if not high > low:
        return np.empty(0)
    angles = facing_angles_deg(
        lug.shape, "bearing", track.roof, turn_deg=turn, low_deg=low, high_deg=high,
        radius_mm=radius,
    )  # fmt: skip
    return np.unique(np.array(angles))


def _gap(lug: Lug, track: Track, turn: float, angles: Array, radius: float) -> Array:
    flank = lug.bearing_at(angles - turn, radius_mm=radius)
    return np.asarray(flank - depth_along(track.roof, angles))


def gap_to_roof_mm(lug: Lug, track: Track, *, turn_deg: float) -> float:
    """Least gap between bearing flank and roof with the shoulder seated, at one turn [mm].

    Negative where they would overlap; NaN where no part of the lug is under the roof.
    """
    gaps = []
    for radius in (track.inner_radius_mm, max(lug.outer_radius_mm, track.inner_radius_mm)):
        angles = _under_roof(lug, track, turn_deg, radius)
        if len(angles):
            gaps.append(float(_gap(lug, track, turn_deg, angles, radius).min()))
    return min(gaps, default=math.nan)


def side_clearance_mm(lug: Lug, track: Track) -> float:
    """Least gap between a lug and one side of its slot, centred [mm of arc]."""
    radii = np.linspace(track.inner_radius_mm, max(lug.outer_radius_mm, track.inner_radius_mm), 5)
    gaps = np.asarray(track.slot.at(radii)) - np.asarray(lug.half.at(radii))
    least = float(np.min(np.radians(gaps) * radii))
    return least if math.isfinite(least) else math.nan
