"""What is measured apart from the joint fit: each flank's own lead, and the plug's two ends."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bayonet.scan.fit import FeatureValue, Refined, Shape, Spots, body_key, lug_key
from bayonet.scan.uncertainty.ends import EndValue, nose_chamfer, shoulder_thickness
from bayonet.scan.uncertainty.flank_lines import FlankLine, disagreeing, flank_lines

Array = NDArray[np.float64]

_TELLS_MM_PER_REV = 4.0  # a worse lead is no value to anyone
_CLOSE_MM, _ABOVE_MM = 0.5, 12.0  # round the plug; up to where a shoulder's head begins
_END_WORDS = {
    "shoulder_thickness": "shoulder thickness", "nose_chamfer": "nose: leg of its chamfer",
}  # fmt: skip


@dataclass(frozen=True, kw_only=True)
class Leads:
    """Lead lug by lug where lugs disagree; numbers are the fit's.

    Parameters
    ----------
    flags : tuple of (int, str)
        Lugs to look at, in words.
    own : dict
        Lead and standard uncertainty of a lug that disagrees; NaN where its two flanks do.
    common : (float, float) or None
        Of the others, where some disagree; None where the joint fit's holds.
    """

    flags: tuple[tuple[int, str], ...]
    own: dict[int, tuple[float, float]]
    common: tuple[float, float] | None


@dataclass(frozen=True, kw_only=True)
class Beside:
    """Lines through flanks, and the ends. Uncertainties are by white noise.

    ``cloud`` has a row for every point near the plug, on a face or not: radius [mm], angle [deg],
    depth [mm]. ``is_apart``: bearing and leading flanks have a lead each.
    """

    lines: tuple[FlankLine, ...]
    thickness: EndValue
    chamfer: EndValue
    cloud: Array
    is_apart: bool = False

    def leads(self, width_deg: dict[int, float], inflate: float, mm: float) -> Leads:
        """Which lugs' leads disagree with the others'; ``mm`` is the working unit, for words."""
        lines = self.lines
        if self.is_apart:
            lines = tuple(one for one in lines if one.kind == "bearing")
        odd = disagreeing(lines, width_deg, inflate)
        rest = [one for one in lines if one not in odd]
        if not odd or not rest:
            return Leads(flags=(), own={}, common=None)
        common = _mean(rest, inflate)
        flags, own = [], {}
        for lug in sorted({one.lug for one in odd}):
            mine = [one for one in lines if one.lug == lug]
            bad = [one for one in mine if one in odd]
            told = " and ".join(
                f"of its {one.kind} flank {mm * abs(one.lead_mm_per_rev):.2f}" for one in bad
            )
            usual = mm * abs(common[0])
            flags.append((lug, f"lead {told} mm/rev, of the others {usual:.2f}: worn?"))
            alike = self.is_apart or (
                len(bad) == 2 and not disagreeing((*mine, mine[0]), width_deg, inflate)
            )
            own[lug] = _mean(mine, inflate) if alike else (math.nan, math.nan)
        return Leads(flags=tuple(flags), own=own, common=common)

    def rows(self, place: tuple[int, ...], inflate: float) -> tuple[FeatureValue, ...]:
        """Each flank's own lead, to be reported; ``place`` numbers the lugs."""
        return tuple(
            FeatureValue(
                key=lug_key(place[one.lug], f"{one.kind}_lead"), value=abs(one.lead_mm_per_rev),
                meaning=f"lug {place[one.lug] + 1}: lead of its {one.kind} flank alone",
                u=inflate * one.u, unit="mm/rev", coverage=1.0, found="measured",
            )
            for one in sorted(self.lines, key=lambda line: (place[line.lug], line.kind))
            if inflate * one.u < _TELLS_MM_PER_REV
        )  # fmt: skip

    def ends(self, shoulder_u: float, nose_u: float, inflate: float) -> tuple[FeatureValue, ...]:
        """Shoulder thickness and nose chamfer, and the uncertainty of their first faces."""
        rows = (("shoulder_thickness", self.thickness, shoulder_u),
                ("nose_chamfer", self.chamfer, nose_u))  # fmt: skip
        return tuple(
            FeatureValue(
                key=key, meaning=_END_WORDS[key], value=one.value_mm,
                u=math.hypot(inflate * one.u_mm, start), unit="mm", coverage=one.share,
                found="measured" if math.isfinite(one.value_mm) else "not seen", note=one.note,
            )
            for key, one, start in rows
        )  # fmt: skip


def _mean(lines: list[FlankLine], inflate: float) -> tuple[float, float]:
    weight = np.array([one.u**-2 for one in lines])
    values = np.array([one.lead_mm_per_rev for one in lines])
    return float(np.average(values, weights=weight)), inflate / math.sqrt(float(weight.sum()))


def beside(c: Spots, end: Refined, shape: Shape) -> Beside:
    """Measure flanks and ends on all points, given in the fitted frame."""
    return Beside(
        lines=flank_lines(c, end, shape), thickness=shoulder_thickness(c, end),
        chamfer=nose_chamfer(c, end, shape), cloud=_cloud(c, end, shape),
        is_apart=shape.has_own_leads,
    )  # fmt: skip


def _cloud(c: Spots, end: Refined, shape: Shape) -> Array:
    nose = end.values[body_key(shape.bodies - 1, "to_depth")]
    lugs = [end.values[lug_key(i, "outer_diameter")] for i in range(shape.lugs)]
    widest = max([*lugs, end.values.get("shoulder_diameter", 0.0)]) / 2.0
    near = (c.r < widest + _CLOSE_MM) & (c.depth < nose + _CLOSE_MM) & (c.depth > -_ABOVE_MM)
    return np.column_stack([c.r[near], np.degrees(c.theta[near]), c.depth[near]])
