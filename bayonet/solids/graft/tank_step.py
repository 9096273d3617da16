"""A tank as STEP AP242 with names and colours; the same bytes for the same tank."""

from __future__ import annotations

from pathlib import Path

from cadquery import Location, Shape, Solid
from OCP.BRepBuilderAPI import BRepBuilderAPI_Transform
from OCP.TDocStd import TDocStd_Document
from OCP.XCAFDoc import XCAFDoc_DocumentTool

from bayonet.solids.graft.tank import Tank, TankSolid
from bayonet.solids.kernel import SURFACE, StepHead, add, colour_of, guarded, write_document


@guarded("writing the tank")
def write(tank: Tank, path: Path, *, head: StepHead) -> None:
    """Write all solids of a tank, each as a part of its own in the tank's coordinates.

    Parameters
    ----------
    tank : Tank
    path : Path
    head : StepHead

    Raises
    ------
    BuildError, ExportError
        If the kernel refuses a shape, or the file.
    """

    def filled(document: TDocStd_Document) -> None:
        for one in tank.solids:
            _add(document, one)

    write_document(filled, path, head=head)


def baked(solid: Solid) -> Solid:
    """A solid whose placement has gone into its numbers: a part stands where it says."""
    placement = solid.wrapped.Location()
    if placement.IsIdentity():
        return solid
    bare = solid.wrapped.Located(Location().wrapped)
    return Solid(BRepBuilderAPI_Transform(bare, placement.Transformation(), True).Shape())


def _add(document: TDocStd_Document, one: TankSolid) -> None:
    shapes = XCAFDoc_DocumentTool.ShapeTool_s(document.Main())
    colours = XCAFDoc_DocumentTool.ColorTool_s(document.Main())
    solid = baked(one.solid)
    label = add(document, solid, one.name)
    if one.colour is not None:
        colours.SetColor(label, colour_of(one.colour), SURFACE)
    own = dict(one.face_colours)
    for before, face in zip(one.solid.Faces(), solid.Faces(), strict=True):
        if before in own:
            part = shapes.AddSubShape(label, Shape.cast(face.wrapped).wrapped)
            colours.SetColor(part, colour_of(own[before]), SURFACE)
