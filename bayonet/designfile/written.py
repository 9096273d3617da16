"""From tables back to what a file may hold: plain numbers, texts, lists and tables."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from pydantic import BaseModel

from bayonet.designfile.measured import Measured


def as_written(value: Any) -> Any:
    """A value of a design as TOML, or `bayonet.from_mapping`, takes it; always a new object.

    Parameters
    ----------
    value : object
        A table, a `Measured`, or what is made of them; plain values stay as they are.

    Returns
    -------
    object
        Numbers are mm, deg and MPa. Reading it gives equal tables again.

    Examples
    --------
    >>> as_written({"diameter": Measured(value=30.0, u=0.01), "to_depth": Measured(value=9.0)})
    {'diameter': {'value': 30.0, 'u': 0.01}, 'to_depth': 9.0}
    """
    if isinstance(value, Measured):
        return _measured(value)
    if isinstance(value, BaseModel):
        return _table(value)
    if isinstance(value, Mapping):
        return {str(key): as_written(one) for key, one in value.items() if one is not None}
    if isinstance(value, (list, tuple)):
        return [as_written(one) for one in value]
    return value


def _table(table: BaseModel) -> dict[str, Any]:
    """What differs from the defaults; required fields always."""
    found = {}
    for name, field in type(table).model_fields.items():
        value = getattr(table, name)
        if value is None or (not field.is_required() and value == field.default):
            continue
        found[name] = as_written(value)
    return found


def _measured(one: Measured) -> Any:
    if one == Measured(value=one.value):
        return one.value
    if one.samples:  # their limits follow from them
        return {"samples": list(one.samples), **_present(shape=one.shape)}
    first = {"readings": list(one.readings)} if one.readings else {"value": one.value}
    return {
        **first,
        **_present(
            u=one.u, tol=one.tol, resolution=one.resolution, calibration=one.calibration,
            shape=one.shape,
        ),
    }  # fmt: skip


def _present(**parts: Any) -> dict[str, Any]:
    return {name: value for name, value in parts.items() if value is not None}
