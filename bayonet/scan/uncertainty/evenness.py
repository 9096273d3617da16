"""Whether points speak against an even set: a lug where none should be, or body where one should.

Between the last point on a lug and the first on the body beyond stands the lug's side. In an even
set one place of each side must suit all lugs.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bayonet.mechanics import signed_deg
from bayonet.scan.find import FOOT
from bayonet.scan.fit import Refined, Shape, body_key
from bayonet.scan.uncertainty.coverage import usual_lug
from bayonet.scan.uncertainty.hidden_lugs import Completed

Array = NDArray[np.float64]

_TRIM = 0.15  # of its thickness
_MAY_ERR = 2  # points
_BESIDE_MM, _OUTLIERS = (
    1.0,
    2.0,
)  # what lies above lugs tells how many outliers there are
# an edge's break on a lug of 40 mm diameter, and noise three times over
_SLACK_DEG, _NOISES = 0.6, 3.0
_CORE, _IN_CORE = 0.7, 6  # of the half-width; body points there are no hidden lug


@dataclass(frozen=True, kw_only=True)
class _Round:
    """Angles [deg] of points on lugs and of points on the body at the lugs' depths."""

    lug: Array
    lug_r: Array
    body: Array
    outliers_a_deg: float
    outer: float
    root: float


def is_uneven(cloud: Array, end: Refined, shape: Shape, even: Completed) -> bool:
    """Whether what was seen cannot be the even set supposed.

    Parameters
    ----------
    cloud : array (m, 3)
        Radius [mm], angle [deg], depth [mm] of all points near the plug.
    end, shape
        The fit's.
    even : Completed
        With a total.
    """
    assert even.total is not None
    seen = _round(cloud, end, shape)
    places = [even.first_deg + 360.0 * place / even.total for place in even.place]
    sides = [_sides(seen, at, 180.0 / even.total, parallel=shape.parallel) for at in places]
    slack = _SLACK_DEG + math.degrees(_NOISES * end.noise / seen.outer)
    low, high = np.array(sides).transpose(2, 1, 0)  # each of shape (before or after, lugs)
    if (low.max(axis=1) > high.min(axis=1) + slack).any():
        return True
    half = usual_lug(end.values, shape.lugs).half_deg
    missing = [
        even.first_deg + 360.0 * k / even.total for k in range(even.total) if k not in even.place
    ]
    return any(
        int((np.abs(signed_deg(seen.body - at)) < _CORE * half).sum()) >= _IN_CORE for at in missing
    )


def room_deg(cloud: Array, end: Refined, shape: Shape) -> float:
    """Widest arc in which neither a lug nor the body at the lugs' depths shows [deg].

    A lug that was not seen hides the body under it, so it needs such an arc as wide as itself. One
    point within may be an outlier.

    Parameters
    ----------
    cloud : array (m, 3)
        Radius [mm], angle [deg], depth [mm] of all points near the plug.
    end, shape
        The fit's.
    """
    seen = _round(cloud, end, shape)
    angles = np.sort(np.concatenate([seen.lug, seen.body]) % 360.0)
    if len(angles) < 3:
        return 360.0
    return float((np.append(angles[2:], angles[:2] + 360.0) - angles).max())


def _round(cloud: Array, end: Refined, shape: Shape) -> _Round:
    usual = usual_lug(end.values, shape.lugs)
    outer, bearing, thick = usual.outer, usual.bearing, usual.thick
    root = end.values[body_key(shape.root, "diameter")] / 2.0
    near = max(4.0 * end.noise, 0.15)
    r, theta, depth = cloud.T
    level = (depth > bearing + _TRIM * thick) & (depth < bearing + (1.0 - _TRIM) * thick)
    lug = level & (r > root + max(FOOT * (outer - root), near)) & (r < outer + near)
    body = level & (np.abs(r - root) < near)
    beyond = level & (r > outer + near) & (r < outer + near + _BESIDE_MM)
    outliers = float(beyond.sum()) / 360.0 * (outer - root) / _BESIDE_MM
    return _Round(
        lug=theta[lug],
        lug_r=r[lug],
        body=theta[body],
        outliers_a_deg=outliers,
        outer=outer,
        root=root,
    )


def _sides(
    seen: _Round, place: float, reach: float, *, parallel: bool
) -> tuple[tuple[float, float], tuple[float, float]]:
    """Least and greatest angle from its place at which each side of a lug may stand [deg]."""
    on, about = signed_deg(seen.lug - place), signed_deg(seen.body - place)
    mine, near = np.abs(on) < reach, np.abs(about) < reach
    on, r, about = on[mine], seen.lug_r[mine], about[near]
    if parallel:
        on = _at_outer(on, r, seen.outer)
        about = _at_outer(about, np.full(len(about), seen.root), seen.outer)
    outliers = _OUTLIERS * seen.outliers_a_deg
    before = _between(-on, -about, reach, outliers)
    return (-before[1], -before[0]), _between(on, about, reach, outliers)


def _between(lug: Array, body: Array, reach: float, outliers_a_deg: float) -> tuple[float, float]:
    """Between which angles from the middle a side stands.

    Where hardly more points than at the best place would be on the wrong face.

    Examples
    --------
    A lug to 5 deg, body from 6 deg on, an outlier of either beyond; two points more may err:

    >>> lug, body = np.append(np.arange(0.5, 5.1, 0.5), 15.0), np.append(np.arange(6.0, 20.0), 2.2)
    >>> [float(one) for one in _between(lug, body, 20.0, 0.0)]
    [4.0, 8.0]
    """
    lug, body = np.sort(lug[lug > 0.0]), np.sort(body[body > 0.0])
    place = np.sort(np.concatenate([[0.0, reach], lug, body]))
    beyond = len(lug) - np.searchsorted(lug, place, "right") - outliers_a_deg * (reach - place)
    wrong = np.maximum(beyond, 0.0) + np.searchsorted(body, place, "left")
    may = np.flatnonzero(wrong <= wrong.min() + _MAY_ERR)
    return float(place[may[0]]), float(place[may[-1]])


def _at_outer(angle: Array, r: Array, outer: float) -> Array:
    """Angle at the outside of a line parallel to a lug's middle through each point."""
    across = r * np.sin(np.radians(angle)) / outer
    return np.degrees(np.arcsin(np.clip(across, -1.0, 1.0)))
