"""What a moving page is told: outlines, free regions, ways in, sizes, findings; plain data."""

from __future__ import annotations

import base64
import dataclasses
from collections.abc import Iterable
from typing import Any

import numpy as np
from numpy.typing import NDArray
from shapely.geometry import Polygon

from bayonet.checks import FirstLook, Result, key_sizes, summary
from bayonet.checks.motion import laid_out
from bayonet.developed import Fitting, Motion, edge_names
from bayonet.findings import HEADINGS, Finding, Verdict
from bayonet.parts import Design, NamedDimension
from bayonet.report.data import result as result_data
from bayonet.shapes import TriangleMesh
from bayonet.tolerance.fitting import Extreme

Array = NDArray[np.float64]

SIZES: dict[Extreme, str] = {
    "nominal": "sizes as drawn",
    "tightest": "largest plug, smallest socket",
    "loosest": "smallest plug, largest socket",
}
"""The pairs that can be moved, and what they are called."""

_STEPS = (1 << 16) - 1


def shown(result: Result | FirstLook) -> dict[str, Any]:
    """Everything a page shows of a design but its solids.

    Parameters
    ----------
    result : Result or FirstLook
        Of a first look, findings and verdict are those known so far.

    Returns
    -------
    dict
        Of JSON values: lengths [mm], angles [deg], poses (turn towards lock, lift of the shoulder).
    """
    design, proof = result.design, result.proof
    ways = {"nominal": proof.nominal, "tightest": proof.tightest, "loosest": proof.loosest}
    content = {
        "name": design.name,
        "revision": design.revision,
        "verdict": result.verdict.value,
        "whole": isinstance(result, Result),
        "fitting": _fitting(design),
        "ways": {key: _way(design, key, ways[key], proof.short_mm) for key in SIZES},
        "dimensions": {row.key: dimension_row(row) for row in design.socket.dimensions()},
        "sizes": [dimension_row(row) for row in key_sizes(design.socket)],
        "findings": [finding_row(one) for one in worst_first(result.findings)],
        **(_whole(result) if isinstance(result, Result) else {}),
    }
    found: dict[str, Any] = result_data.tidy(content)
    return found


def _whole(result: Result) -> dict[str, Any]:
    return {
        "headline": list(result.headline),
        "marks": list(result.marks),
        "cautions": list(result.cautions),
        "margins": [dataclasses.asdict(one) for one in summary(result).margins],
    }


def worst_first(found: Iterable[Finding]) -> list[Finding]:
    """Findings with what must be read first in front; within a verdict as they came."""
    order = (Verdict.FAIL, Verdict.LOOK, Verdict.OPEN, Verdict.PASS)
    return sorted(found, key=lambda one: order.index(one.verdict))


def finding_row(one: Finding) -> dict[str, Any]:
    """A finding as a page shows it."""
    room = one.code.partition(".")[0]
    return {
        "code": one.code,
        "room": HEADINGS.get(room, room.capitalize()),
        "verdict": one.verdict.value,
        "message": one.message,
        "value": one.value,
        "limit": one.limit,
        "margin": one.margin,
        "unit": one.unit,
        "source": one.source,
        "change": one.change,
        "mends": [[field, value] for field, value in one.mends],
    }


def dimension_row(row: NamedDimension) -> dict[str, Any]:
    """A dimension of the socket as a page shows it."""
    digits = 2 if row.unit == "deg" else 3
    limits = f" ± {row.half_width:.{digits}f}" if row.half_width else ""
    return {
        "key": row.key,
        "meaning": row.meaning,
        "text": f"{row.value:.{digits}f}{limits} {row.unit}",
    }


def _fitting(design: Design) -> dict[str, Any]:
    socket, plug = design.socket, design.plug
    return {
        "sign": socket.sign,
        "zero_deg": (socket.sign * socket.tracks[0].centre_deg) % 360.0,
        "layout": socket.layout,
        "seating": socket.seating,
        "process": socket.process,
        "lugs": len(plug.lugs),
        "hand": plug.hand,
        "bore_mm": socket.track_bore_radius_mm,
        "wall_mm": [track.outer_radius_mm for track in socket.tracks],
        "boss_mm": socket.boss_radius_mm,
        "nose_mm": plug.nose_depth_mm,
        "ring": socket.ring.name if socket.ring else "",
    }


def _way(design: Design, extreme: Extreme, motion: Motion, short_mm: float) -> dict[str, Any]:
    """One pair: its outlines at their outermost radius, its free region and its way in."""
    fitting = laid_out(design.plug, design.socket, extreme, short_mm=short_mm)
    window = motion.region.window
    return {
        "name": SIZES[extreme],
        "opened_mm": short_mm if extreme == "tightest" else 0.0,
        "lugs": [outline.points[-1].tolist() for outline in fitting.lugs],
        "tracks": [outline.points[-1].tolist() for outline in fitting.tracks],
        "edges": _edges(design),
        "top_mm": fitting.top_mm,
        "lowest_mm": _lowest(fitting),
        "window": [window.from_deg, window.to_deg, window.lift_mm],
        "pieces": [_rings(piece) for piece in motion.region.pieces],
        "path": [list(pose) for pose in motion.path],
        "lock_deg": motion.furthest_deg,
        "play_mm": motion.play_mm,
        "hold_mm": motion.hold_mm,
    }


def _lowest(fitting: Fitting) -> float:
    return max(float(track.points[..., 1].max()) for track in fitting.tracks)


def _edges(design: Design) -> list[list[str]]:
    return [list(edge_names(track)) for track in design.socket.tracks]


def _rings(piece: Polygon) -> list[list[list[float]]]:
    """Outer ring and holes, each closed by its first corner left out."""
    rings = (piece.exterior, *piece.interiors)
    return [[[float(x), float(y)] for x, y in ring.coords[:-1]] for ring in rings]


def mesh_data(mesh: TriangleMesh) -> dict[str, Any]:
    """A mesh as text: corners in 65 535 steps of its own box, two bytes an axis.

    Returns
    -------
    dict
        ``low`` and ``step`` [mm] of each axis; ``at`` and ``of``, base64 of little-endian corners
        (2 bytes) and of triangles (4 bytes where ``wide``, else 2).
    """
    low = mesh.vertices.min(axis=0)
    step = np.maximum(np.ptp(mesh.vertices, axis=0) / _STEPS, 1e-12)
    at = np.round((mesh.vertices - low) / step).astype("<u2")
    wide = "<u4" if len(mesh.vertices) > _STEPS else "<u2"
    return {
        "low": result_data.tidy(low.tolist()),
        "step": step.tolist(),
        "at": base64.b64encode(at.tobytes()).decode("ascii"),
        "of": base64.b64encode(mesh.triangles.astype(wide).tobytes()).decode("ascii"),
        "wide": wide == "<u4",
    }
