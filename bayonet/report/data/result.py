"""Results as plain data for other programs: findings.json and `--json`."""

from __future__ import annotations

import dataclasses
import json
import math
from typing import Any

from bayonet.checks import Result, formulas
from bayonet.developed import Motion
from bayonet.findings import Finding
from bayonet.report.data.inputs import chain_formulas, inputs
from bayonet.strength import StrengthStudy
from bayonet.tolerance.chains import ChainFigures, Rate, Study
from bayonet.tolerance.fitting import SealState

FORMAT = 1
"""Raised when a key changes its meaning."""

_DIGITS = 9


def as_json(result: Result, *, files: tuple[str, ...] = ()) -> str:
    """Everything the checks found, as JSON text with a fixed order and finite numbers only.

    Parameters
    ----------
    result : Result
    files : tuple of str
        Names of the files written beside it.

    Returns
    -------
    str
    """
    design, socket = result.design, result.design.socket
    content = {
        "format": FORMAT,
        "name": design.name,
        "revision": design.revision,
        "verdict": result.verdict.value,
        "headline": list(result.headline),
        "layout": socket.layout,
        "seating": socket.seating,
        "process": socket.process,
        "hand": design.plug.hand,
        "findings": [
            {**finding_row(finding), "formula": formula_of(finding.code)}
            for finding in result.findings
        ],
        "motion": {
            "nominal": _motion(result.proof.nominal),
            "tightest": _motion(result.proof.tightest),
            "loosest": _motion(result.proof.loosest),
        },
        "socket_dimensions": [dataclasses.asdict(row) for row in socket.dimensions()],
        "tolerance": _study(result.study),
        "inputs": inputs(result),
        "seal_states": [_seal_state(one) for one in result.seal_states],
        "strength": _strength(result.strength),
        "assumptions": list(result.assumptions),
        "cautions": list(result.cautions),
        "files": list(files),
    }
    return json.dumps(tidy(content), indent=1, ensure_ascii=False) + "\n"


def formula_of(code: str) -> str:
    """The formula of a finding in words, for a chain that of its quantity; empty for none.

    Examples
    --------
    >>> formula_of("tolerance.squeeze")
    '(section in place - gland depth) / section in place'
    """
    chain = chain_formulas().get(code.removeprefix("tolerance."), "")
    return formulas().get(code, chain if code.startswith("tolerance.") else "")


def finding_row(finding: Finding) -> dict[str, Any]:
    """One finding as plain data."""
    return {**dataclasses.asdict(finding), "verdict": finding.verdict.value}


def _study(study: Study) -> dict[str, Any]:
    return {
        "samples": study.sample.count,
        "joint_yield": study.joint_yield,
        "fails": _rate(study.fails),
        "chains": [_chain(one) for one in study.figures],
    }


def _rate(rate: Rate) -> dict[str, Any]:
    low, high = rate.low, rate.high
    return {"share": rate.value, "low_95": low, "high_95": high, "by": rate.by}


def _chain(one: ChainFigures) -> dict[str, Any]:
    chain, first, sampled = one.chain, one.first, one.sampled
    return {
        "key": chain.key,
        "title": chain.title,
        "unit": chain.unit,
        "low_limit": chain.low,
        "high_limit": chain.high,
        "source": chain.source,
        "nominal": one.nominal,
        "worst_case": [one.worst.low, one.worst.high],
        "first_order": {"mean": first.mean, "sd": first.sd, "rss": list(first.rss)},
        "sampled": {
            "mean": sampled.mean,
            "sd": sampled.sd,
            "interval_95": list(sampled.interval(0.95)),
            "interval_9973": list(sampled.interval(0.9973)),
        },
        "cpk": one.cpk,
        "outside": _rate(one.out),
        "alone_outside_share": one.alone,
        "contributors": [dataclasses.asdict(c) for c in first.contributors],
    }


def _seal_state(one: SealState) -> dict[str, Any]:
    """One state of service of the gland; lengths [mm], shares [-]."""
    gland = one.gland
    return {
        "name": one.name,
        "celsius": one.celsius,
        "pressure_mpa": one.pressure_mpa,
        "ring_aged": one.aged,
        "squeeze_least_share": gland.squeeze.least,
        "squeeze_most_share": gland.squeeze.most,
        "squeeze_left_leaning_mm": gland.worst_side_mm,
        "fill_most_share": gland.fill.most,
        "gap_most_mm": gland.gap_mm.most,
        "gap_limit_mm": one.gap_limit_mm,
        "gap_source": one.gap_source,
    }


def _motion(motion: Motion) -> dict[str, Any]:
    return {
        "enters": motion.entered is not None,
        "furthest_turn_deg": motion.furthest_deg,
        "seated_turn_deg": motion.seated_deg,
        "axial_play_mm": motion.play_mm,
        "turn_back_deg": motion.back_deg,
        "detent_hold_mm": motion.hold_mm,
        "narrowest_mm": motion.narrowest_mm,
        "path_deg_mm": [list(pose) for pose in motion.path],
    }


def tidy(value: Any) -> Any:
    """Rounded far below any tolerance, so that the last bit of a sum does not show."""
    if isinstance(value, dict):
        return {key: tidy(item) for key, item in value.items()}
    if isinstance(value, (list, tuple)):
        return [tidy(item) for item in value]
    if isinstance(value, float):
        return round(value, _DIGITS) + 0.0 if math.isfinite(value) else None
    return value


def _strength(found: StrengthStudy) -> dict[str, Any]:
    """Loads [N], pressures and stresses [MPa], torques [N m]; a text where one is not known."""
    turning: Any = found.turning
    return {
        "sealed_diameter_mm": 2.0 * found.sealed_radius_mm,
        "working_pressure_mpa": found.working_mpa,
        "proof_pressure_mpa": found.proof_mpa,
        "end_load_at_proof_n": found.proof_n,
        "clamp_load_at_most_n": found.clamp_n,
        "share_of_each_lug": None if found.shares is None else found.shares.most.tolist(),
        "gives_way": [
            {
                "how": mode.key,
                "part": mode.body.part,
                "stress_per_pressure": mode.per_mpa,
                "stress_at_rest_mpa": mode.at_rest_mpa,
                "allowed_pressure_mpa": mode.allowed_mpa,
                "gives_way_at_mpa": mode.gives_way_mpa,
            }
            for mode in found.modes
        ],
        "torque": turning if isinstance(turning, str) else dataclasses.asdict(turning),
        "hand_torque_nm": found.hand.anybody_nm,
    }
