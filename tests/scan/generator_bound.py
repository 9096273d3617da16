"""The Cramer-Rao bound of a scan with white noise, from the true surfaces alone.

A point's distance from the true surface moves with the parameters at the rate
-(df/dp) / |grad f|; the information is the sum of the rates' outer products over noise squared.
Broken edges and groove corners are left out: their size is not known to a fit either.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from generator import TruePlug, half_angle, lug_angle
from generator_scan import Scan, _cylindrical, gradient

POSE = ("pose.x", "pose.y", "pose.z", "pose.tilt_x", "pose.tilt_y")
_MOST = 6000  # points a face; the information is scaled up
_FLOOR = 1e-13
_OF_ALL = ("lead", "leading_lead", "bearing_flank_deg", "leading_flank_deg")
_LOST = 5.0  # mm or deg: no knowledge at all


@dataclass(frozen=True, kw_only=True)
class Bound:
    """Standard uncertainties no unbiased fit can beat; infinite where the scan does not tell."""

    u: dict[str, float]
    keys: tuple[str, ...]
    covariance: np.ndarray


def bound(scan: Scan, *, share: bool | None = None, outlines: bool = False) -> Bound:
    """Bound on every parameter.

    `share`: lugs of an equal set have one width, thickness, diameter, depth and even spacing
    (default: where the plug is equal). The lead is one for all lugs always. `outlines`: where a
    lug's outer face begins and ends tells its middle and width too, though less well than sides.
    """
    keys, information = information_of(scan)
    if outlines:
        information = information + _outlines(scan, keys)
    maker = _shared(scan.plug, keys, scan.plug.equal if share is None else share)
    reduced = maker.T @ information @ maker
    spread = maker @ _inverse(reduced) @ maker.T
    with np.errstate(invalid="ignore"):
        u = np.sqrt(np.diag(spread))
    unknown = ~(np.diag(information) > 0)
    lost = np.abs(maker) @ (~(np.diag(reduced) > 0)).astype(float) > 0
    u = np.where(lost | (unknown & lost) | ~(u < _LOST), math.inf, u)
    return Bound(u=dict(zip(keys, u.tolist(), strict=True)), keys=tuple(keys), covariance=spread)


def information_of(scan: Scan) -> tuple[list[str], np.ndarray]:
    p = scan.plug.p
    keys = [*POSE, *p]
    place = {key: i for i, key in enumerate(keys)}
    total = np.zeros((len(keys), len(keys)))
    for index, face in enumerate(scan.faces):
        here = np.flatnonzero(scan.face == index)
        if face.is_edge or not len(here) or face.name == "top":
            continue
        used = here[:: max(len(here) // _MOST, 1)]
        local = scan.local[used]
        slope = gradient(face, local, p)
        steep = np.linalg.norm(slope, axis=1)
        rates = np.zeros((len(used), len(keys)))
        rates[:, :3] = slope
        rates[:, 3] = local[:, 1] * slope[:, 2] - local[:, 2] * slope[:, 1]
        rates[:, 4] = local[:, 2] * slope[:, 0] - local[:, 0] * slope[:, 2]
        r, theta, depth = _cylindrical(local)
        for key in face.keys:
            step = 1e-4
            ends = [
                face.implicit(r, theta, depth, {**p, key: p[key] + way * step}) for way in (1, -1)
            ]
            rates[:, place[key]] = (ends[0] - ends[1]) / (2 * step)
        rates /= steep[:, None]
        total += rates.T @ rates * (len(here) / len(used)) / scan.nuisance.noise**2
    return keys, total


def _outlines(scan: Scan, keys: list[str]) -> np.ndarray:
    """What the two ends of each lug's outer face tell, where points reach them.

    An end lies within the broken edge and one pitch of the last point.
    """
    plug, total = scan.plug, np.zeros((len(keys), len(keys)))
    for i in range(plug.count):
        key, radius = f"lug.{i}", plug.p[f"lug.{i}.outer_diameter"] / 2
        index = next(k for k, face in enumerate(scan.faces) if face.name == f"{key}.outer")
        here = scan.local[scan.face == index]
        if len(here) < 2:
            continue
        angle = lug_angle(plug, i, _cylindrical(here)[1], plug.p)
        half = float(half_angle(plug, i, np.array([radius]), plug.p)[0])
        blur = plug.edge + math.sqrt(scan.faces[index].area / len(here)) + scan.nuisance.noise
        for way in (-1, 1):
            if half * radius - float((way * angle).max()) * radius > 2 * blur:
                continue
            rate = np.zeros(len(keys))
            rate[keys.index(f"{key}.centre_deg")] = math.radians(radius)
            per = 0.5 if plug.parallel else math.radians(radius / 2)
            rate[keys.index(f"{key}.{plug.width_key}")] = way * per
            total += np.outer(rate, rate) / blur**2
    return total


def _shared(plug: TruePlug, keys: list[str], equal: bool) -> np.ndarray:
    """Map from free parameters to `keys`: one column a free parameter."""
    columns: dict[str, int] = {}
    rows = []
    for key in keys:
        parts = key.split(".")
        common = parts[0] == "lug" and (parts[2] in _OF_ALL or equal)
        rows.append(columns.setdefault(parts[2] if common else key, len(columns)))
    maker = np.zeros((len(keys), len(columns)))
    maker[np.arange(len(keys)), rows] = 1.0
    return maker


def _inverse(information: np.ndarray) -> np.ndarray:
    """Inverse on the parameters the scan says anything about, scaled for rounding."""
    scale = np.sqrt(np.diag(information))
    known = scale > 0
    inverse = np.zeros_like(information)
    scaled = information[np.ix_(known, known)] / np.outer(scale[known], scale[known])
    values, vectors = np.linalg.eigh(scaled)
    spread = (
        (vectors / np.maximum(values, _FLOOR)) @ vectors.T / np.outer(scale[known], scale[known])
    )
    inverse[np.ix_(known, known)] = spread
    return inverse
