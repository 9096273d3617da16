"""The gate every kernel result passes: one valid solid of the right volume, or an error.

The kernel calls a disjoint intersection valid and returns an oversized body without complaint.
"""

from __future__ import annotations

from collections.abc import Sequence

from cadquery import Shape, Solid
from OCP.BRepAlgoAPI import BRepAlgoAPI_Cut, BRepAlgoAPI_Fuse
from OCP.BRepCheck import BRepCheck_Analyzer

from bayonet.errors import BuildError
from bayonet.solids.kernel.booleans import boolean

RELATIVE = 1e-9


def passed(shape: Shape, *, volume_mm3: float, what: str) -> Solid:
    """Let a shape through if it is one valid solid of a known volume.

    Parameters
    ----------
    shape : cadquery.Shape
        As the kernel returned it; not meshed yet, for meshing can spoil the validity check.
    volume_mm3 : float
        Exact volume from a closed form [mm3].
    what : str
        Named in the error.

    Returns
    -------
    cadquery.Solid

    Raises
    ------
    BuildError
        If there is not exactly one solid, if it is not valid, or if its volume is off by more
        than `RELATIVE`.
    """
    solids = shape.Solids()
    if len(solids) != 1:
        raise BuildError(f"{what}: the kernel made {len(solids)} solids, not one")
    solid = solids[0]
    if not BRepCheck_Analyzer(solid.wrapped, True).IsValid():
        raise BuildError(f"{what}: the kernel made a solid that is not valid")
    volume = solid.Volume()
    if not abs(volume - volume_mm3) <= RELATIVE * volume_mm3:
        raise BuildError(
            f"{what}: volume {volume:.9g} mm3 from the kernel, {volume_mm3:.9g} mm3 by closed form"
        )
    return solid


def cut(body: Solid, tools: Sequence[Shape], *, volume_mm3: float, what: str) -> Solid:
    """Cut all tools from a body at once, through the gate; raises as `passed` does."""
    done = boolean(BRepAlgoAPI_Cut(), body, tools, what=what)
    return passed(done.shape, volume_mm3=volume_mm3, what=what)


def fuse(body: Solid, tools: Sequence[Shape], *, volume_mm3: float, what: str) -> Solid:
    """Fuse all tools with a body at once, through the gate; raises as `passed` does."""
    done = boolean(BRepAlgoAPI_Fuse(), body, tools, what=what)
    return passed(done.shape, volume_mm3=volume_mm3, what=what)
