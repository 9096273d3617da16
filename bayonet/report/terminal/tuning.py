"""What tuning changed, as a table for people and as plain data. Computes nothing."""

from __future__ import annotations

from typing import Any

from rich import box
from rich.console import Group, RenderableType
from rich.table import Table
from rich.text import Text

from bayonet.checks import ppm_text, rate_text, share_text, spread_text
from bayonet.tune import Tuned


def fields_of(found: Tuned) -> dict[str, float | None]:
    """Fields of the design file to set; None takes one out.

    Parameters
    ----------
    found : Tuned

    Returns
    -------
    dict
    """
    fields: dict[str, float | None] = {
        "production.yield_share": found.after.design.spec.production.yield_share
    }
    for change in found.changes:
        fields[change.field] = round(change.after, 6)
        if change.field == "socket.seal.bore_diameter":
            fields["socket.seal.squeeze"] = None
    # clearances the process gave before are held, so that nothing else moves
    for key, value in found.design.raw.get("socket", {}).get("clearance", {}).items():
        fields.setdefault(f"socket.clearance.{key}", value)
    return fields


def as_data(found: Tuned) -> dict[str, Any]:
    """The same for other programs.

    Parameters
    ----------
    found : Tuned

    Returns
    -------
    dict
    """
    return {
        "reached": found.reached,
        "why_not": found.why,
        "yield_before": found.before.study.joint_yield,
        "yield_after": found.after.study.joint_yield,
        "verdict_before": found.before.verdict.value,
        "verdict_after": found.after.verdict.value,
        "cost_before": round(found.cost_before, 6),
        "cost_after": round(found.cost_after, 6),
        "changes": [
            {
                "field": one.field,
                "before": round(one.before, 6),
                "after": round(one.after, 6),
                "unit": one.unit,
                "grade": one.grade,
            }
            for one in found.changes
        ],
    }


def table(found: Tuned, source: str) -> RenderableType:
    """Before and after, chain by chain and field by field.

    Parameters
    ----------
    found : Tuned
    source : str
        Of the costs.

    Returns
    -------
    rich renderable
    """
    return Group(
        Text("What changes in the file", style="bold"),
        _fields(found),
        Text("What that does to the chains", style="bold"),
        _chains(found),
        Text(_closing(found), style="bold" if found.reached else "bold red"),
        Text(
            f"Relative cost of the tolerances {found.cost_before:.2f} before,"
            f" {found.cost_after:.2f} after ({source}).",
            style="dim",
        ),
    )


def _fields(found: Tuned) -> Table:
    grid = Table(box=box.HORIZONTALS, pad_edge=False)
    grid.add_column("field")
    for name in ("before", "after"):
        grid.add_column(name, justify="right")
    grid.add_column("unit")
    grid.add_column("grade")
    for one in found.changes:
        sign = "±" if one.field.startswith("socket.tolerance.") else ""
        name = one.field.removeprefix("socket.")
        grid.add_row(name, f"{sign}{one.before:.4g}", f"{sign}{one.after:.4g}", one.unit, one.grade)
    if not found.changes:
        grid.add_row("nothing", "", "", "", "")
    return grid


def _chains(found: Tuned) -> Table:
    grid = Table(box=box.HORIZONTALS, pad_edge=False)
    grid.add_column("chain", overflow="fold", ratio=2)
    for name in ("before", "outside", "after", "outside"):
        grid.add_column(name, overflow="fold", ratio=3 if name != "outside" else 2)
    for old in found.before.study.figures:
        if not old.chain.has_limits:
            continue
        new = found.after.study.of(old.chain.key)
        grid.add_row(
            old.chain.title, spread_text(old), rate_text(old), spread_text(new), rate_text(new)
        )
    return grid


def _closing(found: Tuned) -> str:
    before, after = found.before.study, found.after.study
    text = (
        f"{share_text(before.joint_yield)} of all pairs passed, {share_text(after.joint_yield)}"
        f" do after ({ppm_text(*after.fails.ppm)} fail)."
    )
    return text if found.reached else f"{text} Not reached: {found.why}."
