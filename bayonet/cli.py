"""The command line: gathers the commands of `bayonet.commands`.

Exit codes are in `bayonet.commands.boundary`.
"""

from __future__ import annotations

import click

from bayonet import __version__
from bayonet.commands import (
    boundary,
    compare,
    design,
    draw,
    graft,
    live,
    printing,
    scan,
    start,
    table,
    tune,
    ways,
)

COMMANDS = (
    start.measure,
    start.new,
    design.check,
    compare.compare,
    design.make,
    design.schema,
    draw.draw,
    live.live,
    printing.sample,
    printing.calibrate,
    graft.graft,
    graft.faces,
    scan.scan,
    table.table,
    tune.tune,
    ways.ways,
)


@click.group(
    cls=boundary.Program,
    context_settings={"help_option_names": ["-h", "--help"]},
    epilog=boundary.CODES,
)
@click.version_option(__version__, prog_name="bayonet")
def main() -> None:
    """From a measured twist-lock plug to a mating socket, proven before metal is cut."""


for _command in COMMANDS:
    main.add_command(_command)
