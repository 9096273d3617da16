"""The nearest places round a grafted socket: two views, the way in, and a table."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import numpy as np
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from numpy.typing import NDArray

from bayonet.report.sheets import paper
from bayonet.surroundings import Outline, Scene
from bayonet.tank import Clearances, Place

Array = NDArray[np.float64]

_GREY = "#9aa3a8"
_LOOK: dict[str, dict[str, Any]] = {
    "hand": {"facecolor": "#f3ead9", "edgecolor": paper.WAY, "linestyle": "--"},
    "insertion": {"facecolor": "#e8f0ea", "edgecolor": paper.TIGHT, "linestyle": ":"},
    "turn": {"facecolor": "#dce9f0", "edgecolor": paper.LUG, "linestyle": "-."},
    "seated": {"facecolor": "#c9dde8", "edgecolor": paper.INK, "linestyle": "-"},
}
_NAMES = {"hand": "hand or tool", "insertion": "way in along the axis", "turn": "turn",
          "seated": "seated valve", "tank": "tank with socket"}  # fmt: skip
_MARKED = 8
_DOTS: dict[str, Any] = {
    "linestyle": "none", "marker": ".", "markersize": 1.1, "markeredgewidth": 0.0,
    "rasterized": True,
}  # fmt: skip


def write(found: Clearances, scene: Scene, *, name: str, svg: Path, png: Path) -> None:
    """Write the sheet as SVG and PNG; the same distances give the same bytes.

    Parameters
    ----------
    found : Clearances
    scene : Scene
    name : str
    svg, png : Path
    """
    places = sorted((*found.places, *found.own), key=lambda place: place.distance_mm)[:_MARKED]
    with paper.sheet(11.0, 8.6, svg=svg, png=png) as figure:
        figure.text(0.03, 0.965, paper.one_line(f"{name}: what stands round it"), fontsize=12,
                    weight="bold")  # fmt: skip
        valve = f"valve: {found.valve_source}"
        hand = "" if found.hand is None else f"; turned by: {found.hand.name}"
        figure.text(0.03, 0.942, f"least distance asked for {found.clear_mm:g} mm; {valve}{hand}",
                    fontsize=8.5)  # fmt: skip
        _plan(figure.add_axes((0.03, 0.42, 0.44, 0.48)), scene, places)
        _section(figure.add_axes((0.56, 0.47, 0.42, 0.42)), scene, places)
        _way(figure.add_axes((0.07, 0.075, 0.40, 0.27)), found)
        _table(figure, found, places)


def _plan(axes: Axes, scene: Scene, places: list[Place]) -> None:
    points = _turned(scene.points[:, :2], scene)
    above = scene.points[:, 2] > -1.0
    for part, colour in ((~above, "#d5d9db"), (above, _GREY)):
        axes.plot(*points[part].T, color=colour, zorder=1, **_DOTS)
    for outline in _ordered(scene.outlines):
        _shape(axes, outline, _turned(outline.plan, scene))
    angle = np.linspace(0.0, 2.0 * np.pi, 121)
    axes.plot(scene.boss_mm * np.cos(angle), scene.boss_mm * np.sin(angle), color=paper.INK,
              linewidth=1.4, zorder=5)  # fmt: skip
    for number, place in enumerate(places, 1):
        ends = np.array([place.ours_fitting[:2], place.theirs_fitting[:2]])
        _mark(axes, _turned(ends, scene), number, scene.reach_mm)
    reach = scene.reach_mm
    axes.set_xlim(-reach, reach)
    axes.set_ylim(-reach, reach)
    axes.set_aspect("equal")
    axes.set_axis_off()
    axes.set_title("Seen from outside, clocking 0 upwards (dark: over the mouth face)")
    _scale(axes, reach)


def _section(axes: Axes, scene: Scene, places: list[Place]) -> None:
    points = scene.points
    radius = np.hypot(points[:, 0], points[:, 1])
    axes.plot(radius, points[:, 2], color=_GREY, zorder=1, **_DOTS)
    for outline in _ordered(scene.outlines):
        _shape(axes, outline, outline.section)
    axes.plot([0.0, scene.boss_mm], [0.0, 0.0], color=paper.INK, linewidth=1.4, zorder=5)
    for number, place in enumerate(places, 1):
        ends = np.array([[np.hypot(*p[:2]), p[2]] for p in (place.ours_fitting,
                                                            place.theirs_fitting)])  # fmt: skip
        _mark(axes, ends, number, scene.reach_mm)
    top = max(float(outline.section[:, 1].max()) for outline in scene.outlines)
    low, high = -0.2 * scene.reach_mm, max(top, 0.4 * scene.reach_mm) + 10.0
    axes.set_xlim(0.0, 1.12 * (high - low))
    axes.set_ylim(low, high)
    axes.set_aspect("equal")
    axes.set_xlabel("radius from the axis [mm]")
    axes.set_ylabel("over the mouth face [mm]")
    axes.set_title("Turned into one half section (true for round bodies)")
    handles = [_handle(body) for body in ("hand", "insertion", "turn", "seated")
               if any(o.body == body for o in scene.outlines)]  # fmt: skip
    axes.legend(handles=handles, loc="upper right", fontsize=7.5, frameon=True, framealpha=0.9,
                edgecolor="none")  # fmt: skip


def _turned(xy: Array, scene: Scene) -> Array:
    """Fitting's x, y as seen from outside, theta = 0 of clocking 0 upwards."""
    angle = np.radians(scene.clock_deg)
    c, s = np.cos(angle), np.sin(angle)
    x, y = c * xy[:, 0] - s * xy[:, 1], s * xy[:, 0] + c * xy[:, 1]
    return np.column_stack([-y, x])


