"""Where a lug's flank may come nearest to the line it faces, whatever the lug's form."""

from __future__ import annotations

import itertools
from collections.abc import Iterable
from functools import reduce

import numpy as np
from numpy.typing import ArrayLike, NDArray

from bayonet.parts.lugs.shape import FlankName, LugShape

Array = NDArray[np.float64]


def facing_angles_deg(
    shape: LugShape,
    flank: FlankName,
    line: Iterable[tuple[float, float]],
    *,
    turn_deg: ArrayLike,
    low_deg: ArrayLike,
    high_deg: ArrayLike,
    radius_mm: float,
    line_lead_mm_per_rev: ArrayLike = 0.0,
) -> tuple[Array, ...]:
    """Angles within a stretch at one of which the gap from flank to line is least, and greatest.

    Parameters
    ----------
    shape : LugShape
    flank : {"bearing", "leading"}
    line : iterable of (deg, mm)
        Roof or floor; straight between its corners.
    turn_deg : float or array
        Angle of the lug's middle.
    low_deg, high_deg : float or array
        Ends of the stretch.
    radius_mm : float
    line_lead_mm_per_rev : float or array
        Added to every lead of the line.

    Returns
    -------
    tuple of array [deg]
        The stretch's low end, the line's corners and the flank's own points of contact held
        within the stretch, the high end.
    """
    points = tuple(line)
    turn = np.asarray(turn_deg, dtype=float)
    corners: list[ArrayLike] = [angle for angle, _ in points[1:-1]]
    leads = [360.0 * (d1 - d0) / (a1 - a0) for (a0, d0), (a1, d1) in itertools.pairwise(points)]
    own: list[ArrayLike] = [
        turn + touch
        for lead in leads
        for touch in shape.touches_deg(
            flank, lead + np.asarray(line_lead_mm_per_rev), radius_mm=radius_mm
        )
    ]
    inside = [np.clip(angle, low_deg, high_deg) for angle in (*corners, *own)]
    return tuple(np.asarray(a, dtype=float) for a in (low_deg, *inside, high_deg))


def depth_span_mm(shape: LugShape, *, radius_mm: float) -> tuple[Array, Array]:
    """Least depth of the bearing flank and greatest of the leading one, at a radius [mm].

    A side that does not reach the radius counts as standing at 90 deg.

    Examples
    --------
    Worked by hand in `tests/parts/test_lug_forms.py`.
    """
    reach = np.asarray(shape.half.at(radius_mm))
    reach = np.where(np.isfinite(reach), reach, 90.0)

    def depths(flank: FlankName) -> list[Array]:
        touches = shape.touches_deg(flank, 0.0, radius_mm=radius_mm)
        depth = shape.bearing_at if flank == "bearing" else shape.leading_at
        return [depth(angle, radius_mm=radius_mm) for angle in (reach, -reach, *touches)]

    bearing, leading = depths("bearing"), depths("leading")
    return reduce(np.minimum, bearing), reduce(np.maximum, leading)
