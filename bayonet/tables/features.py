"""Track, stop, seal, mount and cutter of a socket.

Made by `tests/house/make_tables.py`; do not edit.
"""

from __future__ import annotations

from typing import Literal

from bayonet.designfile import (
    CutterTable,
    Detent,
    FlangeMount,
    GasketTable,
    JointTable,
    MountTable,
    SealTable,
    Stop,
    TrackTable,
    WeldMount,
)
from bayonet.tables.build import Quantity, build


def track(
    *,
    lead: Quantity | None = None,
    lead_angle_deg: Quantity | None = None,
    dwell_deg: Quantity = 0.0,
    floor: Literal["level", "parallel"] = "level",
    floor_slope_deg: Quantity = 0.0,
    detent: Detent | None = None,
    least_bearing: float | None = None,
    made_by: Literal["cutter", "erosion"] = "cutter",
) -> TrackTable:
    """The undercut in which a lug turns.

    Parameters
    ----------
    lead
        Lead of the ramp per revolution; 0 for a dwell only; left out: as the lugs [mm/rev], as in
        ``lead = 12.0``.
    lead_angle_deg
        Lead angle of the ramp at the lug's mean diameter [deg], as in ``lead_angle_deg = 5.0``.
    dwell_deg
        Last part of the turn without lead [deg], as in ``dwell_deg = 15``.
    floor
        Floor at one depth, or following the ramp, as in ``floor = "level"``.
    floor_slope_deg
        Slope of the floor, deepest at the bore: 0 is sharp, 45 prints unsupported mouth down
        [deg], as in ``floor_slope_deg = 45``.
    detent
        A detent before the lock, as in ``[socket.track.detent]``.
    least_bearing
        Least share of the area under the roof that must bear, as it is cut; left out: half, as in
        ``least_bearing = 0.6``.
    made_by
        Tracks of a machined socket: by a disc cutter, or eroded by an electrode shaped as a lug,
        as in ``made_by = "erosion"``.
    """
    return build(TrackTable, ("socket", "track"), locals())


def detent(
    *,
    height: Quantity,
    flank_angle_deg: Quantity = 30.0,
    crest_deg: Quantity = 1.0,
    pocket_deg: Quantity = 1.0,
) -> Detent:
    """A bump on the roof the lug must dip under to reach, and to leave, lock.

    Parameters
    ----------
    height
        Height of the bump [mm], as in ``height = 0.3``.
    flank_angle_deg
        Slope of its flanks against the roof, at most 75 [deg], as in ``flank_angle_deg = 30``.
    crest_deg
        Angular length of its top [deg], as in ``crest_deg = 1.0``.
    pocket_deg
        Free angle between lug and bump at lock [deg], as in ``pocket_deg = 1.0``.
    """
    return build(Detent, ("socket", "track", "detent"), locals())


def stop(*, overtravel_deg: Quantity = 0.0, least_engagement: float = 0.75) -> Stop:
    """Where rotation ends.

    Parameters
    ----------
    overtravel_deg
        Stop beyond the nominal lock; clamp seating needs room to float [deg], as in
        ``overtravel_deg = 0``.
    least_engagement
        Least part of a lug's width that must be under the roof when it locks, as in
        ``least_engagement = 0.75``.
    """
    return build(Stop, ("socket", "stop"), locals())


