"""Clockings and tilts that clear, as a map."""

from __future__ import annotations

from itertools import pairwise
from pathlib import Path
from typing import Any

import numpy as np
from matplotlib.axes import Axes
from matplotlib.colors import Colormap, LinearSegmentedColormap, Normalize
from matplotlib.figure import Figure
from matplotlib.patches import Rectangle, Wedge
from numpy.typing import NDArray

from bayonet.report.sheets import paper
from bayonet.tank import Clearances, ClearMap

Array = NDArray[np.float64]

_SHADES = ("#c46a5a", "#efd9cd", "#e6f0e8", "#5f9a70")


def write(found: Clearances, *, name: str, up: str, clock_deg: float, svg: Path, png: Path) -> None:
    """Write the sheet as SVG and PNG.

    Parameters
    ----------
    found : Clearances
        With its map.
    name : str
    up : str
        Where clocking 0 points, e.g. ``tank's +Z``.
    clock_deg : float
        As asked for [deg].
    svg, png : Path
    """
    cells = found.map
    assert cells is not None
    with paper.sheet(11.0, 6.2, svg=svg, png=png) as figure:
        figure.text(0.03, 0.95, paper.one_line(f"{name}: clockings and tilts that clear"),
                    fontsize=12, weight="bold")  # fmt: skip
        figure.text(
            0.03, 0.915,
            f"least distance of valve (way in, turn, seat) and hand or tool; asked for"
            f" {found.clear_mm:g} mm; hatched: less. Known within {cells.error_mm:g} mm.",
            fontsize=8.5,
        )  # fmt: skip
        scale = _Scale(found.clear_mm, cells.cap_mm)
        _disc(figure.add_axes((0.03, 0.09, 0.42, 0.74)), cells, scale, up)
        _sheet(figure.add_axes((0.53, 0.36, 0.35, 0.43)), cells, scale, clock_deg)
        _bar(figure, scale)
        _proposed(figure, found)


class _Scale:
    def __init__(self, clear: float, cap: float) -> None:
        self.clear, self.cap = clear, max(cap, clear + 1e-9)
        self.low = -max(clear, 1.0)
        middle = (clear - self.low) / (self.cap - self.low)
        stops = [(0.0, _SHADES[0]), (middle, _SHADES[1]), (middle, _SHADES[2]), (1.0, _SHADES[3])]
        self.map: Colormap = LinearSegmentedColormap.from_list("clear", stops)
        self.norm = Normalize(self.low, self.cap, clip=True)

    def look(self, value: float) -> dict[str, Any]:
        bad = not value >= self.clear
        return {"facecolor": self.map(self.norm(value)), "hatch": "////" if bad else None,
                "edgecolor": "#b59a90" if bad else "white", "linewidth": 0.4}  # fmt: skip

    def word(self, value: float) -> str:
        return f"≥{self.cap:.0f}" if value >= self.cap else f"{round(value) + 0:d}"


def _disc(axes: Axes, cells: ClearMap, scale: _Scale, up: str) -> None:
    best = [max(row) for row in cells.distance_mm]
    rings = sorted({tilt for tilt, _ in cells.tilts})
    most = rings[-1] or 1.0
    step = rings[1] if len(rings) > 1 else 1.0
    around = len([1 for tilt, _ in cells.tilts if tilt == most and tilt > 0.0]) or 1
    half = 180.0 / around
    for (tilt, to), value in zip(cells.tilts, best, strict=True):
        outer = (tilt + step / 2) / (most + step / 2)
        inner = max(tilt - step / 2, 0.0) / (most + step / 2)
        if tilt == 0.0:
            axes.add_patch(Wedge((0, 0), outer, 0, 360, **scale.look(value)))
        else:
            middle = 90.0 + to
            axes.add_patch(Wedge((0, 0), outer, middle - half, middle + half,
                                 width=outer - inner, **scale.look(value)))  # fmt: skip
        at = tilt / (most + step / 2) * np.array([-np.sin(np.radians(to)), np.cos(np.radians(to))])
        x, y = at.tolist()
        axes.text(x, y, scale.word(value), ha="center", va="center", fontsize=6.5)
    for tilt in rings[1:]:
        axes.text(0.0, -(tilt + step / 2) / (most + step / 2), f"{tilt:g}°", fontsize=7,
                  ha="center", va="center", color="#5b666d",
                  bbox={"facecolor": "white", "edgecolor": "none", "pad": 0.6})  # fmt: skip
    axes.text(0.0, 1.04, f"leaning to {up}", ha="center", va="bottom", fontsize=8)
    axes.set_xlim(-1.06, 1.06)
    axes.set_ylim(-1.08, 1.12)
    axes.set_aspect("equal")
    axes.set_axis_off()
    axes.set_title("Tilt and where it leans, seen from outside: best of all clockings [mm]")


