"""The design file as written: its tables and the rules inside one table.

Rules between tables live in `bayonet.parts.rules`; numbers that follow, in `derive`.
"""

from __future__ import annotations

from typing import Literal, Self

from pydantic import Field, StrictInt, field_validator, model_validator

from bayonet.designfile.cutter_table import CutterTable
from bayonet.designfile.fields import (
    AngleOrZero,
    DetentAngle,
    Length,
    LengthOrZero,
    SlopeAngle,
    SteepAngle,
    Table,
    described,
    one_of,
    optional,
)
from bayonet.designfile.graft_table import GraftTable
from bayonet.designfile.joint_table import JointTable
from bayonet.designfile.measured import Measured
from bayonet.designfile.plug_table import PlugTable
from bayonet.designfile.printer_table import PrinterTable
from bayonet.designfile.production_table import ProductionTable
from bayonet.designfile.service_table import ServiceTable


class DesignHead(Table):
    """Identification."""

    name: str = described(
        "What this is", 'name = "Level sensor, header tank"', default="unnamed design"
    )
    revision: str = described("Revision", 'revision = "A"', default="-")
    note: str = described(
        "Free text for the next reader", 'note = "measured on two parts"', default=""
    )

    units: Literal["mm", "in"] = described(
        "Unit of bare lengths in this file, and of what is shown: in stands for inch and psi",
        'units = "in"',
        default="mm",
    )

    @field_validator("name", "revision", "note")
    @classmethod
    def _plain(cls, text: str) -> str:
        if any(ord(char) < 32 and char not in "\n\t" for char in text):
            raise ValueError("must be plain text without control characters")
        return text


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
    track_bore: LengthOrZero | None = optional("Of the bore between tracks", "track_bore = 0.02")
    sealing_bore: LengthOrZero | None = optional("Of the sealing bore", "sealing_bore = 0.02")
    track_wall: LengthOrZero | None = optional("Of the diameter at the wall", "track_wall = 0.1")
    slot_width: LengthOrZero | None = optional("Of the width of entry slots", "slot_width = 0.1")
    slot_position_deg: AngleOrZero | None = optional(
        "Of where slots stand", "slot_position_deg = 0.1"
    )
    stop_deg: AngleOrZero | None = optional("Of the stop against its slot", "stop_deg = 0.1")
    roof: LengthOrZero | None = optional("Of the depth of roofs", "roof = 0.03")
    floor: LengthOrZero | None = optional("Of the depth of floors", "floor = 0.1")
    nose_floor: LengthOrZero | None = optional("Of the floor under the nose", "nose_floor = 0.1")
    lead: LengthOrZero | None = optional("Of the lead of ramps, per revolution", "lead = 0.05")
    coaxiality: LengthOrZero | None = optional(
        "Diameter of the zone of the tracks' axis against the bore's", "coaxiality = 0.04"
    )
    seal_coaxiality: LengthOrZero | None = optional(
        "Diameter of the zone of the sealing bore's axis against that of the bore between tracks",
        "seal_coaxiality = 0.02",
    )
    tilt_deg: AngleOrZero | None = optional("Of tracks against the mouth face", "tilt_deg = 0.03")


class Detent(Table):
    """A bump on the roof the lug must dip under to reach, and to leave, lock."""

    height: Length = described("Height of the bump", "height = 0.3")
    flank_angle_deg: DetentAngle = described(
        "Slope of its flanks against the roof, at most 75",
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
        "Slope of the floor, deepest at the bore: 0 is sharp, 45 prints unsupported mouth down",
        "floor_slope_deg = 45",
        default=Measured(value=0.0),
    )
    detent: Detent | None = optional("A detent before the lock", "[socket.track.detent]")
    least_bearing: float | None = optional(
        "Least share of the area under the roof that must bear, as it is cut; left out: half",
        "least_bearing = 0.6",
        gt=0,
        le=1,
    )
    made_by: Literal["cutter", "erosion"] = described(
        "Tracks of a machined socket: by a disc cutter, or eroded by an electrode shaped as a lug",
        'made_by = "erosion"',
        default="cutter",
    )

    @model_validator(mode="after")
    def _rules(self) -> Self:
        one_of(self, "lead", "lead_angle_deg", needed=False)
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


