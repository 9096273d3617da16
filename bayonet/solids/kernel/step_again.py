"""A STEP file just written is read again: as many solids, each of the volume it had."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from cadquery import Shape, Solid
from OCP.IFSelect import IFSelect_ReturnStatus
from OCP.STEPControl import STEPControl_Reader

from bayonet.errors import ExportError
from bayonet.solids.kernel.guard import guarded

_SAME = 1e-4
"""Of a volume: a foreign tank's is integrated to 1e-5 by the kernel; a lost face shows at once."""


@guarded("reading STEP again")
def check_written(solids: Sequence[Solid], path: Path) -> None:
    """Hold a file against the solids it should hold.

    Parameters
    ----------
    solids : sequence of cadquery.Solid
    path : Path

    Raises
    ------
    ExportError
        If the file cannot be read, or holds other solids.
    """
    reader = STEPControl_Reader()
    if reader.ReadFile(str(path)) != IFSelect_ReturnStatus.IFSelect_RetDone:
        raise ExportError(f"{path.name}: cannot be read again")
    reader.TransferRoots()
    found = sorted(one.Volume() for one in Shape.cast(reader.OneShape()).Solids())
    meant = sorted(one.Volume() for one in solids)
    same = len(found) == len(meant) and all(
        abs(a - b) <= _SAME * abs(b) for a, b in zip(found, meant, strict=True)
    )
    if not same:
        told = ", ".join(f"{volume:.6g}" for volume in found)
        wanted = ", ".join(f"{volume:.6g}" for volume in meant)
        raise ExportError(
            f"{path.name}: does not hold when read again: solids of {told or 'nothing'} mm3,"
            f" not {wanted}"
        )
