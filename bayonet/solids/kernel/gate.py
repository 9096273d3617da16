"""The gate every kernel result passes: one valid solid of the right volume, or an error.

The kernel calls a disjoint intersection valid and returns an oversized body without complaint.
"""

from __future__ import annotations

from collections.abc import Sequence

from cadquery import Shape, Solid
from OCP.BRepAlgoAPI import BRepAlgoAPI_BooleanOperation, BRepAlgoAPI_Cut, BRepAlgoAPI_Fuse
from OCP.BRepCheck import BRepCheck_Analyzer
from OCP.TopTools import TopTools_ListOfShape

from bayonet.errors import BuildError

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
    return _through(BRepAlgoAPI_Cut(), body, tools, volume_mm3=volume_mm3, what=what)


def fuse(body: Solid, tools: Sequence[Shape], *, volume_mm3: float, what: str) -> Solid:
    """Fuse all tools with a body at once, through the gate; raises as `passed` does."""
    return _through(BRepAlgoAPI_Fuse(), body, tools, volume_mm3=volume_mm3, what=what)


def _through(
    operation: BRepAlgoAPI_BooleanOperation,
    body: Solid,
    tools: Sequence[Shape],
    *,
    volume_mm3: float,
    what: str,
) -> Solid:
    operation.SetArguments(_listed([body]))
    operation.SetTools(_listed(tools))
    operation.SetRunParallel(True)
    operation.Build()
    if not operation.IsDone():
        raise BuildError(f"{what}: the kernel's boolean operation failed")
    return passed(Shape.cast(operation.Shape()), volume_mm3=volume_mm3, what=what)


def _listed(shapes: Sequence[Shape]) -> TopTools_ListOfShape:
    listed = TopTools_ListOfShape()
    for shape in shapes:
        listed.Append(shape.wrapped)
    return listed
