"""The slot cutter and end mill of a machined socket, as written in the design file."""

from __future__ import annotations

from typing import Self

from pydantic import model_validator

from bayonet.designfile.fields import Length, LengthOrZero, Table, described, optional
from bayonet.designfile.measured import Measured


class CutterTable(Table):
    """The disc cutter that makes the track, its axis parallel to the bore's.

    Naming one builds the socket as that cutter leaves it, and proves the motion on that shape.
    """

    diameter: Length = described("Diameter of the disc cutter", "diameter = 14.0")
    thickness: Length = described("Axial thickness of its teeth", "thickness = 3.0")
    neck_diameter: Length = described("Diameter of its neck", "neck_diameter = 5.0")
    reach: Length = described("Length of the neck, under the holder", "reach = 14.0")
    corner_radius: LengthOrZero = described(
        "Radius of its teeth's corners", "corner_radius = 0.1", default=Measured(value=0.0)
    )
    end_mill: Length | None = optional(
        "Diameter of the end mill that cuts the entry slots", "end_mill = 6.0"
    )

    @model_validator(mode="after")
    def _rules(self) -> Self:
        if not self.neck_diameter.value < self.diameter.value:
            raise ValueError("neck_diameter must be less than diameter")
        if not 2.0 * self.corner_radius.value < self.thickness.value:
            raise ValueError("corner_radius must be less than half the thickness")
        return self
