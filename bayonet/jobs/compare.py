"""The page of designs side by side."""

from __future__ import annotations

from pathlib import Path

from bayonet.checks import Comparison
from bayonet.exchange import Run, appearing_in

COMPARE_FILES = ("compare.html",)


def write(found: Comparison, folder: str | Path, *, run: Run | None = None) -> tuple[str, ...]:
    """Write the page with the designs' pictures side by side.

    Parameters
    ----------
    found : Comparison
    folder : str or Path
    run : Run or None

    Returns
    -------
    tuple of str
        Names of the files.

    Raises
    ------
    ExportError
        If the folder cannot be written.
    """
    from bayonet.report.documents import compare as page
    from bayonet.report.documents import html
    from bayonet.report.sheets import developed

    with appearing_in(Path(folder), run=run, expected=COMPARE_FILES) as room:
        pictures = []
        for result in found.results:
            svg, png = room / "one.svg", room / "one.png"
            if result is not None:
                developed.write(result, svg=svg, png=png)
            pictures.append("" if result is None else svg.read_text("utf-8"))
            svg.unlink(missing_ok=True)
            png.unlink(missing_ok=True)
        text = html.page(page.report(found, tuple(pictures)))
        (room / "compare.html").write_text(text, "utf-8")
    return COMPARE_FILES
