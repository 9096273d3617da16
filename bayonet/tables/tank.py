"""The place on a tank and what stands round it.

Made by `tests/house/make_tables.py`; do not edit.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal

from bayonet.designfile import (
    ArmTable,
    AroundTable,
    GraftTable,
    HandPartTable,
    LandTable,
    OwnHandTable,
    RoundPartTable,
)
from bayonet.tables.build import Quantity, build


def graft(
    *,
    tank: str | None = None,
    at: tuple[float, float, float] | None = None,
    face: int | None = None,
    toward: tuple[float, float, float] | None = None,
    clock_deg: Quantity = 0.0,
    proud: float | None = None,
    land: LandTable | None = None,
    fillet: Quantity = 0.0,
    least_gap: Quantity | None = None,
    down: tuple[float, float, float] | None = None,
    valve_bore: Quantity | None = None,
    around: AroundTable | None = None,
) -> GraftTable:
    """Where on a tank the socket stands; the command line's options go before it.

    Parameters
    ----------
    tank
        STEP file of the tank, as in ``tank = "tank.step"``.
    at
        Point on the wall, tank mm, as in ``at = [120.0, 0.0, 80.0]``.
    face
        Number of a face (bayonet faces), as in ``face = 7``.
    toward
        Out along the axis; left out: the wall's normal, as in ``toward = [1.0, 0.0, 0.2]``.
    clock_deg
        Turn of theta = 0 from the tank's +Z (from +X on a level wall), counter-clockwise from
        outside [deg], as in ``clock_deg = 30``.
    proud
        Mouth above the wall on the axis [mm]; negative: sunk; left out: the boss ends in mid-wall,
        as in ``proud = 12.0``.
    land
        A ring round the boss's foot, as in ``[graft.land]``.
    fillet
        Radius at the boss's foot [mm], as in ``fillet = 3``.
    least_gap
        From the boss to seams, openings and other walls; left out: socket.wall [mm], as in
        ``least_gap = 6``.
    down
        Direction of gravity, as in ``down = [0.0, 0.0, -1.0]``.
    valve_bore
        Diameter of the valve's own passage [mm], as in ``valve_bore = 20``.
    around
        What stands round the tank, as in ``[graft.around]``.
    """
    return build(GraftTable, ("graft",), locals())


def land(*, width: Quantity, height: Quantity) -> LandTable:
    """A flat ring round the boss's foot.

    Parameters
    ----------
    width
        Radial width [mm], as in ``width = 6``.
    height
        Its top above the wall, on the axis [mm], as in ``height = 3``.
    """
    return build(LandTable, ("graft", "land"), locals())


def around(
    *,
    files: Sequence[str] = (),
    unit: Literal["mm", "cm", "m", "in"] | None = None,
    clear: Quantity = 5.0,
    valve: str | None = None,
    envelope: Sequence[RoundPartTable] = (),
    arms: Sequence[ArmTable] = (),
    travel: Quantity | None = None,
    hand: str | None = None,
    own_hand: OwnHandTable | None = None,
    tilt_deg: float = 20.0,
) -> AroundTable:
    """What stands round the tank; the command line's options go before it.

    Parameters
    ----------
    files
        Scans or models in the tank's coordinates, as in ``files = ["plant_room.stl"]``.
    unit
        Unit of files that state none; left out: mm, as in ``unit = "in"``.
    clear
        Least distance asked for [mm], as in ``clear = 5``.
    valve
        STL or STEP of the valve, locked, mouth face z = 0, +z out, as in ``valve = "valve.step"``.
    envelope
        The valve outside the mouth in plain shapes, as in ``envelope = [{ diameter = 56, to_height
        = 40 }]``.
    arms
        What stands out to one side of it, as in ``arms = [{ reach = 60, width = 18, from_height =
        20, to_height = 38 }]``.
    travel
        How far along the axis the valve is brought in; left out: until its nose is clear [mm], as
        in ``travel = 60``.
    hand
        What turns it: a preset, or own, as in ``hand = "fingers"``.
    own_hand
        Your own hand or tool, as in ``[graft.around.own_hand]``.
    tilt_deg
        Greatest tilt the map tries, as in ``tilt_deg = 15``.
    """
    return build(AroundTable, ("graft", "around"), locals())


def round_part(
    *,
    diameter: Quantity,
    to_height: Quantity,
    to_diameter: Quantity | None = None,
    from_height: Quantity = 0.0,
) -> RoundPartTable:
    """A stretch of the valve outside the mouth, round about the axis.

    Parameters
    ----------
    diameter
        Diameter at its lower end [mm], as in ``diameter = 56``.
    to_height
        Its upper end over the mouth face [mm], as in ``to_height = 30``.
    to_diameter
        Diameter at its upper end [mm], as in ``to_diameter = 40``.
    from_height
        Its lower end over the mouth face [mm], as in ``from_height = 12``.
    """
    return build(RoundPartTable, ("graft", "around", "envelope", 0), locals())


def arm(
    *,
    reach: Quantity,
    width: Quantity,
    from_height: Quantity,
    to_height: Quantity,
    at_deg: Quantity = 0.0,
) -> ArmTable:
    """A bar to one side of the valve: a connector, a lever.

    Parameters
    ----------
    reach
        Its end from the axis [mm], as in ``reach = 60``.
    width
        Its width [mm], as in ``width = 18``.
    from_height
        Its lower side over the mouth face [mm], as in ``from_height = 20``.
    to_height
        Its upper side [mm], as in ``to_height = 38``.
    at_deg
        Theta at lock [deg], as in ``at_deg = 90``.
    """
    return build(ArmTable, ("graft", "around", "arms", 0), locals())


def own_hand(
    *,
    parts: Sequence[HandPartTable],
    swing_deg: Quantity | None = None,
    free: bool = True,
    source: str = "as given",
) -> OwnHandTable:
    """A hand or tool of your own.

    Parameters
    ----------
    parts
        Its parts, as in ``parts = [{ name = "fist", from_height = -20, to_height = 90, radius = 55
        }]``.
    swing_deg
        Least swing of its bars before they are set anew; left out: the whole turn [deg], as in
        ``swing_deg = 60``.
    free
        Whether its bars may start at any angle; false: at theta 0 of the valve at lock, as in
        ``free = false``.
    source
        Where its sizes come from, as in ``source = "measured"``.
    """
    return build(OwnHandTable, ("graft", "around", "own_hand"), locals())


def hand_part(
    *,
    name: str,
    from_height: float,
    to_height: float,
    base: Literal["top", "shoulder"] = "top",
    radius: Quantity | None = None,
    beyond: Quantity | None = None,
    reach: Quantity | None = None,
    width: Quantity | None = None,
) -> HandPartTable:
    """A part of a hand or tool: round about the axis, or a bar that swings.

    Parameters
    ----------
    name
        What it is, as in ``name = "fingers"``.
    from_height
        Its lower end [mm], as in ``from_height = -25``.
    to_height
        Its upper end [mm], as in ``to_height = 10``.
    base
        Where heights count from: the valve's outermost point, or the mouth face, as in ``base =
        "top"``.
    radius
        Of a round part [mm], as in ``radius = 45``.
    beyond
        Or: how far beyond the valve [mm], as in ``beyond = 25``.
    reach
        Or: end of a bar from the axis [mm], as in ``reach = 150``.
    width
        Width of a bar [mm], as in ``width = 20``.
    """
    return build(HandPartTable, ("graft", "around", "own_hand", "parts", 0), locals())
