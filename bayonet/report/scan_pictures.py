"""Pictures of a scan: unrolled map, deviations, profile, residuals. Computes no dimension."""

from __future__ import annotations

import math
from pathlib import Path

import numpy as np
from matplotlib.axes import Axes
from matplotlib.colors import LinearSegmentedColormap
from numpy.typing import NDArray

from bayonet.report.sheet import FAIL, INK, LUG, MATERIAL, WAY, fill, sheet
from bayonet.scan import unrolled
from bayonet.scan.result import ScanResult

Array = NDArray[np.float64]

MAP, DEVIATION, PROFILE, RESIDUALS = "map.png", "deviation.png", "profile.png", "residuals.png"
NAMES = (MAP, DEVIATION, PROFILE, RESIDUALS)

_HEIGHTS = LinearSegmentedColormap.from_list("heights", ["#4a545c", "#a9b0b3", "#f4f2ec"])
_SIGNED = LinearSegmentedColormap.from_list("signed", ["#123f57", LUG, "#f4f2ec", WAY, "#6b2c0c"])
_UNSEEN = "#ffffff"
_MARGIN_MM = 1.5
_BINS = 81
_MOST_DOTS = 30_000


def write(result: ScanResult, folder: Path, *, name: str) -> tuple[str, ...]:
    """Write all pictures into a folder; the same result gives the same bytes.

    Parameters
    ----------
    result : ScanResult
    folder : Path
        Exists.
    name : str
        The scan's, for the heads.

    Returns
    -------
    tuple of str
        File names.
    """
    value = values_of(result)
    span = _span(value, result)
    _map(result, value, span, folder / MAP, name)
    _deviation(result, value, span, folder / DEVIATION, name)
    _profile(result, value, folder / PROFILE, name)
    _residuals(result, folder / RESIDUALS, name)
    return NAMES


def values_of(result: ScanResult) -> dict[str, float]:
    """Finite dimensions by key."""
    return {one.key: one.value for one in result.features if math.isfinite(one.value)}


def _sign(result: ScanResult) -> int:
    return 1 if result.hand == "left" else -1


def _span(value: dict[str, float], result: ScanResult) -> tuple[float, float]:
    ends = [depth for key, depth in value.items() if key.endswith("to_depth")]
    most = max(ends, default=float(np.percentile(result.depth_mm, 99.5)))
    return -_MARGIN_MM, most + _MARGIN_MM


def _image(axes: Axes, shown: unrolled.CellMap, **look: object) -> object:
    axes.set_facecolor(_UNSEEN)
    axes.patch.set_hatch("....")
    return axes.imshow(
        np.ma.masked_invalid(shown.values), aspect="auto", interpolation="nearest", zorder=1,
        extent=(-180.0, 180.0, shown.to_depth_mm, shown.from_depth_mm), **look,  # type: ignore[arg-type]
    )  # fmt: skip


def _contours(axes: Axes, result: ScanResult, value: dict[str, float], *, words: bool) -> None:
    for number in range(result.lugs):
        outline = unrolled.lug_outline(value, number, sign=_sign(result))
        if outline is None:
            _unseen_lug(axes, value, number)
            continue
        by_symmetry = _found(result, f"lug.{number}.outer_diameter") == "by symmetry"
        dashes = "--" if by_symmetry else "-"
        centre = float(outline.points[:4, 0].mean())
        for turn in (-360.0, 0.0, 360.0):
            axes.plot(outline.points[:, 0] + turn, outline.points[:, 1], color=WAY, linewidth=1.5,
                      linestyle=dashes, zorder=4)  # fmt: skip
        if words:
            at = (centre + 180.0) % 360.0 - 180.0
            text = f"{number + 1}" + (" (by symmetry)" if by_symmetry else "")
            axes.text(at, outline.points[:, 1].mean(), text, ha="center", va="center",
                      color=WAY, fontsize=10, weight="bold", zorder=5)  # fmt: skip
    for depth, text in _levels(value):
        axes.axhline(depth, color=LUG, linewidth=1.1, linestyle=(0, (6, 3)), zorder=3)
        if words:
            axes.text(180.8, depth, text, va="center", color=LUG, fontsize=7.5, clip_on=False)


def _unseen_lug(axes: Axes, value: dict[str, float], number: int) -> None:
    centre = value.get(f"lug.{number}.centre_deg")
    if centre is None:
        return
    at = (centre + 180.0) % 360.0 - 180.0
    axes.text(at, 0.5, f"{number + 1}: not seen", transform=axes.get_xaxis_transform(),
              rotation=90, ha="center", va="center", color=FAIL, zorder=5)  # fmt: skip


def _found(result: ScanResult, key: str) -> str:
    return next((one.found for one in result.features if one.key == key), "not seen")


def _levels(value: dict[str, float]) -> list[tuple[float, str]]:
    """Depths worth a line across the map."""
    levels = [(0.0, "shoulder")]
    number = 0
    while f"body.{number}.to_depth" in value:
        depth = value[f"body.{number}.to_depth"]
        last = f"body.{number + 1}.to_depth" not in value
        levels.append((depth, f"{'nose' if last else 'step'} {depth:.3f}"))
        number += 1
    if "groove.at_depth" in value and "groove.width" in value:
        start = value["groove.at_depth"]
        levels += [(start, f"groove {start:.3f}"), (start + value["groove.width"], "groove end")]
    return levels


def _plane(axes: Axes, title: str, span: tuple[float, float]) -> None:
    axes.set_xlim(-180.0, 180.0)
    axes.set_ylim(span[1], span[0])
    axes.set_xticks(range(-180, 181, 30))
    axes.set_xlabel("theta, counter-clockwise seen from outside [deg]")
    axes.set_ylabel("depth below the shoulder [mm]")
    axes.set_title(title)