def _ordered(outlines: tuple[Outline, ...]) -> list[Outline]:
    order = list(_LOOK)
    return sorted(outlines, key=lambda outline: order.index(outline.body))


def _shape(axes: Axes, outline: Outline, points: Array) -> None:
    look = _LOOK[outline.body]
    if outline.filled:
        paper.fill(axes, points, linewidth=1.0, alpha=0.75, zorder=2, **look)
    else:
        axes.plot(*points.T, color=look["edgecolor"], zorder=2.5, alpha=0.35, **_DOTS)


def _mark(axes: Axes, ends: Array, number: int, reach: float) -> None:
    axes.plot(*ends.T, color=paper.FAIL, linewidth=1.3, zorder=7)
    axes.plot(*ends[1], "o", color=paper.FAIL, markersize=2.5, zorder=7)
    away = ends[1] - ends[0]
    length = float(np.linalg.norm(away))
    step = away / length if length > 0.0 else np.array([1.0, 0.0])
    sideways = (number % 3 - 1) * 0.05 * reach * np.array([-step[1], step[0]])
    at = ends[1] + 0.075 * reach * step + sideways
    axes.annotate(str(number), ends[1], at, ha="center", va="center", fontsize=8, weight="bold",
                  color=paper.FAIL, zorder=8, annotation_clip=True,
                  bbox={"boxstyle": "circle", "facecolor": "white", "edgecolor": paper.FAIL,
                        "linewidth": 0.8, "pad": 0.2},
                  arrowprops={"arrowstyle": "-", "color": paper.FAIL, "linewidth": 0.5},
                  )  # fmt: skip


def _scale(axes: Axes, reach: float) -> None:
    length = 50.0 if reach > 90.0 else 20.0
    left, low = -0.96 * reach, -0.97 * reach
    axes.plot([left, left + length], [low, low], color=paper.INK, linewidth=1.6, zorder=9)
    axes.text(left + length / 2, low + 0.02 * reach, f"{length:g} mm", ha="center", va="bottom",
              fontsize=8, zorder=9)  # fmt: skip


def _handle(body: str) -> object:
    from matplotlib.patches import Patch

    look = _LOOK[body]
    return Patch(facecolor=look["facecolor"], edgecolor=look["edgecolor"],
                 linestyle=look["linestyle"], label=_NAMES[body])  # fmt: skip