def seal(
    *,
    kind: Literal["ring", "gasket", "none"] = "ring",
    gasket: GasketTable | None = None,
    ring: str | None = None,
    ring_section: Quantity | None = None,
    ring_inside_diameter: Quantity | None = None,
    elastomer: str | None = None,
    hardness: int | None = None,
    swell: float = 0.05,
    compression_set: float | None = None,
    squeeze: float | None = None,
    bore_diameter: Quantity | None = None,
    lead_in_angle_deg: Quantity = 20.0,
    margin: Quantity = 0.5,
) -> SealTable:
    """What seals, and the surface it seals on.

    Parameters
    ----------
    kind
        What seals: a ring in the plug's groove, a flat gasket under the shoulder, or nothing, as
        in ``kind = "ring"``.
    gasket
        The flat gasket, as in ``[socket.seal.gasket]``.
    ring
        O-ring by its AS568 dash number, or inside diameter by section in mm, as in ``ring =
        "-118"``.
    ring_section
        Section (thickness) of the O-ring [mm], as in ``ring_section = "0.103 in"``.
    ring_inside_diameter
        Inside diameter of the free O-ring [mm], as in ``ring_inside_diameter = 22.0``.
    elastomer
        Compound: NBR, HNBR, FKM, EPDM or VMQ, as in ``elastomer = "NBR"``.
    hardness
        Hardness, Shore A, as in ``hardness = 70``.
    swell
        Increase of the ring's volume in the fluid, as in ``swell = 0.05``.
    compression_set
        Share of the squeeze lost at end of life, as in ``compression_set = 0.3``.
    squeeze
        Target squeeze of the section, as in ``squeeze = 0.2``.
    bore_diameter
        Sealing bore, if already decided (layouts A and B) [mm], as in ``bore_diameter = 30.0``.
    lead_in_angle_deg
        Half angle of the lead-in chamfer against the axis [deg], as in ``lead_in_angle_deg = 20``.
    margin
        Full sealing bore kept beyond the groove at both ends [mm], as in ``margin = 0.5``.
    """
    return build(SealTable, ("socket", "seal"), locals())


def gasket(
    *,
    thickness: Quantity,
    inner_diameter: Quantity,
    outer_diameter: Quantity,
    squeeze: tuple[float, float],
) -> GasketTable:
    """A flat gasket between the plug's shoulder and the mouth face.

    Parameters
    ----------
    thickness
        Thickness, not pressed [mm], as in ``thickness = 3.0``.
    inner_diameter
        Inner diameter [mm], as in ``inner_diameter = 46.0``.
    outer_diameter
        Outer diameter [mm], as in ``outer_diameter = 54.0``.
    squeeze
        Least and greatest share of its thickness it may be pressed by, as its maker says, as in
        ``squeeze = [0.15, 0.35]``.
    """
    return build(GasketTable, ("socket", "seal", "gasket"), locals())


def mount(*, flange: FlangeMount | None = None, weld: WeldMount | None = None) -> MountTable:
    """How the boss is fastened: plain where neither is given.

    Parameters
    ----------
    flange
        Flange mount, as in ``[socket.mount.flange]``.
    weld
        Weld boss, as in ``[socket.mount.weld]``.
    """
    return build(MountTable, ("socket", "mount"), locals())


def flange_mount(
    *,
    diameter: Quantity,
    thickness: Quantity,
    bolt_circle: Quantity,
    bolts: int,
    bolt_hole: Quantity,
) -> FlangeMount:
    """A flange with a bolt circle, its underside level with the boss's end.

    Parameters
    ----------
    diameter
        Flange outside diameter [mm], as in ``diameter = 90``.
    thickness
        Flange thickness [mm], as in ``thickness = 8``.
    bolt_circle
        Diameter of the bolt circle [mm], as in ``bolt_circle = 74``.
    bolts
        Number of bolt holes, as in ``bolts = 6``.
    bolt_hole
        Diameter of a bolt hole [mm], as in ``bolt_hole = 6.6``.
    """
    return build(FlangeMount, ("socket", "mount", "flange"), locals())


def weld_mount(
    *, bevel_width: Quantity, land: Quantity, bevel_angle_deg: Quantity = 45.0
) -> WeldMount:
    """Preparation on the outside of the boss's end; the weld itself is the welder's affair.

    Parameters
    ----------
    bevel_width
        Radial width of the bevel [mm], as in ``bevel_width = 4``.
    land
        Height of the root land [mm], as in ``land = 1.5``.
    bevel_angle_deg
        Bevel against the axis [deg], as in ``bevel_angle_deg = 45``.
    """
    return build(WeldMount, ("socket", "mount", "weld"), locals())


