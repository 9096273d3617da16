"""Pictures of a scan: unrolled map, deviations, profile, residuals. Computes no dimension."""

from __future__ import annotations

import math
from pathlib import Path

import numpy as np
from matplotlib.axes import Axes
from matplotlib.colors import LinearSegmentedColormap
from numpy.typing import NDArray

from bayonet.mechanics import signed_deg
from bayonet.report.sheets.paper import FAIL, INK, LUG, MATERIAL, WAY, fill, sheet
from bayonet.scan.describe import unrolled
from bayonet.scan.fit import ScanResult

Array = NDArray[np.float64]

MAP, DEVIATION, PROFILE, RESIDUALS = "map.png", "deviation.png", "profile.png", "residuals.png"
NAMES = (MAP, DEVIATION, PROFILE, RESIDUALS)

_HEIGHTS = LinearSegmentedColormap.from_list("heights", ["#4a545c", "#a9b0b3", "#f4f2ec"])
# lighter all the way from inside to outside, so that both can be told in grey print
_SIGNED = LinearSegmentedColormap.from_list(
    "signed", ["#0c2b3f", "#2f6585", "#8f9799", "#f0b87c", "#fff3df"]
)
_UNSEEN = "#ffffff"
_MARGIN_MM = 1.5
_PLANE, _BAR = (0.06, 0.12, 0.75, 0.78), (0.915, 0.12, 0.012, 0.78)
_FEW_LUGS = 4
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


def _cloud(result: ScanResult) -> Array:
    """Radius, angle and depth of all points near the plug, used by the fit or not."""
    if len(result.cloud):
        return result.cloud
    return np.column_stack([result.radius_mm, result.theta_deg, result.depth_mm])


def _below_rim(cloud: Array, value: dict[str, float]) -> NDArray[np.bool_]:
    """Points that can be the plug's: below the shoulder nothing is wider than the lugs."""
    widths = [one for key, one in value.items()
              if key.endswith("diameter") and key.startswith(("lug", "body"))]  # fmt: skip
    widest = max(widths, default=math.inf) / 2.0
    return np.asarray((cloud[:, 2] < 0.3) | (cloud[:, 0] < widest + 0.5))


