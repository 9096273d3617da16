"""Random designs that draw every field of the schema, on top of `designs.designs`."""

from __future__ import annotations

import copy
from typing import Any

from designs import designs
from hypothesis import strategies as st

Fields = dict[str, Any]

GROUPS: dict[str, list[Fields]] = {
    "head": [{"design.revision": "B", "design.note": "Invented."}],
    "instrument": [
        {"plug.measured_with": "drawing"},
        {"plug.measured_with": "calliper"},
        {"plug.measured_with": "micrometer"},
    ],
    "shoulder": [{"plug.shoulder_thickness": 4.0}],
    "fraction": [{"plug.turn_deg": None, "plug.turn_fraction": 0.1}],
    "lugs": [
        {"plug.lugs.lead": None, "plug.lugs.lead_angle_deg": 3.0},
        {"plug.lugs.width_deg": None, "plug.lugs.width": 6.0},
        {"plug.lugs.form": "block"},
        {"plug.lugs.lead": 6.0, "plug.lugs.leading_lead": 0.0},
    ],
    "spread": [
        {"plug.spread.diameter": 0.05, "plug.spread.length": 0.05, "plug.spread.angle_deg": 0.1,
         "plug.spread.lead": 0.05},
        {"plug.spread.coaxiality": 0.05, "plug.spread.step_coaxiality": 0.05,
         "plug.spread.groove_coaxiality": 0.03, "plug.spread.tilt_deg": 0.03},
        {"plug.spread.general": "m"},
    ],
    "walls": [
        {"socket.boss_diameter": 140.0, "socket.boss_height": 70.0},
        {"socket.mouth_chamfer": 0.2, "socket.layout": "A"},
    ],
    "clearance": [
        {"socket.clearance.body": 0.4, "socket.clearance.lug_radial": 0.4,
         "socket.clearance.lug_side": 0.4, "socket.clearance.axial": 0.5,
         "socket.clearance.floor": 0.6, "socket.clearance.nose": 0.7},
    ],
    "tolerance": [
        {"socket.tolerance.diameter": 0.04, "socket.tolerance.length": 0.04,
         "socket.tolerance.angle_deg": 0.1, "socket.tolerance.lead": 0.04},
        {f"socket.tolerance.{key}": 0.03 for key in (
            "track_bore", "sealing_bore", "track_wall", "slot_width", "slot_position_deg",
            "stop_deg", "roof", "floor", "nose_floor", "coaxiality", "seal_coaxiality",
            "tilt_deg")},
    ],
    "track": [
        {"socket.track.lead": None, "socket.track.lead_angle_deg": 2.0,
         "socket.track.least_bearing": 0.6},
        {"socket.track.detent": {"height": 0.1, "flank_angle_deg": 30, "crest_deg": 0.5,
                                 "pocket_deg": 0.5}},
        {"socket.process": "machined", "socket.track.made_by": "erosion"},
    ],
    "cutter": [
        {"socket.process": "machined", "socket.track.made_by": None, "socket.track.floor": "level",
         "socket.track.floor_slope_deg": 0.0, "socket.track.detent": None,
         "socket.cutter.diameter": diameter, "socket.cutter.thickness": 1.5,
         "socket.cutter.neck_diameter": 3.0, "socket.cutter.reach": 14.0,
         "socket.cutter.corner_radius": 0.1, "socket.cutter.end_mill": 5.0}
        for diameter in (8.0, 11.0, 14.0)
    ],
    "stop": [{"socket.stop.overtravel_deg": 1.0, "socket.stop.least_engagement": 0.6}],
    "seal": [
        {"socket.seal.ring_section": None, "socket.seal.ring": "-118"},
        {"socket.seal.ring_inside_diameter": 21.9},
        {"socket.seal.elastomer": "NBR", "socket.seal.hardness": 70, "socket.seal.swell": 0.02,
         "socket.seal.compression_set": 0.4},
        {"socket.seal.squeeze": None, "socket.seal.bore_diameter": 30.0},
        {"socket.seal.lead_in_angle_deg": 15, "socket.seal.margin": 0.4},
    ],
    "weld": [
        {"socket.mount": {"weld": {"bevel_angle_deg": 40, "bevel_width": 1.5, "land": 1.0}}}
    ],
    "service": [
        {"service.pressure": "3 bar", "service.lowest_c": -10, "service.highest_c": 60,
         "service.assembly_c": 22, "service.plug_material": "POM-C",
         "service.socket_material": "6061-T6", "service.proof_factor": 1.3,
         "service.safeguard": "vent cock, opened first"},
        {"service.pressure": "3 bar", "service.vacuum": "0.2 bar"},
        {"service.plug_strength": "60 MPa", "service.socket_strength": "200 MPa",
         "service.safety_on_yield": 1.8, "service.safety_on_ultimate": 3.0},
        {"service.lubrication": "dry", "service.lug_friction": [0.1, 0.3],
         "service.grip_diameter": 60, "service.hand_torque_nm": 5.0},
    ],
    "printer": [
        {"printer.nozzle": 0.6, "printer.layer_height": 0.3, "printer.first_layer_flare": 0.2,
         "printer.steepest_overhang_deg": 50, "printer.longest_bridge": 8.0,
         "printer.bed_width": 180.0, "printer.bed_depth": 180.0, "printer.repeatability": 0.05,
         "printer.profile": "printer.toml"},
    ],
    "production": [
        {"production.yield_share": 0.99, "production.clocking_deg": 2.0,
         "production.plug_shape": "normal", "production.socket_shape": "uniform",
         "production.samples": 4096, "production.seed": 3},
    ],
}  # fmt: skip
"""Fields that go together; one of each group, or none, is set over a design."""
NO_RING: Fields = {
    "plug.groove": None, "socket.seal": {"kind": "none"}, "socket.layout": None,
}  # fmt: skip
"""A plug that carries no ring: on top of all others, for most fields are a ring's."""
GASKET: Fields = {
    **NO_RING, "socket.seating": "stop",
    "socket.seal": {
        "kind": "gasket", "hardness": 60, "compression_set": 0.3,
        "gasket": {"thickness": 2.0, "inner_diameter": 76.0, "outer_diameter": 84.0,
                   "squeeze": [0.1, 0.4]},
    },
}  # fmt: skip


