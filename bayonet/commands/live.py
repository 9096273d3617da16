"""`bayonet live`: the design in the browser, on this machine only."""

from __future__ import annotations

import sys
from pathlib import Path

import click

from bayonet.commands.common import guarded


@click.command()
@click.argument("design", type=click.Path(path_type=Path), required=False)
@click.option(
    "--out",
    "folder",
    type=click.Path(path_type=Path),
    help="Folder Make files writes to; left out: the design file's name, beside it.",
)
@click.option("--no-browser", is_flag=True, help="Print the address only.")
@guarded
def live(design: Path | None, folder: Path | None, no_browser: bool) -> None:
    """Show DESIGN in the browser: change it, see it move, save it, make its files.

    Without DESIGN it starts from the starting file, saved as my_valve.toml here.
    """
    try:
        from bayonet.live import run
    except ModuleNotFoundError as error:
        if error.name not in ("starlette", "uvicorn"):
            raise
        click.echo(f"bayonet live needs {error.name}: pip install starlette uvicorn", err=True)
        sys.exit(2)
    if design is not None:
        from bayonet import inputs

        inputs.content(design, most_bytes=1_000_000, what="a design file")
    place = design or Path("my_valve.toml")
    run(design, folder or place.with_suffix(""), open_browser=not no_browser, tell=click.echo)
