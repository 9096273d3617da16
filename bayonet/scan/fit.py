"""From points to a plug: axis, structure, one joint fit, and what can honestly be said of it."""

from __future__ import annotations

import dataclasses
import math
from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

from bayonet.errors import ScanError
from bayonet.scan import axis, structure
from bayonet.scan.adapt import fitted
from bayonet.scan.beside import beside
from bayonet.scan.coaxial import coaxial
from bayonet.scan.faces import Shape, Values
from bayonet.scan.oriented import oriented
from bayonet.scan.parts import refuse_second
from bayonet.scan.points import ScanPoints
from bayonet.scan.refine import MOST, Pose
from bayonet.scan.result import ScanResult
from bayonet.scan.rings import local_of
from bayonet.scan.rings import rings as rings_of
from bayonet.scan.telling import told
from bayonet.scan.unseen import completed

Array = NDArray[np.float64]

_FEW = 30_000


def fit(points: ScanPoints, *, progress: Callable[[str], None] | None = None) -> ScanResult:
    """Measure the plug a scan shows.

    Parameters
    ----------
    points : ScanPoints
    progress : callable, optional
        Told in words what is being done.

    Returns
    -------
    ScanResult

    Raises
    ------
    ScanError
        If no turned body, no shoulder or no lugs can be told; says which.
    """
    say = progress or (lambda _: None)
    say("finding the axis")
    try:
        given = oriented(points)
        found, pose = _structure(given.xyz, given.normal, points.name)
        _refuse_second(given.xyz, given.normal, found, pose, points.name)
        say("fitting the whole plug")
        whole = given.whole
        if len(whole) > MOST:
            whole = whole[np.random.default_rng(4).permutation(len(whole))[:MOST]]
        shape, values = first_values(found)
        shape, end, lost = fitted(whole, pose, shape, values, few=_FEW)
        say("judging what is seen")
        even = completed(end, shape)
        if even.total is not None and _widths_differ(found, even.hidden):
            even = dataclasses.replace(even, total=None, place=tuple(range(shape.lugs)))
        return told(end, shape, even, name=points.name, lost=lost,
                    beside=beside(whole, end, shape), facet_mm=given.facet_mm)  # fmt: skip
    except (np.linalg.LinAlgError, FloatingPointError, IndexError, KeyError, ValueError) as error:
        if isinstance(error, ScanError):
            raise
        rule = "the scan does not hang together as a plug (no stable fit)"
        raise ScanError(f"{points.name}: {rule}") from error


def _structure(xyz: Array, normal: Array, name: str) -> tuple[structure.Structure, Pose]:
    """Structure, and the pose whose depth 0 is the shoulder."""
    seed = coaxial(xyz, normal, axis.seed(xyz, normal, name=name))
    rotation = axis.frame(seed, out=1)
    local = local_of(xyz, normal, rotation, seed.point)
    rings = rings_of(local)
    if not rings:
        raise ScanError(f"{name}: no turned body found: no two faces of one radius")
    lug = structure.lug_ring(local, rings, name)
    if structure.outside_sense(rings, lug, local, name) < 0:
        rotation = axis.frame(seed, out=-1)
        local = local_of(xyz, normal, rotation, seed.point)
        rings = rings_of(local)
        lug = structure.lug_ring(local, rings, name)
    depth, _ = structure.shoulder_depth(local, rings, lug, name)
    origin = seed.point - rotation[:, 2] * depth
    local = local_of(xyz, normal, rotation, origin)
    return structure.structure(local, name), Pose(rotation=rotation, origin=origin)


def _refuse_second(
    xyz: Array, normal: Array, found: structure.Structure, pose: Pose, name: str
) -> None:
    """Look for another turned part outside the one found."""
    out = axis.Axis(point=pose.origin, way=pose.rotation[:, 2])
    depths = [end for _, end in found.bodies if math.isfinite(end)]
    nose = max([*depths, *(lug.leading for lug in found.lugs)])
    top = -found.rim_top if math.isfinite(found.rim_top) else 0.0
    reach = max([found.lug_r, *(r for r, _ in found.bodies)])
    reach = max(reach, found.rim_r) if math.isfinite(found.rim_r) else 2.0 * reach
    refuse_second(xyz, normal, out, reach_mm=reach, span_mm=(-nose, max(top, 0.0)),
                  name=name)  # fmt: skip


def first_values(found: structure.Structure) -> tuple[Shape, Values]:
    """Parameters of the joint fit from the structure."""
    v: Values = {}
    if math.isfinite(found.rim_r):
        v["shoulder_diameter"] = 2.0 * found.rim_r
        v["shoulder_thickness"] = max(-found.rim_top, 0.5)
    deepest = max(lug.leading for lug in found.lugs)
    for number, (r, end) in enumerate(found.bodies):
        v[f"body.{number}.diameter"] = 2.0 * r
        v[f"body.{number}.to_depth"] = end if math.isfinite(end) else deepest + 3.0
    r, first, last, cut = found.groove_sizes
    if found.groove != "none":
        v["groove.diameter"], v["groove.width"] = 2.0 * r, last - first
        if found.groove == "radial":
            v["groove.at_depth"] = first
        else:
            v["groove.depth"] = cut
    count = np.array([lug.count for lug in found.lugs], dtype=float)
    slope = float(np.average([lug.slope for lug in found.lugs], weights=count))
    for number, lug in enumerate(found.lugs):
        base = f"lug.{number}"
        v[f"{base}.centre_deg"] = lug.centre
        v[f"{base}.width_deg"] = 2.0 * lug.half
        v[f"{base}.outer_diameter"] = 2.0 * found.lug_r
        v[f"{base}.bearing_depth"] = lug.bearing
        v[f"{base}.thickness"] = lug.leading - lug.bearing
    v["lead"] = abs(slope) * 360.0
    shape = Shape(lugs=len(found.lugs), bodies=len(found.bodies), root=found.lug_root,
                  groove=found.groove, sign=1 if slope > 0.0 else -1, parallel=False)  # fmt: skip
    return shape, v


def _widths_differ(found: structure.Structure, hidden: NDArray[np.bool_]) -> bool:
    """Whether lugs that stand clear of what was not seen differ in width by their outsides."""
    cell = 360.0 / len(hidden)
    halves = []
    for lug in found.lugs:
        ends = [lug.centre + way * (lug.half + 4.0) for way in (-1.0, 1.0)]
        if not any(hidden[int(end % 360.0 // cell)] for end in ends) and lug.count >= 80:
            halves.append(lug.half)
    if len(halves) < 2:
        return False
    middle = float(np.median(halves))
    return max(halves) > 1.2 * middle or min(halves) < 0.75 * middle
