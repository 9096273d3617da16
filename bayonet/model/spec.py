"""The design file as written: its tables and the rules inside one table.

Rules between tables live in `bayonet.model.rules`; numbers that follow, in `derive`.
"""

from __future__ import annotations

from typing import Literal, Self

from pydantic import Field, model_validator

from bayonet.model.fields import (
    Angle,
    AngleOrZero,
    Length,
    LengthOrZero,
    Pressure,
    SlopeAngle,
    SteepAngle,
    Table,
    Turn,
    described,
    optional,
)
from bayonet.model.measured import Measured


def _one_of(table: Table, *names: str, needed: bool = True) -> None:
    given = [name for name in names if getattr(table, name) is not None]
    if len(given) > 1:
        raise ValueError(f"give only one of {', '.join(names)}")
    if needed and not given:
        raise ValueError(f"give one of {', '.join(names)}")


class DesignHead(Table):
    """Identification."""

    name: str = described(
        "What this is", 'name = "Level sensor, header tank"', default="unnamed design"
    )
    revision: str = described("Revision", 'revision = "A"', default="-")
    note: str = described(
        "Free text for the next reader", 'note = "measured on two parts"', default=""
    )


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
    bearing_depth: Length | None = optional("Depth of its bearing flank", "bearing_depth = 5.0")

    @model_validator(mode="after")
    def _rules(self) -> Self:
        _one_of(self, "width", "width_deg", needed=False)
        return self


class Lugs(Table):
    """The lugs: a count of equal ones, or ``each`` listed."""

    count: int | None = optional("Number of equal lugs, equally spaced", "count = 3", ge=2, le=8)
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
    sides: Literal["radial", "parallel"] = described(
        "Whether the sides point to the axis or run parallel", 'sides = "radial"', default="radial"
    )
    outer_diameter: Length = described("Diameter over the lugs", "outer_diameter = 38.0")
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

    @model_validator(mode="after")
    def _rules(self) -> Self:
        _one_of(self, "count", "each")
        _one_of(self, "lead", "lead_angle_deg", needed=False)
        _one_of(self, "width", "width_deg", needed=False)
        if self.each is not None and not 2 <= len(self.each) <= 8:
            raise ValueError("each must list 2 to 8 lugs")
        bare = [one for one in self.each or (None,) if not (one and (one.width or one.width_deg))]
        if bare and not (self.width or self.width_deg):
            raise ValueError("give one of width, width_deg")
        return self


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
    body: tuple[BodyStep, ...] = described(
        "Diameters from the shoulder inwards",
        "body = [{ diameter = 30, to_depth = 20 }]",
        min_length=1,
    )
    lugs: Lugs = described("The lugs", "[plug.lugs]")
    groove: Groove = described("The O-ring groove", "[plug.groove]")
    spread: Spread = described("Spread of the production", "[plug.spread]", default=Spread())

    @model_validator(mode="after")
    def _rules(self) -> Self:
        _one_of(self, "turn_deg", "turn_fraction")
        return self


class ClearanceTable(Table):
    """Gaps at nominal size; what is left out comes from the process."""

    body: Length | None = optional("Bore larger than body, on diameter", "body = 0.2")
    lug_radial: Length | None = optional("Lug to track wall, radial", "lug_radial = 0.25")
    lug_side: Length | None = optional("Lug to slot side, each side", "lug_side = 0.2")
    axial: LengthOrZero | None = optional("Lug to roof at lock (stop seating)", "axial = 0.2")
    floor: Length | None = optional("Lug to floor", "floor = 0.3")
    nose: LengthOrZero | None = optional("Plug nose to socket", "nose = 0.5")


class ToleranceTable(Table):
    """Limits the socket is made to, plus or minus; what is left out comes from the process."""

    diameter: LengthOrZero | None = optional("Of diameters", "diameter = 0.05")
    length: LengthOrZero | None = optional("Of depths and widths", "length = 0.05")
    angle_deg: AngleOrZero | None = optional("Of slot and stop positions", "angle_deg = 0.1")


