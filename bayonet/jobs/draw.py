"""The machinist's drawing of a design: judge it, take views of the exact socket, set the sheets."""

from __future__ import annotations

import hashlib
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from bayonet.cell import Limits, call
from bayonet.checks import Result, check
from bayonet.dimensions import Record, record_of
from bayonet.errors import DesignError, ExportError, KernelError, Problem
from bayonet.exchange import Run, appearing_in
from bayonet.parts import Design, Socket
from bayonet.shapes import ProjectedView

if TYPE_CHECKING:
    from bayonet.drawing import Angle, Drawing, Paper

DRAW_FILES = ("drawing.dxf", "drawing.pdf", "drawing.svg")
_VIEW_S = 40.0
_VIEW_BYTES = 2e9

Progress = Callable[[str], None]


@dataclass(frozen=True, kw_only=True)
class Drawn:
    """What `draw` wrote."""

    result: Result
    record: Record
    drawing: Drawing
    folder: Path
    files: tuple[str, ...]


def draw(
    design: Design,
    folder: str | Path,
    *,
    paper: Paper = "a3",
    projection: Angle = "first",
    inch: bool = False,
    run: Run | None = None,
    progress: Progress = lambda _: None,
) -> Drawn:
    """Write drawing.pdf, drawing.svg and drawing.dxf of the socket.

    Parameters
    ----------
    design : Design
    folder : str or Path
    paper : {"a3", "a4", "tabloid", "letter"}
    projection : {"first", "third"}
    inch : bool
        Put inches beside millimetres.
    run : Run or None
    progress : callable

    Returns
    -------
    Drawn

    Raises
    ------
    DesignError
        If the socket has more than one part: it is not drawn as if it were one.
    KernelError
        If the CAD kernel gives no views.
    ExportError
        If no scale fits the paper, or the folder cannot be written.
    """
    refuse_two_parts(design)
    with appearing_in(Path(folder), run=run, expected=DRAW_FILES) as room:
        progress("proving the motion, sampling the chains")
        result = check(design)
        progress("taking views of the exact socket")
        record, drawing = drawn(result, paper=paper, projection=projection, inch=inch)
        progress("setting the sheets")
        write(result, drawing, room)
        names = tuple(sorted(file.name for file in room.iterdir()))
    return Drawn(result=result, record=record, drawing=drawing, folder=Path(folder), files=names)


def drawn(result: Result, *, paper: Paper, projection: Angle, inch: bool) -> tuple[Record, Drawing]:
    """The record and the sheets of a judged design."""
    from bayonet.drawing import Head, Scene, composed, section_angles

    socket = result.design.socket
    angles = section_angles(socket)
    plan, slot, stop, isometric = views(socket, angles)
    record = record_of(result)
    scene = Scene(
        result=result, record=record, plan=plan, through_slot=slot, at_stop=stop,
        isometric=isometric, slot_deg=angles[0], stop_deg=angles[1], scale=1.0, inch=inch,
    )  # fmt: skip
    head = Head(drawn_from=_mark(result.design), projection=projection)
    return record, composed(scene, paper=paper, head=head)


def views(socket: Socket, angles: tuple[float, ...]) -> tuple[ProjectedView, ...]:
    """Views with hidden lines removed exactly; from the mesh where that does not end.

    They are taken in a process of their own: exact removal can take minutes on a helix of several
    turns, and a process can be stopped.
    """
    from bayonet.solids.fitting import views_of

    limits = Limits(processor_s=_VIEW_S, clock_s=8.0 * _VIEW_S, memory_bytes=_VIEW_BYTES)
    doing = "taking views for the drawing"
    try:
        return call(views_of, socket, section_deg=angles, exact=True, limits=limits, doing=doing)
    except KernelError:
        return call(views_of, socket, section_deg=angles, exact=False, limits=limits, doing=doing)


def write(result: Result, drawing: Drawing, room: Path) -> None:
    """The files of a drawing, into a folder that is there.

    Raises
    ------
    ExportError
        If the document is not sound by `ezdxf`'s own audit.
    """
    from bayonet.drawing import dxf, pages

    doc = dxf.document(drawing)
    audit = doc.audit()
    if audit.has_errors or audit.has_fixes:
        raise ExportError(f"drawing.dxf: {len(audit.errors)} errors in the document")
    strokes = pages.strokes_of(doc, drawing)
    title = f"Socket: {result.design.name}, revision {result.design.revision}"
    (room / "drawing.dxf").write_bytes(dxf.text_of(doc))
    (room / "drawing.svg").write_text(pages.svg_of(strokes, drawing), "utf-8")
    (room / "drawing.pdf").write_bytes(pages.pdf_of(strokes, drawing, title=title))


def refuse_two_parts(design: Design) -> None:
    """Say that a socket of two parts is not drawn yet, rather than draw another one.

    Raises
    ------
    DesignError
        If the socket is a ring on a body.
    """
    if design.socket.joint is not None:
        rule = (
            "a socket of two parts (ring and body) is not drawn yet: use the parts' STEP files;"
            " a drawing of one piece would be wrong"
        )
        raise DesignError(
            [Problem(file=design.name, line=None, field="socket.joint", value="", rule=rule)]
        )


def _mark(design: Design) -> str:
    """A short mark of the design's contents, so that a print can be matched with its file."""
    return hashlib.sha256(design.to_toml().encode("utf-8")).hexdigest()[:12]
