"""The ``[service]`` table: what the joint meets in service, and how it is turned."""

from __future__ import annotations

from typing import Literal, Self

from pydantic import field_validator, model_validator

from bayonet.designfile.fields import Length, Pressure, Table, described, optional

_SAFEGUARDS = ("vent", "latch", "lock", "interlock")
"""Words by which a safeguard of a closure is named; common practice, no source."""


class ServiceTable(Table):
    """What the joint meets in service; what is left out stays open."""

    pressure: Pressure | None = optional("Working pressure", 'pressure = "6 bar"')
    vacuum: Pressure | None = optional(
        "Greatest pressure outside over inside, as when a tank cools or is drained",
        'vacuum = "0.2 bar"',
    )
    lowest_c: float | None = optional("Lowest temperature [deg C]", "lowest_c = -10", ge=-200)
    highest_c: float | None = optional("Highest temperature [deg C]", "highest_c = 90", le=400)
    assembly_c: float = described(
        "Temperature at which parts are measured", "assembly_c = 20", default=20.0
    )
    plug_material: str | None = optional("Material of the plug", 'plug_material = "PA6"')
    socket_material: str | None = optional("Material of the socket", 'socket_material = "6061-T6"')
    plug_strength: Pressure | None = optional(
        "Yield stress of the plug, or its tensile strength where it has none; left out: the table",
        'plug_strength = "120 MPa"',
    )
    socket_strength: Pressure | None = optional(
        "The same of the socket", 'socket_strength = "240 MPa"'
    )
    proof_factor: float = described(
        "Proof pressure over working pressure", "proof_factor = 1.5", default=1.5, ge=1, le=10
    )
    safety_on_yield: float | None = optional(
        "Factor of safety on yield at working pressure; left out: by the kind of material",
        "safety_on_yield = 2.0",
        ge=1,
        le=20,
    )
    safety_on_ultimate: float | None = optional(
        "Factor of safety on tensile strength; left out: by the kind of material",
        "safety_on_ultimate = 3.0",
        ge=1,
        le=20,
    )
    lubrication: Literal["dry", "greased"] = described(
        "Lugs and ring when turned", 'lubrication = "greased"', default="greased"
    )
    lug_friction: tuple[float, float] | None = optional(
        "Friction of lug on track, least and most; left out: the table",
        "lug_friction = [0.1, 0.3]",
    )
    grip_diameter: Length | None = optional(
        "Diameter the hand turns the plug by; left out: the shoulder", "grip_diameter = 60"
    )
    hand_torque_nm: float | None = optional(
        "Torque anybody shall be able to turn it with [N m]; left out: by the grip",
        "hand_torque_nm = 2.0",
        gt=0,
        le=500,
    )

    safeguard: str | None = optional(
        "The vent, latch or interlock that keeps it from being opened under pressure",
        'safeguard = "vent cock on the tank, opened before unlocking"',
        min_length=8,
        max_length=200,
    )

    @field_validator("safeguard")
    @classmethod
    def _named(cls, words: str | None) -> str | None:
        if words is not None and not any(kind in words.lower() for kind in _SAFEGUARDS):
            raise ValueError(f"must name a {', a '.join(_SAFEGUARDS[:-1])} or an {_SAFEGUARDS[-1]}")
        return words

    @field_validator("lug_friction")
    @classmethod
    def _range(cls, pair: tuple[float, float] | None) -> tuple[float, float] | None:
        if pair is not None and not 0.0 < pair[0] <= pair[1] <= 2.0:
            raise ValueError("must be least and most, between 0 and 2")
        return pair

    @model_validator(mode="after")
    def _rules(self) -> Self:
        low = self.assembly_c if self.lowest_c is None else self.lowest_c
        high = self.assembly_c if self.highest_c is None else self.highest_c
        if not low <= self.assembly_c <= high:
            raise ValueError("lowest_c, assembly_c and highest_c must follow each other")
        return self
