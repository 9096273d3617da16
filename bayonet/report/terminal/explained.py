"""One finding with its formula, the numbers put in, its source and what moves it."""

from __future__ import annotations

from rich.console import Console, Group, RenderableType
from rich.table import Table
from rich.text import Text

from bayonet.checks import Explained, Mover
from bayonet.findings import margin_text, plain
from bayonet.report.terminal.findings import STYLE


def explained(found: Explained) -> RenderableType:
    """The finding as a list of what is known of it, and a table of what moves it.

    Parameters
    ----------
    found : Explained

    Returns
    -------
    rich renderable
    """
    one = found.finding
    head = Text(f"{one.verdict.value.upper()}  ", style=STYLE[one.verdict])
    head.append(one.code, style="bold")
    table = Table.grid(padding=(0, 2))
    table.add_column(no_wrap=True, style="bold")
    table.add_column(overflow="fold")
    rows = (
        ("judges", found.judges),
        ("result", one.message),
        ("formula", found.formula),
        ("value", _number(one.value, one.unit)),
        ("limit", _number(one.limit, one.unit)),
        ("margin", margin_text(one)),
        ("source", one.source),
        ("change", one.change),
    )
    for name, text in rows:
        if text:
            table.add_row(name, Text(text))
    return Group(head, Text(), table, Text(), _movers(found))


def _number(value: float | None, unit: str) -> str:
    return "" if value is None else f"{plain(value, 4)} {'' if unit == '-' else unit}".rstrip()


def _movers(found: Explained) -> RenderableType:
    if not found.movers:
        return Text("No number of the design file moves it.", style="dim")
    of_chain = found.movers[0].value is None
    table = Table.grid(padding=(0, 2))
    table.add_column()
    table.add_column(justify="right", no_wrap=True)
    table.add_column(justify="right", no_wrap=True)
    table.add_column(justify="right", no_wrap=True)
    table.add_row(
        *(Text(word, style="bold") for word in (
            "Dimension" if of_chain else "Field", "" if of_chain else "now",
            "within" if of_chain else "if changed by", _head(found),
        ))
    )  # fmt: skip
    for one in found.movers:
        table.add_row(*_row(one, found.finding.unit))
    return table


def _head(found: Explained) -> str:
    """What the last column holds."""
    if found.movers[0].value is None:
        return "moves it by"
    return "moves it by" if found.finding.margin is None else "moves the margin by"


def _row(one: Mover, unit: str) -> tuple[str, str, str, str]:
    by = f"{plain(one.moves, 3, sign=True)} {'' if unit == '-' else unit}".rstrip()
    if one.value is None:
        return one.name, "", f"±{plain(one.step, 2)}", f"±{by.lstrip('+-')}"
    step = f"{plain(one.step, 2, sign=True)} {one.unit}".rstrip()
    return one.name, f"{plain(one.value, 4)} {one.unit}".rstrip(), step, by


def show(found: Explained, console: Console) -> None:
    """Print it."""
    console.print(explained(found))
