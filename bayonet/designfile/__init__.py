"""The design file: its tables as written, fields with units, lines, problems, schema.

What follows from it (plug, socket) is in `bayonet.parts`.
"""

from __future__ import annotations

from bayonet.designfile.correlations import check_correlations
from bayonet.designfile.cutter_table import CutterTable
from bayonet.designfile.document import DesignFile, FlangeMount, SealTable, SocketTable, WeldMount
from bayonet.designfile.measured import Measured, value_or
from bayonet.designfile.plug_table import Groove, Lugs, OneLug, PlugTable, Spread
from bayonet.designfile.printer_table import PrinterTable
from bayonet.designfile.problems import ProblemList
from bayonet.designfile.schema import design_schema
from bayonet.designfile.toml_lines import Path, lines_of

__all__ = [
    "CutterTable",
    "DesignFile",
    "FlangeMount",
    "Groove",
    "Lugs",
    "Measured",
    "OneLug",
    "Path",
    "PlugTable",
    "PrinterTable",
    "ProblemList",
    "SealTable",
    "SocketTable",
    "Spread",
    "WeldMount",
    "check_correlations",
    "design_schema",
    "lines_of",
    "value_or",
]
