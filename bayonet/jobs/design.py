"""The jobs a person asks for, each from design to files. Loads the CAD kernel only to make."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from bayonet.checks import Result, check, with_finding
from bayonet.checks.motion import not_swept, swept_finding
from bayonet.errors import ExportError
from bayonet.exchange import (
    Run,
    appearing_in,
    piece_files,
    refuse_file,
    write_whole,
)
from bayonet.findings import Finding
from bayonet.jobs import solid_files
from bayonet.jobs.moving import fitting_page
from bayonet.jobs.usual import USUAL_CHORD_MM, Paper
from bayonet.parts import Design, changed
from bayonet.printing import Calibration, ProcessProfile, Results, Sample, ladder
from bayonet.printing import calibrate as learn

READINGS = (
    "developed.png", "developed.svg", "findings.json", "fitting.html", "fitup.png", "fitup.svg",
    "load.png", "load.svg", "report.html", "tolerance_report.pdf",
)  # fmt: skip
SAMPLE_FILES = (
    "ladder.3mf", "ladder.stl", "results_form.csv", "ring.3mf", "ring.step", "ring.stl",
    "sample.json", "sample.png", "sample.svg",
)  # fmt: skip
"""What is written, so that a folder that cannot take it is found before the work."""

Progress = Callable[[str], None]


@dataclass(frozen=True, kw_only=True)
class Made:
    """What `make` wrote.

    Parameters
    ----------
    result : Result
        The findings, also in findings.json.
    folder : Path
    files : tuple of str
        Names within the folder.
    chord_mm : float
        Measured distance between the meshes and the exact surface [mm].
    """

    result: Result
    folder: Path
    files: tuple[str, ...]
    chord_mm: float


@dataclass(frozen=True, kw_only=True)
class Sampled:
    """What `sample` wrote.

    Parameters
    ----------
    sample : Sample
        Pieces and findings, also in sample.json.
    folder : Path
    files : tuple of str
        Names within the folder.
    chord_mm : float
        Measured distance between the meshes and the exact surface [mm].
    """

    sample: Sample
    folder: Path
    files: tuple[str, ...]
    chord_mm: float


def mesh_chord(chord_mm: float) -> float:
    """The chord, if a mesh can be made to it.

    Raises
    ------
    ExportError
        If it is not a length over 0 mm; NaN would never end.
    """
    if not 0.0 < chord_mm < math.inf:
        raise ExportError(f"chord_mm = {chord_mm}: must be a length of more than 0 mm")
    return chord_mm


def mended(design: Design, finding: Finding) -> Design:
    """The design with a finding's own proposal applied.

    Parameters
    ----------
    design : Design
    finding : Finding
        With ``mends``.

    Returns
    -------
    Design

    Raises
    ------
    DesignError
        If the result cannot be drawn.
    """
    return changed(design, finding.mends)


def make(
    design: Design,
    folder: str | Path,
    *,
    chord_mm: float = USUAL_CHORD_MM,
    profile: ProcessProfile | None = None,
    paper: Paper = "a4",
    run: Run | None = None,
    progress: Progress = lambda _: None,
    sampling: Callable[[float], None] = lambda _: None,
) -> Made:
    """Write socket, plug, findings, pictures and tolerance report.

    Parameters
    ----------
    design : Design
    folder : str or Path
        Made if missing. Files appear together at the end, or not at all.
    chord_mm : float
        Greatest distance allowed between meshes and exact surface [mm].
    profile : ProcessProfile or None
        Draw a printed socket's files for this printer; a socket made otherwise is left alone.
    paper : {"a4", "letter"}
        Of the tolerance report.
    run : Run or None
        For the manifest; names the inputs, which are not replaced unless it forces.
    progress : callable
        Told what is being done, in a few words.
    sampling : callable
        Told the share of the sampling done.

    Returns
    -------
    Made

    Raises
    ------
    BuildError
        If the CAD kernel's result does not pass the gate.
    ExportError
        If the folder cannot be written.
    """
    if design.socket.process != "printed":
        profile = None
    mesh_chord(chord_mm)
    with appearing_in(
        Path(folder), run=run, expected=(*READINGS, *solid_files.names(design.socket))
    ) as room:
        progress("proving the motion, sampling the chains")
        result = check(design, progress=sampling)
        if profile is not None:
            result = ladder.with_compensation(result, profile)
        progress("building the solids")
        chord = solid_files.write(result, room, chord_mm, profile)
        progress("sweeping the files with a second engine")
        swept = _swept(result, room, profile)
        if swept.verdict is not result.verdict:  # what the files' heads say must hold
            chord = solid_files.write(swept, room, chord_mm, profile)
        result = swept
        progress("drawing, setting the report")
        _write_readings(result, room, paper)
        names = tuple(sorted(file.name for file in room.iterdir()))
    return Made(result=result, folder=Path(folder), files=names, chord_mm=chord)


def _swept(result: Result, room: Path, profile: ProcessProfile | None) -> Result:
    """The result with what a second engine says of the written files."""
    from bayonet.solids.fitting import sweep

    design, proof = result.design, result.proof
    if not proof.nominal.path or not proof.tightest.path:
        found = not_swept("the motion fails; mend that first")
    elif profile is not None:
        found = not_swept("they are drawn for a printer, not as the part comes out")
    else:
        turned = proof.nominal.furthest_deg
        found = swept_finding(
            sweep.sweep(room, design.plug, design.socket, proof, turned_deg=turned)
        )
    return with_finding(result, found)


def _write_readings(result: Result, room: Path, paper: Paper) -> None:
    from bayonet.report.data import result as result_data
    from bayonet.report.documents import Picture, html, pdf, tolerance_report
    from bayonet.report.sheets import developed as picture
    from bayonet.report.sheets import load as load_picture

    picture.write(result, svg=room / "developed.svg", png=room / "developed.png")
    load_picture.write(result, svg=room / "load.svg", png=room / "load.png")
    fitup, developed, load = (
        Picture(name=name, svg=(room / f"{name}.svg").read_text("utf-8"), words=words, width=width)
        for name, words, width in (
            ("fitup", "The plug above its socket, a quarter cut away.", 0.42),
            ("developed", "Lugs in their tracks, unrolled, and the free region.", 1.0),
            ("load", "Where the load runs, what each part allows, and the torque to turn.", 1.0),
        )
    )
    report = tolerance_report.tolerance_report(result, (fitup, developed), load=load)
    (room / "report.html").write_text(html.page(report), "utf-8")
    (room / "tolerance_report.pdf").write_bytes(pdf.pages(report, paper=paper))
    (room / "fitting.html").write_text(fitting_page(result), "utf-8")
    names = tuple(sorted([*(file.name for file in room.iterdir()), "findings.json"]))
    (room / "findings.json").write_text(result_data.as_json(result, files=names), "utf-8")


def sample(
    design: Design,
    folder: str | Path,
    *,
    steps_mm: tuple[float, ...] | None = None,
    with_seal: bool = False,
    profile: ProcessProfile | None = None,
    chord_mm: float = USUAL_CHORD_MM,
    run: Run | None = None,
    progress: Progress = lambda _: None,
) -> Sampled:
    """Write print-test pieces: the ring, and the ring at clearance steps on one plate.

    Parameters
    ----------
    design : Design
    folder : str or Path
        As for `make`.
    steps_mm : tuple of float or None
        Clearance added per side, a piece a step [mm]; None: five, 0.1 mm apart.
    with_seal : bool
        Keep the surface the ring seals on.
    profile : ProcessProfile or None
        Compensate the files for it.
    chord_mm : float
        Greatest distance allowed between meshes and exact surface [mm].
    run : Run or None
        For the manifest; names the inputs, which are not replaced unless it forces.
    progress : callable

    Returns
    -------
    Sampled

    Raises
    ------
    DesignError
        If a step closes a gap or a piece cannot be drawn.
    BuildError, ExportError
        As `make`.
    """
    from bayonet.report.sheets import pieces as sample_sheet
    from bayonet.report.terminal import pieces

    mesh_chord(chord_mm)
    with appearing_in(Path(folder), run=run, expected=SAMPLE_FILES) as room:
        progress("deriving the pieces")
        steps = steps_mm or ladder.usual_steps(design.socket, count=5, step_mm=0.1)
        made = ladder.sample(design, steps_mm=steps, with_seal=with_seal, profile=profile)
        chord, drawing = piece_files.write(made, room, chord_mm=chord_mm, progress=progress)
        progress("drawing")
        sample_sheet.write(made, drawing, svg=room / "sample.svg", png=room / "sample.png")
        (room / "results_form.csv").write_text(pieces.results_form(made), "utf-8")
        names = tuple(sorted([*(file.name for file in room.iterdir()), "sample.json"]))
        (room / "sample.json").write_text(pieces.sample_json(made, files=names), "utf-8")
    return Sampled(sample=made, folder=Path(folder), files=names, chord_mm=chord)


def calibrate(
    design: Design,
    results: Results,
    file: str | Path,
    *,
    before: ProcessProfile | None = None,
    name: str = "",
    run: Run | None = None,
) -> Calibration:
    """Learn a printer from its pieces and write the process profile.

    Parameters
    ----------
    design : Design
        Whose pieces were printed.
    results : Results
        See `bayonet.printing.results`.
    file : str or Path
        The profile; written whole or not at all, replaced only where ``run`` forces.
    before : ProcessProfile or None
        The profile the pieces were drawn with.
    name : str
        Of the profile; left out: as before, or the design's.
    run : Run or None

    Returns
    -------
    Calibration

    Raises
    ------
    ExportError
        If the file is there, or cannot be written.
    """
    refuse_file(Path(file), run or Run())
    done = learn(design, results, before=before, name=name)
    write_whole(Path(file), done.profile.text(), run=run)
    return done
