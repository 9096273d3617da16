"""What a plug is made of, on the developed plane: cylinders, planes, lugs, groove. No fine fit."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bayonet.errors import ScanError
from bayonet.scan.rings import AROUND, LEAST_POINTS, Local, Ring, rings

Array = NDArray[np.float64]

_AXIAL = 0.9  # cosine of normal to axis
_DEEPEST_MM = 3.4


@dataclass(frozen=True, kw_only=True)
class LugSeed:
    """A lug as first seen: middle, half-width [deg], depths of its flanks at the middle, slope."""

    centre: float
    half: float
    bearing: float
    leading: float
    slope: float  # depth a degree of theta
    count: int


@dataclass(frozen=True, kw_only=True)
class Structure:
    """First guess of everything; depths from the shoulder. NaN where nothing was seen."""

    lug_r: float
    lug_root: int
    lugs: tuple[LugSeed, ...]
    rim_r: float
    bodies: tuple[tuple[float, float], ...]  # radius, depth of its end
    groove: str
    groove_sizes: tuple[float, float, float, float]  # radius, from, to, cut
    around: float
    rim_top: float


def lug_ring(local: Local, found: list[Ring], name: str) -> Ring:
    """The ring that stands in pieces over a smaller one."""
    whole = max(ring.around for ring in found)
    widest = max(ring.r for ring in found if ring.around > 0.5 * whole)
    inside = [ring for ring in found if ring.r < widest]
    best = _in_pieces(local, inside, found, whole) or _in_pieces(local, found, found, whole)
    if best is None:
        raise ScanError(f"{name}: no lugs found: nothing stands in pieces on the turned body")
    return best


def _in_pieces(local: Local, among: list[Ring], found: list[Ring], whole: float) -> Ring | None:
    best: Ring | None = None
    for ring in among:
        low, high = np.percentile(local.depth[ring.member], [15.0, 85.0])
        for under in found:
            if under.around < 0.5 * whole or ring.around > 0.9 * whole:
                continue
            stands_on = under.low - 0.5 < low and high < under.high + 0.5
            if not (stands_on and 0.8 < ring.r - under.r < 0.6 * ring.r):
                continue
            beside = under.member & (local.depth > low) & (local.depth < high)
            overlap = _shared_cells(local.theta[ring.member], local.theta[beside])
            if beside.sum() >= 15 and overlap < 0.4 and (best is None or ring.count > best.count):
                best = ring
    return best


def _shared_cells(one: Array, other: Array) -> float:
    """Share of one's angle cells, its fringes left out, in which the other has points too."""
    a = np.bincount((one * AROUND / 360.0).astype(int) % AROUND, minlength=AROUND)
    b = np.bincount((other * AROUND / 360.0).astype(int) % AROUND, minlength=AROUND)
    inner = (a > 0) & (np.roll(a, 1) > 0) & (np.roll(a, -1) > 0)
    usual = np.median(b[b > 0]) if (b > 0).any() else 0.0
    return float(np.mean(b[inner] > 0.2 * usual)) if inner.any() else 1.0


def outside_sense(found: list[Ring], lug: Ring, local: Local, name: str) -> int:
    """+1 where the shoulder lies at smaller depth than the lugs as the frame stands, else -1."""
    whole = max(ring.around for ring in found)
    wider = [ring for ring in found if ring.r > lug.r + 0.8 and ring.around > 0.55 * whole]
    middle = (lug.low + lug.high) / 2.0
    if wider:
        rim = max(wider, key=lambda ring: ring.r)
        return 1 if (rim.low + rim.high) / 2.0 < middle else -1
    flat = local.axial > _AXIAL
    beyond = flat & (local.r > lug.r + 0.8)
    if beyond.sum() < LEAST_POINTS:
        raise ScanError(f"{name}: no shoulder found outside the lugs")
    return 1 if float(np.median(local.depth[beyond])) < middle else -1


def plane_depth(
    local: Local, r0: float, r1: float, d0: float, d1: float, *, last: float = 0.0
) -> float:
    """Depth of the plane with most points between two radii and depths; NaN for too few.

    ``last``, if not 0, takes the deepest that has this share of the most frequent one's points.
    """
    own = (local.axial > _AXIAL) & (local.r > r0) & (local.r < r1)
    depth = local.depth[own & (local.depth > d0) & (local.depth < d1)]
    if len(depth) < 25 or not d1 > d0:
        return float("nan")
    edges = np.arange(d0, d1 + 0.2, 0.1)
    count = np.convolve(np.histogram(depth, edges)[0], np.ones(3), "same")
    best = int(np.argmax(count))
    if last:
        best = int(np.flatnonzero(count > last * count.max())[-1])
        best = max(range(max(best - 3, 0), best + 1), key=lambda i: count[i])
    peak = edges[best] + 0.05
    near = depth[np.abs(depth - peak) < 0.3]
    return float(np.median(near)) if len(near) >= 20 else float("nan")


