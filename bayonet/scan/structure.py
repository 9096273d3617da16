"""What a plug is made of, on the developed plane: cylinders, planes, lugs, groove. No fine fit."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from bayonet.errors import ScanError

Array = NDArray[np.float64]

_RADIAL, _AXIAL = 0.9, 0.9  # cosine of normal to radius, to axis
_BIN_MM = 0.1
_WIDE_MM = 0.4
_LEAST_POINTS, _LEAST_SHARE = 40, 0.004
_AROUND = 120
_GAP_DEG = 4.0
_DEEPEST_MM = 3.4


@dataclass(frozen=True, kw_only=True)
class Local:
    """Points in a plug's frame, with their normals' radial and axial parts."""

    r: Array
    theta: Array  # [deg], 0 to 360
    depth: Array
    radial: Array
    axial: Array


@dataclass(frozen=True, kw_only=True)
class Ring:
    """Points of one radius: a cylinder, or what lugs have outside."""

    r: float
    low: float
    high: float
    around: float  # share of the circle seen
    count: int
    member: NDArray[np.bool_] = field(repr=False)


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
    rim_top: float  # least depth of the rim
    bodies: tuple[tuple[float, float], ...]  # radius, depth of its end
    groove: str
    groove_sizes: tuple[float, float, float, float]  # radius, from, to, cut
    around: float


def local_of(xyz: Array, normal: Array, rotation: Array, origin: Array) -> Local:
    """Points in a frame."""
    x, y, z = ((xyz - origin) @ rotation).T
    r = np.maximum(np.hypot(x, y), 1e-9)
    own = normal @ rotation
    return Local(
        r=r,
        theta=np.degrees(np.arctan2(y, x)) % 360.0,
        depth=-z,
        radial=np.abs((own[:, 0] * x + own[:, 1] * y) / r),
        axial=np.abs(own[:, 2]),
    )


def rings(local: Local) -> list[Ring]:
    """Radii at which points face outwards or inwards, the most frequent first."""
    facing = np.flatnonzero(local.radial > _RADIAL)
    left = np.ones(len(facing), dtype=bool)
    r, found = local.r[facing], []
    least = max(_LEAST_POINTS, int(_LEAST_SHARE * len(facing)))
    bins = np.arange(0.0, float(np.percentile(r, 99.9)) + 3.0, _BIN_MM)
    for _ in range(24):
        count = np.histogram(r[left], bins)[0]
        near = np.convolve(count, np.ones(3), "same")
        peak = bins[int(np.argmax(near))] + _BIN_MM / 2
        close = left & (np.abs(r - peak) < _WIDE_MM)
        if close.sum() < least:
            break
        middle = float(np.median(r[close]))
        own = left & (np.abs(r - middle) < _WIDE_MM)
        left &= np.abs(r - middle) >= 1.5 * _WIDE_MM
        found.append(_ring(local, facing[own], middle))
    return found


def _ring(local: Local, member: NDArray[np.int64], r: float) -> Ring:
    depth = local.depth[member]
    low, high = np.percentile(depth, [1.0, 99.0])
    cells = np.unique((local.theta[member] * _AROUND / 360.0).astype(int))
    mask = np.zeros(len(local.r), dtype=bool)
    mask[member] = True
    return Ring(r=r, low=float(low), high=float(high), around=len(cells) / _AROUND,
                count=len(member), member=mask)  # fmt: skip


def lug_ring(local: Local, found: list[Ring], name: str) -> Ring:
    """The ring that stands in pieces over a smaller one."""
    whole = max(ring.around for ring in found)
    best: tuple[float, Ring] | None = None
    for ring in found:
        low, high = np.percentile(local.depth[ring.member], [15.0, 85.0])
        for under in found:
            if not 0.8 < ring.r - under.r < 0.6 * ring.r or ring.around > 0.9 * whole:
                continue
            beside = under.member & (local.depth > low) & (local.depth < high)
            overlap = _shared_cells(local.theta[ring.member], local.theta[beside])
            if beside.sum() >= 15 and overlap < 0.4 and (best is None or ring.count > best[0]):
                best = (ring.count, ring)
    if best is None:
        raise ScanError(f"{name}: no lugs found: nothing stands in pieces on the turned body")
    return best[1]


def _shared_cells(one: Array, other: Array) -> float:
    """Share of one's angle cells, its fringes left out, in which the other has points too."""
    a = np.bincount((one * _AROUND / 360.0).astype(int) % _AROUND, minlength=_AROUND)
    b = np.bincount((other * _AROUND / 360.0).astype(int) % _AROUND, minlength=_AROUND)
    inner = (a > 0) & (np.roll(a, 1) > 0) & (np.roll(a, -1) > 0)
    usual = np.median(b[b > 0]) if (b > 0).any() else 0.0
    return float(np.mean(b[inner] > 0.2 * usual)) if inner.any() else 1.0


