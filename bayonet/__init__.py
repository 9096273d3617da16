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

import importlib
import typing

if typing.TYPE_CHECKING:
    from bayonet import tables
    from bayonet.checks import Comparison, Result, check, compare  # type: ignore[no-redef]
    from bayonet.errors import BayonetError, DesignError
    from bayonet.findings import Finding, Verdict
    from bayonet.jobs.design import Made, Sampled, calibrate, make, mended, sample
    from bayonet.jobs.sweep import Sweep, sweep
    from bayonet.measuring import starting_file
    from bayonet.parts import Design, design, from_mapping, load, loads  # type: ignore[no-redef]

__all__ = [
    "BayonetError",
    "Comparison",
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
    "compare",
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
__version__ = "0.5.0"

_HOMES = {
    "checks": ("Comparison", "Result", "check", "compare"),
    "errors": ("BayonetError", "DesignError"),
    "findings": ("Finding", "Verdict"),
    "jobs.design": ("Made", "Sampled", "calibrate", "make", "mended", "sample"),
    "jobs.sweep": ("Sweep", "sweep"),
    "measuring": ("starting_file",),
    "parts": ("Design", "design", "from_mapping", "load", "loads"),
}
"""Where each name lives; a room is loaded when the first of its names is asked for."""


def __getattr__(name: str) -> typing.Any:
    """A name of this package, loaded when it is asked for."""
    if name == "tables":
        return importlib.import_module("bayonet.tables")
    for home, names in _HOMES.items():
        if name in names:
            found = getattr(importlib.import_module(f"bayonet.{home}"), name)
            globals()[name] = found
            return found
    raise AttributeError(f"module {__name__!r} has no attribute {name!r}")


def __dir__() -> list[str]:
    return sorted([*globals(), *__all__])