def _map(
    result: ScanResult, value: dict[str, float], span: tuple[float, float], png: Path, name: str
) -> None:
    shown = unrolled.cells(result.theta_deg, result.depth_mm, result.radius_mm, span_mm=span)
    with sheet(11.0, 4.6, svg=None, png=png) as figure:
        axes = figure.add_axes((0.06, 0.12, 0.76, 0.78))
        image = _image(axes, shown, cmap=_HEIGHTS)
        _contours(axes, result, value, words=True)
        _plane(axes, f"{name}: radius, unrolled; lines: what was found; dots: nothing seen", span)
        bar = figure.add_axes((0.945, 0.12, 0.012, 0.78))
        figure.colorbar(image, cax=bar, label="radius [mm]")  # type: ignore[arg-type]


def _deviation(
    result: ScanResult, value: dict[str, float], span: tuple[float, float], png: Path, name: str
) -> None:
    shown = unrolled.cells(result.theta_deg, result.depth_mm, result.residual_mm, span_mm=span)
    reach = 3.0 * max(result.noise_mm, 1e-4)
    with sheet(11.0, 4.6, svg=None, png=png) as figure:
        axes = figure.add_axes((0.06, 0.12, 0.76, 0.78))
        image = _image(axes, shown, cmap=_SIGNED, vmin=-reach, vmax=reach)
        _contours(axes, result, value, words=False)
        for number, what in result.flags:
            centre = value.get(f"lug.{number}.centre_deg")
            if centre is not None:
                at = (centre + 180.0) % 360.0 - 180.0
                axes.text(at, span[1] - 0.3, f"lug {number + 1}: {what}", ha="center", color=FAIL,
                          fontsize=8.5, weight="bold", zorder=6)  # fmt: skip
        title = f"{name}: scan outside (+) or inside (-) the found plug, mean of each cell"
        _plane(axes, title, span)
        bar = figure.add_axes((0.945, 0.12, 0.012, 0.78))
        figure.colorbar(image, cax=bar, label="deviation [mm]", extend="both")  # type: ignore[arg-type]


def _profile(result: ScanResult, value: dict[str, float], png: Path, name: str) -> None:
    line = unrolled.turned_outline(value)
    every = max(len(result.depth_mm) // _MOST_DOTS, 1)
    with sheet(11.0, 4.6, svg=None, png=png) as figure:
        axes = figure.add_axes((0.06, 0.12, 0.92, 0.78))
        filled = np.where(np.isfinite(line), line, 0.0)
        if np.isfinite(line).all():
            around = np.vstack([filled, [[filled[-1, 0], 0.0], [0.0, 0.0]]])
            fill(axes, around, facecolor=MATERIAL, edgecolor="none", alpha=0.55, zorder=1)
        axes.plot(result.depth_mm[::every], result.radius_mm[::every], ",", color=LUG, zorder=2,
                  rasterized=True)  # fmt: skip
        axes.plot(*line.T, color=WAY, linewidth=1.6, zorder=3)
        _dimensions(axes, value)
        axes.set_ylim(bottom=0.0)
        axes.set_aspect("equal", adjustable="datalim")
        axes.set_xlabel("depth below the shoulder [mm]")
        axes.set_ylabel("radius [mm]")
        axes.set_title(f"{name}: all points in one half plane; line: the found profile")


def _dimensions(axes: Axes, value: dict[str, float]) -> None:
    number, depth = 0, 0.0
    while f"body.{number}.diameter" in value:
        diameter = value[f"body.{number}.diameter"]
        end = value.get(f"body.{number}.to_depth", depth)
        axes.text((depth + end) / 2.0, 0.12 * diameter / 2.0, f"⌀ {diameter:.3f}", ha="center",
                  color=INK, zorder=4)  # fmt: skip
        number, depth = number + 1, end
    if {"groove.at_depth", "groove.width", "groove.diameter"} <= value.keys():
        start, width = value["groove.at_depth"], value["groove.width"]
        text = f"groove ⌀ {value['groove.diameter']:.3f}\n{width:.3f} wide, at {start:.3f}"
        axes.annotate(text, (start + width / 2.0, value["groove.diameter"] / 2.0),
                      (start + width / 2.0, 0.62 * value["groove.diameter"] / 2.0), ha="center",
                      va="top", zorder=4, arrowprops={"arrowstyle": "-", "color": INK,
                                                      "linewidth": 0.7})  # fmt: skip


def _residuals(result: ScanResult, png: Path, name: str) -> None:
    noise = max(result.noise_mm, 1e-6)
    edges = np.linspace(-5.0 * noise, 5.0 * noise, _BINS)
    count, _ = np.histogram(result.residual_mm, bins=edges)
    share = count / max(len(result.residual_mm), 1) / np.diff(edges)
    with sheet(6.4, 4.0, svg=None, png=png) as figure:
        axes = figure.add_axes((0.13, 0.13, 0.83, 0.76))
        axes.stairs(share, edges, fill=True, color=MATERIAL)
        axes.stairs(share, edges, color=INK, linewidth=0.8)
        at = np.linspace(edges[0], edges[-1], 300)
        curve = np.exp(-0.5 * (at / noise) ** 2) / (noise * math.sqrt(2.0 * math.pi))
        axes.plot(at, curve, color=WAY, linewidth=1.5)
        told = f"noise {1000 * noise:.1f} µm"
        if result.correlation_mm > 0.0:
            told += f"\nneighbours agree over {result.correlation_mm:.2g} mm"
        axes.text(0.97, 0.95, told, transform=axes.transAxes, ha="right", va="top", fontsize=9)
        axes.set_xlabel("distance from the found plug [mm]")
        axes.set_ylabel("density [1/mm]")
        axes.set_title(f"{name}: residuals; curve: normal")
