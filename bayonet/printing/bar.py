"""A bar printed beside the rings: small holes and a long pitch part a printer's offset and scale.

Rings alone cannot: their bores are all of one size, where an offset looks like a scale.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from bayonet.printing.compensation import Kind, PrintedSize

_HOLES = 4


@dataclass(frozen=True, kw_only=True)
class Gauge:
    """A flat bar with four through holes on its middle line; ``pitch_mm`` is outer to outer."""

    length_mm: float = 60.0
    width_mm: float = 14.0
    height_mm: float = 4.0
    hole_mm: float = 8.0
    pitch_mm: float = 45.0

    def drawn(self, printer: PrintedSize) -> Gauge:
        """The bar to draw so that a printer makes this one."""
        return Gauge(
            length_mm=printer.drawn(self.length_mm, "boss"),
            width_mm=printer.drawn(self.width_mm, "boss"),
            height_mm=printer.drawn(self.height_mm, "length"),
            hole_mm=printer.drawn(self.hole_mm, "hole"),
            pitch_mm=printer.drawn(self.pitch_mm, "length"),
        )

    def volume_mm3(self) -> float:
        """Volume in closed form [mm3].

        Examples
        --------
        60 x 14 x 4 less four holes of 8: 3360 - 4 pi 4**2 4.

        >>> round(Gauge().volume_mm3(), 6), round(3360 - 256 * math.pi, 6)
        (2555.752281, 2555.752281)
        """
        holes = _HOLES * math.pi * (self.hole_mm / 2.0) ** 2
        area = self.length_mm * self.width_mm - holes
        return area * self.height_mm

    def holes_at_mm(self) -> tuple[float, ...]:
        """Where the holes are, along the bar from its middle [mm]."""
        return tuple(self.pitch_mm * (n / (_HOLES - 1) - 0.5) for n in range(_HOLES))

    def sizes(self) -> tuple[tuple[Kind, float, str], ...]:
        """What to measure on it: kind, size [mm], in words."""
        return (
            *(("hole", self.hole_mm, f"bar: hole {n + 1}, from above") for n in range(_HOLES)),
            ("length", self.pitch_mm, "bar: outer holes, left edge to left edge"),
            ("boss", self.width_mm, "bar: width, away from the first layers"),
            ("boss", self.length_mm, "bar: length, away from the first layers"),
        )