def _rim(found: list[Ring], lug: Ring) -> Ring | None:
    """The widest whole ring on the shoulder's side of the lugs."""
    whole = max(ring.around for ring in found)
    wider = [
        one for one in found
        if one.r > lug.r + 0.8 and (one.low + one.high) / 2 < lug.low and one.around > 0.55 * whole
    ]  # fmt: skip
    return max(wider, key=lambda one: one.r) if wider else None


def shoulder_depth(local: Local, found: list[Ring], lug: Ring, name: str) -> tuple[float, float]:
    """Depth of the shoulder plane in the frame, and the rim's radius (NaN where unseen)."""
    rim = _rim(found, lug)
    upper = lug.low - 0.3
    if rim is not None:
        rim_r, depths = rim.r, local.depth[rim.member]
        start, stop = np.percentile(depths, [40.0, 95.0])
        depth = plane_depth(
            local, lug.r + 0.3, rim_r - 0.2, start, min(stop + 1.2, upper), last=0.35
        )
    else:
        rim_r = float(np.percentile(local.r[local.axial > _AXIAL], 95.0))
        depth = plane_depth(local, lug.r + 0.3, rim_r, lug.low - 15.0, upper)
    if not np.isfinite(depth):
        raise ScanError(f"{name}: the shoulder's face was not seen: depths have no zero")
    return depth, (rim.r if rim else float("nan"))


def lugs(local: Local, ring: Ring) -> tuple[LugSeed, ...]:
    """The pieces of the lugs' ring: runs of angle, wrapped round."""
    cells = 240
    own = (local.theta * cells / 360.0).astype(int) % cells
    level = (local.depth > ring.low) & (local.depth < ring.high)
    raised = level & (np.abs(local.r - ring.r) < 0.3)  # whatever their normals, which edges spoil
    count = np.bincount(own[raised], minlength=cells).astype(float)
    smooth = (count + np.roll(count, 1) + np.roll(count, -1)) / 3.0
    full = smooth > 0.25 * float(np.percentile(smooth[smooth > 0], 75.0))
    if full.all() or not full.any():
        return ()
    first = int(np.flatnonzero(~full)[0])
    turned = np.roll(full, -first)
    starts = np.flatnonzero(turned & ~np.roll(turned, 1))
    stops = np.flatnonzero(turned & ~np.roll(turned, -1))
    runs = []
    for start, stop in zip(starts, stops, strict=True):
        low = (first + start) * 360.0 / cells
        width = (stop - start + 1) * 360.0 / cells
        inside = raised & ((local.theta - low) % 360.0 < width)
        runs.append((low, width, inside))
    usual = np.median([inside.sum() for _, _, inside in runs])
    kept = [run for run in runs if run[2].sum() >= max(8, 0.12 * usual) and run[1] > 2.5]
    return tuple(sorted((_lug(local, run[0], run[2]) for run in kept), key=lambda one: one.centre))


def _lug(local: Local, start: float, inside: NDArray[np.bool_]) -> LugSeed:
    along = (local.theta[inside] - start) % 360.0
    low, high = np.percentile(along, [0.5, 99.5])
    depth = local.depth[inside]
    centre, half = (low + high) / 2.0, (high - low) / 2.0
    slope = float(np.polyfit(along - centre, depth, 1)[0]) if len(depth) > 20 else 0.0
    for _ in range(3):  # edges by angle, then the slope that makes both edges level
        level = depth - slope * (along - centre)
        top, bottom = np.percentile(level, [2.0, 98.0])
        inner = (level > top) & (level < bottom)
        if inner.sum() > 20:
            slope += float(np.polyfit(along[inner] - centre, level[inner], 1)[0])
    level = depth - slope * (along - centre)
    top, bottom = np.percentile(level, [1.0, 99.0])
    return LugSeed(centre=float(start + centre) % 360.0, half=float(half), bearing=float(top),
                   leading=float(bottom), slope=slope, count=int(inside.sum()))  # fmt: skip


def structure(local: Local, name: str) -> Structure:
    """Everything in a frame whose depth 0 is the shoulder."""
    found = rings(local)
    lug = lug_ring(local, found, name)
    pieces = lugs(local, lug)
    if not 1 <= len(pieces) <= 8:
        raise ScanError(f"{name}: {len(pieces)} pieces found where lugs should be; 2 to 8 are read")
    whole = max(ring.around for ring in found)
    below = [
        one for one in found
        if one is not lug and (one.low + one.high) / 2 > 0.2 and one.around > 0.4 * whole
    ]  # fmt: skip
    rim = _rim(found, lug)
    bodies, inner = _bodies_and_inner(local, below)
    if not bodies:
        raise ScanError(f"{name}: no body found below the shoulder")
    ends = _ends(local, bodies)
    kind, sizes = _groove(local, bodies, ends, inner, rim, lug)
    middle = (lug.low + lug.high) / 2
    roots = [
        i for i, one in enumerate(bodies) if one.low - 1 < middle < one.high + 1 and one.r < lug.r
    ]
    if not roots:
        raise ScanError(f"{name}: the body under the lugs was not found")
    return Structure(
        lug_r=lug.r, lug_root=roots[0], lugs=pieces, rim_r=rim.r if rim else float("nan"),
        bodies=tuple((one.r, end) for one, end in zip(bodies, ends, strict=True)), groove=kind,
        groove_sizes=sizes, around=whole, rim_top=rim.low if rim else float("nan"),
    )  # fmt: skip