class Detent(Table):
    """A bump on the roof the lug must dip under to reach, and to leave, lock."""

    height: Length = described("Height of the bump", "height = 0.3")
    flank_angle_deg: SteepAngle = described(
        "Slope of its flanks against the roof",
        "flank_angle_deg = 30",
        default=Measured(value=30.0),
    )
    crest_deg: AngleOrZero = described(
        "Angular length of its top", "crest_deg = 1.0", default=Measured(value=1.0)
    )
    pocket_deg: AngleOrZero = described(
        "Free angle between lug and bump at lock", "pocket_deg = 1.0", default=Measured(value=1.0)
    )


class TrackTable(Table):
    """The undercut in which a lug turns."""

    lead: LengthOrZero | None = optional(
        "Lead of the ramp per revolution; 0 for a dwell only; left out: as the lugs", "lead = 12.0"
    )
    lead_angle_deg: SlopeAngle | None = optional(
        "Lead angle of the ramp at the lug's mean diameter", "lead_angle_deg = 5.0"
    )
    dwell_deg: AngleOrZero = described(
        "Last part of the turn without lead", "dwell_deg = 15", default=Measured(value=0.0)
    )
    floor: Literal["level", "parallel"] = described(
        "Floor at one depth, or following the ramp", 'floor = "level"', default="level"
    )
    floor_slope_deg: SlopeAngle = described(
        "Slope of the floor from the bore down to the outside: 0 is sharp, 45 prints unsupported",
        "floor_slope_deg = 45",
        default=Measured(value=0.0),
    )
    detent: Detent | None = optional("A detent before the lock", "[socket.track.detent]")

    @model_validator(mode="after")
    def _rules(self) -> Self:
        _one_of(self, "lead", "lead_angle_deg", needed=False)
        return self


class Stop(Table):
    """Where rotation ends."""

    overtravel_deg: AngleOrZero = described(
        "Stop beyond the nominal lock; clamp seating needs room to float",
        "overtravel_deg = 0",
        default=Measured(value=0.0),
    )
    least_engagement: float = described(
        "Least part of a lug's width that must be under the roof when it locks",
        "least_engagement = 0.75",
        default=0.75,
        gt=0,
        le=1,
    )


class SealTable(Table):
    """The surface the ring seals on."""

    ring: str | None = optional("O-ring by its AS568 dash number", 'ring = "-118"')
    ring_section: Length | None = optional(
        "Section (thickness) of the O-ring", 'ring_section = "0.103 in"'
    )
    ring_inside_diameter: Length | None = optional(
        "Inside diameter of the free O-ring", "ring_inside_diameter = 22.0"
    )
    elastomer: str | None = optional("Compound: NBR, HNBR, FKM, EPDM or VMQ", 'elastomer = "NBR"')
    hardness: int | None = optional("Hardness, Shore A", "hardness = 70", ge=40, le=95)
    swell: float = described(
        "Increase of the ring's volume in the fluid", "swell = 0.05", default=0.05, ge=0, le=1
    )
    compression_set: float | None = optional(
        "Share of the squeeze lost at end of life", "compression_set = 0.3", ge=0, lt=1
    )
    squeeze: float | None = optional("Target squeeze of the section", "squeeze = 0.2", gt=0, lt=0.5)
    bore_diameter: Length | None = optional(
        "Sealing bore, if already decided (layouts A and B)", "bore_diameter = 30.0"
    )
    lead_in_angle_deg: SteepAngle = described(
        "Half angle of the lead-in chamfer against the axis",
        "lead_in_angle_deg = 20",
        default=Measured(value=20.0),
    )
    margin: Length = described(
        "Full sealing bore kept beyond the groove at both ends",
        "margin = 0.5",
        default=Measured(value=0.5),
    )

    @model_validator(mode="after")
    def _rules(self) -> Self:
        _one_of(self, "squeeze", "bore_diameter", needed=False)
        _one_of(self, "ring", "ring_section", needed=False)
        if self.ring_inside_diameter is not None and self.ring_section is None:
            raise ValueError("ring_inside_diameter needs ring_section")
        return self


