"""From points to a plug: axis, structure, one joint fit, and what can honestly be said of it."""

from __future__ import annotations

import dataclasses
import math
from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

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
from bayonet.scan.fit import Pose, ScanResult, Shape, Values, body_key, fitted, lug_key
from bayonet.scan.read import ScanPoints, sound, thinned
from bayonet.scan.uncertainty import beside, completed, is_uneven, told

_FEW = 12_000  # points of a sample for the fit: no first value moves with more
_MANY = 100_000  # points by which lugs are found: 20 on the smallest
_BEYOND_MM = 1.5  # an end that was not seen
_USUAL_SIZE = 24.0
"""Three quarters of a scan's points lie within this of its middle [mm], on the plugs that the
thresholds were set on; they span 14 to 42 mm."""
_USUAL = (0.5, 1.8)  # times the usual size: no other unit is taken


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
        points = sound(points)
        mm = working_unit_mm(points.xyz_mm)
        given = oriented(dataclasses.replace(points, xyz_mm=points.xyz_mm / mm))
        found, pose, given = _structure(given, points.name, mm)
        say("fitting the whole plug")
        shape, values = first_values(found)
        shape, end, cloud, lost = fitted(given.whole, pose, shape, values, few=_FEW)
        say("judging what is seen")
        even = completed(end, shape, found.unseen, tuple(lug.is_whole for lug in found.lugs))
        aside = beside(cloud, end, shape)
        if even.total is not None and (shape.lugs < 2 or is_uneven(aside.cloud, end, shape, even)):
            even = dataclasses.replace(even, total=None, place=tuple(range(shape.lugs)))
        return told(end, shape, even, name=points.name, lost=lost, beside=aside,
                    facet_mm=given.facet_mm, mm=mm).in_units_of(mm)  # fmt: skip
    except (np.linalg.LinAlgError, FloatingPointError, ZeroDivisionError) as error:
        rule = "the scan does not hang together as a plug (no stable fit)"
        raise ScanError(f"{points.name}: {rule}") from error


def working_unit_mm(xyz_mm: NDArray[np.float64]) -> float:
    """The unit in which a plug is about as large as the thresholds of the search suppose.

    A power of two, so that nothing is rounded, and 1 for all but small and large plugs: they are
    measured as if they were of the usual size. What noise and form errors may be grows with them.

    Parameters
    ----------
    xyz_mm : array (n, 3)

    Returns
    -------
    float
        [mm]

    Examples
    --------
    >>> rim = 30.0 * np.array([[1.0, 0, 0], [-1, 0, 0], [0, 1, 0], [0, -1, 0], [0, 0, 0]])
    >>> [working_unit_mm(size * rim) for size in (0.15, 1.0, 6.0)]
    [0.25, 1.0, 8.0]
    """
    away = np.linalg.norm(xyz_mm - np.median(xyz_mm, axis=0), axis=1)
    times = float(np.percentile(away, 75.0)) / _USUAL_SIZE
    if _USUAL[0] <= times <= _USUAL[1] or not 0.0 < times < math.inf:
        return 1.0
    return float(2.0 ** round(math.log2(times)))


def _structure(given: Oriented, name: str, mm: float) -> tuple[structure.Structure, Pose, Oriented]:
    """Structure, the pose whose depth 0 is the shoulder, and the points without fixtures."""
    seed = coaxial(given.xyz, given.normal, axis.seed(given.xyz, given.normal, name=name))
    refuse_second(given.xyz, given.normal, seed, name=name, mm=mm)
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
    found = structure.structure(
        local.sunk(depth), spread.sunk(depth), rings, lug.sunk(depth), name, mm=mm
    )
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
        v[body_key(number, "diameter")] = 2.0 * r
        unseen = max(deepest + 3.0, found.reach + _BEYOND_MM)
        v[body_key(number, "to_depth")] = end if math.isfinite(end) else unseen
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
        base = lug_key(number)
        v[base.of("centre_deg")] = lug.centre
        v[base.of("width_deg")] = 2.0 * lug.half
        v[base.of("outer_diameter")] = 2.0 * found.lug_r
        v[base.of("bearing_depth")] = lug.bearing
        v[base.of("thickness")] = lug.leading - lug.bearing
    v["lead"] = abs(slope) * 360.0
    shape = Shape(lugs=len(found.lugs), bodies=len(found.bodies), root=found.lug_root,
                  groove=found.groove, sign=1 if slope > 0.0 else -1, parallel=False)  # fmt: skip
    return shape, v
