"""One measured quantity as the user gave it: value, readings, uncertainty, limits.

The statistics are those of `bayonet.mechanics.uncertainty`.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from bayonet.errors import UnitError
from bayonet.mechanics.uncertainty import (
    Estimate,
    combined,
    coverage_factor,
    effective_dof,
    type_a,
    type_b,
)
from bayonet.units import Kind, parse

_LARGEST = 10_000.0  # mm, deg, MPa: ten metres
_KEYS = ("value", "u", "tol", "readings", "resolution")


@dataclass(frozen=True, kw_only=True)
class Measured:
    """A length [mm] or an angle [deg], with what is known of its doubt.

    Parameters
    ----------
    value : float
        Best estimate; the mean of the readings where readings were given.
    u : float or None
        Standard uncertainty of the value, as declared.
    tol : float or None
        Half-width of the limits within which every produced part lies, as declared.
    readings : tuple of float
        The single readings, as given.
    resolution : float or None
        Resolution of the instrument.

    Examples
    --------
    >>> read({"readings": ["30.02 mm", 30.04], "resolution": 0.01}, kind="length").value
    30.03
    """

    value: float
    u: float | None = None
    tol: float | None = None
    readings: tuple[float, ...] = ()
    resolution: float | None = None

    def half_zone(self, spread: float) -> float:
        """Half-width of the zone that holds every part: limits (or ``spread``) plus its doubt.

        The doubt is 2 u where u is declared. Else it is the 95 % half-width of the mean of the
        readings and the resolution: Student's factor times their combined uncertainty.

        Parameters
        ----------
        spread : float
            Production half-width used where the value carries no limits of its own [as value].

        Returns
        -------
        float
            Half-width of the zone [as value].
        """
        return (spread if self.tol is None else self.tol) + self._doubt()

    def _doubt(self) -> float:
        if self.u is not None:
            return 2.0 * self.u
        parts = [Estimate(value=0.0, u=type_b((self.resolution or 0.0) / 2.0))]
        if len(self.readings) > 1:
            parts.append(type_a(self.readings))
        shares = [part.u for part in parts]
        if not any(shares):
            return 0.0
        return combined([1.0] * len(parts), shares) * coverage_factor(
            effective_dof(shares, [part.dof for part in parts])
        )


def read(raw: object, *, kind: Kind) -> Measured:
    """Read one value of the design file.

    Parameters
    ----------
    raw : object
        A number, a text with a unit, or a table with ``value`` or ``readings`` and optionally
        ``u``, ``tol``, ``resolution``.
    kind : {"length", "angle"}
        What it must be.

    Returns
    -------
    Measured

    Raises
    ------
    UnitError
        If it is none of these; the message is the rule that was broken.
    """
    if isinstance(raw, Measured):
        return raw
    if isinstance(raw, Mapping):
        return _from_table(raw, kind)
    return Measured(value=_number(raw, kind))


def _number(raw: object, kind: Kind) -> float:
    if isinstance(raw, bool) or not isinstance(raw, (int, float, str)):
        raise UnitError("must be a number, a text with a unit, or a table with value or readings")
    try:
        number = parse(raw, kind=kind) if isinstance(raw, str) else float(raw)
    except OverflowError:
        number = math.inf
    if not math.isfinite(number):
        raise UnitError("must be a finite number")
    if abs(number) > _LARGEST:
        raise UnitError(f"must not be larger than {_LARGEST:g}")
    return number


def _from_table(raw: Mapping[str, Any], kind: Kind) -> Measured:
    unknown = sorted(set(raw) - set(_KEYS))
    if unknown:
        raise UnitError(f"unknown key {unknown[0]!r} in a measured value; use {', '.join(_KEYS)}")
    if ("value" in raw) == ("readings" in raw):
        raise UnitError("a measured value needs either value or readings, not both")
    readings = _readings(raw.get("readings"), kind)
    value = _number(raw["value"], kind) if "value" in raw else math.fsum(readings) / len(readings)
    return Measured(
        value=value,
        u=_not_negative(raw, "u", kind),
        tol=_not_negative(raw, "tol", kind),
        readings=readings,
        resolution=_not_negative(raw, "resolution", kind),
    )


def _readings(raw: object, kind: Kind) -> tuple[float, ...]:
    if raw is None:
        return ()
    if not isinstance(raw, (list, tuple)) or not raw:
        raise UnitError("readings must be a list of at least one number")
    return tuple(_number(item, kind) for item in raw)


def _not_negative(raw: Mapping[str, Any], key: str, kind: Kind) -> float | None:
    if key not in raw:
        return None
    number = _number(raw[key], kind)
    if number < 0:
        raise UnitError(f"{key} must not be negative")
    return number
