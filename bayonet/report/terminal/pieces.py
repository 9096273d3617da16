"""Print-test pieces and calibrations as words: tables on screen, JSON, the form to fill in."""

from __future__ import annotations

import csv
import dataclasses
import io
import json
from collections.abc import Iterator
from typing import Any

from rich import box
from rich.console import Console
from rich.table import Table

from bayonet.cautions import PRINTED_CAUTION
from bayonet.checks.making import printing
from bayonet.findings import Verdict
from bayonet.printing import COLUMNS, FELT, Calibration, Piece, Sample
from bayonet.report.data import result as result_data
from bayonet.report.terminal import findings

FORMAT = 1
"""Raised when a key changes its meaning."""

_PIECES = {
    Verdict.PASS: "Nothing stands against printing these.",
    Verdict.OPEN: "These can be printed; the lines marked open are not judged.",
    Verdict.LOOK: "These can be printed; read the lines marked look.",
    Verdict.FAIL: "Do not print these before the lines marked fail are mended.",
}
_PRINTER = {
    Verdict.PASS: "The results agree; the profile can be used.",
    Verdict.OPEN: "The results agree; the lines marked open are not judged.",
    Verdict.LOOK: "The results agree; read the lines marked look before you rely on the profile.",
    Verdict.FAIL: "The results CONTRADICT each other: the profile says so, measure again.",
}


def show_sample(made: Sample, console: Console) -> None:
    """Print findings and pieces."""
    console.print(findings.findings(made, closing_lines=_PIECES))
    console.print(_piece_table(made))


def show_calibration(done: Calibration, console: Console) -> None:
    """Print findings and what was learnt."""
    console.print(findings.findings(done, closing_lines=_PRINTER))
    console.print(f"{done.profile.name}: {done.profile.in_words()}")


def _piece_table(made: Sample) -> Table:
    rows = Table(box=box.HORIZONTALS, pad_edge=False, title="Pieces", title_justify="left")
    for name in ("mark", "body\ngap", "side\ngap", "axial\ngap", "bore\nØ", "outside\nØ", "height",
                 "volume"):  # fmt: skip
        rows.add_column(name, justify="right", no_wrap=True)
    for one in made.ladder:
        sizes = piece_row(made, one)
        keys = ("body_gap_mm", "side_gap_mm", "axial_gap_mm", "bore_diameter_mm",
                "outside_diameter_mm", "height_mm")  # fmt: skip
        cells = ("clamps" if sizes[key] is None else f"{sizes[key]:.2f}" for key in keys)
        rows.add_row(one.mark, *cells, f"{sizes['volume_mm3'] / 1000.0:.2f} cm³")
    plate = made.plate
    total = made.plate_volume_mm3 / 1000.0
    rows.caption = (
        f"mm; gaps per side as intended, the rest as drawn. Plate {plate.width_mm:.0f} x"
        f" {plate.depth_mm:.0f} mm, {total:.1f} cm³ in all"
    )
    rows.caption_justify = "left"
    return rows


def piece_row(made: Sample, one: Piece) -> dict[str, Any]:
    """What a person asks of a piece: gaps as intended, sizes as drawn, volume."""
    shape, gaps = made.drawn(one), one.socket.clearance
    wall, where = printing.least_wall_mm(shape)
    clamps = one.socket.seating == "clamp"
    return {
        "mark": one.mark,
        "step_mm": one.step_mm,
        "body_gap_mm": gaps.body_diametral_mm / 2.0,
        "side_gap_mm": gaps.lug_side_mm,
        "radial_gap_mm": gaps.lug_radial_mm,
        "axial_gap_mm": None if clamps else gaps.axial_mm,
        "bore_diameter_mm": 2.0 * shape.bore[-1][0],
        "track_diameter_mm": 2.0 * shape.track_radius_mm,
        "outside_diameter_mm": 2.0 * shape.boss_radius_mm,
        "height_mm": shape.boss_height_mm,
        "least_wall_mm": wall,
        "least_wall_at": where,
        "volume_mm3": made.volume_mm3(one),
    }


