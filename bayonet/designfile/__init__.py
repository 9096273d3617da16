"""The design file: its tables as written, fields with units, lines, problems, schema.

What follows from it (plug, socket) is in `bayonet.parts`.
"""

from __future__ import annotations

from bayonet.designfile.bare_numbers import (
    bare_lengths,
    copyable,
    explicit,
    explicit_field,
    kind_of,
)
from bayonet.designfile.correlations import check_correlations
from bayonet.designfile.cutter_table import CutterTable
from bayonet.designfile.document import (
    ClearanceTable,
    DesignFile,
    DesignHead,
    Detent,
    FlangeMount,
    GasketTable,
    MountTable,
    SealTable,
    SocketTable,
    Stop,
    ToleranceTable,
    TrackTable,
    WeldMount,
)
from bayonet.designfile.edited import edited
from bayonet.designfile.fields import Table
from bayonet.designfile.graft_table import GraftTable, LandTable
from bayonet.designfile.instruments import usual
from bayonet.designfile.joint_table import JointTable
from bayonet.designfile.measured import Measured, value_or
from bayonet.designfile.plug_table import (
    BodyStep,
    Correlation,
    Groove,
    Lugs,
    OneLug,
    PlugTable,
    Spread,
)
from bayonet.designfile.printer_table import PrinterTable
from bayonet.designfile.problems import ProblemList
from bayonet.designfile.production_table import ProductionTable
from bayonet.designfile.schema import design_schema
from bayonet.designfile.service_table import ServiceTable
from bayonet.designfile.surroundings_table import (
    ArmTable,
    AroundTable,
    HandPartTable,
    OwnHandTable,
    RoundPartTable,
)
from bayonet.designfile.toml_lines import Path, lines_of
from bayonet.designfile.unknowns import is_angle, unknown_fields
from bayonet.designfile.written import as_written

__all__ = [
    "ArmTable",
    "AroundTable",
    "BodyStep",
    "ClearanceTable",
    "Correlation",
    "CutterTable",
    "DesignFile",
    "DesignHead",
    "Detent",
    "FlangeMount",
    "GasketTable",
    "GraftTable",
    "Groove",
    "HandPartTable",
    "JointTable",
    "LandTable",
    "Lugs",
    "Measured",
    "MountTable",
    "OneLug",
    "OwnHandTable",
    "Path",
    "PlugTable",
    "PrinterTable",
    "ProblemList",
    "ProductionTable",
    "RoundPartTable",
    "SealTable",
    "ServiceTable",
    "SocketTable",
    "Spread",
    "Stop",
    "Table",
    "ToleranceTable",
    "TrackTable",
    "WeldMount",
    "as_written",
    "bare_lengths",
    "check_correlations",
    "copyable",
    "design_schema",
    "edited",
    "explicit",
    "explicit_field",
    "is_angle",
    "kind_of",
    "lines_of",
    "unknown_fields",
    "usual",
    "value_or",
]