def _sheet(axes: Axes, cells: ClearMap, scale: _Scale, clock_deg: float) -> None:
    rings = sorted({tilt for tilt, _ in cells.tilts})
    values = np.array(cells.distance_mm)
    tilts = np.array([tilt for tilt, _ in cells.tilts])
    clocks = np.array(cells.clocks_deg)
    edges = np.append(clocks, 360.0)
    for row, ring in enumerate(rings):
        best = values[tilts == ring].max(axis=0)
        for column, value in enumerate(best.tolist()):
            left = edges[column]
            axes.add_patch(Rectangle((left, row), edges[column + 1] - left, 1.0,
                                     **scale.look(value)))  # fmt: skip
    axes.axvline(clock_deg % 360.0, color=paper.INK, linewidth=1.0, linestyle=":")
    axes.text(clock_deg % 360.0, len(rings) + 0.08, f"asked for {clock_deg:g}°", fontsize=7.5,
              ha="left", va="bottom")  # fmt: skip
    axes.set_xlim(0.0, 360.0)
    axes.set_ylim(0.0, len(rings))
    axes.set_xticks(np.arange(0.0, 361.0, 45.0))
    axes.set_yticks(np.arange(len(rings)) + 0.5, [f"{ring:g}°" for ring in rings])
    axes.set_xlabel("clocking [deg]")
    axes.set_ylabel("tilt")
    axes.set_title("Clocking and tilt: best of all leanings [mm]", pad=16)
    if not cells.depends_on_clock:
        axes.text(180.0, len(rings) / 2, "every clocking is alike: the valve is round and its"
                  " hand\nor tool may start at any angle", ha="center", va="center", fontsize=8,
                  bbox={"facecolor": "white", "edgecolor": "none", "pad": 2.0})  # fmt: skip


def _bar(figure: Figure, scale: _Scale) -> None:
    axes = figure.add_axes((0.92, 0.36, 0.018, 0.43))
    steps = np.linspace(scale.low, scale.cap, 60)
    for low, high in pairwise(steps.tolist()):
        look = scale.look((low + high) / 2) | {"linewidth": 0.0}
        axes.add_patch(Rectangle((0.0, low), 1.0, high - low, **look))
    axes.set_xlim(0.0, 1.0)
    axes.set_ylim(scale.low, scale.cap)
    axes.set_xticks([])
    axes.yaxis.tick_right()
    axes.set_yticks([scale.low, 0.0, scale.clear, scale.cap],
                    [f"≤{scale.low:g}", "0", f"{scale.clear:g}", f"≥{scale.cap:g}"])  # fmt: skip


def _proposed(figure: Figure, found: Clearances) -> None:
    figure.text(0.53, 0.245, "Proposed", fontsize=10)
    if not found.proposals:
        figure.text(0.53, 0.21, "nothing on this map clears: another place, see bayonet faces",
                    fontsize=8.5, color=paper.FAIL)  # fmt: skip
    for row, one in enumerate(found.proposals):
        toward = ",".join(f"{value + 0.0:.4f}" for value in one.toward)
        text = f"--clock {one.clock_deg:g} --toward {toward}"
        figure.text(0.53, 0.21 - 0.05 * row, text, fontsize=8.5, family="DejaVu Sans Mono")
        lean = f", leaning to {one.tilt_to_deg:g}°" if one.tilt_deg else ""
        figure.text(0.53, 0.188 - 0.05 * row, f"tilt {one.tilt_deg:g}°{lean}:"
                    f" {one.distance_mm:.1f} mm", fontsize=8)  # fmt: skip
