"""Designs side by side: what differs in input, verdicts, sizes, margins, yield and load."""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from bayonet.checks.chains import shown_in
from bayonet.checks.run import Result, check
from bayonet.designfile import as_written
from bayonet.errors import DesignError
from bayonet.parts import Design

MOST = 24
"""Designs side by side; more of them make a sweep (`bayonet.sweep`)."""


@dataclass(frozen=True, kw_only=True)
class Line:
    """One quantity over all designs.

    Parameters
    ----------
    about : str
        ``input``, ``verdict``, ``size``, ``margin``, ``yield`` or ``load``.
    key : str
        Field, finding's code, or key of the dimension or chain.
    meaning : str
    unit : str
    values : tuple
        One a design: a number, a text, or None where the design has no such quantity.
    """

    about: str
    key: str
    meaning: str
    unit: str
    values: tuple[Any, ...]

    @property
    def differs(self) -> bool:
        """Whether the designs are not all alike in it."""
        return any(value != self.values[0] for value in self.values[1:])


@dataclass(frozen=True, kw_only=True)
class Comparison:
    """Designs side by side.

    Parameters
    ----------
    names : tuple of str
    results : tuple of (Result or None)
        None where a design cannot be drawn; ``problems`` says why.
    problems : tuple of str
    lines : tuple of Line
    """

    names: tuple[str, ...]
    results: tuple[Result | None, ...]
    problems: tuple[str, ...]
    lines: tuple[Line, ...]

    def about(self, *what: str) -> tuple[Line, ...]:
        """The lines about one thing, or several."""
        return tuple(one for one in self.lines if one.about in what)

    def table(self) -> dict[str, NDArray[Any]]:
        """Every line as a column with one item a design, by key; NaN where a number is missing.

        Examples
        --------
        >>> import bayonet
        >>> design = bayonet.loads(bayonet.starting_file())
        >>> found = compare(
        ...     {"5": design.with_({"socket.wall": 5.0}), "6": design.with_({"socket.wall": 6.0})}
        ... )
        >>> [float(size) for size in found.table()["boss_diameter"]]
        [51.0, 53.0]
        """
        columns = {}
        for one in self.lines:
            numbers = all(value is None or isinstance(value, float) for value in one.values)
            blank: Any = math.nan if numbers else ""
            columns[one.key] = np.array([blank if v is None else v for v in one.values])
        return {"name": np.array(self.names), **columns}


def compare(
    designs: Mapping[str, Design | DesignError],
    *,
    progress: Callable[[float], None] = lambda _: None,
) -> Comparison:
    """Check designs and put what was found side by side.

    Parameters
    ----------
    designs : mapping of str
        Designs by the name they shall have; the error of one that cannot be drawn.
    progress : callable
        Told the share done.

    Returns
    -------
    Comparison

    Raises
    ------
    ValueError
        If there are fewer than two, or more than 24.
    """
    if not 2 <= len(designs) <= MOST:
        raise ValueError(f"{len(designs)} designs: give 2 to {MOST}")
    results: list[Result | None] = []
    for done, one in enumerate(designs.values(), start=1):
        results.append(None if isinstance(one, DesignError) else check(one))
        progress(done / len(designs))
    drawn = [one for one in designs.values() if isinstance(one, Design)]
    columns: list[Design | None] = [o if isinstance(o, Design) else None for o in designs.values()]
    lines = (*_inputs(columns), *_verdicts(results), *_figures(results)) if drawn else ()
    return Comparison(
        names=tuple(designs),
        results=tuple(results),
        problems=tuple(str(o) if isinstance(o, DesignError) else "" for o in designs.values()),
        lines=lines,
    )


def variants(
    design: Design, fields: Mapping[str, Sequence[Any]]
) -> dict[str, Design | DesignError]:
    """Designs with every combination of some fields' values, by name.

    Parameters
    ----------
    design : Design
    fields : mapping of str to sequence
        Dotted fields and their values.

    Returns
    -------
    dict
        A combination that cannot be drawn is its error.
    """
    found: dict[str, Design | DesignError] = {}
    for values in itertools.product(*fields.values()):
        changes = dict(zip(fields, values, strict=True))
        name = ", ".join(f"{key.rpartition('.')[2]} {value}" for key, value in changes.items())
        try:
            found[name] = design.with_(changes)
        except DesignError as error:
            found[name] = error
    return found


