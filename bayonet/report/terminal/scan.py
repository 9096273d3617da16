"""A scan's dimensions, comparison and statistics for the terminal and for other programs."""

from __future__ import annotations

import json
import math
from collections.abc import Mapping, Sequence
from dataclasses import asdict
from typing import Any

from rich import box
from rich.console import Console
from rich.table import Table
from rich.text import Text

from bayonet.report.data import difference_cells, feature_cells, in_words, pooled_cells
from bayonet.scan.describe import RULE, Comparison, Population
from bayonet.scan.fit import ScanResult

_STYLES = {"differs": "bold red", "cannot tell": "yellow", "agrees": ""}
_NAME_WIDTH = 16
_FOUND = {"not seen": "dim", "by symmetry": "italic", "measured": ""}


def show(
    results: Sequence[tuple[str, str, ScanResult]],
    *,
    comparison: Comparison | None,
    population: Population | None,
    console: Console,
) -> None:
    """Print what was found, in words and as tables.

    Parameters
    ----------
    results : sequence of (name, unit note, ScanResult)
    comparison, population : optional
    console : Console
    """
    for name, unit_note, result in results:
        console.print(Text(name, style="bold"))
        console.print(Text(f"{in_words(result)} {unit_note}."))
        for text in (*result.warnings, *(f"lug {n + 1}: {what}" for n, what in result.flags)):
            console.print(Text(f"look: {text}", style="yellow"))
    if population is not None:
        console.print(_population(population))
        console.print(Text(_limits(population)))
    elif comparison is None:
        console.print(_features(results[0][2]))
    if comparison is not None:
        console.print(_comparison(comparison))
        console.print(Text(f"{RULE}."))


def _new(*head: str, numeric: int) -> Table:
    table = Table(box=box.HORIZONTALS, padding=(0, 0), expand=False)
    for place, name in enumerate(head):
        is_number = 0 < place <= numeric
        table.add_column(name, justify="right" if is_number else "left", no_wrap=is_number,
                         min_width=_NAME_WIDTH if place == 0 else None)  # fmt: skip
    return table


def _features(result: ScanResult) -> Table:
    table = _new("dimension", "value", "± U (k = 2)", "seen", "unit", "how found", numeric=3)
    for one in (*result.features, *result.form):
        table.add_row(*feature_cells(one), style=_FOUND[one.found])
    return table


def _comparison(comparison: Comparison) -> Table:
    table = _new("dimension", "file", "scan", "difference", "± U", "limit ±", "unit", "verdict",
                 numeric=5)  # fmt: skip
    for text in comparison.structure:
        table.add_row(text, "", "", "", "", "", "", "differs", style=_STYLES["differs"])
    for row in comparison.rows:
        table.add_row(*difference_cells(row), style=_STYLES[row.verdict])
    return table


def _population(population: Population) -> Table:
    table = _new("dimension", "mean", "± U (k = 2)", "scatter s", "samples", "unit", numeric=4)
    for row in population.rows:
        table.add_row(*pooled_cells(row))
    return table


def _limits(population: Population) -> str:
    told = "; ".join(
        f"{one.kind}s ± {one.half_width:.3g} {one.unit} ({one.factor:.2f} s)"
        for one in population.limits
    )
    return (
        f"U is of the mean of these {population.samples} samples. Limits that hold"
        f" {population.coverage:.0%} of the production with {population.confidence:.0%}"
        f" confidence: {told}."
    )


def as_json(
    results: Sequence[tuple[str, str, ScanResult]],
    *,
    comparison: Comparison | None,
    population: Population | None,
    files: Sequence[str],
) -> str:
    """The same for other programs; what is not known is null."""
    whole: dict[str, Any] = {
        "scans": [
            {
                "file": name, "unit": unit_note, "lugs": result.lugs, "hand": result.hand,
                "equal_lugs": result.is_equal, "sides": result.sides, "groove": result.groove,
                "noise_mm": result.noise_mm, "correlation_mm": result.correlation_mm,
                "points_used": len(result.residual_mm), "warnings": list(result.warnings),
                "flags": [{"lug": lug + 1, "what": what} for lug, what in result.flags],
                "dimensions": [asdict(one) for one in result.features],
                "form": [asdict(one) for one in result.form],
                "covariance": {
                    "parameters": list(result.parameters), "matrix": result.covariance.tolist(),
                },
            }
            for name, unit_note, result in results
        ],
        "files": list(files),
    }  # fmt: skip
    if comparison is not None:
        whole["against"] = {"verdict": comparison.verdict, **asdict(comparison)}
    if population is not None:
        whole["population"] = asdict(population)
    return json.dumps(_plain(whole), indent=1, ensure_ascii=False) + "\n"


def _plain(item: Any) -> Any:
    """Nothing JSON does not know: NaN and infinities become null."""
    if isinstance(item, Mapping):
        return {key: _plain(value) for key, value in item.items()}
    if isinstance(item, (list, tuple)):
        return [_plain(value) for value in item]
    if isinstance(item, float) and not math.isfinite(item):
        return None
    return item
