"""`bayonet graft` and `bayonet faces`: the socket becomes part of a tank."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import click

from bayonet.commands.common import DESIGN, JSON, OUT, guarded, progress
from bayonet.model.graft import Land, Wishes
from bayonet.model.placement import Triple
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
        if not self._lengths and not any(numbers):
            self.fail(f"{value!r} has no direction", param, ctx)
        return (numbers[0], numbers[1], numbers[2])


POINT = _Coordinates(lengths=True)
DIRECTION = _Coordinates(lengths=False)


@click.command()
@DESIGN
@click.option("--tank", "tank_file", type=click.Path(path_type=Path), help="STEP file of the tank.")
@click.option("--at", type=POINT, help="Point on the wall, tank coordinates [mm].")
@click.option("--face", type=click.IntRange(min=1), help="Number of a face; see `bayonet faces`.")
@click.option("--toward", type=DIRECTION, help="Out along the axis; left out: the wall's normal.")
@click.option("--clock", "clock_deg", type=float, help="Turn of the socket [deg].")
@click.option("--proud", "proud_mm", type=float, help="Mouth face above the wall [mm].")
@OUT
@JSON
@guarded
def graft(design: Path, tank_file: Path, folder: Path, as_json: bool, **wished: Any) -> None:
    """Graft the socket of DESIGN onto a tank."""
    from bayonet.jobs.graft import graft as make
    from bayonet.model.design import load

    wishes = Wishes(**{key: value for key, value in wished.items() if value is not None})
    made = make(load(design), tank_file, folder, wishes=wishes, progress=progress(as_json))
    click.echo(f"Wrote to {made.folder}: {', '.join(made.files)}")


_ = Land
