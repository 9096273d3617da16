"""One sheet: where the load runs, at what pressure each part gives way, and the torque to turn."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import numpy as np
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from numpy.typing import NDArray

from bayonet.cautions import PRINTED_MARK
from bayonet.checks import Result
from bayonet.findings import Verdict
from bayonet.parts import Lug, Socket, Track, profile
from bayonet.report.sheets.paper import (
    FAIL,
    FREE,
    INK,
    LINING,
    LUG,
    MATERIAL,
    TIGHT,
    WAY,
    marks,
    one_line,
    sheet,
)
from bayonet.strength import Mode, StrengthStudy, Turning
from bayonet.tolerance.fitting import line_depth_mm

Array = NDArray[np.float64]

_BAR = 10.0  # bar per MPa


def write(result: Result, *, svg: Path, png: Path) -> None:
    """Write the sheet as SVG and PNG; the same result gives the same bytes.

    Parameters
    ----------
    result : Result
    svg, png : Path
    """
    with sheet(11.0, 7.6, svg=svg, png=png) as figure:
        grid = figure.add_gridspec(
            2, 2, width_ratios=[1.0, 1.55], height_ratios=[1.6, 1.0], left=0.055, right=0.97,
            top=0.845, bottom=0.085, hspace=0.42, wspace=0.42,
        )  # fmt: skip
        _section(figure.add_subplot(grid[:, 0]), result)
        _pressures(figure.add_subplot(grid[0, 1]), result.strength)
        _torques(figure.add_subplot(grid[1, 1]), result.strength)
        _title(figure, result)


def _title(figure: Figure, result: Result) -> None:
    found = result.strength
    figure.text(0.055, 0.958, one_line(result.design.name), fontsize=13, weight="bold")
    figure.text(0.055, 0.928, _headline(found), fontsize=9)
    figure.text(
        0.055, 0.902,
        "Least favourable dimensions, steady pressure. Not a pressure vessel calculation: the local"
        " code and a licensed engineer decide.", fontsize=8,
    )  # fmt: skip
    bad = any(
        f.verdict is Verdict.FAIL and f.code.partition(".")[0] in ("load", "handling")
        for f in result.findings
    )
    printed = (PRINTED_MARK,) if result.design.socket.process == "printed" else ()
    fails = ("FAIL: too weak, or too hard to turn",) if bad else ()
    marks(figure, (*printed, *fails), x=0.97, y=0.958, size=12)


def _headline(found: StrengthStudy) -> str:
    if found.first is None:
        return f"Strength is open: {found.why_no_modes}"
    first = f"First, {found.first.title} ({found.first.body.part}), at"
    text = f"{first} {_BAR * found.first.gives_way_mpa:.3g} bar"
    if found.working_mpa is None:
        return f"{text}; no working pressure is given"
    return f"{text}; working pressure {_BAR * found.working_mpa:.3g} bar, proof test" \
        f" {_BAR * (found.proof_mpa or 0.0):.3g} bar"  # fmt: skip


# ---- left: half a section through the worst lug --------------------------------------------


def _section(axes: Axes, result: Result) -> None:
    design, found = result.design, result.strength
    socket, plug = design.socket, design.plug
    worst = 0 if found.shares is None else int(np.argmax(found.shares.most))
    lug, track = plug.lugs[worst], socket.tracks[worst]
    roof, floor = (float(line_depth_mm(line, plug.turn_deg)) for line in (track.roof, track.floor))
    _boss(axes, result, track, roof, floor)
    _plug(axes, result, lug)
    _arrows(axes, result, worst, roof)
    _dimensions(axes, result, lug, track, roof)
    inner = min(step.radius_mm for step in plug.body) * 0.55
    axes.set_xlim(inner, socket.boss_radius_mm + 5.0)
    axes.set_ylim(
        min(socket.boss_height_mm, floor + 12.0),
        -plug.stands_off_mm - plug.shoulder_thickness_mm - 4.0,
    )
    axes.set_aspect("equal", adjustable="box", anchor="N")
    axes.set_xlabel("radius [mm]")
    axes.set_ylabel("depth from mouth face [mm]")
    axes.set_title(f"Section through lug {worst + 1}, locked and pressed out")


def _boss(axes: Axes, result: Result, track: Track, roof: float, floor: float) -> None:
    socket = result.design.socket
    for points, hatch in _parts(socket):
        axes.fill(*points.T, facecolor=MATERIAL, edgecolor=INK, linewidth=0.9, hatch=hatch)
    bore = track.inner_radius_mm
    rise = track.floor_slope * (track.outer_radius_mm - bore)
    cut = np.array(
        [
            (bore, roof), (track.outer_radius_mm, roof), (track.outer_radius_mm, floor),
            (bore, floor + rise),
        ]
    )  # fmt: skip
    axes.fill(*cut.T, facecolor="white", edgecolor=INK, linewidth=0.9)


def _parts(socket: Socket) -> Iterator[tuple[Array, str]]:
    """Half sections in radius and depth, one a part, neighbours hatched the other way."""
    if socket.joint is None:
        outer = socket.boss_radius_mm
        yield np.array([*socket.bore, (outer, socket.boss_height_mm), (outer, 0.0)]), "///"
        return
    for half, hatch in ((profile.of_ring(socket), "///"), (profile.of_body(socket), "\\\\\\")):
        yield np.array([(one.start[0], -one.start[1]) for one in half]), hatch


def _plug(axes: Axes, result: Result, lug: Lug) -> None:
    """The plug lifted by its play, so that the lug bears on its roof."""
    plug, lift = result.design.plug, _lift(result)
    thick, rim = plug.shoulder_thickness_mm, plug.shoulder_radius_mm
    under = -plug.stands_off_mm
    points = [(0.0, under - thick), (rim, under - thick), (rim, under)]
    low, high = lug.bearing_depth_mm, lug.bearing_depth_mm + lug.thickness_mm
    for step in plug.body:
        points += [(step.radius_mm, step.from_depth_mm), (step.radius_mm, step.to_depth_mm)]
    points.append((0.0, plug.nose_depth_mm))
    body = np.array(points) - [0.0, lift]
    root = plug.lug_body.radius_mm
    tooth = np.array([(root, low), (lug.outer_radius_mm, low), (lug.outer_radius_mm, high),
                      (root, high)]) - [0.0, lift]  # fmt: skip
    axes.fill(*body.T, facecolor="#dfe8ee", edgecolor=LUG, linewidth=0.9)
    axes.fill(*tooth.T, facecolor=LUG, edgecolor=LUG, linewidth=0.9, alpha=0.75)


def _lift(result: Result) -> float:
    if result.design.socket.seating == "clamp":
        return 0.0
    play = result.proof.nominal.play_mm
    return play if play == play else 0.0


def _arrows(axes: Axes, result: Result, worst: int, roof: float) -> None:
    found = result.strength
    radius = float(found.nominal.radius_mm[worst])
    axes.annotate(
        "", (radius, roof + 0.05), (radius, roof + 5.0),
        arrowprops={"arrowstyle": "-|>", "color": WAY, "linewidth": 2.0}, zorder=6,
    )  # fmt: skip
    if found.shares is None or found.proof_n + found.clamp_n <= 0.0:
        return
    share = float(found.shares.most[worst])
    force = share * (found.proof_n + found.clamp_n)
    part = "all" if share > 0.995 else f"{100 * share:.0f} %"
    words = f"{force:.0f} N on this lug at proof pressure:\n{part} of the end load"
    words += f" of {found.proof_n:.0f} N" if share <= 0.995 or found.clamp_n > 0.0 else ""
    if found.clamp_n > 0.0:
        whose = "clamp" if result.design.socket.seating == "clamp" else "seal"
        words += f"\n+ {found.clamp_n:.0f} N {whose}"
    axes.annotate(
        words, (radius, roof + 5.0), (0.03, 0.03), textcoords="axes fraction", fontsize=8,
        color=WAY, arrowprops={"arrowstyle": "-", "color": WAY, "linewidth": 0.6},
        bbox={"facecolor": "white", "edgecolor": "none", "alpha": 0.85, "pad": 1.5}, zorder=7,
    )  # fmt: skip


def _dimensions(axes: Axes, result: Result, lug: Lug, track: Track, roof: float) -> None:
    """Thickness of ledge, lug and wall, as they are at nominal size."""
    socket, lift = result.design.socket, _lift(result)
    wall, outer = track.outer_radius_mm, socket.mouth_radius_mm
    top = lug.bearing_depth_mm - lift
    rows = (
        ((wall + 0.4, track.top_mm), (wall + 0.4, roof), f"ledge {roof - track.top_mm:.2f}"),
        ((lug.outer_radius_mm - 0.5, top), (lug.outer_radius_mm - 0.5, top + lug.thickness_mm),
         f"lug {lug.thickness_mm:.2f}"),
        ((wall, roof + 1.2), (outer, roof + 1.2), f"wall {outer - wall:.2f}"),
    )  # fmt: skip
    for start, end, words in rows:
        axes.annotate(
            "",
            end,
            start,
            arrowprops={
                "arrowstyle": "<->",
                "color": INK,
                "linewidth": 0.8,
                "shrinkA": 0,
                "shrinkB": 0,
            },
        )
        level = start[1] == end[1]
        at = ((start[0] + end[0]) / 2, start[1] - 0.3) if level else (
            start[0] + 0.4, (start[1] + end[1]) / 2)  # fmt: skip
        axes.text(
            *at, words, fontsize=8, ha="center" if level else "left",
            va="bottom" if level else "center", zorder=8,
            bbox={"facecolor": "white", "edgecolor": "none", "alpha": 0.8, "pad": 0.8},
        )  # fmt: skip


# ---- right: pressures and torques ----------------------------------------------------------


def _pressures(axes: Axes, found: StrengthStudy) -> None:
    axes.set_title("Pressure each part allows, and at which it gives way [bar]")
    if not found.modes:
        _nothing(axes, found.why_no_modes)
        return
    ordered = sorted(found.modes, key=lambda mode: mode.gives_way_mpa, reverse=True)
    ends = [_BAR * mode.gives_way_mpa for mode in ordered]
    starts = [_BAR * mode.allowed_mpa for mode in ordered]
    shown = [value for value in (*ends, *starts) if value > 0.0]
    working = _BAR * (found.working_mpa or min(shown))
    low, high = min(*shown, working) / 2.0, max(*shown, working) * 4.0
    for row, (mode, start, end) in enumerate(zip(ordered, starts, ends, strict=True)):
        good = found.working_mpa is None or mode.allowed_mpa >= found.working_mpa
        axes.barh(row, max(start, low) - low, left=low, height=0.55, color=FREE if good else FAIL,
                  edgecolor=TIGHT if good else FAIL, linewidth=0.8)  # fmt: skip
        if end > max(start, low):
            axes.barh(row, end - max(start, low), left=max(start, low), height=0.55, color="white",
                      edgecolor=LINING, hatch="....", linewidth=0.8)  # fmt: skip
        axes.text(max(end, low) * 1.08, row, f"{start:.3g} / {end:.3g}", va="center", fontsize=8)
        axes.text(-0.015, row, _label(mode), va="center", ha="right",
                  fontsize=7.5, transform=axes.get_yaxis_transform())  # fmt: skip
    if found.working_mpa is not None and found.proof_mpa is not None:
        for value, words, side in (
            (found.working_mpa, "working", "right"), (found.proof_mpa, "proof", "left"),
        ):  # fmt: skip
            axes.axvline(_BAR * value, color=WAY, linewidth=1.4,
                         linestyle="-" if side == "right" else "--")  # fmt: skip
            axes.text(_BAR * value, len(ordered) - 0.42, f" {words} ", ha=side, va="bottom",
                      color=WAY, fontsize=8)  # fmt: skip
    axes.set_xscale("log")
    axes.set_xlim(low, high)
    axes.set_ylim(-0.6, len(ordered) - 0.1)
    axes.set_yticks([])
    axes.xaxis.set_major_formatter(lambda value, _: f"{value:g}")
    axes.set_xlabel("bar; plain: allowed with safety and proof test, dotted: to yield or break")


def _label(mode: Mode) -> str:
    return f"{mode.title.partition(',')[0]}\n({mode.body.part})"


def _torques(axes: Axes, found: StrengthStudy) -> None:
    axes.set_title("Torque to turn, from least to most friction [N m]")
    if isinstance(found.turning, str):
        _nothing(axes, found.turning)
        return
    rows = _torque_rows(found.turning)[::-1]
    for row, (words, (low, high)) in enumerate(rows):
        axes.barh(row, max(high - low, 0.01), left=low, height=0.45, color=LUG, alpha=0.75)
        axes.text(
            high,
            row,
            f"  {low:.2f} to {high:.2f}",
            va="center",
            fontsize=8,
            zorder=5,
            bbox={"facecolor": "white", "edgecolor": "none", "alpha": 0.85, "pad": 0.6},
        )
        axes.text(-0.015, row, words, va="center", ha="right", fontsize=7.5,
                  transform=axes.get_yaxis_transform())  # fmt: skip
    hand = found.hand
    hands = [(hand.anybody_nm, "anybody", "-"), (hand.strong_nm, "strong hand", "--")]
    if hand.given:
        hands = [(hand.anybody_nm, "at hand", "-")]
    for value, words, style in hands:
        axes.axvline(value, color=WAY, linewidth=1.3, linestyle=style)
        axes.text(value, len(rows) - 0.42, f"{words} {value:.3g}", ha="center", va="bottom",
                  color=WAY, fontsize=8)  # fmt: skip
    most = max([high for _, (_, high) in rows] + [value for value, _, _ in hands])
    least = min(0.0, *(low for _, (low, _) in rows))
    axes.set_xlim(least, 1.3 * most)
    axes.set_ylim(-0.6, len(rows) - 0.05)
    axes.set_yticks([])
    axes.set_xlabel("N m")


def _torque_rows(turning: Turning) -> list[tuple[str, tuple[float, float]]]:
    rows = [("lock", turning.lock), ("unlock", turning.unlock)]
    if turning.detent is not None:
        rows.append(("over the detent", turning.detent))
    if turning.under_pressure is not None:
        rows.append(("unlock at\nworking pressure", turning.under_pressure))
    return rows


def _nothing(axes: Axes, why: str) -> None:
    axes.set_axis_off()
    axes.text(0.0, 0.6, f"Not evaluated: {why}.", wrap=True, transform=axes.transAxes)
