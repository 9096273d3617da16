"""One strip a chain: its loop of dimensions, how it is spread, and who contributes."""

from __future__ import annotations

import io
import math
import textwrap

import matplotlib as mpl
import numpy as np
from matplotlib.axes import Axes
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure

from bayonet.checks import shown_in
from bayonet.report.sheets import paper
from bayonet.report.sheets.layout import settle
from bayonet.tolerance.advice import Link
from bayonet.tolerance.chains import ChainFigures

_BARS = 7
_BINS = 90
_SOCKET, _PLUG, _RING = paper.LINING, paper.LUG, "#7a8a66"
_COLOURS = {"socket": _SOCKET, "plug": _PLUG, "ring": _RING, "assembly": paper.INK}

_LETTERS = 26  # of a line beside the arrow that is left, within its panel


def strip(figures: ChainFigures, loop: tuple[Link, ...]) -> str:
    """The picture of one chain as SVG text.

    Parameters
    ----------
    figures : ChainFigures
    loop : tuple of Link
        Empty where the quantity is no simple sum.

    Returns
    -------
    str
    """
    with mpl.rc_context(paper.STYLE):  # type: ignore[arg-type]
        figure = Figure(figsize=(9.6, 2.25))
        FigureCanvasAgg(figure)
        grid = figure.add_gridspec(
            1, 3, width_ratios=[0.85, 1.2, 0.75], left=0.012, right=0.985, top=0.87, bottom=0.19,
            wspace=0.06,
        )  # fmt: skip
        _loop(figure.add_subplot(grid[0, 0]), figures, loop)
        _spread(figure.add_subplot(grid[0, 1]), figures)
        _contributors(figure.add_subplot(grid[0, 2]), figures)
        settle(figure)
        out = io.StringIO()
        figure.savefig(out, format="svg", metadata={"Date": None, "Creator": None})
    return out.getvalue()


def _loop(axes: Axes, figures: ChainFigures, loop: tuple[Link, ...]) -> None:
    """Arrows that add and take away; what is left is the chain. Not to scale."""
    axes.set_axis_off()
    axes.set_title("dimensions (not to scale)", fontsize=8)
    axes.set_xlim(-0.06, 1.12)
    axes.set_ylim(-0.2, len(loop) + 1.15)
    if not loop:
        axes.text(0.5, 0.55, "no plain sum:\nsee the contributors", ha="center", fontsize=8)
        return
    places = _places(loop)
    top = len(loop) + 0.7
    ends = []
    for number, (link, (start, end)) in enumerate(zip(loop, places, strict=True)):
        y = top - number
        _arrow(axes, start, end, y, _COLOURS[link.owner], 2.2)
        axes.text((start + end) / 2, y + 0.17, f"{link.meaning} {link.value:.3f}",
                  ha="center", fontsize=7.2)  # fmt: skip
        ends.append((end, y))
    last = places[-1][1]
    y = top - len(loop)
    _arrow(axes, 0.0, last, y, paper.WAY, 2.6)
    title = textwrap.fill(figures.chain.title, _LETTERS)
    axes.text(last + 0.03, y - 0.06, title, ha="left", va="center", fontsize=7.6,
              weight="bold", color=paper.WAY)  # fmt: skip
    axes.plot([0, 0], [y - 0.25, top + 0.15], color=paper.INK, linewidth=0.8)
    for (end, at), below in zip(ends, [*(y for _, y in ends[1:]), y], strict=True):
        axes.plot([end, end], [below - 0.1, at + 0.1], color=paper.INK, linewidth=0.5,
                  linestyle=(0, (4, 3)))  # fmt: skip


def _arrow(axes: Axes, start: float, end: float, y: float, colour: str, width: float) -> None:
    axes.annotate(
        "", (end, y), (start, y),
        arrowprops={"arrowstyle": "-|>", "color": colour, "linewidth": width,
                    "shrinkA": 0.0, "shrinkB": 0.0, "mutation_scale": 9.0},
    )  # fmt: skip


