"""Rules of the plug's correlations: what one row says must be possible beside all the others."""

from __future__ import annotations

import numpy as np
from pydantic import BaseModel

from bayonet.designfile.measured import Measured
from bayonet.designfile.plug_table import PlugTable
from bayonet.designfile.problems import ProblemList

_PATH = ("plug", "correlation")

LEAST_EIGENVALUE = 1e-9
"""From which a correlation matrix counts as positive definite: a billion times the rounding of
one with a hundred rows, so that what passes can also be factored."""


def check_correlations(plug: PlugTable, problems: ProblemList) -> None:
    """Note every row that names no measured value, says a thing twice, or cannot be.

    Parameters
    ----------
    plug : PlugTable
    problems : ProblemList
        Receives what is found.
    """
    seen: dict[frozenset[str], int] = {}
    known: dict[frozenset[str], float] = {}
    for number, row in enumerate(plug.correlation):
        path = (*_PATH, number, "between")
        missing = [name for name in row.between if not _is_measured(plug, name)]
        for name in missing:
            problems.add(path, f"{name!r} is no measured value given in [plug]")
        pair = frozenset(row.between)
        if len(pair) < 2:
            problems.add(path, "must name two different fields")
        elif pair in seen:
            first = seen[pair] + 1
            problems.add(path, f"these two are already given in row {first}: give them once")
        elif not missing:
            known[pair] = row.r
        seen.setdefault(pair, number)
    if known and not _possible(known):
        problems.add(
            _PATH,
            "no values can be correlated like this: the matrix of all r is not positive definite"
            " (if a goes with b, and b with c, then a goes with c)",
        )


def _is_measured(plug: PlugTable, name: str) -> bool:
    found: object = plug
    for part in name.split("."):
        if isinstance(found, tuple) and part.isdecimal() and part.isascii() and len(part) < 4:
            found = found[int(part)] if int(part) < len(found) else None
        elif isinstance(found, BaseModel) and part in type(found).model_fields:
            found = getattr(found, part)
        else:
            return False
    return isinstance(found, Measured)


def _possible(known: dict[frozenset[str], float]) -> bool:
    names = sorted(set().union(*known))
    matrix = np.eye(len(names))
    for pair, r in known.items():
        one, other = (names.index(name) for name in sorted(pair))
        matrix[one, other] = matrix[other, one] = r
    return float(np.linalg.eigvalsh(matrix)[0]) > LEAST_EIGENVALUE
