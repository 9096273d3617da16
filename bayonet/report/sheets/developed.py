"""One sheet: lugs in their tracks on the developed plane, and the free region with the path."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.lines import Line2D
from matplotlib.patches import Patch
from numpy.typing import NDArray
from shapely.geometry import Polygon

from bayonet.checks import Result
from bayonet.developed import contour, depth_along
from bayonet.parts import Lug, Socket, Track
from bayonet.report.sheets.paper import (
    FAIL,
    FREE,
    INK,
    LINING,
    LUG,
    MATERIAL,
    TIGHT,
    WAY,
    fill,
    marks,
    one_line,
    sheet,
)

Array = NDArray[np.float64]

_NARROW_DEG = 34.0  # a text does not fit on an arrow shorter than this


def write(result: Result, *, svg: Path, png: Path) -> None:
    """Write the sheet as SVG and PNG; the same result gives the same bytes.

    Parameters
    ----------
    result : Result
    svg, png : Path
    """
    with sheet(11.0, 9.2, svg=svg, png=png) as figure:
        grid = figure.add_gridspec(
            2, 2, width_ratios=[1.0, 2.3], left=0.065, right=0.975, top=0.895, bottom=0.06,
            hspace=0.3, wspace=0.14,
        )  # fmt: skip
        _developed(figure.add_subplot(grid[0, :]), result)
        _whole_way(figure.add_subplot(grid[1, 0]), result)
        _turning(figure.add_subplot(grid[1, 1]), result)
        _title(figure, result)


def _title(figure: Figure, result: Result) -> None:
    design, socket = result.design, result.design.socket
    hand = "right hand (clockwise locks)" if socket.sign < 0 else "left hand"
    text = (
        f"layout {socket.layout}, {len(socket.tracks)} lugs, {hand}, seating {socket.seating},"
        f" {socket.process}; revision {design.revision}"
    )
    figure.text(0.065, 0.968, one_line(design.name), fontsize=13, weight="bold")
    figure.text(0.065, 0.946, text, fontsize=9)
    figure.text(0.065, 0.926, _sizes(socket), fontsize=9)
    marks(figure, result.marks, x=0.975, y=0.946, size=12)


def _sizes(socket: Socket) -> str:
    """Diameters and heights a person would look for, on one line."""
    rows = {row.key: row for row in socket.dimensions()}
    words = (
        ("boss", "boss_diameter"),
        ("bore", "track_bore_diameter"),
        ("sealing bore", "sealing_bore_diameter"),
        ("passage", "passage_diameter"),
    )
    sizes = [f"{word} Ø{rows[key].value:.2f}" for word, key in words if key in rows]
    height = rows["boss_height"].value
    ring = f"; ring {socket.ring.name}" if socket.ring else ""
    return f"{', '.join(sizes)}, height {height:.2f} mm{ring}"


# ---- upper panel: the developed plane ----------------------------------------------------


def _developed(axes: Axes, result: Result) -> None:
    socket, plug = result.design.socket, result.design.plug
    pairs = _in_order(plug.lugs, socket)
    start = pairs[0][2] - 1.35 * float(pairs[0][1].slot.at(pairs[0][1].outer_radius_mm))
    bottom = max(max(d for _, d in track.floor) for track in socket.tracks) * 1.24
    top = -0.13 * bottom
    _material(axes, socket, start, bottom)
    lock = result.proof.nominal.furthest_deg
    for lug, track, centre in pairs:
        _draw_track(axes, track, centre, radius=_drawn_at(lug, track))
        _draw_lug(axes, lug, centre, filled=False, lift=_rest(result))
        if lock == lock:
            _draw_lug(axes, lug, centre + lock, filled=True)
        axes.text(
            centre, top * 0.5,
            f"track {socket.tracks.index(track) + 1}\n{track.centre_deg:g} deg",
            ha="center", va="center", fontsize=8,
        )  # fmt: skip
    _dimensions(axes, pairs, lock=lock, socket=socket)
    axes.set_xlim(start, start + 360.0)
    axes.set_ylim(bottom, top)
    axes.set_xticks(np.arange(np.ceil(start / 30) * 30, start + 360.0, 30))
    axes.set_xlabel("angle towards lock [deg]")
    axes.set_ylabel("depth from mouth face [mm]")
    wall = max(_drawn_at(lug, track) for lug, track, _ in pairs)
    where = "track wall" if pairs[0][1].cut is None else "lugs' outer edge, as the disc cuts it"
    axes.set_title(
        f"Developed at the {where}: diameter {2 * wall:.2f} mm,"
        f" 10 deg = {np.radians(10) * wall:.2f} mm.  Outline: lug as inserted.  Solid: at lock."
    )


def _rest(result: Result) -> float:
    """Lift of the inserted plug on the path: where the turn begins [mm]."""
    path = result.proof.nominal.path
    return path[1][1] if len(path) > 1 else 0.0


def _in_order(lugs: tuple[Lug, ...], socket: Socket) -> list[tuple[Lug, Track, float]]:
    """Lugs and tracks with their place on the sheet, the meant first lug leftmost."""
    rows = [
        (lug, track, (socket.sign * (track.centre_deg - socket.tracks[0].centre_deg)) % 360.0)
        for lug, track in zip(lugs, socket.tracks, strict=True)
    ]
    return sorted(rows, key=lambda row: row[2])


def _material(axes: Axes, socket: Socket, start: float, bottom: float) -> None:
    top = socket.tracks[0].top_mm
    box = np.array([[start, top], [start + 360, top], [start + 360, bottom], [start, bottom]])
    fill(axes, box, facecolor=MATERIAL, hatch="///", edgecolor=LINING, linewidth=0.0, zorder=1)
    axes.axhline(0.0, color=INK, linewidth=1.2, zorder=2)
    axes.text(start + 358.5, 0.0, "mouth face", ha="right", va="bottom", fontsize=8)
    if top > 0.0:
        axes.axhline(top, color=INK, linewidth=1.2, zorder=2)
        name = "sealing bore: lugs pass freely"
        axes.text(start + 358.5, top / 2, name, ha="right", va="center", fontsize=8)


def _moved(points: Array, by_deg: float, deeper_mm: float = 0.0) -> Array:
    return np.asarray(points + np.array([by_deg, deeper_mm]))


def _drawn_at(lug: Lug, track: Track) -> float:
    """Radius drawn: the wall; of a cut track, whose stop is an arc, the lug's edge [mm]."""
    return track.outer_radius_mm if track.cut is None else lug.outer_radius_mm


