"""A tank's faces, numbered: as a picture from two sides, and as a table."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from rich import box
from rich.console import Console
from rich.table import Table

from bayonet.report.sheets import paper
from bayonet.report.sheets.graft import draw
from bayonet.tank import NumberedView, TankFace

_LONGEST_NAME = 20
_CAPTIONS = ("from the front right, above", "from the back left, below")


def write(views: Sequence[NumberedView], *, name: str, svg: Path, png: Path) -> None:
    """Write the picture as SVG and PNG."""
    with paper.sheet(11.0, 6.2, svg=svg, png=png) as figure:
        figure.text(0.03, 0.945, paper.one_line(name), fontsize=12, weight="bold")
        figure.text(0.03, 0.91, "numbers for --face; a number stands on its face", fontsize=8.5)
        for column, (view, caption) in enumerate(zip(views, _CAPTIONS, strict=True)):
            axes = figure.add_axes((0.02 + 0.49 * column, 0.06, 0.47, 0.82))
            draw(axes, view.drawing, weight=0.8)
            for label in view.labels:
                axes.text(
                    *label.place, str(label.number), fontsize=8.5, weight="bold", ha="center",
                    va="center", color=paper.LUG, zorder=6,
                    bbox={"boxstyle": "circle,pad=0.22", "fc": "white", "ec": paper.LUG, "lw": 0.8},
                )  # fmt: skip
            figure.text(0.25 + 0.49 * column, 0.03, caption, fontsize=8, ha="center")


def show(faces: Sequence[TankFace], console: Console) -> None:
    """Print the table: outside faces first, the largest first."""
    table = Table(box=box.HORIZONTALS, pad_edge=False)
    for title, right in (("face", True), ("solid", False), ("kind", False), ("area mm2", True),
                         ("middle mm", True), ("looks", True), ("size mm", True),
                         ("side", False)):  # fmt: skip
        table.add_column(title, justify="right" if right else "left", no_wrap=title != "solid")
    for face in sorted(faces, key=lambda f: (not f.outside, -f.area_mm2, f.number)):
        table.add_row(
            str(face.number), _short(face.solid), face.kind, f"{face.area_mm2:.0f}",
            _words(face.middle, 1), _words(face.normal, 2), _words(face.size, 0),
            "outside" if face.outside else "inside",
        )  # fmt: skip
    console.print(table)


def _short(name: str) -> str:
    return name if len(name) <= _LONGEST_NAME else name[: _LONGEST_NAME - 1] + "…"


def _words(vector: tuple[float, float, float], digits: int) -> str:
    return ",".join(f"{round(value, digits) + 0.0:.{digits}f}" for value in vector)
