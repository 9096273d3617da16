"""Clearances, limits and spreads by manufacturing process. Common practice, no source.

The table is `data/processes.toml`; nothing here knows a socket or a plug.
"""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import Any

from bayonet.errors import TableError

SOURCE = "common practice, no source (standards/data/processes.toml)"
"""Machined limits here are closer than ISO 2768-1:1989 fine above 6 mm: the drawing must tolerance
each such size singly. Printed limits are those of a tuned printer: web pages on tolerances of fused
filament (Arti90, PrintParams, Makelab) print 0.2 to 0.5 mm; calibrate, or state your own."""


@dataclass(frozen=True, kw_only=True)
class Clearances:
    """Gaps between socket and plug at nominal size [mm]."""

    body_diametral_mm: float
    lug_radial_mm: float
    lug_side_mm: float
    axial_mm: float
    floor_mm: float
    nose_mm: float


@dataclass(frozen=True, kw_only=True)
class HalfWidths:
    """Plus-or-minus limits of diameters and lengths [mm], angles and tilt [deg], leads.

    ``coaxiality_mm`` is the diameter of the zone that holds the axis of lugs or tracks [mm];
    ``step_coaxiality_mm`` that of a further bore, body step or groove against the first.
    """

    diameter_mm: float
    length_mm: float
    angle_deg: float
    lead_mm_per_rev: float
    coaxiality_mm: float
    step_coaxiality_mm: float
    tilt_deg: float


def socket_clearances(process: str) -> Clearances:
    """Clearances a socket made by ``process`` is given.

    Parameters
    ----------
    process : str
        One of `socket_processes`.

    Returns
    -------
    Clearances

    Raises
    ------
    TableError
        If the table has no such process.

    References
    ----------
    .. [1] Common practice, no source.

    Examples
    --------
    >>> socket_clearances("machined").axial_mm
    0.2
    """
    return Clearances(**_row("socket", process)["clearance"])


def socket_tolerances(process: str) -> HalfWidths:
    """Limits a socket made by ``process`` keeps; raises as `socket_clearances` does."""
    return HalfWidths(**_row("socket", process)["tolerance"])


def plug_spread(process: str) -> HalfWidths:
    """Spread of plugs made by ``process``; raises as `socket_clearances` does."""
    return HalfWidths(**_row("plug", process)["spread"])


def socket_processes() -> tuple[str, ...]:
    """Names of the processes a socket may be made by."""
    return tuple(_table()["socket"])


def plug_processes() -> tuple[str, ...]:
    """Names of the processes a plug may have been made by."""
    return tuple(_table()["plug"])


@cache
def _table() -> dict[str, dict[str, Any]]:
    return tomllib.loads(
        (files("bayonet.standards") / "data" / "processes.toml").read_text("utf-8")
    )


def _row(part: str, process: str) -> dict[str, Any]:
    rows = _table()[part]
    if process not in rows:
        raise TableError(f"no {part} process {process!r}; the table has {', '.join(rows)}")
    row: dict[str, Any] = rows[process]
    return row
