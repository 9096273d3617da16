"""From points to a plug: axis, structure, one joint fit, and what can honestly be said of it."""

from __future__ import annotations

import dataclasses
import math
from collections.abc import Callable

import numpy as np

from bayonet.errors import ScanError
from bayonet.scan.find import (
    Oriented,
    Plate,
    axis,
    coaxial,
    local_of,
    oriented,
    plates,
    refuse_second,
    spread_of,
    structure,
)
from bayonet.scan.find import rings as rings_of
from bayonet.scan.fit import Pose, ScanResult, Shape, Values, fitted
from bayonet.scan.read import ScanPoints, sound, thinned
from bayonet.scan.uncertainty import beside, completed, is_uneven, told

_FEW = 12_000
_MANY = 100_000
_BEYOND_MM = 1.5  # an end that was not seen


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
        given = oriented(sound(points))
        found, pose, given = _structure(given, points.name)
        say("fitting the whole plug")
        shape, values = first_values(found)
        shape, end, cloud, lost = fitted(given.whole, pose, shape, values, few=_FEW)
        say("judging what is seen")
        even = completed(end, shape, found.unseen, tuple(lug.is_whole for lug in found.lugs))
        aside = beside(cloud, end, shape)
        if even.total is not None and (shape.lugs < 2 or is_uneven(aside.cloud, end, shape, even)):
            even = dataclasses.replace(even, total=None, place=tuple(range(shape.lugs)))
        return told(end, shape, even, name=points.name, lost=lost, beside=aside,
                    facet_mm=given.facet_mm)  # fmt: skip
    except (np.linalg.LinAlgError, FloatingPointError, ZeroDivisionError) as error:
        rule = "the scan does not hang together as a plug (no stable fit)"
        raise ScanError(f"{points.name}: {rule}") from error


def _structure(given: Oriented, name: str) -> tuple[structure.Structure, Pose, Oriented]:
    """Structure, the pose whose depth 0 is the shoulder, and the points without fixtures."""
    seed = coaxial(given.xyz, given.normal, axis.seed(given.xyz, given.normal, name=name))
    refuse_second(given.xyz, given.normal, seed, name=name)
    given = _freed(given, plates(given.xyz, given.normal, seed))
    some = given.whole[thinned(len(given.whole), _MANY, np.random.default_rng(4))]
    out = 1
    for _ in range(2):
        rotation = axis.frame(seed, out=out)
        local = local_of(given.xyz, given.normal, rotation, seed.point)
        rings = rings_of(local)
        if not rings:
            raise ScanError(f"{name}: no turned body found: no two faces of one radius")
        spread = spread_of(some, rotation, seed.point)
        lug = structure.lug_ring(spread, rings, name)
        if structure.outside_sense(rings, lug, local, name) > 0:
            break
        out = -out
    depth = structure.shoulder_depth(local, rings, lug, name)
    origin = seed.point - rotation[:, 2] * depth
    rings = [one.sunk(depth) for one in rings]
    found = structure.structure(local.sunk(depth), spread.sunk(depth), rings, lug.sunk(depth), name)
    return found, Pose(rotation=rotation, origin=origin), given


def _freed(given: Oriented, found: list[Plate]) -> Oriented:
    """The points no plate touches; what lies behind one goes too."""
    for plate in found:
        some = plate.clear(given.xyz)
        given = dataclasses.replace(given, xyz=given.xyz[some], normal=given.normal[some],
                                    whole=given.whole[plate.clear(given.whole)])  # fmt: skip
    return given


def first_values(found: structure.Structure) -> tuple[Shape, Values]:
    """Parameters of the joint fit from the structure."""
    v: Values = {}
    if math.isfinite(found.rim_r):
        v["shoulder_diameter"] = 2.0 * found.rim_r
        v["shoulder_thickness"] = max(-found.rim_top, 0.5)
    deepest = max(lug.leading for lug in found.lugs)
    for number, (r, end) in enumerate(found.bodies):
        v[f"body.{number}.diameter"] = 2.0 * r
        unseen = max(deepest + 3.0, found.reach + _BEYOND_MM)
        v[f"body.{number}.to_depth"] = end if math.isfinite(end) else unseen
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
