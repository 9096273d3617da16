"""The plug's tables of the design file, and the rules inside one table."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Literal, Self

from pydantic import StrictInt, StrictStr, model_validator

from bayonet.designfile.fields import (
    Angle,
    AngleOrZero,
    Length,
    LengthOrZero,
    SlopeAngle,
    Table,
    Turn,
    described,
    one_of,
    optional,
)
from bayonet.designfile.instruments import Instrument, filled_in
from bayonet.designfile.measured import Measured

MOST_STEPS = 12
"""Body steps a plug may have: every pair of them is a way for it to lean, and twelve take 11 s."""


class BodyStep(Table):
    """One diameter of the plug's body."""

    diameter: Length = described("Body diameter", "diameter = 30.0")
    to_depth: Length = described("Depth below the shoulder where it ends", "to_depth = 14.0")


class OneLug(Table):
    """What one lug of a listed set has of its own; the rest comes from ``[plug.lugs]``."""

    centre_deg: Angle = described(
        "Angle of the lug's middle, counter-clockwise seen from outside", "centre_deg = 120"
    )
    width: Length | None = optional("Width across the lug", "width = 12.0")
    width_deg: Turn | None = optional("Angular width", "width_deg = 24")
    thickness: Length | None = optional("Axial thickness", "thickness = 4.0")
    outer_diameter: Length | None = optional("Diameter over the lug", "outer_diameter = 38.0")
    diameter: Length | None = optional("Diameter of the pin", "diameter = 6.0")
    bearing_depth: Length | None = optional("Depth of its bearing flank", "bearing_depth = 5.0")

    @model_validator(mode="after")
    def _rules(self) -> Self:
        one_of(self, "width", "width_deg", needed=False)
        return self


class Lugs(Table):
    """The lugs: a count of equal ones, or ``each`` listed."""

    count: StrictInt | None = optional(
        "Number of equal lugs, equally spaced", "count = 3", ge=2, le=8
    )
    first_at_deg: Angle = described(
        "Angle of the first lug of an equal set", "first_at_deg = 0", default=Measured(value=0.0)
    )
    each: tuple[OneLug, ...] | None = optional(
        "Lugs one by one", "each = [{ centre_deg = 0 }, { centre_deg = 100 }]"
    )
    width: Length | None = optional(
        "Width: between parallel sides, or the chord at the outer diameter of radial sides",
        "width = 12.0",
    )
    width_deg: Turn | None = optional("Angular width at the outer diameter", "width_deg = 24")
    form: StrictStr = described(
        "Form of the lugs: a block between two flanks, or a round radial pin",
        'form = "block"',
        default="block",
    )
    diameter: Length | None = optional(
        "Diameter of round pins, in place of width and thickness", "diameter = 6.0"
    )
    sides: Literal["radial", "parallel"] = described(
        "Whether the sides point to the axis or run parallel", 'sides = "radial"', default="radial"
    )
    outer_diameter: Length = described(
        "Diameter over the lugs; of flat-ended pins the circle their ends' edges run on",
        "outer_diameter = 38.0",
    )
    thickness: Length = described("Axial thickness", "thickness = 4.0")
    bearing_depth: Length = described(
        "Depth of the bearing flank below the shoulder, at the lug's middle", "bearing_depth = 5.0"
    )
    lead: LengthOrZero | None = optional(
        "Advance of the flanks per revolution; leave out for flat lugs", "lead = 12.0"
    )
    lead_angle_deg: SlopeAngle | None = optional(
        "Lead angle at the lug's mean diameter", "lead_angle_deg = 5.0"
    )
    leading_lead: LengthOrZero | None = optional(
        "Advance of the leading flanks alone per revolution, 0 for flat ones; leave out where they"
        " run as the bearing flanks do",
        "leading_lead = 0.0",
    )

    @model_validator(mode="before")
    @classmethod
    def _of_pins(cls, raw: Any) -> Any:
        """Pins are as wide as they are thick; the values follow once the diameter is read."""
        if not isinstance(raw, Mapping) or raw.get("form") != "pin":
            return raw
        each = [one for one in raw.get("each") or () if isinstance(one, Mapping)]
        tables = (raw, *each)
        wrong = [name for name in _NOT_OF_PINS if any(one.get(name) is not None for one in tables)]
        if wrong:
            raise ValueError(f"round pins have a diameter; no {', '.join(wrong)}")
        if any(one.get("diameter") is None for one in each or [raw]) and not raw.get("diameter"):
            raise ValueError("round pins need a diameter")
        return {**raw, "thickness": 1.0, "width": 1.0, "sides": "parallel"}

    @model_validator(mode="after")
    def _rules(self) -> Self:
        if self.form == "pin":
            self._as_pins()
        elif self.diameter or any(one.diameter for one in self.each or ()):
            raise ValueError('diameter is for round pins: form = "pin"')
        one_of(self, "count", "each")
        one_of(self, "lead", "lead_angle_deg", needed=False)
        one_of(self, "width", "width_deg", needed=False)
        if self.each is not None and not 2 <= len(self.each) <= 8:
            raise ValueError("each must list 2 to 8 lugs")
        bare = [one for one in self.each or (None,) if not (one and (one.width or one.width_deg))]
        if bare and not (self.width or self.width_deg):
            raise ValueError("give one of width, width_deg")
        return self

    def _as_pins(self) -> None:
        """Width and thickness as the diameter, of the set and of every pin with its own."""
        tables: tuple[Lugs | OneLug, ...] = (self, *(self.each or ()))
        for one in tables:
            if one.diameter is not None:  # frozen, but still being made
                object.__setattr__(one, "thickness", one.diameter)
                object.__setattr__(one, "width", one.diameter)