class FlangeMount(Table):
    """A flange with a bolt circle, its underside level with the boss's end."""

    diameter: Length = described("Flange outside diameter", "diameter = 90")
    thickness: Length = described("Flange thickness", "thickness = 8")
    bolt_circle: Length = described("Diameter of the bolt circle", "bolt_circle = 74")
    bolts: int = described("Number of bolt holes", "bolts = 6", ge=2, le=36)
    bolt_hole: Length = described("Diameter of a bolt hole", "bolt_hole = 6.6")


class WeldMount(Table):
    """Preparation on the outside of the boss's end; the weld itself is the welder's affair."""

    bevel_angle_deg: SteepAngle = described(
        "Bevel against the axis", "bevel_angle_deg = 45", default=Measured(value=45.0)
    )
    bevel_width: Length = described("Radial width of the bevel", "bevel_width = 4")
    land: LengthOrZero = described("Height of the root land", "land = 1.5")


class MountTable(Table):
    """How the boss is fastened: plain where neither is given."""

    flange: FlangeMount | None = optional("Flange mount", "[socket.mount.flange]")
    weld: WeldMount | None = optional("Weld boss", "[socket.mount.weld]")

    @model_validator(mode="after")
    def _rules(self) -> Self:
        _one_of(self, "flange", "weld", needed=False)
        return self


class SocketTable(Table):
    """What the socket shall be."""

    layout: Literal["A", "B", "C"] | None = optional(
        "A: lugs nearer the mouth than the ring; B: ring nearer; C: face seal", 'layout = "A"'
    )
    seating: Literal["stop", "clamp"] = described(
        "stop: turns to a hard stop; clamp: the ramp pulls the shoulder down",
        'seating = "stop"',
        default="stop",
    )
    process: Literal["printed", "machined", "cast"] = described(
        "How the socket is made; sets clearances and limits", 'process = "machined"'
    )
    wall: Length = described(
        "Least wall between track and outside", "wall = 4.0", default=Measured(value=4.0)
    )
    boss_diameter: Length | None = optional("Outside diameter of the boss", "boss_diameter = 60")
    boss_height: Length | None = optional("Height of the boss", "boss_height = 32")
    passage_diameter: Length | None = optional(
        "Opening into the tank; left out: as the last bore", "passage_diameter = 20"
    )
    mouth_chamfer: LengthOrZero | None = optional(
        "45 deg chamfer on the bore's edge at the mouth (layouts A and C)", "mouth_chamfer = 0.5"
    )
    clearance: ClearanceTable = described("Gaps", "[socket.clearance]", default=ClearanceTable())
    tolerance: ToleranceTable = described("Limits", "[socket.tolerance]", default=ToleranceTable())
    track: TrackTable = described("The track", "[socket.track]", default=TrackTable())
    stop: Stop = described("The stop", "[socket.stop]", default=Stop())
    seal: SealTable = described("The seal", "[socket.seal]", default=SealTable())
    mount: MountTable = described("The mount", "[socket.mount]", default=MountTable())


class ServiceTable(Table):
    """What the joint meets in service; what is left out is not evaluated."""

    pressure: Pressure | None = optional("Working pressure", 'pressure = "6 bar"')
    lowest_c: float | None = optional("Lowest temperature [deg C]", "lowest_c = -10", ge=-200)
    highest_c: float | None = optional("Highest temperature [deg C]", "highest_c = 90", le=400)
    assembly_c: float = described(
        "Temperature at which parts are measured", "assembly_c = 20", default=20.0
    )
    plug_material: str | None = optional("Material of the plug", 'plug_material = "PA6"')
    socket_material: str | None = optional("Material of the socket", 'socket_material = "6061-T6"')

    @model_validator(mode="after")
    def _rules(self) -> Self:
        low = self.assembly_c if self.lowest_c is None else self.lowest_c
        high = self.assembly_c if self.highest_c is None else self.highest_c
        if not low <= self.assembly_c <= high:
            raise ValueError("lowest_c, assembly_c and highest_c must follow each other")
        return self


class DesignFile(Table):
    """A whole design file."""

    design: DesignHead = Field(default=DesignHead(), description="Identification")
    plug: PlugTable = described("The plug as measured", "[plug]")
    socket: SocketTable = described("What the socket shall be", "[socket]")
    service: ServiceTable = described("Service", "[service]", default=ServiceTable())
