"""From keyword arguments to a checked table of the design file, with the file's own messages."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any, TypeAlias, TypeVar

from pydantic import ValidationError

from bayonet.designfile import Measured, ProblemList, Table, as_written

Quantity: TypeAlias = float | str | Measured | Mapping[str, object]
"""A number in mm, deg or MPa, a text with its unit, or a measured value with its uncertainty."""

Kind = TypeVar("Kind", bound=Table)


def build(table: type[Kind], place: Sequence[str | int], fields: Mapping[str, Any]) -> Kind:
    """A table, checked.

    Parameters
    ----------
    table : type
    place : sequence
        Where it stands in a design file; errors name its fields from there.
    fields : mapping
        None leaves a field out.

    Returns
    -------
    table

    Raises
    ------
    DesignError
        With every problem found.
    """
    given = {name: as_written(value) for name, value in fields.items() if value is not None}
    try:
        return table.model_validate(given)
    except ValidationError as error:
        problems = ProblemList(file=f"{table.__name__}(...)", raw=_within(place, given), lines={})
        problems.add_validation(error, under=tuple(place))
        problems.raise_if_any()
        raise


def _within(place: Sequence[str | int], content: object) -> Any:
    for key in reversed(place):
        content = [content] if isinstance(key, int) else {key: content}
    return content
