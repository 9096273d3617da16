"""One measured quantity as the user gave it: value, readings, uncertainty, limits.

The statistics are those of `bayonet.mechanics.uncertainty`.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

import numpy as np

from bayonet.errors import TableError, UnitError
from bayonet.mechanics import (
    Estimate,
    Shape,
    combined,
    coverage_factor,
    effective_dof,
    tolerance_factor,
    type_a,
    type_b,
)
from bayonet.standards import iso286, iso2768
from bayonet.units import Kind, parse

UNKNOWN = "unknown"
"""What a dimension of the plug may be said to be; `bayonet check` alone goes on from there."""

_LARGEST = 10_000.0  # mm, deg, MPa: ten metres
_KEYS = (
    "value", "u", "tol", "readings", "resolution", "calibration", "samples", "fit", "general",
    "shape",
)  # fmt: skip
SHAPES: tuple[Shape, ...] = ("normal", "uniform", "triangular", "trapezoid")


@dataclass(frozen=True, kw_only=True)
class Measured:
    """A length [mm] or an angle [deg], with what is known of its uncertainty and of other parts.

    Parameters
    ----------
    value : float
        Best estimate; the mean of readings or samples; the middle of the limits of a fit class.
    u : float or None
        Standard uncertainty of the value, as declared.
    tol : float or None
        Half-width of the limits within which every produced part lies: as declared, of the fit
        or general class, or the statistical tolerance interval of the samples.
    readings : tuple of float
        The single readings of one part, as given.
    resolution, calibration : float or None
        Of the instrument: its resolution, and the standard uncertainty of its calibration.
    samples : tuple of float
        The same dimension of several parts, as given.
    shape : str or None
        How parts are spread within the limits.
    usual_u : float or None
        Standard uncertainty of the instrument named for the whole plug, where the value says
        nothing of its own; not written to files.

    Examples
    --------
    >>> read({"readings": ["30.02 mm", 30.04], "resolution": 0.01}, kind="length").value
    30.03

    Five parts, s = 0.0158: ISO 16269-6 gives k = 6.60 for 99 % at 95 % confidence.

    >>> round(read({"samples": [29.98, 29.99, 30, 30.01, 30.02]}, kind="length").tol, 3)
    0.104
    """

    value: float
    u: float | None = None
    tol: float | None = None
    readings: tuple[float, ...] = ()
    resolution: float | None = None
    calibration: float | None = None
    samples: tuple[float, ...] = ()
    shape: Shape | None = None
    usual_u: float | None = field(default=None, compare=False)

    def half_zone(self, spread: float) -> float:
        """Half-width of the zone that holds every part: limits (or ``spread``) and uncertainty.

        The uncertainty is 2 u where u is declared. Else it is the 95 % half-width of the mean of
        the readings and the instrument: Student's factor times their combined uncertainty.

        Parameters
        ----------
        spread : float
            Production half-width used where the value carries no limits of its own [as value].

        Returns
        -------
        float
            Half-width of the zone [as value].
        """
        return self.production(spread) + self.expanded

    def production(self, spread: float) -> float:
        """Half-width of the limits alone: its own, else ``spread`` [as value]."""
        return spread if self.tol is None else self.tol

    @property
    def uncertainty(self) -> Estimate:
        """Standard uncertainty of the value, its degrees of freedom, by JCGM 100."""
        if self.u is not None:
            return Estimate(value=self.value, u=self.u)
        parts = [
            Estimate(value=0.0, u=type_b((self.resolution or 0.0) / 2.0)),
            Estimate(value=0.0, u=self.calibration or 0.0),
            Estimate(value=0.0, u=self.usual_u or 0.0),
        ]
        if len(self.readings) > 1:
            parts.append(type_a(self.readings))
        shares = [part.u for part in parts]
        if not any(shares):
            return Estimate(value=self.value, u=0.0)
        return Estimate(
            value=self.value,
            u=combined([1.0] * len(parts), shares),
            dof=effective_dof(shares, [part.dof for part in parts]),
        )

    @property
    def expanded(self) -> float:
        """Half-width of the uncertainty: 2 u as declared, else Student's 95 % [as value]."""
        uncertainty = self.uncertainty
        if self.u is not None or uncertainty.u == 0.0:
            return 2.0 * uncertainty.u
        return uncertainty.u * coverage_factor(uncertainty.dof)


