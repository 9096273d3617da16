"""What a plug is made of, on the developed plane: cylinders, planes, lugs, groove. No fine fit."""

from __future__ import annotations

from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from bayonet.errors import ScanError
from bayonet.scan.find.arcs import UNSEEN, LugRing, Spread, seen_as, stands_in_pieces
from bayonet.scan.find.cylinders import Local, Ring
from bayonet.scan.find.lugs import LugSeed, lugs

Array = NDArray[np.float64]
Sizes = tuple[float, float, float, float]

_AXIAL = 0.9  # cosine of normal to axis
_DEEPEST_MM = 3.4  # face grooves for rings up to 4 mm; wider ones sit in the nose
_LEAST_PLANE = 20  # points: a depth to a quarter of the noise; fewer crowd by chance
_SAME_MM = 0.3  # three times a usual noise: two radii are one
_WHOLE = 0.5  # share of the fullest ring, from which a ring goes all round
_A_RIM = 0.35  # the same of a rim, of which a vice or a table hides some
_TALLEST = 0.6  # of its radius: a lug taller than that stands on another step
_WIDEST_GROOVE_MM = 10.0  # for the widest ring of AS568, 6.99 mm, with a back-up ring
# noise; twice the noise; the narrowest land that was seen on a part
_LAND_MM, _LAND_STEP_MM, _SHORTEST_MM = 0.25, 0.2, 0.6
_LAND = 0.3  # of the usual density
_A_FACE = 0.2  # of the fullest plane, from which one is a face
_DENSE = 0.15  # of the density of the face round a groove, from which its floor is no outliers


@dataclass(frozen=True, kw_only=True)
class Body:
    """A cylinder of the profile: radius, depths, and the floor of a groove in it."""

    r: float
    low: float
    high: float
    floor: Ring | None = None


@dataclass(frozen=True, kw_only=True)
class Structure:
    """First guess of everything; depths from the shoulder. NaN where nothing was seen."""

    lug_r: float
    lug_root: int
    lugs: tuple[LugSeed, ...]
    rim_r: float
    bodies: tuple[tuple[float, float], ...]  # radius, depth of its end
    reach: float  # depth to which the last body was seen
    groove: str
    groove_sizes: Sizes  # radius, from, to, cut
    rim_top: float
    unseen: NDArray[np.bool_]  # cells of angle with neither lug nor body


def lug_ring(points: Spread, found: list[Ring], name: str) -> LugRing:
    """The radius that stands in pieces over a smaller one, angle for angle.

    Raises
    ------
    ScanError
        If there is none.
    """
    kinds = (_lug_ring(points, found, is_helical=is_helical) for is_helical in (False, True))
    best = next((one for one in kinds if one is not None), None)
    if best is None:
        raise ScanError(f"{name}: no lugs found: nothing stands in pieces on the turned body")
    return best


def _lug_ring(points: Spread, found: list[Ring], *, is_helical: bool) -> LugRing | None:
    best: LugRing | None = None
    for under in found:
        for ring in found:
            if not 0.7 < ring.r - under.r < _TALLEST * ring.r:
                continue
            if not under.low - 0.6 < ring.middle < under.high + 0.6 or ring.high - ring.low < 0.5:
                continue
            same = [one for one in found if abs(one.r - ring.r) < _SAME_MM
                    and one.low < ring.high and one.high > ring.low]  # fmt: skip
            low, high = min(one.low for one in same), max(one.high for one in same)
            count = sum(one.count for one in same)
            lug = LugRing(r=ring.r, root_r=under.r, low=low, high=high, count=count,
                          is_helical=is_helical)  # fmt: skip
            if (best is None or count > best.count) and stands_in_pieces(points, lug.band()):
                best = lug
    return best


def outside_sense(found: list[Ring], lug: LugRing, local: Local, name: str) -> int:
    """+1 where the shoulder lies at smaller depth than the lugs as the frame stands, else -1."""
    whole = max(ring.around for ring in found)
    wider = [ring for ring in found if ring.r > lug.r + 0.8 and ring.around > _WHOLE * whole
             and not ring.low < lug.middle < ring.high]  # fmt: skip
    if wider:
        rim = max(wider, key=lambda ring: ring.r)
        return 1 if rim.middle < lug.middle else -1
    flat = (local.axial > _AXIAL) & (local.r > lug.r + 0.8)
    if flat.sum() < _LEAST_PLANE:
        rule = "no shoulder found outside the lugs: depths are counted from its face"
        raise ScanError(f"{name}: {rule}; a plug without one is measured by hand")
    return 1 if float(np.median(local.depth[flat])) < lug.middle else -1


