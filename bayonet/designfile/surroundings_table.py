"""The table of the design file that tells what stands round the tank and what must pass it."""

from __future__ import annotations

from typing import Literal, Self

from pydantic import Field, model_validator

from bayonet.designfile.fields import (
    Angle,
    Length,
    LengthOrZero,
    Table,
    described,
    one_of,
    optional,
)
from bayonet.designfile.measured import Measured
from bayonet.tank import CLEAR_MM, Arm, AroundWishes, Hand, HandPart, RoundPart


class RoundPartTable(Table):
    """A stretch of the valve outside the mouth, round about the axis."""

    diameter: Length = described("Diameter at its lower end", "diameter = 56")
    to_diameter: Length | None = optional("Diameter at its upper end", "to_diameter = 40")
    to_height: Length = described("Its upper end over the mouth face", "to_height = 30")
    from_height: LengthOrZero = described(
        "Its lower end over the mouth face", "from_height = 12", default=Measured(value=0.0)
    )

    @model_validator(mode="after")
    def _rules(self) -> Self:
        _upwards(self.from_height.value, self.to_height.value)
        return self

    def part(self) -> RoundPart:
        """The same in mm."""
        upper = self.diameter if self.to_diameter is None else self.to_diameter
        return RoundPart(
            from_mm=self.from_height.value, to_mm=self.to_height.value,
            from_radius_mm=self.diameter.value / 2.0, to_radius_mm=upper.value / 2.0,
        )  # fmt: skip


class ArmTable(Table):
    """A bar to one side of the valve: a connector, a lever."""

    reach: Length = described("Its end from the axis", "reach = 60")
    width: Length = described("Its width", "width = 18")
    from_height: LengthOrZero = described("Its lower side over the mouth face", "from_height = 20")
    to_height: Length = described("Its upper side", "to_height = 38")
    at_deg: Angle = described("Theta at lock", "at_deg = 90", default=Measured(value=0.0))

    @model_validator(mode="after")
    def _rules(self) -> Self:
        _upwards(self.from_height.value, self.to_height.value)
        return self

    def arm(self) -> Arm:
        """The same in mm and degrees."""
        return Arm(
            from_mm=self.from_height.value, to_mm=self.to_height.value, reach_mm=self.reach.value,
            width_mm=self.width.value, at_deg=self.at_deg.value,
        )  # fmt: skip


class HandPartTable(Table):
    """A part of a hand or tool: round about the axis, or a bar that swings."""

    name: str = described("What it is", 'name = "fingers"')
    base: Literal["top", "shoulder"] = described(
        "Where heights count from: the valve's outermost point, or the mouth face",
        'base = "top"', default="top",
    )  # fmt: skip
    from_height: float = described("Its lower end [mm]", "from_height = -25")
    to_height: float = described("Its upper end [mm]", "to_height = 10")
    radius: Length | None = optional("Of a round part", "radius = 45")
    beyond: Length | None = optional("Or: how far beyond the valve", "beyond = 25")
    reach: Length | None = optional("Or: end of a bar from the axis", "reach = 150")
    width: Length | None = optional("Width of a bar", "width = 20")

    @model_validator(mode="after")
    def _rules(self) -> Self:
        one_of(self, "radius", "beyond", "reach")
        if (self.reach is None) != (self.width is None):
            raise ValueError("reach and width belong together")
        _upwards(self.from_height, self.to_height)
        return self

    def part(self) -> HandPart:
        """The same in mm."""
        return HandPart(
            name=self.name, base=self.base, from_mm=self.from_height, to_mm=self.to_height,
            radius_mm=_value(self.radius), beyond_mm=_value(self.beyond),
            reach_mm=_value(self.reach), width_mm=_value(self.width),
        )  # fmt: skip


class OwnHandTable(Table):
    """A hand or tool of your own."""

    parts: tuple[HandPartTable, ...] = described(
        "Its parts", 'parts = [{ name = "fist", from_height = -20, to_height = 90, radius = 55 }]',
        min_length=1,
    )  # fmt: skip
    swing_deg: Angle | None = optional(
        "Least swing of its bars before they are set anew; left out: the whole turn",
        "swing_deg = 60",
    )
    free: bool = described(
        "Whether its bars may start at any angle; false: at theta 0 of the valve at lock",
        "free = false", default=True,
    )  # fmt: skip
    source: str = described("Where its sizes come from", 'source = "measured"', default="as given")

    def hand(self) -> Hand:
        """The same in mm and degrees."""
        return Hand(
            name="own", parts=tuple(part.part() for part in self.parts),
            swing_deg=_value(self.swing_deg), free=self.free, source=self.source,
        )  # fmt: skip


class AroundTable(Table):
    """What stands round the tank; the command line's options go before it."""

    files: tuple[str, ...] = described(
        "Scans or models in the tank's coordinates", 'files = ["plant_room.stl"]', default=()
    )
    unit: Literal["mm", "cm", "m", "in"] | None = optional(
        "Unit of files that state none; left out: mm", 'unit = "in"'
    )
    clear: LengthOrZero = described(
        "Least distance asked for", "clear = 5", default=Measured(value=CLEAR_MM)
    )
    valve: str | None = optional(
        "STL or STEP of the valve, locked, mouth face z = 0, +z out", 'valve = "valve.step"'
    )
    envelope: tuple[RoundPartTable, ...] = described(
        "The valve outside the mouth in plain shapes",
        "envelope = [{ diameter = 56, to_height = 40 }]", default=(),
    )  # fmt: skip
    arms: tuple[ArmTable, ...] = described(
        "What stands out to one side of it",
        "arms = [{ reach = 60, width = 18, from_height = 20, to_height = 38 }]", default=(),
    )  # fmt: skip
    travel: Length | None = optional(
        "How far along the axis the valve is brought in; left out: until its nose is clear",
        "travel = 60",
    )
    hand: str | None = optional("What turns it: a preset, or own", 'hand = "fingers"')
    own_hand: OwnHandTable | None = optional("Your own hand or tool", "[graft.around.own_hand]")
    tilt_deg: float = Field(
        default=20.0, ge=0.0, le=45.0, description="Greatest tilt the map tries",
        examples=["tilt_deg = 15"],
    )  # fmt: skip

    def wishes(self) -> AroundWishes:
        """The same in mm and degrees."""
        return AroundWishes(
            files=self.files, unit=self.unit, clear_mm=self.clear.value, valve=self.valve,
            envelope=tuple(part.part() for part in self.envelope),
            arms=tuple(arm.arm() for arm in self.arms), travel_mm=_value(self.travel),
            hand=self.hand, own_hand=None if self.own_hand is None else self.own_hand.hand(),
            tilt_deg=self.tilt_deg,
        )  # fmt: skip


def _upwards(low: float, high: float) -> None:
    if not high > low:
        raise ValueError("to_height must be more than from_height")


def _value(measured: Measured | None) -> float | None:
    return None if measured is None else measured.value
