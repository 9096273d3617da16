"""Designs side by side at a terminal."""

from __future__ import annotations

from rich import box
from rich.console import Console, Group, RenderableType
from rich.table import Table
from rich.text import Text

from bayonet.checks import Comparison
from bayonet.findings import Verdict
from bayonet.report.data import compared as texts
from bayonet.report.terminal.findings import STYLE

_VERDICTS = {verdict.value: STYLE[verdict] for verdict in Verdict}


def compared(found: Comparison) -> RenderableType:
    """A table with a column a design, and why a design cannot be drawn under it.

    Parameters
    ----------
    found : Comparison

    Returns
    -------
    rich renderable
    """
    table = Table(box=box.HORIZONTALS, pad_edge=False)
    table.add_column("", overflow="fold")
    for name in found.names:
        table.add_column(Text(name), justify="right", overflow="fold")
    for heading, rows in texts.sections(found):
        table.add_row(Text(heading, style="bold"), *("" for _ in found.names))
        for what, *values in rows:
            table.add_row(Text(what), *(Text(v, style=_VERDICTS.get(v, "")) for v in values))
        table.add_section()
    refused = [
        Text(f"{name}: {problem}", style=STYLE[Verdict.FAIL])
        for name, problem in zip(found.names, found.problems, strict=True)
        if problem
    ]
    return Group(table, *refused)


def show(found: Comparison, console: Console) -> None:
    """Print it."""
    console.print(compared(found))
