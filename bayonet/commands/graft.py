"""`bayonet graft` and `bayonet faces`: the socket becomes part of a tank."""

from __future__ import annotations

import sys
from dataclasses import replace
from math import isfinite
from pathlib import Path
from typing import Any

import click

from bayonet.commands import around
from bayonet.commands.common import (
    DESIGN,
    FORCE,
    JSON,
    OUT,
    PATIENCE,
    Number,
    Show,
    console,
    exit_code,
    guarded,
    progress,
    run_of,
    shown_options,
)
from bayonet.errors import TankError
from bayonet.tank import Land, Triple, Wishes, is_direction
from bayonet.units import parse


class _Coordinates(click.ParamType[Triple]):
    """Three numbers with commas between, each with its unit where it is a length."""

    name = "X,Y,Z"

    def __init__(self, *, lengths: bool) -> None:
        self._lengths = lengths

    def convert(self, value: Any, param: Any, ctx: Any) -> Triple:
        if isinstance(value, tuple):
            return value
        parts = str(value).split(",")
        try:
            numbers = [parse(p, kind="length") if self._lengths else float(p) for p in parts]
        except ValueError as error:
            self.fail(f"{value!r}: {error}", param, ctx)
        if len(numbers) != 3 or not all(abs(n) < 1e12 for n in numbers):
            self.fail(f"{value!r} must be three finite numbers: X,Y,Z", param, ctx)
        if not self._lengths and not is_direction((numbers[0], numbers[1], numbers[2])):
            self.fail(f"{value!r} has no direction", param, ctx)
        return (numbers[0], numbers[1], numbers[2])


POINT = _Coordinates(lengths=True)
DIRECTION = _Coordinates(lengths=False)


@click.command()
@DESIGN
@click.option("--tank", "tank_file", type=click.Path(path_type=Path), help="STEP file of the tank.")
@click.option("--at", type=POINT, help="Point on the wall, tank coordinates [mm].")
@click.option("--face", type=click.IntRange(min=1), help="Number of a face; see bayonet faces.")
@click.option("--toward", type=DIRECTION, help="Out along the axis; left out: the wall's normal.")
@click.option("--clock", "clock_deg", type=Number(), help="Turn from the tank's +Z (or +X) [deg].")
@click.option("--proud", "proud_mm", type=Number(), help="Mouth face above the wall [mm].")
@click.option("--land", type=Number(), nargs=2, help="Ring round the foot: width, height [mm].")
@click.option("--fillet", "fillet_mm", type=Number(min=0), help="Radius at the foot.")
@click.option("--gap", "least_gap_mm", type=Number(min=0), help="To seams, walls [mm].")
@click.option("--down", type=DIRECTION, help="Direction of gravity, for drain and vent.")
@click.option(
    "--valve-bore", "valve_bore_mm", type=Number(min=0, min_open=True),
    help="Diameter of the valve's own passage [mm].",
)  # fmt: skip
@around.options
@click.option(
    "--accept-damaged",
    is_flag=True,
    help="Take a tank of which something is missing; it fails all the same.",
)
@PATIENCE
@OUT
@FORCE
@JSON
@shown_options
@guarded
def graft(
    design: Path,
    tank_file: Path | None,
    folder: Path,
    accept_damaged: bool,
    patience: float,
    force: bool,  # noqa: ARG001 - read by run_of
    as_json: bool,
    shown: Show,
    **options: Any,
) -> None:
    """Graft the socket of DESIGN onto a tank; options go before the file's [graft] table."""
    from bayonet.jobs.graft import graft as make
    from bayonet.parts import load

    read = load(design)
    file = tank_file or _beside(design, read.spec.graft.tank)
    asked = around.wishes(read.spec.graft.around.wishes(), around.taken(options), design.parent)
    wishes = _wishes(read.spec.graft.wishes(), options)
    made = make(
        read, file, folder, wishes=wishes, around=asked, accept_damaged=accept_damaged,
        patience=patience, progress=progress(as_json or shown.quiet),
        run=run_of(file, *map(Path, asked.files), Path(asked.valve) if asked.valve else None),
    )  # fmt: skip
    if as_json:
        click.echo((folder / "graft.json").read_text("utf-8"), nl=False)
    else:
        written = [f"Wrote to {made.folder}: {', '.join(made.files)}."]
        step = f"look at {made.folder / 'graft.png'}, then at the tank in your CAD."
        shown.print(made.result, next_step=step, written=written)
    sys.exit(exit_code(made.result))


def _beside(design: Path, tank: str | None) -> Path:
    """The tank a design file names, looked for beside it."""
    if tank is None:
        raise TankError('no tank: give --tank FILE, or tank = "FILE" in the file\'s [graft] table')
    return design.parent / tank


def _wishes(written: Wishes, options: dict[str, Any]) -> Wishes:
    given = {key: value for key, value in options.items() if value is not None}
    if "land" in given:
        width, height = given["land"]
        if not (width > 0.0 and height >= 0.0):
            raise TankError("--land: width must be more than 0 mm, height 0 mm or more")
        given["land"] = Land(width_mm=width, height_mm=height)
    if "at" in given and "face" not in given:
        given["face"] = None
    if "face" in given and given["face"] and "at" not in given:
        given["at"] = None
    bad = [k for k, value in given.items() if isinstance(value, float) and not isfinite(value)]
    if bad:
        raise TankError(f"{bad[0].removesuffix('_mm').removesuffix('_deg')}: is not a number")
    found = replace(written, **given)
    if found.land is not None and found.fillet_mm > 0.0:
        raise TankError("--land, --fillet: give only one of land, fillet (one may be in the file)")
    return found


@click.command()
@click.argument("tank_file", metavar="TANK", type=click.Path(path_type=Path))
@click.option("--out", "folder", type=click.Path(path_type=Path), help="Folder for a picture.")
@PATIENCE
@FORCE
@JSON
@guarded
def faces(
    tank_file: Path,
    folder: Path | None,
    patience: float,
    force: bool,  # noqa: ARG001 - read by run_of
    as_json: bool,
) -> None:
    """List the faces of TANK, numbered for --face; with --out, picture them."""
    from bayonet.jobs.faces import faces as listed
    from bayonet.report.data import graft as graft_data
    from bayonet.report.sheets import faces as picture

    found = listed(tank_file, folder, run=run_of(), patience=patience, progress=progress(as_json))
    if as_json:
        click.echo(graft_data.faces_json(found), nl=False)
    else:
        picture.show(found, console(least=112))
        if folder is not None:
            click.echo(f"Wrote to {folder}: faces.json, faces.png, faces.svg")