def outside_sense(found: list[Ring], lug: Ring, local: Local, name: str) -> int:
    """+1 where the shoulder lies at smaller depth than the lugs as the frame stands, else -1."""
    wider = [ring for ring in found if ring.r > lug.r + 0.8 and ring.around > 0.3]
    middle = (lug.low + lug.high) / 2.0
    if wider:
        rim = max(wider, key=lambda ring: ring.r)
        return 1 if (rim.low + rim.high) / 2.0 < middle else -1
    flat = local.axial > _AXIAL
    beyond = flat & (local.r > lug.r + 0.8)
    if beyond.sum() < _LEAST_POINTS:
        raise ScanError(f"{name}: no shoulder found outside the lugs")
    return 1 if float(np.median(local.depth[beyond])) < middle else -1


def plane_depth(local: Local, r0: float, r1: float, d0: float, d1: float) -> float:
    """Depth of the plane with most points between two radii and depths; NaN for too few."""
    own = (local.axial > _AXIAL) & (local.r > r0) & (local.r < r1)
    depth = local.depth[own & (local.depth > d0) & (local.depth < d1)]
    if len(depth) < 25 or not d1 > d0:
        return float("nan")
    edges = np.arange(d0, d1 + 0.2, 0.1)
    count = np.convolve(np.histogram(depth, edges)[0], np.ones(3), "same")
    peak = edges[int(np.argmax(count))] + 0.05
    near = depth[np.abs(depth - peak) < 0.3]
    return float(np.median(near)) if len(near) >= 20 else float("nan")


def shoulder_depth(local: Local, found: list[Ring], lug: Ring, name: str) -> tuple[float, float]:
    """Depth of the shoulder plane in the frame, and the rim's radius (NaN where unseen)."""
    wider = [one for one in found if one.r > lug.r + 0.8 and one.low < lug.low and one.around > 0.3]
    rim = max(wider, key=lambda one: one.r) if wider else None
    rim_r = rim.r if rim else float(np.percentile(local.r[local.axial > _AXIAL], 98.0))
    upper = lug.low - 0.3
    if rim is not None:
        depth = plane_depth(
            local, lug.r + 0.3, rim_r - 0.2, rim.high - 1.0, min(rim.high + 1.0, upper)
        )
    else:
        depth = plane_depth(local, lug.r + 0.3, rim_r, lug.low - 15.0, upper)
    if not np.isfinite(depth):
        raise ScanError(f"{name}: the shoulder's face was not seen: depths have no zero")
    return depth, (rim.r if rim else float("nan"))


def lugs(local: Local, ring: Ring) -> tuple[LugSeed, ...]:
    """The pieces of the lugs' ring: runs of angle, wrapped round."""
    theta = np.sort(local.theta[ring.member])
    gap = np.diff(np.append(theta, theta[0] + 360.0))
    breaks = np.flatnonzero(gap > _GAP_DEG)
    if not len(breaks):
        return ()
    runs = []
    for one, other in zip(breaks, np.roll(breaks, -1), strict=True):
        start = theta[(one + 1) % len(theta)]
        width = (theta[other] - start) % 360.0
        inside = ring.member & ((local.theta - start) % 360.0 <= width)
        runs.append((start, width, inside))
    usual = np.median([inside.sum() for _, _, inside in runs if inside.sum() >= 8] or [0])
    kept = [run for run in runs if run[2].sum() >= max(8, 0.12 * usual) and run[1] > 2.0]
    return tuple(sorted((_lug(local, run[0], run[2]) for run in kept), key=lambda lug: lug.centre))


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
    wider = [one for one in found if one.r > lug.r + 0.8 and one.low < -0.5]
    rim = max(wider, key=lambda one: one.r) if wider else None
    bodies, inner = _bodies_and_inner(below)
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
        rim_top=rim.low if rim else float("nan"),
        bodies=tuple((one.r, end) for one, end in zip(bodies, ends, strict=True)), groove=kind,
        groove_sizes=sizes, around=whole,
    )  # fmt: skip


def _bodies_and_inner(below: list[Ring]) -> tuple[list[Ring], list[Ring]]:
    """Bodies by depth, and rings that lie within the depths of a wider one."""
    inner = [
        one for one in below
        if any(o.r > one.r + 0.5 and o.low < one.low + 0.3 and o.high > one.high - 0.3
               for o in below)
    ]  # fmt: skip
    bodies = [one for one in below if not any(one is other for other in inner)]
    return sorted(bodies, key=lambda one: (one.low + one.high) / 2), inner


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
        over = min((b for b in bodies if b.low < one.low and b.high > one.high - 0.3),
                   key=lambda b: b.r, default=None)  # fmt: skip
        if over is None:
            continue
        quarter = (one.high - one.low) / 4
        inside = (local.depth > one.low + quarter) & (local.depth < one.high - quarter)
        beside = (over.member & inside).sum() / max((one.member & inside).sum(), 1)
        if beside < 0.3 and over.high > one.high + 0.3:
            start = plane_depth(local, one.r + 0.3, over.r - 0.15, one.low - 0.8, one.low + 0.4)
            stop = plane_depth(local, one.r + 0.3, over.r - 0.15, one.high - 0.4, one.high + 0.8)
            return "radial", (one.r, start if np.isfinite(start) else one.low,
                              stop if np.isfinite(stop) else one.high, nan)  # fmt: skip
    limit = rim.r if rim else float(np.percentile(local.r[local.axial > _AXIAL], 99.0))
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
    bottom = plane_depth(local, r0, r1, base - _DEEPEST_MM, base - 0.4)
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
