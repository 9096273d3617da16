"""Look shared by the pictures: paper, ink and type, and files with the same bytes each time."""

from __future__ import annotations

import functools
import warnings
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import matplotlib as mpl
import numpy as np
from matplotlib import font_manager
from matplotlib.axes import Axes
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure
from matplotlib.patches import PathPatch
from matplotlib.path import Path as Outline
from numpy.typing import NDArray

from bayonet.report.sheets.layout import settle

Array = NDArray[np.float64]

INK = "#1f2a33"
MATERIAL = "#d9d4c7"
LINING = "#b3ab97"
LUG = "#2c6e8f"
FREE = "#cfe3d4"
TIGHT = "#3f7d4f"
WAY = "#b4531f"
FAIL = "#a3262a"

_LONGEST_NAME = 88
_LINE_SPACING = 1.35  # of the type size

STYLE = {
    "font.family": "DejaVu Sans",
    "font.size": 8.5,
    "axes.edgecolor": INK,
    "axes.labelcolor": INK,
    "axes.titlesize": 10,
    "axes.titlelocation": "left",
    "axes.linewidth": 0.8,
    "hatch.color": LINING,
    "hatch.linewidth": 0.6,
    "svg.fonttype": "path",
    "svg.hashsalt": "bayonet",
    "text.color": INK,
    "text.parse_math": False,
    "xtick.color": INK,
    "ytick.color": INK,
}

_WIDE = (
    "Noto Sans CJK SC", "Noto Sans CJK JP", "Source Han Sans SC", "WenQuanYi Zen Hei",
    "Microsoft YaHei", "MS Gothic", "Malgun Gothic", "PingFang SC", "Hiragino Sans",
    "Arial Unicode MS", "Noto Sans",
)  # fmt: skip
"""Fonts with signs DejaVu Sans lacks, asked in this order only for those signs: the first four as
free systems have them, the others as sold ones do; common practice, no source."""


@functools.cache
def _wide_fonts() -> tuple[str, ...]:
    there = {one.name for one in font_manager.fontManager.ttflist}
    return tuple(name for name in _WIDE if name in there)


@contextmanager
def sheet(width_in: float, height_in: float, *, svg: Path | None, png: Path) -> Iterator[Figure]:
    """A figure in the house's look, saved as SVG (if wanted) and PNG when the block ends."""
    style: Any = {**STYLE, "font.family": ["DejaVu Sans", *_wide_fonts()]}
    with mpl.rc_context(style), warnings.catch_warnings():
        # what none of the fonts has is drawn as an empty box; the name is whole in the texts
        warnings.filterwarnings("ignore", message=r"Glyph \d+ .*missing from font")
        figure = Figure(figsize=(width_in, height_in))
        FigureCanvasAgg(figure)
        yield figure
        settle(figure)
        if svg is not None:
            figure.savefig(svg, format="svg", metadata={"Date": None, "Creator": None})
        figure.savefig(png, format="png", dpi=130, metadata={"Software": None})


def marks(figure: Figure, lines: Iterable[str], *, x: float, y: float, size: float) -> None:
    """What a reader must not do with the part, one under the other, from the right at (x, y).

    Parameters
    ----------
    figure : Figure
    lines : iterable of str
    x, y : float
        Right end and baseline of the first line, as shares of the figure.
    size : float
        Of the type [pt].
    """
    step = _LINE_SPACING * size / (72.0 * figure.get_figheight())
    for row, line in enumerate(lines):
        figure.text(
            x, y - row * step, line, fontsize=size, weight="bold", color=FAIL, ha="right"
        )  # fmt: skip


def one_line(name: str) -> str:
    """A name as it fits on a sheet's head."""
    name = " ".join(name.split())
    return name if len(name) <= _LONGEST_NAME else name[: _LONGEST_NAME - 1] + "…"


def fill(axes: Axes, points: Array, *holes: Array, **style: object) -> None:
    """A filled polygon with holes."""
    vertices, codes = [], []
    for ring in (points, *holes):
        vertices += [*ring.tolist(), ring[0].tolist()]
        codes += [Outline.MOVETO, *[Outline.LINETO] * (len(ring) - 1), Outline.CLOSEPOLY]
    axes.add_patch(PathPatch(Outline(np.array(vertices), codes), **style))
