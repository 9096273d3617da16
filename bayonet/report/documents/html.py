"""A report as one HTML file that needs nothing else: opens offline, prints in grey."""

from __future__ import annotations

import base64
from html import escape

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

_STYLE = """
:root { color-scheme: light; }
body { font: 15px/1.5 "DejaVu Sans", Verdana, sans-serif; color: #1f2a33; background: #fff;
  max-width: 60rem; margin: 2rem auto; padding: 0 1.2rem; }
h1 { font-size: 1.6rem; margin: 0 0 .3rem; } h2 { font-size: 1.2rem; margin: 2.2rem 0 .5rem;
  border-bottom: 2px solid #1f2a33; padding-bottom: .15rem; } h3 { font-size: 1rem;
  margin: 1.4rem 0 .3rem; }
p { margin: .4rem 0; } p.small { font-size: .85rem; color: #4a5560; }
p.caution { border: 2px solid #1f2a33; padding: .5rem .8rem; font-weight: 600; }
p.banner { position: sticky; top: 0; background: #fff; color: #a3262a; font-weight: 700;
  border-bottom: 2px solid #a3262a; padding: .3rem 0; margin: 0 0 1rem; }
table { border-collapse: collapse; width: 100%; font-size: .86rem; margin: .5rem 0 1rem; }
th { text-align: left; border-bottom: 1.5px solid #1f2a33; padding: .25rem .5rem .25rem 0;
  vertical-align: bottom; }
td { border-bottom: 1px solid #d9d4c7; padding: .22rem .5rem .22rem 0; vertical-align: top; }
.r { text-align: right; font-variant-numeric: tabular-nums; } tr.b td { font-weight: 700; }
figure { margin: .6rem 0 1rem; } figcaption { font-size: .85rem; color: #4a5560; }
img { max-width: 100%; height: auto; } ul { margin: .3rem 0; padding-left: 1.2rem; }
.beside { display: grid; gap: 0 1rem;
  grid-template-columns: repeat(auto-fit, minmax(15rem, 1fr)); }
.wide { overflow-x: auto; } section { break-inside: avoid; }
footer { margin-top: 3rem; font-size: .8rem; color: #4a5560; border-top: 1px solid #b3ab97; }
@media print { p.banner { position: fixed; left: 0; right: 0; }
  body { margin: 0; max-width: none; font-size: 10pt; } }
"""


def page(report: Report) -> str:
    """The whole file.

    Parameters
    ----------
    report : Report

    Returns
    -------
    str
        HTML with its pictures inside.
    """
    body = "\n".join(_block(block) for block in report.blocks)
    return (
        '<!doctype html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n'
        '<meta name="viewport" content="width=device-width, initial-scale=1">\n'
        f"<title>{escape(report.title)}</title>\n<style>{_STYLE}</style>\n</head>\n<body>\n"
        f"{_banner(report)}<main>\n{body}\n</main>\n<footer>{escape(report.foot)}</footer>\n</body>\n</html>\n"
    )


def _banner(report: Report) -> str:
    """Stays in sight while the page scrolls, and over every page that is printed."""
    return f'<p class="banner">{escape(report.banner)}</p>\n' if report.banner else ""


def _block(block: Block) -> str:
    match block:
        case Heading():
            return f"<h{block.level}>{escape(block.text)}</h{block.level}>"
        case Words():
            mark = "" if block.kind == "plain" else f' class="{block.kind}"'
            return f"<p{mark}>{escape(block.text)}</p>"
        case Points():
            items = "".join(f"<li>{escape(line)}</li>" for line in block.lines)
            return f"<ul>{items}</ul>"
        case Grid():
            return _grid(block)
        case Picture():
            return _picture(block)
        case Beside():
            return f'<div class="beside">{"".join(map(_picture, block.pictures))}</div>'
        case Together():
            return f"<section>{''.join(_block(one) for one in block.blocks)}</section>"
        case NewPage():
            return ""


def _grid(grid: Grid) -> str:
    marks = ['class="r"' if align == "right" else "" for align in grid.align]
    widths = "".join(f'<col style="width:{100 * w:.0f}%">' for w in grid.widths)
    head = "".join(f"<th {m}>{escape(h)}</th>" for h, m in zip(grid.head, marks, strict=True))
    rows = "".join(
        f"<tr{' class=b' if number in grid.bold else ''}>"
        + "".join(f"<td {m}>{escape(cell)}</td>" for cell, m in zip(row, marks, strict=True))
        + "</tr>"
        for number, row in enumerate(grid.rows)
    )
    return (
        f'<div class="wide"><table><colgroup>{widths}</colgroup><thead><tr>{head}</tr></thead>'
        f"<tbody>{rows}</tbody></table></div>"
    )


def _picture(picture: Picture) -> str:
    data = base64.b64encode(picture.svg.encode("utf-8")).decode("ascii")
    return (
        f'<figure><img style="width:{100 * picture.width:.0f}%" alt="{escape(picture.words)}" '
        f'src="data:image/svg+xml;base64,{data}"><figcaption>{escape(picture.words)}</figcaption>'
        "</figure>"
    )
