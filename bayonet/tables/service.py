"""Identification, service, production and printer.

Made by `tests/house/make_tables.py`; do not edit.
"""

from __future__ import annotations

from typing import Literal

from bayonet.designfile import DesignHead, PrinterTable, ProductionTable, ServiceTable
from bayonet.tables.build import Quantity, build


def design_head(
    *,
    name: str = "unnamed design",
    revision: str = "-",
    note: str = "",
    units: Literal["mm", "in"] = "mm",
) -> DesignHead:
    """Identification.

    Parameters
    ----------
    name
        What this is, as in ``name = "Level sensor, header tank"``.
    revision
        Revision, as in ``revision = "A"``.
    note
        Free text for the next reader, as in ``note = "measured on two parts"``.
    units
        Unit of bare lengths in this file, and of what is shown: in stands for inch and psi, as in
        ``units = "in"``.
    """
    return build(DesignHead, ("design",), locals())


def service(
    *,
    pressure: Quantity | None = None,
    vacuum: Quantity | None = None,
    lowest_c: float | None = None,
    highest_c: float | None = None,
    assembly_c: float = 20.0,
    plug_material: str | None = None,
    socket_material: str | None = None,
    plug_strength: Quantity | None = None,
    socket_strength: Quantity | None = None,
    proof_factor: float = 1.5,
    safety_on_yield: float | None = None,
    safety_on_ultimate: float | None = None,
    lubrication: Literal["dry", "greased"] = "greased",
    lug_friction: tuple[float, float] | None = None,
    grip_diameter: Quantity | None = None,
    hand_torque_nm: float | None = None,
    safeguard: str | None = None,
) -> ServiceTable:
    """What the joint meets in service; what is left out stays open.

    Parameters
    ----------
    pressure
        Working pressure [MPa], as in ``pressure = "6 bar"``.
    vacuum
        Greatest pressure outside over inside, as when a tank cools or is drained [mm], as in
        ``vacuum = "0.2 bar"``.
    lowest_c
        Lowest temperature [deg C], as in ``lowest_c = -10``.
    highest_c
        Highest temperature [deg C], as in ``highest_c = 90``.
    assembly_c
        Temperature at which parts are measured, as in ``assembly_c = 20``.
    plug_material
        Material of the plug, as in ``plug_material = "PA6"``.
    socket_material
        Material of the socket, as in ``socket_material = "6061-T6"``.
    plug_strength
        Yield stress of the plug, or its tensile strength where it has none; left out: the table
        [MPa], as in ``plug_strength = "120 MPa"``.
    socket_strength
        The same of the socket [MPa], as in ``socket_strength = "240 MPa"``.
    proof_factor
        Proof pressure over working pressure, as in ``proof_factor = 1.5``.
    safety_on_yield
        Factor of safety on yield at working pressure; left out: by the kind of material, as in
        ``safety_on_yield = 2.0``.
    safety_on_ultimate
        Factor of safety on tensile strength; left out: by the kind of material, as in
        ``safety_on_ultimate = 3.0``.
    lubrication
        Lugs and ring when turned, as in ``lubrication = "greased"``.
    lug_friction
        Friction of lug on track, least and most; left out: the table, as in ``lug_friction = [0.1,
        0.3]``.
    grip_diameter
        Diameter the hand turns the plug by; left out: the shoulder [mm], as in ``grip_diameter =
        60``.
    hand_torque_nm
        Torque anybody shall be able to turn it with [N m]; left out: by the grip, as in
        ``hand_torque_nm = 2.0``.
    safeguard
        The vent, latch or interlock that keeps it from being opened under pressure, as in
        ``safeguard = "vent cock on the tank, opened before unlocking"``.
    """
    return build(ServiceTable, ("service",), locals())


def printer(
    *,
    nozzle: Quantity = 0.4,
    layer_height: Quantity = 0.2,
    first_layer_flare: Quantity = 0.15,
    steepest_overhang_deg: Quantity = 45.0,
    longest_bridge: Quantity = 8.0,
    bed_width: Quantity = 200.0,
    bed_depth: Quantity = 200.0,
    repeatability: Quantity = 0.05,
    profile: str | None = None,
) -> PrinterTable:
    """The printer that makes print-test pieces, or the socket itself.

    Parameters
    ----------
    nozzle
        Width of one printed line [mm], as in ``nozzle = 0.4``.
    layer_height
        Height of one layer [mm], as in ``layer_height = 0.2``.
    first_layer_flare
        How far the first layers are squeezed out beyond the outline [mm], as in
        ``first_layer_flare = 0.15``.
    steepest_overhang_deg
        Lean from the upright that prints without support [deg], as in ``steepest_overhang_deg =
        45``.
    longest_bridge
        Flat ceiling held at both ends that prints without support [mm], as in ``longest_bridge =
        8``.
    bed_width
        Bed, across [mm], as in ``bed_width = 200``.
    bed_depth
        Bed, to the back [mm], as in ``bed_depth = 200``.
    repeatability
        Standard deviation of one size from print to print [mm], as in ``repeatability = 0.05``.
    profile
        Process profile written by `bayonet calibrate`, beside this file, as in ``profile =
        "my_printer.toml"``.
    """
    return build(PrinterTable, ("printer",), locals())


def production(
    *,
    yield_share: float = 0.9973,
    plug_shape: Literal["normal", "uniform", "triangular", "trapezoid"] = "normal",
    socket_shape: Literal["normal", "uniform", "triangular", "trapezoid"] = "uniform",
    clocking_deg: Quantity | None = None,
    samples: int = 32768,
    seed: int = 1,
) -> ProductionTable:
    """Share of plug and socket pairs that must work, and how parts are spread.

    Parameters
    ----------
    yield_share
        Share of all pairs of plug and socket that must pass everything, as in ``yield_share =
        0.9973``.
    plug_shape
        How plugs are spread within their limits, as in ``plug_shape = "normal"``.
    socket_shape
        Where within its limits the socket may lie, as in ``socket_shape = "uniform"``.
    clocking_deg
        How far the locked orientation may lie from the nominal one, plus or minus [deg], as in
        ``clocking_deg = 1.0``.
    samples
        Sampled pairs, as in ``samples = 32768``.
    seed
        Start of the sampling: the same seed gives the same figures, as in ``seed = 1``.
    """
    return build(ProductionTable, ("production",), locals())
