"""Types of the fields of a design file: lengths and angles that carry units and uncertainty."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Annotated, Any, TypeAlias

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field, WithJsonSchema

from bayonet.designfile.measured import SHAPES, Measured, read
from bayonet.units import UNITS, Kind


class Table(BaseModel):
    """A table of the design file: frozen, and no key it does not know."""

    model_config = ConfigDict(extra="forbid", frozen=True, allow_inf_nan=False, defer_build=True)


def _reader(kind: Kind, rule: str, legal: Callable[[float], bool]) -> Callable[[object], Measured]:
    def check(raw: object) -> Measured:
        measured = read(raw, kind=kind)
        if not legal(measured.value):
            raise ValueError(rule)
        return measured

    return check


def _schema(kind: Kind, bound: dict[str, float]) -> dict[str, Any]:
    units = UNITS[kind]
    number = {"type": "number"}
    text = {
        "type": "string",
        "description": f"a number and one of the units {', '.join(units)}",
        "pattern": (
            r"^\s*[+-]?((\d+(\.\d*)?|\.\d+)([eE][+-]?\d+)?|(\d+[ -]+)?\d+\s*/\s*\d+)\s*\D*$"
        ),
    }
    either = {"anyOf": [number, text]}
    uncertainty = dict.fromkeys(("u", "tol", "resolution", "calibration"), either)
    word = {"type": "string"}
    several = {"type": "array", "items": either}
    return {
        "anyOf": [
            {**number, **bound, "description": next(iter(units))},
            text,
            {
                "type": "object",
                "properties": {
                    "value": either,
                    "readings": {**several, "minItems": 1},
                    "samples": {**several, "minItems": 2},
                    **uncertainty,
                    "fit": word,
                    "general": {"enum": ["f", "m", "c", "v"]},
                    "shape": {"enum": list(SHAPES)},
                },
                "oneOf": [{"required": [key]} for key in ("value", "readings", "samples")],
                "additionalProperties": False,
            },
        ]
    }


def _field(kind: Kind, rule: str, legal: Callable[[float], bool], bound: dict[str, float]) -> Any:
    return Annotated[
        Measured,
        BeforeValidator(_reader(kind, rule, legal)),
        WithJsonSchema(_schema(kind, bound)),
    ]


if TYPE_CHECKING:
    Length: TypeAlias = Measured
    LengthOrZero: TypeAlias = Measured
    Angle: TypeAlias = Measured
    Turn: TypeAlias = Measured
    AngleOrZero: TypeAlias = Measured
    SteepAngle: TypeAlias = Measured
    SlopeAngle: TypeAlias = Measured
    DetentAngle: TypeAlias = Measured
    Pressure: TypeAlias = Measured
else:
    Length = _field("length", "must be more than 0 mm", lambda v: v > 0, {"exclusiveMinimum": 0})
    LengthOrZero = _field("length", "must be 0 mm or more", lambda v: v >= 0, {"minimum": 0})
    Angle = _field("angle", "must lie between -360 and 360 deg", lambda v: abs(v) <= 360, {})
    Turn = _field(
        "angle",
        "must be more than 0 and less than 360 deg",
        lambda v: 0 < v < 360,
        {"exclusiveMinimum": 0, "exclusiveMaximum": 360},
    )
    AngleOrZero = _field(
        "angle",
        "must be 0 deg or more and less than 180 deg",
        lambda v: 0 <= v < 180,
        {"minimum": 0, "exclusiveMaximum": 180},
    )
    SteepAngle = _field(
        "angle",
        "must be more than 0 and less than 90 deg",
        lambda v: 0 < v < 90,
        {"exclusiveMinimum": 0, "exclusiveMaximum": 90},
    )
    SlopeAngle = _field(
        "angle",
        "must be 0 (sharp) or more, and at most 60 deg",
        lambda v: 0 <= v <= 60,
        {"minimum": 0, "maximum": 60},
    )
    DetentAngle = _field(
        "angle",
        "must be more than 0 and at most 75 deg",
        lambda v: 0 < v <= 75,
        {"exclusiveMinimum": 0, "maximum": 75},
    )
    Pressure = _field(
        "pressure",
        "must be more than 0 MPa; pressure outside over inside is service.vacuum",
        lambda v: v > 0,
        {"exclusiveMinimum": 0},
    )


def described(text: str, example: str, **rules: Any) -> Any:
    """A required field with its meaning and a legal line to copy."""
    return Field(description=text, examples=[example], **rules)


def optional(text: str, example: str, **rules: Any) -> Any:
    """As `described`, for a field that may be left out."""
    return Field(default=None, description=text, examples=[example], **rules)


def one_of(table: Table, *names: str, needed: bool = True) -> None:
    """Raise unless at most one (or, if needed, just one) of some fields is given."""
    given = [name for name in names if getattr(table, name) is not None]
    if len(given) > 1:
        raise ValueError(f"give only one of {', '.join(names)}")
    if needed and not given:
        raise ValueError(f"give one of {', '.join(names)}")
