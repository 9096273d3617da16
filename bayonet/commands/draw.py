"""`bayonet draw`: the machinist's drawing."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Any

import click

from bayonet.commands.common import (
    DESIGN,
    FORCE,
    OUT,
    exit_code,
    guarded,
    progress,
    run_of,
)
from bayonet.errors import ExportError


@click.command()
@DESIGN
@OUT
@click.option(
    "--paper",
    type=click.Choice(["a3", "a4", "tabloid", "letter"]),
    default="a3",
    show_default=True,
    help="Size of the sheets.",
)
@click.option(
    "--projection",
    type=click.Choice(["first", "third"]),
    default="first",
    show_default=True,
    help="Angle of projection.",
)
@click.option(
    "--units",
    type=click.Choice(["mm", "in"]),
    default="mm",
    show_default=True,
    help="in: inches stand beside the millimetres.",
)
@FORCE
@guarded
def draw(
    design: Path,
    folder: Path,
    paper: Any,
    projection: Any,
    units: str,
    force: bool,  # noqa: ARG001 - read by run_of
) -> None:
    """Write the machinist's drawing of DESIGN's socket as PDF, SVG and DXF."""
    from bayonet.jobs.draw import draw as draw_files
    from bayonet.parts import load

    if str(folder) in ("", "."):
        raise ExportError("--out: name a folder of its own, not the one you stand in")
    made = draw_files(
        load(design), folder, paper=paper, projection=projection, inch=units == "in",
        run=run_of(), progress=progress(False),
    )  # fmt: skip
    count, scale = len(made.drawing.sheets), made.drawing.scale
    size = f"{scale:g}:1" if scale >= 1.0 else f"1:{round(1.0 / scale):g}"
    click.echo(f"Wrote to {made.folder}: {', '.join(made.files)}.")
    click.echo(f"{count} sheet{'s' if count > 1 else ''} {paper.upper()}, scale {size}.")
    if made.result.verdict.value == "fail":
        click.echo("The design fails its checks: do not make it. See: bayonet check", err=True)
    sys.exit(exit_code(made.result))