def plane_depth(local: Local, r0: float, r1: float, d0: float, d1: float) -> float:
    """Depth of the plane with most points between two radii and depths; NaN for too few."""
    peaks = _planes(local, r0, r1, d0, d1)
    return max(peaks, key=lambda one: one[1])[0] if peaks else float("nan")


def _planes(
    local: Local, r0: float, r1: float, d0: float, d1: float, *, facing: bool = True
) -> list[tuple[float, int]]:
    """Depths at which points, facing along the axis, crowd, and how many, by depth."""
    own = (local.r > r0) & (local.r < r1) & (local.depth > d0) & (local.depth < d1)
    depth = local.depth[own & (local.axial > _AXIAL)] if facing else local.depth[own]
    if len(depth) < _LEAST_PLANE or not d1 > d0:
        return []
    edges = np.arange(d0, d1 + 0.2, 0.1)
    count = np.convolve(np.histogram(depth, edges)[0], np.ones(3), "same")
    found: list[tuple[float, int]] = []
    for i in range(len(count)):
        around = count[max(i - 4, 0) : i + 5]
        if count[i] < _LEAST_PLANE - 4 or count[i] < around.max():
            continue
        near = depth[np.abs(depth - edges[i] - 0.05) < 0.3]
        at = float(np.median(near))
        if len(near) >= _LEAST_PLANE - 2 and (not found or at - found[-1][0] > 0.2):
            found.append((at, len(near)))
    return found


def _rim(found: list[Ring], lug: LugRing) -> Ring | None:
    """The widest whole ring on the shoulder's side of the lugs."""
    whole = max(ring.around for ring in found)
    wider = [one for one in found
             if one.r > lug.r + 0.8 and one.middle < lug.low
             and one.around > _A_RIM * whole]  # fmt: skip
    return max(wider, key=lambda one: one.r) if wider else None


def shoulder_depth(local: Local, found: list[Ring], lug: LugRing, name: str) -> float:
    """Depth of the shoulder plane in the frame.

    Raises
    ------
    ScanError
        If it was not seen.
    """
    rim = _rim(found, lug)
    inside, beyond = lug.root_r + 0.3, lug.low - 0.3
    if rim is not None:
        peaks = _planes(local, inside, rim.r - 0.2, rim.middle, min(rim.high + 1.2, beyond))
        near = [one for one in peaks if one[0] > rim.high - 0.8]
        most = max((count for _, count in near), default=0)
        if near:
            return max(at for at, count in near if count > _A_FACE * most)
    else:
        outer = float(np.percentile(local.r[local.axial > _AXIAL], 95.0))
        peaks = _planes(local, lug.r + 0.3, outer, lug.low - 15.0, beyond)
        whole = max(one.around for one in found)
        start = min((one.low for one in found
                     if one.r > lug.root_r - _SAME_MM and not _is_lugs(one, lug)
                     and one.around > 0.8 * _WHOLE * whole), default=float("nan"))  # fmt: skip
        near = [one for one in peaks if abs(one[0] - start) < 1.5]
        if near:
            return max(near)[0]
    raise ScanError(f"{name}: the shoulder's face was not seen: depths have no zero")


def structure(
    local: Local, points: Spread, found: list[Ring], lug: LugRing, name: str, *, mm: float
) -> Structure:
    """Everything, in a frame whose depth 0 is the shoulder; ``mm`` is the working unit, for words.

    Raises
    ------
    ScanError
        If lugs or bodies are not there.
    """
    pieces = lugs(points, lug.band())
    if not 1 <= len(pieces) <= 8:
        raise ScanError(f"{name}: {len(pieces)} pieces found where lugs should be; 2 to 8 are read")
    rim = _rim(found, lug)
    bodies = _bodies(local, found, lug)
    if not bodies:
        raise ScanError(f"{name}: no body found below the shoulder")
    for before, after in pairwise(bodies):
        if after.r > before.r + _SAME_MM:
            rule = "an undercut, or a groove with a land that was not seen"
            raise ScanError(f"{name}: the body widens again at {mm * after.low:.1f} mm: {rule}")
    roots = [i for i, one in enumerate(bodies) if abs(one.r - lug.root_r) < _SAME_MM
             and one.low - 1 < lug.middle < one.high + 1]  # fmt: skip
    if not roots:
        raise ScanError(f"{name}: the body under the lugs was not found")
    ends = _ends(local, bodies)
    kind, sizes = _groove(local, bodies, ends, rim)
    return Structure(
        lug_r=lug.r, lug_root=roots[0], lugs=pieces, rim_r=rim.r if rim else float("nan"),
        bodies=tuple((one.r, end) for one, end in zip(bodies, ends, strict=True)),
        reach=bodies[-1].high, groove=kind,
        groove_sizes=sizes, rim_top=rim.low if rim else float("nan"),
        unseen=seen_as(points, lug.band()).state == UNSEEN,
    )  # fmt: skip


