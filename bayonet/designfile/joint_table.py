"""The joint of a socket made from two parts, as written in the design file."""

from __future__ import annotations

from typing import Literal, Self

from pydantic import Field, StrictInt, model_validator

from bayonet.designfile.fields import Angle, Length, LengthOrZero, Table, described, optional
from bayonet.designfile.measured import Measured


class JointTable(Table):
    """Ring on body: the ring's outside stands in the body's counterbore, bolts hold it down."""

    end_mill: Length | None = optional(
        "Diameter of the end mill for slots and ramps, from the ring's underside", "end_mill = 3.0"
    )
    thread: str | None = optional("Thread of the cap screws, M3 to M12", 'thread = "M4"')
    property_class: str = described(
        "Property class of the screws", 'property_class = "A2-70"', default="A2-70"
    )
    bolts: StrictInt | None = optional("Number of screws", "bolts = 6", ge=3, le=24)
    bolt_circle: Length | None = optional("Diameter of the bolt circle", "bolt_circle = 54")
    first_bolt_at_deg: Angle | None = optional(
        "Where the first screw stands; left out: as far from slots as can be",
        "first_bolt_at_deg = 0",
    )
    heads: Literal["sunk", "proud"] = described(
        "Heads sunk in counterbores, or standing on the mouth face outside the shoulder",
        'heads = "sunk"',
        default="sunk",
    )
    engagement: Length | None = optional(
        "Length of thread in the body; left out: twice the diameter", "engagement = 8"
    )
    ring_diameter: Length | None = optional(
        "Outside of the ring, and counterbore of the body", "ring_diameter = 64"
    )
    register_height: Length = described(
        "How deep the ring stands in the body's counterbore",
        "register_height = 3",
        default=Measured(value=3.0),
    )
    centring_clearance: LengthOrZero = described(
        "Greatest clearance of the ring in the counterbore, on diameter",
        "centring_clearance = 0.05",
        default=Measured(value=0.05),
    )
    seat_flatness: LengthOrZero = described(
        "Flatness of the ring's underside and of the counterbore's floor, together",
        "seat_flatness = 0.02",
        default=Measured(value=0.02),
    )
    dowel_diameter: LengthOrZero | None = optional(
        "Dowel pin that clocks the ring, ISO 2338 m6; 0: none", "dowel_diameter = 4"
    )
    dowel_position: LengthOrZero = described(
        "How far the dowel's two holes may stand apart, along the circle",
        "dowel_position = 0.05",
        default=Measured(value=0.05),
    )
    seal: Literal["ring", "none"] | None = optional(
        "An O-ring in the joint; left out: where the joint holds pressure", 'seal = "ring"'
    )
    seal_section: Length | None = optional(
        "Section of that ring, AS568; left out: 1.78", "seal_section = 1.78"
    )
    preload_share: float = Field(
        default=0.75,
        description="Preload as a share of the screws' proof load",
        examples=["preload_share = 0.75"],
        gt=0,
        le=0.9,
    )
    nut_factor: float = Field(
        default=0.2,
        description="Nut factor: tightening torque over preload and diameter",
        examples=["nut_factor = 0.2"],
        gt=0,
        le=0.5,
    )

    @model_validator(mode="after")
    def _rules(self) -> Self:
        if self.seal == "none" and self.seal_section is not None:
            raise ValueError('seal_section needs a seal: leave it out, or seal = "ring"')
        return self
