"""How far turned faces are from their ideal form: ovality, taper, coaxiality, squareness."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from bayonet.mechanics import cylinder_through, plane_through
from bayonet.scan.fit import FeatureValue, Key, Labelled, Refined, inverse

Array = NDArray[np.float64]

_LEAST = 60  # points of a face
_MOST = 20_000  # points of a face; more change nothing
_TELLS_MM = 0.1  # a form known worse tells nothing
_SURE, _NOTABLE_MM = 4.0, 0.02  # standard deviations, and what a drawing would ask for
_NOTES = {
    "ovality": "{what} is oval: largest less smallest diameter {value:.3f} mm; the diameter given"
    " is the mean",
    "coaxiality": "{what} stands off the common axis: within a zone of diameter {value:.3f} mm",
    "squareness": "the {what} is not square to the axis: it runs out by {value:.3f} mm",
}


def form_of(end: Refined) -> tuple[FeatureValue, ...]:
    """Form errors face by face.

    Each is what its face's own points say (white noise); a value below twice its uncertainty is
    not there. Coaxiality is the diameter of the zone round the common axis (ISO 1101), squareness
    the shoulder's run-out over its diameter; both from least squares through that face alone.
    """
    seen, found = end.labelled, []
    bodies = sorted({key for key in map(Key, seen.names) if key.part == "body"})
    for name in bodies:
        which = seen.of(name)
        if len(which) < _LEAST:
            continue
        rows, oval, place_u = _round(seen, which, name, end.noise)
        found += rows
        if len(bodies) > 1:
            found += _coaxial(seen, which, oval, name, place_u)
    found += _square(seen, end)
    return tuple(found)


def notable(form: tuple[FeatureValue, ...], mm: float) -> list[str]:
    """Form errors to look at, in words; ``mm`` is the working unit."""
    found = []
    for one in form:
        if one.unit != "mm" or not one.value > max(_SURE * one.u, _NOTABLE_MM):
            continue
        what, kind = one.meaning.split(":")[0], Key(one.key).name
        found.append(_NOTES[kind].format(what=what, value=mm * one.value))
    return found


def _words(name: str) -> str:
    return f"body step {(Key(name).number or 0) + 1}"


def _round(
    seen: Labelled, which: NDArray[np.int64], name: str, noise: float
) -> tuple[list[FeatureValue], Array, float]:
    """Ovality and taper by linear least squares on residuals.

    Size and place of the circle are free: over part of the way round they are mixed with ovality.
    The second result is the ovality at each point [mm], the third the place's uncertainty [mm].
    """
    theta = np.radians(seen.theta[which])
    depth = seen.depth[which] - seen.depth[which].mean()
    rows = np.column_stack([np.cos(2.0 * theta), np.sin(2.0 * theta), depth, np.ones(len(which)),
                            np.cos(theta), np.sin(theta)])  # fmt: skip
    step = np.linalg.lstsq(rows, seen.residual[which], rcond=None)[0]
    spread = noise * np.sqrt(np.diag(inverse(rows.T @ rows)))
    told = [
        ("ovality", "ovality, largest less smallest diameter", 4.0 * math.hypot(*step[:2]),
         4.0 * float(max(spread[:2])), "mm"),
        ("taper", "growth of diameter per mm of depth", 2.0 * float(step[2]),
         2.0 * float(spread[2]), "mm/mm"),
    ]  # fmt: skip
    share = _share(seen, which)
    return [
        FeatureValue(key=f"{name}.{key}", meaning=f"{_words(name)}: {words}", value=value, u=u,
                     unit=unit, coverage=share, found="measured")
        for key, words, value, u, unit in told
        if 0.0 < u < _TELLS_MM
    ], rows[:, :2] @ step[:2], float(max(spread[4:]))  # fmt: skip


def _share(seen: Labelled, which: NDArray[np.int64]) -> float:
    """Of the circle, in cells of 3 deg."""
    return np.count_nonzero(np.bincount((seen.theta[which] % 360.0 // 3.0).astype(int))) / 120.0


def _local(seen: Labelled, which: NDArray[np.int64], oval: Array | float = 0.0) -> Array:
    """Points of a face, ovality taken out, no more than are needed."""
    step = max(len(which) // _MOST, 1)
    some = which[::step]
    theta, r = np.radians(seen.theta[some]), (seen.r[which] - oval)[::step]
    return np.column_stack([r * np.cos(theta), r * np.sin(theta), -seen.depth[some]])


def _coaxial(
    seen: Labelled, which: NDArray[np.int64], oval: Array, name: str, place_u: float
) -> list[FeatureValue]:
    xyz = _local(seen, which, oval)
    try:
        alone = cylinder_through(xyz, axis=(0.0, 0.0, 1.0))
    except ValueError:
        return []
    run = (xyz[:, 2].mean() - alone.point_mm[2]) / alone.axis[2]
    at = alone.point_mm + run * alone.axis
    u = 2.0 * place_u
    if not 0.0 < u < _TELLS_MM:
        return []
    share = _share(seen, which)
    meaning = f"{_words(name)}: coaxiality with the common axis, zone diameter at its middle"
    return [
        FeatureValue(key=f"{name}.coaxiality", meaning=meaning, value=2.0 * math.hypot(*at[:2]),
                     u=u, unit="mm", coverage=share, found="measured")
    ]  # fmt: skip


def _square(seen: Labelled, end: Refined) -> list[FeatureValue]:
    which = seen.of("shoulder")
    across = end.values.get("shoulder_diameter", math.nan)
    if len(which) < _LEAST or not math.isfinite(across):
        return []
    xyz = _local(seen, which)
    plane = plane_through(xyz)
    lean = math.hypot(plane.normal[0], plane.normal[1]) / abs(float(plane.normal[2]))
    flat = xyz[:, :2] - xyz[:, :2].mean(axis=0)
    least = float(np.linalg.svd(flat, compute_uv=False)[-1]) * math.sqrt(len(which) / len(xyz))
    u = end.noise / max(least, 1e-9) * across
    if not 0.0 < u < _TELLS_MM:
        return []
    return [
        FeatureValue(key="shoulder.squareness", unit="mm", value=lean * across, u=u,
                     meaning="shoulder: squareness to the axis, run-out over its diameter",
                     coverage=_share(seen, which), found="measured")
    ]  # fmt: skip