def sample_json(made: Sample, *, files: tuple[str, ...] = ()) -> str:
    """Everything of the pieces as JSON text with a fixed order and finite numbers only."""
    plate = made.plate
    content = {
        "format": FORMAT,
        "name": made.design.name,
        "revision": made.design.revision,
        "verdict": made.verdict.value,
        "caution": PRINTED_CAUTION,
        "orientation": "mouth face down on the bed; the bearing roof faces up",
        "with_seal": made.with_seal,
        "sizes": "gaps as intended; diameters, height, wall and volume as drawn in the files",
        "profile": _profile(made.profile) if made.profile else None,
        "ring": piece_row(made, made.ring),
        "ladder": [piece_row(made, one) for one in made.ladder],
        "bar": {**dataclasses.asdict(made.gauge), "volume_mm3": made.gauge.volume_mm3()},
        "plate": {
            "width_mm": plate.width_mm,
            "depth_mm": plate.depth_mm,
            "height_mm": max(made.drawn(one).boss_height_mm for one in made.ladder),
            "places_mm": [list(place) for place in plate.places_mm],
            "bar_at_mm": list(plate.bar_mm),
        },
        "findings": [result_data.finding_row(finding) for finding in made.findings],
        "assumptions": list(made.assumptions),
        "cautions": list(made.cautions),
        "files": list(files),
    }
    return _text(content)


def calibration_json(done: Calibration, *, file: str) -> str:
    """Everything a calibration found, as JSON text."""
    rows = [
        {**dataclasses.asdict(one), "residual_mm": residual}
        for one, residual in zip(done.results.sizes, done.residuals_mm, strict=True)
    ]
    content = {
        "format": FORMAT,
        "name": done.design.name,
        "verdict": done.verdict.value,
        "caution": PRINTED_CAUTION,
        "before": _profile(done.before),
        "profile": _profile(done.profile),
        "sizes": rows,
        "felt": [dataclasses.asdict(one) for one in done.results.felt],
        "findings": [result_data.finding_row(finding) for finding in done.findings],
        "assumptions": list(done.assumptions),
        "cautions": list(done.cautions),
        "file": file,
    }
    return _text(content)


def _profile(profile: Any) -> dict[str, Any]:
    hole, boss, scale = profile.mean.tolist()
    return {
        "name": profile.name,
        "hole_offset_mm": hole,
        "boss_offset_mm": boss,
        "scale": scale,
        "u": profile.u.tolist(),
        "covariance": profile.covariance.tolist(),
        "sizes": profile.sizes,
        "felt": profile.felt,
        "contradictions": list(profile.contradictions),
    }


def _text(content: dict[str, Any]) -> str:
    return json.dumps(result_data.tidy(content), indent=1, ensure_ascii=False) + "\n"


def results_form(made: Sample) -> str:
    """A results file to copy and fill in: what to measure on each piece, and how it turned."""
    stream = io.StringIO()
    writer = csv.writer(stream, lineterminator="\n")
    writer.writerow(COLUMNS)
    for row in _form_rows(made):
        writer.writerow([row.get(name, "") for name in COLUMNS])
    drawn_for = (
        f"--profile, the one these were drawn with ({made.profile.name})"
        if made.profile
        else "no --profile: these were drawn as intended"
    )
    head = (
        f"# {PRINTED_CAUTION}\n"
        "# Copy this file, fill in measured [mm] and felt, then: bayonet calibrate DESIGN COPY"
        " --out PROFILE\n"
        f"# with {drawn_for}.\n"
        "# nominal is the size in the printed file. u: standard uncertainty, left out 0.02."
        " Rows left empty are passed over.\n"
        f"# felt: {', '.join(FELT)}. torque [N m] may be left out.\n"
    )
    return head + stream.getvalue()


def _form_rows(made: Sample) -> Iterator[dict[str, str]]:
    for kind, size, what in made.gauge.sizes():
        yield {"kind": kind, "nominal": f"{size:.3f}", "note": what}
    for one in made.ladder:
        shape = made.drawn(one)
        for kind, size, what in (
            ("hole", 2.0 * shape.bore[-1][0], "bore at the marked face"),
            ("boss", 2.0 * shape.boss_radius_mm, "outside, away from the first layers"),
            ("length", shape.boss_height_mm, "height"),
        ):
            yield {"kind": kind, "nominal": f"{size:.3f}", "note": f"{one.mark} {what}"}
    for one in made.ladder:
        yield {"kind": "felt", "step": f"{one.step_mm:g}", "note": f"{one.mark} turned to the stop"}