def _image(axes: Axes, shown: unrolled.CellMap, **look: object) -> object:
    axes.set_facecolor(_UNSEEN)
    axes.patch.set_hatch("....")
    whole = np.ma.masked_invalid(unrolled.closed(shown).values)
    return axes.imshow(
        whole, aspect="auto", interpolation="nearest", zorder=1,
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
            axes.plot(outline.points[:, 0] + turn, outline.points[:, 1],
                      color=WAY if words else INK, linewidth=1.5,
                      linestyle=dashes, zorder=4)  # fmt: skip
        if words:
            at = signed_deg(centre)
            text = f"{number + 1}" + (" (by symmetry)" if by_symmetry else "")
            axes.text(at, outline.points[:, 1].mean(), text, ha="center", va="center",
                      color=WAY, fontsize=10, weight="bold", zorder=5)  # fmt: skip
            axes.text(at, outline.points[:, 1].max() + 0.3, _lug_sizes(value, number, result.lugs),
                      ha="center", va="top", fontsize=7.5, linespacing=1.25, zorder=5,
                      bbox={"facecolor": "#ffffff", "alpha": 0.75, "edgecolor": "none",
                            "pad": 1.0})  # fmt: skip
    for depth, text in _levels(value):
        axes.axhline(
            depth, color=LUG if words else INK, linewidth=1.1, linestyle=(0, (6, 3)), zorder=3
        )
        if words:
            axes.text(180.8, depth, text, va="center", color=LUG, fontsize=7.5, clip_on=False)


def _lug_sizes(value: dict[str, float], number: int, count: int) -> str:
    """Sizes of one lug, in words where there is room for them."""
    rows = (("width_deg", "width {:.2f}°"), ("width", "width {:.3f}"),
            ("outer_diameter", "⌀ {:.3f}"), ("bearing_depth", "flank at {:.3f}"),
            ("thickness", "thick {:.3f}"), ("lead", "lead {:.2f}"),
            ("leading_lead", "leading {:.2f}"))  # fmt: skip
    lines = [words.format(value[f"lug.{number}.{name}"]) for name, words in rows
             if f"lug.{number}.{name}" in value]  # fmt: skip
    return "\n".join(line if count <= _FEW_LUGS else line.split(" ")[-1] for line in lines)


def _unseen_lug(axes: Axes, value: dict[str, float], number: int) -> None:
    centre = value.get(f"lug.{number}.centre_deg")
    if centre is None:
        return
    at = signed_deg(centre)
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
    radius, theta, depth = _cloud(result)[_below_rim(_cloud(result), value)].T
    shown = unrolled.cells(theta, depth, radius, span_mm=span)
    with sheet(11.0, 4.6, svg=None, png=png) as figure:
        axes = figure.add_axes(_PLANE)
        image = _image(axes, shown, cmap=_HEIGHTS)
        _contours(axes, result, value, words=True)
        title = f"{name}: all points, unrolled; lines: what was found; dots: nothing seen"
        if result.lugs > _FEW_LUGS:
            title += "\nat each lug: width, diameter over it, depth of its flank, thickness, lead"
        _plane(axes, title, span)
        bar = figure.add_axes(_BAR)
        figure.colorbar(image, cax=bar, label="radius [mm]")  # type: ignore[arg-type]


def _deviation(
    result: ScanResult, value: dict[str, float], span: tuple[float, float], png: Path, name: str
) -> None:
    shown = unrolled.cells(result.theta_deg, result.depth_mm, result.residual_mm, span_mm=span,
                           with_neighbours=True)  # fmt: skip
    sizes = np.abs(shown.values[np.isfinite(shown.values)])
    most = float(np.percentile(sizes, 99.0)) if len(sizes) else 0.0
    reach = max(most, 0.5 * result.noise_mm, 1e-4)
    with sheet(11.0, 4.6, svg=None, png=png) as figure:
        axes = figure.add_axes(_PLANE)
        image = _image(axes, shown, cmap=_SIGNED, vmin=-reach, vmax=reach)
        _contours(axes, result, value, words=False)
        for number, what in result.flags:
            centre = value.get(f"lug.{number}.centre_deg")
            if centre is not None:
                at = signed_deg(centre)
                axes.text(at, span[1] - 0.3, f"lug {number + 1}: {what}", ha="center", color=FAIL,
                          fontsize=8.5, weight="bold", zorder=6)  # fmt: skip
        title = f"{name}: scan outside (+) or inside (-) the found plug, mean over 3 x 3 cells"
        _plane(axes, title, span)
        bar = figure.add_axes(_BAR)
        figure.colorbar(image, cax=bar, label="deviation [mm]", extend="both")  # type: ignore[arg-type]


def _profile(result: ScanResult, value: dict[str, float], png: Path, name: str) -> None:
    line = unrolled.turned_outline(value, groove=result.groove)
    radius, _, depth = _cloud(result).T
    window = unrolled.groove_window(value, groove=result.groove)
    with sheet(11.0, 5.0, svg=None, png=png) as figure:
        axes = figure.add_axes((0.055, 0.1, 0.5 if window else 0.92, 0.78))
        _half_plane(axes, line, depth, radius, ",")
        for number in range(result.lugs):
            _lug_profile(axes, value, number)
        _dimensions(axes, value)
        axes.set_xlim(float(np.nanmin([*line[:, 0], 0.0])) - _MARGIN_MM,
                      float(np.nanmax(line[:, 0])) + _MARGIN_MM)  # fmt: skip
        axes.set_ylim(0.0, 1.12 * max(float(np.nanmax(line[:, 1])), _highest(value)))
        axes.set_aspect("equal", adjustable="box", anchor="SW")
        figure.text(0.055, 0.955, f"{name}: all points in one half plane; line: the found profile",
                    fontsize=10)  # fmt: skip
        if window is not None:
            _groove(figure.add_axes((0.56, 0.1, 0.42, 0.78)), value, line, depth, radius, window)


def _half_plane(axes: Axes, line: Array, depth: Array, radius: Array, dot: str) -> None:
    every = max(len(depth) // _MOST_DOTS, 1)
    if np.isfinite(line).all():
        fill(axes, line, facecolor=MATERIAL, edgecolor="none", alpha=0.55, zorder=1)
    axes.plot(depth[::every], radius[::every], dot, color=LUG, markersize=0.8, zorder=2,
              rasterized=True)  # fmt: skip
    axes.plot(*line.T, color=WAY, linewidth=0.9, zorder=3)
    axes.set_xlabel("depth below the shoulder [mm]")
    axes.set_ylabel("radius [mm]")


def _highest(value: dict[str, float]) -> float:
    return max((one / 2.0 for key, one in value.items() if key.endswith("diameter")), default=1.0)


def _lug_profile(axes: Axes, value: dict[str, float], number: int) -> None:
    """A lug at its middle."""
    names = ("bearing_depth", "thickness", "outer_diameter")
    sizes = [value.get(f"lug.{number}.{name}", math.nan) for name in names]
    if not all(map(math.isfinite, sizes)):
        return
    start, thick, outer = sizes
    roots = [one / 2.0 for key, one in value.items()
             if key.startswith("body.") and key.endswith("diameter") and one < outer]  # fmt: skip
    root, end = max(roots, default=0.0), start + thick
    corners = ((start, root), (start, outer / 2.0), (end, outer / 2.0), (end, root))
    axes.plot(*zip(*corners, strict=True), color=WAY, linewidth=1.0, linestyle=(0, (4, 2)),
              zorder=3)  # fmt: skip


def _groove(axes: Axes, value: dict[str, float], line: Array, depth: Array, radius: Array,
            window: tuple[Array, Array]) -> None:  # fmt: skip
    """The groove, larger."""
    (start, stop), (low, high) = window
    half = 0.95 * max(stop - start, high - low)
    across, up = (start + stop) / 2.0, (low + high) / 2.0
    box = (across - half, across + half, up - 0.87 * half, up + 0.87 * half)
    inside = (depth > box[0]) & (depth < box[1]) & (radius > box[2]) & (radius < box[3])
    _half_plane(axes, line, depth[inside], radius[inside], ".")
    axes.set_xlim(*box[:2])
    axes.set_ylim(*box[2:])
    axes.set_aspect("equal", adjustable="box", anchor="SW")
    rows = (("groove.diameter", "⌀ {:.3f}"), ("groove.width", "{:.3f} wide"),
            ("groove.depth", "{:.3f} deep"), ("groove.at_depth", "at {:.3f}"))  # fmt: skip
    told = [words.format(value[key]) for key, words in rows if key in value]
    axes.set_title("groove: " + ", ".join(told))


def _dimensions(axes: Axes, value: dict[str, float]) -> None:
    number, depth = 0, 0.0
    while f"body.{number}.diameter" in value:
        diameter = value[f"body.{number}.diameter"]
        end = value.get(f"body.{number}.to_depth", depth)
        axes.text((depth + end) / 2.0, 0.12 * diameter / 2.0, f"⌀ {diameter:.3f}", ha="center",
                  color=INK, fontsize=9, zorder=4)  # fmt: skip
        axes.annotate(f"{end:.3f}", (end, 0.0), (end, 0.05 * diameter), ha="right", va="bottom",
                      rotation=90, fontsize=8, zorder=4)  # fmt: skip
        number, depth = number + 1, end
    rim, thick = value.get("shoulder_diameter"), value.get("shoulder_thickness", 0.0)
    if rim is not None:
        axes.text(-thick / 2.0, rim / 2.0 + 0.4, f"⌀ {rim:.3f}", ha="center", va="bottom",
                  fontsize=9, zorder=4)  # fmt: skip
        if thick:
            axes.text(-thick / 2.0, 0.06 * rim, f"{thick:.3f}", ha="center", va="bottom",
                      rotation=90, fontsize=8, zorder=4)  # fmt: skip
    lug, at = value.get("lug.0.outer_diameter"), value.get("lug.0.bearing_depth")
    if lug is not None and at is not None:
        axes.text(at, lug / 2.0 + 0.4, f"lugs ⌀ {lug:.3f}, flank at {at:.3f}", ha="left",
                  va="bottom", fontsize=9, zorder=4)  # fmt: skip


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