def _bodies(local: Local, found: list[Ring], lug: LugRing) -> list[Body]:
    """The outer profile below the shoulder, a groove's floor taken into the body it is cut in."""
    whole = max(ring.around for ring in found)
    below = [one for one in found if one.middle > 0.2 and not _is_lugs(one, lug)]
    full = [one for one in below if one.around > 0.8 * _WHOLE * whole]
    below = [one for one in below
             if any(one is other or _is_piece(one, other) for other in full)]  # fmt: skip
    outer = [one for one in below if not any(_hides(wide, one) for wide in below)]
    outer = [one for one in outer if not _is_wall(local, one, outer)]
    outer = _with_lands(local, sorted(outer, key=lambda ring: ring.middle))
    bodies, i = [], 0
    while i < len(outer):
        one = outer[i]
        last = max((j for j in range(i, len(outer)) if _is_one_body(outer[i : j + 1])), default=i)
        between = [ring for ring in outer[i : last + 1] if ring.r < one.r - _SAME_MM]
        floor = max(between, key=lambda ring: ring.count, default=None)
        bodies.append(Body(r=one.r, low=one.low, high=outer[last].high, floor=floor))
        i = last + 1
    return bodies


def _with_lands(local: Local, outer: list[Ring]) -> list[Ring]:
    """With the other land of a groove, where it is too narrow for its points to show how they face.

    A ring narrower than the next is a groove's floor; so is one narrower than the last, if points
    of that radius lie beyond it.
    """
    found: list[Ring] = []
    for i, one in enumerate(outer):
        before, after = outer[i - 1] if i else None, outer[i + 1] if i + 1 < len(outer) else None
        start, stop = before.high if before else 0.0, after.low if after else np.inf
        near = far = None
        if after and after.r > one.r + _SAME_MM and not (before and before.r < after.r + _SAME_MM):
            near = _land(local, after, max(start, one.low - _WIDEST_GROOVE_MM), one.low)
        if before and before.r > one.r + _SAME_MM and not (after and after.r > one.r + _SAME_MM):
            far = _land(local, before, one.high, min(stop, one.high + _WIDEST_GROOVE_MM))
        found += [ring for ring in (near, one, far) if ring]
    return found


def _land(local: Local, like: Ring, start: float, stop: float) -> Ring | None:
    """A stretch of depth that holds points of a ring's radius about as densely as the ring does."""
    near = np.abs(local.r - like.r) < _LAND_MM
    own = near & (local.depth > like.low) & (local.depth < like.high)
    usual = own.sum() / (like.high - like.low) * _LAND_STEP_MM
    cells = int((stop - start) / _LAND_STEP_MM)
    if cells < 1 or not usual > 0.0:
        return None
    count = np.histogram(local.depth[near], start + _LAND_STEP_MM * np.arange(cells + 1))[0]
    runs = np.split(np.arange(cells), np.flatnonzero(np.diff(count > _LAND * usual)) + 1)
    full = [run for run in runs if count[run[0]] > _LAND * usual]
    best = max(full, key=len, default=np.zeros(0, dtype=np.int64))
    if len(best) * _LAND_STEP_MM < _SHORTEST_MM:
        return None
    low, high = (start + _LAND_STEP_MM * (best[0] + k) for k in (0, len(best)))
    member = near & (local.depth > low) & (local.depth < high)
    return replace(like, low=low, high=high, count=int(member.sum()), member=member)


def _is_lugs(one: Ring, lug: LugRing) -> bool:
    """Whether a ring is the lugs' outside, or what a noisy flank leaves below it."""
    return (
        lug.root_r + _SAME_MM < one.r < lug.r + _SAME_MM
        and lug.low - 0.5 < one.middle < lug.high + 0.5
    )


def _is_piece(one: Ring, other: Ring) -> bool:
    """Whether a ring seen in part is of the same cylinder as a whole one near it."""
    gap = max(other.low - one.high, one.low - other.high)
    return abs(one.r - other.r) < 0.5 * _SAME_MM and gap < _WIDEST_GROOVE_MM and one.around > 0.1


def _is_one_body(run: list[Ring]) -> bool:
    """Whether the first and last have one radius and nothing between is wider."""
    r = run[0].r
    return abs(run[-1].r - r) < _SAME_MM and all(one.r < r + _SAME_MM for one in run)


