"""Many designs at once: every combination of some fields, checked, as records and a plain table."""

from __future__ import annotations

import itertools
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from bayonet.checks import check
from bayonet.errors import DesignError
from bayonet.findings import Finding
from bayonet.parts import Design

MOST = 10_000
"""Combinations of one sweep: at 0.2 s each, half an hour."""


@dataclass(frozen=True, kw_only=True)
class Row:
    """One combination.

    Parameters
    ----------
    values : mapping
        Dotted fields and what they were set to.
    verdict : str
        ``pass``, ``look``, ``fail`` or ``open``; ``refused`` where it cannot be drawn.
    yield_share : float
        Share of pairs of plug and socket that pass every chain [-]; NaN where refused.
    findings : mapping of str to Finding
        The worst finding of each code.
    problem : str
        Why it cannot be drawn; else empty.
    """

    values: Mapping[str, Any]
    verdict: str
    yield_share: float
    findings: Mapping[str, Finding]
    problem: str = ""


@dataclass(frozen=True, kw_only=True)
class Sweep:
    """What `sweep` found, in the order of the combinations."""

    rows: tuple[Row, ...]

    def __iter__(self) -> Any:
        """The rows."""
        return iter(self.rows)

    def __len__(self) -> int:
        return len(self.rows)

    def column(self, name: str) -> NDArray[Any]:
        """One column over all rows.

        Parameters
        ----------
        name : str
            A varied field, ``verdict``, ``yield_share``, ``problem``, or a finding's code: its
            value; ``CODE.margin`` and ``CODE.verdict`` give these. NaN, or an empty text, where
            a row has no such number.

        Returns
        -------
        array, one item a row
        """
        return np.array([_cell(row, name) for row in self.rows])

    def table(self, *names: str) -> dict[str, NDArray[Any]]:
        """Columns by name: varied fields, verdict, yield, and those asked for.

        Examples
        --------
        >>> import bayonet
        >>> design = bayonet.loads(bayonet.starting_file())
        >>> found = bayonet.sweep(design, {"socket.wall": (4.0, 5.0)})
        >>> [float(w) for w in found.table("seal.squeeze")["socket.wall"]]
        [4.0, 5.0]
        """
        varied = tuple(self.rows[0].values) if self.rows else ()
        wanted = (*varied, "verdict", "yield_share", *names)
        return {name: self.column(name) for name in wanted}


def sweep(
    design: Design,
    fields: Mapping[str, Iterable[Any]],
    *,
    progress: Callable[[float], None] = lambda _: None,
) -> Sweep:
    """Check every combination of some fields' values.

    Parameters
    ----------
    design : Design
    fields : mapping of str to iterable
        Dotted fields of the design file and the values to try, as in
        ``{"plug.lugs.count": range(2, 7)}``; the last one varies fastest.
    progress : callable
        Told the share done.

    Returns
    -------
    Sweep
        A combination that cannot be drawn is a row with its problem, not an error.

    Raises
    ------
    ValueError
        If there are no combinations, or more than 10 000.
    """
    tried = {name: list(values) for name, values in fields.items()}
    total = int(np.prod([len(values) for values in tried.values()], dtype=object))
    if not 0 < total <= MOST or not tried:
        raise ValueError(f"{total} combinations: give 1 to {MOST}")
    rows = []
    for done, values in enumerate(itertools.product(*tried.values()), start=1):
        rows.append(_row(design, dict(zip(tried, values, strict=True))))
        progress(done / total)
    return Sweep(rows=tuple(rows))


def _row(design: Design, values: Mapping[str, Any]) -> Row:
    try:
        result = check(design.with_(values))
    except DesignError as error:
        return Row(
            values=values, verdict="refused", yield_share=float("nan"), findings={},
            problem=str(error),
        )  # fmt: skip
    return Row(
        values=values, verdict=result.verdict.value, yield_share=result.study.joint_yield,
        findings={one.code: result[one.code] for one in result.findings},
    )  # fmt: skip


def _cell(row: Row, name: str) -> Any:
    if name in row.values:
        return row.values[name]
    if name in ("verdict", "yield_share", "problem"):
        return getattr(row, name)
    code, _, what = name, "", "value"
    for part in ("margin", "verdict"):
        if name.endswith(f".{part}"):
            code, what = name.removesuffix(f".{part}"), part
    one = row.findings.get(code)
    if what == "verdict":
        return "" if one is None else one.verdict.value
    value = None if one is None else getattr(one, what)
    return float("nan") if value is None else value
