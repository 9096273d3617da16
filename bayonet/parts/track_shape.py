"""Roof and floor of a track as polylines over the angle: ramp, dwell, detent, stop.

Lock coordinates: angle [deg] from the slot's middle towards lock, depth [mm] from the mouth.
"""

from __future__ import annotations

import itertools
import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bayonet import rounding
from bayonet.mechanics import advance_mm
from bayonet.parts.lugs import FlankName, Lug, depth_span_mm, facing_angles_deg
from bayonet.parts.socket import Polyline

Array = NDArray[np.float64]

_END_STEP_MM = 0.05
_END_ROOM_MM = 0.02


@dataclass(frozen=True, kw_only=True)
class DetentShape:
    """A bump on the roof: height [mm], flank angle against the roof, top and pocket [deg]."""

    height_mm: float
    flank_angle_deg: float
    crest_deg: float
    pocket_deg: float


@dataclass(frozen=True, kw_only=True)
class TrackPlan:
    """What decides a track's roof and floor.

    Parameters
    ----------
    lug : Lug
        The lug that runs in it.
    lug_half_deg, slot_half_deg : float
        Half-widths at the bore, where both are widest in angle [deg].
    lock_deg : float
        Turn at which the lug is locked: against the stop, or tight [deg].
    end_deg : float
        Turn at which it meets the stop [deg].
    lead_mm_per_rev, dwell_deg : float
        Ramp, and the last part of the turn without lead.
    axial_mm, floor_mm : float
        Clearance at roof (at lock) and floor.
    detent : DetentShape or None
    bore_radius_mm : float
    mean_radius_mm : float
        Radius at which the detent's flank angle holds.
    """

    lug: Lug
    lug_half_deg: float
    slot_half_deg: float
    lock_deg: float
    end_deg: float
    lead_mm_per_rev: float
    dwell_deg: float
    axial_mm: float
    floor_mm: float
    detent: DetentShape | None
    bore_radius_mm: float
    mean_radius_mm: float


def roof(plan: TrackPlan) -> Polyline:
    """Roof of the track.

    Its height is set so that the smallest gap over the lug's width at lock is the axial
    clearance; with clearance 0 the lug is tight there.

    Parameters
    ----------
    plan : TrackPlan

    Returns
    -------
    Polyline
        From the slot to the stop; only real corners in between.

    Examples
    --------
    See `tests/model/test_track_shape.py` for one worked by hand.
    """
    angles = np.array([plan.slot_half_deg, *_corners(plan), _end(plan)])
    depths = _base(plan, angles) + _bump(plan, angles) + _offset(plan)
    return tuple(zip(angles.tolist(), depths.tolist(), strict=True))


def floor(plan: TrackPlan, *, parallel: bool) -> Polyline:
    """Floor of the track: level under the deepest lug, or parallel to the ramp.

    Parameters
    ----------
    plan : TrackPlan
    parallel : bool
        Follow ramp and dwell at the least height that lets the lug through.

    Returns
    -------
    Polyline
        From the far side of the slot to the stop.
    """
    start, end = -plan.slot_half_deg, _end(plan)
    if not parallel:
        _, deepest = depth_span_mm(plan.lug.shape, radius_mm=plan.bore_radius_mm)
        depth = float(deepest) + plan.floor_mm
        return ((start, depth), (end, depth))
    dwell = _dwell_start(plan)
    angles = np.array([start, *([] if dwell is None else [dwell]), end])
    depths = _base(plan, angles) + _offset(plan) + _height(plan)
    return tuple(zip(angles.tolist(), depths.tolist(), strict=True))


def end_radius_mm(plan: TrackPlan, roof: Polyline, floor: Polyline) -> float:
    """Radius of the corners at the stop of a round pin: no more than the thinnest pin's own [mm].

    So every pin meets roof, floor and stop before it could meet a corner, and they may be reckoned
    as if they met sharply. Only where roof and floor are level there; 0 is sharp.
    """
    pin = plan.lug.round_mm
    if pin is None:
        return 0.0
    radius = rounding.down(pin - plan.lug.zone.side_mm - _END_ROOM_MM, step=_END_STEP_MM)
    for (start, high), (end, low) in (roof[-2:], floor[-2:]):
        # the corner begins a pin's width before the stop, and there it must still be level
        if abs(low - high) > 1e-9 or end - start < 2.0 * plan.lug_half_deg:
            return 0.0
    return radius if 2.0 * radius < floor[-1][1] - roof[-1][1] else 0.0


def detent_start(plan: TrackPlan) -> float:
    """Angle at which the detent begins to rise [deg]; infinite where there is none."""
    knots = _detent_knots(plan)
    return float(knots[0]) if len(knots) else math.inf


