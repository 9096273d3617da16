"""The measuring sheet: a PDF to print, and its sketch."""

from __future__ import annotations

from pathlib import Path

from bayonet.exchange import Run, appearing_in
from bayonet.jobs.usual import Paper
from bayonet.measuring import letters_of, sketch, starting_file
from bayonet.parts import Plug, loads

MEASURE_FILES = ("measuring_sheet.pdf", "sketch.svg")


def measure(
    folder: str | Path,
    *,
    plug: Plug | None = None,
    seal: str = "radial",
    form: str = "block",
    units: str = "mm",
    paper: Paper = "a4",
    run: Run | None = None,
) -> tuple[str, ...]:
    """Write the sheet.

    Parameters
    ----------
    folder : str or Path
    plug : Plug or None
        Whose sketch is drawn; None: an example of the seal and form asked for.
    seal, form : str
        As for `bayonet.measuring.starting_file`.
    units : {"mm", "in"}
        Of the fields to fill in.
    paper : {"a4", "letter"}
    run : Run or None

    Returns
    -------
    tuple of str
        Names of the files.

    Raises
    ------
    DesignError
        If there is no such seal or form.
    ExportError
        If the folder cannot be written.
    """
    from bayonet.report.documents import measuring_sheet, pdf
    from bayonet.report.documents import sketch as drawing

    shown = loads(starting_file(seal=seal, form=form)).plug if plug is None else plug
    drawn, letters = sketch(shown), letters_of(_seal_of(shown))
    report = measuring_sheet.measuring_sheet(
        drawn, letters, title="Measuring sheet of a twist-lock plug", units=units, paper=paper
    )
    with appearing_in(Path(folder), run=run, expected=MEASURE_FILES) as room:
        (room / "measuring_sheet.pdf").write_bytes(pdf.pages(report, paper=paper))
        (room / "sketch.svg").write_text(drawing.sketch_svg(drawn), "utf-8")
    return MEASURE_FILES


def _seal_of(plug: Plug) -> str:
    return "none" if plug.ring_groove is None else plug.ring_groove.kind
