"""Whether a scan shows a plug's structure at all, from the truth alone: labels and true angles.

A scan that does not is rightly refused; it is counted apart.
"""

from __future__ import annotations

import math

import generator as g
import numpy as np
from generator_scan import Scan, _cylindrical

_NEAR, _A_SIDE = 0.3, 3  # a side is seen by points within so much of a width, inside and outside
_ODD_DEG, _AN_ODD = 1.0, 5  # an odd lug by points where an even set has none
_LEAST_SHOULDER = 20
_ROOM = 0.8  # of the narrowest lug


def untellable(scan: Scan) -> str:
    """Why the scan does not tell the structure; empty where it does.

    It tells it where the shoulder shows, and two lugs with both sides in view stand next to each
    other; a set that is not even must show all round, and where it departs from an even one.
    """
    plug = scan.plug
    if _count(scan, "shoulder") < _LEAST_SHOULDER:
        return "no shoulder in view"
    whole = [_is_whole(scan, i) for i in range(plug.count)]
    gap = _widest_gap_deg(scan)
    narrow = min(math.degrees(2 * _half(scan, i)) for i in range(plug.count))
    if sum(whole) < 2:
        return f"{sum(whole)} lug with both sides in view"
    is_open = gap > _ROOM * narrow
    if is_open and not any(whole[i] and whole[i - 1] for i in range(plug.count)):
        return "no two lugs next to each other in view"
    if not plug.equal and is_open:
        return f"uneven, and {gap:.0f} deg not in view"
    if hides_the_odd_lug(scan):
        return "too little of the odd lug in view"
    return ""


def hides_the_odd_lug(scan: Scan) -> bool:
    """Whether a plug is uneven and hardly a point shows it.

    Points on a lug beyond where an even set's would end, or of the body inside that.
    """
    plug = scan.plug
    if plug.equal:
        return False
    odd = odd_lug(plug)
    other = (odd + 1) % plug.count
    away = (plug.p[f"lug.{odd}.centre_deg"] - plug.p[f"lug.{other}.centre_deg"]) % 360.0
    middle = math.radians(360.0 * ((odd - other) % plug.count) / plug.count - away)
    half = _half(scan, other)
    slack = math.radians(_ODD_DEG)
    lug = np.abs(_angles(scan, odd, f"lug.{odd}.") - middle)
    body = np.abs(_angles(scan, odd, f"body.{plug.lug_step}") - middle)
    return bool((lug > half + slack).sum() < _AN_ODD and (body < half - slack).sum() < _AN_ODD)


def odd_lug(plug: g.TruePlug) -> int:
    """The lug of an uneven set that differs: in width, else in place."""
    wide = np.array([plug.p[f"lug.{i}.{plug.width_key}"] for i in range(plug.count)])
    if np.ptp(wide) > 1e-9:
        return int(np.argmax(np.abs(wide - np.median(wide)))) if plug.count > 2 else 0
    centre = np.array([plug.p[f"lug.{i}.centre_deg"] for i in range(plug.count)])
    turn = centre - 360.0 * np.arange(plug.count) / plug.count
    away = (turn[:, None] - turn[None, :] + 180.0) % 360.0 - 180.0
    return int(np.argmax(np.median(np.abs(away), axis=1)))


def _count(scan: Scan, name: str) -> int:
    return int(np.isin(scan.face, [i for i, f in enumerate(scan.faces) if f.name == name]).sum())


def _half(scan: Scan, i: int) -> float:
    p = scan.plug.p
    return float(g.half_angle(scan.plug, i, p[f"lug.{i}.outer_diameter"] / 2, p))


def _angles(scan: Scan, i: int, name: str) -> np.ndarray:
    """Angles from a lug's middle [rad] of points on faces so named, body at the lug's depths."""
    on = np.isin(scan.face, [k for k, f in enumerate(scan.faces) if f.name.startswith(name)])
    _, theta, depth = _cylindrical(scan.local[on])
    angle = g.lug_angle(scan.plug, i, theta, scan.plug.p)
    if name.startswith("body"):
        low = scan.plug.p[f"lug.{i}.bearing_depth"]
        angle = angle[(depth > low) & (depth < low + scan.plug.p[f"lug.{i}.thickness"])]
    return angle


def _is_whole(scan: Scan, i: int) -> bool:
    """Whether both sides are seen: by points close to them on the lug and on the body beyond."""
    lug = _angles(scan, i, f"lug.{i}.")
    body = _angles(scan, i, f"body.{scan.plug.lug_step}")
    half = _half(scan, i)
    near = 2.0 * _NEAR * half
    for way in (-1, 1):
        inside, beyond = half - way * lug, way * body - half
        if (inside < near).sum() < _A_SIDE or ((beyond > 0) & (beyond < near)).sum() < _A_SIDE:
            return False
    return True


def _widest_gap_deg(scan: Scan) -> float:
    """Widest stretch with neither a lug's outside nor body at the lugs' depths."""
    parts = [_angles(scan, 0, f"lug.{i}.outer") for i in range(scan.plug.count)]
    every = np.sort(np.concatenate([*parts, _angles(scan, 0, f"body.{scan.plug.lug_step}")]))
    if not len(every):
        return 360.0
    return float(np.degrees(np.diff(np.append(every, every[0] + 2 * math.pi)).max()))