JOINTS: list[Fields] = [
    {"socket.joint": {}},
    {"socket.joint.end_mill": 1.5, "socket.joint.thread": "M3",
     "socket.joint.property_class": "8.8", "socket.joint.bolts": 8,
     "socket.joint.first_bolt_at_deg": 10.0, "socket.joint.engagement": 7.0,
     "socket.joint.register_height": 2.0, "socket.joint.centring_clearance": 0.04,
     "socket.joint.seat_flatness": 0.01, "socket.joint.dowel_diameter": 3.0,
     "socket.joint.dowel_position": 0.04, "socket.joint.seal": "ring",
     "socket.joint.seal_section": 1.78, "socket.joint.preload_share": 0.6,
     "socket.joint.nut_factor": 0.18},
    {"socket.joint.heads": "proud", "socket.joint.bolt_circle": 120.0,
     "socket.joint.ring_diameter": 140.0, "socket.boss_diameter": 160.0,
     "socket.boss_height": 70.0},
]  # fmt: skip
"""Joints of ring and body; a design of two parts has one of them."""


@st.composite
def joined_designs(draw: st.DrawFn) -> dict[str, Any]:
    """A design mapping of ring and body, with any joint."""
    raw = copy.deepcopy(draw(designs()))
    fields: Fields = {
        "socket.construction": "ring_and_body", "socket.process": "machined",
        "socket.track.floor": None, "socket.track.floor_slope_deg": None, "socket.mount": None,
        "service.pressure": "2 bar", "service.plug_material": "POM-C",
        "service.socket_material": "6061-T6", **draw(st.sampled_from(JOINTS)),
    }  # fmt: skip
    for path, value in fields.items():
        put(raw, path, value)
    return raw


@st.composite
def whole_designs(draw: st.DrawFn, *, always: str = "", on_top: Fields | None = None) -> Fields:
    """A design mapping in which any field of the file may be set; a group always, fields last."""
    raw = copy.deepcopy(draw(designs()))
    for name, group in GROUPS.items():
        if name == always or draw(st.integers(0, 3)) == 0:
            for path, value in draw(st.sampled_from(group)).items():
                put(raw, path, value)
    for path, value in (on_top or {}).items():
        put(raw, path, value)
    return raw


def put(raw: dict[str, Any], path: str, value: Any) -> None:
    """Set a dotted field; None takes it out."""
    *tables, key = path.split(".")
    table = raw
    for name in tables:
        table = table.setdefault(name, {})
    if value is None:
        table.pop(key, None)
    else:
        table[key] = copy.deepcopy(value)


def paths_of(raw: Any, prefix: str = "") -> set[str]:
    """Dotted fields set in a mapping; rows of a list share one path."""
    if isinstance(raw, dict):
        return set().union(*(paths_of(v, f"{prefix}.{k}" if prefix else k) for k, v in raw.items()))
    if isinstance(raw, list) and raw and isinstance(raw[0], dict):
        return set().union(*(paths_of(one, prefix) for one in raw))
    return {prefix}
