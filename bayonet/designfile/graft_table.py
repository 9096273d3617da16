"""The table of the design file that tells where on a tank the socket stands."""

from __future__ import annotations

from typing import Self

from pydantic import StrictInt, field_validator, model_validator

from bayonet.designfile.fields import (
    Angle,
    Length,
    LengthOrZero,
    Table,
    described,
    optional,
)
from bayonet.designfile.measured import Measured
from bayonet.designfile.surroundings_table import AroundTable
from bayonet.tank import Land, Wishes, is_direction

Coordinates = tuple[float, float, float]


class LandTable(Table):
    """A flat ring round the boss's foot."""

    width: Length = described("Radial width", "width = 6")
    height: Length = described("Its top above the wall, on the axis", "height = 3")


class GraftTable(Table):
    """Where on a tank the socket stands; the command line's options go before it."""

    tank: str | None = optional("STEP file of the tank", 'tank = "tank.step"')
    at: Coordinates | None = optional("Point on the wall, tank mm", "at = [120.0, 0.0, 80.0]")
    face: StrictInt | None = optional("Number of a face (bayonet faces)", "face = 7", ge=1)
    toward: Coordinates | None = optional(
        "Out along the axis; left out: the wall's normal", "toward = [1.0, 0.0, 0.2]"
    )
    clock_deg: Angle = described(
        "Turn of theta = 0 from the tank's +Z (from +X on a level wall), counter-clockwise from"
        " outside",
        "clock_deg = 30",
        default=Measured(value=0.0),
    )
    proud: float | None = optional(
        "Mouth above the wall on the axis [mm]; negative: sunk; left out: the boss ends in"
        " mid-wall",
        "proud = 12.0",
    )
    land: LandTable | None = optional("A ring round the boss's foot", "[graft.land]")
    fillet: LengthOrZero = described(
        "Radius at the boss's foot", "fillet = 3", default=Measured(value=0.0)
    )
    least_gap: LengthOrZero | None = optional(
        "From the boss to seams, openings and other walls; left out: socket.wall", "least_gap = 6"
    )
    down: Coordinates | None = optional("Direction of gravity", "down = [0.0, 0.0, -1.0]")
    valve_bore: Length | None = optional("Diameter of the valve's own passage", "valve_bore = 20")
    around: AroundTable = described(
        "What stands round the tank", "[graft.around]", default=AroundTable()
    )

    @field_validator("toward", "down")
    @classmethod
    def _has_direction(cls, value: Coordinates | None) -> Coordinates | None:
        if value is not None and not is_direction(value):
            raise ValueError("has no direction: its length must lie between 1e-6 and 1e12")
        return value

    @model_validator(mode="after")
    def _rules(self) -> Self:
        if self.land is not None and self.fillet.value > 0.0:
            raise ValueError("give only one of land, fillet")
        return self

    def wishes(self) -> Wishes:
        """The same in mm and degrees."""
        land = self.land
        return Wishes(
            at=self.at,
            face=self.face,
            toward=self.toward,
            clock_deg=self.clock_deg.value,
            proud_mm=self.proud,
            land=None
            if land is None
            else Land(width_mm=land.width.value, height_mm=land.height.value),
            fillet_mm=self.fillet.value,
            least_gap_mm=None if self.least_gap is None else self.least_gap.value,
            down=self.down,
            valve_bore_mm=None if self.valve_bore is None else self.valve_bore.value,
        )
