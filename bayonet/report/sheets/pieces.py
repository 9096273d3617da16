"""One sheet of print-test pieces: the plate from above, a ring as it stands, the steps."""

from __future__ import annotations

from pathlib import Path

import numpy as np
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.patches import Circle
from numpy.typing import NDArray

from bayonet.cautions import PRINTED_CAUTION
from bayonet.checks.making import floor_lean_deg
from bayonet.findings import Verdict
from bayonet.parts import Socket, Track, profile
from bayonet.printing import Sample, letters
from bayonet.report.sheets import paper
from bayonet.report.terminal import piece_row
from bayonet.shapes import LineDrawing

Array = NDArray[np.float64]

_ARROW = {"arrowstyle": "<|-|>", "color": paper.INK, "linewidth": 0.7, "mutation_scale": 7.0,
          "shrinkA": 0.0, "shrinkB": 0.0}  # fmt: skip
_NOTE = {"arrowstyle": "-", "color": paper.INK, "linewidth": 0.6}
_PLATE = {"facecolor": "white", "edgecolor": "none", "pad": 1.0}


def write(made: Sample, drawing: LineDrawing, *, svg: Path, png: Path) -> None:
    """Write the sheet as SVG and PNG; the same pieces give the same bytes.

    Parameters
    ----------
    made : Sample
    drawing : LineDrawing
        The ring as it stands on the bed, a quarter cut away.
    svg, png : Path
    """
    with paper.sheet(11.0, 7.9, svg=svg, png=png) as figure:
        _title(figure, made)
        for x, y, text in (
            (0.05, 0.862, "Plate from above, mouths down [mm]. Dashed: tracks inside"),
            (0.56, 0.862, "The ring as it stands on the bed, a quarter cut away"),
            (0.05, 0.355, "Half section at the stop, step 0, as drawn [mm]"),
            (0.56, 0.355, "Steps: gaps per side as intended [mm]"),
        ):
            figure.text(x, y, text, fontsize=10)
        _plan(figure.add_axes((0.05, 0.40, 0.46, 0.44)), made)
        _view(figure.add_axes((0.56, 0.40, 0.41, 0.44)), drawing)
        _section(figure.add_axes((0.05, 0.03, 0.45, 0.31)), made)
        _steps(figure.add_axes((0.56, 0.01, 0.41, 0.34)), made)


def _title(figure: Figure, made: Sample) -> None:
    name = paper.one_line(made.design.name)
    figure.text(0.05, 0.962, f"Print-test pieces: {name}", fontsize=13, weight="bold")
    profile_of = made.profile
    drawn = (
        f"Drawn for {paper.one_line(profile_of.name)}: {profile_of.in_words()}. Gaps: as intended."
        if profile_of
        else "Drawn as intended: no printer profile."
    )
    figure.text(0.05, 0.938, drawn, fontsize=9)
    figure.text(0.05, 0.914, PRINTED_CAUTION, fontsize=10, weight="bold", color=paper.FAIL)
    if made.verdict is Verdict.FAIL:
        figure.text(0.97, 0.962, "FAIL: see sample.json", fontsize=11, weight="bold",
                    color=paper.FAIL, ha="right")  # fmt: skip


def _plan(axes: Axes, made: Sample) -> None:
    """The plate from above: end faces up, marks to be read."""
    for one, (x, y) in zip(made.ladder, made.plate.places_mm, strict=True):
        shape = made.drawn(one)
        axes.add_patch(Circle((x, y), shape.boss_radius_mm, facecolor=paper.MATERIAL,
                              edgecolor=paper.INK, linewidth=1.1))  # fmt: skip
        axes.add_patch(Circle((x, y), shape.bore[-1][0], facecolor="white", edgecolor=paper.INK,
                              linewidth=1.1))  # fmt: skip
        for track in shape.tracks:
            outline = _hidden_track(track, shape.sign) + np.array([x, y])
            axes.plot(*outline.T, color=paper.LUG, linewidth=0.7, linestyle=(0, (3, 2)))
        for letter in letters(one, shape, made.printer):
            moved = [np.array(ring.coords)[:-1] + np.array([x, y])
                     for ring in (letter.exterior, *letter.interiors)]  # fmt: skip
            paper.fill(axes, *moved, facecolor=paper.INK, edgecolor="none", linewidth=0.0, zorder=4)
    _bar(axes, made)
    width, depth = made.plate.width_mm, made.plate.depth_mm
    beside = 0.055 * max(width, depth)
    _across(axes, 0.0, width, -beside, f"{width:.0f}")
    _up(axes, -beside, 0.0, depth, f"{depth:.0f}")
    axes.set_xlim(-2.0 * beside, width + beside)
    axes.set_ylim(-2.0 * beside, depth + 0.2 * beside)
    axes.set_aspect("equal", anchor="W")
    axes.set_axis_off()


