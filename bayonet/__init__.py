"""From a measured twist-lock plug to a mating socket, proven before metal is cut.

>>> import bayonet
>>> design = bayonet.loads(bayonet.starting_file())
>>> result = bayonet.check(design)
>>> result.verdict.value
'look'

Exact solids are in `bayonet.solids`, which alone loads the CAD kernel.
"""

from __future__ import annotations

from bayonet.checks import Result, check
from bayonet.errors import BayonetError, DesignError
from bayonet.findings import Finding, Verdict
from bayonet.jobs.design import (
    Made,
    Sampled,
    calibrate,
    make,
    mended,
    sample,
    starting_file,
)
from bayonet.parts import Design, from_mapping, load, loads

__all__ = [
    "BayonetError",
    "Design",
    "DesignError",
    "Finding",
    "Made",
    "Result",
    "Sampled",
    "Verdict",
    "calibrate",
    "check",
    "from_mapping",
    "load",
    "loads",
    "make",
    "mended",
    "sample",
    "starting_file",
]
__version__ = "0.3.0"
