"""A report as PDF pages by way of Typst: A4 or Letter, one typeface, the same bytes each time."""

from __future__ import annotations

from pathlib import Path
from typing import Literal

from bayonet.errors import ExportError
from bayonet.report.documents.blocks import (
    Beside,
    Block,
    Grid,
    Heading,
    NewPage,
    Picture,
    Points,
    Report,
    Together,
    Words,
)

Paper = Literal["a4", "letter"]

_PAPERS = {"a4": "a4", "letter": "us-letter"}
_STAMP = 946_684_800  # 2000-01-01, as in the other files

_HEAD = """
#set page(paper: "{paper}", margin: (x: 17mm, top: 16mm, bottom: 18mm), header: [
  #text(size: 8pt, weight: "bold", fill: rgb("#a3262a"))[{banner}]
], footer: context [
  #set text(size: 7pt, fill: luma(90))
  #grid(columns: (1fr, auto), [{foot}], [page #counter(page).display("1 / 1", both: true)])
])
#set document(title: [{title}], date: none)
#set text(font: "DejaVu Sans", size: 8.6pt, fill: rgb("#1f2a33"), lang: "en", hyphenate: false)
#set par(justify: false, leading: 0.58em)
#show heading.where(level: 1): set text(size: 15pt)
#show heading.where(level: 2): it => block(above: 16pt, below: 7pt, width: 100%, stroke: (bottom:
  1.2pt + rgb("#1f2a33")), inset: (bottom: 3pt), text(size: 11.5pt, it.body))
#show heading.where(level: 3): it => block(above: 11pt, below: 5pt, text(size: 9.5pt, it.body))
#show table.cell.where(y: 0): set text(weight: "bold")
#let ruled(x, y) = if y == 0 {{ (bottom: 0.9pt + rgb("#1f2a33")) }} else {{
  (bottom: 0.4pt + rgb("#d9d4c7"))
}}
#set table(stroke: ruled, inset: (x: 3pt, y: 3.2pt))
"""


def pages(report: Report, *, paper: Paper = "a4") -> bytes:
    """The whole file.

    Parameters
    ----------
    report : Report
    paper : {"a4", "letter"}

    Returns
    -------
    bytes

    Raises
    ------
    ExportError
        If the pages cannot be set.
    """
    import matplotlib
    import typst

    pictures: dict[str, bytes] = {}
    body = "\n\n".join(_block(block, pictures) for block in report.blocks)
    head = _HEAD.format(
        paper=_PAPERS[paper],
        foot=_escaped(report.foot),
        title=_escaped(report.title),
        banner=_escaped(report.banner),
    )
    fonts = Path(matplotlib.get_data_path()) / "fonts" / "ttf"
    files = {"main.typ": f"{head}\n{body}\n".encode(), **pictures}
    try:
        made = typst.compile(  # type: ignore[call-overload]  # its stubs know no dict of files
            files, font_paths=[str(fonts)], ignore_system_fonts=True, timestamp=_STAMP
        )
    except Exception as error:  # the binding has no exception of its own to name
        raise ExportError(f"tolerance_report.pdf: the pages could not be set: {error}") from error
    assert isinstance(made, bytes)
    return made


def _escaped(text: str) -> str:
    """Text in which no character means anything to Typst."""
    return "".join(f"\\{char}" if char in "\\#$*_`<>@[]=-+/~'\"" else char for char in text)


def _block(block: Block, pictures: dict[str, bytes]) -> str:
    match block:
        case Heading():
            return f"#heading(level: {block.level})[{_escaped(block.text)}]"
        case Words():
            return _words(block)
        case Points():
            return "\n".join(f"- {_escaped(line)}" for line in block.lines)
        case Grid():
            return _grid(block)
        case Picture():
            name = f"{block.name}.svg"
            pictures[name] = block.svg.encode("utf-8")
            return (
                f'#block(breakable: false)[#image("{name}", width: {100 * block.width:.0f}%)\n'
                f"#text(size: 7.4pt, fill: luma(80))[{_escaped(block.words)}]]"
            )
        case Beside():
            inside = ", ".join(f"[{_block(one, pictures)}]" for one in block.pictures)
            return f"#grid(columns: {len(block.pictures)}, gutter: 4pt, {inside})"
        case Together():
            inside = "\n\n".join(_block(one, pictures) for one in block.blocks)
            return f"#block(breakable: false, width: 100%)[{inside}]"
        case NewPage():
            return "#pagebreak(weak: true)"


def _words(words: Words) -> str:
    text = _escaped(words.text)
    if words.kind == "small":
        return f"#text(size: 7.4pt, fill: luma(80))[{text}]"
    if words.kind == "caution":
        return f"#block(width: 100%, stroke: 1.2pt, inset: 6pt)[*{text}*]"
    return text


def _grid(grid: Grid) -> str:
    columns = ", ".join(f"{width:g}fr" for width in grid.widths)
    align = ", ".join(grid.align)
    head = ", ".join(f"[{_escaped(text)}]" for text in grid.head)
    rows = []
    for number, row in enumerate(grid.rows):
        bold = number in grid.bold
        rows.append(", ".join(_cell(cell, bold=bold) for cell in row))
    inside = ",\n  ".join(rows)
    return (
        f"#text(size: 7.8pt)[#table(columns: ({columns},), align: ({align},),\n"
        f"  table.header({head}),\n  {inside}\n)]"
    )


def _cell(text: str, *, bold: bool) -> str:
    return f"[*{_escaped(text)}*]" if bold and text else f"[{_escaped(text)}]"