def _bar(axes: Axes, made: Sample) -> None:
    """The bar that parts offset from scale, with the sizes to measure."""
    bar, (x, y) = made.gauge, made.plate.bar_mm
    half, wide = bar.length_mm / 2.0, bar.width_mm / 2.0
    corners = np.array([(-half, -wide), (half, -wide), (half, wide), (-half, wide)])
    corners += np.array([x, y])
    paper.fill(axes, corners, facecolor=paper.MATERIAL, edgecolor=paper.INK, linewidth=1.1)
    for at in bar.holes_at_mm():
        axes.add_patch(Circle((x + at, y), bar.hole_mm / 2.0,
                              facecolor="white", edgecolor=paper.INK, linewidth=1.1))  # fmt: skip
    text = (
        f"bar {bar.length_mm:.2f} x {bar.width_mm:.2f} x {bar.height_mm:.2f},\nholes"
        f" Ø{bar.hole_mm:.2f}, outer two {bar.pitch_mm:.2f} apart"
    )
    axes.text(x + half + 2.0, y, text, fontsize=7.5, va="center")


def _hidden_track(track: Track, sign: int) -> Array:
    """Outline of a track seen from above in the printed orientation."""
    wall, centre = track.outer_radius_mm, track.centre_deg
    start, stop = (
        centre - sign * float(track.slot.at(wall)),
        centre + sign * float(track.end.at(wall)),
    )
    angles = -np.radians(np.linspace(start, stop, 60))  # turned over: y changes its sign
    arc = track.outer_radius_mm * np.column_stack([np.cos(angles), np.sin(angles)])
    inner = track.inner_radius_mm / track.outer_radius_mm
    return np.vstack([arc[:1] * inner, arc, arc[-1:] * inner])


def _view(axes: Axes, drawing: LineDrawing) -> None:
    lines = np.concatenate([*drawing.outlines, *drawing.edges])
    low, high = lines.min(axis=0), lines.max(axis=0)
    for outer, *holes in drawing.sections:
        paper.fill(axes, outer, *holes, facecolor=paper.MATERIAL, edgecolor=paper.LINING,
                   hatch="////", linewidth=0.0, zorder=1)  # fmt: skip
    for line in drawing.edges:
        axes.plot(*line.T, color=paper.INK, linewidth=0.7, solid_capstyle="round", zorder=2)
    for line in drawing.outlines:
        axes.plot(*line.T, color=paper.INK, linewidth=1.4, solid_capstyle="round", zorder=3)
    room = 0.04 * (high[0] - low[0])
    axes.set_xlim(low[0] - room, high[0] + room)
    axes.set_ylim(low[1] - room, high[1] + room)
    axes.set_aspect("equal")
    axes.set_axis_off()


def _section(axes: Axes, made: Sample) -> None:
    """Half section through a track, as printed: heights upwards from the bed."""
    shape = made.drawn(made.ring)
    body = np.array([(segment.start[0], -segment.start[1]) for segment in profile.of_socket(shape)])
    paper.fill(axes, body, facecolor=paper.MATERIAL, edgecolor=paper.INK, hatch="////",
               linewidth=1.0, zorder=1)  # fmt: skip
    track = shape.tracks[0]
    inner, outer = track.inner_radius_mm, track.outer_radius_mm
    roof, floor = track.roof[-1][1], track.floor[-1][1]
    deep = floor + track.floor_slope * (outer - inner)
    cut = np.array([(inner - 0.05, roof), (outer, roof), (outer, floor), (inner, deep),
                    (inner - 0.05, deep)])  # fmt: skip
    paper.fill(axes, cut, facecolor="white", edgecolor="none", linewidth=0.0, zorder=2)
    axes.plot(*cut[:-1].T, color=paper.INK, linewidth=1.0, zorder=3)
    boss, height = shape.boss_radius_mm, shape.boss_height_mm
    axes.plot([0.25 * boss, 2.35 * boss], [0.0, 0.0], color=paper.INK, linewidth=1.6, zorder=0)
    axes.text(2.35 * boss, -0.02 * height, "bed", ha="right", va="top", fontsize=8)
    beside = 1.12 * boss
    _note(axes, ((inner + outer) / 2, roof), (beside, roof), "roof, bears the lugs: faces up")
    lean = floor_lean_deg(shape)
    _note(axes, ((inner + outer) / 2, (floor + deep) / 2), (beside, (floor + deep) / 2),
          f"floor, bears nothing: leans {lean:.0f} deg")  # fmt: skip
    _note(axes, (boss, 0.97 * height), (beside, 0.97 * height), "end face, carries the mark")
    _note(axes, (boss, 0.06 * height), (beside, 0.06 * height), "mouth, first layer")
    at = 0.62 * inner
    _up(axes, at, 0.0, height, f"{height:.2f}")
    _up(axes, at + 0.18 * inner, 0.0, roof, f"{roof:.2f}")
    axes.text(0.25 * boss, height * 1.06, _sizes(shape), fontsize=8, va="bottom")
    axes.set_xlim(0.25 * boss, 2.4 * boss)
    axes.set_ylim(-0.14 * height, 1.2 * height)
    axes.set_aspect("equal", anchor="W")
    axes.set_axis_off()


