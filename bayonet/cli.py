"""The command line: `bayonet new`, `check`, `make`, `schema`, `table`.

Exit codes: 0 nothing fails, 1 a finding fails, 2 bad input or nothing could be written.
"""

from __future__ import annotations

import json
import sys
from collections.abc import Callable
from functools import wraps
from pathlib import Path
from typing import Any, NoReturn

import click

from bayonet import __version__
from bayonet.errors import BayonetError, DesignError, ExportError
from bayonet.job import USUAL_CHORD_MM

_DESIGN = click.argument("design", type=click.Path(path_type=Path))
_JSON = click.option("--json", "as_json", is_flag=True, help="Print JSON for other programs.")


@click.group(context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(__version__, prog_name="bayonet")
def main() -> None:
    """From a measured twist-lock plug to a mating socket, proven before metal is cut."""


def _guarded(command: Callable[..., None]) -> Callable[..., None]:
    """Turn every error of the package into plain words and exit code 2."""

    @wraps(command)
    def run(*args: Any, **kwargs: Any) -> None:
        try:
            command(*args, **kwargs)
        except BayonetError as error:
            _refuse(error, as_json=bool(kwargs.get("as_json")))

    return run


def _refuse(error: BayonetError, *, as_json: bool) -> NoReturn:
    problems = error.problems if isinstance(error, DesignError) else ()
    if as_json:
        rows = [vars(problem) for problem in problems] or [{"rule": str(error)}]
        click.echo(json.dumps({"verdict": "bad input", "problems": rows}, indent=1))
    elif problems:
        word = "problem" if len(problems) == 1 else "problems"
        click.echo(f"{len(problems)} {word}; nothing was written.", err=True)
        for problem in problems:
            click.echo(f"  {problem}", err=True)
    else:
        click.echo(f"error: {error}", err=True)
    sys.exit(2)


@main.command()
@click.argument("design", type=click.Path(path_type=Path))
@_guarded
def new(design: Path) -> None:
    """Write a commented starting file to DESIGN."""
    from bayonet.job import starting_file

    try:
        with design.open("x", encoding="utf-8") as stream:
            stream.write(starting_file())
    except FileExistsError:
        raise ExportError(f"{design}: exists already; choose another name") from None
    except OSError as error:
        raise ExportError(f"{design}: cannot be written: {error.strerror}") from error
    click.echo(f"Wrote {design}. Put your measurements in, then: bayonet check {design}")


@main.command()
@_DESIGN
@_JSON
@_guarded
def check(design: Path, as_json: bool) -> None:
    """Judge DESIGN: does every plug go in, turn, lock and come out?"""
    from bayonet.checks.run import check as judge
    from bayonet.model.design import load
    from bayonet.report import machine

    result = judge(load(design))
    if as_json:
        click.echo(machine.as_json(result), nl=False)
    else:
        _show(result)
    sys.exit(_exit_code(result))


@main.command()
@_DESIGN
@click.option(
    "--out", "folder", type=click.Path(path_type=Path), required=True, help="Folder to write to."
)
@click.option(
    "--chord-mm",
    type=click.FloatRange(min=0.0005, max=1.0),
    default=USUAL_CHORD_MM,
    show_default=True,
    help="Greatest distance between mesh and exact surface [mm].",
)
@_JSON
@_guarded
def make(design: Path, folder: Path, chord_mm: float, as_json: bool) -> None:
    """Write the socket of DESIGN as STEP, STL and 3MF, with findings and picture."""
    from bayonet.job import make as make_files
    from bayonet.model.design import load
    from bayonet.report import machine

    if str(folder) in ("", "."):
        raise ExportError("--out: name a folder of its own, not the one you stand in")
    read = load(design)
    made = make_files(read, folder, chord_mm=chord_mm, progress=_progress(as_json))
    if as_json:
        click.echo(machine.as_json(made.result, files=made.files), nl=False)
    else:
        _show(made.result)
        click.echo(f"Wrote to {made.folder}: {', '.join(made.files)}")
        click.echo(f"Meshes lie within {made.chord_mm:.4f} mm of the exact surface.")
    sys.exit(_exit_code(made.result))


@main.command()
def schema() -> None:
    """Print a JSON Schema of the design file for editors."""
    from bayonet.model.schema import design_schema

    click.echo(json.dumps(design_schema(), indent=1))


@main.group()
def table() -> None:
    """Look up rings, glands, limits and materials; nothing outside a table is ever guessed."""


def _printed(rows: list[dict[str, Any]], *, as_json: bool) -> None:
    if as_json:
        click.echo(json.dumps(rows, indent=1, ensure_ascii=False))
        return
    from rich.console import Console

    from bayonet.report import lookups

    Console(highlight=False).print(lookups.as_table(rows))


@table.command("ring", context_settings={"ignore_unknown_options": True})
@click.argument("designation")
@_JSON
@_guarded
def table_ring(designation: str, as_json: bool) -> None:
    """Show an AS568 ring by its dash number, for example 118."""
    from bayonet.report import lookups

    _printed(lookups.ring(designation), as_json=as_json)


@table.command("groove")
@click.argument("diameter_mm", type=float)
@click.argument("width_mm", type=float)
@click.argument("body_diameter_mm", type=float)
@_JSON
@_guarded
def table_groove(
    diameter_mm: float, width_mm: float, body_diameter_mm: float, as_json: bool
) -> None:
    """Rank the rings for a radial groove: its bottom's diameter, width, and the body's diameter."""
    from bayonet.report import lookups

    rows = lookups.groove(diameter_mm, width_mm, body_diameter_mm)
    _printed(rows, as_json=as_json)


@table.command("gland")
@click.argument("section_mm", type=float)
@click.option("--face", is_flag=True, help="Face seal; else radial.")
@_JSON
@_guarded
def table_gland(section_mm: float, face: bool, as_json: bool) -> None:
    """Show the printed static glands for a ring section."""
    from bayonet.report import lookups

    _printed(lookups.gland(section_mm, face=face), as_json=as_json)


@table.command("fit")
@click.argument("size_mm", type=float)
@click.argument("classes")
@_JSON
@_guarded
def table_fit(size_mm: float, classes: str, as_json: bool) -> None:
    """Show ISO 286 limits of one class (H7), or of a fit and its clearance (H7/g6)."""
    from bayonet.report import lookups

    _printed(lookups.fit(size_mm, classes), as_json=as_json)


@table.command("general")
@click.argument("size_mm", type=float)
@_JSON
@_guarded
def table_general(size_mm: float, as_json: bool) -> None:
    """Show ISO 2768-1 tolerances of a length, fine to very coarse."""
    from bayonet.report import lookups

    _printed(lookups.general(size_mm), as_json=as_json)


@table.command("elastomer")
@click.argument("name")
@_JSON
@_guarded
def table_elastomer(name: str, as_json: bool) -> None:
    """Show a ring compound's service range and expansion, for example NBR."""
    from bayonet.report import lookups

    _printed(lookups.elastomer(name), as_json=as_json)


@table.command("gap")
@click.argument("pressure_mpa", type=float)
@_JSON
@_guarded
def table_gap(pressure_mpa: float, as_json: bool) -> None:
    """Show the gap a ring bridges at a pressure [MPa] without a back-up ring."""
    from bayonet.report import lookups

    _printed(lookups.gap(pressure_mpa), as_json=as_json)


def _show(result: Any) -> None:
    from rich.console import Console

    from bayonet.report import table

    table.show(result, Console(highlight=False, soft_wrap=False))


def _progress(quiet: bool) -> Callable[[str], None]:
    if quiet or not sys.stderr.isatty():
        return lambda _: None
    return lambda text: click.echo(f"... {text}", err=True)


def _exit_code(result: Any) -> int:
    return 1 if result.verdict.value == "fail" else 0
