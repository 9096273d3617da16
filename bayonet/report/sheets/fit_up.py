"""The plug above its socket, a quarter of the socket cut away."""

from __future__ import annotations

from pathlib import Path

import numpy as np

from bayonet.checks import Result
from bayonet.report.sheets import paper
from bayonet.shapes import LineDrawing

_MARGIN = 0.06


def write(drawing: LineDrawing, result: Result, *, svg: Path, png: Path) -> None:
    """Write the view as SVG and PNG; the same result gives the same bytes.

    Parameters
    ----------
    drawing : LineDrawing
    result : Result
        Names the sheet and says if it fails.
    svg, png : Path
    """
    lines = np.concatenate([*drawing.outlines, *drawing.edges])
    low, high = lines.min(axis=0), lines.max(axis=0)
    width, height = high - low
    with paper.sheet(6.4, 6.4 * float(height / width) + 0.9, svg=svg, png=png) as figure:
        axes = figure.add_axes((0.02, 0.01, 0.96, 0.9))
        for outer, *holes in drawing.sections:
            paper.fill(
                axes, outer, *holes, facecolor=paper.MATERIAL, edgecolor=paper.LINING,
                hatch="////", linewidth=0.0, zorder=1,
            )  # fmt: skip
        for line in drawing.edges:
            axes.plot(*line.T, color=paper.INK, linewidth=0.8, solid_capstyle="round", zorder=2)
        for line in drawing.outlines:
            axes.plot(*line.T, color=paper.INK, linewidth=1.6, solid_capstyle="round", zorder=3)
        room = _MARGIN * width
        axes.set_xlim(low[0] - room, high[0] + room)
        axes.set_ylim(low[1] - room, high[1] + room)
        axes.set_aspect("equal")
        axes.set_axis_off()
        figure.text(0.04, 0.955, paper.one_line(result.design.name), fontsize=11, weight="bold")
        note = "plug above its socket, a quarter cut away; see developed.svg for sizes"
        figure.text(0.04, 0.93, note, fontsize=8)
        paper.marks(figure, result.marks, x=0.96, y=0.905, size=10)
