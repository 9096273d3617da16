"""Findings as a table for people at a terminal; plain text where it is not one."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Protocol

from rich import box
from rich.console import Console, Group, RenderableType
from rich.table import Table
from rich.text import Text

from bayonet.designfile import copyable
from bayonet.findings import HEADINGS, Finding, Verdict, margin_text
from bayonet.parts import Design
from bayonet.units import said

STYLE = {
    Verdict.PASS: "green",
    Verdict.LOOK: "yellow",
    Verdict.FAIL: "bold red",
    Verdict.OPEN: "dim",
}
CLOSING = {
    Verdict.PASS: "Nothing fails.",
    Verdict.LOOK: "Nothing fails; read the lines marked look.",
    Verdict.OPEN: "Nothing fails; the lines marked open are not judged.",
    Verdict.FAIL: "This design fails: do not make it before the lines marked fail are mended.",
}


class Judged(Protocol):
    """Anything with findings: a design's result, print-test pieces, a calibration."""

    @property
    def design(self) -> Design: ...  # noqa: D102
    @property
    def verdict(self) -> Verdict: ...  # noqa: D102
    @property
    def findings(self) -> tuple[Finding, ...]: ...  # noqa: D102
    @property
    def assumptions(self) -> tuple[str, ...]: ...  # noqa: D102
    @property
    def headline(self) -> tuple[str, ...]: ...  # noqa: D102
    @property
    def cautions(self) -> tuple[str, ...]: ...  # noqa: D102


def findings(result: Judged, *, closing_lines: Mapping[Verdict, str] = CLOSING) -> RenderableType:
    """The findings of a design, grouped by room, with a closing line.

    Parameters
    ----------
    result : Judged
    closing_lines : mapping
        What to say at the end, by verdict.

    Returns
    -------
    rich renderable
    """
    design = result.design
    head = Text(f"{design.name}", style="bold")
    head.append(f"   revision {design.revision}", style="dim")
    counts = {verdict: sum(f.verdict is verdict for f in result.findings) for verdict in Verdict}
    tally = ", ".join(f"{count} {verdict.value}" for verdict, count in counts.items() if count)
    closing = Text(f"{closing_lines[result.verdict]} ({tally})", style=_style(result.verdict))
    first = [Text(line, style=STYLE[Verdict.FAIL]) for line in result.headline]
    return Group(head, *first, _table(result), closing, *_footnotes(result))


def _style(verdict: Verdict) -> str:
    return "bold" if verdict is Verdict.PASS else STYLE[verdict]


def _table(result: Judged) -> Table:
    table = Table(box=box.HORIZONTALS, pad_edge=False, expand=False, show_header=False)
    table.add_column("verdict", no_wrap=True, min_width=4)
    table.add_column("what", no_wrap=True)
    table.add_column("result", overflow="fold", ratio=1)
    table.add_column("margin", justify="right", no_wrap=True)
    room = ""
    for finding in result.findings:
        first, _, what = finding.code.partition(".")
        if first != room:
            if room:
                table.add_section()
            room = first
            heading = Text(HEADINGS.get(first, first), style="bold")
            margin = Text("margin" if first == "motion" else "", style="dim")
            table.add_row("", heading, "", margin)
        table.add_row(*_row(finding, what, result.design.units))
    return table


def _row(finding: Finding, what: str, units: str) -> tuple[RenderableType, ...]:
    text = Text(said(finding.message, units))
    if finding.change:
        text.append(f"\n-> {copyable(said(finding.change, units), units)}", style="italic")
    return (
        Text(finding.verdict.value, style=STYLE[finding.verdict]),
        Text(what.replace("_", " ")),
        text,
        Text(margin_text(finding)),
    )


def _footnotes(result: Judged) -> list[Text]:
    lines = [Text("Assumed:", style="dim")]
    lines += [Text(f"  {line}", style="dim") for line in result.assumptions]
    lines.append(Text("Caution:", style="dim"))
    lines += [Text(f"  {line}", style="dim") for line in result.cautions]
    return lines


def show(result: Judged, console: Console) -> None:
    """Print the findings."""
    console.print(findings(result))
