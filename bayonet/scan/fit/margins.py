"""How near to an edge a face's points may be taken: broken edges and fillets are not the face."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
from numpy.typing import NDArray

from bayonet.scan.fit.frame_points import spots
from bayonet.scan.fit.keys import body_key, lug_key
from bayonet.scan.fit.labels import State, zones_of
from bayonet.scan.fit.surface import faces

Array = NDArray[np.float64]
Margins = Mapping[tuple[str, str], float]

_PART = 0.22  # of a narrow face, for a margin
_BINS_MM = 0.05  # half a usual noise
_FARTHEST = 26  # bins from an edge


def margins_of(
    xyz: Array, state: State, noise: float, start: Margins
) -> dict[tuple[str, str], float]:
    """How far broken edges, fillets and noise of the next face reach into each kind of face.

    Residuals are averaged in strips along each edge: the first strip from the edge whose mean
    agrees with the face ends the margin.
    """
    c = spots(xyz, state.rotation, state.origin)
    v, found = state.values, faces(state.shape)
    gate = max(6.0 * noise, 0.1)
    zones = zones_of(c, v, state.shape, gate)
    seen: dict[tuple[str, str], list[tuple[Array, Array]]] = {}
    for face in found:
        pool = None if face.lug is None else zones[face.lug]
        own = c if pool is None else c[pool]
        off = face.off(own, v)
        near = np.flatnonzero(np.abs(off) < gate)
        off, insets = off[near], face.insets(own[near], v)
        for edge, inset in insets.items():
            if edge == "facing":
                continue
            clear = (inset > -0.2) & (inset < _FARTHEST * _BINS_MM)
            for other, depth in insets.items():
                if other != edge:
                    clear &= depth > start.get((face.group, other), 0.4)
            seen.setdefault((face.group, edge), []).append((inset[clear], off[clear]))
    return {key: _onset(parts, noise, start.get(key, 0.6)) for key, parts in seen.items()}


def _onset(parts: list[tuple[Array, Array]], noise: float, before: float) -> float:
    inset = np.concatenate([one for one, _ in parts])
    off = np.concatenate([one for _, one in parts])
    floor = 2.5 * noise + 0.01
    strip = np.floor(inset / _BINS_MM).astype(int)
    good = (strip >= 0) & (strip < _FARTHEST) & (np.abs(off) < max(6.0 * noise, 0.1))
    count = np.bincount(strip[good], minlength=_FARTHEST)
    if count.sum() < 100:
        return max(floor, 0.3)
    total = np.bincount(strip[good], weights=off[good], minlength=_FARTHEST)
    mean = total / np.maximum(count, 1)
    usual = float(np.median(count[count > 0]))
    allowed = np.maximum(3.5 * noise / np.sqrt(np.maximum(count, 1)), 0.2 * noise)
    clear = np.flatnonzero(count > 0.3 * usual)[-8:]  # farthest from the edge
    centre = float(np.average(mean[clear], weights=count[clear])) if len(clear) else 0.0
    fine = (np.abs(mean - centre) < allowed) & (count > 0.4 * usual)
    for k in range(_FARTHEST - 1):
        if fine[k] and fine[k + 1]:
            return max(floor, k * _BINS_MM + (1.5 * noise if k > 1 + 2 * noise / _BINS_MM else 0.0))
    return max(floor, before)


def first_margins(state: State) -> dict[tuple[str, str], float]:
    """Margins before anything is known: a share of narrow faces, half a millimetre of wide ones."""
    v, shape = state.values, state.shape
    root = v[body_key(shape.root, "r")]
    high = min(v[lug_key(i, "r")] for i in range(shape.lugs)) - root
    thick = min(v[lug_key(i, "thickness")] for i in range(shape.lugs))
    half = min(v[lug_key(i, "half")] for i in range(shape.lugs)) * (1.0 if shape.parallel else root)
    found = {}
    for group in ("lug.outer", "lug.bearing", "lug.leading", "lug.side"):
        for edge, size in (("root", high), ("outer", high), ("bearing", thick),
                           ("leading", thick), ("side", 2.0 * half)):  # fmt: skip
            found[group, edge] = min(0.5, _PART * max(size, 0.2))
    found["lug.side", "facing"] = 0.0
    depth = v.get("groove.depth", 1.0)
    if shape.groove == "radial":
        depth = v[body_key(shape.holder, "r")] - v["groove.r"]
    for edge in ("corner", "mouth"):
        found["groove.wall", edge] = min(0.5, _PART * max(depth, 0.2))
    found["groove.bottom", "corner"] = min(0.5, _PART * max(v.get("groove.width", 1.0), 0.2))
    return found
