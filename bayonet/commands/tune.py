"""`bayonet tune`: nominals and grades that reach a yield at least cost."""

from __future__ import annotations

import json
import sys
from pathlib import Path
from typing import Any

import click

from bayonet.commands.common import DESIGN, JSON, guarded, progress
from bayonet.errors import ExportError
from bayonet.exchange import write_whole


@click.command()
@DESIGN
@click.option(
    "--yield",
    "yield_share",
    type=click.FloatRange(0.5, 0.9999999, min_open=True),
    default=0.9973,
    show_default=True,
    help="Share of plug and socket pairs that must pass everything.",
)
@click.option(
    "--cost",
    "cost_file",
    type=click.Path(path_type=Path),
    default=None,
    help="CSV with the columns grade, machined, cast, printed; left out: the package's table.",
)
@click.option(
    "--write",
    "target",
    type=click.Path(path_type=Path),
    default=None,
    help="Design file to write, comments kept; must not exist yet.",
)
@JSON
@guarded
def tune(
    design: Path, yield_share: float, cost_file: Path | None, target: Path | None, as_json: bool
) -> None:
    """Change nominals and tolerances of DESIGN so that a yield is reached at least cost."""
    from bayonet.parts import load
    from bayonet.report.terminal import tuning as words
    from bayonet.tune import cost
    from bayonet.tune import tune as work

    if target is not None and target.exists():
        raise ExportError(f"{target}: exists already; choose another name")
    read = load(design)
    process = read.socket.process
    table = cost.usual(process) if cost_file is None else cost.read(cost_file, process)
    found = work(read, table, yield_share=yield_share, progress=progress(as_json))
    if target is not None and found.reached:
        _write(design.read_text("utf-8-sig"), words.fields_of(found), target)
    if as_json:
        click.echo(json.dumps(words.as_data(found), indent=1, ensure_ascii=False))
    else:
        _show(found, table.source, target)
    sys.exit(0 if found.reached else 1)


def _show(found: Any, source: str, target: Path | None) -> None:
    from rich.console import Console

    from bayonet.report.terminal import tuning as words

    Console(highlight=False).print(words.table(found, source))
    if target is not None:
        click.echo(f"Wrote {target}." if found.reached else f"{target} was not written.")


def _write(text: str, fields: dict[str, float | None], target: Path) -> None:
    """The user's own file with some fields set, everything else as it was."""
    import tomlkit

    document = tomlkit.parse(text)
    for path, value in fields.items():
        *tables, key = path.split(".")
        table: Any = document
        for name in tables:
            if name not in table:
                table[name] = tomlkit.table()
            table = table[name]
        if value is None:
            table.pop(key, None)
        else:
            table[key] = value
    try:
        target.parent.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise ExportError(f"{target}: cannot be written: {error.strerror or error}") from error
    write_whole(target, tomlkit.dumps(document))