def _way(axes: Axes, found: Clearances) -> None:
    steps = found.steps
    along = [step for step in steps if step.turn_deg == 0.0]
    about = [along[-1], *(step for step in steps if step.turn_deg > 0.0)]
    top = found.looked_mm
    travel, turn = along[0].lift_mm - along[-1].lift_mm, about[-1].turn_deg
    split = max(travel, 1.0)

    def heights(rows: list[object]) -> Array:
        return np.array([min(row.distance_mm, top) for row in rows])  # type: ignore[attr-defined]

    x = np.array([along[0].lift_mm - step.lift_mm for step in along])
    turned = split + 0.5 * split * np.array([step.turn_deg / turn for step in about])
    for where, rows in ((x, along), (turned, about)):
        axes.plot(where, heights(list(rows)), color=paper.LUG, linewidth=1.8, zorder=4)
    axes.axhline(found.clear_mm, color=paper.FAIL, linewidth=1.0, linestyle="--", zorder=3)
    axes.text(0.01 * split, found.clear_mm, f" asked for {found.clear_mm:g}", color=paper.FAIL,
              fontsize=8, va="bottom")  # fmt: skip
    axes.axvline(split, color=paper.INK, linewidth=0.8)
    values = heights(list(steps))
    at = int(np.argmin(values))
    where = np.concatenate([x, turned[1:]])[at]
    axes.plot([where], [values[at]], "o", color=paper.WAY, markersize=5, zorder=6)
    axes.annotate(f"least {values[at]:.2f}", (where, values[at]), (0, -13), fontsize=8,
                  ha="left" if where < split else "right",
                  textcoords="offset points", color=paper.WAY)  # fmt: skip
    low = min(0.0, float(values.min()))
    axes.set_ylim(1.1 * low, 1.08 * min(top, max(float(values.max()), 2.0 * found.clear_mm)))
    axes.set_xlim(0.0, 1.5 * split)
    marks = np.linspace(0.0, split, 5)
    axes.set_xticks([*marks, 1.25 * split, 1.5 * split],
                    [*(f"{along[0].lift_mm - m:.0f}" for m in marks), f"{turn / 2:.0f}°",
                     f"{turn:.0f}°"])  # fmt: skip
    axes.set_xlabel("lift of the shoulder over the mouth face [mm]; then turned towards lock")
    axes.set_ylabel("clearance [mm]")
    axes.set_title("Clearance of the valve along its way in, the tank itself counted")


def _table(figure: Figure, found: Clearances, places: list[Place]) -> None:
    left, top, step = 0.525, 0.372, 0.0235
    figure.text(left, top + 0.01, "Nearest places", fontsize=10)
    head = ("", "mm", "of", "to", "at x, y, z (tank)")
    columns = (0.0, 0.028, 0.072, 0.21, 0.335)
    for column, word in zip(columns, head, strict=True):
        figure.text(left + column, top - step, word, fontsize=8, color="#5b666d")
    for row, place in enumerate(places, 1):
        y = top - step * (row + 1)
        bad = not place.distance_mm - place.error_mm >= found.clear_mm
        thing = _NAMES[place.body] if place.part in ("", "valve", "tank") else place.part
        words = (
            str(row), f"{place.distance_mm:.2f}", _short(thing, 25), _short(place.file, 22),
            ", ".join(f"{value:.1f}" for value in place.theirs),
        )  # fmt: skip
        for column, word in zip(columns, words, strict=True):
            loud = bad and column == columns[1]
            figure.text(left + column, y, word, fontsize=8, weight="bold" if loud else "normal",
                        color=paper.FAIL if loud else paper.INK)  # fmt: skip
    figure.text(left, 0.062, f"Bold: under {found.clear_mm:g} mm. Negative: stands inside. The"
                " search is exact within 0.001 mm for the\ntriangles as given; meshes of exact"
                " solids add their chord, named in graft.json.", fontsize=7.5)  # fmt: skip


def _short(text: str, most: int) -> str:
    return text if len(text) <= most else text[: most - 1] + "…"
