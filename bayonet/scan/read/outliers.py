"""Points a fit may count on: each measured once, none out of the scene."""

from __future__ import annotations

import dataclasses

import numpy as np
from numpy.typing import NDArray

from bayonet.errors import ScanError
from bayonet.scan.read.points import ScanPoints, thinned
from bayonet.scan.read.raw_points import mixed

Array = NDArray[np.float64]

_LEAST = 100  # points; a distance of 50 times the usual needs a usual
_ASKED = 50_000  # points a share of 0.1 % is told by
_SHARE = 0.001  # of repeated points among those asked, from which all are held against each other
_FARTHEST = 50.0  # times the usual distance from the middle


def sound(points: ScanPoints) -> ScanPoints:
    """The scan without repeated points and without what lies far out of it.

    A place written six times (a table of triangles' corners) is no more evidence than once, and
    "no return" is often written as one place. Meshes name each place once and stay as they are.

    Parameters
    ----------
    points : ScanPoints

    Returns
    -------
    ScanPoints

    Raises
    ------
    ScanError
        If fewer than a hundred points are left, or a coordinate is no number.

    Examples
    --------
    >>> xyz = np.random.default_rng(0).random((200, 3))
    >>> twice = ScanPoints(xyz_mm=np.vstack([xyz, xyz, [[1e6, 0.0, 0.0]]]), name="scan")
    >>> len(sound(twice).xyz_mm)
    200
    """
    xyz = points.xyz_mm
    rng = np.random.default_rng(9)
    if len(xyz) and not np.isfinite(xyz).all():
        raise ScanError(f"{points.name}: a coordinate is not a number")
    if points.triangles is None and len(xyz):
        kept = _within(xyz, rng)
        kept = kept[_once(xyz[kept], rng)]
        if len(kept) < len(xyz):
            normals = None if points.normals is None else points.normals[kept]
            points = dataclasses.replace(points, xyz_mm=xyz[kept], normals=normals)
    if len(points.xyz_mm) < _LEAST:
        raise ScanError(f"{points.name}: {len(points.xyz_mm)} points: too few to measure a plug")
    return points


def _within(xyz: Array, rng: np.random.Generator) -> NDArray[np.int64]:
    """Rows not far out."""
    some = xyz[thinned(len(xyz), _ASKED, rng)]
    middle = np.median(some, axis=0)
    usual = float(np.median(np.abs(some - middle).max(axis=1)))
    away = np.abs(xyz - middle).max(axis=1)
    return np.flatnonzero(away <= _FARTHEST * usual) if usual > 0.0 else np.arange(len(xyz))


def _once(xyz: Array, rng: np.random.Generator) -> NDArray[np.int64]:
    """First row of each place, in the order of the scan; all rows where hardly any repeats."""
    keys = _keys(xyz)
    some = keys[thinned(len(keys), _ASKED, rng)]
    beside = keys[: len(some)]
    if all(len(np.unique(one)) >= (1.0 - _SHARE) * len(one) for one in (some, beside)):
        return np.arange(len(xyz))
    return np.sort(np.unique(keys, return_index=True)[1])


def _keys(xyz: Array) -> NDArray[np.uint64]:
    """One number a place."""
    x, y, z = np.ascontiguousarray(xyz + 0.0).view(np.uint64).reshape(-1, 3).T
    return mixed(mixed(mixed(x) ^ y) ^ z)
