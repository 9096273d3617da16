"""Where pieces stand on a printer's bed: rows and columns of equal squares."""

from __future__ import annotations

import math
from dataclasses import dataclass

GAP_MM = 6.0
"""Between pieces; common practice, no source."""


@dataclass(frozen=True, kw_only=True)
class Plate:
    """Middles of the pieces [mm] from the plate's left front corner, and what they cover.

    ``bar_mm`` is the middle of the bar that lies in front of them.
    """

    places_mm: tuple[tuple[float, float], ...]
    bar_mm: tuple[float, float]
    width_mm: float
    depth_mm: float


def laid_out(
    count: int, diameter_mm: float, *, bed_width_mm: float, bar_mm: tuple[float, float]
) -> Plate:
    """Lay equal round pieces out, row by row behind a bar.

    Parameters
    ----------
    count : int
        1 or more.
    diameter_mm : float
        Of each piece [mm].
    bed_width_mm : float
        As many columns as fit, but no more than make the plate about square.
    bar_mm : (float, float)
        Length and width of the bar in front [mm].

    Returns
    -------
    Plate

    Examples
    --------
    Five rings of 50 mm in three columns: 3 x 50 + 2 x 6 wide, 14 + 2 x (6 + 50) deep.

    >>> plate = laid_out(5, 50.0, bed_width_mm=200.0, bar_mm=(60.0, 14.0))
    >>> plate.width_mm, plate.depth_mm, plate.places_mm[4], plate.bar_mm
    (162.0, 126.0, (81.0, 101.0), (30.0, 7.0))
    """
    pitch = diameter_mm + GAP_MM
    fit = max(1, math.floor((bed_width_mm + GAP_MM) / pitch))
    columns = min(fit, math.ceil(math.sqrt(count)))
    rows = math.ceil(count / columns)
    half, length, width = diameter_mm / 2.0, *bar_mm
    places = tuple(
        (half + (number % columns) * pitch, width + GAP_MM + half + (number // columns) * pitch)
        for number in range(count)
    )
    return Plate(
        places_mm=places,
        bar_mm=(length / 2.0, width / 2.0),
        width_mm=max(columns * pitch - GAP_MM, length),
        depth_mm=width + rows * pitch,
    )
