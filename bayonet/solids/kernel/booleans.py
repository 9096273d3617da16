"""One boolean of the kernel with several tools, and what became of each face."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from cadquery import Face, Shape, Solid, Vector
from OCP.BRepAlgoAPI import BRepAlgoAPI_BooleanOperation
from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeShape
from OCP.TopTools import TopTools_ListOfShape

from bayonet.errors import BuildError
from bayonet.solids.kernel.guard import is_kernels


def cylinder(radius: float, low: float, high: float) -> Solid:
    """A cylinder round the fitting's axis between two heights [mm]."""
    return Solid.makeCylinder(radius, high - low, Vector(0, 0, low), Vector(0, 0, 1))


@dataclass(frozen=True)
class Done:
    """A boolean's result, and what became of the faces."""

    shape: Shape
    operation: BRepBuilderAPI_MakeShape

    def followed(self, face: Face) -> list[Face]:
        """What became of a face."""
        if self.operation.IsDeleted(face.wrapped):
            return []
        became = [Face(shape) for shape in self.operation.Modified(face.wrapped)]
        return became or [face]


def boolean(
    operation: BRepAlgoAPI_BooleanOperation, body: Shape, tools: Sequence[Shape], *, what: str
) -> Done:
    """One boolean with several tools; raises `BuildError` where the kernel gives up."""
    first, rest = TopTools_ListOfShape(), TopTools_ListOfShape()
    first.Append(body.wrapped)
    for tool in tools:
        rest.Append(tool.wrapped)
    operation.SetArguments(first)
    operation.SetTools(rest)
    operation.SetRunParallel(True)
    try:
        operation.Build()
    except Exception as error:
        if not is_kernels(error):
            raise
        raise BuildError(f"{what}: the kernel's boolean operation failed: {error}") from error
    if not operation.IsDone():
        raise BuildError(f"{what}: the kernel's boolean operation failed")
    return Done(Shape.cast(operation.Shape()), operation)
