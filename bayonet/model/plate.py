"""Where pieces stand on a printer's bed: rows and columns of equal squares."""

from __future__ import annotations

import math
from dataclasses import dataclass

GAP_MM = 6.0
"""Between pieces; common practice, no source."""


@dataclass(frozen=True, kw_only=True)
class Plate:
    """Middles of the pieces [mm] from the plate's left front corner, and what they cover."""

    places_mm: tuple[tuple[float, float], ...]
    width_mm: float
    depth_mm: float


def laid_out(count: int, diameter_mm: float, *, bed_width_mm: float) -> Plate:
    """Lay equal round pieces out, row by row from the front.

    Parameters
    ----------
    count : int
        1 or more.
    diameter_mm : float
        Of each piece [mm].
    bed_width_mm : float
        As many columns as fit, but no more than make the plate about square.

    Returns
    -------
    Plate

    Examples
    --------
    Five rings of 50 mm in three columns: 3 x 50 + 2 x 6 wide, 2 x 50 + 6 deep.

    >>> plate = laid_out(5, 50.0, bed_width_mm=200.0)
    >>> plate.width_mm, plate.depth_mm, plate.places_mm[4]
    (162.0, 106.0, (81.0, 81.0))
    """
    pitch = diameter_mm + GAP_MM
    fit = max(1, math.floor((bed_width_mm + GAP_MM) / pitch))
    columns = min(fit, math.ceil(math.sqrt(count)))
    rows = math.ceil(count / columns)
    half = diameter_mm / 2.0
    places = tuple(
        (half + (number % columns) * pitch, half + (number // columns) * pitch)
        for number in range(count)
    )
    return Plate(
        places_mm=places, width_mm=columns * pitch - GAP_MM, depth_mm=rows * pitch - GAP_MM
    )
