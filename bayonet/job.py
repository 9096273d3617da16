"""The jobs a person asks for, each from design to files. Loads the CAD kernel only to make."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from importlib.resources import files
from pathlib import Path
from typing import Literal

from bayonet.checks.finding import Finding
from bayonet.checks.run import Result, check
from bayonet.exchange import stl, threemf
from bayonet.exchange.folder import appearing_in
from bayonet.model.design import Design, changed

USUAL_CHORD_MM = 0.01
_CLEAR_OF_BOSS = 0.9

Progress = Callable[[str], None]
Paper = Literal["a4", "letter"]


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


def starting_file() -> str:
    """Text of a commented design file to start from."""
    return (files("bayonet") / "data" / "starting_file.toml").read_text("utf-8")


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
    paper: Paper = "a4",
    progress: Progress = lambda _: None,
) -> Made:
    """Write socket, plug, findings, pictures and tolerance report.

    Parameters
    ----------
    design : Design
    folder : str or Path
        Made if missing. Files appear together at the end, or not at all.
    chord_mm : float
        Greatest distance allowed between meshes and exact surface [mm].
    paper : {"a4", "letter"}
        Of the tolerance report.
    progress : callable
        Told what is being done, in a few words.

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
    progress("proving the motion, sampling the chains")
    result = check(design)
    with appearing_in(Path(folder)) as room:
        progress("building the solids")
        chord = _write_solids(result, room, chord_mm)
        progress("drawing, setting the report")
        _write_readings(result, room, paper)
        names = tuple(sorted(file.name for file in room.iterdir()))
    return Made(result=result, folder=Path(folder), files=names, chord_mm=chord)


def _write_solids(result: Result, room: Path, chord_mm: float) -> float:
    from bayonet import solids
    from bayonet.report import fitup
    from bayonet.solids import mesh, step, view

    design = result.design
    lock = result.proof.nominal.furthest_deg
    turned = lock if lock == lock else 0.0
    socket, plug = solids.socket(design.socket), solids.plug(design.plug, turned_deg=turned)
    title = f"{design.name}, rev {design.revision}"
    mark = " - FAILS, see findings.json" if result.verdict.value == "fail" else ""
    for solid, name, what in (
        (socket, "socket", f"Socket for: {title}{_seal_note(design)}{mark}"),
        (plug, "plug", f"Plug at lock, shoulder on the mouth face: {title}"),
    ):
        head = step.StepHead(product=name, description=what)
        step.write(solid, room / f"{name}.step", head=head)
    lift = design.plug.nose_depth_mm + _CLEAR_OF_BOSS * design.socket.boss_radius_mm
    drawing = view.fit_up(socket, solids.plug(design.plug), lift_mm=lift)
    fitup.write(drawing, result, svg=room / "fitup.svg", png=room / "fitup.png")
    triangles = mesh.meshed(socket, chord_mm=chord_mm)
    stl.write(triangles, room / "socket.stl", title=f"socket{mark}")
    threemf.write(triangles, room / "socket.3mf", title=f"Socket: {title}{mark}")
    return triangles.chord_mm


def _seal_note(design: Design) -> str:
    """What a machinist must know of the sealing surface and the solid cannot show."""
    socket = design.socket
    if socket.ring is None:
        return ""
    where = "mouth face or floor under the ring"
    if socket.seal_radius_mm is not None:
        where = f"sealing bore {2 * socket.seal_radius_mm:.2f} mm"
    return f"; {where}: finish 0.8 um rms or better, ring {socket.ring.name}"


def _write_readings(result: Result, room: Path, paper: Paper) -> None:
    from bayonet.report import content, html, machine, pdf, picture
    from bayonet.report.blocks import Picture

    picture.write(result, svg=room / "developed.svg", png=room / "developed.png")
    views = tuple(
        Picture(name=name, svg=(room / f"{name}.svg").read_text("utf-8"), words=words, width=width)
        for name, words, width in (
            ("fitup", "The plug above its socket, a quarter cut away.", 0.42),
            ("developed", "Lugs in their tracks, unrolled, and the free region.", 1.0),
        )
    )
    report = content.tolerance_report(result, views)
    (room / "report.html").write_text(html.page(report), "utf-8")
    (room / "tolerance_report.pdf").write_bytes(pdf.pages(report, paper=paper))
    names = tuple(sorted([*(file.name for file in room.iterdir()), "findings.json"]))
    (room / "findings.json").write_text(machine.as_json(result, files=names), "utf-8")
