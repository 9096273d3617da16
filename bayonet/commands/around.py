"""Options of `bayonet graft` that tell what stands round the tank."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from math import isfinite
from pathlib import Path
from typing import Any

import click

from bayonet.commands.common import Number
from bayonet.errors import TankError
from bayonet.tank import AroundWishes, RoundPart
from bayonet.units import parse

_NAMES = ("around", "around_unit", "clear_mm", "valve", "envelope", "hand", "travel_mm")


class _Envelope(click.ParamType[tuple[RoundPart, ...]]):
    """Diameters and heights, from the mouth face outwards."""

    name = "DxH,DxH"

    def convert(self, value: Any, param: Any, ctx: Any) -> tuple[RoundPart, ...]:
        if isinstance(value, tuple):
            return value
        parts, height = [], 0.0
        for piece in str(value).split(","):
            try:
                diameter, rise = (parse(one, kind="length") for one in piece.lower().split("x"))
            except ValueError as error:
                self.fail(f"{value!r}: {piece!r} must be DIAMETERxHEIGHT ({error})", param, ctx)
            if not (isfinite(diameter) and isfinite(rise) and diameter > 0.0 and rise > 0.0):
                self.fail(f"{value!r}: {piece!r} must be two lengths over 0 mm", param, ctx)
            radius = diameter / 2.0
            parts.append(
                RoundPart(from_mm=height, to_mm=height + rise, from_radius_mm=radius,
                          to_radius_mm=radius)
            )  # fmt: skip
            height += rise
        return tuple(parts)


def options(command: Callable[..., None]) -> Callable[..., None]:
    """Add the options to a command."""
    file = click.Path(path_type=Path)
    for add in reversed((
        click.option("--around", type=file, multiple=True,
                     help="Scan or model of what stands round the tank; several."),
        click.option("--around-unit", type=click.Choice(["mm", "cm", "m", "in"]),
                     help="Unit of those that state none; left out: mm."),
        click.option("--clear", "clear_mm", type=Number(min=0),
                     help="Least distance [mm]; left out: 5."),
        click.option("--valve", type=file, help="STL or STEP of the valve, locked, +z out."),
        click.option("--envelope", type=_Envelope(),
                     help="Or the valve as diameters x heights over the mouth: 56x20,40x55."),
        click.option("--hand", help="What turns it: fingers, glove, palm, spanner, box spanner,"
                     " or own (design file)."),
        click.option("--travel", "travel_mm", type=Number(min=0),
                     help="Way in along the axis [mm]; left out: until the nose is clear."),
    )):  # fmt: skip
        command = add(command)
    return command


def taken(given: dict[str, Any]) -> dict[str, Any]:
    """These options out of all of a command."""
    return {name: given.pop(name) for name in _NAMES}


def wishes(written: AroundWishes, given: dict[str, Any], base: Path) -> AroundWishes:
    """The file's table with the options before it; its file names start beside the file."""
    written = replace(
        written,
        files=tuple(str(base / name) for name in written.files),
        valve=None if written.valve is None else str(base / written.valve),
    )
    new: dict[str, Any] = {}
    if given["around"]:
        new["files"] = tuple(str(path) for path in given["around"])
    if given["valve"] is not None and given["envelope"]:
        raise TankError("--valve, --envelope: give only one of them")
    if given["valve"] is not None:
        new |= {"valve": str(given["valve"]), "envelope": (), "arms": ()}
    if given["envelope"]:
        new |= {"envelope": given["envelope"], "valve": None}
    for option, name in (("around_unit", "unit"), ("clear_mm", "clear_mm"), ("hand", "hand"),
                         ("travel_mm", "travel_mm")):  # fmt: skip
        value = given[option]
        if isinstance(value, float) and not isfinite(value):
            raise TankError(f"--{option.removesuffix('_mm')}: is not a number")
        if value is not None:
            new[name] = value
    return replace(written, **new)