def dwell_start(plan: TrackPlan) -> float:
    """Angle at which the ramp ends [deg]; infinite where it runs to the stop."""
    start = _dwell_start(plan)
    return math.inf if start is None else start


def _end(plan: TrackPlan) -> float:
    return plan.end_deg + plan.lug_half_deg


def _dwell_start(plan: TrackPlan) -> float | None:
    if plan.lead_mm_per_rev == 0.0 or plan.dwell_deg == 0.0:
        return None
    # the corner that meets the roof first: the leading one, unless the lug is as steep itself
    leads = plan.lug.lead_mm_per_rev < plan.lead_mm_per_rev
    corner = plan.lug_half_deg if leads else -plan.lug_half_deg
    return plan.lock_deg + corner - plan.dwell_deg


def _detent_knots(plan: TrackPlan) -> Array:
    """Angles at which the bump begins, tops out, leaves its top and ends [deg]."""
    if plan.detent is None:
        return np.empty(0)
    shape = plan.detent
    run_mm = shape.height_mm / math.tan(math.radians(shape.flank_angle_deg))
    flank = math.degrees(run_mm / plan.mean_radius_mm)
    last = plan.lock_deg - plan.lug_half_deg - shape.pocket_deg
    top_end = last - flank
    return np.array([top_end - shape.crest_deg - flank, top_end - shape.crest_deg, top_end, last])


def _corners(plan: TrackPlan) -> list[float]:
    knots = set(_detent_knots(plan).tolist())
    start = _dwell_start(plan)
    return sorted(knots | ({start} if start is not None else set()))


def _base(plan: TrackPlan, angles: Array) -> Array:
    """Ramp and dwell, depth 0 at angle 0."""
    start = _dwell_start(plan)
    ramp = angles if start is None else np.minimum(angles, start)
    return advance_mm(plan.lead_mm_per_rev, ramp)


def _bump(plan: TrackPlan, angles: Array) -> Array:
    if plan.detent is None:
        return np.zeros_like(angles)
    height = plan.detent.height_mm
    return np.interp(angles, _detent_knots(plan), [0.0, height, height, 0.0])


def _offset(plan: TrackPlan) -> float:
    """Depth to add to ramp and dwell so that the least gap at lock is the axial clearance."""
    low, high = plan.lock_deg - plan.lug_half_deg, plan.lock_deg + plan.lug_half_deg
    angles = _facing(plan, "bearing", plan.lock_deg, max(low, plan.slot_half_deg), high)
    flank = plan.lug.bearing_at(angles - plan.lock_deg, radius_mm=plan.bore_radius_mm)
    return float(np.min(flank - plan.axial_mm - _base(plan, angles)))


def _height(plan: TrackPlan) -> float:
    """Least height of a parallel track that leaves its clearances at every turn [mm].

    The lug's need is piecewise linear in the turn, so its extremes lie where an end of the lug,
    or the place a round flank touches with, passes a corner of the roof.
    """
    half = plan.lug_half_deg
    touches = [
        float(angle)
        for flank in ("bearing", "leading")
        for lead in (0.0, plan.lead_mm_per_rev)
        for angle in plan.lug.shape.touches_deg(flank, lead, radius_mm=plan.bore_radius_mm)
    ]
    sides = (-half, half, *touches)
    passes = [angle - side for angle, side in itertools.product(_corners(plan), sides)]
    turns = [0.0, plan.lock_deg, plan.end_deg, *(t for t in passes if 0.0 < t < plan.end_deg)]
    need = [_need(plan, turn) for turn in turns]
    return max(need) + plan.axial_mm + plan.floor_mm


def _need(plan: TrackPlan, turn: float) -> float:
    half = plan.lug_half_deg
    radius = plan.bore_radius_mm
    angles = _facing(plan, "bearing", turn, turn - half, turn + half)
    flank = plan.lug.bearing_at(angles - turn, radius_mm=radius)
    above = np.min(flank - _base(plan, angles) - _bump(plan, angles))
    angles = _facing(plan, "leading", turn, turn - half, turn + half)
    below = np.max(plan.lug.leading_at(angles - turn, radius_mm=radius) - _base(plan, angles))
    return float(below - above)


def _facing(plan: TrackPlan, flank: FlankName, turn: float, low: float, high: float) -> Array:
    """Angles at which the lug, its middle at a turn, may be nearest to roof or floor [deg]."""
    corners = [angle for angle in _corners(plan) if low < angle < high]
    knots = np.array([low, *corners, high])
    depths = _base(plan, knots) + (_bump(plan, knots) if flank == "bearing" else 0.0)
    line = zip(knots.tolist(), depths.tolist(), strict=True)
    return np.array(
        facing_angles_deg(
            plan.lug.shape, flank, line, turn_deg=turn, low_deg=low, high_deg=high,
            radius_mm=plan.bore_radius_mm,
        )
    )  # fmt: skip
