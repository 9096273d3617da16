"""What a third party needs to work every rate out again, as plain data: nothing is computed here.

`tests/recompute.py` does it, without this package.
"""

from __future__ import annotations

import csv
import dataclasses
from importlib.resources import files
from typing import Any

from bayonet.checks import Result
from bayonet.parts import Design, HalfAngle, Track
from bayonet.tolerance.chains import Variable
from bayonet.tolerance.fitting import (
    conditions_of,
    deviations_of,
    goes_into_seal,
    judged_in,
    lands,
    lean_at_lock,
    looked_at_radii,
)

WORDS = (
    "A size is its nominal plus the deviations listed for it in sums. p and s are 1 + expansion"
    " times warmer_k of plug and socket. A chain's value is the piece with the least room, over its"
    " pieces and the states it is judged in; a pair fails where any chain lies outside its limits."
    " A finding tolerance.* passes where outside.high_95 is no more than 1 - yield_asked, looks"
    " where only outside.share is, else fails."
    " Spreads: normal with limits at three standard deviations; uniform, triangular, trapezoid"
    " (level over its inner half) between the limits; radius: root of a uniform, times the half"
    " width; uncertainty: u times Student's t of dof, held within most."
    " Angles are counted from the slot's nominal middle towards lock, depths from the mouth face;"
    " lines run on straight beyond their ends."
    " found: the offset of lug axis from track axis (plug_axis - track_axis), shortened towards 0"
    " by the least of (gap - distance of body axis from bore axis) over the body's steps."
    " aside: the least over lands of max(0, gap) + lean_at_lock * away_mm. off: the offset of the"
    " axes towards the lug. away: seat * max(0, gap / 2) + distance of the groove's axis * p."
    " Roof at an angle: the line + roof error + tilt + lead error * (angle - last corner) / 360."
    " A leading flank has the deviation plug_leading_lead where sums names one, else plug_lead."
    " Section in place: equal volume, s^2 (groove + s) = section^2 (inside + section)."
)


def inputs(result: Result) -> dict[str, Any]:
    """Deviations, nominal sizes, states and formulas of a design's chains.

    Parameters
    ----------
    result : Result

    Returns
    -------
    dict
        Lengths [mm], angles [deg], expansions [1/K]. See `WORDS`.
    """
    design, chains = result.design, result.study.chains
    states = judged_in(design)
    return {
        "words": WORDS,
        "yield_asked": design.spec.production.yield_share,
        "deviations": [_variable(one) for one in chains.variables],
        "correlation": _correlation(result),
        "sums": {
            name: [chains.variables[row].key for row in rows]
            for name, rows in deviations_of(design).terms.items()
        },
        "plug": _plug(design),
        "socket": _socket(design),
        "ring": _ring(design),
        "states": {
            kind: [{"name": name, **dataclasses.asdict(at)} for name, at in found.items()]
            for kind, found in conditions_of(design).items()
        },
        "chains": [
            {"key": one.key, "states": states[one.key], "formula": chain_formulas()[one.key]}
            for one in chains.chains
        ],
    }


def chain_formulas() -> dict[str, str]:
    """The formula of every chain, in words, by its key.

    Examples
    --------
    >>> chain_formulas()["squeeze"]
    '(section in place - gland depth) / section in place'
    """
    text = (files("bayonet.data") / "chain_formulas.csv").read_text("utf-8")
    return {row["key"]: row["formula"] for row in csv.DictReader(text.splitlines(), strict=True)}


def _variable(one: Variable) -> dict[str, Any]:
    return dataclasses.asdict(one)


def _correlation(result: Result) -> list[dict[str, Any]]:
    """Pairs of correlated normal variates, each once."""
    matrix, names = result.study.chains.correlation, [v.key for v in result.study.chains.variables]
    if matrix is None:
        return []
    return [
        {"between": [names[row], names[column]], "r": float(matrix[row, column])}
        for row in range(len(names))
        for column in range(row)
        if matrix[row, column] != 0.0
    ]


def _half(half: HalfAngle) -> dict[str, float]:
    """Half-width at a radius: deg + asin(offset_mm / radius)."""
    return {"deg": half.deg, "offset_mm": half.offset_mm}


def _plug(design: Design) -> dict[str, Any]:
    plug = design.plug
    return {
        "turn_deg": plug.turn_deg,
        "nose_depth": plug.nose_depth_mm,
        "lean_at_lock": lean_at_lock(plug, design.socket.clearance.axial_mm),
        "body": [
            {
                "diameter": 2.0 * step.radius_mm,
                "bore": "sealing_bore" if goes_into_seal(design, step) else "track_bore",
            }
            for step in plug.body
        ],
        "lands": [
            {"step": one.step + 1, "bore": one.bore, "away_mm": one.away_mm}
            for one in lands(plug, design.socket)
        ],
        "lugs": [
            {
                "centre_deg": lug.centre_deg,
                "half": _half(lug.half),
                "outer_diameter": 2.0 * lug.outer_radius_mm,
                "thickness": lug.thickness_mm,
                "bearing_depth": lug.bearing_depth_mm,
                "lead": lug.lead_mm_per_rev,
                "leading_lead": lug.floor_lead_mm_per_rev,
            }
            for lug in plug.lugs
        ],
        "groove": _groove(design),
    }


def _groove(design: Design) -> dict[str, Any] | None:
    plug, groove = design.plug, design.plug.ring_groove
    if groove is None:
        return None
    radial = groove.kind == "radial"
    return {
        "kind": groove.kind,
        "diameter": 2.0 * (groove.radius_mm if radial else groove.start_mm),
        "width": groove.end_mm - groove.start_mm,
        "depth": groove.cut_mm,
        "corner_radius": groove.corner_radius_mm,
        "cut_into_step": plug.body.index(plug.groove_body) + 1 if radial else None,
    }


def _socket(design: Design) -> dict[str, Any]:
    socket = design.socket
    return {
        "seating": socket.seating,
        "lock_towards": socket.sign,
        "track_bore": 2.0 * socket.track_bore_radius_mm,
        "sealing_bore": None if socket.seal_radius_mm is None else 2.0 * socket.seal_radius_mm,
        "nose_floor": socket.nose_floor_mm,
        "lead": socket.lead_mm_per_rev,
        "overtravel_deg": socket.stop_overtravel_deg,
        "least_engagement": socket.least_engagement,
        "radii_looked_at_mm": list(looked_at_radii(design)),
        "tracks": [_track(one) for one in socket.tracks],
    }


def _track(one: Track) -> dict[str, Any]:
    return {
        "centre_deg": one.centre_deg,
        "slot": _half(one.slot),
        "stop": _half(one.end),
        "roof": [list(corner) for corner in one.roof],
        "floor": [list(corner) for corner in one.floor],
        "wall_diameter": 2.0 * one.outer_radius_mm,
        "floor_slope": one.floor_slope,
    }


def _ring(design: Design) -> dict[str, Any] | None:
    ring = design.socket.ring
    if ring is None:
        return None
    return {"section": ring.section_mm, "inside_diameter": ring.inside_diameter_mm}