def _inputs(designs: Sequence[Design | None]) -> Iterator[Line]:
    leaves = [dict(_leaves(as_written(one.raw), "")) if one else {} for one in designs]
    for key in dict.fromkeys(key for one in leaves for key in one):
        line = Line(
            about="input", key=key, meaning=key, unit="",
            values=tuple(one.get(key) for one in leaves),
        )  # fmt: skip
        drawn = {v for v, design in zip(line.values, designs, strict=True) if design is not None}
        if len(drawn) > 1:
            yield line


def _leaves(raw: Any, path: str) -> Iterator[tuple[str, str]]:
    """Fields as written, each with its text; a measured value is one."""
    inner: list[tuple[str, Any]] = []
    if isinstance(raw, Mapping) and not _is_value(raw):
        inner = list(raw.items())
    if isinstance(raw, list) and any(isinstance(one, Mapping) for one in raw):
        inner = [(str(number), one) for number, one in enumerate(raw)]
    if not inner:
        yield path, _text(raw)
    for key, one in inner:
        yield from _leaves(one, f"{path}.{key}" if path else str(key))


def _is_value(raw: Mapping[str, Any]) -> bool:
    return any(key in raw for key in ("value", "readings", "samples"))


def _text(raw: Any) -> str:
    if isinstance(raw, Mapping):
        return ", ".join(f"{key} {_text(one)}" for key, one in raw.items())
    if isinstance(raw, list):
        return " ".join(_text(one) for one in raw)
    return f"{raw:g}" if isinstance(raw, float) else str(raw)


def _verdicts(results: Sequence[Result | None]) -> Iterator[Line]:
    yield Line(
        about="verdict", key="verdict", meaning="the whole design", unit="",
        values=tuple("refused" if one is None else one.verdict.value for one in results),
    )  # fmt: skip
    by = [
        {} if one is None else {f.code: one[f.code].verdict.value for f in one.findings}
        for one in results
    ]
    for code in dict.fromkeys(code for one in by for code in one):
        line = Line(
            about="verdict", key=code, meaning=code, unit="",
            values=tuple(one.get(code) for one in by),
        )  # fmt: skip
        if line.differs:
            yield line


def _figures(results: Sequence[Result | None]) -> Iterator[Line]:
    sizes: list[dict[str, tuple[str, str, float]]] = []
    margins: list[dict[str, tuple[str, str, float]]] = []
    for one in results:
        rows = () if one is None else one.design.socket.dimensions()
        sizes.append({row.key: (row.meaning, row.unit, row.value) for row in rows})
        chains = () if one is None else one.study.figures
        margins.append(
            {
                f"tolerance.{f.chain.key}": (f.chain.title, shown_in(f.chain)[1],
                                             shown_in(f.chain)[0] * f.worst_room)
                for f in chains
                if f.chain.has_limits
            }
        )  # fmt: skip
    yield from _of("size", sizes)
    yield from _of("margin", margins)
    yields = [None if one is None else 100.0 * one.study.joint_yield for one in results]
    yield Line(about="yield", key="joint_yield", meaning="pairs that pass all",
               unit="%", values=tuple(yields))  # fmt: skip
    for key, meaning, unit in _LOADS:
        found = tuple(_loads(one).get(key) for one in results)
        if any(value is not None for value in found):
            yield Line(about="load", key=f"load.{key}", meaning=meaning, unit=unit, values=found)


_LOADS = (
    ("allowed_pressure", "allowed working pressure", "MPa"),
    ("gives_way_at", "first part gives way at", "MPa"),
    ("end_load_at_proof", "end load at proof pressure", "N"),
)


def _loads(result: Result | None) -> dict[str, float | None]:
    """Pressures and load; None where they are open."""
    if result is None or not result.strength.modes:
        return {}
    found, proof = result.strength, result.strength.proof_n
    allowed = min(mode.allowed_mpa for mode in found.modes)
    gives_way = min(mode.gives_way_mpa for mode in found.modes)
    values = {
        "allowed_pressure": allowed, "gives_way_at": gives_way, "end_load_at_proof": proof,
    }  # fmt: skip
    return {
        key: float(value) if value is not None and math.isfinite(value) else None
        for key, value in values.items()
    }


def _of(about: str, by: Sequence[Mapping[str, tuple[str, str, float]]]) -> Iterator[Line]:
    for key in dict.fromkeys(key for one in by for key in one):
        meaning, unit, _ = next(one[key] for one in by if key in one)
        values = tuple(float(one[key][2]) if key in one else None for one in by)
        yield Line(about=about, key=key, meaning=meaning, unit=unit, values=values)