_NOT_OF_PINS = (
    "width", "width_deg", "thickness", "sides", "lead", "lead_angle_deg", "leading_lead",
)  # fmt: skip


class Groove(Table):
    """The groove that holds the O-ring."""

    kind: Literal["radial", "shoulder_face", "nose_face"] = described(
        "Round the body, in the shoulder's face, or in the nose's face",
        'kind = "radial"',
        default="radial",
    )
    diameter: Length = described(
        "Diameter of the groove's bottom (radial), or of its inner wall (face)", "diameter = 25.0"
    )
    width: Length = described("Width of the groove: axial (radial) or radial (face)", "width = 3.6")
    at_depth: Length | None = optional(
        "Depth of the wall nearer the shoulder (radial groove)", "at_depth = 16.0"
    )
    depth: Length | None = optional("How deep the groove is cut (face groove)", "depth = 2.0")
    corner_radius: LengthOrZero = described(
        "Radius in the corners of its bottom", "corner_radius = 0.3", default=Measured(value=0.0)
    )

    @model_validator(mode="after")
    def _rules(self) -> Self:
        need, not_for = ("at_depth", "depth") if self.kind == "radial" else ("depth", "at_depth")
        if getattr(self, need) is None:
            raise ValueError(f"a {self.kind} groove needs {need}")
        if getattr(self, not_for) is not None:
            raise ValueError(f"a {self.kind} groove has no {not_for}")
        return self


class Spread(Table):
    """How far other plugs of the same production may lie from this one, plus or minus."""

    diameter: LengthOrZero | None = optional("Of diameters", "diameter = 0.05")
    length: LengthOrZero | None = optional("Of depths, widths and thicknesses", "length = 0.05")
    angle_deg: AngleOrZero | None = optional("Of lug positions", "angle_deg = 0.1")
    lead: LengthOrZero | None = optional("Of the flanks' lead, per revolution", "lead = 0.1")
    coaxiality: LengthOrZero | None = optional(
        "Diameter of the zone of the lugs' axis against the body's", "coaxiality = 0.08"
    )
    step_coaxiality: LengthOrZero | None = optional(
        "Diameter of the zone of each other body step's axis against that of the step with the"
        " lugs",
        "step_coaxiality = 0.05",
    )
    groove_coaxiality: LengthOrZero | None = optional(
        "Diameter of the zone of the groove's axis against that of the body it is cut into",
        "groove_coaxiality = 0.05",
    )
    tilt_deg: AngleOrZero | None = optional("Of the lugs against the shoulder", "tilt_deg = 0.05")
    general: Literal["f", "m", "c", "v"] | None = optional(
        "ISO 2768-1 class, for lengths, diameters and angles not given above", 'general = "m"'
    )


class Correlation(Table):
    """Two measured values whose uncertainties go together, as from one fit."""

    between: tuple[str, str] = described(
        "Their fields, without plug", 'between = ["lugs.bearing_depth", "lugs.thickness"]'
    )
    r: float = described("Coefficient of correlation", "r = -0.6", gt=-1, lt=1)


class PlugTable(Table):
    """The male part as measured."""

    hand: Literal["right", "left"] = described(
        "right: clockwise locks, seen from outside", 'hand = "right"'
    )
    shoulder_diameter: Length = described(
        "Diameter of the shoulder that seats on the mouth face", "shoulder_diameter = 48.0"
    )
    shoulder_thickness: Length = described(
        "Thickness of the shoulder, drawn only",
        "shoulder_thickness = 4.0",
        default=Measured(value=4.0),
    )
    turn_deg: Turn | None = optional("Rotation from entry to lock", "turn_deg = 90")
    turn_fraction: float | None = optional(
        "Rotation from entry to lock, in revolutions", "turn_fraction = 0.25", gt=0, lt=1
    )
    nose_chamfer: LengthOrZero = described(
        "Leg of the 45 deg chamfer on the nose", "nose_chamfer = 1.0", default=Measured(value=0.0)
    )
    made_by: Literal["moulded", "machined", "cast", "printed"] = described(
        "How plugs are made; sets their assumed spread", 'made_by = "moulded"', default="moulded"
    )
    measured_with: Instrument = described(
        "What plain numbers were measured with; drawing: sizes that were not measured",
        'measured_with = "calliper"',
        default="calliper",
    )
    body: tuple[BodyStep, ...] = described(
        "Diameters from the shoulder inwards",
        "body = [{ diameter = 30, to_depth = 20 }]",
        min_length=1,
        max_length=MOST_STEPS,
    )
    lugs: Lugs = described("The lugs", "[plug.lugs]")
    groove: Groove | None = optional(
        "The O-ring groove; left out where the plug carries no ring", "[plug.groove]"
    )
    spread: Spread = described("Spread of the production", "[plug.spread]", default=Spread())
    correlation: tuple[Correlation, ...] = described(
        "Uncertainties that go together",
        'correlation = [{ between = ["lugs.bearing_depth", "lugs.thickness"], r = -0.6 }]',
        default=(),
    )

    @model_validator(mode="after")
    def _rules(self) -> Self:
        one_of(self, "turn_deg", "turn_fraction")
        return self

    @model_validator(mode="after")
    def _as_measured(self) -> Self:
        """Plain sizes with the uncertainty of the instrument."""
        told = self.measured_with
        lugs = filled_in(self.lugs, told)
        if lugs.each is not None:
            each = tuple(filled_in(one, told) for one in lugs.each)
            lugs = lugs.model_copy(update={"each": each})
        return self.model_copy(
            update={
                "body": tuple(filled_in(step, told) for step in self.body),
                "lugs": lugs,
                "groove": None
                if self.groove is None
                else filled_in(self.groove, told, by_depth=("width",)),
            }
        )
