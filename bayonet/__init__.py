"""From a measured twist-lock plug to a mating socket, checked before metal is cut.

>>> import bayonet
>>> design = bayonet.loads(bayonet.starting_file())
>>> result = bayonet.check(design)
>>> result["seal.squeeze"].unit
'%'

Tables of a design as typed calls are in `bayonet.tables`; exact solids in `bayonet.solids`, which
alone loads the CAD kernel.
"""

from __future__ import annotations

from bayonet import tables
from bayonet.checks import Result, check
from bayonet.errors import BayonetError, DesignError
from bayonet.findings import Finding, Verdict
from bayonet.jobs.design import Made, Sampled, calibrate, make, mended, sample
from bayonet.jobs.sweep import Sweep, sweep
from bayonet.measuring import starting_file
from bayonet.parts import Design, design, from_mapping, load, loads

__all__ = [
    "BayonetError",
    "Design",
    "DesignError",
    "Finding",
    "Made",
    "Result",
    "Sampled",
    "Sweep",
    "Verdict",
    "calibrate",
    "check",
    "design",
    "from_mapping",
    "load",
    "loads",
    "make",
    "mended",
    "sample",
    "starting_file",
    "sweep",
    "tables",
]
__version__ = "0.4.0"
