"""`bayonet sample`, `calibrate`: print-test pieces, and what they tell of the printer."""

from __future__ import annotations

import sys
from pathlib import Path

import click

from bayonet.commands.common import (
    DESIGN,
    FORCE,
    JSON,
    OUT,
    PROFILE,
    Number,
    console,
    exit_code,
    guarded,
    profile_of,
    profile_path,
    progress,
    run_of,
)
from bayonet.errors import ExportError
from bayonet.exchange import refuse_file
from bayonet.jobs.usual import USUAL_CHORD_MM

_MOST_STEPS = 25


@click.command()
@DESIGN
@OUT
@click.option(
    "--steps", type=click.IntRange(1, _MOST_STEPS), default=5, show_default=True,
    help="Rings on the plate, a clearance step each.",
)  # fmt: skip
@click.option(
    "--step-mm", type=Number(min=0.01, max=2.0), default=0.1, show_default=True,
    help="Clearance from step to step, per side [mm].",
)  # fmt: skip
@click.option(
    "--first-mm", type=Number(), default=None,
    help="First step against the design's own clearance [mm]; left out: one step below, or 0.",
)  # fmt: skip
@click.option(
    "--with-seal/--no-seal", default=False, show_default=True,
    help="Keep the surface the ring seals on.",
)  # fmt: skip
@PROFILE
@click.option(
    "--chord-mm", type=Number(min=0.0005, max=1.0), default=USUAL_CHORD_MM,
    show_default=True, help="Greatest distance between mesh and exact surface [mm].",
)  # fmt: skip
@FORCE
@JSON
@guarded
def sample(
    design: Path,
    folder: Path,
    steps: int,
    step_mm: float,
    first_mm: float | None,
    with_seal: bool,
    profile_file: Path | None,
    chord_mm: float,
    force: bool,  # noqa: ARG001 - read by run_of
    as_json: bool,
) -> None:
    """Write print-test rings of DESIGN: one, and a plate of clearance steps. For fit only."""
    from bayonet.jobs.design import sample as sample_files
    from bayonet.parts import load
    from bayonet.printing import usual_steps
    from bayonet.report.terminal import pieces

    if str(folder) in ("", "."):
        raise ExportError("--out: name a folder of its own, not the one you stand in")
    read = load(design)
    wanted = usual_steps(read.socket, count=steps, step_mm=step_mm, first_mm=first_mm)
    made = sample_files(
        read,
        folder,
        steps_mm=wanted,
        with_seal=with_seal,
        profile=profile_of(read, design, profile_file),
        chord_mm=chord_mm,
        run=run_of(profile_path(read, design, profile_file)),
        progress=progress(as_json),
    )
    if as_json:
        click.echo(pieces.sample_json(made.sample, files=made.files), nl=False)
    else:
        pieces.show_sample(made.sample, console())
        click.echo(f"Wrote to {made.folder}: {', '.join(made.files)}")
        click.echo(f"Meshes lie within {made.chord_mm:.4f} mm of the exact surface.")
    sys.exit(exit_code(made.sample))


@click.command()
@DESIGN
@click.argument("results", type=click.Path(path_type=Path))
@click.option(
    "--out", "file", type=click.Path(path_type=Path), required=True,
    help="Process profile to write.",
)  # fmt: skip
@PROFILE
@click.option("--name", default="", help="Of the profile, for instance printer and material.")
@FORCE
@JSON
@guarded
def calibrate(
    design: Path,
    results: Path,
    file: Path,
    profile_file: Path | None,
    name: str,
    force: bool,  # noqa: ARG001 - read by run_of
    as_json: bool,
) -> None:
    """Learn a printer's offsets from RESULTS of the printed pieces of DESIGN."""
    from bayonet.jobs.design import calibrate as calibrate_printer
    from bayonet.parts import load
    from bayonet.printing import results as results_file
    from bayonet.report.terminal import pieces

    read = load(design)
    run = run_of(profile_path(read, design, profile_file))
    refuse_file(file, run)
    before = profile_of(read, design, profile_file)
    done = calibrate_printer(
        read, results_file.load(results), file, before=before, name=name, run=run
    )
    if as_json:
        click.echo(pieces.calibration_json(done, file=file.name), nl=False)
    else:
        pieces.show_calibration(done, console())
        click.echo(f"Wrote {file}. Use it: --profile {file}, or [printer] profile in the design.")
    sys.exit(exit_code(done))
