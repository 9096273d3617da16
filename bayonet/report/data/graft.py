"""A graft as plain data for other programs: graft.json."""

from __future__ import annotations

import dataclasses
import json
from collections.abc import Sequence
from typing import Any

from bayonet.findings import Finding
from bayonet.report.data.result import finding_row, tidy
from bayonet.tank import Clearances, Drain, Facts, Frame, TankFace

FORMAT = 1
"""Raised when a key changes its meaning."""


def as_json(
    *, name: str, verdict: str, findings: Sequence[Finding], frame: Frame, facts: Facts,
    drain: Drain | None, assumptions: Sequence[str], cautions: Sequence[str],
    files: Sequence[str], headline: Sequence[str], clearances: Clearances | None = None,
) -> str:  # fmt: skip
    """Findings, measures and placement, in a fixed order and with finite numbers only."""
    content: dict[str, Any] = {
        "format": FORMAT,
        "name": name,
        "verdict": verdict,
        "headline": list(headline),
        "findings": [finding_row(finding) for finding in findings],
        "frame": dataclasses.asdict(frame),
        "fitting_to_tank": frame.matrix().tolist(),
        "measures": dataclasses.asdict(facts),
        "drain": None if drain is None else dataclasses.asdict(drain),
        "assumptions": list(assumptions),
        "surroundings": None if clearances is None else dataclasses.asdict(clearances),
        "cautions": list(cautions),
        "files": list(files),
    }
    return json.dumps(tidy(content), indent=1, ensure_ascii=False) + "\n"


def faces_json(faces: Sequence[TankFace]) -> str:
    """Faces of a tank."""
    rows = [dataclasses.asdict(face) for face in faces]
    return json.dumps(tidy(rows), indent=1, ensure_ascii=False) + "\n"
