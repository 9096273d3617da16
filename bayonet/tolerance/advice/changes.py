"""What to change where a chain is weak: its middle, one tolerance to tighten, which to open."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

from bayonet.parts import Design
from bayonet.tolerance.advice.grades import STEP, Tolerance, tolerances_of
from bayonet.tolerance.chains import ChainFigures, Study

_ROUND = {"mm": 0.01, "deg": 0.1}
_HARMLESS_SHARE = 0.1  # of the allowed rate that opening one grade may use up


@dataclass(frozen=True, kw_only=True)
class Move:
    """A field of the design file and the value that puts a chain's middle where it should be."""

    field: str
    now: float
    value: float
    unit: str


@dataclass(frozen=True, kw_only=True)
class Step:
    """A tolerance and the half-width, with its grade, that it should be changed to."""

    tolerance: Tolerance
    half_width: float
    grade: str


def centred(design: Design, figures: ChainFigures, *, allowed: float) -> Move | None:
    """The nominal that brings a chain within its limits, or to their middle if it has two.

    Parameters
    ----------
    design : Design
    figures : ChainFigures
    allowed : float
        Share that may lie outside [-].

    Returns
    -------
    Move or None
        None where no field moves the chain, or it needs no moving.
    """
    chain, slope = figures.chain, figures.chain.field_slope
    now = current(design).get(chain.field)
    if now is None or slope == 0.0:
        return None
    low, high = figures.sampled.interval(1.0 - min(allowed, 0.02))
    if math.isfinite(chain.low) and math.isfinite(chain.high):
        shift = (chain.low + chain.high) / 2.0 - (low + high) / 2.0
    elif math.isfinite(chain.low):
        shift = max(chain.low - min(low, figures.worst.low), 0.0)
    else:
        shift = min(chain.high - max(high, figures.worst.high), 0.0)
    if shift == 0.0 or not math.isfinite(shift):
        return None
    unit = "deg" if chain.unit == "deg" else "mm"
    grain = 0.001 if chain.field == "socket.seal.bore_diameter" else _ROUND[unit]
    raw = (now + shift / slope) / grain
    steps = round(raw) if grain == 0.001 else math.ceil(raw - 1e-6) + (shift > 0.0)
    return Move(field=chain.field, now=now, value=round(steps * grain, 6), unit=unit)


def current(design: Design) -> Mapping[str, float]:
    """Present value of every field that moves a chain's middle."""
    gaps, socket = design.socket.clearance, design.socket
    found = {
        "socket.clearance.body": gaps.body_diametral_mm,
        "socket.clearance.lug_radial": gaps.lug_radial_mm,
        "socket.clearance.lug_side": gaps.lug_side_mm,
        "socket.clearance.axial": gaps.axial_mm,
        "socket.clearance.floor": gaps.floor_mm,
        "socket.clearance.nose": gaps.nose_mm,
        "socket.stop.overtravel_deg": socket.stop_overtravel_deg,
    }
    if socket.seal_radius_mm is not None:
        found["socket.seal.bore_diameter"] = 2.0 * socket.seal_radius_mm
    return found


def tightened(design: Design, figures: ChainFigures, *, allowed: float) -> Step | None:
    """The one tolerance of the socket, and its grade, that would bring a chain's rate down.

    To first order: the standard deviation must fall so far that the limit lies as many of it off
    as the allowed rate asks for.

    Parameters
    ----------
    design : Design
    figures : ChainFigures
    allowed : float
        Share that may lie outside [-].

    Returns
    -------
    Step or None
        None where no single tolerance is enough.
    """
    from scipy.special import ndtri

    room = min(figures.sampled.mean - figures.chain.low, figures.chain.high - figures.sampled.mean)
    wanted = room / -float(ndtri(min(allowed, 0.5) / 2.0))
    excess = figures.first.sd**2 - wanted**2
    if not (room > 0.0 and excess > 0.0):
        return None
    rows = {t.group: t for t in tolerances_of(design)}
    shares: dict[str, float] = {}
    for one in figures.first.contributors:
        if one.group in rows:
            shares[one.group] = shares.get(one.group, 0.0) + one.variance_share
    for group, share in sorted(shares.items(), key=lambda item: (-item[1], item[0])):
        variance = share * figures.first.sd**2
        if variance > excess:
            most = rows[group].half_width * math.sqrt((variance - excess) / variance)
            fits = [(g, half) for g, half in rows[group].steps() if half <= most]
            if fits:
                return Step(tolerance=rows[group], half_width=fits[-1][1], grade=fits[-1][0])
    return None


def opened(design: Design, study: Study, *, allowed: float) -> tuple[Step, ...]:
    """Tolerances that may be a grade wider without any chain leaving its rate, to first order.

    Parameters
    ----------
    design : Design
    study : Study
    allowed : float
        Share of pairs that may fail [-].

    Returns
    -------
    tuple of Step
    """
    return tuple(
        Step(
            tolerance=one,
            half_width=STEP * one.half_width,
            grade=_coarser(one),
        )
        for one in tolerances_of(design)
        if _harmless(one, study, allowed)
    )


def _coarser(one: Tolerance) -> str:
    wider = [grade for grade, half in one.steps() if half > one.half_width * (1 + 1e-9)]
    return wider[0] if wider else ""


def _harmless(one: Tolerance, study: Study, allowed: float) -> bool:
    from scipy.special import ndtr

    for figures in study.figures:
        if not figures.chain.has_limits or figures.first.sd == 0.0:
            continue
        share = sum(c.variance_share for c in figures.first.contributors if c.group == one.group)
        sd = figures.first.sd * math.sqrt(1.0 + max(share, 0.0) * (STEP**2 - 1.0))
        room = min(
            figures.sampled.mean - figures.chain.low, figures.chain.high - figures.sampled.mean
        )
        if share > 0.0 and float(ndtr(-room / sd)) > _HARMLESS_SHARE * allowed:
            return False
    return True