class GasketTable(Table):
    """A flat gasket between the plug's shoulder and the mouth face."""

    thickness: Length = described("Thickness, not pressed", "thickness = 3.0")
    inner_diameter: Length = described("Inner diameter", "inner_diameter = 46.0")
    outer_diameter: Length = described("Outer diameter", "outer_diameter = 54.0")
    squeeze: tuple[float, float] = described(
        "Least and greatest share of its thickness it may be pressed by, as its maker says",
        "squeeze = [0.15, 0.35]",
    )

    @model_validator(mode="after")
    def _rules(self) -> Self:
        least, most = self.squeeze
        if not 0.0 < least < most < 0.6:
            raise ValueError("squeeze must be two shares, the least first, between 0 and 0.6")
        if not self.inner_diameter.value < self.outer_diameter.value:
            raise ValueError("the inner diameter must be less than the outer")
        return self


class SealTable(Table):
    """What seals, and the surface it seals on."""

    kind: Literal["ring", "gasket", "none"] = described(
        "What seals: a ring in the plug's groove, a flat gasket under the shoulder, or nothing",
        'kind = "ring"',
        default="ring",
    )
    gasket: GasketTable | None = optional("The flat gasket", "[socket.seal.gasket]")
    ring: str | None = optional(
        "O-ring by its AS568 dash number, or inside diameter by section in mm", 'ring = "-118"'
    )
    ring_section: Length | None = optional(
        "Section (thickness) of the O-ring", 'ring_section = "0.103 in"'
    )
    ring_inside_diameter: Length | None = optional(
        "Inside diameter of the free O-ring", "ring_inside_diameter = 22.0"
    )
    elastomer: str | None = optional("Compound: NBR, HNBR, FKM, EPDM or VMQ", 'elastomer = "NBR"')
    hardness: StrictInt | None = optional("Hardness, Shore A", "hardness = 70", ge=40, le=95)
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
        one_of(self, "squeeze", "bore_diameter", needed=False)
        one_of(self, "ring", "ring_section", needed=False)
        if self.ring_inside_diameter is not None and self.ring_section is None:
            raise ValueError("ring_inside_diameter needs ring_section")
        return self


class FlangeMount(Table):
    """A flange with a bolt circle, its underside level with the boss's end."""

    diameter: Length = described("Flange outside diameter", "diameter = 90")
    thickness: Length = described("Flange thickness", "thickness = 8")
    bolt_circle: Length = described("Diameter of the bolt circle", "bolt_circle = 74")
    bolts: StrictInt = described("Number of bolt holes", "bolts = 6", ge=2, le=36)
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
        one_of(self, "flange", "weld", needed=False)
        return self


class SocketTable(Table):
    """What the socket shall be."""

    layout: Literal["A", "B", "C", "D"] | None = optional(
        "A: lugs nearer the mouth than the ring; B: ring nearer; C: face seal; D: no ring",
        'layout = "A"',
    )
    seating: Literal["stop", "clamp"] = described(
        "stop: turns to a hard stop; clamp: the ramp pulls the shoulder down",
        'seating = "stop"',
        default="stop",
    )
    process: Literal["printed", "machined", "cast"] = described(
        "How the socket is made; sets clearances and limits", 'process = "machined"'
    )
    construction: Literal["one_piece", "ring_and_body"] = described(
        "One piece, or a retaining ring with slots and ramps on a body with floor and bore",
        'construction = "ring_and_body"',
        default="one_piece",
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
        "45 deg chamfer on the bore's edge at the mouth (not layout B)", "mouth_chamfer = 0.5"
    )
    clearance: ClearanceTable = described("Gaps", "[socket.clearance]", default=ClearanceTable())
    tolerance: ToleranceTable = described("Limits", "[socket.tolerance]", default=ToleranceTable())
    track: TrackTable = described("The track", "[socket.track]", default=TrackTable())
    stop: Stop = described("The stop", "[socket.stop]", default=Stop())
    seal: SealTable = described("The seal", "[socket.seal]", default=SealTable())
    mount: MountTable = described("The mount", "[socket.mount]", default=MountTable())
    cutter: CutterTable | None = optional(
        "The cutter of a machined socket; it is built as that cutter leaves it", "[socket.cutter]"
    )
    joint: JointTable | None = optional("The joint of ring and body", "[socket.joint]")


class DesignFile(Table):
    """A whole design file."""

    design: DesignHead = Field(default=DesignHead(), description="Identification")
    plug: PlugTable = described("The plug as measured", "[plug]")
    socket: SocketTable = described("What the socket shall be", "[socket]")
    service: ServiceTable = described("Service", "[service]", default=ServiceTable())
    printer: PrinterTable = described("Printer", "[printer]", default=PrinterTable())
    production: ProductionTable = described(
        "What the production must reach", "[production]", default=ProductionTable()
    )
    graft: GraftTable = described("Place on a tank", "[graft]", default=GraftTable())