def _draw_track(axes: Axes, track: Track, centre: float, *, radius: float) -> None:
    points = _moved(contour.of_track(track).polygon(radius), centre)
    for shift in (-360.0, 0.0):
        moved = _moved(points, shift)
        fill(axes, moved, facecolor="white", edgecolor="none", linewidth=0.0, zorder=2)
        axes.plot(*moved.T, color=INK, linewidth=1.2, zorder=3)


def _draw_lug(axes: Axes, lug: Lug, centre: float, *, filled: bool, lift: float = 0.0) -> None:
    shape = contour.of_lug(lug, inner_mm=lug.outer_radius_mm * 0.9)
    points = _moved(shape.polygon(lug.outer_radius_mm), centre, -lift)
    face, style = (LUG, "-") if filled else ("none", (0, (4, 2)))
    for shift in (-360.0, 0.0):
        fill(
            axes, _moved(points, shift), facecolor=face, edgecolor=LUG, linewidth=1.1,
            linestyle=style, alpha=0.85 if filled else 1.0, zorder=4,
        )  # fmt: skip


def _dimensions(
    axes: Axes, pairs: list[tuple[Lug, Track, float]], *, lock: float, socket: Socket
) -> None:
    _, track, centre = pairs[0]
    slot = float(track.slot.at(track.outer_radius_mm))
    end = float(track.end.at(track.outer_radius_mm))
    floor = max(depth for _, depth in track.floor)
    height = floor - track.top_mm
    _across(axes, centre - slot, centre + slot, track.top_mm + 0.16 * height, f"{2 * slot:.2f} deg")
    if lock == lock:
        _across(axes, centre, centre + lock, floor + 0.09 * height, f"turn {lock:.2f} deg")
    _across(axes, centre, centre + end, floor + 0.21 * height, f"stop {end:.2f} deg")
    roof = track.roof[-1][1]
    apart = pairs[1][2] - centre - end - float(pairs[1][1].slot.at(track.outer_radius_mm))
    _along(axes, centre + end + apart / 2.0, 0.0, roof, f"roof {roof:.3f}")
    depth = float(depth_along(pairs[1][1].floor, np.array(0.0)))
    _along(axes, pairs[1][2], 0.0, depth, f"floor {depth:.3f}")
    rise = f"lead {socket.lead_mm_per_rev:g} mm/rev" if socket.lead_mm_per_rev else "no lead"
    if socket.detent_height_mm:
        rise += f"\ndetent {socket.detent_height_mm:g} mm"
    top = track.top_mm + 0.5 * (min(depth for _, depth in track.roof) - track.top_mm)
    if end - slot > 2 * _NARROW_DEG:
        axes.text(centre + (slot + end) / 2.0, top, rise, ha="center", va="center", fontsize=8,
                  bbox=_PLATE, zorder=7)  # fmt: skip
    else:
        axes.text(0.995, 0.02, rise.replace("\n", ", "), transform=axes.transAxes, fontsize=8,
                  ha="right", va="bottom", bbox=_PLATE, zorder=7)  # fmt: skip


