"""One page, whole in one file, of what a scan shows. Renders; computes no dimension."""

from __future__ import annotations

import base64
from collections.abc import Iterable, Sequence
from html import escape
from pathlib import Path

from bayonet.report.data import difference_cells, feature_cells, in_words, pooled_cells
from bayonet.report.sheets import scan as pictures
from bayonet.report.sheets.paper import FAIL, INK, LUG, MATERIAL, WAY
from bayonet.scan.describe import RULE, Comparison, Population
from bayonet.scan.fit import FeatureValue, ScanResult

NAME = "scan_report.html"

_STYLE = f"""
body {{ font: 15px/1.5 "DejaVu Sans", Verdana, sans-serif; color: {INK}; max-width: 62rem;
  margin: 2rem auto; padding: 0 1rem; }}
h1 {{ font-size: 1.4rem; }} h2 {{ font-size: 1.1rem; margin-top: 2.2rem; }}
img {{ width: 100%; height: auto; }} img.half {{ width: 58%; }}
table {{ border-collapse: collapse; width: 100%; font-size: .88rem; }}
th, td {{ text-align: left; padding: .22rem .6rem; border-bottom: 1px solid {MATERIAL}; }}
td.n, th.n {{ text-align: right; font-variant-numeric: tabular-nums; white-space: nowrap; }}
tr.unseen td {{ color: {FAIL}; }} tr.inferred td {{ color: {LUG}; font-style: italic; }}
tr.differs td {{ font-weight: bold; color: {FAIL}; }}
ul.look {{ border-left: 4px solid {WAY}; padding: .4rem 0 .4rem 1.8rem; }}
@media print {{ h2 {{ break-after: avoid; }} tr, img {{ break-inside: avoid; }} }}
"""

_CAPTIONS = {
    pictures.MAP: "Unrolled about its axis: the brighter, the larger the radius.",
    pictures.DEVIATION: "Where the part departs from the found shape: wear, dirt, ovality.",
    pictures.PROFILE: "Every point by depth and radius, and the profile found.",
    pictures.RESIDUALS: "What the found shape does not explain.",
}
_CAUTION = (
    "Numbers with their uncertainty are what this scan shows of this one part; they say nothing of"
    " other parts, and cannot replace the proof test of the joint under pressure. Follow your"
    " local code."
)


def write(
    result: ScanResult,
    folder: Path,
    *,
    name: str,
    unit_note: str,
    comparison: Comparison | None = None,
    population: Population | None = None,
) -> None:
    """Write ``scan_report.html`` from pictures already in the folder.

    Parameters
    ----------
    result : ScanResult
    folder : Path
        Holds the files of `bayonet.report.sheets.scan`.
    name, unit_note : str
        The scan's.
    comparison, population : optional
        Shown where given.
    """
    parts = [f"<h1>{escape(name)}</h1>", f"<p>{escape(in_words(result))} {escape(unit_note)}.</p>"]
    parts.append(_warnings(result))
    if comparison is not None:
        parts += ["<h2>Against the file</h2>", _comparison(comparison)]
    if population is not None:
        parts += ["<h2>Several samples</h2>", _population(population)]
    parts += [_picture(folder, pictures.MAP), "<h2>Dimensions</h2>", _features(result.features)]
    if result.form:
        parts += ["<h2>Form</h2>", _features(result.form)]
    parts += [_picture(folder, one) for one in pictures.NAMES[1:]]
    parts.append(f"<p>{escape(_CAUTION)}</p>")
    text = (
        f'<!DOCTYPE html><html lang="en"><head><meta charset="utf-8">'
        f"<title>{escape(name)}</title><style>{_STYLE}</style></head><body>"
        + "\n".join(parts)
        + "</body></html>\n"
    )
    (folder / NAME).write_text(text, encoding="utf-8")


def _warnings(result: ScanResult) -> str:
    told = [*result.warnings, *(f"lug {lug + 1}: {what}" for lug, what in result.flags)]
    if not told:
        return ""
    rows = "".join(f"<li>{escape(text)}</li>" for text in told)
    return f'<h2>Look at this</h2><ul class="look">{rows}</ul>'


def _picture(folder: Path, name: str) -> str:
    data = base64.b64encode((folder / name).read_bytes()).decode("ascii")
    size = ' class="half"' if name == pictures.RESIDUALS else ""
    caption = escape(_CAPTIONS[name])
    return f'<p><img{size} alt="{caption}" src="data:image/png;base64,{data}"><br>{caption}</p>'


def _table(head: Sequence[str], rows: Iterable[tuple[str, Sequence[str]]], numeric: int) -> str:
    """A table whose columns 1 to ``numeric`` hold numbers; each row has a class."""

    def line(cells: Sequence[str], tag: str) -> str:
        kinds = [' class="n"' if 0 < i <= numeric else "" for i in range(len(cells))]
        return "".join(f"<{tag}{k}>{escape(c)}</{tag}>" for k, c in zip(kinds, cells, strict=True))

    body = "".join(f'<tr class="{kind}">{line(cells, "td")}</tr>' for kind, cells in rows)
    return f"<table><thead><tr>{line(head, 'th')}</tr></thead><tbody>{body}</tbody></table>"


_KINDS = {"not seen": "unseen", "by symmetry": "inferred", "measured": ""}


def _features(features: Sequence[FeatureValue]) -> str:
    head = ("dimension", "value", "± U (k = 2)", "seen", "unit", "how found")
    rows = [(_KINDS[one.found], feature_cells(one)) for one in features]
    return _table(head, rows, 3)


def _comparison(comparison: Comparison) -> str:
    kinds = "".join(f"<li>{escape(text)}</li>" for text in comparison.structure)
    rows = [(row.verdict.replace(" ", "-"), difference_cells(row)) for row in comparison.rows]
    head = ("dimension", "file", "scan", "difference", "± U (k = 2)", "limit ±", "unit", "verdict")
    listed = f'<ul class="look">{kinds}</ul>' if kinds else ""
    return f"{listed}{_table(head, rows, 5)}<p>{escape(RULE)}.</p>"


def _population(population: Population) -> str:
    head = ("dimension", "mean", "± U (k = 2)", "scatter s", "samples", "unit")
    rows = [("", pooled_cells(row)) for row in population.rows]
    limits = "".join(
        f"<li>{escape(one.kind)}s: ± {one.half_width:.3g} {one.unit} = {one.factor:.2f} s, s ="
        f" {one.scatter:.3g} {one.unit} pooled over {one.dof} degrees of freedom</li>"
        for one in population.limits
    )
    words = (
        f"Limits that hold {population.coverage:.0%} of the production with"
        f" {population.confidence:.0%} confidence, if it is normal (ISO 16269-6; exact factor):"
    )
    return f"{_table(head, rows, 4)}<p>{escape(words)}</p><ul>{limits}</ul>"
