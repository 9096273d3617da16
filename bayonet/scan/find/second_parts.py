"""Whether a second turned part lies beside the one that was found."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from bayonet.errors import ScanError
from bayonet.scan.find import axis

Array = NDArray[np.float64]

_LEAST_SHARE = 0.03  # of all points, that agree with another axis
_AGREES = 0.15  # of those that are not the part's; a flat part has mostly planes
_NEAR = 0.08  # of the radius, between a normal and the axis
_BESIDE_MM, _TILT = 3.0, 0.09  # axes farther apart, or leaning 5 deg, are no error of one axis
_CLEAR_MM = 6.0  # a nose or a flat shoulder reaches beyond the turned faces
_GAP_MM = 15.0  # in which no turned face shows
# a stretch counts where seven of 24 sectors show a turned face
_STEP_MM, _CELL_DEG, _LEAST_CELLS = 1.0, 15.0, 7
# of 18 ways round, and the share of normals one needs: jaws face two or four
_LEAST_FACINGS, _ONE_WAY = 10, 0.03
_STEEP, _FARTHEST_MM = 0.5, 19.0  # as in axis; a quarter of a small part's radius


def refuse_second(
    xyz: Array, normal: Array, found: axis.Axis, *, name: str, mm: float = 1.0
) -> None:
    """Refuse a scan in which what is not the part turns about an axis of its own.

    Tables, jaws and outlier points have none; a chuck has the part's.

    Parameters
    ----------
    xyz, normal : array (n, 3)
        A sample of the scan.
    found : Axis
        The part's.
    name : str
    mm : float
        Length of the working unit [mm], for words.

    Raises
    ------
    ScanError
    """
    along = (xyz - found.point) @ found.way
    r = np.linalg.norm(np.cross(found.way, xyz - found.point), axis=1)
    reach_mm, places = _extent(xyz, normal, found, r, along)
    gap = float(np.diff(places).max()) if len(places) > 1 else 0.0
    if gap > _GAP_MM:
        rule = f"two turned parts on one axis, {mm * gap:.0f} mm apart: cut one out of the scan"
        raise ScanError(f"{name}: {rule}")
    low, high = (places[0], places[-1]) if len(places) else (-np.inf, np.inf)
    off = (r > reach_mm + _CLEAR_MM) | (along < low - _CLEAR_MM) | (along > high + _CLEAR_MM)
    if not off.sum() > _LEAST_SHARE * len(xyz):
        return
    rest, facing = xyz[off], normal[off]
    try:
        other = axis.seed(rest, facing, name=name)
    except (ScanError, ValueError, np.linalg.LinAlgError):
        return
    agrees = _meets(rest, facing, other)
    if not agrees.sum() > max(_LEAST_SHARE * len(xyz), _AGREES * len(rest)):
        return
    if _facings(facing[agrees], other) < _LEAST_FACINGS:
        return  # jaws and boxes
    middle = rest[agrees].mean(axis=0)
    at = other.point + ((middle - other.point) @ other.way) * other.way
    beside = float(np.linalg.norm(np.cross(found.way, at - found.point)))
    tilt = float(np.linalg.norm(np.cross(found.way, other.way)))
    if beside > _BESIDE_MM or tilt > _TILT:
        rule = (
            f"two turned parts, their axes {mm * beside:.0f} mm and"
            f" {np.degrees(np.arcsin(min(tilt, 1.0))):.0f} deg apart: cut one out of the scan"
        )
        raise ScanError(f"{name}: {rule}")


def _extent(
    xyz: Array, normal: Array, found: axis.Axis, r: Array, along: Array
) -> tuple[float, Array]:
    """Largest radius, and places along the axis, at which turned faces show a good way round."""
    own = _meets(xyz, normal, found)
    x, y, _ = axis.frame(found, out=1).T @ (xyz[own] - found.point).T
    cell = (np.degrees(np.arctan2(y, x)) % 360.0 // _CELL_DEG).astype(int)

    def around(value: Array) -> Array:
        step = np.floor(value / _STEP_MM).astype(int)
        pairs = np.unique(np.column_stack([step, cell]), axis=0)
        steps, count = np.unique(pairs[:, 0], return_counts=True)
        return np.asarray(steps[count >= _LEAST_CELLS] * _STEP_MM)

    radii, places = around(r[own]), around(along[own])
    return float(radii.max()) + _STEP_MM if len(radii) else float("inf"), places


def _facings(normal: Array, other: axis.Axis) -> int:
    """In how many directions of 18 round an axis faces look; both senses of a normal count."""
    x, y, _ = axis.frame(other, out=1).T @ normal.T
    cell = (np.degrees(np.arctan2(y, x)) % 180.0 // 20.0).astype(int)
    return 2 * int((np.bincount(cell, minlength=9) > _ONE_WAY * len(normal)).sum())


def _meets(xyz: Array, normal: Array, other: axis.Axis) -> NDArray[np.bool_]:
    """Whether normals meet an axis, nearly, and are not parallel to it."""
    across = np.cross(other.way, normal)
    steep = np.linalg.norm(across, axis=1)
    gap = np.abs(np.einsum("ij,ij->i", xyz - other.point, across)) / np.maximum(steep, 1e-9)
    radius = np.linalg.norm(np.cross(other.way, xyz - other.point), axis=1)
    return np.asarray((steep > _STEEP) & (gap < _NEAR * np.minimum(radius, _FARTHEST_MM)))