_ARROW = {"arrowstyle": "<|-|>", "color": INK, "linewidth": 0.7, "mutation_scale": 7.0,
          "shrinkA": 0.0, "shrinkB": 0.0}  # fmt: skip
_PLATE = {"facecolor": "white", "edgecolor": "none", "pad": 1.2}


def _across(axes: Axes, left: float, right: float, y: float, text: str) -> None:
    """A dimension across; its text beside it where it is too short to carry it."""
    axes.annotate("", (right, y), (left, y), arrowprops=_ARROW, zorder=6)
    narrow = right - left < _NARROW_DEG
    at = right + 1.5 if narrow else (left + right) / 2
    axes.text(at, y, text, ha="left" if narrow else "center", va="center", fontsize=8,
              bbox=_PLATE, zorder=7)  # fmt: skip


def _along(axes: Axes, x: float, top: float, bottom: float, text: str) -> None:
    axes.annotate("", (x, bottom), (x, top), arrowprops=_ARROW, zorder=6)
    axes.text(x, (top + bottom) / 2, text, ha="center", va="center", rotation=90, fontsize=8,
              bbox=_PLATE, zorder=7)  # fmt: skip


# ---- lower panel: the free region --------------------------------------------------------


@dataclass(frozen=True)
class _Layer:
    pieces: Iterable[Polygon]
    face: str
    edge: str
    style: str


def _free_region(axes: Axes, result: Result) -> None:
    proof = result.proof
    _shade(axes, _Layer(proof.nominal.region.pieces, FREE, "none", "-"))
    _shade(axes, _Layer(proof.loosest.region.pieces, "none", TIGHT, ":"))
    _shade(axes, _Layer(proof.tightest.region.pieces, "none", TIGHT, "-"))
    if proof.nominal.path:
        axes.plot(*np.array(proof.nominal.path).T, color=WAY, linewidth=2.0, zorder=5)


def _whole_way(axes: Axes, result: Result) -> None:
    window = result.proof.nominal.region.window
    _free_region(axes, result)
    axes.set_xlim(window.from_deg, window.to_deg)
    axes.set_ylim(-0.02 * window.lift_mm, window.lift_mm)
    axes.set_xlabel("turn towards lock, phi [deg]")
    axes.set_ylabel("lift of the shoulder off the mouth face, delta [mm]")
    axes.set_title("Free region: the whole way in")


def _turning(axes: Axes, result: Result) -> None:
    motion = result.proof.nominal
    window = motion.region.window
    turning = [delta for phi, delta in motion.path if phi > 0.0]
    top = min(window.lift_mm, max(4.0 * max(turning, default=1.0), 0.5))
    _free_region(axes, result)
    axes.set_xlim(-3.0, window.to_deg)
    axes.set_ylim(-0.03 * top, top)
    axes.set_xlabel("turn towards lock, phi [deg]")
    axes.set_title("Free region: the turn. Poses at which no lug touches the socket")
    axes.legend(handles=_legend(), loc="upper right", frameon=False, fontsize=8)
    _mark_lock(axes, result, top)


def _shade(axes: Axes, layer: _Layer) -> None:
    for piece in layer.pieces:
        fill(
            axes, np.array(piece.exterior.coords)[:-1], facecolor=layer.face,
            edgecolor=layer.edge, linestyle=layer.style, linewidth=1.0, zorder=3,
        )  # fmt: skip


def _legend() -> list[Patch | Line2D]:
    return [
        Patch(facecolor=FREE, label="free at nominal size"),
        Line2D([], [], color=TIGHT, label="largest plug, smallest socket"),
        Line2D([], [], color=TIGHT, linestyle=":", label="smallest plug, largest socket"),
        Line2D([], [], color=WAY, linewidth=2.0, label="a way in and out"),
    ]


def _mark_lock(axes: Axes, result: Result, top: float) -> None:
    motion = result.proof.nominal
    if not motion.path:
        axes.text(0.5, 0.5, "no way from entry to lock", transform=axes.transAxes, ha="center",
                  fontsize=13, color=FAIL)  # fmt: skip
        return
    phi, delta = motion.path[-1]
    tight = result.design.socket.seating == "clamp"
    play = "tight: no axial play" if tight else f"axial play {motion.play_mm:.3f} mm"
    text = f"lock: {phi:.2f} deg\n{play}"
    if motion.hold_mm:
        text += f"\ndetent holds {motion.hold_mm:.3f} mm deep"
    arrow = {"arrowstyle": "-", "color": INK, "linewidth": 0.7}
    axes.plot([phi], [delta], "o", color=WAY, markersize=5, zorder=6)
    axes.annotate(text, (phi, delta), (phi - 0.02 * phi, 0.62 * top), ha="right", fontsize=8.5,
                  arrowprops=arrow, zorder=7)  # fmt: skip
