"""One least-squares fit of the whole parametric plug to all points that lie on its faces."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bayonet.scan.faces import Face, Shape, Values, faces

Array = NDArray[np.float64]

POSE = ("pose.x", "pose.y", "pose.z", "pose.turn_x", "pose.turn_y")
MARGIN_MM = 0.6
_TRIM = 3.6
_RIDGE = 1e-12
MOST = 400_000


@dataclass(frozen=True, kw_only=True)
class Pose:
    """Rotation (columns: local axes) and origin."""

    rotation: Array
    origin: Array


@dataclass(frozen=True, kw_only=True)
class Labelled:
    """Points on faces: which face each lies on (-1 none), and its distance [mm]."""

    r: Array
    theta: Array
    depth: Array
    face: NDArray[np.int64]
    residual: Array
    names: tuple[str, ...]


@dataclass(frozen=True, kw_only=True)
class Refined:
    """The end of the fit."""

    pose: Pose
    values: Values
    keys: tuple[str, ...]
    information: Array  # J'J
    labelled: Labelled
    noise: float


def cylindrical(xyz: Array, pose: Pose) -> tuple[Array, Array, Array, Array]:
    """Local points, radius, angle [deg] and depth."""
    local = (xyz - pose.origin) @ pose.rotation
    x, y, z = local.T
    return local, np.hypot(x, y), np.degrees(np.arctan2(y, x)), -z


def labelled(xyz: Array, pose: Pose, every: list[Face], values: Values, reach: float) -> Labelled:
    """Give each point to the nearest face in whose window it lies, within a reach [mm]."""
    _, r, theta, depth = cylindrical(xyz, pose)
    best = np.full(len(r), reach)
    face, residual = np.full(len(r), -1), np.zeros(len(r))
    raised = _raised(r, depth, values, reach)
    for number, one in enumerate(every):
        if one.name.startswith("lug."):
            inside = raised[one.window(r[raised], theta[raised], depth[raised], values)]
            f = one.slope(r[inside], theta[inside], depth[inside], values).f
        else:
            f = one.slope(r, theta, depth, values).f
            inside = np.flatnonzero(np.abs(f) < reach)
            inside = inside[one.window(r[inside], theta[inside], depth[inside], values)]
            f = f[inside]
        near = np.abs(f) < best[inside]
        spot = inside[near]
        best[spot], face[spot], residual[spot] = np.abs(f[near]), number, f[near]
    names = tuple(one.name for one in every)
    return Labelled(r=r, theta=theta, depth=depth, face=face, residual=residual, names=names)


def _raised(r: Array, depth: Array, v: Values, reach: float) -> NDArray[np.int64]:
    """Points that may lie on a lug."""
    lugs = {key.split(".")[1] for key in v if key.startswith("lug.")}
    outer = max(v[f"lug.{i}.outer_diameter"] for i in lugs) / 2.0 + reach
    low = min(v[f"lug.{i}.bearing_depth"] for i in lugs)
    high = max(v[f"lug.{i}.bearing_depth"] + v[f"lug.{i}.thickness"] for i in lugs)
    more = abs(v["lead"]) / 5.0 + reach
    return np.flatnonzero((r < outer) & (depth > low - more) & (depth < high + more))


def normal_equations(
    seen: Labelled, every: list[Face], values: Values, keys: tuple[str, ...], sigma: float
) -> tuple[Array, Array, float, int]:
    """J'J, J'r, sum of squares, count; points beyond the trim are left out."""
    place = {key: i for i, key in enumerate(keys)}
    size = len(keys)
    square, right, total, count = np.zeros((size, size)), np.zeros(size), 0.0, 0
    for number, one in enumerate(every):
        own = np.flatnonzero((seen.face == number) & (np.abs(seen.residual) < _TRIM * sigma))
        if not len(own):
            continue
        r, theta, depth = seen.r[own], seen.theta[own], seen.depth[own]
        slope = one.slope(r, theta, depth, values)
        columns = {**_pose_columns(slope, r, theta, depth), **slope.by}
        used = [key for key in columns if key in place]
        rows = np.column_stack([columns[key] for key in used])
        spots = np.array([place[key] for key in used])
        square[np.ix_(spots, spots)] += rows.T @ rows
        right[spots] += rows.T @ slope.f
        total += float(slope.f @ slope.f)
        count += len(own)
    return square, right, total, count


def _pose_columns(slope, r: Array, theta: Array, depth: Array) -> dict[str, Array]:  # type: ignore[no-untyped-def]
    cos, sin = np.cos(np.radians(theta)), np.sin(np.radians(theta))
    gx = slope.by_r * cos - slope.by_around * sin
    gy = slope.by_r * sin + slope.by_around * cos
    gz = -slope.by_depth
    x, y, z = r * cos, r * sin, -depth
    columns = (gx, gy, gz, y * gz - z * gy, z * gx - x * gz)
    return dict(zip(POSE, columns, strict=True))


def moved(pose: Pose, step: Array) -> Pose:
    """Pose after local points shift by ``step[:3]`` and turn by ``step[3:]`` about x and y."""
    turn = np.array([[1, 0, step[4]], [0, 1, -step[3]], [-step[4], step[3], 1]])
    u, _, vt = np.linalg.svd(turn)
    inverse = (u @ vt).T
    rotation = pose.rotation @ inverse
    return Pose(rotation=rotation, origin=pose.origin - rotation @ step[:3])


def refined(
    xyz: Array, pose: Pose, shape: Shape, values: Values, *, sigma: float = 0.25, turns: int = 9
) -> Refined:
    """Fit: relabel and solve until it stands."""
    values = dict(values)
    keys = (*POSE, *values)
    for _ in range(turns):
        every = faces(shape, values, MARGIN_MM)
        seen = labelled(xyz, pose, every, values, max(5.0 * sigma, 0.05))
        square, right, _, _ = normal_equations(seen, every, values, keys, sigma)
        step = np.clip(-solved(square, right, keys, sigma), -2.0, 2.0)
        pose = moved(pose, step[: len(POSE)])
        for key, change in zip(keys[len(POSE) :], step[len(POSE) :], strict=True):
            values[key] += float(change)
        on = np.abs(seen.residual[seen.face >= 0])
        robust = 1.4826 * float(np.median(on)) if len(on) else sigma
        sigma = max(robust, 0.4 * sigma, 0.002)
        if float(np.abs(step).max()) < 1e-5:
            break
    every = faces(shape, values, MARGIN_MM)
    seen = labelled(xyz, pose, every, values, 5.0 * sigma)
    square, _, total, count = normal_equations(seen, every, values, keys, sigma)
    noise = math.sqrt(total / max(count - len(keys), 1))
    return Refined(pose=pose, values=values, keys=keys, information=square, labelled=seen,
                   noise=noise)  # fmt: skip


def prior(keys: tuple[str, ...]) -> Array:
    """Weak information that holds what no point tells near its first guess, 1 / sd^2."""
    found = []
    for key in keys:
        wide = 0.0
        if key == "lead":
            wide = 8.0
        elif not key.startswith("pose."):
            wide = 3.0 if key.endswith("_deg") else 0.7
        found.append(1.0 / wide**2 if wide else 0.0)
    return np.array(found)


def solved(square: Array, right: Array, keys: tuple[str, ...], sigma: float) -> Array:
    """Solve normal equations with the weak prior."""
    return inverse(square + sigma**2 * np.diag(prior(keys))) @ right


def inverse(square: Array) -> Array:
    """Inverse of a scaled symmetric matrix; zero rows where the diagonal is zero."""
    scale = np.sqrt(np.diag(square))
    known = scale > 1e-9
    found = np.zeros_like(square)
    within = scale[known]
    small = square[np.ix_(known, known)] / np.outer(within, within)
    small = small + _RIDGE * np.eye(len(small))
    found[np.ix_(known, known)] = np.linalg.inv(small) / np.outer(within, within)
    return found
