"""`bayonet tune`: nominals and grades that reach a yield at least cost."""

from __future__ import annotations

import json
import sys
from pathlib import Path
from typing import Any

import click

from bayonet.commands.common import (
    DESIGN,
    FORCE,
    JSON,
    Number,
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
    "--yield",
    "yield_share",
    type=Number(0.5, 0.9999999, min_open=True),
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
    help="Design file to write, comments and form kept.",
)
@FORCE
@JSON
@guarded
def tune(
    design: Path,
    yield_share: float,
    cost_file: Path | None,
    target: Path | None,
    force: bool,  # noqa: ARG001 - read by run_of
    as_json: bool,
) -> None:
    """Change nominals and tolerances of DESIGN so that a yield is reached at least cost."""
    from bayonet.parts import load
    from bayonet.report.terminal import tuning as words
    from bayonet.tune import cost
    from bayonet.tune import tune as work

    run = run_of()
    if target is not None:
        refuse_file(target, run)
    read = load(design)
    process = read.socket.process
    table = cost.usual(process) if cost_file is None else cost.read(cost_file, process)
    found = work(read, table, yield_share=yield_share, progress=progress(as_json))
    if target is not None and found.reached:
        write_edited(design, words.fields_of(found), target, run)
    if as_json:
        click.echo(json.dumps(words.as_data(found), indent=1, ensure_ascii=False))
    else:
        _show(found, table.source, target)
    sys.exit(0 if found.reached else 1)


def _show(found: Any, source: str, target: Path | None) -> None:
    from bayonet.report.terminal import tuning as words

    console().print(words.table(found, source))
    if target is not None:
        click.echo(f"Wrote {target}." if found.reached else f"{target} was not written.")
