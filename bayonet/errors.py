"""Every exception of the package, and the record of one problem in an input file.

A design that merely breaks a rule is not an exception: see `bayonet.findings`.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

MOST_TOLD = 200
"""Problems a message spells out; nobody reads more before mending these."""


@dataclass(frozen=True, kw_only=True)
class Problem:
    """One thing wrong in an input file.

    Parameters
    ----------
    file : str
        File as the user named it.
    line : int or None
        Line of the offending key, counted from 1; None where no line applies.
    field : str
        Dotted path of the field, e.g. ``plug.lugs.width``.
    value : str
        The value as written, shortened.
    rule : str
        The rule it breaks, in plain words.
    example : str
        A legal line the user can copy; empty where none helps.
    """

    file: str
    line: int | None
    field: str
    value: str
    rule: str
    example: str = ""

    def __str__(self) -> str:
        place = self.file if self.line is None else f"{self.file}:{self.line}"
        value = f" = {self.value}" if self.value else ""
        example = f" (for example: {self.example})" if self.example else ""
        return f"{place}: {self.field}{value}: {self.rule}{example}"


class BayonetError(Exception):
    """Root of every exception this package raises on purpose."""


class DesignError(BayonetError, ValueError):
    """The input cannot become a design; carries every problem at once."""

    def __init__(self, problems: Sequence[Problem]) -> None:
        self.problems: tuple[Problem, ...] = tuple(problems)
        lines = [str(problem) for problem in self.problems[:MOST_TOLD]]
        if len(self.problems) > MOST_TOLD:
            lines.append(f"and {len(self.problems) - MOST_TOLD} more")
        super().__init__("\n".join(lines))

    def __reduce__(self) -> tuple[type[DesignError], tuple[tuple[Problem, ...]]]:
        return type(self), (self.problems,)


class UnitError(BayonetError, ValueError):
    """A text is not a number with a known unit."""


class TableError(BayonetError, LookupError):
    """A table was asked for something outside what it covers."""


class BuildError(BayonetError, RuntimeError):
    """The CAD kernel returned something that does not pass the gate."""


class KernelError(BuildError):
    """The CAD kernel died, hung, ran out of memory or threw over somebody's geometry."""


class ExportError(BayonetError, OSError):
    """A file could not be written."""


class TankError(BayonetError, ValueError):
    """A tank's file, or the place named on it, cannot take a socket."""


class ScanError(BayonetError, ValueError):
    """A scan cannot be read, or shows no plug that can be measured; says which file and why."""