def _bodies_and_inner(local: Local, below: list[Ring]) -> tuple[list[Ring], list[Ring]]:
    """Bodies by depth, and rings that a wider one bounds on both sides: grooves."""
    inner = [
        one
        for one in below
        if any(_bounds(local, other, one) or _overlaps(other, one) for other in below)
    ]
    bodies = [one for one in below if not any(one is other for other in inner)]
    return sorted(bodies, key=lambda one: (one.low + one.high) / 2), inner


def _overlaps(wide: Ring, narrow: Ring) -> bool:
    """Whether a ring lies at the depths of a wider one: the wall of a groove in a face."""
    within = wide.low - 0.4 < narrow.low and narrow.high < wide.high + 0.6
    return within and wide.r > narrow.r + 0.5


def _bounds(local: Local, wide: Ring, narrow: Ring) -> bool:
    """Whether points of the wide radius lie close on both sides of the narrow ring's depths."""
    if not wide.r > narrow.r + 0.5:
        return False
    level = np.abs(local.r - wide.r) < 0.25
    shares = []
    for low, high in ((narrow.low - 1.9, narrow.low - 0.4), (narrow.high + 0.4, narrow.high + 1.9)):
        theta = local.theta[level & (local.depth > low) & (local.depth < high)]
        shares.append(len(np.unique((theta * AROUND / 360.0).astype(int))) / AROUND)
    return min(shares) > 0.35 * narrow.around


def _ends(local: Local, bodies: list[Ring]) -> list[float]:
    ends = []
    for number, one in enumerate(bodies):
        last = number == len(bodies) - 1
        r0 = 0.3 if last else bodies[number + 1].r + 0.2
        ends.append(plane_depth(local, r0, one.r - 0.2, one.high - 0.8, one.high + 2.0))
    return ends


def _groove(
    local: Local, bodies: list[Ring], ends: list[float], inner: list[Ring],
    rim: Ring | None, lug: Ring,
) -> tuple[str, tuple[float, float, float, float]]:  # fmt: skip
    nan = float("nan")
    for one in sorted(inner, key=lambda ring: -ring.count):
        over = min((o for o in bodies if _bounds(local, o, one)), key=lambda o: o.r, default=None)
        if over is None:
            continue
        quarter = (one.high - one.low) / 4
        inside = (local.depth > one.low + quarter) & (local.depth < one.high - quarter)
        beside = (over.member & inside).sum() / max((one.member & inside).sum(), 1)
        if beside < 0.3:
            start = plane_depth(local, one.r + 0.3, over.r - 0.15, one.low - 0.8, one.low + 0.4)
            stop = plane_depth(local, one.r + 0.3, over.r - 0.15, one.high - 0.4, one.high + 0.8)
            return "radial", (one.r, start if np.isfinite(start) else one.low,
                              stop if np.isfinite(stop) else one.high, nan)  # fmt: skip
    limit = rim.r if rim else float(np.percentile(local.r[local.axial > _AXIAL], 95.0))
    if np.isfinite(ends[-1]):
        face = _face_groove(local, 1.0, bodies[-1].r - 0.3, ends[-1])
        if face is not None:
            return "nose_face", face
    face = _face_groove(local, max(lug.r, bodies[0].r) + 0.2, limit - 0.3, 0.0)
    return ("shoulder_face", face) if face is not None else ("none", (nan, nan, nan, nan))


def _face_groove(
    local: Local, r0: float, r1: float, base: float
) -> tuple[float, float, float, float] | None:
    """A plane ring sunk into a face: inner and outer radius, and how deep."""
    bottom = plane_depth(local, r0, r1, base - _DEEPEST_MM, base - 0.4, last=0.15)
    if not np.isfinite(bottom):
        return None
    own = (local.axial > _AXIAL) & (local.r > r0) & (local.r < r1)
    r = local.r[own & (np.abs(local.depth - bottom) < 0.25)]
    low, high = np.percentile(r, [1.0, 99.0])
    sunk = own & (local.r > low + 0.2) & (local.r < high - 0.2)
    level = (sunk & (np.abs(local.depth - base) < 0.25)).sum()
    if high - low < 1.0 or len(r) < 60 or level > 0.3 * len(r):
        return None
    return float(low), float(low), float(high), base - bottom
