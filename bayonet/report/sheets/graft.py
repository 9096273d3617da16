"""The grafted tank on one sheet: the whole of it, and the socket in its wall cut away."""

from __future__ import annotations

from pathlib import Path

import numpy as np
from matplotlib.axes import Axes
from numpy.typing import NDArray

from bayonet.report.sheets import paper
from bayonet.shapes import LineDrawing

_MARGIN = 0.05


def write(
    whole: LineDrawing, detail: LineDrawing, *, name: str, sizes: tuple[str, ...],
    marks: tuple[str, ...], svg: Path, png: Path,
) -> None:  # fmt: skip
    """Write the sheet as SVG and PNG; the same graft gives the same bytes.

    Parameters
    ----------
    whole, detail : LineDrawing
        The tank, and the socket in its wall.
    name : str
    sizes : tuple of str
        Lines under the name.
    marks : tuple of str
        What a reader must not do with it.
    svg, png : Path
    """
    with paper.sheet(10.0, 5.9, svg=svg, png=png) as figure:
        left = figure.add_axes((0.02, 0.02, 0.46, 0.8))
        right = figure.add_axes((0.5, 0.02, 0.48, 0.8))
        draw(left, whole)
        draw(right, detail)
        figure.text(0.03, 0.945, paper.one_line(name), fontsize=12, weight="bold")
        for row, line in enumerate(sizes):
            figure.text(0.03, 0.91 - 0.03 * row, line, fontsize=8.5)
        figure.text(0.03, 0.03, "the tank, +Z upwards", fontsize=8)
        figure.text(0.97, 0.03, "the socket in its wall, a quarter cut away", fontsize=8,
                    ha="right")  # fmt: skip
        paper.marks(figure, marks, x=0.97, y=0.945, size=11)


def draw(axes: Axes, drawing: LineDrawing, *, weight: float = 1.0) -> None:
    """Draw lines and cut faces, filling the axes."""
    for outer, *holes in drawing.sections:
        paper.fill(
            axes, outer, *holes, facecolor=paper.MATERIAL, edgecolor=paper.LINING, hatch="////",
            linewidth=0.0, zorder=1,
        )  # fmt: skip
    for line in drawing.edges:
        axes.plot(*line.T, color=paper.INK, linewidth=0.8 * weight, solid_capstyle="round",
                  zorder=2)  # fmt: skip
    for line in drawing.outlines:
        axes.plot(*line.T, color=paper.INK, linewidth=1.5 * weight, solid_capstyle="round",
                  zorder=3)  # fmt: skip
    low, high = extent(drawing)
    room = _MARGIN * float((high - low).max())
    axes.set_xlim(low[0] - room, high[0] + room)
    axes.set_ylim(low[1] - room, high[1] + room)
    axes.set_aspect("equal")
    axes.set_axis_off()


def extent(drawing: LineDrawing) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Lowest and highest coordinates of a drawing."""
    lines = np.concatenate([*drawing.outlines, *drawing.edges])
    return lines.min(axis=0), lines.max(axis=0)
