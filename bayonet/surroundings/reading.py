"""Scans and models of what stands round a tank, as triangles in the tank's coordinates.

Nothing is asked of them: not that they close, nor that they are clean. Bare points are taken as
they are. STEP is meshed by the job, for only `bayonet.solids` loads the kernel.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from bayonet.errors import ScanError
from bayonet.scan.read import files
from bayonet.surroundings.boxes import BoxTree, tree
from bayonet.tank import Surrounding
from bayonet.units import LENGTH_UNITS_MM

Array = NDArray[np.float64]

LEAST_POINTS = 100
"""Bare points of which fewer say nothing of a surface; common practice, no source."""

FARTHEST_MM = 1e6
"""Coordinates beyond a kilometre are another frame or unit, and lose microns in rounding."""


@dataclass(frozen=True, kw_only=True)
class Around:
    """One file of surroundings, boxed.

    Parameters
    ----------
    about : Surrounding
    tree : BoxTree
        Tank coordinates [mm].
    """

    about: Surrounding
    tree: BoxTree


def read(
    path: Path, *, unit: str | None = None, progress: Callable[[str], None] = lambda _: None
) -> Around:
    """Read a mesh or a table of points.

    Parameters
    ----------
    path : Path
        STL, PLY, OBJ, E57 or a table of points; told by content.
    unit : str or None
        Of a file that states none; None is mm: these files belong to the tank's coordinates.
    progress : callable

    Raises
    ------
    ScanError
        Naming the file and the reason.
    """
    progress(f"reading {path.name}")
    raw = files.raw_of(path, merge=False)
    given = unit or raw.unit or "mm"
    why = "as given" if unit else raw.unit_reason if raw.unit else "none stated, so mm"
    xyz = np.asarray(raw.xyz, dtype=np.float64) * LENGTH_UNITS_MM[given]
    points = raw.triangles is None or not len(raw.triangles)
    if points and len(xyz) < LEAST_POINTS:
        rule = f"{len(xyz)} bare points say nothing of what stands there; at least {LEAST_POINTS}"
        raise ScanError(f"{path}: {rule}")
    if raw.triangles is None or points:
        corners = np.repeat(xyz[:, None], 3, axis=1)
    elif len(xyz) == 3 * len(raw.triangles):
        corners = xyz.reshape(-1, 3, 3)
    else:
        corners = xyz[raw.triangles]
    progress(f"sorting {len(corners)} {'points' if points else 'triangles'} of {path.name}")
    note = f"{raw.kind}; unit {given}: {why}"
    return boxed(corners, file=path.name, note=note, points=points, error_mm=0.0)


def boxed(corners: Array, *, file: str, note: str, points: bool, error_mm: float) -> Around:
    """Triangles from any source, boxed.

    Parameters
    ----------
    corners : array, shape (n, 3, 3)
        Tank coordinates [mm].
    file, note : str
    points : bool
        Whether they are bare points.
    error_mm : float
        How far the true surface may lie from them [mm].

    Raises
    ------
    ScanError
        If a coordinate lies beyond `FARTHEST_MM`.
    """
    farthest = float(np.abs(corners).max(initial=0.0))
    if not farthest <= FARTHEST_MM:
        rule = f"a coordinate of {farthest:.3g} mm; at most {FARTHEST_MM:g}: which frame and unit?"
        raise ScanError(f"{file}: {rule}")
    made = tree(corners)
    low, high = made.middle[-1][0] - made.half[-1][0], made.middle[-1][0] + made.half[-1][0]
    about = Surrounding(
        file=file, note=note, triangles=len(corners), points=points, error_mm=error_mm,
        low=(float(low[0]), float(low[1]), float(low[2])),
        high=(float(high[0]), float(high[1]), float(high[2])),
    )  # fmt: skip
    return Around(about=about, tree=made)
