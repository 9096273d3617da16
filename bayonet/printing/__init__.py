"""Print-test pieces and the printer: rings, plate, bar, compensation, profile and its learning.

Whether a *socket* can be printed is judged in `bayonet.checks.making`.
"""

from __future__ import annotations

from bayonet.printing.bar import Gauge
from bayonet.printing.calibration import Calibration, calibrate
from bayonet.printing.ladder import usual_steps
from bayonet.printing.piece import Piece
from bayonet.printing.pieces import Sample, drawn, drawn_for, letters
from bayonet.printing.printer_profile import ProcessProfile
from bayonet.printing.results import COLUMNS, FELT, Results

__all__ = [
    "COLUMNS",
    "FELT",
    "Calibration",
    "Gauge",
    "Piece",
    "ProcessProfile",
    "Results",
    "Sample",
    "calibrate",
    "drawn",
    "drawn_for",
    "letters",
    "usual_steps",
]
