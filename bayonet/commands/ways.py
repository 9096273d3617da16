"""`bayonet ways`: constructions of one socket side by side, and the one a shop would choose."""

from __future__ import annotations

import json
import sys
from pathlib import Path

import click

from bayonet.commands.common import (
    DESIGN,
    FORCE,
    JSON,
    console,
    guarded,
    progress,
    run_of,
    write_edited,
)
from bayonet.exchange import refuse_file


@click.command()
@DESIGN
@click.option(
    "--cutters",
    "cutter_file",
    type=click.Path(path_type=Path),
    default=None,
    help="CSV of the shop's disc cutters: diameter, thickness, neck_diameter, reach [mm];"
    " corner_radius and end_mill may be left out.",
)
@click.option(
    "--write",
    "target",
    type=click.Path(path_type=Path),
    default=None,
    help="Design file to write with the recommended way, comments and form kept.",
)
@FORCE
@JSON
@guarded
def ways(
    design: Path,
    cutter_file: Path | None,
    target: Path | None,
    force: bool,  # noqa: ARG001 - read by run_of
    as_json: bool,
) -> None:
    """Compare the ways to make DESIGN's socket, and recommend one."""
    from bayonet.checks import compare_ways
    from bayonet.jobs.shelf import read
    from bayonet.parts import load
    from bayonet.report.terminal import ways as words

    run = run_of()
    if target is not None:
        refuse_file(target, run)
    given = load(design)
    shelf = () if cutter_file is None else read(cutter_file)
    found = compare_ways(given, shelf=shelf, progress=progress(as_json))
    if target is not None and found.best is not None:
        write_edited(design, found.best.fields, target, run)
    if as_json:
        click.echo(json.dumps(words.as_data(found), indent=1, ensure_ascii=False))
    else:
        console(least=100).print(words.table(found))
        if target is not None:
            click.echo(f"{target} was not written." if found.best is None else f"Wrote {target}.")
    sys.exit(0 if found.best is not None else 1)
