"""The socket as a whole.

Made by `tests/house/make_tables.py`; do not edit.
"""

from __future__ import annotations

from typing import Literal

from bayonet.designfile import (
    ClearanceTable,
    CutterTable,
    JointTable,
    MountTable,
    SealTable,
    SocketTable,
    Stop,
    ToleranceTable,
    TrackTable,
)
from bayonet.tables.build import Quantity, build


def socket(
    *,
    process: Literal["printed", "machined", "cast"],
    layout: Literal["A", "B", "C", "D"] | None = None,
    seating: Literal["stop", "clamp"] = "stop",
    construction: Literal["one_piece", "ring_and_body"] = "one_piece",
    wall: Quantity = 4.0,
    boss_diameter: Quantity | None = None,
    boss_height: Quantity | None = None,
    passage_diameter: Quantity | None = None,
    mouth_chamfer: Quantity | None = None,
    clearance: ClearanceTable | None = None,
    tolerance: ToleranceTable | None = None,
    track: TrackTable | None = None,
    stop: Stop | None = None,
    seal: SealTable | None = None,
    mount: MountTable | None = None,
    cutter: CutterTable | None = None,
    joint: JointTable | None = None,
) -> SocketTable:
    """What the socket shall be.

    Parameters
    ----------
    process
        How the socket is made; sets clearances and limits, as in ``process = "machined"``.
    layout
        A: lugs nearer the mouth than the ring; B: ring nearer; C: face seal; D: no ring, as in
        ``layout = "A"``.
    seating
        stop: turns to a hard stop; clamp: the ramp pulls the shoulder down, as in ``seating =
        "stop"``.
    construction
        One piece, or a retaining ring with slots and ramps on a body with floor and bore, as in
        ``construction = "ring_and_body"``.
    wall
        Least wall between track and outside [mm], as in ``wall = 4.0``.
    boss_diameter
        Outside diameter of the boss [mm], as in ``boss_diameter = 60``.
    boss_height
        Height of the boss [mm], as in ``boss_height = 32``.
    passage_diameter
        Opening into the tank; left out: as the last bore [mm], as in ``passage_diameter = 20``.
    mouth_chamfer
        45 deg chamfer on the bore's edge at the mouth (not layout B) [mm], as in ``mouth_chamfer =
        0.5``.
    clearance
        Gaps, as in ``[socket.clearance]``.
    tolerance
        Limits, as in ``[socket.tolerance]``.
    track
        The track, as in ``[socket.track]``.
    stop
        The stop, as in ``[socket.stop]``.
    seal
        The seal, as in ``[socket.seal]``.
    mount
        The mount, as in ``[socket.mount]``.
    cutter
        The cutter of a machined socket; it is built as that cutter leaves it, as in
        ``[socket.cutter]``.
    joint
        The joint of ring and body, as in ``[socket.joint]``.
    """
    return build(SocketTable, ("socket",), locals())


def clearance(
    *,
    body: Quantity | None = None,
    lug_radial: Quantity | None = None,
    lug_side: Quantity | None = None,
    axial: Quantity | None = None,
    floor: Quantity | None = None,
    nose: Quantity | None = None,
) -> ClearanceTable:
    """Gaps at nominal size; what is left out comes from the process.

    Parameters
    ----------
    body
        Bore larger than body, on diameter [mm], as in ``body = 0.2``.
    lug_radial
        Lug to track wall, radial [mm], as in ``lug_radial = 0.25``.
    lug_side
        Lug to slot side, each side [mm], as in ``lug_side = 0.2``.
    axial
        Lug to roof at lock (stop seating) [mm], as in ``axial = 0.2``.
    floor
        Lug to floor [mm], as in ``floor = 0.3``.
    nose
        Plug nose to socket [mm], as in ``nose = 0.5``.
    """
    return build(ClearanceTable, ("socket", "clearance"), locals())


def tolerance(
    *,
    diameter: Quantity | None = None,
    length: Quantity | None = None,
    angle_deg: Quantity | None = None,
    track_bore: Quantity | None = None,
    sealing_bore: Quantity | None = None,
    track_wall: Quantity | None = None,
    slot_width: Quantity | None = None,
    slot_position_deg: Quantity | None = None,
    stop_deg: Quantity | None = None,
    roof: Quantity | None = None,
    floor: Quantity | None = None,
    nose_floor: Quantity | None = None,
    lead: Quantity | None = None,
    coaxiality: Quantity | None = None,
    seal_coaxiality: Quantity | None = None,
    tilt_deg: Quantity | None = None,
) -> ToleranceTable:
    """Limits the socket is made to, plus or minus; what is left out comes from the process.

    Parameters
    ----------
    diameter
        Of diameters [mm], as in ``diameter = 0.05``.
    length
        Of depths and widths [mm], as in ``length = 0.05``.
    angle_deg
        Of slot and stop positions [deg], as in ``angle_deg = 0.1``.
    track_bore
        Of the bore between tracks [mm], as in ``track_bore = 0.02``.
    sealing_bore
        Of the sealing bore [mm], as in ``sealing_bore = 0.02``.
    track_wall
        Of the diameter at the wall [mm], as in ``track_wall = 0.1``.
    slot_width
        Of the width of entry slots [mm], as in ``slot_width = 0.1``.
    slot_position_deg
        Of where slots stand [deg], as in ``slot_position_deg = 0.1``.
    stop_deg
        Of the stop against its slot [deg], as in ``stop_deg = 0.1``.
    roof
        Of the depth of roofs [mm], as in ``roof = 0.03``.
    floor
        Of the depth of floors [mm], as in ``floor = 0.1``.
    nose_floor
        Of the floor under the nose [mm], as in ``nose_floor = 0.1``.
    lead
        Of the lead of ramps, per revolution [mm/rev], as in ``lead = 0.05``.
    coaxiality
        Diameter of the zone of the tracks' axis against the bore's [mm], as in ``coaxiality =
        0.04``.
    seal_coaxiality
        Diameter of the zone of the sealing bore's axis against that of the bore between tracks
        [mm], as in ``seal_coaxiality = 0.02``.
    tilt_deg
        Of tracks against the mouth face [deg], as in ``tilt_deg = 0.03``.
    """
    return build(ToleranceTable, ("socket", "tolerance"), locals())