def cutter(
    *,
    diameter: Quantity,
    thickness: Quantity,
    neck_diameter: Quantity,
    reach: Quantity,
    corner_radius: Quantity = 0.0,
    end_mill: Quantity | None = None,
) -> CutterTable:
    """The disc cutter that makes the track, its axis parallel to the bore's.

    Parameters
    ----------
    diameter
        Diameter of the disc cutter [mm], as in ``diameter = 14.0``.
    thickness
        Axial thickness of its teeth [mm], as in ``thickness = 3.0``.
    neck_diameter
        Diameter of its neck [mm], as in ``neck_diameter = 5.0``.
    reach
        Length of the neck, under the holder [mm], as in ``reach = 14.0``.
    corner_radius
        Radius of its teeth's corners [mm], as in ``corner_radius = 0.1``.
    end_mill
        Diameter of the end mill that cuts the entry slots [mm], as in ``end_mill = 6.0``.
    """
    return build(CutterTable, ("socket", "cutter"), locals())


def joint(
    *,
    end_mill: Quantity | None = None,
    thread: str | None = None,
    property_class: str = "A2-70",
    bolts: int | None = None,
    bolt_circle: Quantity | None = None,
    first_bolt_at_deg: Quantity | None = None,
    heads: Literal["sunk", "proud"] = "sunk",
    engagement: Quantity | None = None,
    ring_diameter: Quantity | None = None,
    register_height: Quantity = 3.0,
    centring_clearance: Quantity = 0.05,
    seat_flatness: Quantity = 0.02,
    dowel_diameter: Quantity | None = None,
    dowel_position: Quantity = 0.05,
    seal: Literal["ring", "none"] | None = None,
    seal_section: Quantity | None = None,
    preload_share: float = 0.75,
    nut_factor: float = 0.2,
) -> JointTable:
    """Ring on body: the ring's outside stands in the body's counterbore, bolts hold it down.

    Parameters
    ----------
    end_mill
        Diameter of the end mill for slots and ramps, from the ring's underside [mm], as in
        ``end_mill = 3.0``.
    thread
        Thread of the cap screws, M3 to M12, as in ``thread = "M4"``.
    property_class
        Property class of the screws, as in ``property_class = "A2-70"``.
    bolts
        Number of screws, as in ``bolts = 6``.
    bolt_circle
        Diameter of the bolt circle [mm], as in ``bolt_circle = 54``.
    first_bolt_at_deg
        Where the first screw stands; left out: as far from slots as can be [deg], as in
        ``first_bolt_at_deg = 0``.
    heads
        Heads sunk in counterbores, or standing on the mouth face outside the shoulder, as in
        ``heads = "sunk"``.
    engagement
        Length of thread in the body; left out: twice the diameter [mm], as in ``engagement = 8``.
    ring_diameter
        Outside of the ring, and counterbore of the body [mm], as in ``ring_diameter = 64``.
    register_height
        How deep the ring stands in the body's counterbore [mm], as in ``register_height = 3``.
    centring_clearance
        Greatest clearance of the ring in the counterbore, on diameter [mm], as in
        ``centring_clearance = 0.05``.
    seat_flatness
        Flatness of the ring's underside and of the counterbore's floor, together [mm], as in
        ``seat_flatness = 0.02``.
    dowel_diameter
        Dowel pin that clocks the ring, ISO 2338 m6; 0: none [mm], as in ``dowel_diameter = 4``.
    dowel_position
        How far the dowel's two holes may stand apart, along the circle [mm], as in
        ``dowel_position = 0.05``.
    seal
        An O-ring in the joint; left out: where the joint holds pressure, as in ``seal = "ring"``.
    seal_section
        Section of that ring, AS568; left out: 1.78 [mm], as in ``seal_section = 1.78``.
    preload_share
        Preload as a share of the screws' proof load, as in ``preload_share = 0.75``.
    nut_factor
        Nut factor: tightening torque over preload and diameter, as in ``nut_factor = 0.2``.
    """
    return build(JointTable, ("socket", "joint"), locals())
