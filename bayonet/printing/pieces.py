"""The record of a set of print-test pieces, and how each is drawn and marked. Judged in `ladder`.

Pieces are held as intended; `Sample.drawn` gives the sizes of the files.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from shapely.geometry import Polygon

from bayonet.cautions import PRINTED_CAUTION, PRINTED_HEADLINE
from bayonet.designfile import PrinterTable
from bayonet.developed import Lettering, along_arc
from bayonet.findings import Finding, Verdict, worst
from bayonet.parts import Design, Socket
from bayonet.printing import compensation, piece
from bayonet.printing.bar import Gauge
from bayonet.printing.piece import Piece
from bayonet.printing.plate import Plate
from bayonet.printing.printer_profile import ProcessProfile

_TALLEST_MARK_MM = 5.0
_RIM_MM = 0.8
_MARK_ROUND = 1.4
_STROKE_LINES = 2.0


@dataclass(frozen=True, kw_only=True)
class Sample:
    """Print-test pieces of a design.

    Parameters
    ----------
    design : Design
    profile : ProcessProfile or None
        What the files are compensated for.
    with_seal : bool
    ring : Piece
        At the design's own clearances, as intended.
    ladder : tuple of Piece
        Step by step, as intended.
    gauge : Gauge
        The bar that parts offset from scale, as drawn.
    plate : Plate
        Where the ladder's pieces and the bar stand, as drawn.
    volumes_mm3 : tuple of float
        Of the ring and the ladder's pieces as drawn, marks cut out, in closed form [mm3].
    findings : tuple of Finding
    assumptions, cautions, headline : tuple of str
    """

    design: Design
    profile: ProcessProfile | None
    with_seal: bool
    ring: Piece
    ladder: tuple[Piece, ...]
    gauge: Gauge
    plate: Plate
    volumes_mm3: tuple[float, ...]
    findings: tuple[Finding, ...]
    assumptions: tuple[str, ...]
    cautions: tuple[str, ...] = (PRINTED_CAUTION,)
    headline: tuple[str, ...] = (PRINTED_HEADLINE,)

    @property
    def verdict(self) -> Verdict:
        """The worst verdict of all findings."""
        return worst(self.findings)

    @property
    def printer(self) -> PrinterTable:
        """The printer as the design file tells it."""
        return self.design.spec.printer

    def drawn(self, one: Piece) -> Socket:
        """A piece as its files hold it: compensated where there is a profile."""
        return drawn(one.socket, self.profile)

    @property
    def plate_volume_mm3(self) -> float:
        """Volume of all that stands on the plate [mm3]."""
        return math.fsum(self.volume_mm3(one) for one in self.ladder) + self.gauge.volume_mm3()

    @property
    def mark_depth_mm(self) -> float:
        """Depth of the sunk marks [mm]."""
        return mark_depth_mm(self.printer)

    def volume_mm3(self, one: Piece) -> float:
        """Volume of one of the pieces as drawn, its mark cut out, in closed form [mm3]."""
        return dict(zip((self.ring.step_mm, *(p.step_mm for p in self.ladder)), self.volumes_mm3,
                        strict=True))[one.step_mm]  # fmt: skip


def drawn(intended: Socket, profile: ProcessProfile | None) -> Socket:
    """What to draw so that a printer makes the intended socket."""
    return intended if profile is None else compensation.to_draw(intended, profile.size)


def lettering(shape: Socket, printer: PrinterTable) -> tuple[Lettering, float]:
    """How marks are drawn on a ring's end face, and the radius through their middles [mm]."""
    inner, outer = shape.bore[-1][0], shape.boss_radius_mm
    round_it = _MARK_ROUND * (inner + _RIM_MM)  # so that a mark does not meet its own end
    height = min(_TALLEST_MARK_MM, outer - inner - 2.0 * _RIM_MM, round_it)
    stroke = min(_STROKE_LINES * printer.nozzle.value, height / 5.0)
    return Lettering(height_mm=height, stroke_mm=stroke), (inner + outer) / 2.0


def letters(one: Piece, shape: Socket, printer: PrinterTable) -> tuple[Polygon, ...]:
    """Outlines of a piece's mark as seen from above, printed mouth down."""
    style, radius = lettering(shape, printer)
    return along_arc(one.mark, style, radius_mm=radius)


def mark_depth_mm(printer: PrinterTable) -> float:
    """Depth of the sunk marks [mm]."""
    return piece.MARK_DEPTH_LAYERS * printer.layer_height.value


def drawn_for(profile: ProcessProfile | None) -> str:
    """Which sizes a file of a printed part holds."""
    if profile is None:
        return "Drawn as intended, not compensated for a printer"
    return f"Drawn for printer profile {profile.name}: {profile.in_words()}; prints as intended"
