"""Flanks that are not the surface the joint fit takes them for: material lost on a stretch."""

from __future__ import annotations

import numpy as np

from bayonet.scan.fit.frame_points import Spots
from bayonet.scan.fit.keys import lug_key
from bayonet.scan.fit.labels import State, zones_of
from bayonet.scan.fit.surface import faces, lug_angle

_REACH_MM = 1.2  # deeper wear is another flank
_LEAST_MM = 0.06  # three times what edges of a scan lie off by
_SURE = 5.0  # standard deviations: one false call in a million thirds
_SMOOTH = 3.5  # times the smooth part's deviation: a third may lie off by it as a whole
_THIRD_POINTS = 12  # a third's middle to a quarter of the noise


def worn(
    c: Spots, state: State, noise: float, margin: float, smooth_mm: float = 0.0
) -> dict[int, float]:
    """Lugs with a flank off by more than its uncertainty on a third of its width [mm, outwards].

    The fit leaves out points far from a face, so that wear hardly moves it; here they are asked.
    ``smooth_mm`` is the standard deviation of what neighbouring points err by together.
    """
    v = state.values
    zones = zones_of(c, v, state.shape, _REACH_MM)
    found: dict[int, float] = {}
    for face in faces(state.shape):
        if face.group not in ("lug.bearing", "lug.leading") or face.lug is None:
            continue
        own = c[zones[face.lug]]
        off = face.off(own, v)
        clear = np.abs(off) < min(_REACH_MM, 0.4 * v[lug_key(face.lug, "thickness")])
        for inset in face.insets(own, v).values():
            clear &= inset > margin
        angle, off = lug_angle(own, v, face.lug)[clear], off[clear]
        if len(off) < 3 * _THIRD_POINTS:
            continue
        for third in np.array_split(np.argsort(angle), 3):
            middle = float(np.median(off[third]))
            uncertainty = np.hypot(_SURE * 1.25 * noise / np.sqrt(len(third)), _SMOOTH * smooth_mm)
            limit = max(_LEAST_MM, float(uncertainty))
            if abs(middle) > max(limit, abs(found.get(face.lug, 0.0))):
                found[face.lug] = middle
    return found
