"""A scan's dimensions as words and cells, alike on the page and in the terminal."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

if TYPE_CHECKING:  # only the words of types: `bayonet check` stays cheap
    from bayonet.scan.describe import Difference, Pooled
    from bayonet.scan.fit import FeatureValue, ScanResult


def number(value: float, u: float) -> str:
    """A value with the digits its uncertainty leaves meaningful: two digits of U.

    Examples
    --------
    >>> number(12.345678, 0.0042), number(12.345678, 0.3), number(float("nan"), 0.1)
    ('12.3457', '12.35', '-')
    """
    if not math.isfinite(value):
        return "-"
    text = f"{value:.{_digits(u)}f}"
    return text.removeprefix("-") if float(text) == 0.0 else text


def expanded(u: float) -> str:
    """U = 2 u with two meaningful digits."""
    if not (math.isfinite(u) and u > 0.0):
        return "-"
    text = f"{2.0 * u:.{_digits(u)}f}"
    return text if float(text) > 0.0 else "<0.0001"


def _digits(u: float) -> int:
    if not (math.isfinite(u) and u > 0.0):
        return 3
    return min(max(1 - math.floor(math.log10(2.0 * u)), 0), 4)


def in_words(result: ScanResult) -> str:
    """What was found, in a sentence."""
    hand = f"{result.hand} hand" if result.hand else "hand not told by flat lugs"
    kind = "equal" if result.is_equal else "unequal (polarised)"
    groove = "no groove seen" if result.groove == "none" else f"groove: {result.groove}"
    return (
        f"{result.lugs} {kind} lugs with {result.sides} sides, {hand}; {groove.replace('_', ' ')};"
        f" noise {1000 * result.noise_mm:.0f} µm on {len(result.residual_mm)} points."
    )


def feature_cells(one: FeatureValue) -> tuple[str, ...]:
    """A dimension as cells of a table."""
    how = f"{one.found}; {one.note}" if one.note else one.found
    if one.found == "not seen":
        return (one.meaning, "-", "-", f"{one.coverage:.0%}", one.unit, how)
    share = f"{one.coverage:.0%}" if math.isfinite(one.coverage) else "-"
    return (one.meaning, number(one.value, one.u), expanded(one.u), share, one.unit, how)


def difference_cells(row: Difference) -> tuple[str, ...]:
    """A compared dimension as cells of a table."""
    u = row.expanded / 2.0
    verdict = f"{row.verdict} ({row.note})" if row.note else row.verdict
    return (row.meaning, number(row.file, u), number(row.scan, u), number(row.difference, u),
            expanded(u), f"{row.limit:.3g}", row.unit, verdict)  # fmt: skip


def pooled_cells(row: Pooled) -> tuple[str, ...]:
    """A dimension over several samples as cells of a table."""
    scatter = f"{row.scatter:.4f}" if math.isfinite(row.scatter) else "-"
    return (row.meaning, number(row.mean, row.u), expanded(row.u), scatter, str(row.samples),
            row.unit)  # fmt: skip
