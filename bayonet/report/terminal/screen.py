"""The verdict on one screen: what decides, what to do, key sizes, tightest margins, files.

The whole list of findings is in `bayonet.report.terminal.findings`.
"""

from __future__ import annotations

from collections.abc import Sequence

from rich.console import Console, Group, RenderableType
from rich.table import Table
from rich.text import Text

from bayonet.checks import Summary, share_or_ppm, summary
from bayonet.designfile import copyable, explicit_field
from bayonet.findings import Finding, Verdict, plain
from bayonet.report.terminal.findings import CLOSING, STYLE, Judged
from bayonet.units import said, shown

_MOST_OPEN = 6
_TWO_COLUMNS = 112
"""Width from which sizes stand beside margins."""

_LABEL = "bold"
_CODE = 32


def screen(
    result: Judged, *, width: int, next_step: str, written: Sequence[str] = ()
) -> RenderableType:
    """One screen of a result.

    Parameters
    ----------
    result : Judged
    width : int
        Of the terminal, in characters.
    next_step : str
        What to do next, where nothing fails.
    written : sequence of str
        Where files lie, a line each.

    Returns
    -------
    rich renderable
    """
    found = summary(result)
    return Group(
        *_head(result, found, next_step),
        *_listed(found, width, result.design.units),
        Text(),
        _figures(found, width, result.design.units),
        *_foot(result, written),
    )


def tally(result: Judged) -> str:
    """How many findings came out how, as in ``66 pass, 7 look``."""
    counts = {verdict: sum(f.verdict is verdict for f in result.findings) for verdict in Verdict}
    return ", ".join(f"{count} {verdict.value}" for verdict, count in counts.items() if count)


def _head(result: Judged, found: Summary, next_step: str) -> list[Text]:
    design, verdict = result.design, result.verdict
    name = Text(design.name, style="bold")
    name.append(f"   revision {design.revision}", style="dim")
    line = Text(f"{verdict.value.upper()}  ", style=STYLE[verdict])
    line.append(CLOSING[verdict], style="bold")
    line.append(f" ({tally(result)})")
    warned = [Text(text, style=STYLE[Verdict.FAIL]) for text in result.headline]
    step = Text("Next: ", style="bold")
    step.append(_mending(found.failing, design.units) or next_step)
    return [name, line, *warned, step]


def _mending(failing: Sequence[Finding], units: str) -> str:
    """What to do where something fails: the first proposal that was tried, else the first words."""
    if not failing:
        return ""
    first = next((one for one in failing if one.mends), None)
    if first is not None:
        return f"{_fields(first, units)} in the design file: {first.code} then passes."
    told = next((one for one in failing if one.change), failing[0])
    return f"{copyable(told.change or told.message, units)} ({told.code})"


def _fields(finding: Finding, units: str) -> str:
    words = []
    for field, value in finding.mends:
        words.append(
            f"take {field} out"
            if value is None
            else f"set {field} = {_toml(explicit_field(field, value, units))}"
        )
    return ", ".join(words)


def _toml(value: float | int | str) -> str:
    return f'"{value}"' if isinstance(value, str) else f"{value:g}"


def _listed(found: Summary, width: int, units: str) -> list[RenderableType]:
    if not (found.failing or found.looking or found.open_ones):
        return []
    table = Table.grid(padding=(0, 1), expand=False)
    table.add_column(no_wrap=True, min_width=4)
    table.add_column(no_wrap=True, max_width=_CODE, overflow="ellipsis")
    table.add_column(overflow="fold")
    listed = (*found.failing, *found.looking, *found.open_ones)
    left = max(24, width - 4 - min(_CODE, max(len(one.code) for one in listed)) - 2)
    for one in found.failing:
        text = Text(said(one.message, units))
        if one.change:
            text.append(f"\n-> {copyable(said(one.change, units), units)}", style="italic")
        table.add_row(*_named(one), text)
    few = found.open_ones if len(found.open_ones) <= _MOST_OPEN else ()
    for one in (*found.looking, *few):
        table.add_row(*_named(one), Text(_clipped(said(one.message, units), left)))
    if not few and found.open_ones:
        codes = ", ".join(one.code for one in found.open_ones)
        table.add_row(
            Text("open", style=STYLE[Verdict.OPEN]), Text(f"{len(found.open_ones)}"), codes
        )
    return [Text(), table]


def _named(one: Finding) -> tuple[Text, Text]:
    return Text(one.verdict.value, style=STYLE[one.verdict]), Text(one.code)


def _clipped(text: str, width: int) -> str:
    """The first line of a message, at most so many characters."""
    line = " ".join(text.split())
    return line if len(line) <= width else f"{line[: width - 1].rstrip()}…"


def _figures(found: Summary, width: int, units: str) -> RenderableType:
    blocks = [_sizes(found, units)]
    if found.margins:
        blocks.append(_margins(found))
    if found.readings:
        blocks.append(_readings(found))
    if width < _TWO_COLUMNS or len(blocks) == 1:
        return Group(*blocks)
    side = Table.grid(padding=(0, 4), expand=False)
    side.add_column()
    side.add_column()
    side.add_row(blocks[0], Group(*blocks[1:]))
    return side


def _sizes(found: Summary, units: str) -> RenderableType:
    table = Table.grid(padding=(0, 2), expand=False)
    table.add_column(no_wrap=True)
    table.add_column(justify="right", no_wrap=True)
    table.add_row(Text("Key sizes of the socket", style=_LABEL), "")
    for row in found.sizes:
        value, unit = shown(row.value, row.unit, units)
        half = ""
        if row.half_width is not None:
            half = f" ±{plain(shown(row.half_width, row.unit, units)[0], 2)}"
        digits = 4 if unit.startswith("in") else 2
        table.add_row(row.meaning, f"{value:.{digits}f}{half} {unit}")
    return table


def _margins(found: Summary) -> RenderableType:
    table = Table.grid(padding=(0, 2), expand=False)
    table.add_column()
    table.add_column(justify="right", no_wrap=True)
    table.add_column(justify="right", no_wrap=True)
    table.add_row(Text("Tightest margins", style=_LABEL), "", "")
    for one in found.margins:
        margin = f"{plain(one.margin, 2, sign=True)} {one.unit}"
        table.add_row(one.what, Text(one.text, style="dim"), margin)
    return table


def _readings(found: Summary) -> RenderableType:
    table = Table.grid(padding=(0, 2), expand=False)
    table.add_column()
    table.add_column(no_wrap=True)
    table.add_column()
    table.add_row(Text("Measure next", style=_LABEL), "", "")
    for one in found.readings:
        cost = f"{share_or_ppm(one.fewer, 2)} fewer fail" if one.fewer > 0.0 else ""
        narrows = f"{100 * one.narrows:.0f} % of the spread in {one.chain}"
        table.add_row(one.meaning, Text(cost, style="dim"), Text(narrows, style="dim"))
    return table


def _foot(result: Judged, written: Sequence[str]) -> list[Text]:
    lines = [Text()]
    lines += [Text(line) for line in written]
    lines.append(Text("All findings: --all. One, with how it comes about: --explain CODE.", "dim"))
    lines.append(Text(f"Caution: {' '.join(result.cautions[1:])}", style="dim"))
    return lines


def show(result: Judged, console: Console, *, next_step: str, written: Sequence[str] = ()) -> None:
    """Print the screen."""
    console.print(screen(result, width=console.width, next_step=next_step, written=written))