def _places(loop: tuple[Link, ...]) -> list[tuple[float, float]]:
    """Where each arrow starts and ends: sums that end a little off the start."""
    ups = sum(link.sign > 0 for link in loop)
    downs = len(loop) - ups
    places, at = [], 0.0
    for link in loop:
        step = 1.0 / ups if link.sign > 0 else -0.78 / max(downs, 1)
        places.append((at, at + step))
        at += step
    return places


def _spread(axes: Axes, figures: ChainFigures) -> None:
    scale, unit = shown_in(figures.chain)
    chain, worst = figures.chain, figures.worst
    kept = scale * figures.sampled.kept
    limits = [scale * x for x in (chain.low, chain.high) if math.isfinite(x)]
    inner = [scale * x for x in figures.sampled.interval(0.9973)]
    low = min([inner[0], scale * worst.low, *limits])
    high = max([inner[1], scale * worst.high, *limits])
    if not high > low:
        axes.set_axis_off()
        axes.text(0.5, 0.5, f"always {low:.3g} {unit}", ha="center", transform=axes.transAxes)
        return
    pad = 0.06 * (high - low)
    counts, edges = np.histogram(kept, bins=_BINS, range=(low - pad, high + pad))
    axes.fill_between(edges, [*counts, 0], step="post", color=paper.MATERIAL, linewidth=0)
    axes.step(edges, [*counts, 0], where="post", color=paper.INK, linewidth=0.8)
    peak = float(counts.max())
    for limit in limits:
        axes.axvline(limit, color=paper.FAIL, linewidth=1.4)
        axes.text(limit, 1.22 * peak, f" limit {limit:.3g}", fontsize=7, color=paper.FAIL,
                  ha="left" if limit <= (low + high) / 2 else "right", va="top")  # fmt: skip
    for ends, level, words in (
        ((scale * worst.low, scale * worst.high), 1.06, "worst case"),
        (tuple(inner), 0.96, "99.73 %"),
    ):
        axes.plot(
            ends, [level * peak] * 2, color=paper.INK, linewidth=1.1, marker="|", markersize=5
        )
        axes.text(sum(ends) / 2, level * peak, words, fontsize=6.6, ha="center", va="center",
                  bbox={"facecolor": "white", "edgecolor": "none", "pad": 0.6})  # fmt: skip
    axes.axvline(scale * figures.nominal, color=paper.INK, linewidth=0.8, linestyle=(0, (5, 3)))
    axes.set_xlim(low - pad, high + pad)
    axes.set_ylim(0, 1.24 * peak)
    axes.set_yticks([])
    axes.set_title(f"{figures.chain.title} [{unit}], dashed: nominal", fontsize=8)
    for side in ("left", "top", "right"):
        axes.spines[side].set_visible(False)


def _contributors(axes: Axes, figures: ChainFigures) -> None:
    """Share of variance as bars, share of the worst case as ticks; alike variables together."""
    axes.set_title("share of variance (bar), of worst case (tick)", fontsize=8, loc="right")
    rows = grouped(figures)[:_BARS]
    for number, (name, owner, variance, worst) in enumerate(rows):
        axes.barh(number, 100 * variance, color=_COLOURS[owner], height=0.62)
        axes.plot([100 * worst] * 2, [number - 0.36, number + 0.36], color=paper.INK, linewidth=1.3)
        axes.text(1.5 + 100 * max(variance, worst), number, name, va="center", fontsize=6.8)
    axes.set_ylim(_BARS - 0.4, -0.6)
    axes.set_xlim(0, 160)
    axes.set_xticks([0, 25, 50, 75, 100], ["0", "25", "50", "75", "100 %"])
    axes.set_yticks([])
    for side in ("top", "right"):
        axes.spines[side].set_visible(False)


def grouped(figures: ChainFigures) -> list[tuple[str, str, float, float]]:
    """Name, owner, shares of variance and worst case; x and y of a round zone as one."""
    found: dict[str, tuple[str, float, float]] = {}
    for one in figures.first.contributors:
        name = one.meaning.removesuffix(", x").removesuffix(", y")
        owner, variance, worst = found.get(name, (one.owner, 0.0, 0.0))
        found[name] = (owner, variance + one.variance_share, worst + one.worst_case_share)
    rows = [(name, *values) for name, values in found.items()]
    return sorted(rows, key=lambda row: (-round(row[2], 9), row[0]))
