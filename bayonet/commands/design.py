"""`bayonet check`, `make`, `schema`: a design from its file to the last one."""

from __future__ import annotations

import json
import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

from bayonet.commands.common import (
    DESIGN,
    FORCE,
    JSON,
    OUT,
    PROFILE,
    Number,
    Show,
    bar,
    console,
    exit_code,
    guarded,
    profile_of,
    profile_path,
    progress,
    quoted,
    run_of,
    shown_options,
)
from bayonet.errors import BayonetError, ExportError
from bayonet.jobs.usual import USUAL_CHORD_MM, Paper

if TYPE_CHECKING:
    from bayonet.parts import Undetermined

LONG_SAMPLING = 500_000
"""Sampled pairs from which a bar is shown."""


@click.command()
@DESIGN
@JSON
@shown_options
@guarded
def check(design: Path, as_json: bool, shown: Show) -> None:
    """Judge DESIGN: does every plug go in, turn, lock and come out?"""
    from bayonet.checks import check as judge
    from bayonet.parts import Undetermined, load_or_pending
    from bayonet.report.data import result as result_data

    read = load_or_pending(design)
    if isinstance(read, Undetermined):
        _check_pending(read, as_json=as_json, shown=shown)
        return
    short = as_json or shown.quiet or read.spec.production.samples < LONG_SAMPLING
    with bar(short, "sampling") as tell:
        result = judge(read, progress=tell)
    if as_json:
        click.echo(result_data.as_json(result), nl=False)
    else:
        shown.print(result, next_step=f"bayonet make {quoted(design)} --out DIR writes the files.")
    sys.exit(exit_code(result))


def _check_pending(read: Undetermined, *, as_json: bool, shown: Show) -> None:
    """Judge a file with unknown dimensions as far as it can be judged."""
    from bayonet.checks import judge_unknown
    from bayonet.report.data import result as result_data
    from bayonet.report.terminal import findings, screen

    if shown.explain is not None:
        raise BayonetError("--explain needs a design without unknown dimensions")
    with bar(as_json or shown.quiet, "trying values") as tell:
        result = judge_unknown(read, progress=tell)
    if as_json:
        click.echo(result_data.pending_as_json(result), nl=False)
    elif shown.quiet:
        click.echo(f"{result.verdict.value}: {screen.tally(result)}")
    else:
        findings.show(result, console())
    sys.exit(exit_code(result))


@click.command()
@DESIGN
@OUT
@click.option(
    "--chord-mm",
    type=Number(min=0.0005, max=1.0),
    default=USUAL_CHORD_MM,
    show_default=True,
    help="Greatest distance between mesh and exact surface [mm].",
)
@click.option(
    "--paper",
    type=click.Choice(["a4", "letter"]),
    default="a4",
    show_default=True,
    help="Size of the tolerance report's pages.",
)
@PROFILE
@FORCE
@JSON
@shown_options
@guarded
def make(
    design: Path,
    folder: Path,
    chord_mm: float,
    paper: Paper,
    profile_file: Path | None,
    force: bool,  # noqa: ARG001 - read by run_of
    as_json: bool,
    shown: Show,
) -> None:
    """Write the socket of DESIGN as STEP, STL and 3MF, with findings and tolerance report."""
    from bayonet.jobs.design import make as make_files
    from bayonet.parts import load
    from bayonet.report.data import result as result_data

    if str(folder) in ("", "."):
        raise ExportError("--out: name a folder of its own, not the one you stand in")
    read = load(design)
    profile = profile_of(read, design, profile_file)
    quiet = as_json or shown.quiet
    short = quiet or read.spec.production.samples < LONG_SAMPLING
    with bar(short, "sampling") as tell:
        made = make_files(
            read, folder, chord_mm=chord_mm, profile=profile, paper=paper,
            run=run_of(profile_path(read, design, profile_file)),
            progress=progress(quiet or not short), sampling=tell,
        )  # fmt: skip
    if as_json:
        click.echo(result_data.as_json(made.result, files=made.files), nl=False)
    else:
        written = [
            f"Wrote to {made.folder}: {', '.join(made.files)}.",
            f"Meshes lie within {made.chord_mm:.4f} mm of the exact surface.",
        ]
        if profile is not None and read.socket.process != "printed":
            written.append(
                f"The socket is {read.socket.process}: the printer's profile was not used."
            )
        step = (
            f"read {made.folder / 'report.html'}; try the fit first:"
            f" bayonet sample {quoted(design)} --out rings"
        )
        shown.print(made.result, next_step=step, written=written)
    sys.exit(exit_code(made.result))


@click.command()
def schema() -> None:
    """Print a JSON Schema of the design file for editors."""
    from bayonet.designfile import design_schema

    click.echo(json.dumps(design_schema(), indent=1))
