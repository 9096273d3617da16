"""The ``[printer]`` table: what decides whether a piece can be printed, and how true it comes out.

Every default is common practice without a source; findings say so.
"""

from __future__ import annotations

from typing import Self

from pydantic import model_validator

from bayonet.designfile.fields import (
    Length,
    LengthOrZero,
    SlopeAngle,
    Table,
    described,
    optional,
)
from bayonet.designfile.measured import Measured


def _usual(value: float) -> Measured:
    return Measured(value=value)


class PrinterTable(Table):
    """The printer that makes print-test pieces, or the socket itself."""

    nozzle: Length = described("Width of one printed line", "nozzle = 0.4", default=_usual(0.4))
    layer_height: Length = described(
        "Height of one layer", "layer_height = 0.2", default=_usual(0.2)
    )
    first_layer_flare: LengthOrZero = described(
        "How far the first layers are squeezed out beyond the outline",
        "first_layer_flare = 0.15",
        default=_usual(0.15),
    )
    steepest_overhang_deg: SlopeAngle = described(
        "Lean from the upright that prints without support",
        "steepest_overhang_deg = 45",
        default=_usual(45.0),
    )
    longest_bridge: LengthOrZero = described(
        "Flat ceiling held at both ends that prints without support",
        "longest_bridge = 8",
        default=_usual(8.0),
    )
    bed_width: Length = described("Bed, across", "bed_width = 200", default=_usual(200.0))
    bed_depth: Length = described("Bed, to the back", "bed_depth = 200", default=_usual(200.0))
    repeatability: Length = described(
        "Standard deviation of one size from print to print",
        "repeatability = 0.05",
        default=_usual(0.05),
    )
    profile: str | None = optional(
        "Process profile written by `bayonet calibrate`, beside this file",
        'profile = "my_printer.toml"',
    )

    @model_validator(mode="after")
    def _rules(self) -> Self:
        if not self.layer_height.value <= self.nozzle.value:
            raise ValueError("layer_height must not be more than nozzle")
        return self