def _sizes(shape: Socket) -> str:
    return (
        f"bore Ø{2 * shape.track_bore_radius_mm:.2f}, tracks Ø{2 * shape.track_radius_mm:.2f},"
        f" outside Ø{2 * shape.boss_radius_mm:.2f}"
    )


def _note(axes: Axes, point: tuple[float, float], at: tuple[float, float], text: str) -> None:
    axes.annotate(text, point, at, fontsize=8, va="center", arrowprops=_NOTE, zorder=6)


def _across(axes: Axes, left: float, right: float, y: float, text: str) -> None:
    axes.annotate("", (right, y), (left, y), arrowprops=_ARROW, zorder=6)
    axes.text((left + right) / 2, y, text, ha="center", va="center", fontsize=8, bbox=_PLATE,
              zorder=7)  # fmt: skip


def _up(axes: Axes, x: float, low: float, high: float, text: str) -> None:
    axes.annotate("", (x, high), (x, low), arrowprops=_ARROW, zorder=6)
    axes.text(x, (low + high) / 2, text, ha="center", va="center", rotation=90, fontsize=8,
              bbox=_PLATE, zorder=7)  # fmt: skip


def _steps(axes: Axes, made: Sample) -> None:
    """Steps and their gaps per side, as intended; volume and height as drawn."""
    head = ("mark", "body", "slot side", "track wall", "axial", "height", "volume")
    rows = []
    for one in made.ladder:
        row = piece_row(made, one)
        axial = row["axial_gap_mm"]
        rows.append(
            (
                row["mark"],
                *(f"{row[key]:.2f}" for key in ("body_gap_mm", "side_gap_mm", "radial_gap_mm")),
                "clamps" if axial is None else f"{axial:.2f}",
                f"{row['height_mm']:.2f}",
                f"{row['volume_mm3'] / 1000.0:.2f} cm³",
            )
        )
    axes.set_axis_off()
    axes.set_xlim(0.0, 1.0)
    axes.set_ylim(0.0, 1.0)
    at = (0.02, 0.19, 0.34, 0.50, 0.64, 0.79, 1.0)
    pitch = min(0.1, 0.68 / (len(rows) + 1))
    size = min(8.5, 140.0 * pitch)  # points, so that many rows do not touch
    top = 0.94
    for x, word in zip(at, head, strict=True):
        axes.text(x, top, word, fontsize=8, ha=_side(x), weight="bold", va="center")
    axes.plot([0.0, 1.0], [top - pitch / 2] * 2, color=paper.INK, linewidth=0.8)
    for number, texts in enumerate(rows, start=1):
        for x, text in zip(at, texts, strict=True):
            axes.text(x, top - number * pitch, text, fontsize=size, ha=_side(x), va="center")
    foot = top - (len(rows) + 0.9) * pitch
    axes.plot([0.0, 1.0], [foot + 0.35 * pitch] * 2, color=paper.INK, linewidth=0.8)
    total = made.plate_volume_mm3 / 1000.0
    wall = piece_row(made, made.ring)
    seal = "with" if made.with_seal else "without"
    axes.text(
        0.02, foot - 0.25 * pitch,
        f"Plate {made.plate.width_mm:.0f} x {made.plate.depth_mm:.0f} mm, {total:.1f} cm³;"
        f" {seal} sealing surface.\nLeast wall {wall['least_wall_mm']:.2f} mm"
        f" ({wall['least_wall_at']}), nozzle {made.printer.nozzle.value:g} mm.\n"
        "Time and material: your slicing program. Results: fill in results_form.csv.",
        fontsize=8, va="top", linespacing=1.4,
    )  # fmt: skip


def _side(x: float) -> str:
    return "left" if x < 0.1 else "right" if x > 0.9 else "center"