def _hides(wide: Ring, narrow: Ring) -> bool:
    """Whether a ring lies within the depths of a wider one: a groove's wall in a face."""
    length = max(narrow.high - narrow.low, 0.1)
    shared = min(wide.high, narrow.high) - max(wide.low, narrow.low)
    return wide.r > narrow.r + 0.5 and shared > 0.4 * length


def _is_wall(local: Local, one: Ring, among: list[Ring]) -> bool:
    """Whether the face round a ring lies at its far end: a groove's wall, and no step.

    A broken nose edge hides the overlap of depths that tells walls otherwise.
    """
    before = [wide for wide in among if wide.r > one.r + 0.5 and wide.high < one.high
              and wide.high > one.low - 1.5]  # fmt: skip
    after = any(wide.r > one.r + 0.4 and wide.middle > one.high for wide in among)
    if not before or after or one.high - one.low > _DEEPEST_MM + 0.5:
        return False
    r1 = max(wide.r for wide in before) - 0.2
    face = plane_depth(local, one.r + 0.3, r1, one.low - 1.0, one.high + 1.0)
    return face > one.middle + 0.2


def _ends(local: Local, bodies: list[Body]) -> list[float]:
    ends = []
    for number, one in enumerate(bodies):
        last = number == len(bodies) - 1
        if last:
            ends.append(_nose_depth(local, one))
            continue
        after = bodies[number + 1]
        r0, r1 = sorted((one.r, after.r))
        end = plane_depth(local, r0 + 0.15, r1 - 0.15, one.high - 0.8,
                          max(after.low, one.high) + 0.8)  # fmt: skip
        ends.append(end if np.isfinite(end) else (one.high + after.low) / 2.0)
    return ends


def _nose_depth(local: Local, last: Body) -> float:
    """Depth of the deepest plane that ends the last body; a groove's floor in it may be larger."""
    peaks = _planes(local, 0.3, last.r - 0.2, last.high - 0.8, last.high + 2.0)
    most = max((count for _, count in peaks), default=0)
    return max((at for at, count in peaks if count > _A_FACE * most), default=float("nan"))


def _groove(
    local: Local, bodies: list[Body], ends: list[float], rim: Ring | None
) -> tuple[str, Sizes]:
    nan = float("nan")
    for body in bodies:
        if body.floor is None:
            continue
        one = body.floor
        start = plane_depth(local, one.r + 0.3, body.r - 0.15, one.low - 0.8, one.low + 0.4)
        stop = plane_depth(local, one.r + 0.3, body.r - 0.15, one.high - 0.4, one.high + 0.8)
        return "radial", (one.r, start if np.isfinite(start) else one.low,
                          stop if np.isfinite(stop) else one.high, nan)  # fmt: skip
    limit = rim.r if rim else float(np.percentile(local.r[local.axial > _AXIAL], 95.0))
    if np.isfinite(ends[-1]):
        face = _face_groove(local, 1.0, bodies[-1].r - 0.3, ends[-1])
        if face is not None:
            return "nose_face", face
    face = _face_groove(local, bodies[0].r + 0.2, limit - 0.3, 0.0)
    return ("shoulder_face", face) if face is not None else ("none", (nan, nan, nan, nan))


def _face_groove(local: Local, r0: float, r1: float, base: float) -> Sizes | None:
    """A plane ring sunk into a face: inner and outer radius, and how deep.

    Where points are few, a narrow floor's do not show how they face; but nothing of a plug lies
    behind a face save a groove.
    """
    for facing in (True, False):
        own = (local.r > r0) & (local.r < r1)
        own &= (local.axial > _AXIAL) | (not facing)
        depths = _planes(local, r0, r1, base - _DEEPEST_MM, base - 0.4, facing=facing)
        for bottom, _ in reversed(depths):
            r = local.r[own & (np.abs(local.depth - bottom) < 0.25)]
            low, high = np.percentile(r, [3.0, 97.0])
            if not 1.0 <= high - low < 0.8 * (r1 - r0) or len(r) < 40:
                continue
            sunk = own & (local.r > low + 0.2) & (local.r < high - 0.2)
            level = (sunk & (np.abs(local.depth - base) < 0.25)).sum()
            floor = (sunk & (np.abs(local.depth - bottom) < 0.25)).sum()
            beside = (own & (np.abs(local.depth - base) < 0.25)).sum() - level
            area = (high - 0.2) ** 2 - (low + 0.2) ** 2
            usual = beside / max(r1**2 - r0**2 - area, 1.0)
            if level < 0.3 * floor and (facing or floor > _DENSE * usual * area):
                return float(low), float(low), float(high), base - bottom
    return None