def value_or(given: Measured | None, otherwise: float) -> float:
    """The value where one is given, else another."""
    return otherwise if given is None else given.value


def read(raw: object, *, kind: Kind) -> Measured:
    """Read one value of the design file.

    Parameters
    ----------
    raw : object
        A number, a text with a unit, or a table with ``value``, ``readings`` or ``samples`` and
        optionally ``u``, ``resolution``, ``calibration``, ``shape`` and one of ``tol``, ``fit``
        (an ISO 286 class) and ``general`` (an ISO 2768-1 class).
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
    if isinstance(raw, str) and raw.strip() == UNKNOWN:
        raise UnitError(
            "is unknown, which only a dimension of the plug may be, and only bayonet check can go"
            " on from: it says what stays open, and at which values it would pass"
        )
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
    _check_one_of(raw, ("value", "readings", "samples"), needed=True)
    _check_one_of(raw, ("tol", "fit", "general", "samples"), needed=False)
    if "u" in raw and "samples" in raw:
        raise UnitError("samples carry their own uncertainty: leave u out")
    readings = _readings(raw.get("readings"), kind, "readings", 1)
    samples = _readings(raw.get("samples"), kind, "samples", 2)
    several = readings or samples
    value = _number(raw["value"], kind) if "value" in raw else math.fsum(several) / len(several)
    value, tol = _limits(raw, kind, value, samples)
    return Measured(
        value=value,
        u=_not_negative(raw, "u", kind),
        tol=tol,
        readings=readings,
        resolution=_not_negative(raw, "resolution", kind),
        calibration=_not_negative(raw, "calibration", kind),
        samples=samples,
        shape=_shape(raw.get("shape")),
    )


def _check_one_of(raw: Mapping[str, Any], keys: tuple[str, ...], *, needed: bool) -> None:
    given = [key for key in keys if key in raw]
    if len(given) > 1 or (needed and not given):
        words = f"{', '.join(keys[:-1])} or {keys[-1]}"
        raise UnitError(f"a measured value takes {'just' if needed else 'at most'} one of {words}")


def _limits(
    raw: Mapping[str, Any], kind: Kind, value: float, samples: tuple[float, ...]
) -> tuple[float, float | None]:
    """Middle and half-width of the limits, as far as the value says."""
    try:
        if samples:
            spread = float(np.std(samples, ddof=1))
            return value, tolerance_factor(len(samples)) * spread
        if "fit" in raw:
            if kind != "length":
                raise UnitError("a fit class is for lengths")
            fit = iso286.limits(value, str(raw["fit"]))
            middle = (fit.lower_mm + fit.upper_mm) / 2.0
            return value + middle, (fit.upper_mm - fit.lower_mm) / 2.0
        if "general" in raw:
            if kind != "length":
                raise UnitError("a general class is for lengths")
            return value, iso2768.tolerance(value, str(raw["general"]))
    except TableError as error:
        raise UnitError(str(error)) from error
    return value, _not_negative(raw, "tol", kind)


def _shape(raw: object) -> Shape | None:
    if raw is None:
        return None
    for shape in SHAPES:
        if raw == shape:
            return shape
    raise UnitError(f"shape must be one of {', '.join(SHAPES)}")


def _readings(raw: object, kind: Kind, key: str, least: int) -> tuple[float, ...]:
    if raw is None:
        return ()
    if not isinstance(raw, (list, tuple)) or len(raw) < least:
        count = "one number" if least == 1 else "two numbers"
        raise UnitError(f"{key} must be a list of at least {count}")
    return tuple(_number(item, kind) for item in raw)


def _not_negative(raw: Mapping[str, Any], key: str, kind: Kind) -> float | None:
    if key not in raw:
        return None
    number = _number(raw[key], kind)
    if number < 0:
        raise UnitError(f"{key} must not be negative")
    return number
